package fitting

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"mutewright/design/answer"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// New fits parts, wires and readings to the answers.
func New(f *known.Facts, a *answer.Answers) Fitting {
	b := &builder{f: f, a: a, series: firstNumber(f)}
	b.wiring()
	b.parts()
	wires := b.w.Number()
	b.noteLeads(&b.w)
	fit := Fitting{Wiring: b.w, Parts: b.entries}
	for i := range f.Relays {
		fit.Relays = append(fit.Relays, b.relayRef(i))
	}
	for _, w := range wires {
		fit.Wires = append(fit.Wires, *w)
	}
	fit.Readings = readings(f, a, &fit)
	fit.Faults, fit.Standby = b.faults(), b.standby()
	return fit
}

// builder makes up one fitting.
type builder struct {
	f       *known.Facts
	a       *answer.Answers
	series  int            // 900 or 1000: added parts are numbered from the next
	used    map[string]int // letter → how many references are given out
	w       Wiring
	coils   []coil // as the relays
	strip   strip  // the added tag strip
	cuts    int    // how many cuts are named
	entries []Entry
}

var ninehundreds = regexp.MustCompile(`\b[A-Z]{1,2}9\d\d\b`)

// firstNumber is 900, so that no added part shares its name with one of the
// set's own, or 1000 where the plan's words already hold such a name.
func firstNumber(f *known.Facts) int {
	for _, p := range f.Points {
		if ninehundreds.MatchString(p.Lift) {
			return 1000
		}
	}
	for _, s := range f.Supplies {
		if ninehundreds.MatchString(s.Live + " " + s.Tap + " " + s.Other) {
			return 1000
		}
	}
	return 900
}

// ref gives out the next reference of a letter: "C901", "C902" (IEEE 315).
func (b *builder) ref(letter string) string {
	if b.used == nil {
		b.used = map[string]int{}
	}
	b.used[letter]++
	return letter + strconv.Itoa(b.series+b.used[letter])
}

// relayRef is the reference of relay i: "K1", as in the names of quantities.
func (b *builder) relayRef(i int) string { return "K" + strconv.Itoa(i+1) }

// cut names the next cut.
func (b *builder) cut() int { b.cuts++; return b.cuts }

// lug makes the joint of a new chassis lug.
func (b *builder) lug(at string) *Joint {
	id := b.ref("E")
	return &Joint{ID: id, Label: id, Words: id + ", lug at " + at, Added: true}
}

// level is a quantity as the diagram shows it.
func (b *builder) level(name string) (Level, bool) {
	q, ok := b.a.Get(name)
	return Level{Low: q.Low, Nominal: q.Nominal, High: q.High}, ok
}

// flag makes a flag of two quantities; nil where the second does not exist.
func (b *builder) flag(receive, muted string) *Flag {
	m, ok := b.level(muted)
	if !ok {
		return nil
	}
	r, _ := b.level(receive) // a missing name is 0 V: the node at chassis
	return &Flag{Receive: r, Muted: m}
}

// text formats the number at id, "" where it does not exist.
func (b *builder) text(id known.ID) string {
	if !id.Exists() {
		return ""
	}
	return b.f.Number(id)
}

func (b *builder) number(id known.ID) float64 {
	if !id.Exists() {
		return 0
	}
	return b.f.Box.Entry(id).Nominal
}

// Conductors: 0.5 mm² for what carries the winding's current, 0.25 mm² for coil
// and line, 0.5 mm² for returns; the antenna's wire is the plan's (common
// practice).
const (
	heavy = "0.5 mm²"
	light = "0.25 mm²"
)

// grades are the usual insulations of hook-up wire, V.
var grades = []float64{300, 600, 1000, 3000}

// grade is the insulation asked for: that of the highest rail, since any added
// wire may come to lie on it; what is beyond the grades, in hundreds.
func (b *builder) grade() float64 {
	var rail float64
	for i := range b.f.Supplies {
		s := &b.f.Supplies[i]
		if !s.Rail {
			continue
		}
		ratio := b.f.Box.Entry(b.f.Mains.Ratio).High
		if s.Regulated {
			ratio = 1
		}
		rail = max(rail, b.f.Box.Entry(s.Unloaded).High*ratio, b.f.Box.Entry(s.Volts).High*ratio)
	}
	for _, g := range grades {
		if g >= rail {
			return g
		}
	}
	return math.Ceil(rail/100) * 100
}

// wire makes an added wire; its ends may be set later.
func (b *builder) wire(from, to *Joint, colour, size, carries string) *Wire {
	return &Wire{From: from, To: to, Colour: colour, Size: size, Insulation: b.grade(), Carries: carries}
}

func format(v float64, u quantity.Unit) string { return quantity.Format(v, u) }

// words joins what is not empty.
func words(parts ...string) string {
	var list []string
	for _, p := range parts {
		if p != "" {
			list = append(list, p)
		}
	}
	return strings.Join(list, " ")
}
