package drive

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heaters is a stiff 6.3 V winding with one side at chassis.
func heaters(hertz float64) Winding {
	return Winding{Volts: 6.3, Crest: math.Sqrt2, Ohms: 0.3, Hertz: hertz, Drawn: 3.2, Rated: 4}
}

// load is a coil without anything that moves: a resistor.
func load(ohms float64) Coil {
	return Coil{Ohms: ohms, Rated: 12, Operate: 0.75, Release: 0.1, Ambient: 20, Rise: 150, Limit: 105, Clamp: Clamp{Kind: DiodeClamp}}
}

// signal is a coil of the signal class, 12 V, 140 mW.
func signal() Coil {
	c := load(1028)
	c.Henries = 1.8
	return c
}

// Small rectifiers from 6.3 V rms behind 0.3 ohm with a diode of the 1N4007
// class, solved with ngspice.
func TestSmallRectifiers(t *testing.T) {
	tests := []struct {
		rectifier    Rectifier
		grounding    Grounding
		farads, ohms float64
		hertz        float64
		mean, least  float64
		ripple       float64
	}{
		{HalfWave, OneSide, 470e-6, 257, 60, 7.64, 7.16, 0.94},
		{HalfWave, OneSide, 470e-6, 257, 50, 7.56, 7.01, 1.11},
		{HalfWave, OneSide, 1000e-6, 80, 60, 7.31, 6.65, 1.33},
		{HalfWave, OneSide, 1000e-6, 80, 50, 7.22, 6.44, 1.56},
		{Bridge, Floating, 470e-6, 178, 60, 7.03, 6.75, 0.55},
		{Bridge, Floating, 470e-6, 178, 50, 7.00, 6.66, 0.66},
		{Doubler, OneSide, 470e-6, 1028, 60, 15.54, 15.30, 0.48},
		{Doubler, OneSide, 470e-6, 1028, 50, 15.42, 15.13, 0.57},
		{Doubler, OneSide, 470e-6, 400, 60, 14.48, 13.91, 1.10},
		{Doubler, OneSide, 470e-6, 400, 50, 14.20, 13.53, 1.28},
	}
	for _, tt := range tests {
		t.Run(fmt.Sprint(tt.rectifier, tt.ohms, tt.hertz), func(t *testing.T) {
			w := heaters(tt.hertz)
			w.Grounding = tt.grounding
			r, err := Solve(Drive{
				Winding: w, Rectifier: tt.rectifier, Reservoir: tt.farads,
				Coils: []Coil{load(tt.ohms)}, Warmth: AtTwenty,
			})
			require.NoError(t, err)
			// 0.5 %, and half a unit of the last place of the table.
			assert.InDelta(t, tt.mean, r.Supply.Operated, 0.005*tt.mean)
			assert.InDelta(t, tt.least, r.Coils[0].Least, 0.005*tt.least)
			assert.InDelta(t, tt.ripple, r.Supply.Ripple, 0.005*tt.ripple+0.005)
		})
	}
}

// larkmoor is a signal relay on a doubler from the heaters, keyed by a contact.
func larkmoor() Drive {
	w := heaters(60)
	w.Ohms = 0.15
	return Drive{Winding: w, Rectifier: Doubler, Reservoir: 470e-6, Coils: []Coil{signal()}}
}

func solve(t *testing.T, d Drive) Result {
	t.Helper()
	r, err := Solve(d)
	require.NoError(t, err)
	return r
}

// Common practice, no source: a 6.3 V heater supply with one side grounded
// makes a keying line of about 12 V through a doubler, 12 … 18 V idle.
func TestDoublerIdlesAt12To18V(t *testing.T) {
	for _, mains := range []float64{0.9, 1, 1.05} {
		d := larkmoor()
		d.Winding.Volts *= mains
		r := solve(t, d)
		assert.Greater(t, r.Line.Open, 12.0)
		assert.Less(t, r.Line.Open, 18.0)
	}
}

