package wiring

import (
	"strconv"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// noteAt is where a guard's note starts, right of its column.
const noteAt = 8

// A guardPlan is the room of an antenna or audio point around the column of its
// first contact, and where its others stand.
type guardPlan struct {
	left, right float64
	columns     []float64 // offsets of the contacts
	second      float64   // offset of the second leg's or the input's column
	far         float64   // offset of the wire that goes round the end of the link; 0: none
}

// planGuard measures a guard. What goes round the end of the link does so on the
// right.
func planGuard(g *fitting.Guard) guardPlan {
	p := guardPlan{columns: []float64{0}}
	note := 0.0
	if len(g.Note) > 0 {
		note = widest(scene.Italic, g.Note...)
	}
	wl, wr, words := 0.0, 0.0, 0.0
	if len(g.Contacts) > 0 {
		wl, wr = contactWordsReach(&g.Contacts[0])
		words = contactWordsWidth(&g.Contacts[0])
	}
	wl2, wr2 := 0.0, 0.0 // of the second contact
	if len(g.Contacts) > 1 {
		wl2, wr2 = contactWordsReach(&g.Contacts[1])
	}
	halfBox := func(i int) float64 {
		if i >= len(g.Joints) {
			return 0
		}
		w, _ := boxSize(g.Joints[i])
		return w / 2
	}
	name := scene.Bold.Width(g.Name, plain)/2 + 1
	input := 2.5 + widest(scene.Regular, "to the input", g.Input)
	switch g.Kind {
	case fitting.ShortPair:
		p.second = max(25, halfBox(0)+halfBox(1)+4, wr+1, capsuleHalf(g, 0)+note+3)
		p.far = p.second
		p.left, p.right = max(wl, halfBox(0)+1.5), p.second+max(8, halfBox(1)+1.5)
	case fitting.ShortEach:
		p.second = max(25, halfBox(0)+halfBox(1)+4, wr+wl2+1, capsuleHalf(g, 0)+note+3+capsuleHalf(g, 1))
		p.columns = []float64{0, p.second}
		p.left, p.right = max(wl, halfBox(0)+1.5), p.second+max(wr2, halfBox(1)+1.5)
	case fitting.Changeover:
		p.second = max(25, changeoverWords-5.2+words+1, changeoverOff+halfBox(0)+halfBox(1)+12, changeoverOff+capsuleHalf(g, 0)+1.5+note+6)
		p.far = p.second
		p.left = max(32, halfBox(0)+1.5)
		p.right = p.second + max(6.5, halfBox(1)+1.5, input)
	case fitting.OpenShort:
		p.second = max(30, halfBox(0)+halfBox(1)+12, wr+wl2)
		p.columns = []float64{0, p.second}
		p.left = max(wl, halfBox(0)+1.5)
		p.far = p.second + max(wr2, noteAt+note, halfBox(1)+3, input) + 2
		p.right = p.far + 6.5
	default:
		p.left = max(12, halfBox(0)+1.5, wl, name)
		p.right = max(11.5+widest(scene.Regular, towards(g.Kind), g.Input), noteAt+note, wr, halfBox(0)+1.5, name)
	}
	return p
}

// capsuleHalf is half the width of a guard's wire's capsule.
func capsuleHalf(g *fitting.Guard, i int) float64 {
	if i >= len(g.Wires) {
		return 0
	}
	return capsuleWidth(g.Wires[i]) / 2
}

// changeoverOff is how far the throws of a changeover stand from its column.
const changeoverOff = 7.0

// changeoverWords is how far from its column a changeover's words begin: past
// the lead of its right throw.
const changeoverWords = changeoverOff + 1.5

// drawGuard draws an antenna or audio point with its first column at x.
func (d *drawing) drawGuard(g *fitting.Guard, p guardPlan, x float64, r rows) {
	need := map[fitting.GuardKind][3]int{ // joints, wires, contacts
		fitting.ShortOne: {1, 1, 1}, fitting.AudioShort: {1, 1, 1}, fitting.ShortPair: {2, 2, 1},
		fitting.ShortEach: {2, 2, 2}, fitting.Changeover: {2, 3, 1}, fitting.OpenShort: {2, 3, 2},
	}[g.Kind]
	if len(g.Joints) < need[0] || len(g.Wires) < need[1] || len(g.Contacts) < need[2] {
		d.fail("guard %s: %d joints, %d wires and %d contacts do not make its kind", g.Name, len(g.Joints), len(g.Wires), len(g.Contacts))
		return
	}
	x2 := x + p.second
	mid := (x + x2) / 2
	head := func(x float64) { d.words(at(x, r.head), scene.Middle, scene.Bold, plain, g.Name, "") }
	switch g.Kind {
	case fitting.ShortOne, fitting.AudioShort:
		head(x)
		top := d.terminal(g, 0, x, r)
		d.wire(g.Wires[0], at(x, top), at(x, r.upper-2.2))
		d.contact(&g.Contacts[0], x, r)
		d.ground(&g.Contacts[0], x, r)
		d.note(g, at(x+noteAt, r.lane+5.3), scene.Start)
	case fitting.ShortPair, fitting.ShortEach:
		head(mid)
		bottom := d.feeder(g, x, x2, r)
		d.wire(g.Wires[0], at(x, bottom), at(x, r.upper-2.2))
		d.contact(&g.Contacts[0], x, r)
		if g.Kind == fitting.ShortEach {
			d.wire(g.Wires[1], at(x2, bottom), at(x2, r.upper-2.2))
			d.contact(&g.Contacts[1], x2, r)
			d.ground(&g.Contacts[0], x, r)
			d.ground(&g.Contacts[1], x2, r)
		} else {
			low := r.lower + 6.5
			d.wire(g.Wires[1], at(x, r.lower+2.2), at(x, low), at(x2, low), at(x2, bottom))
		}
		// Between the capsule of the first leg's wire and the second leg's.
		l, rt := x+capsuleWidth(g.Wires[0])/2, x2
		if g.Kind == fitting.ShortEach {
			rt -= capsuleWidth(g.Wires[1]) / 2
		}
		d.note(g, at((l+rt)/2, r.lane+4), scene.Middle)
	case fitting.Changeover:
		d.changeover(g, x, x2, r)
	case fitting.OpenShort:
		head(mid)
		top := d.terminal(g, 0, x, r)
		d.input(g, x2, r)
		d.opened(g, x, x2, r)
		d.wire(g.Wires[0], at(x, top), at(x, r.upper-2.2))
		d.contact(&g.Contacts[0], x, r)
		d.contact(&g.Contacts[1], x2, r)
		d.ground(&g.Contacts[1], x2, r)
		// The wire back to the input passes under the chassis sign and round the end
		// of the link.
		w, h := boxSize(g.Joints[1])
		bottom := r.lift + h/2
		far, low := x+p.far, r.chassis+5.8
		d.wire(g.Wires[1], at(x, r.lower+2.2), at(x, low), at(far, low), at(far, r.lift), at(x2+w/2, r.lift))
		d.wire(g.Wires[2], at(x2, bottom), at(x2, r.upper-2.2))
		d.note(g, at(x2+noteAt, r.lane+5.3), scene.Start)
	}
}

func (d *drawing) note(g *fitting.Guard, p point, anchor scene.Anchor) {
	for i, t := range g.Note {
		d.words(at(p.X, p.Y+pitch*float64(i)), anchor, scene.Italic, small, t, "")
	}
}

// terminal draws a point of the set with what comes to it from above: an aerial,
// or an audio line; and the branch to the input. It returns the box's lower edge.
func (d *drawing) terminal(g *fitting.Guard, i int, x float64, r rows) float64 {
	j := g.Joints[i]
	net := d.nets.of(j)
	_, h := boxSize(j)
	box := d.box(j, at(x, r.lift))
	branch := r.lift - 14.6
	top := r.head + 5.4
	if g.Kind == fitting.AudioShort {
		d.line(net, inSet, at(x, box.Y), at(x, branch))
	} else {
		d.line(net, inSet, at(x, box.Y), at(x, top))
		fork := at(x, top+3)
		for _, dx := range []float64{-4, 0, 4} {
			d.mark(scene.Polyline(fork, at(x+dx, top-2.5)), medium, scene.None)
		}
		d.keepOut(scene.Rect{X: x - 4, Y: top - 2.5, W: 8, H: 2.4}, "aerial "+g.Name, net)
	}
	if g.Cut == 0 || g.Kind == fitting.AudioShort {
		d.line(net, inSet, at(x, branch), at(x+9, branch))
		d.arrow(at(x+10.5, branch), 1, 0, 2, 0.9)
		if g.Kind != fitting.AudioShort {
			d.dot(at(x, branch), inSet)
		}
		d.lines(at(x+11.5, branch-0.6), scene.Start, false, towards(g.Kind), g.Input)
	}
	return r.lift + h/2
}

// towards says where the branch of a terminal leads.
func towards(k fitting.GuardKind) string {
	if k == fitting.AudioShort {
		return "to the next grid"
	}
	return "to the input"
}

// input draws the box of the input lead with an arrow up to the input.
func (d *drawing) input(g *fitting.Guard, x float64, r rows) {
	j := g.Joints[1]
	box := d.box(j, at(x, r.lift))
	top := r.lift - 14.6
	d.line(d.nets.of(j), inSet, at(x, box.Y), at(x, top))
	d.arrow(at(x, top-1.5), 0, -1, 2, 0.9)
	d.lines(at(x+2, top+2), scene.Start, false, "to the input", g.Input)
}

// opened draws the lead between the antenna and the input that is taken off.
func (d *drawing) opened(g *fitting.Guard, x1, x2 float64, r rows) {
	if g.Cut == 0 {
		return
	}
	w1, _ := boxSize(g.Joints[0])
	w2, _ := boxSize(g.Joints[1])
	l, rt := x1+w1/2, x2-w2/2
	net := "lead taken off " + g.Name
	d.add(scene.Polyline(at(l, r.lift-1.2), at(rt, r.lift-1.2)), taken, scene.None,
		scene.Tag{Class: scene.Conductor, Owner: "cut of " + g.Name, Nets: []string{net, d.nets.of(g.Joints[0]), d.nets.of(g.Joints[1])}})
	m := (l + rt) / 2
	d.crossOut(at(m, r.lift-1.2), "cut of "+g.Name, net)
	d.words(at(m, r.lift-4.2), scene.Middle, scene.Bold, small, "CUT "+strconv.Itoa(g.Cut), "")
}

// feeder draws the two legs of a balanced line with the input between them.
func (d *drawing) feeder(g *fitting.Guard, x1, x2 float64, r rows) (bottom float64) {
	for i, x := range []float64{x1, x2} {
		j := g.Joints[i]
		box := d.box(j, at(x, r.lift))
		bottom = max(bottom, box.Bottom())
		d.line(d.nets.of(j), inSet, at(x, box.Y), at(x, r.head+3))
		d.arrow(at(x, r.head+1.6), 0, -1, 2.4, 1)
	}
	l, rt := min(x1, x2), max(x1, x2)
	n1, n2 := d.nets.of(g.Joints[0]), d.nets.of(g.Joints[1])
	if x2 < x1 {
		n1, n2 = n2, n1
	}
	y, m := r.lift-14.6, (l+rt)/2
	d.line(n1, inSet, at(l, y), at(m-7.2, y))
	d.line(n2, inSet, at(m+7.2, y), at(rt, y))
	d.dot(at(l, y), inSet)
	d.dot(at(rt, y), inSet)
	var turns scene.Path
	for i := range 4 {
		turns = append(turns, scene.ArcOf(at(m-7.2+1.8*float64(2*i+1), y), 1.8, 180, 180)...)
	}
	d.add(turns, medium, scene.None, scene.Tag{Class: scene.Body, Owner: "input of " + g.Name, Nets: []string{n1, n2}})
	d.lines(at(m, y+4.4), scene.Middle, false, "input, "+g.Input, "balanced")
	d.lines(at(m, r.head+3.9), scene.Middle, false, "from the feeder")
	return bottom
}

// changeover draws a contact that moves the input from the antenna to chassis:
// the antenna's lug right of the column, that of chassis left, the input's wire
// round the right side. The blade stands as released.
func (d *drawing) changeover(g *fitting.Guard, x, far float64, r rows) {
	c := &g.Contacts[0]
	d.words(at((x+far)/2, r.head), scene.Middle, scene.Bold, plain, g.Name, "")
	xb, xm := x+changeoverOff, x-changeoverOff
	top := d.terminal(g, 0, xb, r)
	d.input(g, far, r)
	d.opened(g, xb, far, r)
	antenna, ground, com := d.nets.of(c.Throw), d.nets.of(c.Other), d.nets.of(c.Common)
	d.box(c.Throw, at(xb, r.upper))
	d.box(c.Common, at(x, r.lower))
	fixed := r.upper + 4.8
	// The blade passes the fixed end of the throw that is closed as released.
	closed, open := 2.0, 2.6
	towards := 1.0
	if !c.Break {
		closed, open, towards = open, closed, -1
	}
	d.lead(antenna, at(xb, r.upper+2.2), at(xb, fixed), at(x+closed, fixed))
	if c.Other != nil {
		d.box(c.Other, at(xm, r.upper))
		d.lead(ground, at(xm, r.upper+2.2), at(xm, fixed), at(x-open, fixed))
	}
	d.lead(com, at(x, r.lower-2.2), at(x, r.lower-3.4))
	d.blade(c, at(x, r.lower-3.4), at(x+towards*2.6, r.upper+3.2))
	words := contactWords(c)
	d.words(at(x+changeoverWords, r.link()-0.6), scene.Start, scene.Bold, small, words[0], "")
	d.words(at(x+changeoverWords, r.link()+3.0), scene.Start, scene.Regular, small, words[1], "")
	_, h := boxSize(g.Joints[1])
	d.wire(g.Wires[0], at(xb, top), at(xb, r.upper-2.2))
	low := r.lower + 6.5
	d.wire(g.Wires[1], at(x, r.lower+2.2), at(x, low), at(far, low), at(far, r.lift+h/2))
	if len(g.Wires) > 2 && c.Other != nil && c.Lug != nil {
		w, _ := boxSize(c.Other)
		cx := xm - w/2 - wireLength(g.Wires[2])
		d.wire(g.Wires[2], at(xm-w/2, r.upper), at(cx, r.upper), at(cx, r.upper+3))
		d.chassis(at(cx, r.upper+3), added, d.nets.of(c.Lug), c.Lug.ID)
		d.words(at(cx+4.2, r.upper+5.2), scene.Start, scene.Bold, small, c.Lug.Label, "")
	}
	d.note(g, at(xb+capsuleWidth(g.Wires[0])/2+1.5, r.lane+5.3), scene.Start)
}
