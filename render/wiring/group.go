package wiring

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// rows are the levels of band B, from heads to chassis signs.
type rows struct {
	head, tube, node, resistor, lift, lane, pull, upper, lower, chassis, end float64
	compact                                                                  bool
}

// rowsFrom puts the rows under y. Compact stubs have no tube and stand 12 higher.
// lift lowers the lift boxes and all under them, tall makes room on both sides of
// boxes of three lines, down lowers what stands from the pulldown on, for wires that run under one another; more is added at the end,
// for a wire that passes under the chassis signs.
func rowsFrom(y, lift, tall, down, more float64, compact bool) rows {
	r := rows{head: y + 2.6, compact: compact}
	if compact {
		y -= 12
	}
	r.tube, r.node, r.resistor = y+12, y+18.6, y+25.6
	y += lift + tall
	r.lift = y + 40.2
	y += tall
	r.lane = y + 48
	y += down
	r.pull, r.upper, r.lower, r.chassis = y+56.3, y+62.2, y+77.2, y+86.6
	r.end = y + 90.4 + more
	return r
}

// link is the level of the blades.
func (r rows) link() float64 { return r.upper + 8.2 }

// A stub is one lifted point as it is drawn: a point of several cuts is several.
type stub struct {
	*fitting.Stub
	lift  *fitting.Joint
	cut   int
	wire  *fitting.Wire
	title string
	x     float64  // of the lift box and its wire
	out   float64  // side of the cut: -1 left, +1 right
	lane  int      // lanes below the first that its wire runs on
	chain bool     // its wire goes to its inner neighbour's lift box
	mid   bool     // the contact stands under it, or midway between two such
	lines []string // of the lift's words
	extra []string // further words that have room
}

// corner is how far beside its box a lead that is taken off turns down.
const corner = 8

// size is the least width of the lift box, and its height.
func (s *stub) size() (w, h float64) { return linesSize(s.lines) }

func (s *stub) gain() bool { return s.Kind == fitting.GainControl }

// direct tells whether no resistor stands between cathode and lift: a fixed bias,
// or a point that was only measured.
func (s *stub) direct() bool { return !s.gain() && len(s.Resistor) == 0 }

// tube is the column of the tube.
func (s *stub) tube() float64 {
	if s.gain() {
		return s.x - 13
	}
	return s.x
}

func (s *stub) name() string { return "point " + s.Name + " " + strconv.Itoa(s.cut) }

func (s *stub) cathode() string { return "cathode of " + s.name() }

// stubs spreads a group's points into single lifts and decides the side of each
// cut, away from the contact, and the lane of each wire.
//
// In bands, long words of a lift break sooner, and further words go to sheet 2.
func stubs(g *fitting.Group, l Level) []*stub {
	all := flat(g)
	n := len(all)
	middle := float64(n-1) / 2
	var sides [2][]*stub // direct wires, from the inside out
	for i, s := range all {
		s.lines, s.extra = boxLines(s.lift), s.Extra
		if l >= Bands {
			s.lines, s.extra = wrap(s.lift.Label, 17, 3), nil
		}
		s.mid = math.Abs(float64(i)-middle) < 1
		s.out = 1
		if float64(i) < middle || float64(i) == middle && !s.gain() {
			s.out = -1
		}
		s.chain = s.wire != nil && s.wire.To != g.Contact.Throw && s.wire.From != g.Contact.Throw
		switch {
		case s.chain || float64(i) == middle:
		case float64(i) < middle:
			sides[0] = append([]*stub{s}, sides[0]...)
		default:
			sides[1] = append(sides[1], s)
		}
	}
	// The middle wire of an odd number needs height for its capsule above the
	// first of the others.
	first := 0
	if n%2 == 1 && len(sides[0])+len(sides[1]) > 0 {
		first = 1
	}
	for _, side := range sides {
		for k, s := range side {
			s.lane = first + k
		}
	}
	return all
}

// flat are a group's lifts from left to right.
func flat(g *fitting.Group) []*stub {
	var all []*stub
	for i := range g.Stubs {
		p := &g.Stubs[i]
		all = append(all, &stub{Stub: p, lift: p.Lift, cut: p.Cut, wire: p.Wire, title: p.Title})
		for _, c := range p.Lifts {
			all = append(all, &stub{Stub: p, lift: c.Lift, cut: c.Cut, wire: c.Wire, title: p.Title})
		}
	}
	return all
}

