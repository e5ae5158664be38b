package circuit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// between draws from a to b, evenly in the logarithm.
func between(r *rand.Rand, a, b float64) float64 { return a * math.Pow(b/a, r.Float64()) }

// randomReturn is a lifted return: one to five stages on a common node, with
// or without pulldown, bleeder and droppers.
func randomReturn(r *rand.Rand) *Circuit {
	c := New()
	b, m, bus := c.Node("b"), c.Node("m"), c.Node("bus")
	c.Voltage("V", c.Node("rail"), Chassis, DC(100+300*r.Float64()).WithAC(1, 0))
	c.Resistor("Rb", c.Node("rail"), b, between(r, 1, 2000))
	c.Resistor("Rm", m, Chassis, []float64{between(r, 0.05, 1e5), 1e7, 1e12}[r.IntN(3)])
	if r.IntN(2) == 0 {
		c.Resistor("Rbleeder", b, m, between(r, 2e4, 1e6))
	}
	c.Resistor("Rgain", bus, m, between(r, 1, 1e4))
	for i := range 1 + r.IntN(5) {
		name := func(s string) string { return fmt.Sprint(s, i) }
		screen, cathode, plate := c.Node(name("g2")), c.Node(name("k")), c.Node(name("p"))
		c.Resistor(name("Rp"), b, plate, between(r, 10, 1e4))
		c.Resistor(name("Rs"), b, screen, between(r, 10, 1e5))
		c.Resistor(name("Rk"), cathode, []Node{m, bus}[r.IntN(2)], between(r, 30, 1000))
		c.Capacitor(name("Ck"), cathode, Chassis, between(r, 1e-8, 1e-4))
		c.Capacitor(name("Cs"), screen, Chassis, between(r, 1e-8, 1e-5))
		t := TubeModel{G: between(r, 1e-4, 3e-3), MuA: between(r, 5, 60), PlateShare: 0.7 + 0.25*r.Float64()}
		if r.IntN(2) == 0 {
			t.S, t.MuB = 0.03, t.MuA/4
		}
		c.Tube(name("T"), plate, screen, Chassis, cathode, t)
	}
	c.Switch("S", m, Chassis, Switch{Closed: true, Times: []Toggle{{10e-3, false}, {200e-3, true}}})
	return c
}

// randomSupply is a rectifier of any kind with any load down to none, on
// sine or flat-topped mains, with or without a keyed coil.
func randomSupply(r *rand.Rand) (c *Circuit, period float64) {
	hz := []float64{50, 60}[r.IntN(2)]
	s := heater(hz)
	if r.IntN(2) == 0 {
		s = ClippedSine(6.3, 1+(math.Sqrt2-1)*r.Float64(), hz, 0)
	}
	c, out := supply([]string{"half-wave", "bridge", "doubler"}[r.IntN(3)], s, between(r, 470e-6, 2200e-6), between(r, 80, 1e7), rectifierDiode)
	if r.IntN(2) == 0 {
		x, z := c.Node("x"), c.Node("z")
		c.Resistor("Rd", out, x, between(r, 1, 300))
		c.Resistor("Rc", x, c.Node("y"), between(r, 60, 4000))
		c.Inductor("L", c.Node("y"), z, between(r, 0.05, 6))
		c.Diode("DL", z, x, rectifierDiode)
		c.Switch("S", z, Chassis, Switch{Closed: r.IntN(2) == 0, Times: []Toggle{{0.05, true}, {0.1, false}}})
		c.Armature("K", Armature{Coil: "L", Operate: 5e-3, Release: 1e-3, OperateTravel: 3e-3, ReleaseTravel: 1e-3, Open: 0.5, Closed: 1})
	}
	return c, 1 / hz
}

// Networks of the kinds that the program solves, drawn with a fixed seed:
// each converges, and each instant obeys Kirchhoff and keeps its power.
func TestRandomNetworks(t *testing.T) {
	r := rand.New(rand.NewPCG(1908, 62368))
	for i := range 200 {
		c := randomReturn(r)
		p, err := c.OperatingPoint(Options{})
		require.NoError(t, err, "return %d", i)
		balancedPoint(t, p)
		small, err := c.AC(p, between(r, 20, 30e6))
		require.NoError(t, err, "return %d", i)
		balancedPhasors(t, c, small)
		if i%20 == 0 {
			tr, err := c.Transient(0.3, TransientOptions{})
			require.NoError(t, err, "return %d", i)
			balancedTrace(t, tr)
		}
		require.False(t, t.Failed(), "return %d", i)
	}
	for i := range 100 {
		c, period := randomSupply(r)
		tr, err := c.Periodic(period, TransientOptions{})
		require.NoError(t, err, "supply %d", i)
		balancedTrace(t, tr)
		if i%10 == 0 {
			run, err := c.Transient(0.3, TransientOptions{Start: tr.End()})
			require.NoError(t, err, "supply %d", i)
			balancedTrace(t, run)
		}
		require.False(t, t.Failed(), "supply %d", i)
	}
}
