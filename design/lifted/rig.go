package lifted

import (
	"math"
	"math/cmplx"
	"strconv"

	"mutewright/design/circuit"
)

// A rig is a network set up in a circuit of its own, to be solved at one or more
// positions of its controls.
type rig struct {
	r     *Return
	form  form
	c     *circuit.Circuit
	nodes Nodes
	last  *circuit.Point
}

// rig sets the return up in a circuit that held the like of it before, or in a
// new one.
func (r *Return) rig(f form, used *circuit.Circuit) *rig {
	g := &rig{r: r, form: f}
	circuit.Fill(used, g.fill)
	return g
}

func (g *rig) fill(c *circuit.Circuit) {
	g.c, g.nodes = c, build(c, &g.r.net, g.form)
	if !g.form.lead {
		return
	}
	contact := g.nodes.Return
	if g.r.net.Lead > 0 {
		contact = c.Node("contact")
		c.Inductor("lead", g.nodes.Return, contact, g.r.net.Lead)
	}
	c.Resistor("contact", contact, circuit.Chassis, max(g.r.net.Contact, short))
}

// solve finds the operating point, from the last one where there is one.
func (g *rig) solve() (*circuit.Point, error) {
	p, err := g.c.OperatingPoint(circuit.Options{Guess: g.last})
	if err == nil {
		g.last = p
	}
	return p, err
}

// at solves with the controls at the positions given.
func (g *rig) at(positions []float64) (State, error) {
	g.place(positions)
	point, err := g.solve()
	if err != nil {
		return State{}, err
	}
	return g.state(point, positions), nil
}

// place puts the controls at the positions given.
func (g *rig) place(positions []float64) {
	for i, p := range g.r.controls {
		k := g.r.net.Points[p].(Gain).Control
		name := "p" + strconv.Itoa(p+1)
		lower, upper := k.parts(positions[i])
		g.c.SetValue(name+"_control", lower)
		if k.Wiring == Divider || k.pastRest() {
			g.c.SetValue(name+"_rest", upper)
		}
	}
}

// pastRest reports whether the rest of a rheostat's track leads to chassis.
func (k Control) pastRest() bool {
	return k.Wiring == AntennaAndCathode || k.Wiring == Rheostat && k.Far == FarChassis
}

// state reads a solved operating point.
func (g *rig) state(at *circuit.Point, positions []float64) State {
	n := &g.r.net
	s := newState(len(n.Rails), len(n.Points), func(i int) int { return len(g.nodes.Points[i].Stages) })
	s.Node = at.Volts(g.nodes.Return)
	for i, node := range g.nodes.Rails {
		s.Rails[i].Volts = at.Volts(node)
		source := g.form.supplies[i]
		if source.ohms > 0 {
			s.Rails[i].Drawn = (source.volts - s.Rails[i].Volts) / source.ohms
		} else {
			s.Rails[i].Drawn = -at.Amps("rail" + strconv.Itoa(i+1))
		}
	}
	moving := 0
	for i, p := range n.Points {
		nodes := g.nodes.Points[i]
		ps := PointState{Bus: at.Volts(nodes.Bus), Stages: s.Points[i].Stages}
		var past float64 // S
		switch p := p.(type) {
		case Output:
			past = siemens(p.Path)
			ps.Past = s.Node * past
			ps.Stages[0] = g.output(at, nodes.Stages[0], p)
		case Gain:
			past = siemens(p.Path)
			ps.Past = s.Node * past
			if p.Control.Value > 0 {
				ps.Position = positions[moving]
				moving++
				lower, upper := p.Control.parts(ps.Position)
				if p.Control.pastRest() {
					past += 1 / upper
					ps.Past += s.Node / upper
				} else if p.Control.Wiring == Divider && p.Control.Far == FarChassis {
					past += 1 / lower
					ps.Past += ps.Bus / lower
				}
			}
			if p.shares() {
				ps.Screens = at.Volts(nodes.Screens)
			}
			for j, stage := range p.Stages {
				ps.Stages[j] = g.stage(at, nodes.Stages[j], 1, stage.Bypass, circuit.Chassis)
			}
		case Measured:
			ps.Bus = p.Open
		}
		if past > 0 {
			ps.PastOhms = 1 / past
		}
		for _, st := range ps.Stages {
			ps.Current += st.Current
		}
		s.Points[i] = ps
	}
	g.measured(at, &s)
	return s
}

