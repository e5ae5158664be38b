package design

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/finding"
	"mutewright/design/plan"
)

// Where no relay serves alone, the pair that does is named, and the key that is
// printed for it makes a plan that passes: two relays of two poles where four are
// wanted, a high-voltage reed for a return beside an RF relay for the antenna.
func TestTwoRelaysOpenWhatOneCannot(t *testing.T) {
	if testing.Short() {
		t.Skip("ranks a plan several times")
	}
	cat := catalog.Default()
	for name, want := range map[string][]string{
		"dunmere-four-poles": {"sensitive-dpdt-12v", "sensitive-dpdt-12v"},
		"kelder-two-relays":  {"hvreed-spst-no-12v", "rf-spdt-12v"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			data, err := os.ReadFile("../testdata/plans/hurt/" + name + ".yaml")
			require.NoError(t, err)
			p, err := plan.Read(name, data, cat)
			require.NoError(t, err)
			alone, err := New(p, cat)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, alone.Verdict, finding.Fail, "the nearest of all relays")

			openings, err := Openings(p, cat, nil)
			require.NoError(t, err)
			pair := openings[0]
			assert.Equal(t, want, pair.Relays)
			assert.Empty(t, pair.Settings, "the set's own supply feeds both")
			for _, o := range openings[1:] {
				assert.False(t, o.Opens(), o.Words)
			}

			before, rest, ok := strings.Cut(string(data), "\nrelay:\n")
			require.True(t, ok)
			_, after, ok := strings.Cut(rest, "\ncontrol:")
			require.True(t, ok)
			p, err = plan.Read(name, []byte(before+"\n"+pair.Section+"\ncontrol:"+after), cat)
			require.NoError(t, err)
			both, err := New(p, cat)
			require.NoError(t, err)
			for _, f := range both.Findings {
				assert.LessOrEqual(t, f.Severity, finding.Caution, "%s at %s: %s", f.ID, f.At, f.Says)
			}
		})
	}
}

// What opens a plan opens it: with the settings that are printed a check passes. A
// hum pot bars every rectifier; the lead from a separate supply has its fuse.
func TestWhatOpensAPlanOpensIt(t *testing.T) {
	if testing.Short() {
		t.Skip("ranks a plan several times")
	}
	t.Parallel()
	cat := catalog.Default()
	data, err := os.ReadFile("../testdata/plans/hurt/thornlea-hum-pot.yaml")
	require.NoError(t, err)
	p, err := plan.Read("thornlea-hum-pot", data, cat)
	require.NoError(t, err)
	openings, err := Openings(p, cat, nil)
	require.NoError(t, err)
	opening := 0
	for _, o := range openings {
		if !o.Opens() {
			continue
		}
		opening++
		p, err := plan.Read("thornlea-hum-pot", data, cat, o.Settings...)
		require.NoError(t, err)
		d, err := New(p, cat)
		require.NoError(t, err)
		assert.Less(t, d.Verdict, finding.Fail, o.Words)
		chosen := map[string]string{}
		for _, c := range d.Chosen {
			chosen[c.At] = c.Plain
		}
		assert.Equal(t, o.Relays[0], chosen["relay.use"])
		assert.NotEmpty(t, chosen["relay.fuse"])
	}
	assert.Equal(t, 2, opening, "the winding grounded at one side, a separate supply")
}

// A winding that is all but used up is served by sensitive relays alone.
func TestOnlySensitiveRelaysServeAFullWinding(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	t.Parallel()
	data, err := os.ReadFile("../testdata/plans/sound/ashgill-full-winding.yaml")
	require.NoError(t, err)
	p, err := plan.Read("ashgill-full-winding", data, catalog.Default())
	require.NoError(t, err)
	list, err := Rank(p, catalog.Default(), nil)
	require.NoError(t, err)
	require.Len(t, list, 1)
	require.NotZero(t, list[0].Serving())
	for _, r := range list[0].Rows[:list[0].Serving()] {
		assert.True(t, strings.HasPrefix(r.Relay, "sensitive-"), r.Relay)
	}
}

// Where the RF's tail is what bars the relays, a hold capacitor opens the plan, and
// the plan with it and with the relay that is named passes.
func TestAHoldCapacitorOpensAPlan(t *testing.T) {
	if testing.Short() {
		t.Skip("ranks a plan several times")
	}
	t.Parallel()
	cat := catalog.Default()
	data, err := os.ReadFile("../testdata/plans/hurt/timing-tail-margin.yaml")
	require.NoError(t, err)
	p, err := plan.Read("timing-tail-margin", data, cat, "relay.use=choose", "relay.dropper=choose")
	require.NoError(t, err)
	openings, err := Openings(p, cat, nil)
	require.NoError(t, err)
	hold := openings[0]
	require.True(t, hold.Opens())
	require.Contains(t, hold.Words, "a hold capacitor of ")
	p, err = plan.Read("timing-tail-margin", data, cat, append([]string{"relay.use=" + hold.Relays[0], "relay.dropper=choose"}, hold.Settings...)...)
	require.NoError(t, err)
	with, err := New(p, cat)
	require.NoError(t, err)
	for _, f := range with.Findings {
		assert.LessOrEqual(t, f.Severity, finding.Caution, "%s at %s: %s", f.ID, f.At, f.Says)
	}
}
