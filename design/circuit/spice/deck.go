package spice

import (
	"fmt"
	"strconv"
	"strings"

	"mutewright/design/circuit"
)

// Deck is one circuit, what is done with it, and what is compared.
type Deck struct {
	Title    string
	Circuit  *circuit.Circuit
	Analysis Analysis
	Measures []Measure
	Digits   int      // significant digits of the values written; 0: all
	Prints   []string // signals of a transient that a plain "ngspice -b" prints; with none it solves nothing

	course *circuit.Trace // of the last solution, whose store is used again
}

// Kind is the kind of an analysis.
type Kind uint8

// The analyses of a deck.
const (
	OperatingPoint Kind = iota
	SmallSignals
	Transient
	Periodic // a transient in ngspice, of which the last period counts
)

// Analysis is what a deck asks for.
type Analysis struct {
	Kind    Kind
	Hz      float64 // of small signals
	Until   float64 // s, end of the transient
	MaxStep float64 // s, longest step of ngspice
	Cold    bool    // begin with everything empty
	Period  float64 // s, of the periodic steady state
}

// Measure is one number taken from a solution.
type Measure struct {
	Name     string
	Kind     string  // value, magnitude, phase, at, mean, rms, least, most, swing, rises, falls
	Signal   string  // v(node), v(node,node), i(element)
	At       float64 // time (s) of at
	Level    float64 // of rises and falls
	From, To float64 // s; To 0: to the end. From is also the after of rises and falls
	Within   float64 // relative tolerance; 0: the project's
}

// Value is one measured number.
type Value struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
}

// tolerance returns what the engine and ngspice may differ by at a value.
func (m Measure) tolerance(value float64) float64 {
	switch {
	case m.Kind == "rises" || m.Kind == "falls":
		return 0.1e-3
	case m.Kind == "phase":
		return 0.5 // degrees: 1 % of a radian
	}
	relative, least := 0.002, 1e-6
	if strings.HasPrefix(m.Signal, "i(") {
		relative, least = 0.01, 1e-9
	}
	if m.Within > 0 {
		relative = m.Within
	}
	return relative*max(value, -value) + least
}

// line writes a measure as it stands in a deck.
func (m Measure) line() string {
	b := fmt.Sprintf("*@ %s = %s %s", m.Name, m.Kind, m.Signal)
	switch m.Kind {
	case "at":
		b += " " + number(m.At)
	case "rises", "falls":
		b += " " + number(m.Level)
		if m.From > 0 {
			b += " after " + number(m.From)
		}
	default:
		if m.To > 0 {
			b += " from " + number(m.From) + " to " + number(m.To)
		}
	}
	if m.Within > 0 {
		b += " within " + number(100*m.Within) + "%"
	}
	return b
}

// parseMeasure reads what stands after "*@" in a deck.
func parseMeasure(text string) (Measure, error) {
	f := strings.Fields(text)
	if len(f) < 4 || f[1] != "=" {
		return Measure{}, fmt.Errorf("want NAME = KIND SIGNAL, not %q", text)
	}
	m := Measure{Name: f[0], Kind: f[2], Signal: strings.ToLower(f[3])}
	if _, _, err := signal(m.Signal); err != nil {
		return m, err
	}
	rest := f[4:]
	take := func(into *float64) error {
		if len(rest) == 0 {
			return fmt.Errorf("a number is missing at the end of %q", text)
		}
		v, err := parseNumber(rest[0])
		*into, rest = v, rest[1:]
		return err
	}
	switch m.Kind {
	case "at":
		if err := take(&m.At); err != nil {
			return m, err
		}
	case "rises", "falls":
		if err := take(&m.Level); err != nil {
			return m, err
		}
	case "value", "magnitude", "phase", "mean", "rms", "least", "most", "swing":
	default:
		return m, fmt.Errorf("unknown measure %q", m.Kind)
	}
	for len(rest) > 0 {
		word := rest[0]
		rest = rest[1:]
		var err error
		switch word {
		case "after", "from":
			err = take(&m.From)
		case "to":
			err = take(&m.To)
		case "within":
			if len(rest) > 0 {
				rest[0] = strings.TrimSuffix(rest[0], "%")
			}
			err = take(&m.Within)
			m.Within /= 100
		default:
			err = fmt.Errorf("unknown word %q", word)
		}
		if err != nil {
			return m, err
		}
	}
	return m, nil
}

// signal takes a signal apart: two nodes, or an element.
func signal(s string) (nodes []string, element string, err error) {
	inner, ok := strings.CutSuffix(s, ")")
	switch {
	case ok && strings.HasPrefix(inner, "v("):
		nodes = strings.Split(inner[2:], ",")
		if len(nodes) <= 2 && nodes[0] != "" {
			return nodes, "", nil
		}
	case ok && strings.HasPrefix(inner, "i(") && len(inner) > 2:
		return nil, inner[2:], nil
	}
	return nil, "", fmt.Errorf("want v(NODE), v(NODE,NODE) or i(ELEMENT), not %q", s)
}

// number writes a value so that it reads back the same.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// suffixes are those of SPICE; letters after them are a unit and mean nothing.
var suffixes = []struct {
	text  string
	power float64
}{{"meg", 1e6}, {"t", 1e12}, {"g", 1e9}, {"k", 1e3}, {"m", 1e-3}, {"u", 1e-6}, {"n", 1e-9}, {"p", 1e-12}, {"f", 1e-15}}

// parseNumber reads a number of a deck.
func parseNumber(text string) (float64, error) {
	low := strings.ToLower(text)
	end := 0
	for end < len(low) {
		c := low[end]
		exponent := c == 'e' && end+1 < len(low) && strings.IndexByte("0123456789+-", low[end+1]) >= 0
		sign := (c == '+' || c == '-') && (end == 0 || low[end-1] == 'e')
		if c >= '0' && c <= '9' || c == '.' || exponent || sign {
			end++
			continue
		}
		break
	}
	v, err := strconv.ParseFloat(low[:end], 64)
	if err != nil {
		return 0, fmt.Errorf("%q is not a number", text)
	}
	for _, s := range suffixes {
		if strings.HasPrefix(low[end:], s.text) {
			return v * s.power, nil
		}
	}
	return v, nil
}
