package wiring

import (
	"math"
	"strconv"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// volts prints a level as a meter would be read: to a tenth below 20 V, whole
// volts from there, nothing after the point where nothing stands there.
func volts(l fitting.Level) string {
	v := l.Nominal
	step := 1.0
	if math.Abs(v) < 19.95 {
		step = 10
	}
	r := math.Round(v*step) / step
	if r == 0 {
		r = 0 // never "-0"
	}
	s := strconv.FormatFloat(r, 'f', -1, 64)
	if r < 0 {
		s = "−" + s[1:]
	}
	s += "\u00a0V"
	if l.Alternating {
		s += "~\u00a0rms"
	}
	return s
}

// cells are the texts of a flag: one where both states print alike.
func cells(f *fitting.Flag) []string {
	r, m := volts(f.Receive), volts(f.Muted)
	if r == m {
		return []string{r}
	}
	return []string{r, m}
}

func flagSize(f *fitting.Flag) (w, h float64) {
	c := cells(f)
	for _, t := range c {
		w = max(w, scene.Bold.Width(t, needle))
	}
	return w + 2.8, cellHigh * float64(len(c))
}

// side says where a flag stands as seen from the tip of its needle.
type side uint8

const (
	above side = iota
	below
	left
	right
)

// flag draws the volts at tip on one side of it; shift moves an upper or lower
// flag sideways from its needle.
func (d *drawing) flag(f *fitting.Flag, tip point, s side, shift float64, net, owner string) {
	if f == nil {
		return
	}
	const far, near = 9.5, 6 // needle above the drive lane, beside a column
	w, h := flagSize(f)
	var body scene.Rect
	var foot [2]point
	switch s {
	case above:
		body = scene.Rect{X: tip.X + shift - w/2, Y: tip.Y - far - h, W: w, H: h}
		foot = [2]point{at(tip.X-1, tip.Y-far), at(tip.X+1, tip.Y-far)}
	case below:
		body = scene.Rect{X: tip.X + shift - w/2, Y: tip.Y + 5, W: w, H: h}
		foot = [2]point{at(tip.X-1, tip.Y+5), at(tip.X+1, tip.Y+5)}
	case left:
		body = scene.Rect{X: tip.X - near - w, Y: tip.Y - min(cellHigh, h/2), W: w, H: h}
		foot = [2]point{at(tip.X-near, tip.Y-1), at(tip.X-near, tip.Y+1)}
	case right:
		body = scene.Rect{X: tip.X + near, Y: tip.Y - min(cellHigh, h/2), W: w, H: h}
		foot = [2]point{at(tip.X+near, tip.Y-1), at(tip.X+near, tip.Y+1)}
	}
	owner = "volts at " + owner
	d.add(scene.Polygon(tip, foot[0], foot[1]), scene.Pen{}, scene.Black, scene.Tag{Class: scene.Body, Owner: owner, Nets: []string{net}})
	d.add(body, medium, scene.White, scene.Tag{Class: scene.Body, Owner: owner})
	for i, t := range cells(f) {
		ink := scene.Black
		if i == 1 {
			d.mark(scene.Rect{X: body.X, Y: body.Y + cellHigh, W: w, H: cellHigh}, scene.Pen{}, scene.Black)
			ink = scene.White
		}
		d.ink(at(body.X+w/2, body.Y+3.3+float64(i)*cellHigh), scene.Middle, scene.Bold, needle, t, owner, ink)
	}
}
