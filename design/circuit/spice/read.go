package spice

import (
	"fmt"
	"io"
	"regexp"
	"strings"

	"mutewright/design/circuit"
)

// Read reads a deck. Everything becomes lower case, as in ngspice.
// An error names the line.
func Read(r io.Reader) (*Deck, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("reading a deck: %w", err)
	}
	p := &reader{deck: &Deck{Circuit: circuit.New()}, models: map[string]model{}, controls: map[string]string{}, analysis: -1}
	if err := p.read(strings.Split(string(text), "\n")); err != nil {
		return nil, err
	}
	return p.deck, nil
}

type line struct {
	number int
	text   string
}

type model struct {
	kind   string
	values map[string]float64
}

type reader struct {
	deck     *Deck
	models   map[string]model
	controls map[string]string // PWL arguments by the node they drive
	library  bool
	analysis int // number of the line with the analysis, or -1
	period   float64
}

// read goes through the lines twice: models and switch controls stand
// anywhere, elements need them.
func (p *reader) read(raw []string) error {
	lines, err := p.join(raw)
	if err != nil {
		return err
	}
	for pass := 1; pass <= 2; pass++ {
		for _, l := range lines {
			if err := p.card(l, pass); err != nil {
				return fmt.Errorf("line %d: %w", l.number, err)
			}
		}
	}
	if p.analysis < 0 {
		return fmt.Errorf("deck has no analysis: want .op, .ac or .tran")
	}
	if p.period > 0 {
		if p.deck.Analysis.Kind != Transient {
			return fmt.Errorf("periodic needs a .tran for ngspice")
		}
		p.deck.Analysis.Kind, p.deck.Analysis.Period = Periodic, p.period
	}
	return nil
}

// join takes title, comments and blank lines away and joins continuations.
func (p *reader) join(raw []string) ([]line, error) {
	var lines []line
	for i, text := range raw {
		if i == 0 {
			p.deck.Title = strings.TrimSpace(strings.TrimPrefix(text, "*"))
			continue
		}
		if before, _, ok := strings.Cut(text, ";"); ok {
			text = before
		}
		text = strings.TrimSpace(text)
		switch {
		case strings.HasPrefix(text, "*@"):
			lines = append(lines, line{i + 1, text})
		case text == "" || text[0] == '*':
		case text[0] == '+':
			if len(lines) == 0 || strings.HasPrefix(lines[len(lines)-1].text, "*@") {
				return nil, fmt.Errorf("line %d: nothing to continue", i+1)
			}
			lines[len(lines)-1].text += " " + strings.ToLower(text[1:])
		default:
			lines = append(lines, line{i + 1, strings.ToLower(text)})
		}
	}
	return lines, nil
}

// separators part the arguments of a card.
var separators = strings.NewReplacer("(", " ", ")", " ", ",", " ", "=", " = ")

func (p *reader) card(l line, pass int) error {
	if strings.HasPrefix(l.text, "*@") {
		return p.directive(strings.TrimSpace(l.text[2:]), pass)
	}
	if l.text[0] == 'b' {
		if pass == 2 {
			return p.clipped(l.text)
		}
		return nil
	}
	f := strings.Fields(separators.Replace(l.text))
	if f[0][0] == '.' {
		return p.dot(l, f, pass)
	}
	if pass == 1 {
		if f[0][0] == 'v' && len(f) > 3 && f[3] == "pwl" {
			p.controls[f[1]] = strings.Join(f[4:], " ")
		}
		return nil
	}
	return p.element(f)
}

func (p *reader) directive(text string, pass int) error {
	f := strings.Fields(text)
	if len(f) == 2 && f[0] == "periodic" {
		v, err := parseNumber(f[1])
		p.period = v
		return err
	}
	if pass == 1 {
		return nil
	}
	m, err := parseMeasure(text)
	p.deck.Measures = append(p.deck.Measures, m)
	return err
}

func (p *reader) dot(l line, f []string, pass int) error {
	if pass == 2 {
		return nil
	}
	set := func(a Analysis) error {
		if p.analysis >= 0 {
			return fmt.Errorf("second analysis; the first is on line %d", p.analysis)
		}
		p.analysis, p.deck.Analysis = l.number, a
		return nil
	}
	switch f[0] {
	case ".model":
		return p.model(f[1:])
	case ".include":
		if len(f) != 2 || f[1] != Library {
			return fmt.Errorf("only %s can be included", Library)
		}
		p.library = true
	case ".options", ".end", ".save":
	case ".op":
		return set(Analysis{Kind: OperatingPoint})
	case ".ac":
		if len(f) != 5 || f[1] != "lin" || f[2] != "1" || f[3] != f[4] {
			return fmt.Errorf("want .ac lin 1 HZ HZ")
		}
		hz, err := parseNumber(f[3])
		if err != nil {
			return err
		}
		return set(Analysis{Kind: SmallSignals, Hz: hz})
	case ".tran":
		if len(f) < 5 || len(f) > 6 || f[3] != "0" || len(f) == 6 && f[5] != "uic" {
			return fmt.Errorf("want .tran PRINT UNTIL 0 MAXSTEP [uic]")
		}
		v, err := numbers(f[2], f[4])
		if err != nil {
			return err
		}
		return set(Analysis{Kind: Transient, Until: v[0], MaxStep: v[1], Cold: len(f) == 6})
	case ".print":
		return p.prints(l.text)
	default:
		return fmt.Errorf("unknown card %s", f[0])
	}
	return nil
}

