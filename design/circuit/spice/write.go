package spice

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"mutewright/design/circuit"
)

// Write writes the deck for ngspice. Element names get the letter of their
// kind in front where they do not begin with it. An armature or a switch
// worked by one cannot be written.
func (d *Deck) Write(w io.Writer) error {
	p := &writer{}
	p.line("* %s", strings.ReplaceAll(d.Title, "\n", " "))
	d.Circuit.Replay(p)
	if p.tubes {
		p.line(".include %s", Library)
	}
	p.line(".options reltol=1e-5 abstol=1e-12 vntol=1e-6 chgtol=1e-16 itl1=500 itl4=100")
	a := d.Analysis
	switch a.Kind {
	case OperatingPoint:
		p.line(".op")
	case SmallSignals:
		p.line(".ac lin 1 %s %s", number(a.Hz), number(a.Hz))
	case Periodic:
		p.line("*@ periodic %s", number(a.Period))
		fallthrough
	case Transient:
		uic := ""
		if a.Cold {
			uic = " uic"
		}
		p.line(".tran %s %s 0 %s%s", number(a.MaxStep), number(a.Until), number(a.MaxStep), uic)
	}
	for _, m := range d.Measures {
		p.line("%s", m.line())
	}
	p.line(".end")
	if err := errors.Join(p.errs...); err != nil {
		return fmt.Errorf("cannot write %s as a deck: %w", d.Title, err)
	}
	_, err := io.WriteString(w, p.text.String())
	return err
}

// writer is a [circuit.Builder] that writes cards.
type writer struct {
	text  strings.Builder
	nodes []string
	tubes bool
	errs  []error
}

func (p *writer) line(format string, a ...any) { fmt.Fprintf(&p.text, format+"\n", a...) }

// card is the name of an element with the letter of its kind in front.
func card(letter, name string) string {
	if strings.HasPrefix(strings.ToUpper(name), letter) {
		return name
	}
	return letter + "_" + name
}

func (p *writer) Node(name string) circuit.Node {
	p.nodes = append(p.nodes, name)
	return circuit.Node(len(p.nodes))
}

func (p *writer) at(n circuit.Node) string {
	if n == circuit.Chassis {
		return "0"
	}
	return p.nodes[n-1]
}

func (p *writer) Resistor(name string, a, b circuit.Node, ohms float64) {
	p.line("%s %s %s %s", card("R", name), p.at(a), p.at(b), number(ohms))
}

func (p *writer) Capacitor(name string, a, b circuit.Node, farads float64) {
	p.line("%s %s %s %s", card("C", name), p.at(a), p.at(b), number(farads))
}

func (p *writer) Inductor(name string, a, b circuit.Node, henries float64) {
	p.line("%s %s %s %s", card("L", name), p.at(a), p.at(b), number(henries))
}

func (p *writer) Voltage(name string, plus, minus circuit.Node, s circuit.Source) {
	f := s.Form()
	if f.Shape == circuit.ShapeClipped {
		p.line("%s %s %s V=max(-%s,min(%s,%s*sin(2*pi*(%s*time+%s/360))))", card("B", name), p.at(plus), p.at(minus),
			number(f.Peak), number(f.Peak), number(f.Amplitude), number(f.Hz), number(f.Phase))
		return
	}
	p.line("%s %s %s %s", card("V", name), p.at(plus), p.at(minus), p.source(name, s))
}

func (p *writer) Current(name string, from, to circuit.Node, s circuit.Source) {
	p.line("%s %s %s %s", card("I", name), p.at(from), p.at(to), p.source(name, s))
}

