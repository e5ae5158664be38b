package spice

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"mutewright/design/circuit"
)

// Write writes the deck for ngspice. Element names get the letter of their
// kind in front where they do not begin with it, and every name becomes one
// [Word]. An armature or a switch worked by one cannot be written.
func (d *Deck) Write(w io.Writer) error {
	p := &writer{digits: d.Digits, words: map[string]string{}}
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
		if len(d.Prints) > 0 {
			p.line(".print tran %s", strings.Join(d.Prints, " "))
		}
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
	text   strings.Builder
	digits int
	words  map[string]string // the name of each word
	nodes  []string
	tubes  bool
	errs   []error
}

func (p *writer) line(format string, a ...any) { fmt.Fprintf(&p.text, format+"\n", a...) }

// Word is a name as a deck can hold it: what is neither letter nor digit nor
// one of "_.-" becomes "_".
func Word(name string) string {
	return strings.Map(func(r rune) rune {
		if r < utf8.RuneSelf && (unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("_.-", r)) {
			return r
		}
		return '_'
	}, name)
}

// word is the word of a name; two names that come to the same word are an error.
func (p *writer) word(kind, name string) string {
	w := Word(name)
	key := kind + strings.ToLower(w)
	if first, taken := p.words[key]; taken && first != name {
		p.errs = append(p.errs, fmt.Errorf("%q and %q are the same word in a deck", first, name))
	}
	p.words[key] = name
	return w
}

// card is the name of an element with the letter of its kind in front.
func (p *writer) card(letter, name string) string {
	w := p.word(letter, name)
	if strings.HasPrefix(strings.ToUpper(w), letter) {
		return w
	}
	return letter + "_" + w
}

// number writes a value with the digits that the deck keeps.
func (p *writer) number(v float64) string {
	if p.digits > 0 {
		return strconv.FormatFloat(v, 'g', p.digits, 64)
	}
	return number(v)
}

func (p *writer) Node(name string) circuit.Node {
	p.nodes = append(p.nodes, p.word("node ", name))
	return circuit.Node(len(p.nodes))
}

func (p *writer) at(n circuit.Node) string {
	if n == circuit.Chassis {
		return "0"
	}
	return p.nodes[n-1]
}

func (p *writer) Resistor(name string, a, b circuit.Node, ohms float64) {
	p.line("%s %s %s %s", p.card("R", name), p.at(a), p.at(b), p.number(ohms))
}

func (p *writer) Capacitor(name string, a, b circuit.Node, farads float64) {
	p.line("%s %s %s %s", p.card("C", name), p.at(a), p.at(b), p.number(farads))
}

func (p *writer) Inductor(name string, a, b circuit.Node, henries float64) {
	p.line("%s %s %s %s", p.card("L", name), p.at(a), p.at(b), p.number(henries))
}

func (p *writer) Voltage(name string, plus, minus circuit.Node, s circuit.Source) {
	f := s.Form()
	if f.Shape == circuit.ShapeClipped {
		p.line("%s %s %s V=max(-%s,min(%s,%s*sin(2*pi*(%s*time+%s/360))))", p.card("B", name), p.at(plus), p.at(minus),
			p.number(f.Peak), p.number(f.Peak), p.number(f.Amplitude), p.number(f.Hz), p.number(f.Phase))
		return
	}
	p.line("%s %s %s %s", p.card("V", name), p.at(plus), p.at(minus), p.source(name, s))
}

func (p *writer) Current(name string, from, to circuit.Node, s circuit.Source) {
	p.line("%s %s %s %s", p.card("I", name), p.at(from), p.at(to), p.source(name, s))
}

func (p *writer) source(name string, s circuit.Source) string {
	f := s.Form()
	var text string
	switch f.Shape {
	case circuit.ShapeSine:
		text = fmt.Sprintf("SIN(%s %s %s 0 0 %s)", p.number(f.Offset), p.number(f.Amplitude), p.number(f.Hz), p.number(f.Phase))
	case circuit.ShapePulse:
		// ngspice takes a rise of zero for its print interval, and a period of
		// zero for the whole run.
		edge := func(v float64) string { return p.number(max(v, 1e-9)) }
		period := f.Period
		if period == 0 {
			period = 1e6
		}
		text = fmt.Sprintf("PULSE(%s %s %s %s %s %s %s)", p.number(f.Offset), p.number(f.Amplitude), p.number(f.Delay),
			edge(f.Rise), edge(f.Fall), p.number(f.Width), p.number(period))
	case circuit.ShapeClipped:
		p.errs = append(p.errs, fmt.Errorf("%s: a flat-topped current has no card", name))
	default:
		text = "DC " + p.number(f.Offset)
	}
	if magnitude, degrees := s.AC(); magnitude != 0 {
		text += fmt.Sprintf(" AC %s %s", p.number(magnitude), p.number(degrees))
	}
	return text
}

func (p *writer) Diode(name string, anode, cathode circuit.Node, m circuit.DiodeModel) {
	model := "M_" + Word(name)
	p.line("%s %s %s %s", p.card("D", name), p.at(anode), p.at(cathode), model)
	n := m.N
	if n == 0 {
		n = 1
	}
	text := fmt.Sprintf(".model %s D(IS=%s N=%s RS=%s", model, p.number(m.IS), p.number(n), p.number(m.RS))
	if m.BV > 0 {
		ibv := m.IBV
		if ibv == 0 {
			ibv = 1e-3
		}
		text += fmt.Sprintf(" BV=%s IBV=%s", p.number(m.BV), p.number(ibv))
	}
	p.line("%s)", text)
}

func (p *writer) Transistor(name string, collector, base, emitter circuit.Node, m circuit.TransistorModel) {
	model, kind, br := "M_"+Word(name), "NPN", m.BR
	if m.PNP {
		kind = "PNP"
	}
	if br == 0 {
		br = 1
	}
	p.line("%s %s %s %s %s", p.card("Q", name), p.at(collector), p.at(base), p.at(emitter), model)
	p.line(".model %s %s(IS=%s BF=%s BR=%s)", model, kind, p.number(m.IS), p.number(m.BF), p.number(br))
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
	model, control := "M_"+Word(name), Word(name)+"_t"
	p.line("%s %s %s %s 0 %s", p.card("S", name), p.at(a), p.at(b), control, model)
	p.line(".model %s SW(VT=0.5 RON=%s ROFF=%s)", model, p.number(on), p.number(off))
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
	p.line("%s %s %s %s %s pentode G=%s MUA=%s MUB=%s SH=%s PS=%s N=%s", p.card("X", name), p.at(plate), p.at(screen), p.at(grid), p.at(cathode),
		p.number(t.G), p.number(t.MuA), p.number(mub), p.number(t.S), p.number(share), p.number(count))
}

func (p *writer) Armature(name string, _ circuit.Armature) {
	p.errs = append(p.errs, fmt.Errorf("%s: an armature has no card", name))
}
