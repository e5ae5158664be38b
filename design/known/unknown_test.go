package known_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/known"
	"mutewright/design/plan"
)

// A key that is unknown gives the numbers of a plan that leaves it out.
func TestUnknownIsAsLeftOut(t *testing.T) {
	cat := catalog.Default()
	data, err := os.ReadFile("../../testdata/plans/stages/0-required.yaml")
	require.NoError(t, err)
	bare := strings.Replace(string(data), "muting_points:\n", "muting_points:\n  rf: {kind: rf gain, lift: wiper}\n", 1)
	numbers := func(settings ...string) []known.Entry {
		p, err := plan.Read("plan", []byte(bare), cat, settings...)
		require.NoError(t, err)
		box := known.From(p, cat).Box
		for i := range box {
			box[i].Line, box[i].Setting = 0, 0
		}
		return box
	}
	left := numbers()
	for _, key := range strings.Fields(`
		receiver.ambient receiver.mains.tolerance receiver.mains.power receiver.mains.fuse receiver.mains.switch
		receiver.mains.line_capacitors receiver.mains.stray receiver.standby
		muting_points.output.also_to_chassis muting_points.output.tube muting_points.output.cathode_resistor
		muting_points.output.bypass muting_points.output.transformer muting_points.output.screen_resistor muting_points.output.grid
		muting_points.rf.bleeder muting_points.rf.also_to_chassis muting_points.rf.bus_capacitor muting_points.rf.screens
		muting_points.rf.control muting_points.rf.stages muting_points.rf.frequency
		relay.use relay.energised_on relay.supply relay.rectifier relay.reservoir relay.dropper relay.clamp
		relay.buffer relay.fuse relay.hold wanted.depth control.mutes_when
		transmitter.power transmitter.keying.rated.voltage transmitter.keying.rated.current transmitter.keying.drop
		transmitter.keying.leakage transmitter.key_to_rf transmitter.rf_tail transmitter.coupling`) {
		t.Run(key, func(t *testing.T) { assert.Equal(t, left, numbers(key+"=unknown")) })
	}
}
