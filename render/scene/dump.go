package scene

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Number prints a coordinate: rounded to a hundredth, without trailing zeros,
// never "-0".
func Number(v float64) string {
	r := math.Round(v*100) / 100
	if r == 0 {
		return "0"
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

// Dump is the page as readable lines, one item each, for golden tests.
func (p Page) Dump() string {
	var b strings.Builder
	fmt.Fprintf(&b, "page %q %s × %s frame %s\n", p.Name, Number(p.Width), Number(p.Height), strings.TrimPrefix(p.Frame.dump(), "rect "))
	for _, it := range p.Items {
		b.WriteString(it.dump())
		b.WriteByte('\n')
	}
	return b.String()
}

func (it Item) dump() string {
	s := it.Shape.dump()
	if it.Pen.Ink != None {
		s += fmt.Sprintf(" pen %s %s", it.Pen.Ink, Number(it.Pen.Width))
		if it.Pen.Dash != (Dash{}) {
			s += fmt.Sprintf(" dash %s/%s", Number(it.Pen.Dash.On), Number(it.Pen.Dash.Off))
		}
		if it.Pen.Round {
			s += " round"
		}
	}
	if it.Fill != None {
		s += " fill " + it.Fill.String()
	}
	if it.Tag.Class != Ornament {
		s += " [" + it.Tag.Class.String()
		if it.Tag.Owner != "" {
			s += " " + it.Tag.Owner
		}
		if len(it.Tag.Nets) > 0 {
			s += ": " + strings.Join(it.Tag.Nets, ", ")
		}
		s += "]"
	}
	return s
}

// Check returns an error if the page cannot be printed as meant: a coordinate
// that is no number, a character that its face lacks, broken UTF-8, a path that
// does not start with a Move. Back ends refuse such a page.
func (p Page) Check() error {
	for i, v := range []float64{p.Width, p.Height} {
		if !finite(v) || v <= 0 {
			return fmt.Errorf("page %q: %s is %v", p.Name, [...]string{"width", "height"}[i], v)
		}
	}
	for i, it := range p.Items {
		if err := it.check(); err != nil {
			return fmt.Errorf("page %q: item %d: %w", p.Name, i+1, err)
		}
	}
	return nil
}

func (it Item) check() error {
	if it.Shape == nil {
		return fmt.Errorf("no shape")
	}
	// A broken text cannot be measured, so it is looked at before its dump is made.
	if t, ok := it.Shape.(Text); ok {
		switch {
		case !utf8.ValidString(t.Words):
			return fmt.Errorf("text %q is not valid UTF-8", t.Words)
		case int(t.Font) >= len(Fonts):
			return fmt.Errorf("text %q: no such face", t.Words)
		}
		if m := t.Font.Missing(t.Words); len(m) > 0 {
			return fmt.Errorf("text %q: the %s face lacks %q", t.Words, t.Font, string(m))
		}
	}
	for _, v := range append(it.Shape.coordinates(), it.Pen.Width, it.Pen.Dash.On, it.Pen.Dash.Off) {
		if !finite(v) {
			return fmt.Errorf("%T of %q: coordinate %v", it.Shape, it.Tag.Owner, v)
		}
	}
	if p, ok := it.Shape.(Path); ok && (len(p) == 0 || p[0].Kind != Move) {
		return fmt.Errorf("path of %q does not start with a move", it.Tag.Owner)
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
