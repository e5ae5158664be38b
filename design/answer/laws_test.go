package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/known"
	"mutewright/design/plan"
)

// A sharp cut-off tube has the law of the published point nearest the screen
// voltage at which it works: of 6AU6, µ is 37.3 by its point at 150 V on the
// screen, 35.2 at 125 V and 34.0 at 100 V.
func TestSharpTubesTakeThePointOfTheirScreen(t *testing.T) {
	for name, tt := range map[string]struct {
		dropper string
		mu      float64
	}{
		"near 150 V": {"22 kohm", 37.3}, "near 125 V": {"33 kohm", 35.2}, "near 100 V": {"56 kohm", 34},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := plan.Read("sharp", []byte(`plan: 1
title: a sharp stage
receiver:
  name: bench
  mains: {voltage: 120 V, frequency: 60 Hz, isolation: transformer, cord: three-wire}
  supplies:
    ht: {kind: dc rail, voltage: 240 V}
muting_points:
  gain:
    kind: rf gain
    supply: ht
    control: {value: 10 kohm, set_to: 0 ohm, wiring: rheostat, far_end: lifted}
    bleeder: none
    stages:
      - {tube: 6AU6, cathode_resistor: 68 ohm, screen_resistor: `+tt.dropper+`}
    lift: wiper
returns:
  line: {points: [gain], pulldown: 10 kohm}
transmitter:
  keying: {kind: contact}
`), catalog.Default())
			require.NoError(t, err)
			f := known.From(p, catalog.Default())
			l, err := newLifts(f)
			require.NoError(t, err)
			assert.InEpsilon(t, tt.mu, l.laws[&f.Points[0].Stages[0].Tube].MuA, 0.002)
		})
	}
}
