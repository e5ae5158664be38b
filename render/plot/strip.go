package plot

import (
	"fmt"

	"mutewright/render/scene"
)

// A Strip is several courses under one another over one axis, mostly of time.
type Strip struct {
	X      Axis
	Lanes  []Lane
	Shades []Shade // ranges of the axis, grey through all lanes
	Lines  []Instant
	Spans  []Span // dimensioned under the lanes
}

// A Lane is one course: curves over an axis of its own, or bars for the times at
// which something is on.
type Lane struct {
	Label string
	Y     Axis // of curves
	Curve []Curve
	Bars  []Bar
}

// A Bar is a time during which something is on; from From to Sure it is not yet
// for good (a contact bounces).
type Bar struct{ From, Sure, To float64 }

// An Instant is a line through all lanes with a word over it.
type Instant struct {
	At    float64
	Words string
}

// A Span is a distance between two instants, drawn with arrows and its words.
type Span struct {
	From, To float64
	Words    string
}

const (
	labels    = 34.0 // width of the lanes' names
	barHigh   = 5.0
	curveHigh = 17.0
	spanHigh  = 5.2
	laneGap   = 3.0
)

// Height is how high the strip stands.
func (s Strip) Height() float64 {
	h := above
	for _, l := range s.Lanes {
		h += l.high() + laneGap
	}
	return h + 2*pitch + 1.5 + spanHigh*float64(len(s.Spans))
}

// Split parts a strip that is higher than so much into strips that are not, each
// with the same axis; the spans are those of the last. A single lane is never
// parted.
func (s Strip) Split(most float64) []Strip {
	var parts []Strip
	part := s
	part.Lanes, part.Spans = nil, nil
	for _, l := range s.Lanes {
		longer := part
		longer.Lanes = append(longer.Lanes[:len(longer.Lanes):len(longer.Lanes)], l)
		longer.Spans = s.Spans // they may be this part's
		if longer.Height() > most && len(part.Lanes) > 0 {
			parts = append(parts, part)
			part.Lanes = nil
		}
		part.Lanes = append(part.Lanes, l)
	}
	part.Spans = s.Spans
	return append(parts, part)
}

func (l Lane) high() float64 {
	if len(l.Curve) > 0 {
		return curveHigh
	}
	return barHigh
}

// Draw draws the strip w mm wide, its upper left corner at 0, 0.
func (s Strip) Draw(w float64) ([]scene.Item, error) {
	d := &drawing{area: scene.Rect{X: labels, Y: above, W: w - labels - 3}}
	for _, l := range s.Lanes {
		d.area.H += l.high() + laneGap
	}
	a := d.area
	x := func(v float64) float64 { return a.X + s.X.place(v)*a.W }
	within := func(v float64) float64 { return min(a.Right(), max(a.X, x(v))) }
	for _, sh := range s.Shades {
		from, to := within(sh.From), within(sh.To)
		if to > from {
			d.mark(scene.Rect{X: from, Y: a.Y, W: to - from, H: a.H}, scene.Pen{}, scene.Grey)
		}
	}
	y := a.Y
	for _, l := range s.Lanes {
		if err := l.draw(d, s.X, y, within); err != nil {
			return nil, err
		}
		y += l.high() + laneGap
	}
	for _, v := range s.X.ticks(10) {
		d.mark(line(x(v), a.Bottom(), x(v), a.Bottom()+1.2), frame, scene.None)
		d.words(x(v), a.Bottom()+pitch+0.6, scene.Middle, scene.Regular, s.X.Format(v), "")
	}
	d.mark(line(a.X, a.Bottom(), a.Right(), a.Bottom()), frame, scene.None)
	d.words(0, a.Bottom()+pitch+0.6, scene.Start, scene.Italic, s.X.Label, "")
	last := -1e9
	for _, in := range s.Lines {
		if in.At < s.X.From || in.At > s.X.To {
			continue
		}
		d.mark(line(x(in.At), a.Y-1, x(in.At), a.Bottom()), scene.Pen{Ink: scene.Black, Width: 0.2, Dash: scene.Dash{On: 1.2, Off: 0.8}}, scene.None)
		half := width(scene.Regular, in.Words) / 2
		at := min(max(x(in.At), a.X+half), a.Right()-half)
		if at-half > last+1 {
			d.words(at, a.Y-2, scene.Middle, scene.Regular, in.Words, "")
			last = at + half
		}
	}
	y = a.Bottom() + 2*pitch + 1.5
	for i, sp := range s.Spans {
		d.span(sp, within, y, i)
		y += spanHigh
	}
	return d.items, nil
}