// middles are the stubs over the contact: one, or two with it between them.
func middles(all []*stub) []*stub {
	var m []*stub
	for _, s := range all {
		if s.mid {
			m = append(m, s)
		}
	}
	return m
}

// lanePitch is the distance between wires that run under one another.
const lanePitch = 6

// A cutCapacitor is where a capacitor at the cut lies, with its resistor and its
// chassis sign: distances from the column of the lift, along the level of its box.
type cutCapacitor struct{ resistor, column, foot, end float64 }

// capacitorAt lays a return's capacitor out on side in of a stub, past what
// stands there above the lift, so that its words lie over its lead.
func capacitorAt(g *fitting.Group, s *stub, in, width float64) cutCapacitor {
	start := width / 2
	switch {
	case s.gain() && in < 0:
		start = max(start, 13.5) // the tube's column
	case s.gain() && s.Divider:
		start = max(start, 16)
	case s.gain():
		start = max(start, 5.8+widest(scene.Regular, s.Control)+1)
	case in > 0:
		start = max(start, 3+widest(scene.Regular, s.Resistor...))
	case len(s.Bypass) > 0:
		start = max(start, 13.5)
	}
	half := func(p *fitting.Part) float64 {
		return max(widest(scene.Bold, p.Ref), widest(scene.Regular, oneLine(p))) / 2
	}
	c := cutCapacitor{column: start}
	if p := g.Series; p != nil {
		h := max(5, half(p))
		c.resistor = start + 2 + h
		c.column = c.resistor + h + 0.2 // the words of the two a blank and more apart
	}
	c.column += 1.6 + max(2.5, half(g.Capacitor))
	c.foot = c.column + 5
	c.end = max(c.foot+3.4, c.column+half(g.Capacitor)) + 0.6
	return c
}

// oneLine is a part's value and rating side by side.
func oneLine(p *fitting.Part) string { return strings.TrimSpace(p.Value + "  " + p.Rating) }

// lowered is how far a group pushes the later rows down.
func lowered(g *fitting.Group, all []*stub) float64 {
	most := 0
	for _, s := range all {
		most = max(most, s.lane)
	}
	return lanePitch * float64(most)
}

// liftWidth is the width of a lift box: wide enough for the wires that chain to it.
func liftWidth(s *stub, all []*stub) float64 {
	w, _ := s.size()
	for _, o := range all {
		if o.chain && (o.wire.To == s.lift || o.wire.From == s.lift) && o.lift != s.lift {
			w = max(w, 18)
		}
	}
	return w
}

// reach is the room a stub needs on both sides of its column.
func (s *stub) reach(all []*stub, compact bool, flags bool) (l, r float64) {
	half := liftWidth(s, all) / 2
	l, r = 25, 26
	if s.gain() {
		l = 30
	}
	if compact { // what its own words ask for
		l, r = 9, 9
		if s.gain() {
			l = 20
		}
	}
	cut := half + corner + 4.3
	if s.out < 0 {
		l, r = max(l, cut), max(r, half+1.5)
	} else {
		l, r = max(l, half+1.5), max(r, cut)
	}
	back := s.x - s.tube() // 0 or 13
	if !compact {
		l = max(l, back+8+max(widest(scene.Regular, s.Rail), scene.Bold.Width(railVolts(s.Stub), small))+1)
	}
	if len(s.Bypass) > 0 {
		l = max(l, back+14.5+widest(scene.Regular, s.Bypass...)+1)
	}
	if !s.resistorRight() {
		l = max(l, back+2.6+widest(scene.Regular, s.Resistor...)+1)
	}
	if s.Node != nil && flags {
		w, _ := flagSize(s.Node)
		r = max(r, 7.3+w-back)
	}
	if s.gain() {
		value := 5.8 + widest(scene.Regular, append([]string{s.Control}, s.extra...)...)
		if s.Divider {
			value = max(value, 16)
		}
		r = max(r, value+1)
	} else {
		r = max(r, 3+widest(scene.Regular, append(s.extra, s.Resistor...)...)+1)
	}
	w := scene.Bold.Width(s.title, plain)/2 + 1
	return max(l, w+back/2), max(r, w-back/2)
}

