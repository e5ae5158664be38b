package wiring

import (
	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// A return that is wider than the page goes on in further bands: its contact and
// the points around it in the first, the others, a row of them at a time, under
// it. One wire joins a row to the one before: it ends at a copy of the box that
// it is soldered to, in a dashed outline.

// restDrop is the height from the lane to the end of a band of such rows.
const restDrop = 34.0

const (
	goesOnWords = "continued below"
	goesOnAt    = 8.0 // beside the capsule of the wire under the box
)

// parted divides a return that is wider than room into units that are not.
func parted(u *unit, l Level, room float64) []*unit {
	if u.group == nil || len(u.stubs) < 2 || width(u.cells(l)) <= room {
		return []*unit{u}
	}
	all := u.stubs
	lo, hi := -1, 0 // the stubs around the contact
	for i, s := range all {
		// Wires to the lug stay together.
		if !s.chain {
			if lo < 0 {
				lo = i
			}
			hi = i + 1
		}
	}
	fits := func(lo, hi int, rest bool) bool {
		part := unit{group: u.group, stubs: all[lo:hi], rest: rest, before: lo > 0, after: hi < len(all)}
		return width(part.cells(l)) <= room
	}
	for grown := true; grown; {
		grown = false
		if lo > 0 && fits(lo-1, hi, false) {
			lo, grown = lo-1, true
		}
		if hi < len(all) && fits(lo, hi+1, false) {
			hi, grown = hi+1, true
		}
	}
	units := []*unit{{group: u.group, stubs: all[lo:hi], before: lo > 0, after: hi < len(all)}}
	for lo > 0 {
		from := lo - 1
		for from > 0 && fits(from-1, lo, true) {
			from--
		}
		units = append(units, &unit{group: u.group, stubs: all[from:lo], rest: true, before: from > 0})
		lo = from
	}
	for hi < len(all) {
		to := hi + 1
		for to < len(all) && fits(hi, to+1, true) {
			to++
		}
		units = append(units, &unit{group: u.group, stubs: all[hi:to], rest: true, after: to < len(all)})
		hi = to
	}
	return units
}

// copyOf ends a stub's wire at a copy of a box that stands in another band.
func (d *drawing) copyOf(g *fitting.Group, s *stub, to *fitting.Joint, lane float64, r rows) {
	_, own := s.size()
	_, h := copySize(to)
	c := at(s.x, lane+6+h/2)
	d.wire(s.wire, at(s.x, r.lift+own/2), at(s.x, c.Y-h/2))
	box := d.copyBox(to, c, "wire "+number(s.wire))
	d.words(at(s.x, box.Bottom()+3.8), scene.Middle, scene.Bold, plain, g.Name+", continued", "")
	d.words(at(s.x, box.Bottom()+7.4), scene.Middle, scene.Italic, small, "the box drawn before", "")
}

// copySize is the size of a copy of a box; it bears the words of the wire table,
// for it stands alone.
func copySize(j *fitting.Joint) (w, h float64) { return linesSize(wrap(j.Words, 26, 3)) }

// copyBox draws a copy of a box that stands elsewhere, in a dashed outline.
func (d *drawing) copyBox(j *fitting.Joint, c point, of string) scene.Rect {
	w, h := copySize(j)
	box := scene.Rect{X: c.X - w/2, Y: c.Y - h/2, W: w, H: h}
	owner := "copy of " + j.ID + " for " + of
	d.add(box, moves, scene.White, scene.Tag{Class: scene.Body, Owner: owner, Nets: []string{d.nets.of(j)}})
	for i, l := range wrap(j.Words, 26, 3) {
		d.words(at(c.X, box.Y+3.2+pitch*float64(i)), scene.Middle, scene.Bold, small, l, owner)
	}
	return box
}

// goesOn says beside the outer boxes of a row that a further row's wire comes to
// them.
func (d *drawing) goesOn(u *unit, r rows) {
	say := func(s *stub, side float64) {
		anchor := scene.Start
		if side < 0 {
			anchor = scene.End
		}
		_, h := s.size()
		d.words(at(s.x+side*goesOnAt, r.lift+h/2+8), anchor, scene.Italic, small, goesOnWords, "")
	}
	if n := len(u.stubs); n > 0 && u.before {
		say(u.stubs[0], -1)
	}
	if n := len(u.stubs); n > 0 && u.after {
		say(u.stubs[n-1], 1)
	}
}
