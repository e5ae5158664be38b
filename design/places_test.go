package design_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"mutewright/design"
)

// What stands on the set's own standby terminals is told with the other voltages,
// as long as they are there; in a return that is lifted they stand on its node.
func TestStandbyTerminalsAreAmongThePlaces(t *testing.T) {
	stands := func(name string, settings ...string) (volts float64) {
		for _, p := range workNominal(t, name, settings...).Places {
			if p.Kind == design.StandbyPlace {
				volts = max(volts, p.Highest())
			}
		}
		return volts
	}
	assert.InDelta(t, 330, stands("hurt/standby-live"), 20, "330 V at nominal mains")
	assert.Zero(t, stands("hurt/standby-live", "receiver.standby.1.left=removed"))
	assert.Zero(t, stands("sound/standby-series"))
}

// A bypass that returns to the lifted node does not see the node rise.
func TestABypassToTheReturnDoesNotSeeItsNode(t *testing.T) {
	const rated, to = "muting_points.output.bypass.rated=25 V", "muting_points.output.bypass.returned_to="
	assert.NotNil(t, found(work(t, "sound/larkmoor-seven", rated, to+"chassis", "returns.mute_line.pulldown=10 kohm"), "return.unguarded"))
	assert.Nil(t, found(work(t, "sound/larkmoor-seven", rated, to+"return", "returns.mute_line.pulldown=10 kohm"), "return.unguarded"))
}
