package fitting

import (
	"fmt"
	"slices"

	"mutewright/design/known"
	"mutewright/design/quantity"
)

// strip gives out the tags of the added tag strip.
type strip struct {
	ref  string
	tags int
}

// tag makes the joint of the next tag: "TS901-1".
func (s *strip) tag() *Joint {
	s.tags++
	return s.named(fmt.Sprint(s.tags))
}

// newStrip begins the added tag strip.
func (b *builder) newStrip() *strip {
	b.strip = strip{ref: b.ref("TS")}
	return &b.strip
}

func (s *strip) named(label string) *Joint {
	id := s.ref + "-" + label
	return &Joint{ID: id, Label: label, Words: id, Added: true}
}

// inSet makes the joint of a place in the set, in the plan's words.
func inSet(name string) *Joint { return &Joint{ID: name, Label: name, Words: name} }

// lane builds Drive.Lane from left to right.
type lane struct{ items []Item }

func (l *lane) joint(j *Joint) *Joint { l.items = append(l.items, Item{Joint: j}); return j }
func (l *lane) wire(w *Wire)          { l.items = append(l.items, Item{Wire: w}) }
func (l *lane) part(p *Part)          { l.items = append(l.items, Item{Part: p}) }

// last is the joint at which the lane ends.
func (l *lane) last() *Joint { return l.items[len(l.items)-1].Joint }

// to goes on from the last joint through an element to the next.
func (l *lane) through(p *Part, next *Joint) *Joint {
	p.Joints = append(p.Joints, l.last(), next)
	l.part(p)
	return l.joint(next)
}

func (l *lane) along(w *Wire, next *Joint) *Joint {
	w.From, w.To = l.last(), next
	l.wire(w)
	return l.joint(next)
}

// wiring fills in the diagram.
func (b *builder) wiring() {
	b.w.Drive = b.drive()
	b.groups()
	b.guards()
	b.terminals()
	b.w.Drive.Jack.Contacts, b.w.Drive.Jack.States = b.states()
	b.w.Spare = b.spareLugs()
	b.w.Released = "on receive, and with the set off"
	if len(b.f.Relays) > 0 && b.f.Relays[0].OnReceive {
		b.w.Released = "muted, and with the set off"
	}
}

// drive builds the band from the source to the key line.
func (b *builder) drive() Drive {
	r := &b.f.Relays[0]
	d := Drive{}
	b.coils = make([]coil, len(b.f.Relays))
	for i := range b.coils {
		b.coils[i] = b.coil(i)
	}
	d.Jack = b.jack(r)
	if r.Supply < 0 {
		b.lineDrive(&d, r)
		return d
	}
	s := &b.f.Supplies[r.Supply]
	ts := b.newStrip()
	l := &lane{}
	d.Source = b.source(s)
	l.joint(d.Source.Live)
	colour, carries := "GY", "drive.winding.current"
	if s.Rail {
		colour, carries = "RD", "drive.coil.current"
	}
	if r.Fuse.Exists() {
		// An in-line holder sits in the wire itself, at its live end: one wire of
		// the table, with the fuse in its run.
		ref := b.ref("F")
		l.through(&Part{Ref: ref, Kind: Fuse, Value: b.text(r.Fuse)},
			&Joint{ID: ref, Words: d.Source.Live.Words + " through " + ref, Added: true, Along: true})
	}
	lead := b.wire(nil, nil, colour, heavy, carries)
	plain := s.Rail && !r.Dropper.Exists() && !r.Reservoir.Exists() && r.Buffer == "none" && len(b.f.Relays) == 1
	var plus *Joint
	if !plain {
		l.along(lead, ts.tag())
		if !s.Rail || r.Reservoir.Exists() {
			d.Bus = ts.named("0")
		}
		plus = b.rectify(&d, l, ts, r, s)
		plus.Flag = b.onOff(r, "drive.supply")
		if r.Dropper.Exists() && r.Buffer != "pnp" {
			feed := l.through(b.dropper(0), ts.tag())
			if r.Buffer == "none" {
				feed.Flag = b.coilFlag(r)
			}
		}
	}
	c := &b.coils[0]
	switch {
	case plain:
		l.along(lead, c.a1)
		l.through(c.part, c.a2)
		l.along(b.wire(nil, nil, "YE", light, "control.closed"), d.Jack.Tip)
	case r.Buffer == "pnp":
		b.pnp(&d, l, ts, r)
	case r.Buffer == "npn":
		b.npn(&d, l, ts, r, plus)
	default:
		l.along(b.wire(nil, nil, "VT", light, "drive.coil.current"), c.a1)
		l.through(c.part, c.a2)
		l.along(b.wire(nil, nil, "YE", light, "control.closed"), d.Jack.Tip)
	}
	d.Lane = l.items
	b.moreCoils(&d, ts)
	if open := b.onOff(r, "control.open"); open != nil {
		d.Jack.Tip.Flag = b.tipFlag(r)
	}
	return d
}

