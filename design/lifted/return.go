package lifted

import (
	"fmt"
	"math"
	"slices"

	"mutewright/design/circuit"
)

// A Return is a network that was found sound and solved on receive. It does not
// change any more and may be used from several goroutines.
type Return struct {
	net      Network
	receive  State
	point    *circuit.Point // on receive
	muted    []supply       // rails behind their resistance
	cold     []supply       // rails with no tube drawing
	controls []int          // points with a control that moves
}

// A signal is what a stage is to a small signal: the transconductance of one
// tube and the impedance between its cathode and chassis without it.
type signal struct {
	gm float64    // S
	z  complex128 // ohm
}

// Solve checks the network and finds its receive state: contact closed, control
// at SetTo, every rail at its receive voltage.
func Solve(n Network) (*Return, error) { return new(Shop).Solve(n) }

// A Shop keeps the circuits in which one return is solved with one set of
// values after another, for less work. It is for one goroutine at a time.
type Shop struct {
	closed    *rig // of the return that was solved last
	hot, cold *circuit.Circuit
	moving    *circuit.Circuit // with its contact worked
	trace     *circuit.Trace   // of it
}

// Solve is [Solve] in the circuits of the shop.
func (s *Shop) Solve(n Network) (*Return, error) {
	if err := n.check(); err != nil {
		return nil, fmt.Errorf("lifted return: %w", err)
	}
	n.Rails, n.Points = slices.Clone(n.Rails), slices.Clone(n.Points)
	r := &Return{net: n}
	for i, p := range n.Points {
		if g, ok := p.(Gain); ok && g.Control.Value > 0 {
			r.controls = append(r.controls, i)
		}
	}
	rig := r.closed(s)
	point, err := rig.solve()
	if err != nil {
		return nil, fmt.Errorf("lifted return on receive: %w", err)
	}
	r.receive, r.point = rig.state(point, r.setTo()), point
	r.muted, r.cold = r.supplies()
	return r, nil
}

// closed is the return with its contact closed.
func (r *Return) closed(s *Shop) *rig {
	stiff := make([]supply, len(r.net.Rails))
	for i, rail := range r.net.Rails {
		stiff[i].volts = rail.Volts
	}
	var used *circuit.Circuit
	if s.closed != nil {
		used = s.closed.c
	}
	s.closed = r.rig(form{supplies: stiff, lead: true}, used)
	return s.closed
}

// Relieved is the return with its rails relieved by what the other returns, muted
// at the same time, leave to each, A.
func (r *Return) Relieved(shed []float64) *Return {
	m := *r
	m.net.Rails = slices.Clone(m.net.Rails)
	for i := range m.net.Rails {
		m.net.Rails[i].Shed = shed[i]
	}
	m.muted, m.cold = m.supplies()
	return &m
}

// supplies derives the rails behind their resistance from what the network
// draws on receive: the source stands at
//
//	E = V + R·I,   at most the unloaded voltage
//
// so that the rail is V on receive; where E would pass the unloaded voltage the
// resistance is what V, I and the unloaded voltage leave. What other consumers
// take is within E.
func (r *Return) supplies() (muted, cold []supply) {
	for i, s := range r.net.Rails {
		m, c := supply{volts: s.Volts}, supply{volts: max(s.Volts, s.Unloaded)}
		drawn := r.receive.Rails[i].Drawn
		if !s.Regulated && s.Resistance > 0 && drawn > 0 {
			m.volts, m.ohms = s.Volts+s.Resistance*drawn, s.Resistance
			if s.Unloaded > 0 && m.volts > s.Unloaded {
				m.volts, m.ohms = s.Unloaded, (s.Unloaded-s.Volts)/drawn
			}
			relieved := m.volts + s.Resistance*s.Shed
			if s.Unloaded > 0 {
				relieved = min(relieved, s.Unloaded)
			}
			m.volts = relieved
			c.volts = max(c.volts, relieved)
		}
		muted, cold = append(muted, m), append(cold, c)
	}
	return muted, cold
}

// setTo is the position of every moving control for the readings.
func (r *Return) setTo() []float64 {
	return r.at(func(k Control) float64 { return k.SetTo })
}

// at puts every moving control where a rule says.
func (r *Return) at(position func(Control) float64) []float64 {
	at := make([]float64, len(r.controls))
	for i, p := range r.controls {
		at[i] = position(r.net.Points[p].(Gain).Control)
	}
	return at
}