// A 12 V coil on a doubler from 6.3 V sits at 118 … 131 % of its rated voltage
// (computed with ngspice for coils of 400 … 1028 ohm, cold and warm).
func TestDoublerOverdrivesA12VCoil(t *testing.T) {
	for _, ohms := range []float64{400, 700, 1028} {
		for _, warmth := range []Warmth{AtTwenty, Settled} {
			for _, hertz := range []float64{50, 60} {
				d := Drive{Winding: heaters(hertz), Rectifier: Doubler, Reservoir: 470e-6, Coils: []Coil{load(ohms)}, Warmth: warmth}
				part := solve(t, d).Coils[0].Volts / 12
				assert.GreaterOrEqual(t, part, 1.18)
				assert.LessOrEqual(t, part, 1.31)
			}
		}
	}
}

// A flat-topped winding costs a doubler up to 7 % (computed with ngspice).
func TestFlatTops(t *testing.T) {
	d := larkmoor()
	d.Warmth = AtTwenty
	full := solve(t, d).Supply.Operated
	before := full
	for _, crest := range []float64{1.39, 1.36, 1.33, 1.31} {
		d.Winding.Crest = crest
		now := solve(t, d).Supply.Operated
		assert.Less(t, now, before, "crest %g", crest)
		before = now
	}
	assert.InDelta(t, 0.93, before/full, 0.005)
}

// The rms of a drive's current on a stiff 6.3 V winding is 2.5 (bridge), 3.6
// (half-wave) and 5.4 (doubler) times its direct current (computed with
// ngspice at the loads of the table of small rectifiers).
func TestFormFactorOfTheWindingCurrent(t *testing.T) {
	tests := []struct {
		name      string
		rectifier Rectifier
		grounding Grounding
		ohms      float64
		factor    float64
	}{
		{"bridge", Bridge, Floating, 178, 2.5},
		{"half-wave", HalfWave, OneSide, 257, 3.6},
		{"doubler", Doubler, OneSide, 1028, 5.4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := heaters(60)
			w.Grounding = tt.grounding
			r := solve(t, Drive{Winding: w, Rectifier: tt.rectifier, Reservoir: 470e-6, Coils: []Coil{load(tt.ohms)}, Warmth: AtTwenty})
			assert.InDelta(t, tt.factor, r.Winding.Current/r.Coils[0].Amps, 0.1)
		})
	}
}

// Heaters and drive add as waveforms: more than the larger, less than the sum
// of both, and on a doubler more than their squares would, for the pulses fall
// on the crests of the heaters' current.
func TestWindingLoad(t *testing.T) {
	d := larkmoor()
	d.Coils[0].Ohms = 100
	r := solve(t, d).Winding
	assert.Greater(t, r.Total, math.Hypot(d.Winding.Drawn, r.Current))
	assert.Less(t, r.Total, d.Winding.Drawn+r.Current)
	assert.InEpsilon(t, r.Total/d.Winding.Rated, r.Load, 1e-9)

	d.Winding.Rated = 0
	assert.Zero(t, solve(t, d).Winding.Load, "rating not known")
}

// A path from one end of a winding with a grounded tap is the same circuit as
// a winding of half the voltage and half the resistance.
func TestHalfAWinding(t *testing.T) {
	tapped, plain := larkmoor(), larkmoor()
	tapped.Winding.Volts *= 2
	tapped.Winding.Ohms *= 2
	tapped.Winding.Grounding = CentreTap
	a, b := solve(t, tapped), solve(t, plain)
	assert.InDelta(t, b.Supply.Operated, a.Supply.Operated, 1e-6)
	assert.InDelta(t, b.Winding.Current, a.Winding.Current, 1e-6)
}

