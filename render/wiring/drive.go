package wiring

import (
	"errors"
	"slices"
	"strings"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// band A, the drive: one lane from the source to the key line at yl, the chassis
// bus at yb, above them a lane at yu where a buffer or a raised tip needs it, and
// below them a lane for every further coil. A drive that is too long for one lane
// is two bands, fold.go: what makes the supply, and what it feeds.
type driveBand struct {
	*drawing
	*fitting.Drive
	x0, x1     float64
	yl, yb, yu float64
	row        row
	raised     bool                     // the tip stands on yu, for want of length
	loose      int                      // further coils, from the last, that stand on the next drawing
	portion    portion                  // of the drive, where it is folded
	end        float64                  // level under which the next band may begin
	coils      map[string]point         // underside of each relay's coil
	at         map[*fitting.Joint]point // centre of each box drawn
	wide       map[*fitting.Joint]float64
	order      []string // relays in the order their coils were drawn
}

const (
	laneDrop = 22.0 // lane to bus
	loadDrop = 13.0 // the same of a folded drive's lower lane: a capsule, the jack's words
	footWide = 6.0  // of a lug that is drawn as the sign of the chassis
	baseRise = 12.4 // lane to the base tag of an npn, close above its transistor
)

// leastPart is the least length of a part in a lane.
func leastPart(p *fitting.Part) float64 {
	w := map[fitting.PartKind]float64{
		fitting.Capacitor: 10.5, fitting.Electrolytic: 10.5, fitting.Diode: 10.5, fitting.Zener: 10.5,
		fitting.Bridge: 22, fitting.TransistorNPN: 17, fitting.TransistorPNP: 17,
	}[p.Kind]
	w = max(w, 10.5)
	switch p.Kind {
	case fitting.Resistor, fitting.Coil:
		w = 15
	case fitting.Fuse:
		w = 12.5 // its row has one element more than the others: short leads
	case fitting.Bridge:
		return 22
	}
	if p.Kind == fitting.Coil {
		return w // its words stand beside the link
	}
	return max(w, widest(scene.Regular, values(p)...)+1.6, widest(scene.Bold, p.Ref)+1.6)
}

// strip is the tag strip's name, from the words of its first tag: "TS901" of
// "TS901-3".
func strip(j *fitting.Joint) string {
	if j == nil || !j.Added {
		return ""
	}
	return strings.TrimSuffix(strings.TrimSuffix(j.Words, j.Label), "-")
}

// driveTop is the height above the lane that a drive needs: for flags, for what
// stands over the coil, for the upper lane and its jack.
func driveTop(dr *fitting.Drive, raised bool) float64 {
	top := max(23, overCoil(dr.Clamp, dr.Hold)+3.2)
	if dr.Buffer != nil || raised {
		top = max(top, 8+upperRise(dr))
	}
	if dr.Buffer != nil && dr.Buffer.Pull != nil {
		top = max(top, pullRise(dr)+8)
	}
	return top
}

// upperRise is the height of the upper lane over the lane. Over an npn it is
// higher: the base resistor stands between the two; from a pnp it passes over the
// coil.
func upperRise(dr *fitting.Drive) float64 {
	switch {
	case dr.Buffer != nil && dr.Buffer.Transistor.Kind == fitting.TransistorNPN:
		return 32
	case dr.Buffer != nil && len(dr.Hold) > 0:
		return overCoil(dr.Clamp, dr.Hold) + 7
	}
	return 24
}

// pullRise is the height over the lane of the resistor that feeds an npn's base
// from the supply: it passes over the coil.
func pullRise(dr *fitting.Drive) float64 { return max(26, overCoil(dr.Clamp, dr.Hold)+3) }

// drop is the height from the lane to the bus.
func drop(dr *fitting.Drive) float64 {
	if len(dr.Second) > 0 {
		return secondDrop(dr) + 14
	}
	return laneDrop
}

// secondDrop is the height from the lane to that of a tapped winding's other end:
// the winding's words stand between.
func secondDrop(dr *fitting.Drive) float64 {
	return 14 + pitch*max(0, float64(len(dr.Source.Words))-1)
}

func (b *driveBand) shunts(j *fitting.Joint) []*fitting.Part {
	var s []*fitting.Part
	for _, sh := range b.Shunts {
		if sh.At == j {
			s = append(s, sh.Part)
		}
	}
	return s
}

func (b *driveBand) index(j *fitting.Joint) int {
	return slices.IndexFunc(b.row.items, func(it fitting.Item) bool { return j != nil && it.Joint == j })
}

// foot reports whether the lane's item i is a lug at chassis, at either end of
// the lane: it is drawn as the sign of the chassis.
func (b *driveBand) foot(i int) bool {
	if i == 0 {
		return b.Source.Kind == fitting.Line && b.portion != load
	}
	return i == len(b.Lane)-1 && b.Buffer != nil && len(b.Buffer.CoilEnd) == 0
}

// upperEdge is where a lead leaves a joint of the lane upwards.
func (b *driveBand) upperEdge(j *fitting.Joint) point {
	p := b.at[j]
	if i := b.index(j); !b.knee(i) && !b.foot(i) {
		p.Y -= boxHigh / 2
	}
	return p
}

// shuntReach is the room to the right of a shunt's lead that its words take.
func shuntReach(p *fitting.Part) float64 {
	return 4.6 + max(widest(scene.Bold, p.Ref), widest(scene.Regular, values(p)...))
}

// newDriveBand puts the lanes of a drive, or of a portion of one, under a level;
// raised stands the tip on the upper lane.
func newDriveBand(d *drawing, dr *fitting.Drive, x0, x1, top float64, p portion, raised bool) *driveBand {
	b := &driveBand{
		drawing: d, Drive: dr, x0: x0, x1: x1, raised: raised, portion: p,
		coils: map[string]point{}, at: map[*fitting.Joint]point{}, wide: map[*fitting.Joint]float64{},
	}
	b.yl = top + driveTop(dr, raised)
	b.yb = b.yl + drop(dr)
	if p == load && b.onUpper() {
		b.yb = b.yl + loadDrop // no shunt hangs there
	}
	b.yu = b.yl - upperRise(dr)
	b.end = b.yb + 8.5
	if j := dr.Source.Return; j != nil && p != load {
		_, h := boxSize(j)
		b.end += (h - boxHigh) / 2 // its chassis sign stands lower
	}
	if p == supply {
		b.end += foldGap - 8.5
		if dr.Bus == nil {
			b.end = b.yl + 18 // only words under the lane
		}
	}
	return b
}

// canRaise reports whether the tip may stand above the lane: it ends the lane
// and hangs on a wire.
func canRaise(d *fitting.Drive) bool {
	n := len(d.Lane)
	if slices.ContainsFunc(d.More, func(m fitting.Branch) bool { return m.To == d.Jack.Tip }) {
		return false
	}
	return d.Buffer == nil && n > 3 && d.Jack.Tip != nil && d.Lane[n-1].Joint == d.Jack.Tip && d.Lane[n-2].Wire != nil
}

// draw draws a drive that fits.
func (b *driveBand) draw() error {
	b.source()
	for i, it := range b.row.items {
		switch {
		case b.knee(i):
			// drawn by the supply line
		case it.Joint != nil:
			b.joint(i)
		case it.Wire != nil:
			l, r := b.edges(i)
			if i == 1 && b.foot(0) {
				x := b.row.mid[0]
				b.wire(it.Wire, at(x, b.yl+5), at(x, b.yl), at(r, b.yl))
				continue
			}
			b.wire(it.Wire, at(l, b.yl), at(r, b.yl))
		case it.Part != nil:
			b.part(i)
		}
	}
	b.bus()
	b.secondLane()
	b.buffer()
	b.rungs()
	b.jack()
	return b.fault
}

// fit measures everything that hangs on the lane and places its boxes.
func (b *driveBand) fit() error {
	if len(b.Lane) == 0 || b.Lane[0].Joint == nil {
		return errors.New("the drive has no lane")
	}
	b.row = row{items: b.Lane}
	last := b.Lane[len(b.Lane)-1].Joint
	right := b.x1 - 14
	switch {
	case b.portion == supply:
		right = b.x1 - b.lineAside(last)
	case last != b.Jack.Tip || b.Jack.Tip == nil: // a buffer: what hangs from the last tag keeps off the jack
		w, _ := boxSize(last)
		lug := last
		if n := len(b.Buffer.CoilEnd); n > 0 {
			lug = b.Buffer.CoilEnd[n-1].Joint
		} else {
			w = footWide
		}
		aside := widest(scene.Bold, lug.Label) + 4.2 - w/2
		if n := len(b.Buffer.CoilEnd); n > 1 && b.Buffer.CoilEnd[1].Wire != nil && b.fromBelow(last) {
			aside += w/2 + wireLength(b.Buffer.CoilEnd[1].Wire) + 1
		}
		right = min(right, b.jackLeft()-1-aside)
	case b.raised:
		b.row.items = b.Lane[:len(b.Lane)-2]
		w, _ := boxSize(b.Jack.Tip)
		// The wire turns up under the tip's centre, two millimetres from the box.
		right = b.tipRight() - w/2 - 2
	}
	r := &b.row
	r.width = make([]float64, len(r.items))
	if n := len(b.Second); n > 0 {
		// The + tag is wide enough for the second diode's lead and the reservoir's.
		plus := b.Second[n-1].Joint
		reach := 16.0
		if d := b.Second[n-2].Part; d != nil {
			reach = max(reach, shuntReach(d)+clear+4)
		}
		w, _ := boxSize(plus)
		b.wide[plus] = w + reach
	}
	add := func(i int, x0, x1, y0, y1 float64) { r.labels = append(r.labels, label{i, x0, x1, y0, y1}) }
	for i, it := range r.items {
		switch {
		case it.Joint != nil:
			b.measureJoint(i, it.Joint, add)
		case it.Wire != nil:
			r.width[i] = wireLength(it.Wire)
			if i == 1 && b.foot(0) {
				r.width[i] += 1
			}
		case it.Part != nil:
			b.measurePart(i, it.Part, add)
		}
	}
	// Two shunts stand at least 16 apart; the return's wire needs its length too.
	lastShunt := -1
	for i, it := range r.items {
		if it.Joint != nil && len(b.shunts(it.Joint)) > 0 {
			if lastShunt >= 0 {
				r.apart = append(r.apart, apart{lastShunt, i, 16})
			}
			lastShunt = i
		}
	}
	if i := b.busItem(); i > 0 && len(b.Return) > 2 {
		need := 0.0
		for _, it := range b.Return {
			need += least(it)
			if it.Joint == b.Source.Return || it.Joint == b.Return[len(b.Return)-1].Joint {
				need -= least(it) / 2
			}
		}
		// Both rows start at the same left edge.
		lw, _ := boxSize(r.items[0].Joint)
		rw, _ := boxSize(b.Source.Return)
		r.apart = append(r.apart, apart{0, i, need + (rw-lw)/2 - b.busShift(r.items[i].Joint)})
	}
	// What belongs to the jack stands still on the right.
	wall := func(x, y0, y1 float64) { r.labels = append(r.labels, label{len(r.items), x, b.x1, y0, y1}) }
	if b.jackOverLane() {
		if b.Jack.Ground != nil {
			wall(b.jackX()-4.2-widest(scene.Bold, b.Jack.Ground.To.Label), b.yu+23, b.yu+26)
		}
		if f := b.flagOfTip(); f != nil {
			fw, fh := flagSize(f)
			wall(b.tipFlagX()-fw/2, b.yu+7.4, b.yu+7.4+fh)
		}
	}
	if b.raised {
		x, y := b.jackWordsAt()
		wall(x-b.jackWidth()/2, y-2.2, y+pitch*float64(len(b.jackWords()))+0.6)
		// The capsule of the wire to the tip keeps off the coil's clamp.
		up := b.Lane[len(b.Lane)-2].Wire
		tw, _ := boxSize(b.Jack.Tip)
		wall(b.tipRight()-tw/2-capsuleWidth(up)/2, b.yl-11, b.yl-3)
		if b.Jack.Ground != nil {
			wall(b.jackX()-widest(scene.Bold, b.Jack.Ground.To.Label)/2, b.yu+26, b.yu+29.4)
		}
		if f := b.flagOfTip(); f != nil {
			fw, fh := flagSize(f)
			wall(b.tipRight()-tw-6.2-fw, b.yu-fh/2, b.yu+fh/2)
		}
	}
	return r.fit(b.left(), right)
}

// left is where the lane begins.
func (b *driveBand) left() float64 {
	if b.portion == load {
		return b.x0 + kneeAt
	}
	return b.x0 + 10
}

// busItem is the lane's item over which the return's last joint stands.
func (b *driveBand) busItem() int {
	r := &b.row
	for i, it := range r.items {
		if it.Part != nil && it.Part.Kind == fitting.Bridge {
			return i - 1
		}
	}
	for _, s := range b.Shunts {
		if i := b.index(s.At); i >= 0 {
			return i
		}
	}
	if len(r.items) > 2 {
		return 2
	}
	return 0
}

// busShift is how far right of its joint a shunt hangs: at the right end of a
// wide tag, else in the middle.
func (b *driveBand) busShift(j *fitting.Joint) float64 {
	w, ok := b.wide[j]
	if !ok {
		return 0
	}
	own, _ := boxSize(j)
	return (w - own) / 2
}

func (b *driveBand) measureJoint(i int, j *fitting.Joint, add func(int, float64, float64, float64, float64)) {
	w, h := boxSize(j)
	if v, ok := b.wide[j]; ok {
		w = v
	}
	if b.knee(i) {
		b.row.width[i] = b.kneeWidth()
		return
	}
	if b.foot(i) {
		w = footWide
		b.row.width[i] = w
		add(i, -4, 4.2+widest(scene.Bold, j.Label), b.yl+4, b.yl+8)
		if i > 0 && b.Buffer.BaseEmitter != nil {
			add(i, -0.4, 0.4, b.yl-baseRise, b.yl)
		}
		return
	}
	b.row.width[i] = w
	add(i, -w/2, w/2, b.yl-h/2, b.yl+h/2)
	if j.Flag != nil && j != b.Jack.Tip {
		fw, fh := flagSize(j.Flag)
		s := b.flagShift(j)
		add(i, s-fw/2, s+fw/2, b.yl-11.9-fh, b.yl-11.9)
		add(i, -1, 1, b.yl-11.9, b.yl-2.4)
	}
	if j.Flag != nil && j == b.Jack.Tip && b.Buffer == nil {
		fw, fh := flagSize(j.Flag)
		add(i, -fw/2, fw/2, b.yl-11.9-fh, b.yl-11.9)
	}
	for _, p := range b.shunts(j) {
		s := b.busShift(j)
		switch p.Kind {
		case fitting.Capacitor, fitting.Electrolytic:
			add(i, s-3.5, s+3.5, b.yl+9.2, b.yl+11.2)
			add(i, s-3.6, s-1.6, b.yl+6.6, b.yl+8.6) // the plus
		default:
			add(i, s-2.5, s+2.5, b.yl+10.2-half(p.Kind), b.yl+10.2+half(p.Kind))
		}
		add(i, s-0.4, s+0.4, b.yl+2.2, b.yb)
		y := b.yl + 10.2 + 3.2 - 2.2
		n := float64(len(values(p)))
		add(i, s+4.4, s+shuntReach(p), y, y+2.8+n*pitch)
	}
	if i == b.stripItem() {
		add(i, w/2-widest(scene.Bold, strip(j)), w/2, b.yl+3.9, b.yl+6.6)
	}
	if b.Buffer != nil && len(b.Buffer.CoilEnd) > 1 && b.Buffer.CoilEnd[0].Joint == j {
		cw := 5.0
		if w := b.Buffer.CoilEnd[1].Wire; w != nil {
			cw = capsuleWidth(w)
		}
		m := (b.yl + b.yb + 6.7) / 2
		add(i, -0.4, 0.4, b.yl+2.2, b.yb+4.5)
		add(i, -cw/2, cw/2, m-capHigh/2, m+capHigh/2)
	}
	if bf := b.Buffer; bf != nil && bf.BaseEmitter != nil && bf.Transistor.Kind == fitting.TransistorPNP && b.emitter() == j {
		m := (b.yl + b.yu) / 2
		add(i, -2.4-upright(bf.BaseEmitter), -2.4, m-2.4, m+pitch*float64(len(stacked(bf.BaseEmitter)))+0.4)
		add(i, -1.8, 1.8, m-5, m+5)
		add(i, -0.4, 0.4, b.yu, b.yl-2.2)
	}
}

// upright is the width of the words beside an upright part.
func upright(p *fitting.Part) float64 {
	return max(widest(scene.Bold, p.Ref), widest(scene.Regular, stacked(p)...))
}

func (b *driveBand) beside(p *fitting.Part) float64 {
	return max(widest(scene.Bold, p.Ref), widest(scene.Regular, values(p)...))
}

// flagShift moves a flag to the left where a lead rises from its joint.
func (b *driveBand) flagShift(j *fitting.Joint) float64 {
	rises := b.Buffer != nil && b.Buffer.PullFrom == j
	for _, m := range b.More {
		rises = rises || m.From == j || m.To == j
	}
	if !rises {
		return 0
	}
	w, _ := flagSize(j.Flag)
	return -w/2 - 0.4
}

// riserOff is how far right of its joint's middle a lead rises past a flag, and
// how far left the flag's needle then stands.
const riserOff = 1.6

func (b *driveBand) measurePart(i int, p *fitting.Part, add func(int, float64, float64, float64, float64)) {
	b.row.width[i] = leastPart(p)
	textRow := func(dx0, w, base float64) { add(i, dx0, dx0+w, base-0.74*small, base+0.21*small) }
	switch p.Kind {
	case fitting.Bridge:
		return
	case fitting.Coil:
		if len(b.Hold) > 0 {
			b.row.width[i] = coilWithHold
		}
		words := append([]string{p.Ref}, values(p)...)
		for k, v := range words {
			font := scene.Regular
			if k == 0 {
				font = scene.Bold
			}
			w := widest(font, v)
			dx := 2.2
			if b.fromBelow(b.row.items[i+1].Joint) {
				dx = -2.2 - w
			}
			textRow(dx, w, b.yl+7+pitch*float64(k))
		}
		reach := b.row.width[i]/2 + 2.9
		add(i, -reach-0.4, reach+0.4, b.yl-12.6, b.yl-2.2)
		if l, r := acrossWords(b.Clamp); l+r > 0 {
			y := b.yl - clampRise - 4
			add(i, -l, r, y-pitch*float64(len(b.Clamp)-1)-0.74*small, y+0.21*small)
		}
		if l, r := acrossWords(b.Hold); l+r > 0 {
			y := b.yl - holdRise - 4.6
			add(i, -max(l, reach), max(r, reach), y-pitch-0.74*small, y+3)
		}
		return
	}
	w := widest(scene.Bold, p.Ref)
	base, x := b.yl-4.6, 0.0
	if p.Kind == fitting.TransistorNPN || p.Kind == fitting.TransistorPNP {
		base = b.yl + 7
		b.row.width[i] += b.besideBase()
		x = -b.besideBase() / 2
		add(i, x-5.5, x+5.5, b.yl-8, b.yl-2.2)
		if p.Kind == fitting.TransistorNPN {
			reach := widest(scene.Bold, p.Ref)
			if len(b.Buffer.Upper) > 1 && b.Buffer.Upper[1].Part != nil {
				reach = b.beside(b.Buffer.Upper[1].Part)
			}
			add(i, x-2.7, x+2.7, b.yl-baseRise-2.2, b.yl-baseRise+2.2)
			add(i, x-2.4-reach-3, x+1.8, b.yu+2.2, b.yl-baseRise-2.2)
			if p := b.Buffer.BaseEmitter; p != nil {
				add(i, x+3, x+max(14, 3.2+b.beside(p)), b.yl-baseRise-10, b.yl-baseRise+2)
			}
		}
	}
	textRow(x-w/2, w, base)
	for k, v := range b.under(p) {
		w := widest(scene.Regular, v)
		textRow(x-w/2, w, b.valueLine(p, k))
	}
}

// besideBase is the length that a base–emitter resistor adds to the right of an
// npn: it lies between the base tag and the emitter's lead.
func (b *driveBand) besideBase() float64 {
	if b.Buffer == nil || b.Buffer.BaseEmitter == nil || b.Buffer.Transistor.Kind != fitting.TransistorNPN {
		return 0
	}
	return 4.5
}

// under are the words below a part in the lane.
func (b *driveBand) under(p *fitting.Part) []string {
	kind := map[fitting.PartKind]string{fitting.TransistorNPN: "npn", fitting.TransistorPNP: "pnp"}[p.Kind]
	if kind == "" || p.Value != "" {
		return values(p)
	}
	return append([]string{kind}, values(p)...)
}

func (b *driveBand) valueLine(p *fitting.Part, k int) float64 {
	first := 7.0
	if p.Kind == fitting.TransistorNPN || p.Kind == fitting.TransistorPNP {
		first += pitch
	}
	return b.yl + first + pitch*float64(k)
}

// acrossWords are the lengths of the words over one or two parts across a coil,
// left and right of the middle.
func acrossWords(parts []*fitting.Part) (l, r float64) {
	beside := func(p *fitting.Part) float64 {
		return max(widest(scene.Bold, p.Ref), widest(scene.Regular, strings.Join(values(p), "  ")))
	}
	switch len(parts) {
	case 0:
		return 0, 0
	case 1:
		w := widest(scene.Bold, parts[0].Ref) + 1.5 + widest(scene.Regular, parts[0].Value)
		return w / 2, w / 2
	}
	return beside(parts[0]) + 0.8, beside(parts[1]) + 0.8
}

// edges are the ends of an element between its two boxes.
func (b *driveBand) edges(i int) (l, r float64) {
	return b.row.mid[i] - b.row.width[i]/2, b.row.mid[i] + b.row.width[i]/2
}

// stripItem is the first tag of the strip, which bears its name.
func (b *driveBand) stripItem() int {
	s := strip(b.Bus)
	return slices.IndexFunc(b.row.items, func(it fitting.Item) bool {
		if it.Joint == nil || !it.Joint.Added {
			return false
		}
		n := strip(it.Joint)
		return n != "" && (n == s || s == "" && strings.HasPrefix(n, "TS"))
	})
}

func (b *driveBand) joint(i int) {
	j := b.row.items[i].Joint
	c := at(b.row.mid[i], b.yl)
	b.at[j] = c
	if b.foot(i) {
		if i > 0 {
			b.lead(b.nets.of(j), at(c.X-b.row.width[i]/2, b.yl), c, at(c.X, b.yl+5))
		}
		b.chassis(at(c.X, b.yl+5), added, b.nets.of(j), j.ID)
		b.words(at(c.X+4.2, b.yl+7.2), scene.Start, scene.Bold, small, j.Label, "")
		return
	}
	r := b.wideBox(j, c, b.row.width[i])
	if j.Flag != nil && !(j == b.Jack.Tip && b.Buffer != nil) {
		tip := at(c.X, r.Y-0.2)
		s := b.flagShift(j)
		if s != 0 {
			tip.X -= riserOff
			s += riserOff
		}
		b.flag(j.Flag, tip, above, s, b.nets.of(j), j.ID)
	}
	if i == b.stripItem() {
		x := r.Right()
		if len(b.shunts(j)) > 0 {
			x = c.X - 4.5
		}
		b.words(at(x, b.yl+6), scene.End, scene.Bold, small, strip(j), "")
	}
}

func (b *driveBand) part(i int) {
	p := b.row.items[i].Part
	l, r := b.edges(i)
	c := b.row.mid[i]
	lj, rj := b.row.items[i-1].Joint, b.row.items[i+1].Joint
	switch p.Kind {
	case fitting.Bridge:
		b.bridge(p, l, r, lj, rj)
		return
	case fitting.TransistorNPN, fitting.TransistorPNP:
		b.transistor(p, c-b.besideBase()/2, l, r, lj, rj)
		return
	}
	b.inline(p, c, b.yl, l, r, lj, rj)
	if p.Kind == fitting.Coil {
		b.coil(p, at(c, b.yl), lj, rj, b.Clamp, b.Hold)
		return
	}
	b.words(at(c, b.yl-4.6), scene.Middle, scene.Bold, small, p.Ref, "")
	for k, v := range b.under(p) {
		b.words(at(c, b.valueLine(p, k)), scene.Middle, scene.Regular, small, v, "")
	}
}

// turned reports whether a part's first joint is the right or lower one.
func turned(p *fitting.Part, first, second *fitting.Joint) bool {
	if len(p.Joints) < 2 {
		return false
	}
	return p.Joints[0] != nil && p.Joints[0] == second || p.Joints[1] != nil && p.Joints[1] == first
}

// bridge draws the block of four diodes over both lanes: a.c. on the left, plus
// and minus on the right.
func (b *driveBand) bridge(p *fitting.Part, l, r float64, lj, rj *fitting.Joint) {
	const wide, over = 16, 3.8
	c := (l + r) / 2
	x := c - wide/2.0
	block := scene.Rect{X: x, Y: b.yl - over, W: wide, H: b.yb - b.yl + 2*over}
	b.lead(b.nets.of(lj), at(l, b.yl), at(x, b.yl))
	b.lead(b.nets.of(rj), at(x+wide, b.yl), at(r, b.yl))
	if j := b.returnEnd(); j != nil {
		b.lead(b.nets.of(j), at(b.row.mid[b.index(lj)]+b.width(j)/2, b.yb), at(x, b.yb))
	}
	if b.Bus != nil {
		b.lead(b.nets.of(b.Bus), at(x+wide, b.yb), at(b.row.mid[b.index(rj)]-b.width(b.Bus)/2, b.yb))
	}
	b.add(block, added, scene.White, scene.Tag{Class: scene.Body, Owner: p.Ref, Nets: b.nets.ofAll(p.Joints)})
	for _, s := range []struct {
		x, y float64
		sign string
	}{{x + 1, b.yl + 1, "~"}, {x + wide - 3.2, b.yl + 1, "+"}, {x + 1, b.yb + 1, "~"}, {x + wide - 3.2, b.yb + 1, "−"}} {
		b.words(at(s.x, s.y), scene.Start, scene.Bold, scene.Points(10), s.sign, p.Ref)
	}
	// The diamond of IEC 60617 with one diode for the four.
	m := at(c, b.yl+15.5)
	const d = 5.5
	b.mark(scene.Polygon(at(m.X, m.Y-d), at(m.X+d, m.Y), at(m.X, m.Y+d), at(m.X-d, m.Y)), medium, scene.None)
	b.mark(scene.Polyline(at(m.X-d, m.Y), at(m.X+d, m.Y)), medium, scene.None)
	b.mark(scene.Polygon(at(m.X-2.2, m.Y-2.5), at(m.X-2.2, m.Y+2.5), at(m.X+2.2, m.Y)), scene.Pen{Ink: scene.Black, Width: 0.5, Round: true}, scene.Black)
	b.mark(scene.Polyline(at(m.X+2.2, m.Y-2.5), at(m.X+2.2, m.Y+2.5)), added, scene.None)
	lines := append([]string{p.Ref}, values(p)...)
	for i, t := range lines {
		font := scene.Regular
		if i == 0 {
			font = scene.Bold
		}
		b.words(at(c, b.yl+4.8+pitch*float64(i)), scene.Middle, font, small, t, p.Ref)
	}
}

func (b *driveBand) width(j *fitting.Joint) float64 {
	w, _ := boxSize(j)
	return w
}

// returnEnd is the last joint of the return, where that is not the bus.
func (b *driveBand) returnEnd() *fitting.Joint {
	if n := len(b.Return); n > 0 && b.Return[n-1].Joint != b.Bus {
		return b.Return[n-1].Joint
	}
	return nil
}

// emitter is the joint at the emitter of the buffer.
func (b *driveBand) emitter() *fitting.Joint {
	if b.Buffer == nil || len(b.Buffer.Transistor.Joints) < 3 {
		return nil
	}
	return b.Buffer.Transistor.Joints[2]
}

// transistor draws the buffer's transistor with its base up: the circle stands
// 2.2 above the lane, so that emitter and collector reach the lane's line.
func (b *driveBand) transistor(p *fitting.Part, x, l, r float64, lj, rj *fitting.Joint) {
	y := b.yl
	b.lead(b.nets.of(lj), at(l, y), at(x-5.4, y))
	b.lead(b.nets.of(rj), at(x+5.4, y), at(r, y))
	b.mark(scene.Circle{Centre: at(x, y-2.2), Radius: 5.4}, medium, scene.White)
	b.keepOut(scene.Rect{X: x - 5.4, Y: y - 7.6, W: 10.8, H: 8.4}, p.Ref, b.nets.ofAll(p.Joints)...)
	b.mark(scene.Polyline(at(x-3.8, y-4), at(x+3.8, y-4)), scene.Pen{Ink: scene.Black, Width: 0.9}, scene.None)
	b.mark(scene.Polyline(at(x-5.4, y), at(x-4.6, y), at(x-1.6, y-4)), added, scene.None)
	b.mark(scene.Polyline(at(x+5.4, y), at(x+4.6, y), at(x+1.6, y-4)), added, scene.None)
	b.mark(scene.Polyline(at(x, y-4), at(x, y-7.6)), added, scene.None)
	// The arrow lies on the emitter's leg: towards the base in a pnp, away from it
	// in an npn.
	s := -1.0
	if b.emitter() == rj {
		s = 1
	}
	on := func(t, off float64) point { // t along the leg from the bar, off to its side
		const lx, ly = 0.6, 0.8 // unit vector of the leg
		return at(x+s*(1.6+t*lx+off*ly), y-4+t*ly-off*lx)
	}
	if p.Kind == fitting.TransistorPNP {
		b.mark(scene.Polygon(on(0.6, 0), on(3, 1), on(3, -1)), scene.Pen{}, scene.Black)
	} else {
		b.mark(scene.Polygon(on(4, 0), on(1.6, 1), on(1.6, -1)), scene.Pen{}, scene.Black)
	}
	b.words(at(x, y+7), scene.Middle, scene.Bold, small, p.Ref, "")
	for k, v := range b.under(p) {
		b.words(at(x, b.valueLine(p, k)), scene.Middle, scene.Regular, small, v, "")
	}
}
