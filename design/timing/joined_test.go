package timing

import (
	"flag"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/circuit"
	"mutewright/design/circuit/spice"
	"mutewright/design/lifted"
)

var _ = flag.Bool("update", false, "record the decks anew from ngspice")

// join puts the drive of an interface and its lifted returns into one circuit,
// the contacts worked by the armature.
func join(t testing.TB, in Interface, transmission float64) (rig, lifted.Nodes) {
	t.Helper()
	in, err := in.ready()
	require.NoError(t, err)
	r, err := in.Drives[0].rig(&in, true, transmission)
	require.NoError(t, err)
	n := in.Lifts[0].Response.Build(r.circuit, "lift ", circuit.Switch{
		Closed: true, Armature: r.built.Armatures[0], CloseDelay: in.Drives[0].Relays[0].Bounce,
	})
	return r, n
}

// Drive and return solved one after the other are the same as both in one circuit.
func TestJoinedInOneCircuitTheSameHappens(t *testing.T) {
	const transmission = 0.2
	in := larkmoor(t)
	apart, err := Trace(in, transmission)
	require.NoError(t, err)
	r, n := join(t, in, transmission)
	tr, err := r.circuit.Transient(r.keyed+apart.Until, circuit.TransientOptions{})
	require.NoError(t, err)

	opens, ok := tr.Event("lift contact", circuit.Opens, 0)
	require.True(t, ok)
	closes, ok := tr.Event("lift contact", circuit.Closes, 0)
	require.True(t, ok)
	contact := apart.Contacts[0]
	assert.InDelta(t, contact.Down.Arrives, opens-r.keyed, 1e-6)
	assert.InDelta(t, contact.Up.Settled, closes-r.keyed, 1e-6)

	same := func(name string, s Series, joined []float64) {
		most := 0.0
		for _, v := range joined {
			most = max(most, v)
		}
		c := curve{s.Times, s.Values}
		for i, at := range tr.Times() {
			if atAnEdge(tr, at) {
				continue
			}
			if !assert.InDelta(t, joined[i], c.at(at-r.keyed), 2e-3*most, "%s at %.6g s", name, at) {
				return
			}
		}
	}
	same("lifted node", apart.Lifts[0], tr.Volts(n.Return))
	same("reservoir", apart.Drives[0].Supply, tr.Volts(r.built.Supply))
	same("coil", apart.Drives[0].Coils[0], tr.Amps(r.built.Coils[0].Inductor))

	depth := in.Lifts[0].Response.solved.Course(in.Lifts[0].Response.depth, n, tr, func(at float64) bool { return at > opens && at <= closes })
	same("depth", apart.Depth, depth)
	down := curve{}
	for i, at := range tr.Times() {
		if at < r.keyed+transmission {
			down.append(-r.keyed, []float64{at}, []float64{depth[i]})
		}
	}
	muted, ok := down.stays(in.Wanted, true)
	require.True(t, ok)
	assert.InDelta(t, muted, apart.Sequence.Muted, 0.05e-3)
}

// atAnEdge reports an instant so near to an event that a volt is a nanosecond.
func atAnEdge(tr *circuit.Trace, at float64) bool {
	return slices.ContainsFunc(tr.Events(), func(e circuit.Event) bool { return abs(e.Time-at) < 1e-5 })
}

func abs(v float64) float64 { return max(v, -v) }

