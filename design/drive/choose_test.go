package drive

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// e24 is the E24 series of IEC 60063 over some decades from 10 ohm.
func e24(decades int) (values []float64) {
	for decade := range decades {
		for _, v := range []float64{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91} {
			values = append(values, v*math.Pow10(decade))
		}
	}
	return values
}

// onRail are the corners of a coil on a stiff rail of so many volts ± 10 %.
func onRail(volts, most23, most70 float64) func(float64) []Drive {
	return func(ohms float64) []Drive {
		low := load(960)
		low.Ambient, low.MostAt23, low.MostAt70, low.Dropper = 50, most23, most70, ohms
		high := low
		return []Drive{
			{Rail: Rail{Volts: volts * 0.9}, Coils: []Coil{low}},
			{Rail: Rail{Volts: volts * 1.1}, Coils: []Coil{high}},
		}
	}
}

func TestChooseDropper(t *testing.T) {
	t.Run("none needed", func(t *testing.T) {
		got, err := ChooseDropper(onRail(12, 1.7, 1.5), e24(3))
		require.NoError(t, err)
		assert.Zero(t, got.Ohms)
		assert.True(t, got.Serves())
		assert.GreaterOrEqual(t, got.Ceiling, Enough)
	})
	t.Run("the best of the series", func(t *testing.T) {
		for _, volts := range []float64{16, 17, 18, 24, 40} {
			corners := onRail(volts, 1.7, 1.3)
			got, err := ChooseDropper(corners, e24(3))
			require.NoError(t, err)
			// Every value tried, in the plainest way.
			best := Dropping{}
			for _, ohms := range append([]float64{0}, e24(3)...) {
				with, err := dropping(corners, ohms, &Result{})
				require.NoError(t, err)
				if with.smaller() > best.smaller() {
					best = with
				}
			}
			assert.Equal(t, best, got, "%g V", volts)
		}
	})
	t.Run("nothing serves", func(t *testing.T) {
		corners := func(ohms float64) []Drive {
			low, high := onRail(12, 1.1, 1.05)(ohms)[0], onRail(24, 1.1, 1.05)(ohms)[1]
			return []Drive{low, high}
		}
		got, err := ChooseDropper(corners, e24(3))
		require.NoError(t, err)
		assert.False(t, got.Serves())
	})
	t.Run("no corner", func(t *testing.T) {
		_, err := ChooseDropper(func(float64) []Drive { return nil }, e24(1))
		assert.Error(t, err)
	})
}

// On a rail the fuse carries what the coils draw, by Ohm's law: 12 V on 960 Ω warm as
// at 20 °C are 12.5 mA, with 40 Ω of fuse in front 12 mA.
func TestChooseFuseOnARail(t *testing.T) {
	rail := func(cold float64) []Drive {
		return []Drive{{Rail: Rail{Volts: 12}, Coils: []Coil{load(960)}, Fuse: cold, Warmth: AtTwenty}}
	}
	got, err := ChooseFuse(rail, []Fuse{{Amps: 0.02, Cold: 100}, {Amps: 0.032, Cold: 40}, {Amps: 0.1, Cold: 5}}, 3)
	require.NoError(t, err)
	assert.True(t, got.Fits)
	assert.InDelta(t, 0.032, got.Fuse.Amps, 0)
	assert.InEpsilon(t, 12e-3, got.Current, 1e-3)
}

func TestChooseFuse(t *testing.T) {
	corners := func(cold float64) []Drive {
		d := larkmoor()
		d.Fuse = cold
		return []Drive{d}
	}
	// Cold resistances fall with the rating; invented values.
	fuses := []Fuse{{0.1, 6}, {0.16, 3}, {0.2, 2}, {0.315, 1}, {0.5, 0.5}}

	got, err := ChooseFuse(corners, fuses, 3)
	require.NoError(t, err)
	assert.True(t, got.Fits)
	assert.GreaterOrEqual(t, got.Fuse.Amps, 2*got.Current)
	with, err := Solve(corners(got.Fuse.Cold)[0])
	require.NoError(t, err)
	assert.InEpsilon(t, with.Winding.Current, got.Current, 2e-4, "with its own cold resistance")

	got, err = ChooseFuse(corners, fuses[:1], 3)
	require.NoError(t, err)
	assert.False(t, got.Fits, "too small")

	got, err = ChooseFuse(corners, fuses, 0.05)
	require.NoError(t, err)
	assert.Equal(t, Fusing{}, got, "none protects the wire")
}

func TestChooseReservoir(t *testing.T) {
	corners := func(farads float64) []Drive {
		d := larkmoor()
		d.Reservoir = farads
		return []Drive{d}
	}
	got, err := ChooseReservoir(corners, []float64{47e-6, 100e-6, 220e-6, 470e-6})
	require.NoError(t, err)
	assert.True(t, got.Fits())
	smaller, err := ChooseReservoir(corners, []float64{10e-6})
	require.NoError(t, err)
	assert.False(t, smaller.Fits())
	assert.Greater(t, smaller.Ripple, got.Ripple)
}

func TestChooseBuffer(t *testing.T) {
	with := func(hookup Hookup, line Line) func(base, baseEmitter float64) []Drive {
		return func(base, baseEmitter float64) []Drive {
			return []Drive{{
				Rail: Rail{Volts: 12}, Coils: []Coil{load(960)}, Hookup: hookup,
				Buffer: Buffer{Base: base, BaseEmitter: baseEmitter}, Line: line, Warmth: AtTwenty,
			}}
		}
	}
	tests := []struct {
		name              string
		hookup            Hookup
		line              Line
		base, baseEmitter float64
		serves            bool
	}{
		// 12.4 mA at a gain of 20 is 0.62 mA, and 0.07 mA for 10 kohm: 11.3 V over that is 16.3 kohm.
		{"pnp", LinePullsBase, Line{}, 16e3, 10e3, true},
		// 100 µA leaves 0.3 V on 3 kohm, which takes 0.23 mA: 11.3 V / 0.85 mA is 13.2 kohm.
		{"pnp on a leaky line", LinePullsBase, Line{Leakage: 100e-6}, 13e3, 3e3, true},
		// 4.28 V over 0.69 mA is 6.19 kohm.
		{"npn", LineFeedsBase, Line{Source: true, Level: 5}, 5.6e3, 10e3, true},
		{"npn shorted by too high a drop", LineShortsBase, Line{Drop: 0.6}, 16e3, 10e3, false},
		// 1 A leaves more than 0.3 V on every resistor.
		{"pnp on a line that leaks like a sieve", LinePullsBase, Line{Leakage: 1}, 16e3, 10e3, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := ChooseBuffer(with(tt.hookup, tt.line), e24(5))
			require.NoError(t, err)
			assert.Equal(t, tt.serves, got.Serves(), "%+v", got)
			assert.InEpsilon(t, tt.base, got.Base, 1e-9)
			assert.InEpsilon(t, tt.baseEmitter, got.BaseEmitter, 1e-9)
		})
	}
}
