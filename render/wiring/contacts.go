package wiring

import (
	"fmt"
	"math"
	"slices"
	"strings"

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

	rest          bool // its contact stands in a band before
	before, after bool // points to the left, to the right stand in bands below
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
	if u.rest {
		return nil
	}
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
	if u.rest {
		return spaced(cs, u.group)
	}
	note := goesOnAt + widest(scene.Italic, goesOnWords) + 1
	if u.before {
		cs[0].left = max(cs[0].left, note)
	}
	if u.after {
		cs[len(cs)-1].right = max(cs[len(cs)-1].right, note)
	}
	cl, cr := contactReach(u.group)
	mids := len(middles(u.stubs))
	m := slices.IndexFunc(u.stubs, func(s *stub) bool { return s.mid })
	switch {
	case mids == 0:
		return []cell{{unit: u, left: cl, right: cr}}
	case mids == 1:
		c := &cs[m]
		// Under its neighbours' lifts there is room for the contact's words.
		if m > 0 {
			cl -= cs[m-1].left
		}
		if m+1 < len(cs) {
			cr -= cs[m+1].right
		}
		c.left, c.right = max(c.left, cl), max(c.right, cr)
	case len(cs) == 2:
		// The contact stands midway between the two; its room may reach under
		// both, to the outer edges of the group.
		a, b := &cs[0], &cs[1]
		half := (a.right + b.left) / 2
		a.left = max(a.left, cl-half)
		b.right = max(b.right, cr-half)
	}
	return spaced(cs, u.group)
}

// showFlag reports whether a stub's cathode volts are on the page: without the
// tube there is no room for them under its title.
func showFlag(s *stub, l Level) bool { return l < NoFlags || l < Compact && !s.gain() }

