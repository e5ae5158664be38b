package design_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/plan"
)

// A plan of which one part is not known is worked out to the end: a verdict, and
// every use of a usual value with its reason.
func TestUnknownPartsAreWorkedOut(t *testing.T) {
	if testing.Short() {
		t.Skip("works many plans out")
	}
	t.Parallel()
	data, err := os.ReadFile("known/testdata/full.yaml")
	require.NoError(t, err)
	for _, at := range []string{
		"receiver.ambient", "receiver.mains.fuse", "receiver.mains.switch", "receiver.mains.line_capacitors",
		"receiver.supplies.heaters.kind", "receiver.supplies.heaters.voltage", "receiver.supplies.ht.unloaded", "receiver.supplies.ht.bleeder",
		"receiver.standby", "muting_points.output.tube", "muting_points.output.transformer", "muting_points.output.bypass",
		"muting_points.sensitivity.control", "muting_points.sensitivity.screens", "muting_points.sensitivity.stages",
		"muting_points.sensitivity.stages.2.tube", "muting_points.aerial.lowest", "returns.gain_line.pulldown",
		"returns.gain_line.points", "relay", "relay.1.use", "relay.1.hold", "relay.1.supply", "transmitter.keying.rated",
		"transmitter.coupling", "wanted",
	} {
		t.Run(at, func(t *testing.T) {
			t.Parallel()
			p, err := plan.Read("full.yaml", data, catalog.Default(), at+"=unknown")
			require.NoError(t, err)
			d, err := design.New(p, catalog.Default())
			require.NoError(t, err)
			for _, a := range d.Assumed {
				assert.NotEmpty(t, a.At)
				assert.NotEmpty(t, a.Plain, a.At)
				assert.NotEmpty(t, a.Why, a.At)
			}
			assert.LessOrEqual(t, len(d.Measure), 7)
		})
	}
}

// The plan that has nothing but what is required says what the work is, what
// may hurt, what was assumed, and what to find out first.
func TestTheSmallestPlanGivesAUsefulAnswer(t *testing.T) {
	t.Parallel()
	d := work(t, "stages/0-required")
	for _, name := range []string{
		"return.mute_line.muted", "return.mute_line.unguarded", "point.output.depth", "drive.coil.voltage",
		"drive.coil.operate_margin", "control.open", "control.closed", "mains.touch_current", "mains.fuse", "timing.muted",
	} {
		_, ok := d.Quantities.Get(name)
		assert.True(t, ok, name)
	}
	for _, id := range []string{"mains.capacitors_unknown", "mains.fuse_unknown", "return.depth"} {
		assert.NotNil(t, found(d, id), id)
	}
	chosen := map[string]bool{}
	for _, c := range d.Chosen {
		chosen[c.At] = true
	}
	for _, at := range []string{"relay.rectifier", "relay.dropper", "relay.fuse", "returns.mute_line.pulldown"} {
		assert.True(t, chosen[at], at)
	}
	assert.NotEmpty(t, d.Measure)
	assert.Greater(t, len(d.Assumed), 40)
	assert.NotEmpty(t, d.Fitting.Parts)
	assert.NotEmpty(t, d.Fitting.Readings)
}
