package circuit

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Circuits that have no solution say where and when, and give no number.
func TestImpossibleCircuits(t *testing.T) {
	type blame struct {
		stage         Stage
		node, element string
		is            error
	}
	for _, tt := range []struct {
		name  string
		build func(c *Circuit)
		want  blame
	}{
		{"two sources in parallel", func(c *Circuit) {
			c.Voltage("V1", c.Node("a"), Chassis, DC(1))
			c.Voltage("V2", c.Node("a"), Chassis, DC(2))
		}, blame{StageCircuit, "a", "V2", ErrLoop}},
		{"shorted source", func(c *Circuit) {
			c.Resistor("R", c.Node("a"), Chassis, 1)
			c.Voltage("V1", c.Node("a"), c.Node("a"), DC(1))
		}, blame{StageCircuit, "a", "V1", ErrLoop}},
		{"coil without resistance across a source", func(c *Circuit) {
			c.Voltage("V1", c.Node("a"), Chassis, DC(1))
			c.Inductor("L1", c.Node("a"), Chassis, 1)
		}, blame{StageCircuit, "a", "L1", ErrLoop}},
		{"loop of coils and a source", func(c *Circuit) {
			c.Voltage("V1", c.Node("a"), Chassis, DC(1))
			c.Inductor("L1", c.Node("a"), c.Node("b"), 1)
			c.Inductor("L2", c.Node("b"), Chassis, 1)
		}, blame{StageCircuit, "b", "L2", ErrLoop}},
		{"two currents that meet", func(c *Circuit) {
			c.Current("I1", Chassis, c.Node("a"), DC(1))
			c.Current("I2", c.Node("a"), Chassis, DC(2))
		}, blame{StageCircuit, "a", "", ErrFloating}},
		{"island behind two capacitors", func(c *Circuit) {
			c.Voltage("V1", c.Node("a"), Chassis, DC(1))
			c.Capacitor("C1", c.Node("a"), c.Node("x"), 1e-6)
			c.Resistor("R1", c.Node("x"), c.Node("y"), 1e3)
			c.Capacitor("C2", c.Node("y"), Chassis, 1e-6)
		}, blame{StageCircuit, "x", "", ErrFloating}},
		{"floating node behind a capacitor", func(c *Circuit) {
			c.Voltage("V1", c.Node("a"), Chassis, DC(1))
			c.Capacitor("C1", c.Node("a"), c.Node("b"), 1e-6)
		}, blame{StageCircuit, "b", "", ErrFloating}},
		{"floating island", func(c *Circuit) {
			c.Resistor("R1", c.Node("a"), Chassis, 1)
			c.Resistor("R2", c.Node("x"), c.Node("y"), 1)
		}, blame{StageCircuit, "x", "", ErrFloating}},
		{"grid with nothing on it", func(c *Circuit) {
			c.Voltage("V1", c.Node("b"), Chassis, DC(250))
			c.Tube("T", c.Node("b"), c.Node("b"), c.Node("g"), Chassis, aBeamTube)
		}, blame{StageCircuit, "g", "", ErrFloating}},
		{"current into nothing", func(c *Circuit) {
			c.Current("I", Chassis, c.Node("a"), DC(1))
		}, blame{StageCircuit, "a", "", ErrFloating}},
		{"no resistance", func(c *Circuit) { c.Resistor("R1", c.Node("a"), Chassis, 0) }, blame{StageCircuit, "", "", ErrNetwork}},
		{"not a number", func(c *Circuit) { c.Capacitor("C1", c.Node("a"), Chassis, math.NaN()) }, blame{StageCircuit, "", "", ErrNetwork}},
		{"infinite source", func(c *Circuit) { c.Voltage("V1", c.Node("a"), Chassis, DC(math.Inf(1))) }, blame{StageCircuit, "", "", ErrNetwork}},
		{"crest of a spike", func(c *Circuit) { c.Voltage("V1", c.Node("a"), Chassis, ClippedSine(6.3, 2, 60, 0)) }, blame{StageCircuit, "", "", ErrNetwork}},
		{"two of one name", func(c *Circuit) {
			c.Resistor("R1", c.Node("a"), Chassis, 1)
			c.Resistor("R1", c.Node("a"), Chassis, 1)
		}, blame{StageCircuit, "", "", ErrNetwork}},
		{"armature without a coil", func(c *Circuit) {
			c.Resistor("R1", c.Node("a"), Chassis, 1)
			c.Armature("K", Armature{Coil: "R1", Operate: 1})
		}, blame{StageCircuit, "", "K", ErrNetwork}},
		{"contact without an armature", func(c *Circuit) { c.Switch("S", c.Node("a"), Chassis, Switch{Armature: "K"}) },
			blame{StageCircuit, "", "S", ErrNetwork}},
		{"buzzer", func(c *Circuit) {
			c.Voltage("V1", c.Node("a"), Chassis, DC(12))
			c.Switch("K1", c.Node("a"), c.Node("b"), Switch{Armature: "K", Closed: true})
			c.Resistor("R", c.Node("b"), c.Node("c"), 100)
			c.Inductor("L", c.Node("c"), Chassis, 1)
			c.Armature("K", Armature{Coil: "L", Operate: 50e-3, Release: 10e-3})
		}, blame{StageOperating, "", "K", ErrConvergence}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := New()
			tt.build(c)
			p, err := c.OperatingPoint(Options{})
			require.Nil(t, p)
			var e *Error
			require.ErrorAs(t, err, &e)
			assert.Equal(t, tt.want, blame{e.Stage, e.Node, e.Element, tt.want.is})
			assert.ErrorIs(t, err, tt.want.is)
			_, err = c.Transient(1e-3, TransientOptions{})
			assert.Error(t, err)
		})
	}
}