// column is where a group's contact stands: midway between the middle two of an
// even number of points, under the middle one of an odd number.
func column(all []*stub) float64 {
	m := middles(all)
	if len(m) == 0 {
		return 0
	}
	return (m[0].x + m[len(m)-1].x) / 2
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

const (
	gutter = 3 // free on each side of the link
	air    = 4 // that a column keeps beside it where the link is moved towards its coil
)

// place puts the units on both sides of a link that falls from x: as many as fit
// stay left of it. Where no such split fits, the link jogs to the gap nearest to
// x. A link below 0 needs no gap.
func place(us []*unit, l Level, x, lo, hi float64) (spread, error) {
	if x < 0 {
		cs := cellsOf(us, l)
		if w := width(cs); w > hi-lo {
			return spread{}, fmt.Errorf("the contacts are %.1f mm wide, %.1f mm is there", w, hi-lo)
		}
		put(cs, lo, hi)
		return spread{}, nil
	}
	if k := splitAt(us, l, x, lo, hi); k >= 0 {
		put(cellsOf(us[:k], l), lo, x-gutter)
		put(cellsOf(us[k:], l), x+gutter, hi)
		return spread{link: x}, nil
	}
	best, at, narrow := -1, 0.0, math.Inf(1)
	for k := 0; k <= firstWrap(us); k++ {
		ls, rs := cellsOf(us[:k], l), cellsOf(us[k:], l)
		w := width(ls) + width(rs) + 2*gutter
		narrow = min(narrow, w)
		if w > hi-lo {
			continue
		}
		slack := (hi - lo - w) / float64(len(ls)+len(rs)+2)
		g := lo + width(ls) + slack*float64(len(ls)+1) + gutter
		switch { // with one side empty, the link need not go far round
		case len(ls) == 0:
			g = max(g, min(x, hi-width(rs)-min(slack, air)*float64(len(rs)+1)-gutter))
		case len(rs) == 0:
			g = min(g, max(x, lo+width(ls)+min(slack, air)*float64(len(ls)+1)+gutter))
		}
		if best < 0 || math.Abs(g-x) < math.Abs(at-x) {
			best, at = k, g
		}
	}
	if best < 0 {
		return spread{}, fmt.Errorf("the contacts are %.1f mm wide, %.1f mm is there", narrow, hi-lo)
	}
	put(cellsOf(us[:best], l), lo, at-gutter)
	put(cellsOf(us[best:], l), at+gutter, hi)
	return spread{link: at, jogged: true}, nil
}

// units are the returns and guards of a diagram.
func units(w *fitting.Wiring, l Level) []*unit {
	var us []*unit
	for i := range w.Groups {
		g := &w.Groups[i]
		us = append(us, &unit{group: g, stubs: stubs(g, l)})
	}
	for i := range w.Guards {
		us = append(us, &unit{guard: &w.Guards[i]})
	}
	return us
}

// contacts draws band B under the drive and the link between the two. It returns
// the level of the legend's rule.
func (d *drawing) contacts(w *fitting.Wiring, a *driveBand, l Level) (end float64, moved []string, err error) {
	us := units(w, l)
	lo, hi := a.x0+2, a.x1-2
	if len(us) == 0 {
		return d.standbys(w.Standby, a.end, lo, hi), nil, d.fault
	}
	// One relay's link falls from its coil. Several coils are drawn apart from
	// their contacts, each with a stub of its link.
	single := len(a.order) == 1 && l < Stubs
	x := -1.0
	if single {
		x = a.coils[a.order[0]].X
	}
	bands, link, jogged, err := arrange(us, l, x, lo, hi)
	if err != nil {
		return 0, nil, err
	}
	y := a.end
	if jogged {
		y += 3
	}
	from := point{}
	if single {
		from = a.coils[a.order[0]]
	}
	path := []point{from}
	if jogged {
		path = append(path, at(from.X, y-2.6), at(link, y-2.6))
	}
	for _, us := range bands {
		r := rowsOf(us, y, l)
		moved = append(moved, d.band(us, r, l)...)
		if single {
			path = append(path, at(link, r.link()))
			d.link(a.order[0], us, path, r, link)
			path = []point{at(link, r.link())}
		} else {
			d.detached(us, r)
		}
		y = r.end + 2
		end = r.end
	}
	if !single {
		d.coilStubs(a)
	}
	return d.standbys(w.Standby, end, lo, hi), moved, d.fault
}

// rowsOf puts the rows of a band under y.
func rowsOf(us []*unit, y float64, l Level) rows {
	down, more, lift, tall := 0.0, 0.0, 0.0, 0.0
	for _, u := range us {
		if u.guard != nil && u.guard.Kind == fitting.OpenShort {
			more = 6
		}
		if u.group != nil {
			down = max(down, lowered(u.group, u.stubs))
			for _, s := range u.stubs {
				_, h := s.size()
				tall = max(tall, h/2-4)
				if s.Divider {
					lift = 3
				}
			}
		}
	}
	if l >= Compact && !slices.ContainsFunc(us, func(u *unit) bool { return len(u.stubs) > 1 }) {
		down -= 2.5 // every wire goes straight down: none needs the lane
	}
	r := rowsFrom(y, lift, tall, down, more, l >= Compact)
	if !slices.ContainsFunc(us, func(u *unit) bool { return !u.rest }) {
		r.end = r.lane + restDrop
	}
	return r
}

// band draws a band of units that have their places, and names what it leaves
// out.
func (d *drawing) band(us []*unit, r rows, l Level) (moved []string) {
	for _, u := range us {
		if u.group == nil {
			d.drawGuard(u.guard, u.plan, u.col, r)
			continue
		}
		for _, s := range u.stubs {
			if s.Node != nil && !showFlag(s, l) {
				moved = append(moved, "volts at the cathode of "+s.Name)
			}
			if len(s.extra) < len(s.Extra) {
				moved = append(moved, s.Name+": "+strings.Join(s.Extra, ", "))
			}
		}
		d.drawGroup(u, r, l)
	}
	return moved
}

// coilStubs draws a stub of the mechanical link at every coil.
func (d *drawing) coilStubs(a *driveBand) {
	for _, k := range a.order {
		c := a.coils[k]
		d.linkLine(k, c, at(c.X, c.Y+5))
	}
}

// arrange places the units, in one band or, at the level that allows it, in as
// few as hold them. It returns the column of the link and whether that jogs.
func arrange(us []*unit, l Level, x, lo, hi float64) (bands [][]*unit, link float64, jogged bool, err error) {
	if l < Bands {
		s, err := place(us, l, x, lo, hi)
		return [][]*unit{us}, s.link, s.jogged, err
	}
	free := hi - lo
	if x >= 0 {
		free -= gutter // the link may fall along the left edge
	}
	bands, err = inBands(us, l, free)
	if err != nil {
		return nil, 0, false, err
	}
	if x < 0 {
		for _, band := range bands {
			put(cellsOf(band, l), lo, hi)
		}
		return bands, 0, false, nil
	}
	// The link runs straight through all bands: where it may fall, each band
	// splits into what is left of it and what is right. At the far left it always
	// may.
	best := lo
	for _, band := range bands {
		for k := 0; k <= firstWrap(band); k++ {
			least := lo + width(cellsOf(band[:k], l)) + gutter
			most := hi - width(cellsOf(band[k:], l)) - gutter
			for _, c := range []float64{x, least, most} {
				if c >= lo && c <= hi && math.Abs(c-x) < math.Abs(best-x) && splitsAll(bands, l, c, lo, hi) {
					best = c
				}
			}
		}
	}
	for _, band := range bands {
		k := splitAt(band, l, best, lo, hi)
		put(cellsOf(band[:k], l), lo, best-gutter)
		put(cellsOf(band[k:], l), best+gutter, hi)
	}
	return bands, best, best != x, nil
}

// inBands divides units, and returns that are wider than room, into as few bands
// as hold them.
func inBands(us []*unit, l Level, room float64) ([][]*unit, error) {
	var parts []*unit
	for _, u := range us {
		parts = append(parts, parted(u, l, room)...)
	}
	for n := 1; n <= len(parts); n++ {
		if bands := split(parts, l, n); broadest(bands, l) <= room {
			return bands, nil
		}
	}
	w := 0.0
	for _, u := range parts {
		w = max(w, width(u.cells(l)))
	}
	return nil, fmt.Errorf("a return is %.1f mm wide, %.1f mm is there", w, room)
}

func cellsOf(us []*unit, l Level) []cell {
	var cs []cell
	for _, u := range us {
		cs = append(cs, u.cells(l)...)
	}
	return cs
}

// firstWrap is the number of units that may stand left of the link: those before
// the first that goes round its end.
func firstWrap(us []*unit) int {
	if i := slices.IndexFunc(us, (*unit).wraps); i >= 0 {
		return i
	}
	return len(us)
}

// splitAt is the most units that stand left of a link at x while all have room,
// or -1.
func splitAt(us []*unit, l Level, x, lo, hi float64) int {
	const hair = 1e-6
	for k := firstWrap(us); k >= 0; k-- {
		fits := func(us []*unit, room float64) bool { return len(us) == 0 || width(cellsOf(us, l)) <= room+hair }
		if fits(us[:k], x-gutter-lo) && fits(us[k:], hi-x-gutter) {
			return k
		}
	}
	return -1
}

func splitsAll(bands [][]*unit, l Level, x, lo, hi float64) bool {
	return !slices.ContainsFunc(bands, func(b []*unit) bool { return splitAt(b, l, x, lo, hi) < 0 })
}

func broadest(bands [][]*unit, l Level) float64 {
	w := 0.0
	for _, b := range bands {
		w = max(w, width(cellsOf(b, l)))
	}
	return w
}

// split divides the units into n bands in their order, so that the widest is as
// narrow as can be.
func split(us []*unit, l Level, n int) [][]*unit {
	if n == 1 || len(us) <= 1 {
		return [][]*unit{us}
	}
	var best [][]*unit
	for k := 1; k <= len(us)-n+1; k++ {
		bands := append([][]*unit{us[:k]}, split(us[k:], l, n-1)...)
		if best == nil || broadest(bands, l) < broadest(best, l) {
			best = bands
		}
	}
	return best
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