// A coil is a relay's coil with what stands across it.
type coil struct {
	a1, a2 *Joint
	part   *Part
	clamp  []*Part
	hold   []*Part

	dropper *Part
}

func (b *builder) coil(i int) coil {
	r, k := &b.f.Relays[i], b.relayRef(i)
	c := coil{a1: b.coilLug(i, 0, "A1"), a2: b.coilLug(i, 1, "A2")}
	c.part = &Part{Ref: k, Kind: Coil, Value: words(b.text(r.Coil.Rated), b.text(r.Coil.Ohms)), Joints: []*Joint{c.a1, c.a2}}
	return c
}

// across gives the parts across a coil their references, in the order of the lane.
func (b *builder) across(i int) {
	r, c := &b.f.Relays[i], &b.coils[i]
	c.clamp = b.clamp(i, r, c.a1, c.a2)
	c.hold = b.hold(i, r, c.a1, c.a2)
}

// coilLug is a lug of a coil; its pin stands behind it where it is known.
func (b *builder) coilLug(i, end int, label string) *Joint {
	id := b.relayRef(i) + " coil " + label
	j := &Joint{ID: id, Label: label, Words: id, Added: true}
	if pins := b.f.Relays[i].Pins.Coil; end < len(pins) && pins[end] != "" {
		j.Words += " (pin " + pins[end] + ")"
	}
	return j
}

// source draws the supply with its places.
func (b *builder) source(s *known.Supply) Source {
	live := inSet(s.Live)
	src := Source{Name: s.Name, Live: live}
	volts := b.text(s.Volts)
	if s.Rail {
		src.Kind = Rail
		src.Words = []string{volts + " DC rail"}
		e := b.f.Box.Entry(s.Volts)
		v := Level{Low: e.Low, Nominal: e.Nominal, High: e.High}
		live.Flag = &Flag{Receive: v, Muted: v}
		return src
	}
	e := b.f.Box.Entry(s.Volts)
	v := Level{Low: e.Low, Nominal: e.Nominal, High: e.High, Alternating: true}
	live.Flag = &Flag{Receive: v, Muted: v}
	src.Words = []string{volts + " rms", groundWords[s.Grounded]}
	switch {
	case s.Tap != "":
		src.Kind = Tapped
		src.Return, src.Other = inSet(s.Tap), inSet(s.Other)
		if s.Grounded == "centre tap" {
			src.Grounded = src.Return
		}
	default:
		src.Return = inSet(s.Other)
		if s.Grounded == "one side" {
			src.Grounded = src.Return
		}
	}
	return src
}

var groundWords = map[string]string{
	"one side": "one side grounded", "centre tap": "tap grounded",
	"hum pot": "hum pot", "floating": "floating",
}