func (l Lane) draw(d *drawing, x Axis, y float64, within func(float64) float64) error {
	a := d.area
	mid := y + l.high()/2
	if len(l.Curve) == 0 {
		d.words(0, mid+1, scene.Start, scene.Regular, l.Label, "")
		d.mark(line(a.X, y+barHigh, a.Right(), y+barHigh), grid, scene.None)
		d.mark(line(a.X, mid, a.Right(), mid), scene.Pen{Ink: scene.Black, Width: 0.25}, scene.None)
		for _, b := range l.Bars {
			from, sure, to := within(b.From), within(b.Sure), within(b.To)
			if to > from {
				d.mark(scene.Rect{X: from, Y: y + 1, W: to - from, H: barHigh - 2}, scene.Pen{Ink: scene.Black, Width: 0.25}, scene.White)
				d.mark(scene.Rect{X: sure, Y: y + 1, W: max(0, to-sure), H: barHigh - 2}, scene.Pen{}, scene.Black)
			}
		}
		return nil
	}
	for i := range l.Curve {
		if len(l.Curve[i].X) != len(l.Curve[i].Y) {
			return fmt.Errorf("lane %q: %d places, %d values", l.Label, len(l.Curve[i].X), len(l.Curve[i].Y))
		}
	}
	if l.Y.Format == nil || !(l.Y.To > l.Y.From) {
		return fmt.Errorf("lane %q: axis from %v to %v", l.Label, l.Y.From, l.Y.To)
	}
	lane := &drawing{area: scene.Rect{X: a.X, Y: y, W: a.W, H: l.high()}}
	for _, v := range l.Y.ticks(3) {
		at := lane.area.Bottom() - l.Y.place(v)*lane.area.H
		lane.mark(line(a.X, at, a.Right(), at), grid, scene.None)
		lane.words(a.X-1.2, min(at+1, lane.area.Bottom()), scene.End, scene.Regular, l.Y.Format(v), "")
	}
	c := Chart{X: x, Y: l.Y}
	for _, curve := range l.Curve {
		c.curve(lane, curve)
	}
	lane.words(0, mid+1, scene.Start, scene.Regular, l.Label, "")
	d.items = append(d.items, lane.items...)
	return nil
}

// span draws a dimension line; its words stand between the arrows where they
// have room, else behind the right one, else before the left one.
func (d *drawing) span(s Span, within func(float64) float64, y float64, n int) {
	from, to := within(s.From), within(s.To)
	if from > to {
		from, to = to, from
	}
	mid := y + spanHigh/2
	pen := scene.Pen{Ink: scene.Black, Width: 0.25}
	for _, x := range []float64{from, to} {
		d.mark(line(x, y+0.6, x, y+spanHigh-0.6), pen, scene.None)
	}
	long := width(scene.Bold, s.Words)
	head := min(2, (to-from)/2)
	arrow := func(x, dx float64) {
		d.mark(scene.Polygon(scene.Point{X: x, Y: mid}, scene.Point{X: x + dx, Y: mid - 0.7}, scene.Point{X: x + dx, Y: mid + 0.7}), scene.Pen{}, scene.Black)
	}
	d.mark(line(from, mid, to, mid), pen, scene.None)
	arrow(from, head)
	arrow(to, -head)
	owner := fmt.Sprintf("span %d", n+1)
	switch {
	case to-from > long+6:
		x := (from + to) / 2
		d.items = append(d.items, scene.Item{Shape: scene.Rect{X: x - long/2 - 0.8, Y: mid - 1.8, W: long + 1.6, H: 3.6}, Fill: scene.White, Tag: scene.Tag{Class: scene.Body, Owner: owner}})
		d.words(x, mid+1, scene.Middle, scene.Bold, s.Words, owner)
	case to+1.5+long <= d.area.Right()+3:
		d.words(to+1.5, mid+1, scene.Start, scene.Bold, s.Words, "")
	default:
		d.words(from-1.5, mid+1, scene.End, scene.Bold, s.Words, "")
	}
}