// spaced widens the cells of a return until its wires have room for their
// capsules, and its capacitor for its words.
func spaced(cs []cell, g *fitting.Group) []cell {
	all := make([]*stub, len(cs))
	for i, c := range cs {
		all[i] = c.stub
	}
	mids := len(middles(all))
	for i, s := range all {
		if p := g.Capacitor; p != nil && (slices.Contains(p.Joints, s.lift) || s.cut == g.Stubs[0].Cut && !touches(p, all)) {
			reach := capacitorAt(g, s, -s.out, liftWidth(s, all)).end
			if s.out < 0 {
				cs[i].right = max(cs[i].right, reach)
			} else {
				cs[i].left = max(cs[i].left, reach)
			}
		}
		if s.wire == nil {
			continue
		}
		// in is the neighbour towards the contact; least the distance to it.
		in, least := i-int(s.out), wireLength(s.wire)
		switch {
		case s.mid && mids == 1 || in < 0 || in >= len(cs):
			continue
		case s.chain:
			least += liftWidth(all[in], all)/2 - 2
		case mids == 2:
			least *= 2
		}
		a, b := &cs[min(i, in)], &cs[max(i, in)]
		if short := least - a.right - b.left; short > 0 {
			a.right += short / 2
			b.left += short / 2
		}
	}
	return cs
}

func touches(p *fitting.Part, all []*stub) bool {
	return slices.ContainsFunc(all, func(s *stub) bool { return slices.Contains(p.Joints, s.lift) })
}

// resistorRight reports whether the cathode resistor's words stand on its right.
func (s *stub) resistorRight() bool { return !s.gain() || len(s.Bypass) > 0 }

func railVolts(s *fitting.Stub) string {
	if s.RailVolts == 0 {
		return ""
	}
	return volts(fitting.Level{Nominal: math.Round(s.RailVolts)})
}

// contactReach is the room a contact with its node and pulldown needs.
func contactReach(g *fitting.Group) (l, r float64) {
	l, r = 8, 8
	if g.Node != nil {
		w, _ := flagSize(g.Node)
		l = max(l, 6.4+w+1)
	}
	l = max(l, 6.4+scene.Bold.Width(g.Name, plain)+1)
	if g.Pulldown != nil {
		_, foot := pulldownAt(g)
		r = max(r, foot+4.5)
		if len(g.Pulldown.Joints) > 1 {
			r = max(r, foot+widest(scene.Bold, g.Pulldown.Joints[1].Label)/2+1)
		}
	}
	wl, wr := contactWordsReach(&g.Contact)
	return max(l, wl), max(r, wr)
}

// pulldownAt are the distances of a return's pulldown's middle and of its chassis
// point from the column: its words lie under one another between the lug's box
// and the chassis sign, 2 mm clear of the sign.
func pulldownAt(g *fitting.Group) (mid, foot float64) {
	p := g.Pulldown
	lug, _ := boxSize(g.Contact.Throw)
	words := max(widest(scene.Bold, p.Ref), widest(scene.Regular, stacked(p)...)) / 2
	half := max(5, words)
	mid = max(12.6, half+3, lug/2+1.4+words)
	return mid, max(23.4, mid+half+5.8) // the sign begins 3.8 before its point
}

// contactWords are the two lines beside a contact.
func contactWords(c *fitting.Contact) []string { return []string{c.Name, c.Words} }

func contactWordsWidth(c *fitting.Contact) float64 {
	w := contactWords(c)
	return 5.2 + max(widest(scene.Bold, w[0]), widest(scene.Regular, w[1])) + 1.2
}

func contactWordsReach(c *fitting.Contact) (l, r float64) {
	reach := contactWordsWidth(c)
	if c.Ground != nil && c.Lug != nil {
		r = max(r, 4.2+widest(scene.Bold, c.Lug.Label)+1)
	}
	const lug = 7.5 // half of the widest lug's box
	if c.Break {
		return reach, max(r, lug)
	}
	return lug, max(r, reach)
}