// The whole interface of the Larkmoor Seven, switched on, keyed down and up
// again, against ngspice on the same netlist: 0.2 % of every voltage, 0.1 ms of
// every event.
func TestSequenceAgainstNgspice(t *testing.T) {
	const keyDown, keyUp, until = 0.2, 0.75, 1.3
	in := larkmoor(t)
	joined, _ := join(t, in, 1)
	k := &keyed{Circuit: circuit.New(), times: []circuit.Toggle{{At: keyDown, Closed: true}, {At: keyUp}}}
	joined.circuit.Replay(k)
	r := rig{circuit: k.Circuit, built: joined.built}
	whole, err := r.circuit.Transient(until, circuit.TransientOptions{})
	require.NoError(t, err)

	deck := deckOf(t, r, whole)
	opens, _ := whole.Event("lift contact", circuit.Opens, 0)
	closes, _ := whole.Event("lift contact", circuit.Closes, 0)
	opens, closes = digits(opens), digits(closes)
	starts, _ := whole.Event(r.built.Armatures[0], circuit.StartsOperating, 0)
	falls, _ := whole.Event(r.built.Armatures[0], circuit.StartsReleasing, 0)
	coil := in.Drives[0].Drive.Coils[0]
	operate, release := coil.Operate*coil.Rated/coil.Ohms, in.Drives[0].Relays[0].LetGo*coil.Rated/coil.Ohms
	amps := "i(" + word("l", r.built.Coils[0].Inductor) + ")"
	d := &spice.Deck{
		Title:    "Larkmoor Seven: key down at 0.2 s, up at 0.75 s, the armature's contacts as switches in time",
		Circuit:  deck,
		Analysis: spice.Analysis{Kind: spice.Transient, Until: until, MaxStep: 50e-6},
		Prints:   []string{"v(plus)", "v(lift_return)"}, // the deck is also timed as a plain process
		Measures: []spice.Measure{
			{Name: "operates", Kind: "rises", Signal: amps, Level: digits(operate), From: keyDown},
			{Name: "releases", Kind: "falls", Signal: amps, Level: digits(release), From: keyUp},
		},
	}
	at := func(name, signal string, times ...float64) {
		for i, s := range times {
			d.Measures = append(d.Measures, spice.Measure{Name: fmt.Sprintf("%s_%d", name, i+1), Kind: "at", Signal: signal, At: s})
		}
	}
	at("reservoir", "v(plus)", 0.19, keyDown+20e-3, 0.5, 0.74, 1.2)
	at("coil", amps, keyDown+2e-3, keyDown+20e-3, 0.5, 0.74)
	after := []float64{opens + 1e-3, opens + 5e-3, opens + 20e-3, opens + 0.1, 0.74, closes + 1e-3, closes + 20e-3, 1.2}
	for _, node := range []string{"lift_p1_cathode", "lift_p2s1_cathode", "lift_p2s1_screen", "lift_rail1"} {
		at(strings.TrimPrefix(node, "lift_"), "v("+node+")", after...)
	}
	at("node", "v(lift_return)", after[:5]...)
	spice.CheckCircuit(t, "../../testdata/oracle/sequence.cir", d)

	// What the deck's crossings are compared with is what the armature did.
	values, err := d.Solve()
	require.NoError(t, err)
	assert.InDelta(t, starts, values[0].Value, 1e-6)
	assert.InDelta(t, falls, values[1].Value, 1e-6)
}

// keyed builds a circuit whose key is worked at other times, whose reservoirs
// begin empty, and whose open key leaks through 100 MΩ: ngspice's step shrinks to
// nothing where a junction is all that holds a node.
type keyed struct {
	*circuit.Circuit
	times []circuit.Toggle
}

func (k *keyed) Node(name string) circuit.Node {
	if strings.HasPrefix(name, "charge") {
		return circuit.Chassis
	}
	return k.Circuit.Node(name)
}

func (k *keyed) Voltage(name string, plus, minus circuit.Node, s circuit.Source) {
	if !strings.HasPrefix(name, "charge") {
		k.Circuit.Voltage(name, plus, minus, s)
	}
}

func (k *keyed) Switch(name string, a, b circuit.Node, s circuit.Switch) {
	switch {
	case strings.HasPrefix(name, "charge"):
		return
	case name == "key":
		s.Times, s.Off = k.times, 100e6
	}
	k.Circuit.Switch(name, a, b, s)
}

// deckOf is the circuit as ngspice can have it. The contacts of the armature
// become switches worked at the instants of the trace. The coil becomes two in
// series: that of the armature at rest, and what it has more when operated,
// shorted until the armature arrives. When that short opens, the loop's flux
// linkage is kept, L1·i = (L1 + L2)·i', which is what the engine does. It is not
// shorted again when the armature falls back, when nothing depends on the coil
// any more.
func deckOf(t testing.TB, r rig, tr *circuit.Trace) *circuit.Circuit {
	t.Helper()
	b := &timedBuilder{c: circuit.New(), moves: map[string][]circuit.Toggle{}, coils: map[string]circuit.Armature{}, arrives: map[string]float64{}}
	for _, e := range tr.Events() {
		switch e.What {
		case circuit.Opens, circuit.Closes:
			b.moves[e.Element] = append(b.moves[e.Element], circuit.Toggle{At: digits(e.Time), Closed: e.What == circuit.Closes})
		case circuit.Operated:
			b.arrives[e.Element] = digits(e.Time)
		}
	}
	r.circuit.Replay(&armatures{Circuit: circuit.New(), coils: b.coils, arrives: b.arrives})
	r.circuit.Replay(b)
	return b.c
}

