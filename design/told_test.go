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
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	const rated, to = "muting_points.output.bypass.rated=25 V", "muting_points.output.bypass.returned_to="
	assert.NotNil(t, found(work(t, "sound/larkmoor-seven", rated, to+"chassis", "returns.mute_line.pulldown=10 kohm"), "return.unguarded"))
	assert.Nil(t, found(work(t, "sound/larkmoor-seven", rated, to+"return", "returns.mute_line.pulldown=10 kohm"), "return.unguarded"))
}

// A contact that closes on a capacitor inside the set has its resistor in its own
// wire: nobody gets at the capacitor, and the resistor at the cut is another's.
func TestAContactOnAMeasuredCapacitance(t *testing.T) {
	f := found(work(t, "sound/return-depth-unknown", "muting_points.terminal.capacitance=0.5 uF"), "contact.make")
	if assert.NotNil(t, f) {
		assert.Equal(t, "muting_points.terminal.capacitance", f.At)
		assert.Contains(t, f.Do, "into the wire from the cut to the contact")
	}
	own := found(work(t, "hurt/contact-make"), "contact.make")
	if assert.NotNil(t, own) {
		assert.Contains(t, own.Do, "in series with the capacitor")
	}
}
