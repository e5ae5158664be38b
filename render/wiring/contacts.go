package wiring

import (
	"fmt"
	"math"
	"slices"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// A unit is one return or one guard.
type unit struct {
	group *fitting.Group
	guard *fitting.Guard
	stubs []*stub
	plan  guardPlan
	col   float64 // of its first contact
}

// A cell is a column of a unit with the room on both sides: a stub, or a guard.
type cell struct {
	unit        *unit
	stub        *stub
	left, right float64
}

// wraps reports whether a wire of the unit goes round the end of the link.
func (u *unit) wraps() bool { return u.guard != nil && planGuard(u.guard).far > 0 }

func (u *unit) contacts() []*fitting.Contact {
	if u.group != nil {
		return []*fitting.Contact{&u.group.Contact}
	}
	all := make([]*fitting.Contact, len(u.guard.Contacts))
	for i := range all {
		all[i] = &u.guard.Contacts[i]
	}
	return all
}

// cells measures a unit.
func (u *unit) cells(l Level) []cell {
	if u.guard != nil {
		u.plan = planGuard(u.guard)
		return []cell{{unit: u, left: u.plan.left, right: u.plan.right}}
	}
	var cs []cell
	for _, s := range u.stubs {
		left, right := s.reach(u.stubs, l >= Compact, showFlag(s, l))
		cs = append(cs, cell{unit: u, stub: s, left: left, right: right})
	}
	cl, cr := contactReach(u.group)
	n := len(cs)
	switch {
	case n == 0:
		return []cell{{unit: u, left: cl, right: cr}}
	case n%2 == 1:
		m := &cs[n/2]
		if n == 1 {
			m.left, m.right = max(m.left, cl), max(m.right, cr)
		} else {
			// Under its neighbours' lifts there is room for the contact's words.
			m.left = max(m.left, cl-cs[n/2-1].left)
			m.right = max(m.right, cr-cs[n/2+1].right)
		}
	default:
		// The contact stands midway between the two; its room may reach under
		// both, to the outer edges of the group.
		a, b := &cs[n/2-1], &cs[n/2]
		half := (a.right + b.left) / 2
		if n == 2 {
			a.left = max(a.left, cl-half)
			b.right = max(b.right, cr-half)
		}
	}
	return cs
}

// showFlag reports whether a stub's cathode volts are on the page.
func showFlag(s *stub, l Level) bool { return l < NoFlags || !s.gain() }

// column is where a group's contact stands: midway between the middle two of an
// even number of points, under the middle one of an odd number.
func column(all []*stub) float64 {
	n := len(all)
	if n == 0 {
		return 0
	}
	return (all[(n-1)/2].x + all[n/2].x) / 2
}

func width(cs []cell) float64 {
	w := 0.0
	for _, c := range cs {
		w += c.left + c.right
	}
	return w
}

// put places cells between two edges with equal gaps.
func put(cs []cell, lo, hi float64) {
	if len(cs) == 0 {
		return
	}
	gap := (hi - lo - width(cs)) / float64(len(cs)+1)
	x := lo
	for _, c := range cs {
		x += gap + c.left
		if c.stub != nil {
			c.stub.x = x
		} else {
			c.unit.col = x
		}
		x += c.right
	}
	for _, c := range cs {
		if c.unit.group != nil && len(c.unit.stubs) > 0 {
			c.unit.col = column(c.unit.stubs)
		}
	}
}

// A spread is a placing of units on both sides of the link's column.
type spread struct {
	link   float64 // column of the link
	jogged bool    // it is not under the coil
}

const gutter = 3 // free on each side of the link

// place puts the units on both sides of a link that falls from x: as many as fit
// stay left of it. Where no such split fits, the link jogs to the gap nearest to
// x. A link below 0 needs no gap.
func place(us []*unit, l Level, x, lo, hi float64) (spread, error) {
	all := func(us []*unit) []cell {
		var cs []cell
		for _, u := range us {
			cs = append(cs, u.cells(l)...)
		}
		return cs
	}
	// What goes round the end of the link stands right of it.
	most := slices.IndexFunc(us, (*unit).wraps)
	if most < 0 {
		most = len(us)
	}
	if x < 0 {
		cs := all(us)
		if w := width(cs); w > hi-lo {
			return spread{}, fmt.Errorf("the contacts are %.1f mm wide, %.1f mm is there", w, hi-lo)
		}
		put(cs, lo, hi)
		return spread{}, nil
	}
	for k := most; k >= 0; k-- {
		lw, rw := width(all(us[:k])), width(all(us[k:]))
		if lw <= x-gutter-lo && rw <= hi-x-gutter {
			put(all(us[:k]), lo, x-gutter)
			put(all(us[k:]), x+gutter, hi)
			return spread{link: x}, nil
		}
	}
	best, at, narrow := -1, 0.0, math.Inf(1)
	for k := 0; k <= most; k++ {
		ls, rs := all(us[:k]), all(us[k:])
		w := width(ls) + width(rs) + 2*gutter
		narrow = min(narrow, w)
		if w > hi-lo {
			continue
		}
		slack := (hi - lo - w) / float64(len(ls)+len(rs)+2)
		g := lo + width(ls) + slack*float64(len(ls)+1) + gutter
		if best < 0 || math.Abs(g-x) < math.Abs(at-x) {
			best, at = k, g
		}
	}
	if best < 0 {
		return spread{}, fmt.Errorf("the contacts are %.1f mm wide, %.1f mm is there", narrow, hi-lo)
	}
	put(all(us[:best]), lo, at-gutter)
	put(all(us[best:]), at+gutter, hi)
	return spread{link: at, jogged: true}, nil
}

// contacts draws band B under the drive and the link between the two. It returns
// the level of the legend's rule.
func (d *drawing) contacts(w *fitting.Wiring, a *driveBand, l Level) (end float64, moved []string, err error) {
	var us []*unit
	for i := range w.Groups {
		g := &w.Groups[i]
		us = append(us, &unit{group: g, stubs: stubs(g)})
	}
	for i := range w.Guards {
		us = append(us, &unit{guard: &w.Guards[i]})
	}
	if len(us) == 0 {
		return a.yb + 8.5, nil, nil
	}
	lo, hi := a.x0+2, a.x1-2
	// One relay's link falls from its coil. Several coils are drawn apart from
	// their contacts, each with a stub of its link.
	single := len(a.order) == 1
	x := -1.0
	if single {
		x = a.coils[a.order[0]].X
	}
	bands := [][]*unit{us}
	if l >= TwoBands {
		if len(us) < 2 {
			return 0, nil, fmt.Errorf("a single return cannot stand in two bands")
		}
		bands = halve(us, l)
	}
	var spreads []spread
	jogged := false
	for i, us := range bands {
		bx := x
		if i > 0 && single {
			bx = spreads[0].link // the link runs straight on through both
		}
		s, err := place(us, l, bx, lo, hi)
		if err != nil {
			return 0, nil, err
		}
		if i > 0 && s.jogged {
			return 0, nil, fmt.Errorf("the second band leaves no gap for the link")
		}
		jogged = jogged || s.jogged
		spreads = append(spreads, s)
	}
	y := a.yb + 8.5
	if jogged {
		y += 3
	}
	from := point{}
	if single {
		from = a.coils[a.order[0]]
	}
	path := []point{from}
	if jogged {
		path = append(path, at(from.X, y-2.6), at(spreads[0].link, y-2.6))
	}
	for i, us := range bands {
		down, more, lift := 0.0, 0.0, 0.0
		for _, u := range us {
			if u.guard != nil && u.guard.Kind == fitting.OpenShort {
				more = 6
			}
			if u.group != nil {
				down = max(down, lowered(u.group, u.stubs))
				for _, s := range u.stubs {
					if s.Divider {
						lift = 3
					}
				}
			}
		}
		r := rowsFrom(y, lift, down, more, l >= Compact)
		for _, u := range us {
			if u.group == nil {
				d.drawGuard(u.guard, u.plan, u.col, r)
				continue
			}
			for _, s := range u.stubs {
				if s.Node != nil && !showFlag(s, l) {
					moved = append(moved, "volts at the cathode of "+s.Name)
				}
			}
			d.drawGroup(u.group, u.stubs, u.col, r, l < NoFlags)
		}
		if single {
			path = append(path, at(spreads[i].link, r.link()))
			d.link(a.order[0], us, path, r, spreads[i].link)
			path = []point{at(spreads[i].link, r.link())}
		} else {
			d.detached(us, r)
		}
		y = r.end + 2
		end = r.end
	}
	if !single {
		for _, k := range a.order {
			c := a.coils[k]
			d.linkLine(k, c, at(c.X, c.Y+5))
		}
	}
	return end, moved, d.fault
}

// halve splits the units into two bands of about the same width.
func halve(us []*unit, l Level) [][]*unit {
	best, diff := 1, math.Inf(1)
	for k := 1; k < len(us); k++ {
		w := [2]float64{}
		for i, u := range us {
			side := 0
			if i >= k {
				side = 1
			}
			w[side] += width(u.cells(l))
		}
		if e := math.Abs(w[0] - w[1]); e < diff {
			best, diff = k, e
		}
	}
	return [][]*unit{us[:best], us[best:]}
}

// bladeAt is where a contact's blade passes the level of the link.
func bladeAt(c *fitting.Contact, col float64) float64 {
	// The blade leans over 8.4 to the right by 2.6 (break, changeover) or over 6.4
	// to the left by 3.4 (make); the link crosses it 3.4 above the pivot.
	if c.Break || c.Other != nil {
		return col + 2.6*3.4/8.4
	}
	return col - 3.4*3.4/6.4
}

// blades are the columns where the link takes hold of a band's contacts.
func blades(us []*unit) (xs []float64, contacts []*fitting.Contact) {
	for _, u := range us {
		for i, c := range u.contacts() {
			col := u.col
			if u.guard != nil && i < len(u.plan.columns) {
				col += u.plan.columns[i]
			}
			xs = append(xs, bladeAt(c, col))
			contacts = append(contacts, c)
		}
	}
	return xs, contacts
}

// link draws the mechanical link from the coil down its column and out to the
// outermost blades.
func (d *drawing) link(relay string, us []*unit, path []point, r rows, x float64) {
	xs, _ := blades(us)
	if len(xs) == 0 {
		return
	}
	d.linkLine(relay, path...)
	l, rt := x, x
	for _, b := range xs {
		l, rt = min(l, b), max(rt, b)
	}
	d.linkLine(relay, at(l, r.link()), at(rt, r.link()))
}

func (d *drawing) linkLine(relay string, points ...point) {
	d.add(scene.Polyline(points...), moves, scene.None, scene.Tag{Class: scene.Link, Nets: []string{"link " + relay}})
}

// detached draws a stub of the link between the two lines of each contact's
// words, which name the relay.
func (d *drawing) detached(us []*unit, r rows) {
	xs, cs := blades(us)
	for i, c := range cs {
		w := contactWords(c)
		long := 5.2 + max(widest(scene.Bold, w[0]), widest(scene.Regular, w[1]))
		if c.Break {
			long = -long
		}
		d.linkLine(c.Relay, at(xs[i], r.link()), at(xs[i]+long, r.link()))
	}
}
