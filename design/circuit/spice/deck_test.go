package spice_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/circuit"
	"mutewright/design/circuit/spice"
)

// everything is one circuit with every element a deck can hold.
func everything() *spice.Deck {
	c := circuit.New()
	a, b, k, s := c.Node("a"), c.Node("b"), c.Node("k"), c.Node("s")
	c.Voltage("V1", a, circuit.Chassis, circuit.DC(250).WithAC(1, 45))
	c.Voltage("mains", c.Node("w"), circuit.Chassis, circuit.ClippedSine(6.3, 1.3, 60, 30))
	c.Voltage("V3", c.Node("x"), circuit.Chassis, circuit.Sine(1, 2, 50, 90))
	c.Current("I1", circuit.Chassis, b, circuit.Pulse(0, 1e-3, 1e-3, 1e-6, 1e-6, 1e-3, 5e-3))
	c.Resistor("R1", a, s, 2200)
	c.Resistor("pulldown", k, circuit.Chassis, 1e4)
	c.Resistor("R3", c.Node("w"), c.Node("x"), 0.3)
	c.Resistor("R4", b, circuit.Chassis, 4.7e3)
	c.Capacitor("C1", k, circuit.Chassis, 22e-6)
	c.Inductor("L1", b, c.Node("l"), 1.63)
	c.Resistor("R5", c.Node("l"), circuit.Chassis, 960)
	c.Diode("D1", b, circuit.Chassis, circuit.DiodeModel{IS: 7e-9, N: 1.8, RS: 0.03})
	c.Diode("zener", circuit.Chassis, b, circuit.DiodeModel{IS: 1e-12, BV: 12})
	c.Transistor("Q1", a, b, k, circuit.TransistorModel{IS: 1e-14, BF: 150})
	c.Transistor("Q2", circuit.Chassis, b, k, circuit.TransistorModel{PNP: true, IS: 1e-14, BF: 80, BR: 2})
	c.Switch("S1", k, circuit.Chassis, circuit.Switch{Closed: true, Times: []circuit.Toggle{{At: 1e-3}, {At: 3e-3, Closed: true}}})
	c.Tube("V2", a, s, circuit.Chassis, k, circuit.TubeModel{G: 1e-3, MuA: 30, MuB: 8, S: 0.03, PlateShare: 0.7, Count: 2})
	return &spice.Deck{Title: "everything", Circuit: c, Analysis: spice.Analysis{Kind: spice.Transient, Until: 10e-3, MaxStep: 1e-6},
		Prints:   []string{"v(k)", "v(a,k)"},
		Measures: []spice.Measure{{Name: "k", Kind: "mean", Signal: "v(k)", From: 1e-3, To: 2e-3, Within: 0.005}, {Name: "t", Kind: "rises", Signal: "v(a,k)", Level: 20, From: 1e-3}}}
}

// What is written reads back as the same circuit: written once more it is
// the same text.
func TestWriteReadWrite(t *testing.T) {
	var first, second bytes.Buffer
	require.NoError(t, everything().Write(&first))
	d, err := spice.Read(bytes.NewReader(first.Bytes()))
	require.NoError(t, err)
	require.NoError(t, d.Write(&second))
	again, err := spice.Read(bytes.NewReader(second.Bytes()))
	require.NoError(t, err)
	assert.Equal(t, d.Analysis, everything().Analysis)
	assert.Equal(t, d.Measures, everything().Measures)
	assert.Equal(t, d.Prints, everything().Prints)
	assert.Equal(t, d.Analysis, again.Analysis)
	assert.Equal(t, d.Circuit.Elements(), again.Circuit.Elements())
	assert.Len(t, d.Circuit.Elements(), len(everything().Circuit.Elements()))
	a, err := d.Circuit.Transient(4e-3, circuit.TransientOptions{})
	require.NoError(t, err)
	b, err := again.Circuit.Transient(4e-3, circuit.TransientOptions{})
	require.NoError(t, err)
	assert.Equal(t, a.Volts(d.Circuit.Node("k")), b.Volts(again.Circuit.Node("k")), "the same circuit")
	made := everything()
	m, err := made.Circuit.Transient(4e-3, circuit.TransientOptions{})
	require.NoError(t, err)
	assert.InDelta(t, m.Mean(m.Volts(made.Circuit.Node("k"))), a.Mean(a.Volts(d.Circuit.Node("k"))), 1e-3, "and the one that was written")
}

// What a deck cannot hold is refused with its line or name.
func TestRefusals(t *testing.T) {
	for _, tt := range []struct{ name, deck, want string }{
		{"letter", "t\nK1 a b 1\n.op", `line 2: no element has the letter "k"`},
		{"value", "t\nR1 a 0 1x1 2\n.op", "line 2: r1: want r1 A B VALUE"},
		{"number", "t\nV1 a 0 DC ten\n.op", `line 2: v1: "ten" is not a number`},
		{"model", "t\nD1 a 0 m\n.op", `line 2: d1: want a model of kind d, not ""`},
		{"parameter", "t\nD1 a 0 m\n.model m D(IS=1n CJO=1p)\n.op", "line 2: d1: the model may have is n rs bv ibv and nothing else"},
		{"card", "t\nR1 a 0 1\n.temp 50\n.op", "line 3: unknown card .temp"},
		{"include", "t\n.include models.lib\n.op", "line 2: only pentode.lib can be included"},
		{"two analyses", "t\nR1 a 0 1\n.op\n.ac lin 1 5 5", "line 4: second analysis; the first is on line 3"},
		{"no analysis", "t\nR1 a 0 1", "deck has no analysis"},
		{"measure", "t\nR1 a 0 1\n.op\n*@ x = guess v(a)", `line 4: unknown measure "guess"`},
		{"signal", "t\nR1 a 0 1\n.op\n*@ x = value p(a)", "line 4: want v(NODE)"},
		{"source", "t\nB1 a 0 V=time\n.op", "line 2: want NAME + - V="},
		{"switch", "t\nS1 a 0 b 0 m\n.op", "line 2: s1: want a control node"},
		{"library", "t\nX1 a b c d pentode G=1m MUA=9\n.op", "line 2: x1: want a pentode, with .include pentode.lib"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := spice.Read(strings.NewReader(tt.deck))
			assert.ErrorContains(t, err, tt.want)
		})
	}
	c := circuit.New()
	c.Inductor("L", c.Node("a"), circuit.Chassis, 1)
	c.Armature("K", circuit.Armature{Coil: "L", Operate: 1})
	err := (&spice.Deck{Title: "relay", Circuit: c}).Write(&bytes.Buffer{})
	assert.ErrorContains(t, err, "cannot write relay as a deck: K: an armature has no card")
}

// Suffixes are those of SPICE, units after them mean nothing.
func TestNumbersOfADeck(t *testing.T) {
	d, err := spice.Read(strings.NewReader("t\nR1 a 0 4.7kohm\nR2 a 0 1Meg\nR3 a 0 2.5e+3\nI1 0 a DC 3m\n+ AC 1 0\n.op ; at rest\n*@ v = value v(a)"))
	require.NoError(t, err)
	v, err := d.Solve()
	require.NoError(t, err)
	assert.InEpsilon(t, 3e-3/(1/4700.0+1e-6+1/2500.0), v[0].Value, 1e-9)
}
