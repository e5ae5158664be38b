package wiring

import (
	"strings"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

const (
	coilWithHold = 19.0 // length of a coil in its lane, where parts in series stand over it
	clampRise    = 10.0 // lane to the clamp
	underCoil    = 16.0 // lane to under a coil's words
	// jackWordsHigh is how much further the words beside a jack reach down.
	jackWordsHigh = 9.5
	holdRise      = 24.5 // lane to what keeps the coil up; the clamp's words end 19.7 over the lane
)

// coil draws what goes with a coil at c between its lugs: its words, and above it
// the clamp and what keeps it up through the tail of the RF.
func (b *driveBand) coil(p *fitting.Part, c point, a1, a2 *fitting.Joint, clamp, hold []*fitting.Part) {
	b.coils[p.Ref] = at(c.X, c.Y+3.2)
	b.order = append(b.order, p.Ref)
	// Words stand right of the link, left of it where a wire comes to the right
	// lug from below.
	words, anchor := at(c.X+2.2, c.Y+7), scene.Start
	if b.fromBelow(a2) {
		words.X, anchor = c.X-2.2, scene.End
	}
	b.lines(words, anchor, true, append([]string{p.Ref}, values(p)...)...)
	from := boxHigh / 2
	if len(clamp) > 0 {
		b.across(clamp, c, clampRise, from, a1, a2)
		from = clampRise
	}
	if len(hold) > 0 {
		b.across(hold, c, holdRise, from, a1, a2)
	}
}

// across draws one part, or two in series, over a coil: rise over its lane, on
// leads that go up from so far over the lane.
func (b *driveBand) across(parts []*fitting.Part, c point, rise, from float64, a1, a2 *fitting.Joint) {
	xl, xr := b.at[a1].X, 2*c.X-b.at[a1].X
	if p, ok := b.at[a2]; ok {
		xr = p.X
	}
	y := c.Y - rise
	net1, net2 := b.nets.of(a1), b.nets.of(a2)
	if len(parts) == 1 {
		p, h := parts[0], half(parts[0].Kind)
		b.lead(net1, at(xl, c.Y-from), at(xl, y), at(c.X-h, y))
		b.lead(net2, at(c.X+h, y), at(xr, y), at(xr, c.Y-from))
		b.symbol(p, axis{c: at(c.X, y), turned: turned(p, a1, a2)})
		w := widest(scene.Bold, p.Ref) + 1.5 + widest(scene.Regular, p.Value)
		b.words(at(c.X-w/2, y-4), scene.Start, scene.Bold, small, p.Ref, "")
		b.words(at(c.X+w/2, y-4), scene.End, scene.Regular, small, p.Value, "")
		return
	}
	p, q := parts[0], parts[1]
	hp, hq := half(p.Kind), half(q.Kind)
	xp, xq := c.X-1.3-hp, c.X+1.3+hq
	const plus = 2.3 // room for the plus, between the two
	if p.Kind == fitting.Electrolytic {
		xp -= plus
	}
	if q.Kind == fitting.Electrolytic {
		xq += plus
	}
	between := "between " + p.Ref
	b.lead(net1, at(xl, c.Y-from), at(xl, y), at(xp-hp, y))
	b.lead(between, at(xp+hp, y), at(xq-hq, y))
	b.lead(net2, at(xq+hq, y), at(xr, y), at(xr, c.Y-from))
	b.twoLead(p.Kind, p.Ref, []string{net1, between}, added, axis{c: at(xp, y), turned: turned(p, a1, nil)})
	b.twoLead(q.Kind, q.Ref, []string{net2, between}, added, axis{c: at(xq, y), turned: turned(q, nil, a2)})
	base := y - 4
	if p.Kind == fitting.Electrolytic || q.Kind == fitting.Electrolytic {
		base -= 0.6 // its plates are higher
	}
	for i, p := range parts {
		x, anchor := c.X-0.8, scene.End
		if i == 1 {
			x, anchor = c.X+0.8, scene.Start
		}
		b.words(at(x, base-pitch), anchor, scene.Bold, small, p.Ref, "")
		b.words(at(x, base), anchor, scene.Regular, small, strings.Join(values(p), "  "), "")
	}
}

// fromBelow reports whether a further coil's wire comes to a lug from below.
func (b *driveBand) fromBelow(j *fitting.Joint) bool {
	for _, m := range b.More {
		if m.To == j {
			return true
		}
	}
	return false
}

// overCoil is the height that the coil with what stands across it takes over its
// lane.
func overCoil(clamp, hold []*fitting.Part) float64 {
	switch {
	case len(hold) > 0:
		return holdRise + 10.3
	case len(clamp) > 1:
		return clampRise + 9.7
	case len(clamp) > 0:
		return clampRise + 6.1
	}
	return 3.2
}

// A rung is the lane of a further coil, under the others: from a joint of the
// lane, or from the supply line, to the lug of the coil above it.
type rung struct {
	*fitting.Branch
	row  row
	coil int // item of the coil
}

// column is where a rung starts: on the node's own lead, which goes down from the
// joint's box, or is the supply line at the knee.
func (b *driveBand) column(j *fitting.Joint) point {
	if b.knee(b.index(j)) {
		return at(b.x0+kneeAt, b.yl)
	}
	p := b.at[j]
	return at(p.X, p.Y+boxHigh/2)
}

// rungOf measures a rung; its last wire bears its capsule in the rise.
func (b *driveBand) rungOf(m *fitting.Branch) (rung, bool) {
	last := len(m.Items) - 1
	if last < 4 || m.Items[0].Wire == nil || m.Items[last].Wire == nil {
		b.fail("a further coil hangs on no wires")
		return rung{}, false
	}
	r := rung{Branch: m, row: rowOf(m.Items), coil: -1}
	for i, it := range m.Items {
		if it.Part != nil && it.Part.Kind == fitting.Coil {
			r.coil = i
		}
	}
	if r.coil < 1 {
		b.fail("a further coil's lane has no coil")
		return rung{}, false
	}
	w := r.row.width
	if len(m.Hold) > 0 {
		w[r.coil] = coilWithHold
	}
	w[last] = 4
	// What stands over the coil, and its words, keep off what comes down or goes up
	// beside it.
	p := m.Items[r.coil].Part
	wide := 2.2 + max(widest(scene.Bold, p.Ref), widest(scene.Regular, values(p)...))
	for _, parts := range [][]*fitting.Part{m.Clamp, m.Hold} {
		left, right := acrossWords(parts)
		wide = max(wide, left, right)
	}
	inside := func(from, to int) float64 {
		l := w[r.coil] / 2
		for _, v := range w[from:to] {
			l += v
		}
		return l
	}
	w[last] = max(w[last], wide+clear+capsuleWidth(m.Items[last].Wire)/2-inside(r.coil+1, last))
	w[0] = max(w[0], wide+clear+0.4-inside(1, r.coil))
	return r, true
}

// length is the least length of a rung.
func (r *rung) length() float64 {
	l := 0.0
	for _, w := range r.row.width {
		l += w
	}
	return l
}

// over is the height of a rung above its lane: the words of the lane above it,
// the clamp and what keeps the coil up.
func (r *rung) over() float64 { return underCoil + 4.5 + max(18, overCoil(r.Clamp, r.Hold)) }

// rungs draws the further coils, each on its own lane below.
func (b *driveBand) rungs() {
	y := b.yl
	bottom := map[*fitting.Joint]float64{} // of each column
	hung := b.More[:len(b.More)-b.loose]
	for n := range hung {
		m := &hung[n]
		r, ok := b.rungOf(m)
		if !ok {
			return
		}
		over, back := r.over(), underCoil
		if m.To == b.Jack.Tip { // the jack's words stand there
			over, back = over+jackWordsHigh, back+jackWordsHigh
		}
		y += over
		to, ok := b.at[m.To]
		if _, drawn := b.at[m.From]; !ok || !drawn {
			b.fail("a further coil starts or ends at a joint that is not drawn")
			return
		}
		last := len(m.Items) - 1
		start := b.column(m.From)
		if low, ok := bottom[m.From]; ok {
			b.dot(at(start.X, low), added)
			start.Y = low
		} else if b.knee(b.index(m.From)) {
			b.dot(start, added)
		}
		b.lead(b.nets.of(m.From), start, at(start.X, y))
		bottom[m.From] = y
		// Its last wire goes straight up to the lug above; from a longer lane it comes
		// back to the lug's column between the two lanes.
		end := to.X
		straight := r.length() <= to.X-start.X
		if !straight {
			end = max(start.X+r.length(), to.X+6) // a step that is seen as one
		}
		if end > b.x1-1 {
			b.fail("the lane of %s is %.1f mm too long", m.Items[r.coil].Part.Ref, end-b.x1+1)
			return
		}
		if err := r.row.fit(start.X, end); err != nil {
			b.fail("lane of a further coil: %v", err)
			return
		}
		inner := row{items: m.Items[1:last], width: r.row.width[1:last], mid: r.row.mid[1:last]}
		b.along(&inner, y, nil, 4.6, 7)
		b.coil(m.Items[r.coil].Part, at(r.row.mid[r.coil], y), m.Items[r.coil-1].Joint, m.Items[r.coil+1].Joint, m.Clamp, m.Hold)
		b.wire(m.Items[0].Wire, at(start.X, y), at(start.X+r.row.width[0], y))
		path := []point{at(end-r.row.width[last], y), at(end, y)}
		if !straight {
			level := y - over + back
			path = append(path, at(end, level), at(to.X, level))
		}
		b.wireAt(m.Items[last].Wire, 0.3, append(path, at(to.X, to.Y+boxHigh/2))...)
	}
	if len(hung) > 0 {
		b.end = max(b.end, y+20)
	}
	if b.fromBelow(b.Jack.Tip) {
		b.end = max(b.end, b.yl+34) // the jack's lug has its name under it
	}
	if b.loose > 0 {
		b.words(at(b.x1-1, b.end+2), scene.End, scene.Italic, small, "further coils: next drawing", "")
		b.end += pitch
	}
}

// looseHigh is the height of a further coil's lane that stands alone.
func looseHigh(m *fitting.Branch) float64 {
	return 4 + max(18, overCoil(m.Clamp, m.Hold)) + underCoil
}

// looseRung draws a rung on a drawing of its own under y, between copies of the
// boxes at its ends, and returns the level of its end.
func (d *drawing) looseRung(m *fitting.Branch, x0, x1, y float64) float64 {
	b := &driveBand{
		drawing: d, Drive: &fitting.Drive{Lane: []fitting.Item{{Joint: m.From}}}, x0: x0, x1: x1,
		coils: map[string]point{}, at: map[*fitting.Joint]point{},
	}
	r, ok := b.rungOf(m)
	if !ok {
		return y
	}
	last := len(m.Items) - 1
	r.row.width[last] = max(r.row.width[last], wireLength(m.Items[last].Wire))
	y += looseHigh(m) - underCoil
	c := m.Items[r.coil].Part
	wf, _ := copySize(m.From)
	wt, _ := copySize(m.To)
	left, right := x0+6+wf, x1-6-wt
	if err := r.row.fit(left, right); err != nil {
		b.fail("lane of a further coil: %v", err)
		return y
	}
	d.copyBox(m.From, at(left-wf/2, y), c.Ref)
	d.copyBox(m.To, at(right+wt/2, y), c.Ref)
	b.along(&row{items: m.Items, width: r.row.width, mid: r.row.mid}, y, m.From, 4.6, 7)
	b.coil(c, at(r.row.mid[r.coil], y), m.Items[r.coil-1].Joint, m.Items[r.coil+1].Joint, m.Clamp, m.Hold)
	d.coilStubs(b)
	return y + underCoil
}
