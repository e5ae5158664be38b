// Package plot draws curves over axes, as scene items. Everything is told by
// black, white, greys and the kind of line; every axis bears its unit.
package plot

import (
	"fmt"
	"math"
	"slices"

	"mutewright/render/scene"
)

// A Line is a kind of line that is told apart without colour.
type Line uint8

// The lines.
const (
	Solid Line = iota
	Dashed
	Dotted
	Chain
)

func (l Line) pen() scene.Pen {
	p := scene.Pen{Ink: scene.Black, Width: 0.5}
	switch l {
	case Dashed:
		p.Dash = scene.Dash{On: 2.2, Off: 1.2}
	case Dotted:
		p.Width, p.Dash = 0.6, scene.Dash{On: 0.6, Off: 0.9}
	case Chain:
		p.Width = 0.25
	}
	return p
}

// A Curve is a course by straight lines. A pair with a value that is not finite
// breaks it.
type Curve struct {
	Name  string
	X, Y  []float64
	Line  Line
	Right bool // Y is read on the right-hand axis
}

// A Shade is a range of the x axis that must not be used.
type Shade struct{ From, To float64 }

// A Level is a horizontal limit.
type Level struct {
	At    float64
	Words string
	Right bool
}

// A Mark is a point worth a word.
type Mark struct {
	X, Y  float64
	Words string
	Right bool
}

// A Chart is curves over one x axis and one or two y axes.
type Chart struct {
	X, Y   Axis
	Second *Axis // right-hand, nil: none
	Curves []Curve
	Shades []Shade
	Levels []Level
	Marks  []Mark
}

const (
	pitch = 3.6
	below = 10.2 // axis labels under the chart
	above = 6.5  // names of the curves over it
)

var small = scene.Points(8)

var (
	frame = scene.Pen{Ink: scene.Black, Width: 0.35}
	grid  = scene.Pen{Ink: scene.Dark, Width: 0.1}
)

// A drawing places values on the paper.
type drawing struct {
	items []scene.Item
	area  scene.Rect
}

func (d *drawing) mark(s scene.Shape, pen scene.Pen, fill scene.Ink) {
	d.items = append(d.items, scene.Item{Shape: s, Pen: pen, Fill: fill})
}

func (d *drawing) words(x, y float64, anchor scene.Anchor, font scene.Font, text, owner string) {
	if text == "" {
		return
	}
	d.items = append(d.items, scene.Item{
		Shape: scene.Text{At: scene.Point{X: x, Y: y}, Words: text, Font: font, Size: small, Anchor: anchor},
		Fill:  scene.Black, Tag: scene.Tag{Class: scene.Word, Owner: owner},
	})
}

func width(font scene.Font, text string) float64 { return font.Width(text, small) }

