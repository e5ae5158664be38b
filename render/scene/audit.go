package scene

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A Clash is a fault of layout: two items that meet and must not, or one that
// leaves the frame.
type Clash struct {
	What string // "words on words", "line through words", "lines cross", …
	A, B Item   // B has no shape when the fault is A's alone
	At   Rect
}

func (c Clash) String() string {
	s := fmt.Sprintf("%s at %s,%s: %s", c.What, Number(c.At.X), Number(c.At.Y), c.A.name())
	if c.B.Shape != nil {
		s += " and " + c.B.name()
	}
	return s
}

func (it Item) name() string {
	if t, ok := it.Shape.(Text); ok {
		return fmt.Sprintf("%q", t.Words)
	}
	n := it.Tag.Class.String()
	if it.Tag.Owner != "" {
		n += " " + it.Tag.Owner
	}
	if len(it.Tag.Nets) > 0 {
		n += " (" + strings.Join(it.Tag.Nets, ", ") + ")"
	}
	return n
}

// Apart is the least distance between the middles of two lines of different
// nets, mm.
const Apart = 0.6

// Audit finds what a reader of the page could not tell apart:
//
//   - no two words meet;
//   - no word meets a body it does not own, and none a rule;
//   - no line (conductor or link) enters a word, or a body other than its own
//     terminal, and that it only touches;
//   - no two bodies meet unless they are parts of one thing;
//   - no two lines of different nets cross or run within Apart of one another;
//   - nothing leaves the frame.
//
// Ornaments may lie anywhere inside the frame. The clashes come in page order.
func (p Page) Audit() []Clash {
	var found []Clash
	report := func(what string, a, b Item, at Rect) {
		found = append(found, Clash{What: what, A: a, B: b, At: at})
	}
	type placed struct {
		Item
		box  Rect
		legs [][2]Point // of a line
	}
	var items []placed
	for _, it := range p.Items {
		b := it.Shape.Bounds()
		if !p.Frame.Holds(b) {
			report("outside the frame", it, Item{}, b)
		}
		if it.Tag.Class == Ornament {
			continue
		}
		pl := placed{Item: it, box: b}
		if line(it.Tag.Class) {
			for _, l := range PathOf(it.Shape).Flatten() {
				for i := 1; i < len(l); i++ {
					pl.legs = append(pl.legs, [2]Point{l[i-1], l[i]})
				}
			}
		}
		items = append(items, pl)
	}
	for i := range items {
		for j := i + 1; j < len(items); j++ {
			a, b := &items[i], &items[j]
			if !a.box.Grown(Apart).Meets(b.box.Grown(Apart)) {
				continue // too far apart for any rule
			}
			// Of each unlike pair, a is the softer: word, then line, then body.
			if rank(b.Tag.Class) < rank(a.Tag.Class) {
				a, b = b, a
			}
			ac, bc := a.Tag.Class, b.Tag.Class
			kin := a.Tag.Owner != "" && a.Tag.Owner == b.Tag.Owner
			switch {
			case ac == Word && bc == Word:
				if a.box.Meets(b.box) {
					report("words on words", a.Item, b.Item, a.box)
				}
			case ac == Word && line(bc):
				for _, l := range b.legs {
					if enters(l, a.box) {
						report("line through words", a.Item, b.Item, a.box)
						break
					}
				}
			case ac == Word: // body or ground
				if a.box.Meets(b.box) && (!kin || !b.box.Holds(a.box)) {
					report("words on a body", a.Item, b.Item, a.box)
				}
			case line(ac) && line(bc):
				if ac == Rule && bc == Rule || ac != Rule && bc != Rule && share(a.Tag.Nets, b.Tag.Nets) || kin {
					continue
				}
				if at, ok := near(a.legs, b.legs); ok {
					report("lines too close", a.Item, b.Item, Rect{X: at.X, Y: at.Y})
				}
			case line(ac): // and a body
				if kin {
					continue
				}
				box := b.box.Grown(-0.05)
				if share(a.Tag.Nets, b.Tag.Nets) {
					// A line may end on the edge of its terminal, or run up to the
					// middle of a symbol's lead, never through.
					box = b.box.Grown(-0.5)
				}
				for _, l := range a.legs {
					if enters(l, box) {
						report("line through a body", a.Item, b.Item, b.box)
						break
					}
				}
			default:
				if !kin && a.box.Meets(b.box) {
					report("bodies meet", a.Item, b.Item, b.box)
				}
			}
		}
	}
	return found
}

// line reports whether an item of the class is seen as its outline, not its area.
func line(c Class) bool { return c == Conductor || c == Link || c == Rule }

func rank(c Class) int {
	switch c {
	case Word:
		return 0
	case Conductor, Link, Rule:
		return 1
	default:
		return 2
	}
}

func share(a, b []string) bool {
	return slices.ContainsFunc(a, func(n string) bool { return n != "" && slices.Contains(b, n) })
}

// enters reports whether a straight line has a piece inside a box (Liang and
// Barsky's clipping, 1984: a line from p to q is inside for t between the latest
// entry and the earliest exit over the four edges).
func enters(l [2]Point, box Rect) bool {
	if box.W <= 0 || box.H <= 0 {
		return false
	}
	const hair = 0.01
	t0, t1 := 0.0, 1.0
	dx, dy := l[1].X-l[0].X, l[1].Y-l[0].Y
	for _, e := range [4][2]float64{
		{-dx, l[0].X - box.X - hair}, {dx, box.Right() - hair - l[0].X},
		{-dy, l[0].Y - box.Y - hair}, {dy, box.Bottom() - hair - l[0].Y},
	} {
		switch {
		case e[0] == 0 && e[1] < 0:
			return false
		case e[0] < 0:
			t0 = max(t0, e[1]/e[0])
		case e[0] > 0:
			t1 = min(t1, e[1]/e[0])
		}
	}
	return t0 <= t1
}

// near finds a place where two runs of lines come nearer than Apart.
func near(a, b [][2]Point) (Point, bool) {
	for _, l := range a {
		for _, m := range b {
			if distance(l, m) < Apart-1e-6 {
				return l[0], true
			}
		}
	}
	return Point{}, false
}

// distance between two straight lines: 0 where they cross, else the least of
// the four distances of an end to the other line.
func distance(l, m [2]Point) float64 {
	side := func(p, q, r Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	if side(l[0], l[1], m[0])*side(l[0], l[1], m[1]) < 0 && side(m[0], m[1], l[0])*side(m[0], m[1], l[1]) < 0 {
		return 0
	}
	return min(reach(l[0], m), reach(l[1], m), reach(m[0], l), reach(m[1], l))
}

// reach is the distance of a point from a straight line between two points.
func reach(p Point, l [2]Point) float64 {
	dx, dy := l[1].X-l[0].X, l[1].Y-l[0].Y
	t := 0.0
	if n := dx*dx + dy*dy; n > 0 {
		t = max(0, min(1, ((p.X-l[0].X)*dx+(p.Y-l[0].Y)*dy)/n))
	}
	return math.Hypot(p.X-l[0].X-t*dx, p.Y-l[0].Y-t*dy)
}
