package circuit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An armature starts when the coil's current reaches its threshold, arrives
// after its travel, and its contacts follow; release against each clamp.
func TestArmature(t *testing.T) {
	const r = 960 + 1e-3
	start := 5e-3 + 0.85/r*math.Log(1/(1-9.6e-3*r/12))
	for _, clamp := range []string{"diode", "zener", "resistor"} {
		tr, err := keyed(clamp).Transient(60e-3, TransientOptions{})
		require.NoError(t, err, clamp)
		want := []struct {
			element string
			what    Happening
		}{
			{"S", Closes}, {"K", StartsOperating}, {"K", Operated}, {"K2", Opens}, {"K1", Closes},
			{"S", Opens}, {"K", StartsReleasing}, {"K", Released}, {"K2", Closes}, {"K1", Opens},
		}
		require.Len(t, tr.Events(), len(want), "%s: %v", clamp, tr.Events())
		for i, e := range tr.Events() {
			assert.Equal(t, want[i], struct {
				element string
				what    Happening
			}{e.Element, e.What}, clamp)
		}
		at := func(element string, what Happening) float64 {
			at, ok := tr.Event(element, what, 0)
			require.True(t, ok)
			return at
		}
		assert.InDelta(t, start, at("K", StartsOperating), 0.1e-6, clamp)
		assert.InDelta(t, at("K", StartsOperating)+1e-3, at("K", Operated), 1e-9)
		assert.InDelta(t, at("K", Operated)+2e-3, at("K1", Closes), 1e-9)
		assert.InDelta(t, at("K", StartsReleasing)+0.5e-3, at("K", Released), 1e-9)
		assert.InDelta(t, at("K", Released)+0.1e-3, at("K1", Opens), 1e-9)
		balancedTrace(t, tr)
	}
	// A resistor of 10 kΩ across the coil: L/(R + 10 kΩ) until 1.25 mA.
	tr, err := keyed("resistor").Transient(60e-3, TransientOptions{})
	require.NoError(t, err)
	at, _ := tr.Event("K", StartsReleasing, 0)
	assert.InDelta(t, 30e-3+1.63/10960*math.Log(12/r/1.25e-3), at, 0.2e-6)
	assert.InEpsilon(t, 12/r*10e3+12, tr.Most(tr.Volts(tr.circuit.Node("k"))), 1e-3, "kick, I·R on top of the supply")
}

// L·i does not jump when the armature closes or opens.
func TestFluxLinkageIsKept(t *testing.T) {
	tr, err := keyed("diode").Transient(60e-3, TransientOptions{})
	require.NoError(t, err)
	i := tr.Amps("L")
	for _, tt := range []struct {
		what          Happening
		before, after float64
	}{{Operated, 0.85, 1.63}, {Released, 1.63, 0.85}} {
		at, ok := tr.Event("K", tt.what, 0)
		require.True(t, ok)
		k := tr.after(at) // the first instant after the jump
		require.Less(t, tr.times[k]-at, 1e-9)
		assert.InEpsilon(t, tt.before*i[k-1], tt.after*i[k], 1e-5, "%s", tt.what)
		assert.Greater(t, math.Abs(i[k]/i[k-1]-1), 0.4)
	}
}

// Without travel or with a travel shorter than a step nothing is lost.
func TestShortTravel(t *testing.T) {
	for _, travel := range []float64{0, 1e-9, 1e-7, 1e-5} {
		c := New()
		a := c.Node("a")
		c.Voltage("V", a, Chassis, Pulse(0, 12, 1e-3, 0, 0, 1, 0))
		c.Resistor("R", a, c.Node("b"), 960)
		c.Inductor("L", c.Node("b"), Chassis, 1)
		c.Armature("K", Armature{Coil: "L", Operate: 9e-3, Release: 1e-3, OperateTravel: travel})
		c.Switch("K1", a, c.Node("y"), Switch{Armature: "K"})
		c.Resistor("RY", c.Node("y"), Chassis, 1e3)
		tr, err := c.Transient(10e-3, TransientOptions{})
		require.NoError(t, err)
		at, ok := tr.Event("K1", Closes, 0)
		require.True(t, ok)
		assert.InDelta(t, 1e-3+1.0/960*math.Log(1/(1-9e-3*960/12))+travel, at, 0.1e-6, "travel %g s", travel)
		assert.Len(t, tr.Events(), 3)
	}
}

// At rest and in the steady state an armature stands where its current holds it.
func TestArmatureAtRest(t *testing.T) {
	build := func(volts float64, operated bool) *Circuit {
		c := New()
		a := c.Node("a")
		c.Voltage("V", a, Chassis, DC(volts))
		c.Resistor("R", a, c.Node("b"), 960)
		c.Inductor("L", c.Node("b"), Chassis, 1)
		c.Armature("K", Armature{Coil: "L", Operate: 9e-3, Release: 2e-3, Operated: operated, Open: 0.8, Closed: 1.6})
		c.Switch("K1", a, c.Node("y"), Switch{Armature: "K"})
		c.Resistor("RY", c.Node("y"), Chassis, 1e3)
		return c
	}
	for _, tt := range []struct {
		volts         float64
		before, after bool
	}{{12, false, true}, {5, false, false}, {5, true, true}, {1, true, false}} {
		c := build(tt.volts, tt.before)
		p, err := c.OperatingPoint(Options{})
		require.NoError(t, err)
		assert.Equal(t, tt.after, p.Operated("K"), "%+v", tt)
		assert.Equal(t, tt.after, p.Volts(c.Node("y")) > 0.5*tt.volts, "%+v", tt)
		balancedPoint(t, p)
		tr, err := c.Periodic(1e-3, TransientOptions{})
		require.NoError(t, err)
		assert.InEpsilon(t, p.Volts(c.Node("y")), tr.Mean(tr.Volts(c.Node("y"))), 1e-6, "%+v", tt)
		z, err := c.AC(p, 1000)
		require.NoError(t, err)
		assert.Zero(t, z.Volts(c.Node("y")))
	}
}

// A state carries a movement under way into the next transient.
func TestMovementAcrossTraces(t *testing.T) {
	c := keyed("diode")
	whole, err := c.Transient(60e-3, TransientOptions{})
	require.NoError(t, err)
	operated, _ := whole.Event("K", Operated, 0)
	first, err := c.Transient(operated-0.5e-3, TransientOptions{})
	require.NoError(t, err)
	second, err := c.Transient(60e-3, TransientOptions{Start: first.End()})
	require.NoError(t, err)
	at, ok := second.Event("K", Operated, 0)
	require.True(t, ok)
	assert.InDelta(t, operated, at, 1e-7)
	a, _ := whole.Event("K", Released, 0)
	b, ok := second.Event("K", Released, 0)
	require.True(t, ok)
	assert.InDelta(t, a, b, 0.2e-6)
	_, err = lifted(1e3).Transient(1, TransientOptions{Start: first.End()})
	assert.ErrorIs(t, err, ErrNetwork)
}

// A coil broken with nothing across it kicks to what its current makes of
// the open contact, decays within nanoseconds and does not swing back.
func TestUnclampedKick(t *testing.T) {
	c := keyed("")
	tr, err := c.Transient(60e-3, TransientOptions{})
	require.NoError(t, err)
	v := tr.Volts(c.Node("k"))
	assert.InEpsilon(t, 12.0/960*1e9, tr.Most(v), 0.1)
	assert.GreaterOrEqual(t, tr.Least(v), 0.0)
	balancedTrace(t, tr)
}