// Twelve volts of a stiff rail on a coil of 960 ohm: everything has a closed form.
func TestCoilOnARail(t *testing.T) {
	coil := load(960)
	coil.Operate, coil.Ambient, coil.Dropper = 0.8, 50, 100
	d := Drive{Rail: Rail{Volts: 15, Ohms: 50}, Coils: []Coil{coil}, Line: Line{Drop: 0.4, Leakage: 10e-6}}

	t.Run("at 20 °C", func(t *testing.T) {
		d.Warmth = AtTwenty
		r := solve(t, d)
		amps := (15 - 0.4) / (960 + 100 + 50)
		c := r.Coils[0]
		assert.InEpsilon(t, amps, c.Amps, 1e-5)
		assert.InEpsilon(t, amps*960, c.Volts, 1e-5)
		assert.InEpsilon(t, amps*960, c.Least, 1e-5)
		assert.InEpsilon(t, amps*amps*960, c.Watts, 1e-5)
		assert.InEpsilon(t, amps*amps*100, c.Dropper, 1e-5)
		assert.InEpsilon(t, amps*960/(0.8*12), c.Operate, 1e-5)
		assert.InEpsilon(t, amps, r.Line.Closed, 1e-5)
		assert.InEpsilon(t, 15-amps*50, r.Supply.Operated, 1e-5)
		assert.InDelta(t, 0, r.Supply.Ripple, 1e-9)
		released := (15 - 10e-6*50) / (1 + 50/Meter)
		assert.InEpsilon(t, released, r.Supply.Released, 1e-6)
		assert.InDelta(t, released-10e-6*(960+100), r.Line.Open, 1e-4)
		margin, ok := c.Release()
		require.True(t, ok)
		assert.InEpsilon(t, 0.1*12/(10e-6*960), margin, 1e-3)
		assert.Zero(t, r.Winding)
	})
	t.Run("in its own heat", func(t *testing.T) {
		d.Warmth = Settled
		c := solve(t, d).Coils[0]
		// R = R20·(234.5 + T)/254.5 and T = 50 + 150·i²R, i = 14.6 V/(R + 150 ohm).
		amps := 14.6 / (c.Ohms + 150)
		assert.InDelta(t, 50+150*amps*amps*c.Ohms, c.Celsius, 0.1)
		assert.InEpsilon(t, 960*(234.5+c.Celsius)/254.5, c.Ohms, 1e-6)
		assert.InEpsilon(t, amps*c.Ohms/(9.6*c.Ohms/960), c.Operate, 1e-4)
	})
	t.Run("just keyed", func(t *testing.T) {
		d.Warmth = Fresh
		assert.InDelta(t, 50, solve(t, d).Coils[0].Celsius, 1e-6)
	})
	t.Run("no leakage, no release margin", func(t *testing.T) {
		d.Line.Leakage = 0
		_, ok := solve(t, d).Coils[0].Release()
		assert.False(t, ok)
	})
}

// What leaks to chassis takes the open line no further than chassis, however much
// it is said to be: behind 10 kohm to the base a source of 5 mA would stand at -35 V.
func TestLeakageEndsAtChassis(t *testing.T) {
	for _, leakage := range []float64{0.1e-3, 5e-3, 1} {
		r := solve(t, Drive{
			Rail: Rail{Volts: 15}, Coils: []Coil{load(960)}, Hookup: LinePullsBase, Warmth: AtTwenty,
			Buffer: Buffer{Base: 10e3, BaseEmitter: 10e3}, Line: Line{Leakage: leakage},
		})
		assert.GreaterOrEqual(t, r.Line.Open, 0.0, "%g A", leakage)
		assert.Less(t, r.Line.Open, 15.0, "%g A", leakage)
	}
}

// A line whose drop is above what the base comes to by itself finds nothing to
// take: it feeds no current into the base, and the transistor stays on.
func TestLineThatShortsABaseOnlyTakes(t *testing.T) {
	d := Drive{
		Rail: Rail{Volts: 12}, Coils: []Coil{load(960)}, Hookup: LineShortsBase, Warmth: AtTwenty,
		Buffer: Buffer{Base: 15e3, BaseEmitter: 10e3}, Line: Line{Drop: 0.1},
	}
	r := solve(t, d)
	assert.InEpsilon(t, 11.9/15e3-0.1/10e3, r.Line.Closed, 1e-3)
	assert.InDelta(t, 0.1, r.Buffer.Off, 1e-6)

	d.Line.Drop = 0.8
	r = solve(t, d)
	assert.InDelta(t, 0, r.Line.Closed, 1e-12)
	assert.InDelta(t, 0.72, r.Buffer.Off, 0.02, "the base's own voltage")
}

// A transistor that is off amplifies nothing: it never looks like one that
// saturates, as the ratio of two leakages would.
func TestStarvedBase(t *testing.T) {
	r := solve(t, Drive{
		Rail: Rail{Volts: 12}, Coils: []Coil{load(960)}, Hookup: LineShortsBase, Warmth: AtTwenty,
		Buffer: Buffer{Base: 1e6, BaseEmitter: 100},
	})
	assert.GreaterOrEqual(t, r.Buffer.Gain, Switching.BF)
}