// measured puts the readings of measured points where they count.
func (g *rig) measured(at *circuit.Point, s *State) {
	closed := g.form.lead
	if closed {
		s.Contact = at.Amps("contact")
	}
	for i, p := range g.r.net.Points {
		m, ok := p.(Measured)
		switch {
		case !ok:
		case closed:
			s.Contact += m.Closed
			s.Points[i].Current, s.Points[i].Bus = m.Closed, s.Node
		default:
			s.Node = larger(s.Node, m.Open)
		}
	}
}

func siemens(ohms float64) float64 {
	if ohms == 0 {
		return 0
	}
	return 1 / ohms
}

func (g *rig) output(at *circuit.Point, n StageNodes, p Output) StageState {
	far := circuit.Chassis
	if p.BypassTo == ToReturn {
		far = g.nodes.Return
	}
	s := g.stage(at, n, p.Count, p.Bypass, far)
	winding := p.Transformer.Resistance
	if p.Count == 2 {
		winding /= 4 // both halves at once: see transformer
	}
	s.Plate -= winding * (s.Current - s.ScreenCurrent)
	return s
}

// stage reads one stage, whose plate is its rail.
func (g *rig) stage(at *circuit.Point, n StageNodes, count int, bypass float64, far circuit.Node) StageState {
	s := StageState{Cathode: at.Volts(n.Cathode), Screen: at.Volts(n.Screen), Plate: at.Volts(n.Plate)}
	if !g.form.cold {
		t := at.Tube(n.Tube)
		s.Current, s.ScreenCurrent, s.Grid, s.Gm = t.Cathode, t.Screen, t.GridVolts, t.Gm/float64(count)
	}
	if bypass > 0 {
		s.Bypass = s.Cathode - at.Volts(far)
	}
	h := g.r.net.Heater
	s.HeaterCathode = math.Abs(s.Cathode-h.Bias) + h.Peak
	return s
}

// Audio is the frequency at which an output stage is judged, Hz.
const Audio = 1e3

// signals finds what every stage is to a small signal. With y the admittance
// between a cathode and chassis, the tube itself included,
//
//	1/Z = y − (∂Ik/∂Vg1k + ∂Ik/∂Vg2k)
//
// because grid and screen stand at chassis for signals.
//
// The two tubes of a pair are driven against each other, so that their common
// node stands still: with shared cathodes Z is 0, with separate ones each tube
// has its own cathode resistor and bypass.
func (g *rig) signals(at *circuit.Point) ([][]signal, error) {
	all := make([][]signal, len(g.r.net.Points))
	for i, p := range g.r.net.Points {
		nodes := g.nodes.Points[i]
		all[i] = make([]signal, len(nodes.Stages))
		hz := Audio
		switch p := p.(type) {
		case Gain:
			hz = p.Frequency
		case Output:
			if p.Count == 2 {
				t := at.Tube(nodes.Stages[0].Tube)
				all[i][0] = signal{gm: t.Gm / 2, z: p.own()}
				continue
			}
		case Measured:
			continue
		}
		cathodes := make([]circuit.Node, len(nodes.Stages))
		for j, n := range nodes.Stages {
			cathodes[j] = n.Cathode
		}
		impedances, err := g.c.Impedances(at, cathodes, hz)
		if err != nil {
			return nil, err
		}
		for j, n := range nodes.Stages {
			t := at.Tube(n.Tube)
			all[i][j] = signal{gm: t.Gm, z: 1 / (1/impedances[j] - complex(t.Gm+t.ScreenGm, 0))}
		}
	}
	return all, nil
}

// own is the impedance from one cathode of a pair to a node that stands still.
func (p Output) own() complex128 {
	if !p.Separate || p.CathodeResistor == 0 {
		return 0
	}
	return 1 / complex(1/p.CathodeResistor, 2*math.Pi*Audio*p.Bypass)
}

// effective is gm/|1 + gm·Z|.
func (s signal) effective() float64 {
	return s.gm / cmplx.Abs(1+complex(s.gm, 0)*s.z)
}