// An iteration that is given too little time fails at its last rescue, and
// names a node.
func TestNoConvergence(t *testing.T) {
	c := lifted(10e3)
	_, err := c.OperatingPoint(Options{MaxIterations: 1})
	var e *Error
	require.True(t, errors.As(err, &e))
	assert.Equal(t, StageSource, e.Stage)
	assert.NotEmpty(t, e.Node)
	assert.ErrorIs(t, err, ErrConvergence)
}

// A periodic solution wants sources that repeat within its period.
func TestPeriodMustFit(t *testing.T) {
	c, _ := supply("half-wave", heater(60), 470e-6, 257, rectifierDiode)
	_, err := c.Periodic(20e-3, TransientOptions{})
	assert.ErrorContains(t, err, "V: impossible network: it does not repeat within 0.02 s")
	_, err = c.Periodic(math.NaN(), TransientOptions{})
	assert.ErrorIs(t, err, ErrNetwork)
	_, err = c.Transient(-1, TransientOptions{})
	assert.ErrorContains(t, err, "transient at 0 s")
}

// The rescues of the operating point find what plain Newton finds.
func TestRescuesAgree(t *testing.T) {
	for name, build := range map[string]func() *Circuit{
		"lifted": func() *Circuit { return lifted(100e3) }, "transistor": transistorStage, "pnp": pnpStage, "zener": func() *Circuit { return keyed("zener") },
	} {
		c := build()
		p, err := c.OperatingPoint(Options{})
		require.NoError(t, err)
		s, bad := c.prepare(true)
		require.Nil(t, bad)
		require.True(t, s.gminStepping(0, 100), name)
		assert.InDeltaSlice(t, p.record[:s.n], s.x, 1e-6, "%s by g-min stepping", name)
		_, err = s.sourceStepping(0, 100)
		require.NoError(t, err, name)
		assert.InDeltaSlice(t, p.record[:s.n], s.x, 1e-6, "%s by source stepping", name)
	}
}
