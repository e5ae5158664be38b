package design

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/finding"
	"mutewright/design/plan"
)

// Two relays do what one cannot, and the pair that is named passes as a plan.
func TestTwoRelaysOpenWhatOneCannot(t *testing.T) {
	if testing.Short() {
		t.Skip("ranks a plan several times")
	}
	cat := catalog.Default()
	for _, name := range []string{"pendrake-one-relay", "dunmere-four-poles"} {
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
			require.True(t, pair.Opens())
			require.Len(t, pair.Shares, 2)
			require.Len(t, pair.Relays, 2)
			for _, o := range openings[1:] {
				assert.False(t, o.Opens(), o.Words)
			}

			before, rest, ok := strings.Cut(string(data), "\nrelay:\n  use: choose\n")
			require.True(t, ok)
			block, after, ok := strings.Cut(rest, "\n\n")
			require.True(t, ok)
			list := fmt.Sprintf("\nrelay:\n  - use: %s\n    serves: [%s]\n    %s\n  - use: %s\n    serves: [%s]\n    dropper: choose\n    clamp: diode\n\n",
				pair.Relays[0], strings.Join(pair.Shares[0], ", "), strings.TrimSpace(strings.ReplaceAll(block, "\n", "\n  ")),
				pair.Relays[1], strings.Join(pair.Shares[1], ", "))
			p, err = plan.Read(name, []byte(before+list+after), cat)
			require.NoError(t, err)
			both, err := New(p, cat)
			require.NoError(t, err)
			for _, f := range both.Findings {
				assert.LessOrEqual(t, f.Severity, finding.Caution, "%s at %s: %s", f.ID, f.At, f.Says)
			}
		})
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
