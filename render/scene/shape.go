package scene

import (
	"fmt"
	"math"
	"strings"
)

// at is the point of an arc a share t of the way along its sweep.
func (s Segment) at(t float64) Point {
	a := (s.Start + s.Sweep*t) * math.Pi / 180
	return Point{s.Centre.X + s.Radius*math.Cos(a), s.Centre.Y + s.Radius*math.Sin(a)}
}

// First is where an arc starts, Last where it ends.
func (s Segment) First() Point { return s.at(0) }

// Last is where a segment ends; that of a Close is not known here.
func (s Segment) Last() Point {
	if s.Kind == Arc {
		return s.at(1)
	}
	return s.To
}

// Cubics are the Bézier curves, three points each, that follow an arc from its
// start; each spans at most a quarter turn, where the curve with handles of
// 4/3·tan(θ/4) radii leaves the circle by less than 0.03 % of the radius.
func (s Segment) Cubics() [][3]Point {
	n := int(math.Ceil(math.Abs(s.Sweep) / 90))
	step := s.Sweep / float64(n) * math.Pi / 180
	k := 4.0 / 3 * math.Tan(step/4) * s.Radius
	curves := make([][3]Point, n)
	for i := range curves {
		a := s.Start*math.Pi/180 + step*float64(i)
		p, q := s.at(float64(i)/float64(n)), s.at(float64(i+1)/float64(n))
		curves[i] = [3]Point{
			{p.X - k*math.Sin(a), p.Y + k*math.Cos(a)},
			{q.X + k*math.Sin(a+step), q.Y - k*math.Cos(a+step)},
			q,
		}
	}
	return curves
}

// Flatten is the path as straight lines, arcs in steps of about ten degrees; a
// Move starts a new line.
func (p Path) Flatten() [][]Point {
	var lines [][]Point
	add := func(pt Point) { lines[len(lines)-1] = append(lines[len(lines)-1], pt) }
	for _, s := range p {
		if s.Kind == Move || len(lines) == 0 {
			lines = append(lines, []Point{s.Last()})
			continue
		}
		switch s.Kind {
		case Line:
			add(s.To)
		case Arc:
			n := int(math.Ceil(math.Abs(s.Sweep)/10)) + 1
			for i := range n + 1 {
				add(s.at(float64(i) / float64(n)))
			}
		case Close:
			add(lines[len(lines)-1][0])
		}
	}
	return lines
}

// Bounds encloses the path.
func (p Path) Bounds() Rect {
	var all []Point
	for _, l := range p.Flatten() {
		all = append(all, l...)
	}
	return around(all...)
}

func around(points ...Point) Rect {
	if len(points) == 0 {
		return Rect{}
	}
	x0, y0, x1, y1 := points[0].X, points[0].Y, points[0].X, points[0].Y
	for _, p := range points[1:] {
		x0, x1 = min(x0, p.X), max(x1, p.X)
		y0, y1 = min(y0, p.Y), max(y1, p.Y)
	}
	return Rect{X: x0, Y: y0, W: x1 - x0, H: y1 - y0}
}

// Bounds is the rectangle itself.
func (r Rect) Bounds() Rect { return r }

// Right and Bottom are the far edges; Centre is the middle.
func (r Rect) Right() float64 { return r.X + r.W }

// Bottom is the lower edge.
func (r Rect) Bottom() float64 { return r.Y + r.H }

// Centre is the middle.
func (r Rect) Centre() Point { return Point{r.X + r.W/2, r.Y + r.H/2} }

// Grown is the rectangle with a margin added on every side; a negative margin
// shrinks it, to nothing at most.
func (r Rect) Grown(by float64) Rect {
	g := Rect{X: r.X - by, Y: r.Y - by, W: r.W + 2*by, H: r.H + 2*by, Radius: r.Radius}
	if g.W < 0 {
		g.X, g.W = r.X+r.W/2, 0
	}
	if g.H < 0 {
		g.Y, g.H = r.Y+r.H/2, 0
	}
	return g
}

// Meets reports whether two rectangles overlap by more than a hair.
func (r Rect) Meets(o Rect) bool {
	const hair = 0.01
	return r.X+hair < o.Right() && o.X+hair < r.Right() && r.Y+hair < o.Bottom() && o.Y+hair < r.Bottom()
}

// Holds reports whether o lies inside r, edges included.
func (r Rect) Holds(o Rect) bool {
	const hair = 0.01
	return o.X >= r.X-hair && o.Y >= r.Y-hair && o.Right() <= r.Right()+hair && o.Bottom() <= r.Bottom()+hair
}

