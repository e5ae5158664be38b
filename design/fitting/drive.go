package fitting

import (
	"fmt"

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
	d.Jack = b.jack(r)
	if r.Supply < 0 {
		b.lineDrive(&d, r)
		return d
	}
	s := &b.f.Supplies[r.Supply]
	ts := &strip{ref: b.ref("TS")}
	supply, coil := b.onOff(r, "drive.supply"), b.coilFlag(r)
	l := &lane{}
	d.Source = b.source(s)
	l.joint(d.Source.Live)
	colour := "GY"
	if s.Rail {
		colour = "RD"
	}
	if r.Fuse.Exists() && !s.Rail {
		ref := b.ref("F")
		l.through(&Part{Ref: ref, Kind: Fuse, Value: b.text(r.Fuse)},
			&Joint{ID: ref + " far end", Label: "F", Words: ref + ", far end", Added: true})
	}
	lead := wire(nil, nil, colour, heavy, b.grade(s), "drive.winding.current")
	plain := s.Rail && !r.Dropper.Exists() && r.Buffer == "none"
	var plus *Joint
	if !plain {
		l.along(lead, ts.tag())
		d.Bus = ts.named("0")
		plus = b.rectify(&d, l, ts, r, s)
		plus.Flag = supply
		if r.Dropper.Exists() {
			feed := l.through(&Part{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.Dropper), Rating: b.dropperRating(r)}, ts.tag())
			if r.Buffer == "none" {
				feed.Flag = coil
			}
		}
	}
	k := b.relayRef(0)
	a1 := &Joint{ID: k + "-A1", Label: "A1", Words: k + "-A1", Added: true}
	a2 := &Joint{ID: k + "-A2", Label: "A2", Words: k + "-A2", Added: true}
	coilPart := &Part{Ref: k, Kind: Coil, Value: words(b.text(r.Coil.Rated), b.text(r.Coil.Ohms))}
	switch {
	case plain:
		l.along(lead, a1)
		l.through(coilPart, a2)
		l.along(wire(nil, nil, "YE", light, lowGrade, "control.closed"), d.Jack.Tip)
	case r.Buffer == "pnp":
		b.pnp(&d, l, ts, r, coilPart, a1, a2)
	case r.Buffer == "npn":
		b.npn(&d, l, ts, r, plus, coilPart, a1, a2)
	default:
		l.along(wire(nil, nil, "VT", light, lowGrade, "drive.coil.current"), a1)
		l.through(coilPart, a2)
		l.along(wire(nil, nil, "YE", light, lowGrade, "control.closed"), d.Jack.Tip)
	}
	d.Lane = l.items
	d.Clamp = b.clamp(r, a1, a2)
	d.Hold = b.hold(r, a1, a2)
	b.moreCoils(&d, a1)
	if open := b.onOff(r, "control.open"); open != nil {
		d.Jack.Tip.Flag = b.tipFlag(r)
	}
	return d
}

// grade is the insulation asked for on a lead from a supply.
func (b *builder) grade(s *known.Supply) float64 {
	if s.Rail {
		return highGrade
	}
	return lowGrade
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
		rl.along(wire(nil, nil, "BK", heavy, lowGrade, "drive.winding.current"), to)
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
		second.along(wire(nil, nil, "GY", heavy, lowGrade, "drive.winding.current"), other)
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
		rl.along(wire(nil, nil, "GY", heavy, lowGrade, "drive.winding.current"), other)
		d.Return = rl.items
		return plus
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

func (b *builder) clamp(r *known.Relay, a1, a2 *Joint) []*Part {
	switch r.Clamp {
	case "diode":
		return []*Part{{Ref: b.ref("D"), Kind: Diode, Value: diodeClass, Joints: []*Joint{a2, a1}}}
	case "diode and zener":
		between := &Joint{ID: b.relayRef(0) + " clamp", Added: true}
		return []*Part{
			{Ref: b.ref("D"), Kind: Zener, Value: b.text(r.Zener), Joints: []*Joint{a1, between}},
			{Ref: b.ref("D"), Kind: Diode, Value: diodeClass, Joints: []*Joint{a2, between}},
		}
	}
	return nil
}

func (b *builder) hold(r *known.Relay, a1, a2 *Joint) []*Part {
	if !r.Hold.Exists() {
		return nil
	}
	between := &Joint{ID: b.relayRef(0) + " hold", Added: true}
	return []*Part{
		{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.HoldOhms), Rating: "½ W", Joints: []*Joint{a1, between}},
		{Ref: b.ref("C"), Kind: Electrolytic, Value: b.text(r.Hold), Rating: b.reservoirRating(r), Joints: []*Joint{between, a2}},
	}
}