// drawStub draws what stands above a lift, and the lift.
func (d *drawing) drawStub(s *stub, all []*stub, r rows, flags bool) {
	tx := s.tube()
	d.words(at((s.x+tx)/2, r.head), scene.Middle, scene.Bold, plain, s.title, "")
	cathode := s.cathode()
	lift := d.nets.of(s.lift)
	low := r.resistor - 4.5
	if r.compact || s.Kind == fitting.Measured {
		// The type stands in the title: an arrow leads up to it.
		d.line(cathode, inSet, at(tx, low), at(tx, r.node-2))
		d.arrow(at(tx, r.node-3.4), 0, -1, 2, 0.9)
	} else {
		d.tube(s, tx, r)
		d.line(cathode, inSet, at(tx, r.tube+5), at(tx, low))
	}
	if flags {
		d.flag(s.Node, at(tx+0.3, r.node), right, 0, cathode, cathode)
	}
	ctrl := r.resistor + 6.6
	below := lift
	if s.gain() {
		below = "control of " + s.name()
	}
	w := liftWidth(s, all)
	box := d.linedBox(s.lift, at(s.x, r.lift), w, s.lines)
	if s.direct() {
		d.add(scene.Polyline(at(tx, low), at(tx, box.Y)), inSet, scene.None, scene.Tag{Class: scene.Conductor, Nets: []string{cathode, lift}})
	} else {
		d.setResistor(at(tx, r.resistor), true, "resistor of "+s.name(), cathode, below)
	}
	if s.gain() {
		d.line(below, inSet, at(tx, r.resistor+4.5), at(tx, ctrl), at(s.x-4.5, ctrl))
		d.setResistor(at(s.x, ctrl), false, "control of "+s.name(), below, lift, "chassis of "+s.name())
		d.line(lift, inSet, at(s.x, box.Y), at(s.x, ctrl+3))
		d.arrow(at(s.x, ctrl+1.9), 0, -1, 2.2, 0.9)
		vx := s.x + 5.8
		vy := ctrl + 1
		if s.Divider {
			// The far end stays on chassis: its sign stands to the right of the box.
			net := "chassis of " + s.name()
			cx := s.x + 10
			d.line(net, inSet, at(s.x+4.5, ctrl), at(cx, ctrl), at(cx, ctrl+0.9))
			d.chassis(at(cx, ctrl+0.9), inSet, net, net)
			vy = ctrl - 2.6
		}
		d.words(at(vx, vy), scene.Start, scene.Regular, small, s.Control, "")
		for i, t := range s.extra {
			d.words(at(vx, vy-pitch*float64(len(s.extra)-i)), scene.Start, scene.Regular, small, t, "")
		}
	} else {
		if !s.direct() {
			d.line(lift, inSet, at(tx, r.resistor+4.5), at(tx, box.Y))
		}
		d.lines(at(tx+3, r.resistor+7.8), scene.Start, false, s.extra...)
	}
	if s.resistorRight() {
		d.lines(at(tx+3, r.resistor+4.2-pitch*float64(len(s.Resistor)-1)), scene.Start, false, s.Resistor...)
	} else {
		// Of several lines the last stands here: under it are the control's lead and
		// the words of a capacitor at the cut.
		last := r.resistor + 0.4
		if len(s.Resistor) > 1 {
			last = r.resistor + 2.4
		}
		d.lines(at(tx-2.6, last-pitch*float64(len(s.Resistor)-1)), scene.End, false, s.Resistor...)
	}
	d.bypass(s, tx, box, r)
	d.takenOff(s, box, r)
}

// tube draws one tube for all of a point, with its rail's arrow.
func (d *drawing) tube(s *stub, x float64, r rows) {
	y := r.tube
	plate := "plate of " + s.name()
	d.line(plate, inSet, at(x, y-5), at(x, y-7), at(x-5.5, y-7))
	d.arrow(at(x-7, y-7), -1, 0, 1.8, 0.8)
	d.words(at(x-8, y-6), scene.End, scene.Regular, small, s.Rail, "")
	d.words(at(x-8, y-2.4), scene.End, scene.Bold, small, railVolts(s.Stub), "")
	d.mark(scene.Circle{Centre: at(x, y), Radius: 5}, medium, scene.White)
	d.keepOut(scene.Rect{X: x - 4.4, Y: y - 5, W: 8.8, H: 10}, "tube of "+s.name(), plate, s.cathode())
	d.mark(scene.Polyline(at(x-2.5, y-2.9), at(x+2.5, y-2.9)), medium, scene.None)
	d.mark(scene.Polyline(at(x, y-2.9), at(x, y-5)), medium, scene.None)
	grid := scene.Pen{Ink: scene.Black, Width: 0.25, Dash: scene.Dash{On: 1.1, Off: 0.75}}
	for _, dy := range []float64{-1.2, 0.2, 1.6} {
		d.mark(scene.Polyline(at(x-3, y+dy), at(x+3, y+dy)), grid, scene.None)
	}
	d.mark(scene.Polyline(at(x-2.2, y+4), at(x-2.2, y+3), at(x+2.2, y+3), at(x+2.2, y+4)), medium, scene.None)
	d.mark(scene.Polyline(at(x, y+3), at(x, y+5)), medium, scene.None)
}

