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

// Where nothing serves, choose takes what comes nearest: never a relay that
// latches or lacks a contact or a drive, and it says what bars most.
func TestChoiceWhereNothingServes(t *testing.T) {
	if testing.Short() {
		t.Skip("ranks a plan")
	}
	cat := catalog.Default()
	data, err := os.ReadFile("../testdata/plans/hurt/antenna-residual.yaml")
	require.NoError(t, err)
	p, err := plan.Read("antenna-residual", data, cat, "relay.use=choose", "relay.dropper=choose")
	require.NoError(t, err)
	_, list, err := resolve(p, cat)
	require.NoError(t, err)
	require.NotEmpty(t, list)
	require.Equal(t, "relay.use", list[0].At)
	taken := cat.Relay(list[0].Plain)
	require.NotNil(t, taken)
	assert.False(t, taken.Latching.Given() && taken.Latching.Is)
	assert.GreaterOrEqual(t, taken.Contacts.Poles.Is, 2)
	assert.Contains(t, list[0].Why, "none of")
	assert.Contains(t, list[0].Why, "antenna.residual")
}

// What is chosen for the one relay of a list stands at its place in the list, as
// everything else of it does.
func TestChoiceForAListOfOneRelay(t *testing.T) {
	cat := catalog.Default()
	data, err := os.ReadFile("../testdata/plans/sound/tarnbeck-alone.yaml")
	require.NoError(t, err)
	before, relay, ok := strings.Cut(string(data), "\nrelay:\n  ")
	require.True(t, ok)
	block, after, ok := strings.Cut(relay, "\n\n")
	require.True(t, ok)
	list := before + "\nrelay:\n  - " + strings.ReplaceAll(block, "\n  ", "\n    ") + "\n\n" + after
	p, err := plan.Read("tarnbeck-alone", []byte(list), cat, "relay.1.dropper=choose")
	require.NoError(t, err)
	d, err := New(p, cat, NominalOnly)
	require.NoError(t, err)
	var at []string
	for _, c := range d.Chosen {
		at = append(at, c.At)
	}
	assert.Contains(t, at, "relay.1.dropper")
	assert.NotContains(t, at, "relay.dropper")
}

func TestOrderOfARanking(t *testing.T) {
	row := func(name string, smallest float64, ids ...string) Row {
		r := Row{Relay: name, HasDrive: true, Margins: []Margin{{Key: "operate", Ratio: smallest}}}
		for _, id := range ids {
			r.Findings = append(r.Findings, finding.Finding{ID: id, Severity: finding.Fail})
			r.Verdict = finding.Fail
		}
		return r
	}
	latching := row("latching", 2, "drive.latching")
	latching.Latching = true
	undriven := row("no drive", 3, "drive.rectifier")
	undriven.HasDrive = false
	unfit := row("serves most widely, with a film on its contacts", 1.9)
	unfit.Findings = []finding.Finding{{ID: "contact.least_load", Severity: finding.Caution}}
	order := []Row{
		row("serves widely", 1.3), row("serves", 1.1), unfit,
		row("its timing bars it", 0.1, "timing.tail_margin"),
		row("one thing bars it", 0.4, "antenna.residual"), row("two things bar it", 0.9, "antenna.residual", "drive.operate"),
		undriven, row("no contact left", 1.5, "contact.poles"), latching,
	}
	for i := range order[1:] {
		assert.Negative(t, compareRows(order[i], order[i+1]), "%s before %s", order[i].Relay, order[i+1].Relay)
		assert.Positive(t, compareRows(order[i+1], order[i]))
	}
}

// A relay that is left to the program is one whose contacts are fit for the antenna,
// though others have more margin.
func TestChoiceIsFitForADryCircuit(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	cat := catalog.Default()
	data, err := os.ReadFile("../testdata/plans/sound/skerrow-antenna.yaml")
	require.NoError(t, err)
	p, err := plan.Read("skerrow", data, cat, "relay.use=choose")
	require.NoError(t, err)
	list, err := Rank(p, cat, nil)
	require.NoError(t, err)
	rows := list[0].Rows[:list[0].Serving()]
	fit := 0
	for fit < len(rows) && rows[fit].Fit() {
		fit++
	}
	require.Positive(t, fit)
	require.Less(t, fit, len(rows))
	assert.True(t, rows[0].Dry)
	assert.Less(t, rows[0].Smallest(), rows[fit].Smallest(), "one that is not fit has more margin")
	for _, r := range rows[fit:] {
		assert.False(t, r.Fit(), r.Relay)
	}
	d, err := New(p, cat, NominalOnly)
	require.NoError(t, err)
	for _, f := range d.Findings {
		assert.NotEqual(t, "contact.least_load", f.ID)
	}
}

// A drive that is corrected is held against every relay that the plan has beside the
// one to be chosen: the best for this one alone may starve the other.
func TestADriveServesTheRelaysBesideIt(t *testing.T) {
	cat := catalog.Default()
	data, err := os.ReadFile("../testdata/plans/sound/pendrake-high-voltage.yaml")
	require.NoError(t, err)
	p, err := plan.Read("pendrake", data, cat, "transmitter.keying.leakage=5 mA")
	require.NoError(t, err)
	b := newBench(p, cat, 1, openKeys(relayBlocks(p), 1, false))
	require.NoError(t, b.look())
	with, ok, err := b.size(cat.Relay("rf-spdt-12v"))
	require.NoError(t, err)
	require.True(t, ok)
	for _, name := range []string{"drive.coil.operate_margin", "drive.coil.ceiling_margin", "drive.2.coil.operate_margin", "drive.2.coil.ceiling_margin"} {
		q, ok := with.set.Get(name)
		require.True(t, ok, name)
		assert.Greater(t, q.Low, 1.0, name)
	}
}

// Ranking only what may serve gives what ranking all gives, in the same order: what is
// left out before its drive is solved would not have served.
func TestWhatMayServeServesAsAmongAll(t *testing.T) {
	if testing.Short() {
		t.Skip("ranks three plans twice")
	}
	cat := catalog.Default()
	for name, block := range map[string]int{"sound/larkmoor-seven": 0, "sound/ashgill-full-winding": 0, "sound/pendrake-high-voltage": 1} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			data, err := os.ReadFile("../testdata/plans/" + name + ".yaml")
			require.NoError(t, err)
			p, err := plan.Read(name, data, cat)
			require.NoError(t, err)
			open := openKeys(relayBlocks(p), block, true)
			all, err := newBench(p, cat, block, open).rank(cat.Relays(), func() {})
			require.NoError(t, err)
			b := newBench(p, cat, block, open)
			able, err := b.able(cat.Relays())
			require.NoError(t, err)
			assert.Less(t, len(able), len(cat.Relays()), "nothing is left out")
			some, err := b.serving(cat.Relays())
			require.NoError(t, err)
			require.Len(t, some.Rows, all.Serving())
			for i, row := range some.Rows {
				assert.Equal(t, all.Rows[i].Relay, row.Relay)
				assert.Equal(t, all.Rows[i].Setup.Settings(), row.Setup.Settings())
				assert.InEpsilon(t, all.Rows[i].Smallest(), row.Smallest(), 1e-5)
			}
		})
	}
}
