package drive

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A shorted reservoir draws some 19 A rms from 0.15 ohm; ngspice 39 gives
// 20.55 A for 6.3 V, 60 Hz, 0.15 ohm, a diode of the 1N4007 class and 1 mohm
// in the place of the reservoir. A doubler's coupling capacitor is as bad:
// its first diode then lies across the winding.
func TestShortedReservoir(t *testing.T) {
	d := larkmoor()
	for _, r := range []Rectifier{HalfWave, Doubler} {
		d.Rectifier = r
		amps, err := ShortedReservoir(d)
		require.NoError(t, err)
		assert.InEpsilon(t, 20.55, amps, 0.005)
		assert.InEpsilon(t, 19, amps, 0.1)
	}
	d.Fuse = 0.5
	fused, err := ShortedReservoir(d)
	require.NoError(t, err)
	assert.Less(t, fused, 10.0, "the fuse's own resistance counts")

	_, err = ShortedReservoir(Drive{Rail: Rail{Volts: 12}, Coils: []Coil{load(960)}})
	assert.Error(t, err, "a rail has no winding")
}

func TestLineShorted(t *testing.T) {
	source := Line{Source: true, Level: 13.8}
	tests := []struct {
		name      string
		hookup    Hookup
		line      Line
		energised bool
		amps      float64
	}{
		{"coil on the line", CoilOnLine, Line{Drop: 0.5}, true, 12.0 / 960},
		{"pnp", LinePullsBase, Line{Drop: 0.5}, true, 11.3 / 10e3},
		{"npn shorted", LineShortsBase, Line{Drop: 0.5}, false, 12 / 10e3},
		{"npn fed", LineFeedsBase, source, false, 0},
		{"coil fed", LineFeedsCoil, source, false, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := Drive{Coils: []Coil{load(960)}, Hookup: tt.hookup, Line: tt.line, Buffer: Buffer{Base: 10e3}, Warmth: AtTwenty}
			if tt.hookup != LineFeedsCoil {
				d.Rail.Volts = 12
			}
			got, err := LineShorted(d)
			require.NoError(t, err)
			assert.Equal(t, tt.energised, got.Energised)
			assert.InDelta(t, tt.amps, got.Amps, 0.01e-3)
		})
	}
}