// bypass draws the cathode bypass capacitor, on the left of the cathode.
func (d *drawing) bypass(s *stub, tx float64, box scene.Rect, r rows) {
	if len(s.Bypass) == 0 {
		return
	}
	cathode, lift := s.cathode(), d.nets.of(s.lift)
	x, y := tx-10, r.node+6
	kind := fitting.Capacitor
	if s.Polarised {
		kind = fitting.Electrolytic
	}
	foot := "foot of the bypass of " + s.name()
	if s.ToReturn {
		foot = lift
	}
	d.line(cathode, inSet, at(tx, r.node), at(x, r.node), at(x, y-0.9))
	d.dot(at(tx, r.node), inSet)
	d.twoLead(kind, "bypass of "+s.name(), []string{cathode, foot}, inSet, axis{c: at(x, y), vertical: true})
	d.lines(at(x-4.5, y-0.4), scene.End, false, s.Bypass...)
	switch {
	case s.ToReturn && s.gain(): // its foot is moved there, or seen to be there
		d.lead(lift, at(x, y+0.9), at(x, r.lift), at(box.X, r.lift))
	case s.ToReturn:
		join := r.resistor + 7.5
		d.lead(lift, at(x, y+0.9), at(x, join), at(tx, join))
		d.dot(at(tx, join), added)
	default:
		d.line(foot, inSet, at(x, y+0.9), at(x, y+3.5))
		d.chassis(at(x, y+3.5), inSet, foot, foot)
	}
}

// takenOff draws the lead that leaves the lift's chassis: dotted, crossed out,
// on the side away from the contact.
func (d *drawing) takenOff(s *stub, box scene.Rect, r rows) {
	if s.cut == 0 {
		return
	}
	net := d.nets.of(s.lift)
	edge := box.X
	if s.out > 0 {
		edge = box.Right()
	}
	x, y := edge+s.out*corner, r.lift
	owner := "cut of " + s.name()
	d.add(scene.Polyline(at(edge, y), at(x, y), at(x, y+4)), taken, scene.None,
		scene.Tag{Class: scene.Conductor, Owner: owner, Nets: []string{net}})
	d.chassis(at(x, y+4), taken, net, "taken off "+s.name())
	d.crossOut(at(edge+s.out*3.6, y), owner, net)
	d.words(at(edge+s.out*6.3, y-3), scene.Middle, scene.Bold, small, "CUT "+strconv.Itoa(s.cut), "")
}

// crossOut draws the bold X over a lead that is taken off.
func (d *drawing) crossOut(c point, owner, net string) {
	d.mark(scene.Polyline(at(c.X-1.7, c.Y-1.7), at(c.X+1.7, c.Y+1.7)), cross, scene.None)
	d.mark(scene.Polyline(at(c.X+1.7, c.Y-1.7), at(c.X-1.7, c.Y+1.7)), cross, scene.None)
	d.add(scene.Rect{X: c.X - 1.7, Y: c.Y - 1.7, W: 3.4, H: 3.4}, scene.Pen{}, scene.None, scene.Tag{Class: scene.Ground, Owner: owner, Nets: []string{net}})
}