// prints reads .print tran SIGNAL ….
func (p *reader) prints(text string) error {
	f := strings.Fields(text)
	if len(f) < 3 || f[1] != "tran" {
		return fmt.Errorf("want .print tran SIGNAL …")
	}
	for _, s := range f[2:] {
		if _, _, err := signal(s); err != nil {
			return err
		}
	}
	p.deck.Prints = append(p.deck.Prints, f[2:]...)
	return nil
}

func (p *reader) model(f []string) error {
	if len(f) < 2 {
		return fmt.Errorf("want .model NAME KIND(…)")
	}
	values, err := pairs(f[2:])
	if err != nil {
		return err
	}
	p.models[f[0]] = model{f[1], values}
	return nil
}

// pairs reads NAME = VALUE NAME = VALUE ….
func pairs(f []string) (map[string]float64, error) {
	values := map[string]float64{}
	for len(f) > 0 {
		if len(f) < 3 || f[1] != "=" {
			return nil, fmt.Errorf("want NAME=VALUE at %q", strings.Join(f, " "))
		}
		v, err := parseNumber(f[2])
		if err != nil {
			return nil, err
		}
		values[f[0]] = v
		f = f[3:]
	}
	return values, nil
}

// parameters gives values by name; a name that is not among them is refused.
func (m model) parameters(kind string, names ...string) ([]float64, error) {
	if m.kind != kind {
		return nil, fmt.Errorf("want a model of kind %s, not %q", kind, m.kind)
	}
	out, used := make([]float64, len(names)), 0
	for i, n := range names {
		v, ok := m.values[n]
		if ok {
			used++
		}
		out[i] = v
	}
	if used != len(m.values) {
		return nil, fmt.Errorf("the model may have %s and nothing else", strings.Join(names, " "))
	}
	return out, nil
}

func numbers(texts ...string) ([]float64, error) {
	out := make([]float64, len(texts))
	for i, t := range texts {
		v, err := parseNumber(t)
		if err != nil {
			return nil, err
		}
		out[i] = v
	}
	return out, nil
}

func (p *reader) element(f []string) error {
	c, name := p.deck.Circuit, f[0]
	want := map[byte]int{'r': 4, 'c': 4, 'l': 4, 'v': 4, 'i': 4, 'd': 4, 'q': 5, 's': 6, 'x': 6}[name[0]]
	if want == 0 {
		return fmt.Errorf("no element has the letter %q", name[:1])
	}
	if len(f) < want {
		return fmt.Errorf("%s: too few words", name)
	}
	if (name[0] == 'v') && f[3] == "pwl" {
		return nil // control of a switch
	}
	a, b := c.Node(f[1]), c.Node(f[2])
	switch name[0] {
	case 'r', 'c', 'l':
		v, err := parseNumber(f[3])
		if err != nil || len(f) > 4 {
			return fmt.Errorf("%s: want %s A B VALUE", name, name)
		}
		switch name[0] {
		case 'r':
			c.Resistor(name, a, b, v)
		case 'c':
			c.Capacitor(name, a, b, v)
		default:
			c.Inductor(name, a, b, v)
		}
	case 'v', 'i':
		s, err := source(f[3:])
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		if name[0] == 'v' {
			c.Voltage(name, a, b, s)
		} else {
			c.Current(name, a, b, s)
		}
	case 'd':
		v, err := p.models[f[3]].parameters("d", "is", "n", "rs", "bv", "ibv")
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		c.Diode(name, a, b, circuit.DiodeModel{IS: v[0], N: v[1], RS: v[2], BV: v[3], IBV: v[4]})
	case 'q':
		m := p.models[f[4]]
		kind := "npn"
		if m.kind == "pnp" {
			kind = "pnp"
		}
		v, err := m.parameters(kind, "is", "bf", "br")
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		c.Transistor(name, a, b, c.Node(f[3]), circuit.TransistorModel{PNP: kind == "pnp", IS: v[0], BF: v[1], BR: v[2]})
	case 's':
		return p.timed(f)
	case 'x':
		return p.tube(f)
	}
	return nil
}

