package drive

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// aDrive draws a drive that may be asked for, sensible or not: coils of 20 ohm
// to 8 kohm on windings of 5 to 25 V, reservoirs from far too small to large.
func aDrive(r *rand.Rand) Drive {
	between := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	of := func(values ...float64) float64 { return values[r.IntN(len(values))] }
	w := Winding{
		Volts: of(5, 6.3, 12.6, 25), Crest: 1.25 + 0.164*r.Float64(), Ohms: between(0.01, 3), Hertz: of(50, 60),
		Grounding: []Grounding{OneSide, CentreTap, Floating, FloatingTap}[r.IntN(4)], Drawn: 3, Rated: 4,
	}
	fits := Legal(None, w.Grounding).Fits
	ohms := between(20, 8000)
	d := Drive{
		Winding: w, Rectifier: fits[r.IntN(len(fits))], Reservoir: between(10e-6, 4700e-6), Fuse: of(0, 0.5, 3),
		Coils: []Coil{{
			Ohms: ohms, Rated: 12, Operate: 0.75, Release: 0.1, Ambient: 70 * r.Float64(), Rise: 150, Limit: 120,
			Henries: ohms * of(0, 1.75e-3, 8e-3), Dropper: ohms * of(0, 0, 0.3), Clamp: Clamp{Kind: DiodeClamp},
		}},
		Hookup: []Hookup{CoilOnLine, LinePullsBase, LineShortsBase, LineFeedsBase}[r.IntN(4)],
		Buffer: Buffer{Base: between(1e3, 22e3), BaseEmitter: 10e3},
		Line:   Line{Leakage: of(0, 1e-6, 1e-4)},
	}
	if d.Hookup == LineFeedsBase {
		d.Line.Source, d.Line.Level = true, 12
	}
	if r.IntN(4) == 0 {
		d.Coils[0].Hold = Hold{between(1e-6, 100e-6), 100}
	}
	if r.IntN(4) == 0 {
		second := d.Coils[0]
		second.Ohms /= 2
		d.Coils = append(d.Coils, second)
	}
	return d
}

// figures are a result without what only makes the next one near it sooner found.
func figures(r Result) Result {
	if s := r.steady; s != nil {
		r.steady = &steady{crest: s.crest, released: s.released, operated: s.operated, sag: s.sag}
	}
	return r
}

// Every drive has a solution, however absurd, and it keeps the laws that need
// no solver: charge, heat, and no more from the winding than its crest.
func TestRandomDrives(t *testing.T) {
	t.Parallel()
	drives := uint64(150)
	if testing.Short() {
		drives = 15
	}
	for seed := range drives {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			d := aDrive(rand.New(rand.NewPCG(seed, 24)))
			r, err := Solve(d)
			require.NoError(t, err, "%+v", d)
			crest := d.Winding.Volts * d.Winding.Crest * Share(d.Rectifier, d.Winding.Grounding)
			if d.Rectifier == Doubler {
				crest *= 2
			}
			assert.Less(t, r.Supply.Released, crest)
			assert.Less(t, r.Supply.Operated, crest)
			assert.GreaterOrEqual(t, r.Diode.Peak*math.Sqrt2, r.Winding.Current, "a pulse is higher than its rms")
			for i, c := range r.Coils {
				coil := d.Coils[i]
				assert.LessOrEqual(t, c.Least, c.Volts*(1+1e-9))
				assert.Less(t, c.Volts, r.Supply.Operated+1e-9)
				assert.InEpsilon(t, c.Volts, c.Amps*c.Ohms, 0.02, "a coil's mean voltage is that of its copper")
				if c.Celsius < molten-1 {
					assert.InDelta(t, coil.Ambient+coil.Rise*c.Volts*c.Volts/c.Ohms, c.Celsius, 0.5+0.01*c.Celsius)
				}
			}
			again, err := Solve(d)
			require.NoError(t, err)
			assert.Equal(t, figures(r), figures(again), "solved twice")
			if seed%5 != 0 {
				return
			}
			warmer := d
			warmer.Coils = slices.Clone(d.Coils)
			warmer.Coils[0].Ohms *= 1.1
			for _, near := range []Drive{warmer, d, warmer} {
				fresh, err := again.Near(near)
				require.NoError(t, err)
				again, err = Solve(d)
				require.NoError(t, err)
				used, err := r.Near(near)
				require.NoError(t, err)
				assert.Equal(t, figures(fresh), figures(used), "in circuits that were used before, with what is known of released ones")
			}
		})
	}
}

// Where nothing to speak of draws on a reservoir its charge hardly moves in a
// day; there is a steady state all the same, below what the peaks allow. The
// four drives came up among legal plans at random.
func TestReservoirsWithoutALoad(t *testing.T) {
	doubler := Drive{
		Winding:   Winding{Volts: 6.3, Crest: 1.414, Ohms: 0.1, Hertz: 60, Drawn: 3, Rated: 6},
		Rectifier: Doubler, Reservoir: 1e-3, Fuse: 0.175,
		Coils: []Coil{{
			Ohms: 1028, Rated: 12, Operate: 0.75, Release: 0.1, Ambient: 20, Rise: 150, Limit: 105, Henries: 1.799,
			Clamp: Clamp{Kind: DiodeClamp},
		}},
	}
	for _, tt := range []struct {
		name   string
		change func(d *Drive)
	}{
		{"released, line raised above the supply", func(d *Drive) {
			d.Hookup, d.Buffer = LinePullsBase, Buffer{Base: 9555, BaseEmitter: 10500}
			d.Line = Line{Source: true, Level: 40, IdleLow: true}
		}},
		{"released, and a small base resistor", func(d *Drive) {
			d.Hookup, d.Buffer = LinePullsBase, Buffer{Base: 105, BaseEmitter: 1050}
			d.Line = Line{Source: true, Level: 40, IdleLow: true}
		}},
		{"operated, base starved, with a hold capacitor", func(d *Drive) {
			d.Hookup, d.Buffer = LineFeedsBase, Buffer{Base: 15750, BaseEmitter: 315}
			d.Coils[0].Hold = Hold{47e-6, 47}
			d.Line = Line{Source: true, Level: 12, IdleLow: true}
		}},
		{"operated, base starved", func(d *Drive) {
			d.Hookup, d.Buffer = LineFeedsBase, Buffer{Base: 12600, BaseEmitter: 315}
			d.Line = Line{Source: true, Level: 12, IdleLow: true}
		}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := doubler
			d.Coils = slices.Clone(d.Coils)
			tt.change(&d)
			r, err := Solve(d)
			require.NoError(t, err)
			atMost := math.Max(2*d.Winding.Volts*d.Winding.Crest, d.Line.Level) // a line above the supply lifts it
			assert.Less(t, r.Supply.Operated, atMost)
			assert.Less(t, r.Supply.Released, atMost)
			assert.Greater(t, math.Max(r.Supply.Operated, r.Supply.Released), 0.95*2*d.Winding.Volts*d.Winding.Crest)
		})
	}
}