// drawGroup draws a return: its stubs, the wires to the contact, the pulldown
// and the contact in column col.
func (d *drawing) drawGroup(u *unit, r rows, l Level) {
	g, all, col := u.group, u.stubs, u.col
	for _, s := range all {
		d.drawStub(s, all, r, showFlag(s, l))
	}
	if u.rest {
		for _, s := range all {
			if s.wire != nil {
				d.chain(g, s, all, r, r.lane)
			}
		}
		d.capacitor(g, all, r)
		return
	}
	d.goesOn(u, r)
	c := &g.Contact
	node := d.nets.of(c.Throw)
	top := r.pull // where the column begins
	meets := g.Pulldown != nil || g.Node != nil
	for _, s := range all {
		_, h := s.size()
		bottom := r.lift + h/2
		lane := r.lane + lanePitch*float64(s.lane)
		switch {
		case s.wire == nil:
		case s.chain:
			d.chain(g, s, all, r, lane)
		case math.Abs(s.x-col) < 0.01:
			end := r.pull
			if first := laneOf(all, r); first < r.pull && len(all) > 1 {
				end = first
			} else if !meets {
				end = r.upper - 2.2
			}
			top = min(top, end)
			d.wire(s.wire, at(s.x, bottom), at(s.x, end))
		default:
			top = min(top, lane)
			d.wire(s.wire, at(s.x, bottom), at(s.x, lane), at(col, lane))
			d.dot(at(col, lane), added)
		}
	}
	if top < r.upper-2.3 {
		d.lead(node, at(col, top), at(col, r.upper-2.2))
	}
	if p := g.Pulldown; p != nil && len(p.Joints) > 1 {
		foot := p.Joints[1]
		if foot == c.Throw {
			foot = p.Joints[0]
		}
		d.dot(at(col, r.pull), added)
		mid, out := pulldownAt(g)
		x := col + mid
		d.lead(node, at(col, r.pull), at(x-5, r.pull))
		d.symbol(p, axis{c: at(x, r.pull)})
		cx := col + out
		d.lead(d.nets.of(foot), at(x+5, r.pull), at(cx, r.pull), at(cx, r.pull+2.5))
		d.chassis(at(cx, r.pull+2.5), added, d.nets.of(foot), "chassis of "+p.Ref)
		d.words(at(cx, r.pull+9), scene.Middle, scene.Bold, small, foot.Label, "")
		d.words(at(x, r.pull-2.9), scene.Middle, scene.Bold, small, p.Ref, "")
		d.lines(at(x, r.pull+5.2), scene.Middle, false, stacked(p)...)
	}
	d.flag(g.Node, at(col-0.4, r.pull), left, 0, node, "return "+g.Name)
	d.words(at(col-6.4, r.pull+8), scene.End, scene.Bold, plain, g.Name, "")
	d.capacitor(g, all, r)
	d.contact(c, col, r)
	d.ground(c, col, r)
}

// laneOf is the highest lane on which a wire meets the column, or far below.
func laneOf(all []*stub, r rows) float64 {
	y := math.Inf(1)
	for _, s := range all {
		if s.wire != nil && !s.chain && !(s.mid && len(middles(all)) == 1) {
			y = min(y, r.lane+lanePitch*float64(s.lane))
		}
	}
	return y
}

// chain draws a wire from one lift box to its neighbour's, on the outer side of
// that box. Where the neighbour stands in another band the wire ends at a copy of
// its box.
func (d *drawing) chain(g *fitting.Group, s *stub, all []*stub, r rows, lane float64) {
	to := s.wire.To
	if to == s.lift {
		to = s.wire.From
	}
	i := slices.IndexFunc(all, func(o *stub) bool { return o.lift == to })
	if i < 0 {
		if !slices.ContainsFunc(flat(g), func(o *stub) bool { return o.lift == to }) {
			d.fail("wire %s ends at %s, which is not on this return", number(s.wire), to.Words)
			return
		}
		d.copyOf(g, s, to, lane, r)
		return
	}
	n := all[i]
	_, h := s.size()
	_, hn := n.size()
	lane += 1.5 // under the sign of what the neighbour's cut takes off
	dir := 1.0
	if s.x < n.x {
		dir = -1
	}
	x := n.x + dir*(liftWidth(n, all)/2-2)
	d.wire(s.wire, at(s.x, r.lift+h/2), at(s.x, lane), at(x, lane), at(x, r.lift+hn/2))
}