// Receive is the state with the contact closed and the control at SetTo.
func (r *Return) Receive() State { return r.receive }

// Build adds the network to a circuit, all but its contact, which the caller
// puts between Nodes.Return and chassis: rails behind their resistance with
// their capacitors, transformers with their inductance, controls at SetTo. The
// prefix keeps the names of several returns in one circuit apart. With the
// contact closed the circuit's operating point is the receive state.
func (r *Return) Build(c *circuit.Circuit, prefix string) Nodes {
	return build(c, &r.net, form{prefix: prefix, supplies: r.Moving().muted, moving: true})
}

// Moving is the return as a transient that begins on receive sees it: the law as
// fitted in every state, without Doubt, and no rail relieved by other returns.
func (r *Return) Moving() *Return {
	m := *r
	m.net.Rails = append([]Rail(nil), r.net.Rails...)
	for i := range m.net.Rails {
		m.net.Rails[i].Shed = 0
	}
	m.net.Points = append([]Point(nil), r.net.Points...)
	for i, p := range m.net.Points {
		switch p := p.(type) {
		case Output:
			p.Tube.Doubt = 0
			m.net.Points[i] = p
		case Gain:
			p.Stages = append([]Stage(nil), p.Stages...)
			for j := range p.Stages {
				p.Stages[j].Tube.Doubt = 0
			}
			m.net.Points[i] = p
		}
	}
	m.muted, m.cold = m.supplies()
	return &m
}

// An Opened is a return with its contact open. Every question to it is worked out
// by itself, so that one costs nothing of the others.
type Opened struct {
	r         *Return
	shop      *Shop
	hot, cold *rig       // nil: not yet set up
	closed    [][]signal // on receive; nil: not yet asked for
}

// Open opens a return, to be solved in the circuits of the shop, which are in use
// until the shop is given another return.
func (s *Shop) Open(r *Return) *Opened { return &Opened{r: r, shop: s} }

// warm is the return with tubes hot and some ohms for its pulldown.
func (o *Opened) warm(pulldown float64) *rig {
	return o.with(pulldown, &o.hot, &o.shop.hot, form{supplies: o.r.muted, doubted: true})
}

// chilly is the return with tubes cold and some ohms for its pulldown.
func (o *Opened) chilly(pulldown float64) *rig {
	return o.with(pulldown, &o.cold, &o.shop.cold, form{supplies: o.r.cold, cold: true})
}

// with sets a rig up once, in the circuit that the shop has for it.
func (o *Opened) with(pulldown float64, g **rig, c **circuit.Circuit, f form) *rig {
	if *g == nil {
		*g = o.r.rig(f, *c)
		*c = (*g).c
	}
	(*g).c.SetValue("pulldown", pulldown)
	return *g
}

// Muted solves the return with the contact open, over the travel of the control.
func (r *Return) Muted() (Muted, error) { return new(Shop).Open(r).Muted() }

// Muted is [Return.Muted].
func (o *Opened) Muted() (Muted, error) {
	r := o.r
	m, err := r.travel(o.warm(r.net.pulldown()))
	if err != nil {
		return Muted{}, fmt.Errorf("lifted return muted: %w", err)
	}
	if r.net.Pulldown > 0 {
		// P = V²/R
		m.Power = m.Highest.Node * m.Highest.Node / r.net.Pulldown
	}
	m.Extra = make([]float64, len(r.net.Rails))
	for i, s := range r.net.Rails {
		if s.Regulated {
			least := math.Inf(1)
			for _, s := range []State{m.Set, m.Full, m.Least} {
				least = min(least, s.Rails[i].Drawn)
			}
			m.Extra[i] = max(0, r.receive.Rails[i].Drawn-least+s.Shed)
		}
	}
	return m, nil
}

// Cold solves the return with the contact open before the tubes are warm: no
// emission, every rail at its unloaded voltage; every figure the one of largest
// magnitude over the travel of the control, signed.
func (r *Return) Cold() (State, error) { return new(Shop).Open(r).Cold() }

// Cold is [Return.Cold].
func (o *Opened) Cold() (State, error) {
	m, err := o.r.travel(o.chilly(o.r.net.pulldown()))
	if err != nil {
		return State{}, fmt.Errorf("lifted return muted, tubes cold: %w", err)
	}
	return m.Highest, nil
}

// Unguarded solves the return with the contact open and the pulldown missing.
func (r *Return) Unguarded() (Unguarded, error) { return new(Shop).Open(r).Unguarded() }

