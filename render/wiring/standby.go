package wiring

import (
	"strings"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// The set's own standby controls stand under the contacts, a row for each: what it
// opens on the left, its two tags, what is between them, chassis or what it feeds;
// then in words what becomes of it and how live it is.

const (
	standbyHigh = 14.0 // of a row
	standbyLane = 7.6  // its line, under its top
	betweenTags = 22.0
	bridgeUp    = 4.2 // of the leads that are joined over tags they were taken off
)

// becomes says in a word what the job makes of a standby control.
var becomes = map[string]string{
	"in use": "stays in use", "strapped": "strapped", "open": "stays open", "removed": "taken off, its leads joined and insulated",
}

// standbys draws the set's own controls under y and returns the end of the last.
func (d *drawing) standbys(list []fitting.Terminals, y, lo, hi float64) float64 {
	for i := range list {
		d.standby(&list[i], y, lo, hi)
		y += standbyHigh
	}
	return y
}

func (d *drawing) standby(t *fitting.Terminals, y, lo, hi float64) {
	lane := y + standbyLane
	un, ln := d.nets.of(t.Upper), d.nets.of(t.Lower)
	removed := t.Left == "removed"
	if removed {
		un = "leads joined at " + t.Name
		ln = un
	}
	// The lead that comes from the left.
	d.words(at(lo+1, lane+1), scene.Start, scene.Regular, small, t.Opens, "")
	x := lo + 1 + scene.Regular.Width(t.Opens, small) + 1.2
	d.arrow(at(x, lane), -1, 0, 2, 0.9)
	a := x + 9
	d.line(un, inSet, at(x+2, lane), at(a, lane))
	// The tags and what is between them.
	wu, _ := boxSize(t.Upper)
	wl, _ := boxSize(t.Lower)
	if removed {
		a += 9
	}
	u := at(a+wu/2, lane)
	l := at(u.X+wu/2+betweenTags+wl/2, lane)
	d.box(t.Upper, u)
	d.box(t.Lower, l)
	from, to := u.X+wu/2, l.X-wl/2
	b := l.X + wl/2
	switch t.Left {
	case "strapped":
		d.wire(t.Strap, at(from, lane), at(to, lane))
	case "removed":
		d.bridge(t, un, a-9, b+9, u, l, lane)
		b += 9
	default:
		d.ownContact(t, from, to, lane)
	}
	// The lead that goes on to the right.
	end := b + 7
	d.line(ln, inSet, at(b, lane), at(end, lane))
	if t.Grounded {
		d.line(ln, inSet, at(end, lane), at(end, lane+2))
		d.chassis(at(end, lane+2), inSet, ln, "chassis of "+t.Name)
		end += 5
	} else {
		d.arrow(at(end+2, lane), 1, 0, 2, 0.9)
		const feeds = "what it feeds"
		d.words(at(end+3.2, lane+1), scene.Start, scene.Regular, small, feeds, "")
		end += 3.2 + scene.Regular.Width(feeds, small)
	}
	d.standbyWords(t, end+4, hi-1, y)
}

// standbyWords say whose row it is, what becomes of it, and how live it is.
func (d *drawing) standbyWords(t *fitting.Terminals, x, end, y float64) {
	words := becomes[t.Left]
	if len(t.Words) > 0 {
		words += "; " + strings.Join(t.Words, " ")
	}
	lines := broken(words, end-x)
	d.words(at(x, y+4.6), scene.Start, scene.Bold, small, shortened(t.Name, end-x), "")
	d.lines(at(x, y+4.6+pitch), scene.Start, false, lines[:min(2, len(lines))]...)
	if len(lines) > 2 || x > end-30 {
		d.fail("standby control %s: no room for its words", t.Name)
	}
}

// ownContact draws a contact of the set between its tags, closed or left open.
func (d *drawing) ownContact(t *fitting.Terminals, from, to, lane float64) {
	mid := (from + to) / 2
	d.line(d.nets.of(t.Upper), inSet, at(from, lane), at(mid-4, lane))
	d.line(d.nets.of(t.Lower), inSet, at(mid+4, lane), at(to, lane))
	tip := at(mid-4.4, lane)
	if t.Left == "open" {
		tip = at(mid-3.2, lane-3)
	}
	d.mark(scene.Polyline(at(mid+4, lane), tip), medium, scene.None)
	for _, x := range []float64{mid - 4, mid + 4} {
		d.mark(scene.Circle{Centre: at(x, lane), Radius: 0.6}, medium, scene.White)
	}
	d.keepOut(scene.Rect{X: mid - 4, Y: lane - 3, W: 8, H: 4}, "contact of "+t.Name, d.nets.of(t.Upper), d.nets.of(t.Lower))
}

// bridge draws the leads that were taken off two tags, from x1 and x2, joined over
// them.
func (d *drawing) bridge(t *fitting.Terminals, net string, x1, x2 float64, u, l point, lane float64) {
	over := lane - bridgeUp
	d.line(net, inSet, at(x1, lane), at(x1, over), at(x2, over), at(x2, lane))
	d.dot(at((x1+x2)/2, over), added)
	for _, end := range []struct {
		tag  *fitting.Joint
		at   point
		lead float64
	}{{t.Upper, u, x1}, {t.Lower, l, x2}} {
		w, _ := boxSize(end.tag)
		edge := end.at.X - w/2
		if end.lead > end.at.X {
			edge = end.at.X + w/2
		}
		owner := "lead taken off " + end.tag.ID
		d.add(scene.Polyline(at(end.lead, lane), at(edge, lane)), taken, scene.None,
			scene.Tag{Class: scene.Conductor, Owner: owner, Nets: []string{net, d.nets.of(end.tag)}})
		d.crossOut(at((end.lead+edge)/2, lane), owner, net)
	}
}