// capacitor draws a return's capacitor at the cut it is soldered to: from the
// inner side of the lift box, through its resistor where it has one, to chassis
// beside the cut.
func (d *drawing) capacitor(g *fitting.Group, all []*stub, r rows) {
	p := g.Capacitor
	if p == nil || len(p.Joints) < 2 || len(all) == 0 {
		return
	}
	if all[0].cut != g.Stubs[0].Cut && !touches(p, all) {
		return // it stands in another band
	}
	s := all[0]
	for _, o := range all {
		if slices.Contains(p.Joints, o.lift) {
			s = o
		}
	}
	near, foot := p.Joints[0], p.Joints[1]
	if foot == s.lift {
		near, foot = foot, near
	}
	w := liftWidth(s, all)
	in, y := -s.out, r.lift
	c := capacitorAt(g, s, in, w)
	from, net := s.x+in*w/2, d.nets.of(s.lift)
	named := func(p *fitting.Part, x float64) {
		d.words(at(x, y-7.8), scene.Middle, scene.Bold, small, p.Ref, "")
		d.words(at(x, y-4.2), scene.Middle, scene.Regular, small, oneLine(p), "")
	}
	if q := g.Series; q != nil {
		x := s.x + in*c.resistor
		d.lead(net, at(from, y), at(x-in*5, y))
		d.symbol(q, axis{c: at(x, y)})
		named(q, x)
		from, net = x+in*5, d.nets.of(near)
	}
	x, fx := s.x+in*c.column, s.x+in*c.foot
	d.lead(net, at(from, y), at(x-in*0.9, y))
	d.symbol(p, axis{c: at(x, y), turned: turned(p, s.lift, foot) != (in < 0)})
	named(p, x)
	d.lead(d.nets.of(foot), at(x+in*0.9, y), at(fx, y), at(fx, y+2.2))
	d.chassis(at(fx, y+2.2), added, d.nets.of(foot), "chassis of "+p.Ref)
}

// contact draws one pole in column col between its two lugs, with its words on
// the side to which the blade does not lean.
func (d *drawing) contact(c *fitting.Contact, col float64, r rows) {
	throw, common := d.nets.of(c.Throw), d.nets.of(c.Common)
	d.box(c.Throw, at(col, r.upper))
	d.box(c.Common, at(col, r.lower))
	fixed := r.upper + 4.8
	d.lead(throw, at(col, r.upper+2.2), at(col, fixed))
	d.lead(common, at(col, r.lower-2.2), at(col, r.lower-3.4))
	pivot := at(col, r.lower-3.4)
	tip := at(col-3.4, r.upper+5.2)
	if c.Break {
		tip = at(col+2.6, r.upper+3.2)
		d.lead(throw, at(col-0.35, fixed), at(col+2.7, fixed))
	}
	d.blade(c, pivot, tip)
	d.contactWords(c, col, r)
}

// blade is a conductor of its lugs that the link moves.
func (d *drawing) blade(c *fitting.Contact, pivot, tip point) {
	pen := added
	pen.Round = true
	closes := c.Throw
	if c.Other != nil && !c.Break {
		closes = c.Other // of a changeover, the break
	}
	d.add(scene.Polyline(pivot, tip), pen, scene.None, scene.Tag{Class: scene.Conductor,
		Nets: []string{d.nets.of(c.Common), d.nets.of(closes), "link " + c.Relay}})
}

func (d *drawing) contactWords(c *fitting.Contact, col float64, r rows) {
	w := contactWords(c)
	x, anchor := col+5.2, scene.Start
	if c.Break {
		x, anchor = col-5.2, scene.End
	}
	d.words(at(x, r.link()-1.6), anchor, scene.Bold, small, w[0], "")
	d.words(at(x, r.link()+3.6), anchor, scene.Regular, small, w[1], "")
}

// ground draws the wire from the common to its chassis lug.
func (d *drawing) ground(c *fitting.Contact, col float64, r rows) {
	if c.Ground == nil || c.Lug == nil {
		return
	}
	d.wire(c.Ground, at(col, r.lower+2.2), at(col, r.chassis))
	d.chassis(at(col, r.chassis), added, d.nets.of(c.Lug), c.Lug.ID)
	d.words(at(col+4.2, r.chassis+2.2), scene.Start, scene.Bold, small, c.Lug.Label, "")
}