// armatures collects the armatures of a circuit by their coils.
type armatures struct {
	*circuit.Circuit
	coils   map[string]circuit.Armature
	arrives map[string]float64
}

func (a *armatures) Armature(name string, spec circuit.Armature) {
	a.coils[spec.Coil] = spec
	a.arrives[spec.Coil] = a.arrives[name]
}

// timedBuilder builds a circuit without armatures under names that a deck takes.
type timedBuilder struct {
	c       *circuit.Circuit
	moves   map[string][]circuit.Toggle // of contacts
	coils   map[string]circuit.Armature
	arrives map[string]float64 // by coil
}

// digits keeps seven of them, so that the deck is the same on every machine.
func digits(v float64) float64 {
	short, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 7, 64), 64)
	return short
}

var words = strings.NewReplacer(" ", "_", ".", "_", "-", "_")

// word is a name as one word with the letter of its kind in front.
func word(letter, name string) string { return letter + "_" + words.Replace(name) }

func (b *timedBuilder) Node(name string) circuit.Node { return b.c.Node(words.Replace(name)) }

func (b *timedBuilder) Resistor(name string, x, y circuit.Node, ohms float64) {
	b.c.Resistor(word("r", name), x, y, digits(ohms))
}

func (b *timedBuilder) Capacitor(name string, x, y circuit.Node, farads float64) {
	b.c.Capacitor(word("c", name), x, y, digits(farads))
}

func (b *timedBuilder) Inductor(name string, x, y circuit.Node, henries float64) {
	spec, moves := b.coils[name]
	if !moves {
		b.c.Inductor(word("l", name), x, y, digits(henries))
		return
	}
	mid := b.c.Node(words.Replace(name) + "_more")
	b.c.Inductor(word("l", name), x, mid, digits(spec.Open))
	b.c.Inductor(word("l", name+"_more"), mid, y, digits(spec.Closed-spec.Open))
	b.c.Switch(word("s", name+"_rest"), mid, y, circuit.Switch{
		On: 1e-3, Off: 1e7, // L2 takes up the current within 0.1 µs
		Closed: true, Times: []circuit.Toggle{{At: b.arrives[name]}},
	})
}

func (b *timedBuilder) Voltage(name string, plus, minus circuit.Node, s circuit.Source) {
	if f := s.Form(); f.Shape == circuit.ShapeClipped { // at a crest of √2 nothing is cut off
		s = circuit.Sine(0, digits(f.Amplitude), f.Hz, digits(f.Phase))
	}
	b.c.Voltage(word("v", name), plus, minus, s)
}

func (b *timedBuilder) Current(name string, from, to circuit.Node, s circuit.Source) {
	b.c.Current(word("i", name), from, to, circuit.DC(digits(s.At(0))))
}

func (b *timedBuilder) Diode(name string, anode, cathode circuit.Node, m circuit.DiodeModel) {
	b.c.Diode(word("d", name), anode, cathode, m)
}

func (b *timedBuilder) Transistor(name string, collector, base, emitter circuit.Node, m circuit.TransistorModel) {
	b.c.Transistor(word("q", name), collector, base, emitter, m)
}

func (b *timedBuilder) Switch(name string, x, y circuit.Node, s circuit.Switch) {
	if s.Armature != "" {
		s = circuit.Switch{On: s.On, Off: s.Off, Closed: s.Closed, Times: b.moves[name]}
	}
	b.c.Switch(word("s", name), x, y, s)
}

func (b *timedBuilder) Tube(name string, plate, screen, grid, cathode circuit.Node, m circuit.TubeModel) {
	m.G, m.MuA, m.MuB, m.PlateShare = digits(m.G), digits(m.MuA), digits(m.MuB), digits(m.PlateShare)
	b.c.Tube(word("x", name), plate, screen, grid, cathode, m)
}

func (b *timedBuilder) Armature(string, circuit.Armature) {}