// An empty hold capacitor takes what the resistors in its way let through.
func TestHoldCapacitorsInrush(t *testing.T) {
	coil := load(960)
	d := Drive{Rail: Rail{Volts: 15}, Coils: []Coil{coil}, Line: Line{Drop: 0.4}, Warmth: AtTwenty}
	assert.Zero(t, solve(t, d).Inrush, "no hold capacitor")
	d.Coils[0].Hold, d.Coils[0].Dropper = Hold{Farads: 10e-6, Ohms: 100}, 50
	assert.InEpsilon(t, 14.6/150.1, solve(t, d).Inrush, 1e-4)
	d.Rail.Ohms = 50
	assert.InEpsilon(t, 14.6/200.1, solve(t, d).Inrush, 1e-4, "without a reservoir the rail limits it too")
}

// Operate voltage 9.6 V at 20 °C is 11.58 V at 72.5 °C (IEC 60028): a coil
// that warm on just that voltage has a margin of one.
func TestWarmCoilNeedsMore(t *testing.T) {
	coil := load(960)
	coil.Operate, coil.Ambient = 0.8, 72.5
	r := solve(t, Drive{Rail: Rail{Volts: 11.58}, Coils: []Coil{coil}, Warmth: Fresh})
	assert.InDelta(t, 1, r.Coils[0].Operate, 0.001)
}

// The heat of a coil on a doubler, found in a few solutions, is the same as
// that of one solved again at the resistance found.
func TestTemperatureIsSettled(t *testing.T) {
	for _, dropper := range []float64{0, 220, 1000} {
		d := larkmoor()
		d.Coils[0].Dropper, d.Coils[0].Ambient = dropper, 50
		c := solve(t, d).Coils[0]
		assert.InDelta(t, 50+150*c.Watts, c.Celsius, 0.15, "dropper %g", dropper)
	}
}

// Two coils in parallel: each has its own dropper, and the supply carries both.
func TestCoilsInParallel(t *testing.T) {
	d := Drive{Rail: Rail{Volts: 12, Ohms: 10}, Coils: []Coil{load(960), load(480)}, Warmth: AtTwenty}
	d.Coils[1].Dropper = 480
	r := solve(t, d)
	assert.InEpsilon(t, r.Coils[0].Amps, r.Coils[1].Amps, 1e-6)
	assert.InEpsilon(t, 12-10*(r.Coils[0].Amps+r.Coils[1].Amps), r.Supply.Operated, 1e-6)
	assert.InEpsilon(t, r.Coils[0].Volts/2, r.Coils[1].Volts, 1e-5)
	assert.InEpsilon(t, r.Coils[0].Amps+r.Coils[1].Amps, r.Line.Closed, 1e-5)
}

func TestKick(t *testing.T) {
	clamped := func(c Clamp) Drive {
		d := larkmoor()
		d.Coils[0].Clamp = c
		return d
	}
	diode := solve(t, clamped(Clamp{Kind: DiodeClamp}))
	assert.True(t, diode.Line.Clamped)
	// 0.555 V at 1 mA and 0.663 V at 10 mA: 0.68 V at 13 … 15 mA.
	assert.InDelta(t, diode.Supply.Released+0.68, diode.Line.Kick, 0.01)

	zener := solve(t, clamped(Clamp{Kind: DiodeAndZener, Zener: 12}))
	assert.InDelta(t, diode.Line.Kick+12, zener.Line.Kick, 0.1)

	none := solve(t, clamped(Clamp{}))
	assert.False(t, none.Line.Clamped)
	assert.Zero(t, none.Line.Kick)
}