// rectify adds the rectifier and its reservoirs and returns the plus joint.
func (b *builder) rectify(d *Drive, l *lane, ts *strip, r *known.Relay, s *known.Supply) *Joint {
	reservoir := func(plus, minus *Joint) *Part {
		return &Part{
			Ref: b.ref("C"), Kind: Electrolytic, Value: b.text(r.Reservoir), Rating: b.reservoirRating(r),
			Joints: []*Joint{plus, minus},
		}
	}
	diode := func(anode, cathode *Joint) *Part {
		return &Part{Ref: b.ref("D"), Kind: Diode, Value: diodeClass, Joints: []*Joint{anode, cathode}}
	}
	back := func(to *Joint) {
		rl := &lane{}
		rl.joint(d.Source.Return)
		rl.along(b.wire(nil, nil, "BK", heavy, "drive.winding.current"), to)
		d.Return = rl.items
	}
	in := l.last()
	shunt := func(at *Joint, p *Part) { d.Shunts = append(d.Shunts, Shunt{At: at, Part: p}) }
	switch r.Rectifier {
	case "half-wave":
		plus := ts.tag()
		l.part(diode(in, plus))
		l.joint(plus)
		shunt(plus, reservoir(plus, d.Bus))
		back(d.Bus)
		return plus
	case "full-wave":
		plus := ts.tag()
		l.part(diode(in, plus))
		l.joint(plus)
		other := ts.tag()
		second := &lane{}
		second.joint(d.Source.Other)
		second.along(b.wire(nil, nil, "GY", heavy, "drive.winding.current"), other)
		second.part(diode(other, plus))
		second.joint(plus)
		d.Second = second.items
		shunt(plus, reservoir(plus, d.Bus))
		back(d.Bus)
		return plus
	case "bridge":
		other, plus := ts.tag(), ts.tag()
		first := b.ref("D")
		for range 3 {
			b.ref("D")
		}
		name := fmt.Sprintf("%s–%d", first, b.series+b.used["D"])
		l.part(&Part{Ref: name, Kind: Bridge, Value: diodeClass, Joints: []*Joint{in, other, plus, d.Bus}})
		l.joint(plus)
		shunt(plus, reservoir(plus, d.Bus))
		rl := &lane{}
		rl.joint(d.Source.Return)
		rl.along(b.wire(nil, nil, "GY", heavy, "drive.winding.current"), other)
		d.Return = rl.items
		return plus
	case "none":
		if r.Reservoir.Exists() {
			shunt(in, reservoir(in, d.Bus))
		}
	case "doubler":
		middle, plus := ts.tag(), ts.tag()
		l.part(reservoir(middle, in))
		l.joint(middle)
		low := diode(d.Bus, middle)
		l.part(diode(middle, plus))
		l.joint(plus)
		shunt(middle, low)
		shunt(plus, reservoir(plus, d.Bus))
		back(d.Bus)
		return plus
	}
	return in
}

// diodeClass is the rectifier diode that is asked for.
const diodeClass = "1N4007"

// onOff is a quantity with the relay released and operated as the set's two states.
func (b *builder) onOff(r *known.Relay, stem string) *Flag {
	released, ok := b.level(stem + ".released")
	operated, ok2 := b.level(stem + ".operated")
	if !ok || !ok2 {
		if open, ok := b.level(stem); ok {
			return &Flag{Receive: open}
		}
		return nil
	}
	if r.OnReceive {
		return &Flag{Receive: operated, Muted: released}
	}
	return &Flag{Receive: released, Muted: operated}
}

// coilFlag is the coil's supply side to chassis: the whole supply while it is
// released, the coil's own volts and the line's drop while it is operated.
func (b *builder) coilFlag(r *known.Relay) *Flag {
	released, ok := b.level("drive.supply.released")
	coil, ok2 := b.level("drive.coil.voltage")
	if !ok || !ok2 {
		return nil
	}
	drop := b.number(b.f.Transmitter.Drop)
	operated := Level{Low: coil.Low + drop, Nominal: coil.Nominal + drop, High: coil.High + drop}
	if r.OnReceive {
		return &Flag{Receive: operated, Muted: released}
	}
	return &Flag{Receive: released, Muted: operated}
}

