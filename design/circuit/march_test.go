package circuit

import (
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The trapezoidal rule is of second order: half the step, a quarter of the
// error. A sine into RC, on a fixed grid, against the exact course.
func TestOrderByHalvingTheStep(t *testing.T) {
	const r, farads, hz = 1e3, 1e-6, 200.0
	worst := func(steps int) float64 {
		c := New()
		in, out := c.Node("in"), c.Node("out")
		c.Voltage("V", in, Chassis, Sine(0, 10, hz, 0))
		c.Resistor("R", in, out, r)
		c.Capacitor("C", out, Chassis, farads)
		s, bad := c.prepare(false)
		require.Nil(t, bad)
		s.empty()
		m := newMarch(s, StageTransient, TransientOptions{}, 1/hz)
		require.Nil(t, m.settle())
		h := 1 / hz / float64(steps)
		w, tau := 2*math.Pi*hz, r*farads
		k := 10 / (1 + w*w*tau*tau)
		worst := 0.0
		for range steps {
			_, err := m.solve(trapezoid, h, false)
			require.NoError(t, err)
			s.rates(trapezoid, m.newRate)
			m.take(trapezoid, h, false)
			exact := k * (math.Sin(w*m.t) - w*tau*math.Cos(w*m.t) + w*tau*math.Exp(-m.t/tau))
			worst = max(worst, math.Abs(s.x[out]-exact))
		}
		return worst
	}
	e1, e2, e3 := worst(50), worst(100), worst(200)
	assert.InDelta(t, 4, e1/e2, 0.1)
	assert.InDelta(t, 4, e2/e3, 0.1)
}

// A tolerance a hundred times smaller moves nothing that anyone reads.
func TestToleranceIsSmallEnough(t *testing.T) {
	for _, kind := range []string{"half-wave", "bridge", "doubler"} {
		for _, load := range []float64{80, 1028, 1e5, 1e7} {
			c, out := supply(kind, heater(60), 470e-6, load, rectifierDiode)
			coarse, err := c.Periodic(1.0/60, TransientOptions{})
			require.NoError(t, err)
			fine, err := c.Periodic(1.0/60, TransientOptions{RelTol: 2e-7, MaxStep: 20e-6})
			require.NoError(t, err)
			assert.InEpsilon(t, fine.Mean(fine.Volts(out)), coarse.Mean(coarse.Volts(out)), 2e-4, "mean, %s on %g Ω", kind, load)
			assert.InEpsilon(t, fine.RMS(fine.Amps("V")), coarse.RMS(coarse.Amps("V")), 5e-3, "winding current, %s on %g Ω", kind, load)
		}
	}
}

// The periodic steady state is where a long transient ends.
func TestPeriodicIsWhereATransientEnds(t *testing.T) {
	for _, s := range []Source{heater(60), ClippedSine(6.3, 1.3, 60, 0), ClippedSine(6.3, 1, 60, 0)} {
		c, out := supply("doubler", s, 470e-6, 400, rectifierDiode)
		steady, err := c.Periodic(1.0/60, TransientOptions{})
		require.NoError(t, err)
		long, err := c.Transient(4, TransientOptions{Cold: true})
		require.NoError(t, err)
		last := long.Window(4-1.0/60, 4)
		assert.InEpsilon(t, last.Mean(last.Volts(out)), steady.Mean(steady.Volts(out)), 3e-4)
		on, err := c.Transient(2.0/60, TransientOptions{Start: steady.End()})
		require.NoError(t, err)
		assert.InEpsilon(t, steady.Most(steady.Volts(out)), on.Most(on.Volts(out)), 3e-4, "and a transient may start from it")
	}
}

// The same circuit gives the same bits twice, also after other values and
// another kind of solution, and beside other circuits.
func TestSameBitsTwice(t *testing.T) {
	c := keyed("zener")
	first, err := c.Transient(50e-3, TransientOptions{})
	require.NoError(t, err)
	c.SetValue("Rc", 500)
	_, err = c.OperatingPoint(Options{})
	require.NoError(t, err)
	c.SetValue("Rc", 960)
	second, err := c.Transient(50e-3, TransientOptions{})
	require.NoError(t, err)
	assert.Equal(t, first.times, second.times)
	assert.Equal(t, first.data, second.data)
	assert.Equal(t, first.events, second.events)

	s, _ := supply("bridge", heater(50), 470e-6, 178, rectifierDiode)
	one, err := s.Periodic(0.02, TransientOptions{})
	require.NoError(t, err)
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			other, _ := supply("bridge", heater(50), 470e-6, 178, rectifierDiode)
			two, err := other.Periodic(0.02, TransientOptions{})
			if assert.NoError(t, err) {
				assert.Equal(t, one.data, two.data)
			}
		})
	}
	wait.Wait()
}