// The buffers on a stiff rail; a junction at these currents has 0.6 … 0.75 V.
func TestBuffers(t *testing.T) {
	rail := Rail{Volts: 15}
	tests := []struct {
		name          string
		hookup        Hookup
		buffer        Buffer
		line          Line
		base          float64 // A
		closed        float64 // A
		open, off     float64 // V
		openTolerance float64
	}{
		{"pnp pulled down", LinePullsBase, Buffer{Base: 10e3, BaseEmitter: 10e3}, Line{Drop: 0.3, Leakage: 20e-6},
			(15-0.7-0.3)/10e3 - 0.07e-3, (15 - 0.7 - 0.3) / 10e3, 15 - 20e-6*20e3, 0.2, 0.01},
		{"npn shorted by the line", LineShortsBase, Buffer{Base: 10e3}, Line{Drop: 0.2},
			(15 - 0.7) / 10e3, (15 - 0.2) / 10e3, 0.7, 0.2, 0.05},
		{"npn fed by the line", LineFeedsBase, Buffer{Base: 10e3, BaseEmitter: 10e3}, Line{Source: true, Level: 12, Leakage: 5e-6},
			(12-0.7)/10e3 - 0.07e-3, (12 - 0.7) / 10e3, 5e-6 * 20e3, 0.05, 0.01},
		{"pnp lifted by the line", LinePullsBase, Buffer{Base: 10e3, BaseEmitter: 10e3}, Line{Source: true, Level: 14.8, IdleLow: true},
			(15-0.7)/10e3 - 0.07e-3, (15 - 0.7) / 10e3, 14.8, 0.1, 0.01},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := solve(t, Drive{Rail: rail, Coils: []Coil{load(960)}, Warmth: AtTwenty, Hookup: tt.hookup, Buffer: tt.buffer, Line: tt.line})
			assert.InDelta(t, tt.base, r.Buffer.Base, 0.01e-3)
			assert.InDelta(t, tt.closed, r.Line.Closed, 0.01e-3)
			assert.InDelta(t, tt.open, r.Line.Open, tt.openTolerance)
			assert.InDelta(t, tt.off, r.Buffer.Off, 0.001)
			assert.InDelta(t, r.Coils[0].Amps/r.Buffer.Base, r.Buffer.Gain, 0.01)
			assert.InDelta(t, 15, r.Coils[0].Volts, 0.15, "saturated")
			assert.InDelta(t, r.Line.Open, r.Line.Kick, 1e-9, "the coil does not kick a buffered line")
			assert.InDelta(t, 15.68, r.Buffer.Volts, 0.01)
			_, ok := r.Coils[0].Release()
			assert.False(t, ok, "a transistor that is off leaves nothing on the coil")
		})
	}
}

// A line that leaves more than 0.3 V does not turn an npn off: the coil keeps
// what the half-open transistor lets through.
func TestLineThatDoesNotShort(t *testing.T) {
	d := Drive{Rail: Rail{Volts: 15}, Coils: []Coil{load(960)}, Hookup: LineShortsBase, Buffer: Buffer{Base: 10e3}, Line: Line{Drop: 0.7}}
	r := solve(t, d)
	assert.InDelta(t, 0.7, r.Buffer.Off, 1e-3)
	margin, ok := r.Coils[0].Release()
	require.True(t, ok)
	assert.Less(t, margin, 1.0)
}

func TestLineFeedsTheCoil(t *testing.T) {
	d := Drive{Coils: []Coil{load(960)}, Hookup: LineFeedsCoil, Line: Line{Source: true, Level: 13.8, Leakage: 10e-6}, Warmth: AtTwenty}
	r := solve(t, d)
	assert.InEpsilon(t, 13.8, r.Coils[0].Volts, 1e-5)
	assert.InEpsilon(t, 13.8/960, r.Line.Closed, 1e-5)
	assert.InEpsilon(t, 10e-6*960, r.Line.Open, 1e-3)
	assert.InDelta(t, 13.8+0.68, r.Line.Kick, 0.01)
	margin, ok := r.Coils[0].Release()
	require.True(t, ok)
	assert.InEpsilon(t, 125, margin, 1e-3)

	d.Rail.Ohms = 40
	assert.InEpsilon(t, 13.8*960/1000, solve(t, d).Coils[0].Volts, 1e-5, "resistance of the source")

	d.Line.IdleLow = true
	_, ok = solve(t, d).Coils[0].Release()
	assert.False(t, ok, "a grounded line leaves nothing on the coil")
}

