package known

import (
	"strings"

	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/quantity"
)

// builder fills in facts.
type builder struct {
	*Facts
}

// A doubt is the usual spread of a kind of value that a plan gives without one;
// shares of the value, down and up.
type doubt struct{ down, up float64 }

// The usual spreads. A ± or a range in the plan replaces them.
var (
	exact        = doubt{}
	resistor     = doubt{0.05, 0.05} // carbon and film resistors as they are fitted
	control      = doubt{0.20, 0.20} // tracks of controls
	electrolytic = doubt{0.20, 0.50} // IEC 60384-4, −20/+50 % (from memory)
	film         = doubt{0.20, 0.20} // paper and film capacitors
	copper       = doubt{0.10, 0.10} // coils of relays
	guessed      = doubt{0.20, 0.20} // choke and transformer figures
)

// take places a value of the plan in the box. What was left out or is unknown
// becomes its usual value; none is no number.
func take[Q quantity.Quantity](b *builder, m document.Measure[Q], d doubt) ID {
	return takeOr(b, m, d, func() usual { return usualFor(m.Path) })
}

// takeOr is take with a usual value worked out from others.
func takeOr[Q quantity.Quantity](b *builder, m document.Measure[Q], d doubt, fallback func() usual) ID {
	var q Q
	switch m.State {
	case document.None:
		return 0
	case document.Given:
		e := Entry{
			At: m.Path, Unit: q.Unit(), Origin: Given, Line: m.Line, Setting: m.Setting,
			Nominal: float64(m.Is.Nominal), Low: float64(m.Is.Low), High: float64(m.Is.High),
		}
		if m.Is.Kind == quantity.Exact && e.Nominal != 0 {
			e.Low, e.High = e.Nominal*(1-d.down), e.Nominal*(1+d.up)
		}
		return b.Box.Add(e)
	}
	return b.assume(m.Path, q.Unit(), fallback())
}

// takeOrNone is take for what usually is not there: left out means none.
func takeOrNone[Q quantity.Quantity](b *builder, m document.Measure[Q], d doubt) ID {
	if m.State == document.LeftOut {
		return 0
	}
	return take(b, m, d)
}

// assume places a usual value.
func (b *builder) assume(path string, unit quantity.Unit, u usual) ID {
	return b.Box.Add(Entry{
		At: path, Unit: unit, Origin: Assumed, Because: u.why,
		Nominal: u.nominal, Low: u.low, High: u.high,
	})
}

// A sheet is what a figure is looked up in: an entry of the catalogue, or a tube
// or relay that the plan writes out.
type sheet struct {
	at     string // key path of the tube or relay in the plan
	entry  string // name in the catalogue; "": written out
	origin func(figure string) catalog.Origin
}

// cite says where the figure at a key path stands.
func (s *sheet) cite(e *Entry, m document.Source) {
	e.Origin = Looked
	if s.entry == "" {
		e.Origin, e.Line, e.Setting = Given, m.Line, m.Setting
		return
	}
	from := s.origin(strings.TrimPrefix(e.At, s.at+"."))
	e.Because = s.entry + ": " + from.Source
	if from.Source == "" {
		e.Because = s.entry + ": own figure"
	}
}

// look places a figure of the catalogue, or of a tube or relay written out.
func look[Q quantity.Quantity](b *builder, at string, m document.Measure[Q], d doubt, from *sheet) ID {
	var q Q
	if !m.Given() {
		return b.assume(at, q.Unit(), usualFor(at))
	}
	e := Entry{
		At: at, Unit: q.Unit(),
		Nominal: float64(m.Is.Nominal), Low: float64(m.Is.Low), High: float64(m.Is.High),
	}
	from.cite(&e, m.Source)
	if m.Is.Kind == quantity.Exact && e.Nominal != 0 {
		e.Low, e.High = e.Nominal*(1-d.down), e.Nominal*(1+d.up)
	}
	return b.Box.Add(e)
}

// word is a choice of the plan, or what is usual where it says nothing.
func word[W ~string](b *builder, v document.Value[W], usually W, why string) string {
	if v.Given() {
		return string(v.Is)
	}
	if v.State == document.None {
		return "none"
	}
	b.Assumed = append(b.Assumed, Assumption{At: v.Path, Value: string(usually), Because: why})
	return string(usually)
}

// text is a text of the plan, or what stands for it.
func text(v document.Value[string], otherwise string) string {
	if v.Given() && v.Is != "" {
		return v.Is
	}
	return otherwise
}

// flag is a yes or no of the plan; what it does not say is no.
func flag(b *builder, v document.Value[bool], why string) bool {
	if !v.Given() {
		b.Assumed = append(b.Assumed, Assumption{At: v.Path, Value: "false", Because: why})
	}
	return v.Given() && v.Is
}

// there tells whether the plan speaks of something that usually is not there,
// and notes where it says nothing: unknown is as good as left out.
func (b *builder) there(s document.Source, why string) bool {
	missing := s.State == document.LeftOut || s.State == document.Unknown
	if missing {
		b.nothing(s.Path, why)
	}
	return !missing && s.State != document.None
}

// nothing notes that something usually is not there.
func (b *builder) nothing(at, why string) {
	b.Assumed = append(b.Assumed, Assumption{At: at, Value: "none", Because: why})
}

// left notes a choice that falls to the program.
func (b *builder) left(s document.Source) {
	if s.State == document.LeftOut || s.State == document.Unknown {
		b.Assumed = append(b.Assumed, Assumption{At: s.Path, Value: "choose", Because: "the program chooses"})
	}
}