func (p *writer) source(name string, s circuit.Source) string {
	f := s.Form()
	var text string
	switch f.Shape {
	case circuit.ShapeSine:
		text = fmt.Sprintf("SIN(%s %s %s 0 0 %s)", number(f.Offset), number(f.Amplitude), number(f.Hz), number(f.Phase))
	case circuit.ShapePulse:
		// ngspice takes a rise of zero for its print interval, and a period of
		// zero for the whole run.
		edge := func(v float64) string { return number(max(v, 1e-9)) }
		period := f.Period
		if period == 0 {
			period = 1e6
		}
		text = fmt.Sprintf("PULSE(%s %s %s %s %s %s %s)", number(f.Offset), number(f.Amplitude), number(f.Delay),
			edge(f.Rise), edge(f.Fall), number(f.Width), number(period))
	case circuit.ShapeClipped:
		p.errs = append(p.errs, fmt.Errorf("%s: a flat-topped current has no card", name))
	default:
		text = "DC " + number(f.Offset)
	}
	if magnitude, degrees := s.AC(); magnitude != 0 {
		text += fmt.Sprintf(" AC %s %s", number(magnitude), number(degrees))
	}
	return text
}

func (p *writer) Diode(name string, anode, cathode circuit.Node, m circuit.DiodeModel) {
	model := "M_" + name
	p.line("%s %s %s %s", card("D", name), p.at(anode), p.at(cathode), model)
	n := m.N
	if n == 0 {
		n = 1
	}
	text := fmt.Sprintf(".model %s D(IS=%s N=%s RS=%s", model, number(m.IS), number(n), number(m.RS))
	if m.BV > 0 {
		ibv := m.IBV
		if ibv == 0 {
			ibv = 1e-3
		}
		text += fmt.Sprintf(" BV=%s IBV=%s", number(m.BV), number(ibv))
	}
	p.line("%s)", text)
}

func (p *writer) Transistor(name string, collector, base, emitter circuit.Node, m circuit.TransistorModel) {
	model, kind, br := "M_"+name, "NPN", m.BR
	if m.PNP {
		kind = "PNP"
	}
	if br == 0 {
		br = 1
	}
	p.line("%s %s %s %s %s", card("Q", name), p.at(collector), p.at(base), p.at(emitter), model)
	p.line(".model %s %s(IS=%s BF=%s BR=%s)", model, kind, number(m.IS), number(m.BF), number(br))
}

// crossover is half the time (s) a switch's control takes from one level to
// the other, about the instant of the toggle.
const crossover = 1e-8

func (p *writer) Switch(name string, a, b circuit.Node, s circuit.Switch) {
	if s.Armature != "" {
		p.errs = append(p.errs, fmt.Errorf("%s: a switch worked by an armature has no card", name))
		return
	}
	on, off := s.On, s.Off
	if on == 0 {
		on = 10e-3
	}
	if off == 0 {
		off = 1e12
	}
	model, control := "M_"+name, name+"_t"
	p.line("%s %s %s %s 0 %s", card("S", name), p.at(a), p.at(b), control, model)
	p.line(".model %s SW(VT=0.5 RON=%s ROFF=%s)", model, number(on), number(off))
	level := func(closed bool) string {
		if closed {
			return "1"
		}
		return "0"
	}
	closed := s.Closed
	text := ""
	for _, t := range s.Times {
		if t.At <= 0 {
			closed = t.Closed
			continue
		}
		if text == "" {
			text = "0 " + level(closed)
		}
		text += fmt.Sprintf(" %s %s %s %s", number(t.At-crossover), level(closed), number(t.At+crossover), level(t.Closed))
		closed = t.Closed
	}
	if text == "" {
		text = "0 " + level(closed)
	}
	p.line("V%s %s 0 PWL(%s)", control, control, text)
}

func (p *writer) Tube(name string, plate, screen, grid, cathode circuit.Node, t circuit.TubeModel) {
	p.tubes = true
	share, count, mub := t.PlateShare, t.Count, t.MuB
	if share == 0 {
		share = 1
	}
	if count == 0 {
		count = 1
	}
	if mub == 0 {
		mub = t.MuA
	}
	p.line("%s %s %s %s %s pentode G=%s MUA=%s MUB=%s SH=%s PS=%s N=%s", card("X", name), p.at(plate), p.at(screen), p.at(grid), p.at(cathode),
		number(t.G), number(t.MuA), number(mub), number(t.S), number(share), number(count))
}

func (p *writer) Armature(name string, _ circuit.Armature) {
	p.errs = append(p.errs, fmt.Errorf("%s: an armature has no card", name))
}