// The released supply does not depend on the reservoir, and what is used in
// its place does not show.
func TestReleasedSupplyIsThatOfAnyReservoir(t *testing.T) {
	d := larkmoor()
	var before float64
	for _, farads := range []float64{100e-6, 470e-6, 2200e-6} {
		d.Reservoir = farads
		now := solve(t, d).Supply.Released
		if before > 0 {
			assert.InEpsilon(t, before, now, 1e-6)
		}
		before = now
	}
	// At 1.7 µA a diode has 0.26 V: two of them below twice the crest.
	assert.InDelta(t, 2*6.3*math.Sqrt2-2*0.26, before, 0.4)
}

func TestRefused(t *testing.T) {
	tests := []struct {
		name   string
		change func(*Drive)
		says   string
	}{
		{"bridge on one side", func(d *Drive) { d.Rectifier = Bridge }, "may not stand"},
		{"no coil", func(d *Drive) { d.Coils = nil }, "needs a coil"},
		{"no reservoir", func(d *Drive) { d.Reservoir = 0 }, "reservoir must be above zero"},
		{"NaN", func(d *Drive) { d.Winding.Volts = math.NaN() }, "voltage of the winding must be finite"},
		{"infinite coil", func(d *Drive) { d.Coils[0].Ohms = math.Inf(1) }, "coil 1: resistance must be finite"},
		{"negative dropper", func(d *Drive) { d.Coils[0].Dropper = -1 }, "coil 1: dropper must not be negative"},
		{"buffer without base resistor", func(d *Drive) { d.Hookup = LinePullsBase }, "base resistor must be above zero"},
		{"coil fed by a contact", func(d *Drive) { d.Hookup, d.Rectifier = LineFeedsCoil, None }, "must be a source"},
		{"base fed by a contact", func(d *Drive) { d.Hookup, d.Buffer.Base = LineFeedsBase, 1e3 }, "must be a source"},
		{"crest of a triangle", func(d *Drive) { d.Winding.Crest = 1.7 }, "crest"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := larkmoor()
			tt.change(&d)
			_, err := Solve(d)
			assert.ErrorContains(t, err, tt.says)
		})
	}
}

func BenchmarkSolve(b *testing.B) {
	for b.Loop() {
		if _, err := Solve(larkmoor()); err != nil {
			b.Fatal(err)
		}
	}
}

// A drive that is solved from the state of another is the drive that is solved
// from nothing, be the other like it or not.
func TestNear(t *testing.T) {
	start, err := Solve(larkmoor())
	require.NoError(t, err)
	for _, tt := range []struct {
		name   string
		change func(d *Drive)
	}{
		{"the same", func(*Drive) {}},
		{"high mains", func(d *Drive) { d.Winding.Volts *= 1.1 }},
		{"low mains, hot", func(d *Drive) { d.Winding.Volts *= 0.9; d.Warmth = Settled }},
		{"flat tops", func(d *Drive) { d.Winding.Crest = 1.3 }},
		{"another coil", func(d *Drive) { d.Coils[0].Ohms /= 4 }},
		{"a dropper", func(d *Drive) { d.Coils[0].Dropper = 470 }},
		{"another rectifier", func(d *Drive) { d.Rectifier = HalfWave }},
		{"ten times the winding", func(d *Drive) { d.Winding.Volts *= 10 }},
		{"a rail", func(d *Drive) { d.Rectifier, d.Rail = None, Rail{12, 10} }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := larkmoor()
			tt.change(&d)
			want, err := Solve(d)
			require.NoError(t, err)
			got, err := start.Near(d)
			require.NoError(t, err)
			assert.InEpsilon(t, want.Supply.Released, got.Supply.Released, 1e-4)
			assert.InEpsilon(t, want.Supply.Operated, got.Supply.Operated, 1e-4)
			assert.InEpsilon(t, want.Coils[0].Amps, got.Coils[0].Amps, 1e-4)
			assert.InEpsilon(t, want.Coils[0].Ceiling, got.Coils[0].Ceiling, 1e-4)
			if d.Rectifier != None {
				assert.InEpsilon(t, want.Winding.Current, got.Winding.Current, 1e-3)
				assert.InEpsilon(t, want.Diode.Peak, got.Diode.Peak, 5e-3)
			}
		})
	}
}
