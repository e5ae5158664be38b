package wiring

import (
	"slices"
	"strings"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// legend draws the rows that explain the signs, under a rule at y, and returns
// the level of its end.
func (d *drawing) legend(w *fitting.Wiring, width, y float64) float64 {
	rule := scene.Tag{Class: scene.Rule, Owner: "legend"}
	d.add(scene.Polyline(at(0, y), at(width, y)), inSet, scene.None, rule)
	type sign struct {
		long float64
		draw func(x, y float64)
		text string
	}
	stroke := func(pen scene.Pen) func(x, y float64) {
		return func(x, y float64) { d.mark(scene.Polyline(at(x, y), at(x+9, y)), pen, scene.None) }
	}
	signs := []sign{
		{9, stroke(inSet), "in the set"},
		{9, stroke(added), "added"},
		{9, func(x, y float64) {
			stroke(taken)(x, y)
			d.mark(scene.Polyline(at(x+3.1, y-1.4), at(x+5.9, y+1.4)), cross, scene.None)
			d.mark(scene.Polyline(at(x+5.9, y-1.4), at(x+3.1, y+1.4)), cross, scene.None)
		}, "taken off"},
		{9, stroke(moves), "moves together"},
		{5, func(x, y float64) { d.mark(scene.Rect{X: x, Y: y - 2, W: 5, H: 4}, added, scene.None) }, "solder point"},
		{9, func(x, y float64) { d.mark(scene.Rect{X: x, Y: y - 2, W: 9, H: 4, Radius: 2}, medium, scene.None) }, "wire no. and colour"},
	}
	if len(w.Groups) > 0 {
		signs = append(signs, sign{3, func(x, y float64) {
			d.mark(scene.Polyline(at(x+1.5, y-2.2), at(x+1.5, y+2.2)), added, scene.None)
			d.mark(scene.Circle{Centre: at(x+1.5, y), Radius: 0.9}, scene.Pen{}, scene.Black)
		}, "joint at the lug"})
	}
	long := 0.0
	for _, s := range signs {
		long += s.long + 1.2 + scene.Regular.Width(s.text, small)
	}
	gap := (width - 6 - long) / float64(len(signs)-1)
	gap = min(gap, 6)
	x := 3.0
	for _, s := range signs {
		s.draw(x, y+3.6)
		d.words(at(x+s.long+1.2, y+4.6), scene.Start, scene.Regular, small, s.text, "")
		x += s.long + 1.2 + scene.Regular.Width(s.text, small) + gap
	}
	x = 3
	other := "muted"
	if len(w.Groups) == 0 {
		other = "transmit" // nothing is lifted: only the antenna is guarded
	}
	for i, t := range []string{"receive", other} {
		cw := scene.Bold.Width(t, small) + 2.4
		fill, ink := scene.White, scene.Black
		if i == 1 {
			fill, ink = ink, fill
		}
		owner := "key " + t
		d.add(scene.Rect{X: x, Y: y + 6.7, W: cw, H: 4.2}, medium, fill, scene.Tag{Class: scene.Ground, Owner: owner})
		d.ink(at(x+1.2, y+9.8), scene.Start, scene.Bold, small, t, owner, ink)
		x += cw
	}
	x += 1.5
	end, at0 := y+11.7, x
	say := func(t string) {
		d.words(at(x, end-1.9), scene.Start, scene.Regular, small, t, "")
		x += scene.Regular.Width(t, small) + 2.4
	}
	for _, t := range []string{"volts to chassis at the needle’s tip.", boxes(w), spare(w.Spare)} {
		if x > at0 && x+scene.Regular.Width(t, small) > width-3 {
			x, end = at0, end+pitch
		}
		lines := broken(t, width-3-at0)
		for _, l := range lines[:len(lines)-1] {
			say(l)
			x, end = at0, end+pitch
		}
		say(lines[len(lines)-1])
	}
	return end
}

// broken is text in lines of small type no wider than width.
func broken(text string, width float64) []string {
	lines := []string{""}
	for _, word := range strings.Fields(text) {
		n := len(lines) - 1
		switch longer := strings.TrimSpace(lines[n] + " " + word); {
		case lines[n] != "" && scene.Regular.Width(longer, small) > width:
			lines = append(lines, word)
		default:
			lines[n] = longer
		}
	}
	return lines
}

// boxes says what the numbers in thick boxes belong to.
func boxes(w *fitting.Wiring) string {
	var names []string
	tags := strip(w.Drive.Bus)
	items := slices.Clone(w.Drive.Lane)
	for _, m := range w.Drive.More {
		items = append(items, m.Items...)
	}
	var relays []string
	for _, it := range items {
		if s := strip(it.Joint); tags == "" && strings.HasPrefix(s, "TS") {
			tags = s // a rail has no bus
		}
		if it.Part != nil && it.Part.Kind == fitting.Coil {
			relays = append(relays, it.Part.Ref)
		}
	}
	if tags != "" {
		names = append(names, "tag of "+tags)
	}
	if w.Drive.Jack.Ref != "" {
		relays = append(relays, w.Drive.Jack.Ref)
	}
	if len(relays) > 0 {
		names = append(names, "lug of "+list(relays, "or"))
	}
	if len(names) == 0 {
		return ""
	}
	return "Boxes: " + strings.Join(names, ", ") + "."
}

// spare says which contacts are not in use.
func spare(lugs []string) string {
	switch len(lugs) {
	case 0:
		return ""
	case 1:
		return lugs[0] + " stays free."
	}
	return list(lugs, "and") + " stay free."
}

// list joins words with commas, the last by and or or.
func list(words []string, last string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + " " + last + " " + words[n-1]
}