// tipFlag is the key line in the set's two states.
func (b *builder) tipFlag(r *known.Relay) *Flag {
	open, ok := b.level("control.open")
	if !ok {
		return nil
	}
	var closed Level
	if drop := b.f.Transmitter.Drop; drop.Exists() {
		e := b.f.Box.Entry(drop)
		closed = Level{Low: e.Low, Nominal: e.Nominal, High: e.High}
	}
	if b.f.Control.MutesWhen == "opened" {
		return &Flag{Receive: closed, Muted: open}
	}
	if b.f.Control.MutesWhen == "raised" {
		e := b.f.Box.Entry(b.f.Transmitter.Level)
		return &Flag{Muted: Level{Low: e.Low, Nominal: e.Nominal, High: e.High}}
	}
	return &Flag{Receive: open, Muted: closed}
}

func (b *builder) clamp(i int, r *known.Relay, a1, a2 *Joint) []*Part {
	switch r.Clamp {
	case "diode":
		return []*Part{{Ref: b.ref("D"), Kind: Diode, Value: diodeClass, Joints: []*Joint{a2, a1}}}
	case "diode and zener":
		between := &Joint{ID: b.relayRef(i) + " clamp", Words: "each other, by their own leads", Added: true}
		return []*Part{
			{Ref: b.ref("D"), Kind: Zener, Value: b.text(r.Zener), Joints: []*Joint{a1, between}},
			{Ref: b.ref("D"), Kind: Diode, Value: diodeClass, Joints: []*Joint{a2, between}},
		}
	}
	return nil
}

func (b *builder) hold(i int, r *known.Relay, a1, a2 *Joint) []*Part {
	if !r.Hold.Exists() {
		return nil
	}
	between := &Joint{ID: b.relayRef(i) + " hold", Words: "each other, by their own leads", Added: true}
	return []*Part{
		{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.HoldOhms), Rating: "½ W", Joints: []*Joint{a1, between}},
		{Ref: b.ref("C"), Kind: Electrolytic, Value: b.text(r.Hold), Rating: b.reservoirRating(r), Joints: []*Joint{between, a2}},
	}
}

// lineDrive is a coil that the key line itself feeds.
func (b *builder) lineDrive(d *Drive, r *known.Relay) {
	c := &b.coils[0]
	d.Source = Source{Kind: Line, Name: "key line", Live: b.lug(b.relayRef(0))}
	l := &lane{}
	l.joint(d.Source.Live)
	l.along(b.wire(nil, nil, "BK", light, "drive.coil.current"), c.a2)
	l.part(c.part)
	l.joint(c.a1)
	var ts *strip
	if slices.ContainsFunc(b.f.Relays, func(r known.Relay) bool { return r.Dropper.Exists() }) {
		ts = b.newStrip()
	}
	b.ownDropper(l, ts, 0)
	l.along(b.wire(nil, nil, "YE", light, "control.closed"), d.Jack.Tip)
	d.Lane = l.items
	b.across(0)
	d.Clamp, d.Hold = backwards(c.clamp), backwards(c.hold) // the lane comes to A2 first
	b.moreLineCoils(d, ts)
	d.Jack.Tip.Flag = b.tipFlag(r)
}

// dropper is the resistor in series with a coil.
func (b *builder) dropper(i int) *Part {
	p := &Part{Ref: b.ref("R"), Kind: Resistor, Value: b.text(b.f.Relays[i].Dropper), Rating: b.dropperRating(i)}
	b.coils[i].dropper = p
	return p
}