// Unguarded is [Return.Unguarded].
func (o *Opened) Unguarded() (Unguarded, error) {
	hot, err := o.r.travel(o.warm(meter))
	if err != nil {
		return Unguarded{}, fmt.Errorf("lifted return unguarded: %w", err)
	}
	cold, err := o.r.travel(o.chilly(meter))
	if err != nil {
		return Unguarded{}, fmt.Errorf("lifted return unguarded, tubes cold: %w", err)
	}
	u := Unguarded{Hot: hot.Highest, Cold: cold.Highest}
	u.Node = larger(u.Hot.Node, u.Cold.Node)
	return u, nil
}

// travel solves a return over the travel of its controls.
func (r *Return) travel(g *rig) (m Muted, err error) {
	solve := func(at []float64) (s State) {
		if err != nil {
			return State{}
		}
		if s, err = g.at(at); err == nil {
			m.Highest = worse(m.Highest, s)
		}
		return s
	}
	set := r.setTo()
	m.Set = solve(set)
	end := func(position func(Control) float64) State {
		if at := r.at(position); !slices.Equal(at, set) {
			return solve(at)
		}
		return m.Set
	}
	m.Full = end(func(Control) float64 { return 0 })
	m.Least = end(func(k Control) float64 { return k.Value })
	r.search(solve)
	return m, err
}

// search looks for the worst positions of the controls. Where the track's far
// end hangs free or on the lifted node every voltage rises or falls all the way
// with the control, and the ends of its travel are enough; where it stands on
// chassis, or a bleeder feeds a divider, the highest voltage may lie between.
func (r *Return) search(solve func([]float64) State) {
	stops := make([][]float64, len(r.controls))
	between := false
	for i, p := range r.controls {
		k := r.net.Points[p].(Gain).Control
		stops[i] = []float64{0, k.Value}
		if !k.monotonic() {
			between = true
			stops[i] = stops[i][:0]
			const parts = 8
			for j := range parts + 1 {
				stops[i] = append(stops[i], k.Value*float64(j)/parts)
			}
		}
	}
	if len(stops) == 0 || len(stops) == 1 && !between {
		return // both ends are solved
	}
	at := make([]float64, len(stops))
	var each func(i int)
	best := make([]seen, 1+len(r.net.Points)) // of the node, of every bus
	each = func(i int) {
		if i < len(stops) {
			for _, v := range stops[i] {
				at[i] = v
				each(i + 1)
			}
			return
		}
		s := solve(at)
		for j := range best {
			best[j].note(bus(s, j-1), at)
		}
	}
	each(0)
	for i, p := range r.controls {
		if k := r.net.Points[p].(Gain).Control; !k.monotonic() {
			for _, j := range []int{0, 1 + p} {
				refine(best[j].at, i, k.Value, func(at []float64) float64 {
					return math.Abs(bus(solve(at), j-1))
				})
			}
		}
	}
}

// monotonic reports whether every voltage goes one way with the control.
func (k Control) monotonic() bool {
	return k.Wiring == Rheostat && k.Far != FarChassis
}

// bus picks the bus of a point from a state, the lifted node for −1.
func bus(s State, point int) float64 {
	if point < 0 || point >= len(s.Points) {
		return s.Node
	}
	return s.Points[point].Bus
}

// seen remembers where a voltage was largest.
type seen struct {
	volts float64
	at    []float64
}

func (s *seen) note(volts float64, at []float64) {
	if s.at == nil || math.Abs(volts) > s.volts {
		s.volts, s.at = math.Abs(volts), append([]float64(nil), at...)
	}
}

// refine narrows one coordinate around its best stop by the golden section.
func refine(at []float64, i int, whole float64, volts func([]float64) float64) {
	at = append([]float64(nil), at...)
	value := func(x float64) float64 { at[i] = x; return volts(at) }
	const golden = 0.6180339887
	low, high := max(0, at[i]-whole/8), min(whole, at[i]+whole/8)
	a, b := high-golden*(high-low), low+golden*(high-low)
	va, vb := value(a), value(b)
	for range 10 { // to a thousandth of the travel
		if va > vb {
			high, b, vb = b, a, va
			a = high - golden*(high-low)
			va = value(a)
		} else {
			low, a, va = a, b, vb
			b = low + golden*(high-low)
			vb = value(b)
		}
	}
}