// Draw draws the chart, its upper left corner at 0, 0.
func (c Chart) Draw(w, h float64) ([]scene.Item, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	d := &drawing{}
	yTicks := c.Y.ticks(7)
	left := 0.0
	for _, v := range yTicks {
		left = max(left, width(scene.Regular, c.Y.Format(v)))
	}
	right := 3.0
	if c.Second != nil {
		for _, v := range c.Second.ticks(7) {
			right = max(right, width(scene.Regular, c.Second.Format(v))+2)
		}
	}
	d.area = scene.Rect{X: left + 2.5, Y: above, W: w - left - 2.5 - right, H: h - above - below}
	a := d.area

	for _, s := range c.Shades {
		from, to := clamp(c.X.place(s.From)), clamp(c.X.place(s.To))
		if to > from {
			d.mark(scene.Rect{X: a.X + from*a.W, Y: a.Y, W: (to - from) * a.W, H: a.H}, scene.Pen{}, scene.Grey)
		}
	}
	for _, v := range yTicks {
		y := a.Bottom() - c.Y.place(v)*a.H
		d.mark(line(a.X, y, a.Right(), y), grid, scene.None)
		d.words(a.X-1.2, y+1, scene.End, scene.Regular, c.Y.Format(v), "")
	}
	if c.Second != nil {
		for _, v := range c.Second.ticks(7) {
			y := a.Bottom() - c.Second.place(v)*a.H
			d.mark(line(a.Right()-1.2, y, a.Right(), y), frame, scene.None)
			d.words(a.Right()+1.2, y+1, scene.Start, scene.Regular, c.Second.Format(v), "")
		}
	}
	c.xAxis(d)
	for _, l := range c.Levels {
		axis := c.axis(l.Right)
		y := a.Bottom() - axis.place(l.At)*a.H
		if y < a.Y || y > a.Bottom() {
			continue
		}
		d.mark(line(a.X, y, a.Right(), y), Dotted.pen(), scene.None)
	}
	for _, curve := range c.Curves {
		c.curve(d, curve)
	}
	d.mark(scene.Rect{X: a.X, Y: a.Y, W: a.W, H: a.H}, frame, scene.None)
	// A mark's words stand where the mark is; those of a level give way to them.
	var taken []scene.Rect
	for i, m := range c.Marks {
		at := d.at([2]float64{c.X.place(m.X), c.axis(m.Right).place(m.Y)})
		ring := scene.Circle{Centre: at, Radius: 1.1}
		d.mark(ring, frame, scene.White)
		d.mark(scene.Circle{Centre: at, Radius: 0.5}, scene.Pen{}, scene.Black)
		words := d.labelAt(at.X, at.Y-2.4, m.Words)
		d.label(words, m.Words, fmt.Sprintf("mark %d", i+1))
		taken = append(taken, ring.Bounds(), words)
	}
	for i, l := range c.Levels {
		if place := c.axis(l.Right).place(l.At); place < 0 || place > 1 {
			continue
		}
		words := c.clearest(d, l, taken)
		d.label(words, l.Words, fmt.Sprintf("level %d", i+1))
		taken = append(taken, words)
	}
	c.names(d, w)
	return d.items, nil
}

// clearest is the box of a level's words, on its line: of those that meet nothing
// taken, the one that keeps farthest from all curves.
func (c Chart) clearest(d *drawing, l Level, taken []scene.Rect) scene.Rect {
	level := c.axis(l.Right).place(l.At)
	var best scene.Rect
	most := math.Inf(-1)
	for _, share := range []float64{0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9} {
		at := d.at([2]float64{share, level})
		box := d.labelAt(at.X, at.Y-0.9, l.Words)
		near := math.Inf(1)
		for _, curve := range c.Curves {
			for i := range curve.X {
				// What is farther along than the words are long does not count.
				if math.Abs(c.X.place(curve.X[i])-share) < 0.1 {
					near = min(near, math.Abs(c.axis(curve.Right).place(curve.Y[i])-level))
				}
			}
		}
		if slices.ContainsFunc(taken, box.Meets) {
			near -= 2 // behind any that is free: a chart is 1 high
		}
		if near > most+1e-9 {
			best, most = box, near
		}
	}
	return best
}

func (c Chart) axis(right bool) Axis {
	if right && c.Second != nil {
		return *c.Second
	}
	return c.Y
}

func clamp(v float64) float64 { return min(1, max(0, v)) }

func line(x0, y0, x1, y1 float64) scene.Path {
	return scene.Polyline(scene.Point{X: x0, Y: y0}, scene.Point{X: x1, Y: y1})
}

// xAxis draws ticks and the label under the chart; ticks that would meet their
// left neighbour's words bear none.
func (c Chart) xAxis(d *drawing) {
	a := d.area
	last := -1e9
	for _, v := range c.X.ticks(12) {
		x := a.X + c.X.place(v)*a.W
		d.mark(line(x, a.Y, x, a.Bottom()), grid, scene.None)
		d.mark(line(x, a.Bottom()-1.2, x, a.Bottom()), frame, scene.None)
		text := c.X.Format(v)
		if half := width(scene.Regular, text) / 2; x-half > last+1.5 {
			d.words(x, a.Bottom()+pitch+0.7, scene.Middle, scene.Regular, text, "")
			last = x + half
		}
	}
	d.words(a.X+a.W/2, a.Bottom()+2*pitch+1.2, scene.Middle, scene.Italic, c.X.Label, "")
}