// transistor is the buffer's transistor for what it sees.
func (b *builder) transistor(kind PartKind, joints ...*Joint) *Part {
	p := &Part{Ref: b.ref("Q"), Kind: kind, Value: "npn", Joints: joints}
	if kind == TransistorPNP {
		p.Value = "pnp"
	}
	if q, ok := b.a.Get("drive.buffer.voltage"); ok {
		p.Rating = ratingOver(capacitorReserve * q.High)
	}
	return p
}

// pnp puts a transistor on the supply's side: the line pulls its base down.
func (b *builder) pnp(d *Drive, l *lane, ts *strip, r *known.Relay) {
	c := &b.coils[0]
	emitter := l.last()
	base, collector, outer := ts.tag(), ts.tag(), ts.tag()
	q := b.transistor(TransistorPNP, collector, base, emitter)
	l.part(q)
	l.joint(collector)
	if r.Dropper.Exists() {
		l.through(b.dropper(0), ts.tag())
	}
	l.along(b.wire(nil, nil, "VT", light, "drive.coil.current"), c.a1)
	l.through(c.part, c.a2)
	up := &lane{}
	up.joint(base)
	up.through(&Part{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.Base), Rating: "½ W"}, outer)
	up.along(b.wire(nil, nil, "YE", light, "control.closed"), d.Jack.Tip)
	end := &lane{}
	end.joint(c.a2)
	end.along(b.wire(nil, nil, "BK", light, "drive.coil.current"), b.lug(b.relayRef(0)))
	d.Buffer = &Buffer{
		Transistor: q, Base: base, Upper: up.items, CoilEnd: end.items,
		BaseEmitter: &Part{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.BaseEmitter), Rating: "½ W", Joints: []*Joint{emitter, base}},
	}
}

// npn puts a transistor on the chassis side: the line feeds its base, or shorts
// what the supply feeds it.
func (b *builder) npn(d *Drive, l *lane, ts *strip, r *known.Relay, plus *Joint) {
	c := &b.coils[0]
	l.along(b.wire(nil, nil, "VT", light, "drive.coil.current"), c.a1)
	l.through(c.part, c.a2)
	collector, base, emitter := ts.tag(), ts.tag(), b.lug(ts.ref)
	l.along(b.wire(nil, nil, "VT", light, "drive.coil.current"), collector)
	q := b.transistor(TransistorNPN, collector, base, emitter)
	l.part(q)
	l.joint(emitter)
	up := &lane{}
	up.joint(base)
	buffer := &Buffer{
		Transistor: q, Base: base,
		BaseEmitter: &Part{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.BaseEmitter), Rating: "½ W", Joints: []*Joint{base, emitter}},
	}
	if b.f.Control.MutesWhen == "raised" {
		up.through(&Part{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.Base), Rating: "½ W"}, ts.tag())
	} else {
		buffer.Pull = &Part{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.Base), Rating: b.baseRating(r), Joints: []*Joint{plus, base}}
		buffer.PullFrom = plus
	}
	up.along(b.wire(nil, nil, "YE", light, "control.closed"), d.Jack.Tip)
	buffer.Upper = up.items
	d.Buffer = buffer
}

// moreCoils adds the coils of further relays in parallel with the first: from
// where their dropper begins, or from the first coil's feed, to its other end,
// one after another: a lug takes at most two wires.
func (b *builder) moreCoils(d *Drive, ts *strip) {
	b.across(0)
	d.Clamp, d.Hold = b.coils[0].clamp, b.coils[0].hold
	from := b.feed(d)
	for i := 1; i < len(b.coils); i++ {
		c := &b.coils[i]
		l := &lane{}
		if b.f.Relays[i].Dropper.Exists() {
			tag := ts.tag()
			l.wire(b.wire(from, tag, "VT", light, "drive.coil.current"))
			l.joint(tag)
			l.through(b.dropper(i), ts.tag())
			l.along(b.wire(nil, nil, "VT", light, driveStem(i)+".coil.current"), c.a1)
		} else {
			l.wire(b.wire(from, c.a1, "VT", light, driveStem(i)+".coil.current"))
			l.joint(c.a1)
		}
		l.through(c.part, c.a2)
		to, colour := b.coils[i-1].a2, "YE"
		if b.f.Relays[0].Buffer == "pnp" {
			colour = "BK" // the far ends are at chassis
		}
		l.wire(b.wire(c.a2, to, colour, light, driveStem(i)+".coil.current"))
		b.across(i)
		d.More = append(d.More, Branch{From: from, To: to, Items: l.items, Clamp: c.clamp, Hold: c.hold})
	}
}