// lineDrive is a coil that the key line itself feeds.
func (b *builder) lineDrive(d *Drive, r *known.Relay) {
	k := b.relayRef(0)
	a1 := &Joint{ID: k + "-A1", Label: "A1", Words: k + "-A1", Added: true}
	a2 := &Joint{ID: k + "-A2", Label: "A2", Words: k + "-A2", Added: true}
	d.Source = Source{Kind: Line, Name: "key line", Live: b.lug(k)}
	l := &lane{}
	l.joint(d.Source.Live)
	l.along(wire(nil, nil, "BK", light, lowGrade, "drive.coil.current"), a2)
	coil := &Part{Ref: k, Kind: Coil, Value: words(b.text(r.Coil.Rated), b.text(r.Coil.Ohms)), Joints: []*Joint{a1, a2}}
	l.part(coil)
	l.joint(a1)
	l.along(wire(nil, nil, "YE", light, lowGrade, "control.closed"), d.Jack.Tip)
	d.Lane = l.items
	d.Clamp = b.clamp(r, a1, a2)
	d.Hold = b.hold(r, a1, a2)
	d.Jack.Tip.Flag = b.tipFlag(r)
}

// pnp puts a transistor on the supply's side: the line pulls its base down.
func (b *builder) pnp(d *Drive, l *lane, ts *strip, r *known.Relay, coil *Part, a1, a2 *Joint) {
	emitter := l.last()
	base, collector, outer := ts.tag(), ts.tag(), ts.tag()
	q := &Part{Ref: b.ref("Q"), Kind: TransistorPNP, Value: "pnp", Joints: []*Joint{collector, base, emitter}}
	l.part(q)
	l.joint(collector)
	l.along(wire(nil, nil, "VT", light, lowGrade, "drive.coil.current"), a1)
	l.through(coil, a2)
	up := &lane{}
	up.joint(base)
	up.through(&Part{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.Base), Rating: "½ W"}, outer)
	up.along(wire(nil, nil, "YE", light, lowGrade, "control.closed"), d.Jack.Tip)
	end := &lane{}
	end.joint(a2)
	end.along(wire(nil, nil, "BK", light, lowGrade, "drive.coil.current"), b.lug(b.relayRef(0)))
	d.Buffer = &Buffer{
		Transistor: q, Base: base, Upper: up.items, CoilEnd: end.items,
		BaseEmitter: &Part{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.BaseEmitter), Rating: "½ W", Joints: []*Joint{emitter, base}},
	}
}

// npn puts a transistor on the chassis side: the line feeds its base, or shorts
// what the supply feeds it.
func (b *builder) npn(d *Drive, l *lane, ts *strip, r *known.Relay, plus *Joint, coil *Part, a1, a2 *Joint) {
	feed := l.last()
	l.along(wire(nil, nil, "VT", light, lowGrade, "drive.coil.current"), a1)
	l.through(coil, a2)
	collector, base, emitter := ts.tag(), ts.tag(), b.lug(ts.ref)
	l.along(wire(nil, nil, "VT", light, lowGrade, "drive.coil.current"), collector)
	q := &Part{Ref: b.ref("Q"), Kind: TransistorNPN, Value: "npn", Joints: []*Joint{collector, base, emitter}}
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
		buffer.Pull = &Part{Ref: b.ref("R"), Kind: Resistor, Value: b.text(r.Base), Rating: "½ W", Joints: []*Joint{feed, base}}
		buffer.PullFrom = feed
	}
	up.along(wire(nil, nil, "YE", light, lowGrade, "control.closed"), d.Jack.Tip)
	buffer.Upper = up.items
	d.Buffer = buffer
	_ = plus
}

// moreCoils adds the coils of further relays in parallel with the first.
func (b *builder) moreCoils(d *Drive, a1 *Joint) {
	for i := 1; i < len(b.f.Relays); i++ {
		r := &b.f.Relays[i]
		k := b.relayRef(i)
		n1 := &Joint{ID: k + "-A1", Label: "A1", Words: k + "-A1", Added: true}
		n2 := &Joint{ID: k + "-A2", Label: "A2", Words: k + "-A2", Added: true}
		l := &lane{}
		w := wire(a1, n1, "VT", light, lowGrade, "drive.coil.current")
		l.wire(w)
		l.joint(n1)
		l.part(&Part{Ref: k, Kind: Coil, Value: words(b.text(r.Coil.Rated), b.text(r.Coil.Ohms)), Joints: []*Joint{n1, n2}})
		l.joint(n2)
		l.wire(wire(n2, d.Jack.Tip, "YE", light, lowGrade, "control.closed"))
		branch := Branch{From: a1, To: d.Jack.Tip, Items: l.items}
		if r.Clamp != "none" {
			branch.Clamp = []*Part{{Ref: b.ref("D"), Kind: Diode, Value: diodeClass, Joints: []*Joint{n2, n1}}}
		}
		d.More = append(d.More, branch)
	}
}

// dropperRating is at least twice the highest dissipation.
func (b *builder) dropperRating(r *known.Relay) string {
	q, ok := b.a.Get("drive.dropper.power")
	if !ok {
		return ""
	}
	return wattage(2 * q.High)
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