// curve draws what of a curve lies inside the chart.
func (c Chart) curve(d *drawing, curve Curve) {
	axis := c.axis(curve.Right)
	var run []scene.Point
	flush := func() {
		if len(run) > 1 {
			d.mark(scene.Polyline(run...), curve.Line.pen(), scene.None)
		}
		run = nil
	}
	var before *[2]float64
	for i := range curve.X {
		p := [2]float64{c.X.place(curve.X[i]), axis.place(curve.Y[i])}
		if !finite(p[0]) || !finite(p[1]) {
			flush()
			before = nil
			continue
		}
		if before != nil {
			if q, r, ok := inside(*before, p); ok {
				if len(run) == 0 || run[len(run)-1] != d.at(q) {
					flush()
					run = append(run, d.at(q))
				}
				run = append(run, d.at(r))
			} else {
				flush()
			}
		}
		before = &p
	}
	flush()
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func (d *drawing) at(p [2]float64) scene.Point {
	return scene.Point{X: d.area.X + p[0]*d.area.W, Y: d.area.Bottom() - p[1]*d.area.H}
}

// inside cuts the line from p to q to the unit square (Liang and Barsky 1984).
func inside(p, q [2]float64) (from, to [2]float64, ok bool) {
	t0, t1 := 0.0, 1.0
	d := [2]float64{q[0] - p[0], q[1] - p[1]}
	for k := range 2 {
		for _, e := range [2][2]float64{{-d[k], p[k]}, {d[k], 1 - p[k]}} {
			switch {
			case e[0] == 0 && e[1] < 0:
				return from, to, false
			case e[0] < 0:
				t0 = max(t0, e[1]/e[0])
			case e[0] > 0:
				t1 = min(t1, e[1]/e[0])
			}
		}
	}
	if t0 > t1 {
		return from, to, false
	}
	on := func(t float64) [2]float64 { return [2]float64{p[0] + t*d[0], p[1] + t*d[1]} }
	return on(t0), on(t1), true
}

// labelAt is the box of words centred at x over y, kept inside the chart.
func (d *drawing) labelAt(x, y float64, text string) scene.Rect {
	w := width(scene.Bold, text)
	a := d.area
	x = min(max(x, a.X+w/2+1.5), a.Right()-w/2-1.5)
	if y-2.6 < a.Y+0.4 {
		y += 2*2.4 + 2.2 // no room above: under the place
	}
	return scene.Rect{X: x - w/2 - 0.7, Y: y - 2.4, W: w + 1.4, H: 3.3}
}

// label prints words on white in their box.
func (d *drawing) label(box scene.Rect, text, owner string) {
	if text == "" {
		return
	}
	d.items = append(d.items, scene.Item{Shape: box, Fill: scene.White, Tag: scene.Tag{Class: scene.Body, Owner: owner}})
	d.words(box.X+box.W/2, box.Y+2.4, scene.Middle, scene.Bold, text, owner)
}

// names draws which line is which over the chart, with the labels of the y axes
// at its ends.
func (c Chart) names(d *drawing, w float64) {
	y := above - 2.6
	d.words(0, y, scene.Start, scene.Italic, c.Y.Label, "")
	x := width(scene.Italic, c.Y.Label) + 5
	for _, curve := range c.Curves {
		if curve.Name == "" {
			continue
		}
		d.mark(line(x, y-1, x+8, y-1), curve.Line.pen(), scene.None)
		d.words(x+9, y, scene.Start, scene.Regular, curve.Name, "")
		x += 9 + width(scene.Regular, curve.Name) + 4
	}
	if c.Second != nil {
		d.words(w, y, scene.End, scene.Italic, c.Second.Label, "")
	}
}

func (c Chart) check() error {
	axes := []Axis{c.X, c.Y}
	if c.Second != nil {
		axes = append(axes, *c.Second)
	}
	for _, a := range axes {
		switch {
		case !finite(a.From) || !finite(a.To) || a.To <= a.From:
			return fmt.Errorf("axis %q from %v to %v", a.Label, a.From, a.To)
		case a.Log && a.From <= 0:
			return fmt.Errorf("logarithmic axis %q from %v", a.Label, a.From)
		case a.Format == nil:
			return fmt.Errorf("axis %q: no unit", a.Label)
		}
	}
	for _, curve := range c.Curves {
		if len(curve.X) != len(curve.Y) {
			return fmt.Errorf("curve %q: %d places, %d values", curve.Name, len(curve.X), len(curve.Y))
		}
	}
	return nil
}