// Newton's loop does not allocate.
func TestNewtonDoesNotAllocate(t *testing.T) {
	c := lifted(10e3)
	_, err := c.OperatingPoint(Options{})
	require.NoError(t, err)
	s := c.work
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		clear(s.x)
		s.assemble(atRest, 0, 0)
		if _, err := s.newton(100, restTolerance); err != nil {
			t.Error(err)
		}
	}))
}

// A guess shortens the way and does not move its end.
func TestGuess(t *testing.T) {
	c := lifted(10e3)
	cold, err := c.OperatingPoint(Options{})
	require.NoError(t, err)
	warm, err := c.OperatingPoint(Options{Guess: cold, MaxIterations: 2})
	require.NoError(t, err)
	assert.InDeltaSlice(t, cold.record, warm.record, 1e-9)
	balancedPoint(t, warm)
}

// Traces are asked by windows, crossings and interpolation.
func TestTraceQuestions(t *testing.T) {
	c := New()
	a := c.Node("a")
	c.Voltage("V", a, Chassis, Pulse(0, 10, 1e-3, 1e-3, 1e-3, 1e-3, 0))
	c.Resistor("R", a, Chassis, 1e3)
	tr, err := c.Transient(5e-3, TransientOptions{})
	require.NoError(t, err)
	v := tr.Volts(a)
	assert.InDelta(t, 5, tr.At(v, 1.5e-3), 1e-6)
	assert.InDelta(t, 0, tr.At(v, -1), 0)
	assert.InDelta(t, 0, tr.At(v, 9), 1e-6)
	up, ok := tr.Crossing(v, 2.5, true, 0)
	assert.True(t, ok)
	assert.InDelta(t, 1.25e-3, up, 1e-9)
	down, ok := tr.Crossing(v, 2.5, false, 0)
	assert.True(t, ok)
	assert.InDelta(t, 3.75e-3, down, 1e-9)
	_, ok = tr.Crossing(v, 11, true, 0)
	assert.False(t, ok)
	assert.InDelta(t, 4, tr.Mean(v), 1e-6)
	assert.InDelta(t, math.Sqrt((1.0/3+1+1.0/3)*100/5), tr.RMS(v), 1e-6)
	w := tr.Window(2e-3, 3e-3)
	assert.InDelta(t, 10, w.Mean(w.Volts(a)), 1e-6)
	assert.InDelta(t, 10, w.Least(w.Volts(a)), 1e-6)
	assert.InDelta(t, 10e-3, w.Most(w.Amps("R")), 1e-9)
	balancedTrace(t, tr)
}

// A circuit that is refilled gives the bits of a new one; one that turns out to
// be another says so.
func TestRefill(t *testing.T) {
	stage := func(c *Circuit, ohms float64, more bool) {
		b, k := c.Node("b"), c.Node("k")
		c.Voltage("V", b, Chassis, DC(250))
		c.Resistor("Rk", k, Chassis, ohms)
		c.Capacitor("Ck", k, Chassis, 25e-6)
		c.Tube("T", b, b, Chassis, k, aBeamTube)
		if more {
			c.Resistor("Rb", b, k, 1e5)
		}
	}
	c := New()
	stage(c, 270, false)
	_, err := c.OperatingPoint(Options{})
	require.NoError(t, err)
	c.Refill()
	stage(c, 10e3, false)
	require.True(t, c.Refilled())
	again, err := c.OperatingPoint(Options{})
	require.NoError(t, err)
	fresh := New()
	stage(fresh, 10e3, false)
	want, err := fresh.OperatingPoint(Options{})
	require.NoError(t, err)
	assert.Equal(t, want.record, again.record)
	for name, other := range map[string]func(c *Circuit){
		"more":    func(c *Circuit) { stage(c, 270, true) },
		"nothing": func(*Circuit) {},
		"between other nodes": func(c *Circuit) {
			c.Node("b")
			c.Voltage("V", c.Node("k"), Chassis, DC(250))
		},
		"another kind": func(c *Circuit) { c.Current("V", c.Node("b"), Chassis, DC(1)) },
		"a new node":   func(c *Circuit) { c.Node("x") },
	} {
		c := New()
		stage(c, 270, false)
		c.Refill()
		other(c)
		assert.False(t, c.Refilled(), name)
	}
}