// feed is the joint of the lane from which further coils are fed: before the
// first coil's dropper, which is its own.
func (b *builder) feed(d *Drive) *Joint {
	at := -1
	for i, it := range d.Lane {
		if it.Part == b.coils[0].part {
			at = i
		}
	}
	// back over the lug A1 and its wire
	at -= 3
	if b.f.Relays[0].Dropper.Exists() {
		at -= 2
	}
	return d.Lane[at].Joint
}

// ownDropper goes on from a coil's A1 through its dropper, where it has one, on
// the way to the key line; it returns the joint that the line reaches.
func (b *builder) ownDropper(l *lane, ts *strip, i int) *Joint {
	if !b.f.Relays[i].Dropper.Exists() {
		return b.coils[i].a1
	}
	l.along(b.wire(nil, nil, "VT", light, driveStem(i)+".coil.current"), ts.tag())
	end := ts.tag()
	l.through(b.dropper(i), end)
	return end
}

// moreLineCoils adds further coils that the key line feeds, each through its own
// dropper, one after another: a lug takes at most two wires.
func (b *builder) moreLineCoils(d *Drive, ts *strip) {
	to := d.Jack.Tip
	for i := 1; i < len(b.coils); i++ {
		c := &b.coils[i]
		l := &lane{}
		l.wire(b.wire(b.coils[0].a2, c.a2, "BK", light, driveStem(i)+".coil.current"))
		l.joint(c.a2)
		l.part(c.part)
		l.joint(c.a1)
		end := b.ownDropper(l, ts, i)
		l.wire(b.wire(end, to, "YE", light, driveStem(i)+".coil.current"))
		b.across(i)
		d.More = append(d.More, Branch{From: b.coils[0].a2, To: to, Items: l.items, Clamp: backwards(c.clamp), Hold: backwards(c.hold)})
		to = end
	}
}

// backwards lists parts in series from their other end.
func backwards(parts []*Part) []*Part {
	list := slices.Clone(parts)
	slices.Reverse(list)
	return list
}

// driveStem begins the names of a relay's quantities: "drive" for the first.
func driveStem(i int) string {
	if i > 0 {
		return fmt.Sprintf("drive.%d", i+1)
	}
	return "drive"
}

// dropperRating is at least twice the highest dissipation.
func (b *builder) dropperRating(i int) string {
	q, ok := b.a.Get(driveStem(i) + ".dropper.power")
	if !ok {
		return ""
	}
	return wattage(2 * q.High)
}

// baseRating is at least twice what the supply does to the resistor from it to
// the base, which the line shorts to chassis.
func (b *builder) baseRating(r *known.Relay) string {
	q, ok := b.a.Get("drive.supply.released")
	if !ok || b.number(r.Base) == 0 {
		return "½ W"
	}
	return wattage(max(0.25, 2*q.High*q.High/b.number(r.Base)))
}

// wattage is the lowest usual resistor rating of at least w watts.
func wattage(w float64) string {
	for _, usual := range []struct {
		watts float64
		text  string
	}{{0.25, "¼ W"}, {0.5, "½ W"}, {1, "1 W"}, {2, "2 W"}, {5, "5 W"}, {10, "10 W"}} {
		if w <= usual.watts {
			return usual.text
		}
	}
	return format(w, quantity.Power)
}