// Bounds is the square around the circle.
func (c Circle) Bounds() Rect {
	return Rect{X: c.Centre.X - c.Radius, Y: c.Centre.Y - c.Radius, W: 2 * c.Radius, H: 2 * c.Radius}
}

// Left is where the text starts.
func (t Text) Left() float64 {
	w := t.Font.Width(t.Words, t.Size)
	switch t.Anchor {
	case Middle:
		return t.At.X - w/2
	case End:
		return t.At.X - w
	default:
		return t.At.X
	}
}

// Bounds is the text's measured width between Ascent and Descent.
func (t Text) Bounds() Rect {
	return Rect{X: t.Left(), Y: t.At.Y - Ascent*t.Size, W: t.Font.Width(t.Words, t.Size), H: (Ascent + Descent) * t.Size}
}

func (p Path) shift(dx, dy float64) Shape {
	moved := make(Path, len(p))
	for i, s := range p {
		s.To.X += dx
		s.To.Y += dy
		s.Centre.X += dx
		s.Centre.Y += dy
		moved[i] = s
	}
	return moved
}

func (r Rect) shift(dx, dy float64) Shape {
	r.X += dx
	r.Y += dy
	return r
}

func (c Circle) shift(dx, dy float64) Shape {
	c.Centre.X += dx
	c.Centre.Y += dy
	return c
}

func (t Text) shift(dx, dy float64) Shape {
	t.At.X += dx
	t.At.Y += dy
	return t
}

func (p Path) coordinates() []float64 {
	var all []float64
	for _, s := range p {
		all = append(all, s.To.X, s.To.Y, s.Centre.X, s.Centre.Y, s.Radius, s.Start, s.Sweep)
	}
	return all
}

func (r Rect) coordinates() []float64   { return []float64{r.X, r.Y, r.W, r.H, r.Radius} }
func (c Circle) coordinates() []float64 { return []float64{c.Centre.X, c.Centre.Y, c.Radius} }
func (t Text) coordinates() []float64   { return []float64{t.At.X, t.At.Y, t.Size} }

func (p Path) dump() string {
	var b strings.Builder
	b.WriteString("path")
	for _, s := range p {
		switch s.Kind {
		case Move:
			fmt.Fprintf(&b, " move %s", s.To)
		case Line:
			fmt.Fprintf(&b, " line %s", s.To)
		case Arc:
			fmt.Fprintf(&b, " arc %s r %s from %s by %s", s.Centre, Number(s.Radius), Number(s.Start), Number(s.Sweep))
		case Close:
			b.WriteString(" close")
		}
	}
	return b.String()
}

func (r Rect) dump() string {
	s := fmt.Sprintf("rect %s,%s %s × %s", Number(r.X), Number(r.Y), Number(r.W), Number(r.H))
	if r.Radius > 0 {
		s += " r " + Number(r.Radius)
	}
	return s
}

func (c Circle) dump() string { return fmt.Sprintf("circle %s r %s", c.Centre, Number(c.Radius)) }

func (t Text) dump() string {
	return fmt.Sprintf("text %s %s %q", Point{t.Left(), t.At.Y}, t.Font, t.Words) + " " + Number(t.Size)
}

func (p Point) String() string { return Number(p.X) + "," + Number(p.Y) }

// PathOf is the outline of a path, rectangle or circle, closed where it bounds an
// area. A text has none.
func PathOf(s Shape) Path {
	switch s := s.(type) {
	case Path:
		return s
	case Circle:
		return append(ArcOf(s.Centre, s.Radius, 0, 360), Segment{Kind: Close})
	case Rect:
		r := min(s.Radius, s.W/2, s.H/2)
		if r <= 0 {
			return Polygon(Point{s.X, s.Y}, Point{s.Right(), s.Y}, Point{s.Right(), s.Bottom()}, Point{s.X, s.Bottom()})
		}
		corner := func(x, y, start float64) Segment {
			return Segment{Kind: Arc, Centre: Point{x, y}, Radius: r, Start: start, Sweep: 90}
		}
		line := func(x, y float64) Segment { return Segment{Kind: Line, To: Point{x, y}} }
		return Path{
			{Kind: Move, To: Point{s.X + r, s.Y}},
			line(s.Right()-r, s.Y), corner(s.Right()-r, s.Y+r, -90),
			line(s.Right(), s.Bottom()-r), corner(s.Right()-r, s.Bottom()-r, 0),
			line(s.X+r, s.Bottom()), corner(s.X+r, s.Bottom()-r, 90),
			line(s.X, s.Y+r), corner(s.X+r, s.Y+r, 180),
			{Kind: Close},
		}
	default:
		return nil
	}
}
