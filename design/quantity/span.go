package quantity

import (
	"math"
	"strings"
)

// Kind says in which form the doubt of a [Span] was written.
type Kind uint8

// The kinds of doubt.
const (
	Exact     Kind = iota // one value: 250 V
	PlusMinus             // 250 V ± 10 %, 250 V ± 5 V
	Range                 // 220 V .. 270 V
)

// A Span is a value with what is not known about it. Low ≤ Nominal ≤ High
// always; all three are equal when it is exact. The nominal value of a range
// is its middle.
type Span[Q Quantity] struct {
	Nominal, Low, High Q
	Tolerance          float64 // after ±: half the width over |Nominal|; 0 where Nominal is 0
	Kind               Kind
}

// Exactly returns the span of one value.
func Exactly[Q Quantity](v Q) Span[Q] { return Span[Q]{Nominal: v, Low: v, High: v} }

// Between returns the range from low to high.
func Between[Q Quantity](low, high Q) Span[Q] {
	return Span[Q]{Nominal: low + (high-low)/2, Low: low, High: high, Kind: Range}
}

// Within returns v with a relative tolerance: 0.1 is ± 10 %.
func Within[Q Quantity](v Q, tolerance float64) Span[Q] {
	half := Q(math.Abs(float64(v)) * tolerance)
	return Span[Q]{Nominal: v, Low: v - half, High: v + half, Tolerance: tolerance, Kind: PlusMinus}
}

// ParseSpan reads a value that may carry its doubt: "250 V", "250 V ± 10 %"
// (or +-, +/-), "250 V ± 5 V", "220 V .. 270 V". A percentage after ± is
// relative; on a percentage it counts in points, and on temperatures and
// levels it is refused, because a tenth of 20 °C means nothing. The error is
// an [*Error].
func ParseSpan[Q Quantity](text string) (Span[Q], error) {
	var q Q
	s, err := parseSpan(clean(text), q.Unit())
	if err != nil {
		return Span[Q]{}, err
	}
	return Span[Q]{Q(s.nominal), Q(s.low), Q(s.high), s.tolerance, s.kind}, nil
}

type span struct {
	nominal, low, high, tolerance float64
	kind                          Kind
}

var plusMinus = strings.NewReplacer("+/-", "±", "+-", "±")

func parseSpan(text string, u Unit) (span, *Error) {
	if err := tooLong(text, table[u].like()); err != nil {
		return span{}, err
	}
	if from, to, ok := strings.Cut(text, ".."); ok {
		return parseRange(from, to, text, u)
	}
	// A sign before the first digit belongs to the value.
	sign, _ := signs(text)
	value, doubt, ok := strings.Cut(plusMinus.Replace(text[len(sign):]), "±")
	v, err := parse(sign+strings.TrimRight(value, " "), u)
	if err != nil {
		return span{}, err
	}
	if !ok {
		return span{nominal: v, low: v, high: v}, nil
	}
	half, err := halfWidth(strings.TrimSpace(doubt), text, v, u)
	if err != nil {
		return span{}, err
	}
	s := span{nominal: v, low: v - half, high: v + half, kind: PlusMinus}
	if v != 0 {
		s.tolerance = half / math.Abs(v)
	}
	if !u.Contains(s.low) || !u.Contains(s.high) {
		return span{}, outside(text, u)
	}
	return s, nil
}

// halfWidth reads what stands after ±: a percentage of v, or a width in v's
// own unit.
func halfWidth(doubt, text string, v float64, u Unit) (float64, *Error) {
	wanted := "wanted ± and a width such as " + u.Example()
	relative := u != Temperature && u != Level
	if relative && u != Percentage {
		wanted = "wanted ± and a percentage or a width, such as ± 10 %"
	}
	switch {
	case doubt == "":
		return 0, &Error{"nothing after ± in " + quote(text), wanted}
	case strings.ContainsAny(doubt[:1], "+-") || strings.Contains(doubt, "±"):
		return 0, &Error{"doubled sign in " + quote(text), wanted}
	}
	if t, err := parse(doubt, Percentage); err == nil && u != Percentage {
		if !relative {
			return 0, &Error{"a percentage of " + u.Name() + " means nothing in " + quote(text), wanted}
		}
		return t * math.Abs(v), nil
	}
	// A width of temperature is no temperature: it cannot be negative, and
	// its range starts at 0, which the sign has made sure of.
	half, err := parse(doubt, u)
	if err != nil {
		return 0, &Error{err.Problem, wanted}
	}
	return half, nil
}

func parseRange(from, to, text string, u Unit) (span, *Error) {
	const wanted = "wanted two ends, each with its unit, as in 220 V .. 270 V"
	if strings.Contains(to, "..") || strings.ContainsAny(plusMinus.Replace(text), "±") {
		return span{}, &Error{quote(text) + " is not one range", wanted}
	}
	var ends [2]float64
	for i, end := range []string{from, to} {
		end = strings.TrimSpace(end)
		if end == "" {
			return span{}, &Error{"one end is missing in " + quote(text), wanted}
		}
		v, err := parse(end, u)
		if err != nil {
			return span{}, err
		}
		ends[i] = v
	}
	low, high := ends[0], ends[1]
	if low > high {
		return span{}, &Error{quote(text) + " runs downwards",
			"write the lower end first: " + strings.TrimSpace(to) + " .. " + strings.TrimSpace(from)}
	}
	return span{nominal: low + (high-low)/2, low: low, high: high, kind: Range}, nil
}

// ParsePair reads two values that belong together, with a space or a comma
// between them: "30 V 2 A", "10 mV 10 uA". The error is an [*Error].
func ParsePair[A, B Quantity](text string) (A, B, error) {
	var a A
	var b B
	first, second, err := parsePair(clean(text), a.Unit(), b.Unit())
	if err != nil {
		return 0, 0, err
	}
	return A(first), B(second), nil
}

func parsePair(text string, a, b Unit) (first, second float64, err *Error) {
	wanted := "wanted " + a.Name() + " and " + b.Name() + " such as " + a.Example() + " " + b.Example()
	if err := tooLong(text, strings.TrimPrefix(wanted, "wanted ")); err != nil {
		return 0, 0, err
	}
	best := &Error{"not two values: " + quote(text), wanted}
	for i, r := range text {
		if r != ' ' && r != ',' {
			continue
		}
		x, errA := parse(strings.TrimRight(text[:i], " ,"), a)
		y, errB := parse(strings.TrimLeft(text[i:], " ,"), b)
		switch {
		case errA == nil && errB == nil:
			return x, y, nil
		case errA == nil:
			best = &Error{errB.Problem, wanted}
		}
	}
	return 0, 0, best
}
