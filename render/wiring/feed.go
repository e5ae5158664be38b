package wiring

import (
	"slices"
	"strings"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// source draws what stands at the left end: a winding between its boxes, or a
// rail's arrow.
func (b *driveBand) source() {
	s := &b.Source
	left := b.x0 + 10
	x := b.x0 + 4.5
	switch {
	case s.Kind == fitting.Line || b.portion == load:
		return
	case s.Kind == fitting.Rail:
		b.line(b.nets.of(s.Live), inSet, at(left, b.yl), at(x+1.5, b.yl))
		b.arrow(at(x, b.yl), -1, 0, 2, 0.9)
		b.lines(at(left-0.5, b.yl+7), scene.Start, true, append([]string{s.Name}, s.Words...)...)
		return
	}
	bottom := b.yb
	if s.Kind == fitting.Tapped {
		bottom = b.secondY()
	}
	// Four half circles of 1.75 in the middle, leads to both ends.
	const r = 1.75
	mid := (b.yl + bottom) / 2
	top := mid - 4*r
	far := s.Return
	if s.Kind == fitting.Tapped {
		far = s.Other
	}
	b.line(b.nets.of(s.Live), inSet, at(left, b.yl), at(x, b.yl), at(x, top))
	b.line(b.nets.of(far), inSet, at(x, top+8*r), at(x, bottom), at(left, bottom))
	var turns scene.Path
	for i := range 4 {
		turns = append(turns, scene.ArcOf(at(x, top+r*float64(2*i+1)), r, -90, 180)...)
	}
	b.add(turns, medium, scene.None, scene.Tag{Class: scene.Body, Owner: "winding", Nets: b.nets.ofAll([]*fitting.Joint{s.Live, s.Return, s.Other})})
	words := at(b.x0+9.5, b.yl+9.6)
	if s.Kind == fitting.Tapped {
		// The tap leaves between the second turn and the third, to the left.
		b.line(b.nets.of(s.Return), inSet, at(x, mid), at(b.x0+1.5, mid), at(b.x0+1.5, b.yb), at(left, b.yb))
		words.Y = b.yl + 6.4
		if len(b.Second) == 0 { // that end stays free
			b.mark(scene.Circle{Centre: at(left, bottom), Radius: 0.9}, inSet, scene.White)
		}
	}
	b.lines(words, scene.Start, true, append([]string{s.Name}, s.Words...)...)
	if s.Grounded != nil {
		y := b.yb
		switch s.Grounded {
		case s.Live:
			y = b.yl
		case s.Other:
			y = bottom
		}
		w, h := boxSize(s.Grounded)
		c := at(left+w/2, y+h/2)
		b.line(b.nets.of(s.Grounded), inSet, c, at(c.X, c.Y+2.3))
		b.chassis(at(c.X, c.Y+2.3), inSet, b.nets.of(s.Grounded), "chassis at "+s.Grounded.ID)
	}
}

// secondY is the lane of a tapped winding's other end.
func (b *driveBand) secondY() float64 { return b.yl + secondDrop(b.Drive) }

// bus draws the return from the source, the bus tag and what hangs down to it.
func (b *driveBand) bus() {
	left := b.x0 + 10
	end := b.row.mid[b.busItem()]
	if b.returnEnd() == nil {
		end += b.busShift(b.row.items[b.busItem()].Joint)
	}
	if len(b.Return) > 0 {
		r := rowOf(b.Return)
		if err := r.fit(left, end+r.width[len(r.width)-1]/2); err != nil {
			b.fail("return of the drive: %v", err)
			return
		}
		if b.returnEnd() == nil {
			// The bus tag is drawn with what hangs on it.
			b.at[b.Bus] = at(end, b.yb)
		}
		b.along(&r, b.yb, nil, 4.6, 7)
	}
	if b.Bus == nil {
		return
	}
	x := end
	for i, it := range b.row.items {
		if it.Part != nil && it.Part.Kind == fitting.Bridge {
			x = b.row.mid[i+1]
		}
	}
	b.at[b.Bus] = at(x, b.yb)
	box := b.box(b.Bus, at(x, b.yb))
	net := b.nets.of(b.Bus)
	b.lead(net, at(x, box.Bottom()), at(x, b.yb+4.5))
	b.chassis(at(x, b.yb+4.5), added, net, "foot")
	b.words(at(x+4.2, b.yb+6.7), scene.Start, scene.Bold, small, b.footWords(), "")
	lastX := x
	for _, s := range b.Shunts {
		i := b.index(s.At)
		if i < 0 {
			b.fail("shunt %s hangs from a joint that is not in the lane", s.Part.Ref)
			continue
		}
		sx := b.row.mid[i] + b.busShift(s.At)
		c := at(sx, b.yl+10.2)
		h := half(s.Part.Kind)
		b.lead(b.nets.of(s.At), at(sx, b.yl+2.2), at(sx, c.Y-h))
		b.symbol(s.Part, axis{c: c, vertical: true, turned: turned(s.Part, s.At, b.Bus)})
		b.words(at(sx+4.6, c.Y+3.2), scene.Start, scene.Bold, small, s.Part.Ref, "")
		for k, v := range values(s.Part) {
			b.words(at(sx+4.6, c.Y+3.2+pitch*float64(k+1)), scene.Start, scene.Regular, small, v, "")
		}
		switch {
		case sx == x:
			b.lead(net, at(sx, c.Y+h), at(sx, b.yb-2.2))
		case lastX == x:
			b.lead(net, at(sx, c.Y+h), at(sx, b.yb), at(box.Right(), b.yb))
		default: // a third shunt meets the second's lead
			b.lead(net, at(sx, c.Y+h), at(sx, b.yb), at(lastX, b.yb))
			b.dot(at(lastX, b.yb), added)
		}
		lastX = sx
	}
}

// footWords name the chassis point of the bus.
func (b *driveBand) footWords() string {
	if s := strip(b.Bus); s != "" {
		return "foot of " + s
	}
	return b.Bus.Words
}

// secondLane draws the lane of a tapped winding's other end; its diode rises
// into the left part of the wide + tag.
func (b *driveBand) secondLane() {
	n := len(b.Second)
	if n == 0 {
		return
	}
	if n < 3 || b.Second[n-2].Part == nil {
		b.fail("the second lane of the drive does not end in a diode")
		return
	}
	plus := b.Second[n-1].Joint
	i := b.index(plus)
	if i < 0 {
		b.fail("the second lane of the drive ends beside the lane")
		return
	}
	y := b.secondY()
	x := b.row.mid[i] - b.busShift(plus)
	r := rowOf(b.Second[:n-2])
	if err := r.fit(b.x0+10, x+r.width[len(r.width)-1]/2); err != nil {
		b.fail("second lane of the drive: %v", err)
		return
	}
	b.along(&r, y, nil, 4.6, 7)
	d, foot := b.Second[n-2].Part, b.Second[n-3].Joint
	c := at(x, (b.yl+y)/2)
	h := half(d.Kind)
	b.lead(b.nets.of(plus), at(x, b.yl+2.2), at(x, c.Y-h))
	b.lead(b.nets.of(foot), at(x, c.Y+h), at(x, y-2.2))
	b.symbol(d, axis{c: c, vertical: true, turned: turned(d, plus, foot)})
	b.words(at(x+4.6, c.Y+0.4), scene.Start, scene.Bold, small, d.Ref, "")
	b.lines(at(x+4.6, c.Y+0.4+pitch), scene.Start, false, values(d)...)
}

// buffer draws what works the transistor: the base tag over it, the base resistor
// and the wire to the tip, the base–emitter resistor.
func (b *driveBand) buffer() {
	bf := b.Buffer
	if bf == nil {
		return
	}
	ti := slices.IndexFunc(b.row.items, func(it fitting.Item) bool { return it.Part != nil && it.Part == bf.Transistor })
	em := b.emitter()
	if ti < 0 || b.index(em) < 0 {
		b.fail("the buffer's transistor is not in the lane")
		return
	}
	xt := b.row.mid[ti] - b.besideBase()/2
	if bf.Transistor.Kind == fitting.TransistorNPN {
		b.low(xt, em)
	} else {
		b.high(xt, em)
	}
	if n := len(bf.CoilEnd); n >= 3 && bf.CoilEnd[1].Wire != nil {
		from, lug := b.at[bf.CoilEnd[0].Joint], bf.CoilEnd[n-1].Joint
		foot := at(from.X, b.yb+4.5)
		start := at(from.X, from.Y+2.2)
		if b.fromBelow(bf.CoilEnd[0].Joint) { // it leaves sideways
			start = at(from.X+b.width(bf.CoilEnd[0].Joint)/2, from.Y)
			foot = at(start.X+wireLength(bf.CoilEnd[1].Wire)+1, from.Y+5)
			b.wire(bf.CoilEnd[1].Wire, start, at(foot.X, start.Y), foot)
		} else {
			b.wire(bf.CoilEnd[1].Wire, start, foot)
		}
		b.chassis(foot, added, b.nets.of(lug), lug.ID)
		b.words(at(foot.X+4.2, foot.Y+2.2), scene.Start, scene.Bold, small, lug.Label, "")
	}
}

// tap marks where a lead leaves a lane that has no box there.
func (b *driveBand) tap(j *fitting.Joint) {
	if i := b.index(j); b.knee(i) || b.foot(i) {
		b.dot(b.at[j], added)
	}
}

// high draws the base side of a pnp: the base tag on the upper lane, the
// base–emitter resistor rising from the emitter's tag on its left.
func (b *driveBand) high(xt float64, em *fitting.Joint) {
	bf, start := b.Buffer, b.upperEdge(em)
	xe := start.X
	base := b.nets.of(bf.Base)
	box := b.box(bf.Base, at(xt, b.yu))
	b.at[bf.Base] = at(xt, b.yu)
	b.lead(base, at(xt, b.yl-7.6), at(xt, box.Bottom()))
	if r := bf.BaseEmitter; r != nil {
		m := (b.yl+b.yu)/2 - 1
		b.lead(b.nets.of(em), start, at(xe, m+5))
		b.tap(em)
		b.lead(base, at(xe, m-5), at(xe, b.yu), at(box.X, b.yu))
		b.symbol(r, axis{c: at(xe, m), vertical: true})
		b.words(at(xe-2.4, m-0.3), scene.End, scene.Bold, small, r.Ref, "")
		b.lines(at(xe-2.4, m-0.3+pitch), scene.End, false, stacked(r)...)
	}
	if p := bf.Pull; p != nil {
		b.fail("%s: a pnp's base is not fed from the supply by a part of its own", p.Ref)
	}
	b.upper(bf.Upper, box.Right())
}

// low draws the base side of an npn on the coil's low side: the base tag close
// over it, the base resistor up to the upper lane, the base–emitter resistor over
// to the emitter's lead; what feeds the base from the supply comes from the left.
func (b *driveBand) low(xt float64, em *fitting.Joint) {
	bf, end := b.Buffer, b.upperEdge(em)
	base := b.nets.of(bf.Base)
	y := b.yl - baseRise
	box := b.box(bf.Base, at(xt, y))
	b.at[bf.Base] = at(xt, y)
	b.lead(base, at(xt, b.yl-7.6), at(xt, box.Bottom()))
	if r := bf.BaseEmitter; r != nil {
		x := xt + 9
		b.lead(base, at(box.Right(), y), at(x-5, y))
		b.lead(b.nets.of(em), at(x+5, y), at(end.X, y), end)
		b.tap(em)
		b.symbol(r, axis{c: at(x, y)})
		text := append([]string{r.Ref}, values(r)...)
		b.lines(at(xt+3.2, y-3.4-pitch*float64(len(text)-1)), scene.Start, true, text...)
	}
	if p := bf.Pull; p != nil && bf.PullFrom != nil {
		from, ok := b.at[bf.PullFrom]
		if !ok {
			b.fail("%s starts at a joint that is not drawn", p.Ref)
			return
		}
		x, yp := from.X, b.yl-pullRise(b.Drive)
		switch i := b.index(bf.PullFrom); {
		case b.knee(i):
			x = b.x0 + kneeAt // it leaves the supply line
			from.Y = yp + boxHigh/2
			b.dot(at(x, yp), added)
		case bf.PullFrom.Flag != nil:
			x += riserOff
		}
		// The lead comes down left of the base tag, clear of the base resistor.
		down := xt - 5
		if up := bf.Upper; len(up) > 1 && up[1].Part != nil {
			down = xt - 2.4 - b.beside(up[1].Part) - 2
		}
		m := (x + down) / 2
		b.lead(b.nets.of(bf.PullFrom), at(x, from.Y-2.2), at(x, yp), at(m-5, yp))
		b.lead(base, at(m+5, yp), at(down, yp), at(down, y), at(box.X, y))
		b.symbol(p, axis{c: at(m, yp), turned: turned(p, bf.PullFrom, bf.Base)})
		value := strings.Join(values(p), "  ")
		w := widest(scene.Bold, p.Ref) + 1.5 + widest(scene.Regular, value)
		b.words(at(m-w/2, yp-3.4), scene.Start, scene.Bold, small, p.Ref, "")
		b.words(at(m+w/2, yp-3.4), scene.End, scene.Regular, small, value, "")
	}
	up := bf.Upper
	if len(up) < 3 {
		return
	}
	if r := up[1].Part; r != nil {
		corner := up[2].Joint
		if corner == nil {
			b.fail("%s ends in no joint", r.Ref)
			return
		}
		up = up[2:]
		m := (box.Y + b.yu + 2.2) / 2
		b.lead(base, at(xt, box.Y), at(xt, m+5))
		b.lead(b.nets.of(corner), at(xt, m-5), at(xt, b.yu+2.2))
		b.symbol(r, axis{c: at(xt, m), vertical: true})
		b.lines(at(xt-2.6, m-0.3), scene.End, true, append([]string{r.Ref}, values(r)...)...)
		c := b.box(corner, at(xt, b.yu))
		b.at[corner] = at(xt, b.yu)
		b.upper(up, c.Right())
		return
	}
	// No base resistor: the wire itself rises from the base tag.
	if w := up[1].Wire; w != nil {
		tw, _ := boxSize(b.Jack.Tip)
		b.wire(w, at(xt, box.Y), at(xt, b.yu), at(b.x1-14-tw, b.yu))
		b.box(b.Jack.Tip, at(b.x1-14-tw/2, b.yu))
		b.at[b.Jack.Tip] = at(b.x1-14-tw/2, b.yu)
	}
}

// upper draws the upper lane from the base tag's right edge to the tip.
func (b *driveBand) upper(items []fitting.Item, left float64) {
	if len(items) < 3 {
		b.fail("the upper lane of the drive does not reach the tip")
		return
	}
	r := rowOf(items[1:]) // the first tag is drawn
	if err := r.fit(left, b.x1-14); err != nil {
		b.fail("upper lane of the drive: %v", err)
		return
	}
	b.along(&r, b.yu, items[0].Joint, 3.4, 5.4)
}

// along draws a fitted row at y, the names of its parts above and their values
// below by the given distances. A row may start with an element, after the joint
// before. A box that has its place already is drawn by whoever gave it one.
func (b *driveBand) along(r *row, y float64, before *fitting.Joint, above, below float64) {
	for i, it := range r.items {
		x, l, rt := r.mid[i], r.mid[i]-r.width[i]/2, r.mid[i]+r.width[i]/2
		switch {
		case it.Joint != nil:
			if _, placed := b.at[it.Joint]; !placed {
				b.box(it.Joint, at(x, y))
				b.at[it.Joint] = at(x, y)
			}
			before = it.Joint
		case it.Wire != nil:
			b.wire(it.Wire, at(l, y), at(rt, y))
		case it.Part != nil:
			next := r.items[i+1].Joint
			b.inline(it.Part, x, y, l, rt, before, next)
			if it.Part.Kind != fitting.Coil {
				b.words(at(x, y-above), scene.Middle, scene.Bold, small, it.Part.Ref, "")
				b.lines(at(x, y+below), scene.Middle, false, values(it.Part)...)
			}
		}
	}
}

// inline draws a two-lead part of a lane between its joints.
func (b *driveBand) inline(p *fitting.Part, x, y, l, r float64, lj, rj *fitting.Joint) {
	h := half(p.Kind)
	b.lead(b.nets.of(lj), at(l, y), at(x-h, y))
	b.lead(b.nets.of(rj), at(x+h, y), at(r, y))
	b.symbol(p, axis{c: at(x, y), turned: turned(p, lj, rj)})
}

// onUpper reports whether the jack stands on the upper lane.
func (b *driveBand) onUpper() bool { return b.Buffer != nil || b.raised }

// tipRight is the right edge of the tip's box. A raised tip stands further left,
// so that the capsule of the wire under it keeps off the sleeve and its wire.
func (b *driveBand) tipRight() float64 {
	if b.raised {
		return b.x1 - 15.6
	}
	return b.x1 - 14
}

// jackX is the middle of the jack.
func (b *driveBand) jackX() float64 { return b.x1 - 6.5 }

func (b *driveBand) jackWords() []string { return wrap(b.Jack.Words, 26, 2) }

// jackWordsAt is where the middle of the words of a jack on the upper lane
// stands: under it, below the lane where an npn stands beside it; beside the flag
// of a raised tip, for the coil's words reach under that jack.
func (b *driveBand) jackWordsAt() (x, y float64) {
	if !b.raised {
		y := b.yu + 30
		if b.jackOverLane() {
			y = b.yl + 13
		}
		return min(b.jackX(), b.x1-0.5-b.jackWidth()/2), y
	}
	tw, _ := boxSize(b.Jack.Tip)
	x = b.tipRight() - tw - 2
	if f := b.flagOfTip(); f != nil {
		fw, _ := flagSize(f)
		x -= 6.2 + fw
	}
	return x - b.jackWidth()/2, b.yu - 0.6 - pitch*float64(len(b.jackWords())-1)/2
}

func (b *driveBand) jackWidth() float64 {
	return max(widest(scene.Bold, b.Jack.Ref), widest(scene.Regular, b.jackWords()...))
}

// jackOverLane reports whether the jack stands wholly over the lane.
func (b *driveBand) jackOverLane() bool {
	return b.Buffer != nil && b.Buffer.Transistor.Kind == fitting.TransistorNPN && len(b.Buffer.CoilEnd) == 0
}

// jackLeft is the left edge of what stands around a jack on the upper lane.
func (b *driveBand) jackLeft() float64 {
	if b.jackOverLane() {
		return b.x1
	}
	l := b.jackX() - 4.2
	if b.Jack.Ground != nil {
		l -= widest(scene.Bold, b.Jack.Ground.To.Label)
	}
	x, _ := b.jackWordsAt()
	l = min(l, x-b.jackWidth()/2)
	if f := b.flagOfTip(); f != nil {
		w, _ := flagSize(f)
		l = min(l, b.tipFlagX()-w/2)
	}
	return l
}

func (b *driveBand) flagOfTip() *fitting.Flag {
	if b.Jack.Tip == nil {
		return nil
	}
	return b.Jack.Tip.Flag
}

// tipFlagX is where the needle of a flag under the tip stands: left enough for
// the flag to clear the sleeve.
func (b *driveBand) tipFlagX() float64 {
	w, _ := flagSize(b.Jack.Tip.Flag)
	tw, _ := boxSize(b.Jack.Tip)
	sw, _ := boxSize(b.Jack.Sleeve)
	return min(b.x1-14-tw/2, b.jackX()-sw/2-clear-w/2)
}

// jack draws the receptacle, its sleeve and its chassis lug.
func (b *driveBand) jack() {
	j := &b.Jack
	if j.Tip == nil {
		return
	}
	x, y := b.jackX(), b.yl
	if b.onUpper() {
		y = b.yu
	}
	tw, _ := boxSize(j.Tip)
	tipC := at(b.tipRight()-tw/2, y)
	if b.raised {
		b.box(j.Tip, tipC)
		b.at[j.Tip] = tipC
		n := len(b.Lane)
		a2 := b.Lane[n-3].Joint
		// The capsule stands low, clear of the sleeve.
		b.wireAt(b.Lane[n-2].Wire, 0.32, at(b.at[a2].X+b.width(a2)/2, b.yl), at(tipC.X, b.yl), at(tipC.X, y+2.2))
		b.flag(b.flagOfTip(), at(tipC.X-tw/2-0.2, y), left, 0, b.nets.of(j.Tip), j.Tip.ID)
	} else if b.onUpper() && b.flagOfTip() != nil {
		fx := b.tipFlagX()
		tip := at(max(fx, tipC.X-tw/2+0.8), y+2.4)
		b.flag(j.Tip.Flag, tip, below, fx-tip.X, b.nets.of(j.Tip), j.Tip.ID)
	}
	net := b.nets.of(j.Tip)
	b.lead(net, at(b.tipRight(), y), at(x-3.6, y))
	b.mark(scene.Polyline(at(x-3.6, y), at(x-1.2, y)), added, scene.None)
	// The ring opens 63 degrees wide towards the tip's lead.
	b.mark(scene.ArcOf(at(x, y), 4.2, 180+31.6, 360-63.2), added, scene.None)
	b.mark(scene.Circle{Centre: at(x, y), Radius: 1.2}, scene.Pen{}, scene.Black)
	b.keepOut(scene.Rect{X: x - 3.6, Y: y - 4.2, W: 7.8, H: 8.4}, j.Ref, net, b.nets.of(j.Sleeve))
	if j.Sleeve == nil {
		return
	}
	sn := b.nets.of(j.Sleeve)
	b.lead(sn, at(x, y+4.2), at(x, y+8))
	s := b.box(j.Sleeve, at(x, y+10.2))
	foot := y + 26.5
	if b.onUpper() {
		foot = y + 23
	}
	if b.Jack.Ground == nil {
		b.chassis(at(x, foot), added, sn, "chassis of "+j.Ref)
		b.lead(sn, at(x, s.Bottom()), at(x, foot))
	} else {
		b.wire(j.Ground, at(x, s.Bottom()), at(x, foot))
		b.chassis(at(x, foot), added, sn, j.Ground.To.ID)
		if b.raised || b.fromBelow(j.Tip) {
			b.words(at(x, foot+5.6), scene.Middle, scene.Bold, small, j.Ground.To.Label, "")
		} else {
			b.words(at(x-4.2, foot+2.2), scene.End, scene.Bold, small, j.Ground.To.Label, "")
		}
	}
	words := append([]string{j.Ref}, b.jackWords()...)
	if b.onUpper() {
		x, y := b.jackWordsAt()
		b.lines(at(x, y), scene.Middle, true, words...)
		return
	}
	words = append(words, "to the key line")
	edge := s.X - 1
	if b.fromBelow(j.Tip) {
		edge = tipC.X - 2
	}
	b.lines(at(edge, y+14.5), scene.End, true, words...)
}