// source reads the course of a V or I card.
func source(f []string) (circuit.Source, error) {
	var s circuit.Source
	take := func(n int) ([]float64, error) {
		if len(f) < n+1 {
			return nil, fmt.Errorf("%s wants %d numbers", f[0], n)
		}
		v, err := numbers(f[1 : n+1]...)
		f = f[n+1:]
		return v, err
	}
	switch f[0] {
	case "sin":
		v, err := take(6)
		if err != nil {
			return s, err
		}
		if v[3] != 0 || v[4] != 0 {
			return s, fmt.Errorf("delay and damping of a sine must be 0")
		}
		s = circuit.Sine(v[0], v[1], v[2], v[5])
	case "pulse":
		v, err := take(7)
		if err != nil {
			return s, err
		}
		s = circuit.Pulse(v[0], v[1], v[2], v[3], v[4], v[5], v[6])
	case "dc":
		v, err := take(1)
		if err != nil {
			return s, err
		}
		s = circuit.DC(v[0])
	default:
		v, err := parseNumber(f[0])
		if err != nil {
			return s, err
		}
		s, f = circuit.DC(v), f[1:]
	}
	if len(f) > 0 && f[0] == "ac" {
		v, err := take(2)
		if err != nil {
			return s, err
		}
		s = s.WithAC(v[0], v[1])
	}
	if len(f) > 0 {
		return s, fmt.Errorf("cannot read %q", strings.Join(f, " "))
	}
	return s, nil
}

var clippedForm = regexp.MustCompile(`^(\S+) (\S+) (\S+) v=max\(-([^,]+),min\(([^,]+),([^*]+)\*sin\(2\*pi\*\(([^*]+)\*time\+([^/]+)/360\)\)\)\)$`)

// clipped reads a B card, which may be nothing but a flat-topped sine.
func (p *reader) clipped(text string) error {
	m := clippedForm.FindStringSubmatch(strings.Join(strings.Fields(text), " "))
	if m == nil {
		return fmt.Errorf("want NAME + - V=max(-PEAK,min(PEAK,AMPLITUDE*sin(2*pi*(HZ*time+DEGREES/360))))")
	}
	v, err := numbers(m[4:]...)
	if err != nil {
		return err
	}
	if v[0] != v[1] {
		return fmt.Errorf("the two peaks differ")
	}
	c := p.deck.Circuit
	c.Voltage(m[1], c.Node(m[2]), c.Node(m[3]), circuit.CutSine(v[2], v[1], v[3], v[4]))
	return nil
}

// timed reads a switch with its control.
func (p *reader) timed(f []string) error {
	name := f[0]
	course, ok := p.controls[f[3]]
	if !ok || f[4] != "0" {
		return fmt.Errorf("%s: want a control node driven by V… PWL(…) against 0", name)
	}
	v, err := p.models[f[5]].parameters("sw", "vt", "ron", "roff")
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	t, err := numbers(strings.Fields(course)...)
	if err != nil || len(t) < 2 || len(t)%2 != 0 {
		return fmt.Errorf("%s: PWL wants pairs of time and level", name)
	}
	s := circuit.Switch{On: v[1], Off: v[2], Closed: t[1] > v[0]}
	for i := 2; i < len(t); i += 2 {
		before, after := t[i-1]-v[0], t[i+1]-v[0]
		if (before > 0) != (after > 0) {
			at := t[i-2] + (t[i]-t[i-2])*before/(before-after)
			s.Times = append(s.Times, circuit.Toggle{At: at, Closed: after > 0})
		}
	}
	c := p.deck.Circuit
	c.Switch(name, c.Node(f[1]), c.Node(f[2]), s)
	return nil
}

func (p *reader) tube(f []string) error {
	if f[5] != "pentode" || !p.library {
		return fmt.Errorf("%s: want a pentode, with .include %s", f[0], Library)
	}
	values, err := pairs(f[6:])
	if err != nil {
		return fmt.Errorf("%s: %w", f[0], err)
	}
	v, err := model{"pentode", values}.parameters("pentode", "g", "mua", "mub", "sh", "ps", "n")
	if err != nil {
		return fmt.Errorf("%s: %w", f[0], err)
	}
	c := p.deck.Circuit
	c.Tube(f[0], c.Node(f[1]), c.Node(f[2]), c.Node(f[3]), c.Node(f[4]),
		circuit.TubeModel{G: v[0], MuA: v[1], MuB: v[2], S: v[3], PlateShare: v[4], Count: v[5]})
	return nil
}
