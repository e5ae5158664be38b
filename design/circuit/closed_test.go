package circuit

import (
	"math"
	"math/cmplx"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A capacitor through a resistor: v = V·(1 − e^(−t/RC)).
func TestChargeOfCapacitor(t *testing.T) {
	c := New()
	in, out := c.Node("in"), c.Node("out")
	c.Voltage("V", in, Chassis, Pulse(0, 10, 1e-3, 0, 0, 1, 0))
	c.Resistor("R", in, out, 1e3)
	c.Capacitor("C", out, Chassis, 1e-6)
	tr, err := c.Transient(6e-3, TransientOptions{})
	require.NoError(t, err)
	v, i := tr.Volts(out), tr.Amps("C")
	for k, at := range tr.Times() {
		if at > 1e-3 {
			e := math.Exp(-(at - 1e-3) / 1e-3)
			assert.InDelta(t, 10*(1-e), v[k], 2e-3, "volts at %g s", at)
			assert.InDelta(t, 10e-3*e, i[k], 5e-6, "amperes at %g s", at)
		}
	}
	balancedTrace(t, tr)
}

// A coil through its resistance, and where it passes a level:
// t = (L/R)·ln(1/(1 − I/I0)).
func TestRiseOfCoil(t *testing.T) {
	c := New()
	in, a := c.Node("in"), c.Node("a")
	c.Voltage("V", in, Chassis, Pulse(0, 12, 0, 0, 0, 1, 0))
	c.Resistor("R", in, a, 960)
	c.Inductor("L", a, Chassis, 1.63)
	tr, err := c.Transient(20e-3, TransientOptions{Cold: true})
	require.NoError(t, err)
	for _, share := range []float64{0.1, 0.5, 0.8, 0.95} {
		at, ok := tr.Crossing(tr.Amps("L"), share*12/960, true, 0)
		require.True(t, ok)
		assert.InDelta(t, 1.63/960*math.Log(1/(1-share)), at, 3e-6, "passes %g of its final current", share)
	}
}

// An undamped resonance keeps its energy and its period 2π√(LC).
func TestResonanceKeepsItsEnergy(t *testing.T) {
	c := New()
	a := c.Node("a")
	c.Capacitor("C", a, Chassis, 1e-6)
	c.Inductor("L", a, Chassis, 1)
	c.Current("I", Chassis, a, Pulse(1e-3, 0, 0.1e-3, 0, 0, 1, 0))
	tr, err := c.Transient(0.1, TransientOptions{RelTol: 1e-6})
	require.NoError(t, err)
	v, i := tr.Volts(a), tr.Amps("L")
	last := len(v) - 1
	energy := func(k int) float64 { return 0.5*1e-6*v[k]*v[k] + 0.5*i[k]*i[k] }
	assert.InEpsilon(t, energy(1), energy(last), 1e-4, "energy after 16 periods")
	first, ok := tr.Crossing(v, 0, true, 1e-3)
	require.True(t, ok)
	later := first
	for range 10 {
		later, ok = tr.Crossing(v, 0, true, later+1e-3)
		require.True(t, ok)
	}
	assert.InEpsilon(t, 2*math.Pi*1e-3, (later-first)/10, 1e-3, "period")
}

// A diode with a resistor: V = R·i + n·Vt·ln(1 + i/IS) + RS·i, solved here
// by bisection. The figures of the 1N4007 class at 27 °C are those of the
// project's table: 1 mA 0.555 V, 10 mA 0.663, 100 mA 0.774, 1 A 0.912 V.
func TestDiodeThroughResistor(t *testing.T) {
	for _, tt := range []struct{ amps, volts float64 }{{1e-3, 0.555}, {10e-3, 0.663}, {0.1, 0.774}, {1, 0.912}} {
		c := New()
		a, k := c.Node("a"), c.Node("k")
		c.Current("I", Chassis, a, DC(tt.amps))
		c.Diode("D", a, k, rectifierDiode)
		c.Resistor("R", k, Chassis, 1e-3)
		p, err := c.OperatingPoint(Options{})
		require.NoError(t, err)
		assert.InDelta(t, tt.volts, p.Volts(a)-p.Volts(k), 0.0006, "at %g A", tt.amps)
		balancedPoint(t, p)
	}
	for _, ohms := range []float64{0.5, 10, 1e3, 1e6, 1e9} {
		c := New()
		in, a := c.Node("in"), c.Node("a")
		c.Voltage("V", in, Chassis, DC(5))
		c.Resistor("R", in, a, ohms)
		c.Diode("D", a, Chassis, rectifierDiode)
		p, err := c.OperatingPoint(Options{})
		require.NoError(t, err)
		low, high := 0.0, 5/ohms
		for range 200 {
			i := (low + high) / 2
			if i*(ohms+rectifierDiode.RS)+rectifierDiode.N*thermal*math.Log1p(i/rectifierDiode.IS) < 5 {
				low = i
			} else {
				high = i
			}
		}
		assert.InEpsilon(t, low, p.Amps("D"), 1e-5, "through %g Ω", ohms)
	}
}

// A zener holds IBV at BV, backwards.
func TestZener(t *testing.T) {
	c := New()
	k := c.Node("k")
	c.Current("I", Chassis, k, DC(5e-3))
	c.Diode("Z", Chassis, k, DiodeModel{IS: 1e-12, BV: 12, IBV: 5e-3})
	p, err := c.OperatingPoint(Options{})
	require.NoError(t, err)
	assert.InDelta(t, 12, p.Volts(k), 1e-6)
	assert.InDelta(t, -5e-3, p.Amps("Z"), 1e-9)
}

// Mean output over peak and ripple of the idealised rectifier circuits of
// Schade (Proc. IRE 1943), computed from their equations: ideal diode, Rs in
// each charging path. At 10 kV peak a diode's volt is a hundredth of a per
// cent.
func TestRectifiersOfSchade(t *testing.T) {
	const peak, hz, load = 10e3, 60, 10e3
	for _, tt := range []struct {
		kind string
		wCR  float64
		mean [6]float64 // at Rs/R = 0.1, 1, 2, 5, 10, 20 %
		// ripple, per cent of the mean, at 0.1, 1 and 10 %; 0: not given
		ripple [3]float64
	}{
		{"half-wave", 1, [6]float64{0.3817, 0.3782, 0.3745, 0.3636, 0.3465, 0.3159}, [3]float64{}},
		{"half-wave", 10, [6]float64{0.7898, 0.7796, 0.7636, 0.7057, 0.6217, 0.5062}, [3]float64{15.65, 15.53, 14.18}},
		{"half-wave", 100, [6]float64{0.9664, 0.9012, 0.8516, 0.7513, 0.6452, 0.5169}, [3]float64{1.71, 1.62, 1.43}},
		{"bridge", 1, [6]float64{0.6780, 0.6719, 0.6653, 0.6460, 0.6159, 0.5625}, [3]float64{}},
		{"bridge", 10, [6]float64{0.8972, 0.8861, 0.8695, 0.8167, 0.7445, 0.6426}, [3]float64{7.28, 7.14, 5.84}},
		{"bridge", 100, [6]float64{0.9815, 0.9368, 0.9031, 0.8320, 0.7517, 0.6454}, [3]float64{0.83, 0.75, 0.59}},
		{"doubler", 10, [6]float64{1.0893, 1.0827, 1.0693, 1.0070, 0.8907, 0.7047}, [3]float64{}},
		{"doubler", 50, [6]float64{1.6973, 1.6150, 1.5096, 1.2716, 1.0263, 0.7564}, [3]float64{}},
		{"doubler", 100, [6]float64{1.8286, 1.6799, 1.5472, 1.2860, 1.0320, 0.7583}, [3]float64{}},
	} {
		for k, share := range [...]float64{0.001, 0.01, 0.02, 0.05, 0.1, 0.2} {
			c, out := supplyWith(tt.kind, Sine(0, peak, hz, 0), share*load, tt.wCR/(2*math.Pi*hz*load), load, DiodeModel{IS: 1e-9})
			tr, err := c.Periodic(1.0/hz, TransientOptions{})
			require.NoError(t, err, "%s %g %g", tt.kind, tt.wCR, share)
			v := tr.Volts(out)
			mean := tr.Mean(v)
			assert.InEpsilon(t, tt.mean[k], mean/peak, 0.01, "%s, ωCR %g, Rs/R %g", tt.kind, tt.wCR, share)
			if at := map[int]int{0: 0, 1: 1, 4: 2}; tt.ripple[0] > 0 && (k == 0 || k == 1 || k == 4) {
				for i := range v {
					v[i] -= mean
				}
				assert.InEpsilon(t, tt.ripple[at[k]], 100*tr.RMS(v)/mean, 0.02, "ripple of %s, ωCR %g, Rs/R %g", tt.kind, tt.wCR, share)
			}
			balancedTrace(t, tr)
		}
	}
}

// The rectifiers on a 6.3 V winding of 0.3 Ω of the project's ngspice table:
// mean, least and swing.
func TestRectifiersOnAHeaterWinding(t *testing.T) {
	for _, tt := range []struct {
		kind               string
		farads, load, hz   float64
		mean, least, swing float64
	}{
		{"half-wave", 470e-6, 257, 60, 7.64, 7.16, 0.94}, {"half-wave", 470e-6, 257, 50, 7.56, 7.01, 1.11},
		{"half-wave", 1000e-6, 80, 60, 7.31, 6.65, 1.33}, {"half-wave", 1000e-6, 80, 50, 7.22, 6.44, 1.56},
		{"bridge", 470e-6, 178, 60, 7.03, 6.75, 0.55}, {"bridge", 470e-6, 178, 50, 7.00, 6.66, 0.66},
		{"doubler", 470e-6, 1028, 60, 15.54, 15.30, 0.48}, {"doubler", 470e-6, 1028, 50, 15.42, 15.13, 0.57},
		{"doubler", 470e-6, 400, 60, 14.48, 13.91, 1.10}, {"doubler", 470e-6, 400, 50, 14.20, 13.53, 1.28},
	} {
		c, out := supply(tt.kind, heater(tt.hz), tt.farads, tt.load, rectifierDiode)
		tr, err := c.Periodic(1/tt.hz, TransientOptions{})
		require.NoError(t, err)
		v := tr.Volts(out)
		// Half a unit of the table's last digit and 0.05 %.
		assert.InDelta(t, tt.mean, tr.Mean(v), 0.005+0.0005*tt.mean, "mean of %+v", tt)
		assert.InDelta(t, tt.least, tr.Least(v), 0.005+0.0005*tt.least, "least of %+v", tt)
		assert.InDelta(t, tt.swing, tr.Most(v)-tr.Least(v), 0.0075, "swing of %+v", tt)
	}
}

// The textbook doubler (second-hand): 5 mA, 0.01 µF and 0.05 µF, 100 kV rms,
// 50 Hz: ripple 2000 V, drop 11 000 V, mean 271.84 kV.
func TestDoublerOfTheTextbook(t *testing.T) {
	c := New()
	w, m, out := c.Node("w"), c.Node("m"), c.Node("out")
	d := DiodeModel{IS: 1e-9}
	c.Voltage("V", w, Chassis, Sine(0, 100e3*math.Sqrt2, 50, 0))
	c.Capacitor("C1", w, m, 0.01e-6)
	c.Diode("D1", Chassis, m, d)
	c.Diode("D2", m, out, d)
	c.Capacitor("C2", out, Chassis, 0.05e-6)
	c.Current("I", out, Chassis, DC(5e-3))
	tr, err := c.Periodic(20e-3, TransientOptions{})
	require.NoError(t, err)
	v := tr.Volts(out)
	assert.InEpsilon(t, 271.84e3, tr.Mean(v), 0.001)
	// The textbook lets C2 carry the load for the whole period; D2 feeds it for
	// the last fifteenth of each, and the swing is 6.5 % less.
	assert.InEpsilon(t, 2000*0.935, tr.Most(v)-tr.Least(v), 0.005)
}

// Release of a 12 V coil of 960 Ω and 1.63 H against a clamp of constant
// voltage: t = (L/R)·ln((I0 + Vc/R)/(Ih + Vc/R)).
func TestReleaseAgainstClamp(t *testing.T) {
	for _, tt := range []struct{ clamp, share, ms float64 }{
		{0.7, 0.1, 3.23}, {12.7, 0.1, 0.98}, {24.7, 0.1, 0.59}, {0.7, 0.3, 1.84}, {12.7, 0.3, 0.71}, {24.7, 0.3, 0.44},
	} {
		c := New()
		s, a, k := c.Node("s"), c.Node("a"), c.Node("k")
		c.Voltage("V", s, Chassis, DC(12))
		c.Resistor("R", s, a, 960)
		c.Inductor("L", a, k, 1.63)
		c.Switch("S", k, Chassis, Switch{On: 1e-3, Closed: true, Times: []Toggle{{1e-3, false}}})
		c.Voltage("Vc", c.Node("z"), s, DC(tt.clamp))
		c.Diode("D", k, c.Node("z"), DiodeModel{IS: 1e-12, N: 0.01}) // drops 6 mV
		c.Armature("K", Armature{Coil: "L", Operate: 10e-3, Release: tt.share * 12.5e-3})
		tr, err := c.Transient(10e-3, TransientOptions{})
		require.NoError(t, err)
		at, ok := tr.Event("K", StartsReleasing, 0)
		require.True(t, ok)
		i0, v := 12.0/960.001, tt.clamp+0.006
		exact := 1.63 / 960 * math.Log((i0+v/960)/(tt.share*12.5e-3+v/960))
		assert.InDelta(t, exact, at-1e-3, 0.5e-6, "clamp %g V, release at %g", tt.clamp, tt.share)
		assert.InDelta(t, tt.ms, 1e3*(at-1e-3), 0.03, "the project's table, clamp %g V, release at %g", tt.clamp, tt.share)
	}
}

// Small signals: a divider of R and C, a series resonance, a cathode follower.
func TestSmallSignals(t *testing.T) {
	t.Run("divider", func(t *testing.T) {
		c := New()
		in, out := c.Node("in"), c.Node("out")
		c.Voltage("V", in, Chassis, DC(0).WithAC(10, 90))
		c.Resistor("R", in, out, 1e3)
		c.Capacitor("C", out, Chassis, 1e-6)
		p, err := c.AC(nil, 100)
		require.NoError(t, err)
		want := 10i / complex(1, 2*math.Pi*100*1e-3)
		assert.InDelta(t, 0, cmplx.Abs(want-p.Volts(out)), 1e-12)
		assert.InDelta(t, 0, cmplx.Abs(want*complex(0, 2*math.Pi*100*1e-6)-p.Amps("C")), 1e-14)
		assert.InDelta(t, 0, cmplx.Abs(p.Amps("R")+p.Amps("V")), 1e-14)
		balancedPhasors(t, c, p)
	})
	t.Run("resonance", func(t *testing.T) {
		c := New()
		a, b := c.Node("a"), c.Node("b")
		c.Inductor("L", a, b, 1e-6)
		c.Capacitor("C", b, Chassis, 1e-9)
		c.Resistor("R", a, Chassis, 1e6)
		hz := 1 / (2 * math.Pi * math.Sqrt(1e-15))
		z, err := c.Impedance(nil, a, Chassis, hz)
		require.NoError(t, err)
		assert.Less(t, cmplx.Abs(z), 1e-6)
		z, err = c.Impedance(nil, a, Chassis, 2*hz)
		require.NoError(t, err)
		x := 2*math.Pi*2*hz*1e-6 - 1/(2*math.Pi*2*hz*1e-9)
		assert.InEpsilon(t, x, imag(z), 1e-6)
	})
	t.Run("cathode", func(t *testing.T) {
		c := lifted(10e3)
		c.SetValue("Ck", 1e-15)
		c.SetValue("Rg2", 1e-3)
		p, err := c.OperatingPoint(Options{})
		require.NoError(t, err)
		tube := p.Tube("V1")
		z, err := c.Impedance(p, c.Node("k"), Chassis, 1000)
		require.NoError(t, err)
		// Contact closed: 270 Ω beside 1/(gm + gs), for grid and screen stand still.
		assert.InEpsilon(t, 1/(1/270.01+tube.Gm+tube.ScreenGm), real(z), 1e-6)
		a, err := c.AC(p, 1000)
		require.NoError(t, err)
		balancedPhasors(t, c, a)
		// gm/(1 + (gm + gs)·Rk)
		assert.InEpsilon(t, tube.Gm/(1+(tube.Gm+tube.ScreenGm)*270.01), real(a.Amps("V1.cathode")), 1e-6)
	})
	t.Run("needs a point", func(t *testing.T) {
		_, err := lifted(10e3).AC(nil, 1000)
		assert.ErrorIs(t, err, ErrNetwork)
	})
}
