// Package scene describes pages of drawing and text. A page is a list of items,
// each with its complete style: nothing is inherited, nothing is remembered, and
// a back end is one loop over the list. Lengths are millimetres, x to the right
// and y down from the top left corner of the paper; angles are degrees, clockwise
// from the positive x axis.
package scene

import "time"

// A Document is a set of pages under one title.
type Document struct {
	Title   string
	Subject string
	Author  string    // may be empty
	Program string    // what made it, with its version
	Date    time.Time // as given by the plan; the zero time stands for "no date"
	Pages   []Page
}

// A Page is one side of paper.
type Page struct {
	Name   string // for the bookmark: "1 Wiring"
	About  string // one sentence for whoever cannot see the page
	Width  float64
	Height float64
	Frame  Rect // nothing may be drawn outside of it
	Items  []Item
}

// Add appends items.
func (p *Page) Add(items ...Item) { p.Items = append(p.Items, items...) }

// An Item is one shape with its complete style. An item without ink is not
// printed: it keeps the audit's lines and words out of its bounds.
type Item struct {
	Shape Shape
	Pen   Pen // outline
	Fill  Ink // inside; of a Text: its colour
	Tag   Tag
	// Row is what the items of a row of a table read as together, cell by cell with
	// tabs between: whoever copies or searches the page gets it as one line. They
	// follow one another, and no two rows read alike.
	Row string
}

// An Ink is a printing colour. The sheets are black and white; the greys shade
// plots.
type Ink uint8

// The inks. The zero value prints nothing.
const (
	None Ink = iota
	Black
	White
	Grey // one fifth black, for shaded areas
	Dark // one half black
)

// Level is the ink's brightness, 0 black to 255 white.
func (i Ink) Level() int {
	switch i {
	case White:
		return 255
	case Grey:
		return 205
	case Dark:
		return 128
	default:
		return 0
	}
}

func (i Ink) String() string {
	return [...]string{"none", "black", "white", "grey", "dark"}[i]
}

// A Pen draws an outline.
type Pen struct {
	Ink   Ink
	Width float64
	Dash  Dash
	Round bool // round ends and corners; else square cut and mitred
}

// A Dash is a line's rhythm: On drawn, Off not, repeated. The zero value is an
// unbroken line.
type Dash struct{ On, Off float64 }

// A Point is a place on the paper.
type Point struct{ X, Y float64 }

// A Shape is what an item looks like. The shapes are Path, Rect, Circle and Text.
type Shape interface {
	// Bounds encloses the shape, without the width of its pen.
	Bounds() Rect
	dump() string
	coordinates() []float64
	shift(dx, dy float64) Shape
}

// A Path is a run of segments; its first must be a Move.
type Path []Segment

// A Segment continues a path from where it stands.
type Segment struct {
	Kind SegmentKind
	// To is where the segment ends. An arc ends where its sweep does, and a Close
	// at the last Move: their To is not used.
	To Point
	// Centre, Radius, Start and Sweep describe an arc; a positive sweep turns
	// clockwise on the paper. A line joins the path's end with the arc's start.
	Centre       Point
	Radius       float64
	Start, Sweep float64
}

// SegmentKind says how a path goes on.
type SegmentKind uint8

// The kinds of segment.
const (
	Move SegmentKind = iota
	Line
	Arc
	Close
)

// A Rect is an upright rectangle by its top left corner. Radius rounds its
// corners; half the height gives a capsule.
type Rect struct{ X, Y, W, H, Radius float64 }

// A Circle is a circle.
type Circle struct {
	Centre Point
	Radius float64
}

// A Text is one line of words. At is on the base line.
type Text struct {
	At     Point
	Words  string
	Font   Font
	Size   float64 // of the em, mm
	Anchor Anchor
}

// Anchor says which part of a text stands at its place.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Points is the em of a type size given in printer's points, in millimetres
// (1 pt = 1/72 in, 1 in = 25.4 mm).
func Points(pt float64) float64 { return pt * 25.4 / 72 }

// Polyline joins points by straight lines.
func Polyline(points ...Point) Path {
	path := make(Path, len(points))
	for i, p := range points {
		path[i] = Segment{Kind: Line, To: p}
	}
	if len(path) > 0 {
		path[0].Kind = Move
	}
	return path
}

// Polygon joins points and closes the outline.
func Polygon(points ...Point) Path {
	return append(Polyline(points...), Segment{Kind: Close})
}

// ArcOf is an open arc.
func ArcOf(centre Point, radius, start, sweep float64) Path {
	a := Segment{Kind: Arc, Centre: centre, Radius: radius, Start: start, Sweep: sweep}
	return Path{{Kind: Move, To: a.at(0)}, a}
}

// Shift moves items by dx to the right and dy down.
func Shift(items []Item, dx, dy float64) []Item {
	moved := make([]Item, len(items))
	for i, it := range items {
		it.Shape = it.Shape.shift(dx, dy)
		moved[i] = it
	}
	return moved
}
