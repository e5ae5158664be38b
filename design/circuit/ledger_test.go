package circuit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// ledger is a builder that books every current of one record at the nodes it
// leaves, and the power every element takes. Kirchhoff and Tellegen close it.
type ledger struct {
	c      *Circuit
	record []float64
	sum    []float64 // A leaving each node
	size   []float64 // A, magnitudes
	power  float64   // W taken by all elements
	gross  float64   // W, magnitudes
}

func (l *ledger) book(amps float64, from Node) {
	l.sum[from] += amps
	l.size[from] += math.Abs(amps)
	w := amps * l.record[from]
	l.power += w
	l.gross += math.Abs(w)
}

func (l *ledger) through(name string, from, to Node) {
	i := l.record[l.c.layout().slot(name)]
	l.book(i, from)
	l.book(-i, to)
}

func (l *ledger) Node(name string) Node                        { return l.c.Node(name) }
func (l *ledger) Resistor(n string, a, b Node, _ float64)      { l.through(n, a, b) }
func (l *ledger) Capacitor(n string, a, b Node, _ float64)     { l.through(n, a, b) }
func (l *ledger) Inductor(n string, a, b Node, _ float64)      { l.through(n, a, b) }
func (l *ledger) Voltage(n string, plus, minus Node, _ Source) { l.through(n, plus, minus) }
func (l *ledger) Current(n string, from, to Node, _ Source)    { l.through(n, from, to) }
func (l *ledger) Diode(n string, a, k Node, _ DiodeModel)      { l.through(n, a, k) }
func (l *ledger) Switch(n string, a, b Node, _ Switch)         { l.through(n, a, b) }
func (l *ledger) Armature(string, Armature)                    {}
func (l *ledger) Tube(n string, plate, screen, _, cathode Node, _ TubeModel) {
	l.through(n+".plate", plate, cathode)
	l.through(n+".screen", screen, cathode)
}
func (l *ledger) Transistor(n string, collector, base, emitter Node, _ TransistorModel) {
	slot := l.c.layout().slot
	l.book(l.record[slot(n+".collector")], collector)
	l.book(l.record[slot(n+".base")], base)
	l.book(l.record[slot(n+".emitter")], emitter)
}

// balanced asserts that currents cancel at every node and that the elements
// take as much power as they give.
func balanced(t *testing.T, c *Circuit, record []float64, relative, amps float64) {
	t.Helper()
	n := c.Nodes()
	l := &ledger{c: c, record: record, sum: make([]float64, n), size: make([]float64, n)}
	c.Replay(l)
	largest := 0.0
	for k := range n {
		largest = max(largest, math.Abs(record[k]))
		assert.LessOrEqual(t, math.Abs(l.sum[k]), relative*l.size[k]+amps, "currents at node %s", c.NodeName(Node(k)))
	}
	assert.LessOrEqual(t, math.Abs(l.power), relative*l.gross+amps*largest*float64(n), "power")
	for _, v := range record {
		assert.False(t, math.IsNaN(v) || math.IsInf(v, 0), "record holds %g", v)
	}
}

func balancedPoint(t *testing.T, p *Point) {
	t.Helper()
	balanced(t, p.circuit, p.record, 1e-7, 1e-11)
}

// balancedPhasors checks a small-signal solution: Kirchhoff's law, and Tellegen's
// with it, hold for the real and for the imaginary parts alone.
func balancedPhasors(t *testing.T, c *Circuit, p *Phasors) {
	t.Helper()
	part := make([]float64, len(p.record))
	for _, of := range []func(complex128) float64{func(z complex128) float64 { return real(z) }, func(z complex128) float64 { return imag(z) }} {
		for i, z := range p.record {
			part[i] = of(z)
		}
		balanced(t, c, part, 1e-9, 1e-15)
	}
}

// balancedTrace checks every instant. A capacitor's current in a settling
// step is C/h times the difference of two voltages, and carries their last
// digits: 1 µA for 2200 µF at 16 V.
func balancedTrace(t *testing.T, tr *Trace) {
	t.Helper()
	w := tr.lay.width
	farads := 0.0
	for _, c := range tr.circuit.capacitors {
		farads += c.farads
	}
	for i := range tr.times {
		record := tr.data[i*w : (i+1)*w]
		largest := 0.0
		for _, v := range record[:tr.lay.voltages] {
			largest = max(largest, math.Abs(v))
		}
		balanced(t, tr.circuit, record, 2e-5, 1e-9+8*2.2e-16*largest*farads/settling)
		if t.Failed() {
			t.Logf("at %g s", tr.times[i])
			return
		}
	}
	for i := 1; i < len(tr.times); i++ {
		assert.Greater(t, tr.times[i], tr.times[i-1], "instants ascend")
	}
}
