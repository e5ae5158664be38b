package drive

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a regulation sketches, the solver finds within 5 %, the current of the winding within 20 %: coils from
// 60 ohm to 4 kohm, with droppers and without, on every rectifier.
func TestSketchAgainstSolve(t *testing.T) {
	t.Parallel()
	loads := []float64{40, 100, 250, 620, 1500, 3900, 10e3}
	for _, rectifier := range []Rectifier{HalfWave, Doubler, None} {
		d := larkmoor()
		d.Rectifier, d.Rail = rectifier, Rail{Volts: 13.8, Ohms: 2}
		r, err := Regulate(d, loads)
		require.NoError(t, err)
		for _, c := range []struct{ ohms, dropper, farads float64 }{
			{1028, 0, 220e-6}, {1028, 220, 470e-6}, {257, 390, 470e-6}, {160, 0, 1000e-6}, {62, 150, 2200e-6}, {4114, 0, 220e-6},
		} {
			t.Run(fmt.Sprintf("%d, %g and %g ohm", rectifier, c.ohms, c.dropper), func(t *testing.T) {
				d := d
				coil := d.Coils[0]
				coil.Henries *= c.ohms / coil.Ohms
				coil.Ohms, coil.Dropper = c.ohms, c.dropper
				d.Coils, d.Reservoir = []Coil{coil}, c.farads
				solved, err := Solve(d)
				require.NoError(t, err)
				s := r.Sketch(d)
				assert.InEpsilon(t, solved.Coils[0].Operate, s.Coils[0].Operate, 0.05)
				assert.InEpsilon(t, solved.Coils[0].Ceiling, s.Coils[0].Ceiling, 0.05)
				assert.InEpsilon(t, solved.Coils[0].Amps, s.Coils[0].Amps, 0.05)
				if rectifier != None {
					assert.InEpsilon(t, solved.Winding.Current, s.Current, 0.2)
					assert.InEpsilon(t, solved.Supply.Ripple/solved.Supply.Operated, s.Ripple, 0.1)
				}
			})
		}
	}
}
