package fitting

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"mutewright/design/answer"
	"mutewright/design/contact"
	"mutewright/design/known"
)

// colours for lifted returns, one each, so that the hazard can be told by them
// (IEC 60757 letters); black is chassis, never a return.
var returnColours = []string{"OG", "RD", "VT"}

// groups builds one group for each return.
func (b *builder) groups() {
	for i := range b.f.Returns {
		ret := &b.f.Returns[i]
		if !b.wired(ret) {
			continue // a finding says so
		}
		poles := b.a.Poles.Serving(ret.Name)
		g := Group{Name: ret.Name, Node: b.flag("", "return."+ret.Name+".muted")}
		g.Contact = b.contact(poles[0])
		colour := returnColours[i%len(returnColours)]
		b.stubs(&g, ret, colour)
		b.pulldown(&g, ret)
		g.Contact.Ground = b.wire(g.Contact.Common, g.Earth, "BK", heavy, "return."+ret.Name)
		g.Contact.Lug = g.Earth
		b.w.Groups = append(b.w.Groups, g)
	}
}

// wired tells whether a return is lifted at all: not where no pole serves it, nor
// where it would put the cathodes on the antenna terminal.
func (b *builder) wired(ret *known.Return) bool {
	return len(b.a.Poles.Serving(ret.Name)) > 0 &&
		!slices.ContainsFunc(ret.Points, func(k int) bool { return b.f.Points[k].Wiring == "antenna and cathode" })
}

// The lugs of a pole by what they do.
const (
	common   = "common"
	breaking = "break"
	making   = "make"
)

// contact is a pole in use, with its lugs. The throw in use of a changeover is
// the one that is closed on receive.
func (b *builder) contact(p answer.Pole) Contact {
	k := b.relayRef(p.Relay)
	c := Contact{
		Name: p.Letter, Relay: k, Pole: string(rune('a' + p.Number)),
		Common: b.relayLug(p, common), Break: p.Throw == contact.Break,
	}
	onReceive := b.f.Relays[p.Relay].OnReceive
	if p.Throw == contact.Both {
		c.Break = !onReceive
		c.Other = b.relayLug(p, throwName(!c.Break))
	}
	c.Throw = b.relayLug(p, throwName(c.Break))
	switch {
	case p.Throw == contact.Both:
		c.Words = "changes over on transmit"
	case c.Break && onReceive:
		c.Words = "closes on transmit"
	case c.Break:
		c.Words = "opens on transmit"
	case onReceive:
		c.Words = "opens on transmit"
	default:
		c.Words = "closes on transmit"
	}
	return c
}

func throwName(breaks bool) string {
	if breaks {
		return breaking
	}
	return making
}

// relayLug is a lug of a pole: "K1a common"; where the relay's pin numbers are
// known they stand behind it in the wire table.
func (b *builder) relayLug(p answer.Pole, function string) *Joint {
	id := p.Letter + " " + function
	j := &Joint{ID: id, Label: function, Words: id, Added: true}
	if pin := b.pin(p.Relay, p.Number, function); pin != "" {
		j.Words += " (pin " + pin + ")"
	}
	return j
}

// pin is the plan's or the catalogue's number of a lug, "" where none is known.
func (b *builder) pin(relay, pole int, function string) string {
	pins := b.f.Relays[relay].Pins.Poles
	at := slices.Index([]string{common, breaking, making}, function)
	if pole >= len(pins) || at >= len(pins[pole]) {
		return ""
	}
	return pins[pole][at]
}

func (b *builder) stubs(g *Group, ret *known.Return, colour string) {
	stem := "return." + ret.Name
	for _, i := range ret.Points {
		p := &b.f.Points[i]
		s := Stub{Name: p.Name, Lift: inSet(p.Lift), Cut: b.cut(), Node: b.flag("point."+p.Name+".cathode.receive", "point."+p.Name+".cathode.muted")}
		if p.Supply >= 0 {
			s.Rail = b.f.Supplies[p.Supply].Name
			s.RailVolts = b.number(b.f.Supplies[p.Supply].Volts)
		}
		switch p.Kind {
		case known.Output:
			b.outputStub(&s, p)
		case known.Gain:
			b.gainStub(&s, p)
		default:
			s.Kind = Measured
			s.Title = p.Name + ": as measured"
		}
		for k := range b.f.Standby {
			if own := &b.f.Standby[k]; own.Left == "in use" && own.Return >= 0 && b.f.Returns[own.Return].Name == ret.Name && p == &b.f.Points[ret.Points[0]] {
				s.Extra = append(s.Extra, own.Name+" in series")
			}
		}
		s.Wire = b.wire(s.Lift, g.Contact.Throw, colour, heavy, stem)
		g.Stubs = append(g.Stubs, s)
		if p.Kind == known.Output && p.Separate {
			second := inSet(p.Lift + ", second tube")
			last := &g.Stubs[len(g.Stubs)-1]
			last.Lifts = []Cut{{Lift: second, Cut: b.cut(), Wire: b.wire(second, g.Contact.Throw, colour, heavy, stem)}}
		}
	}
	// At most two wires on the lug: the middle two lifts go there, the outer ones
	// to their neighbours.
	lifts := g.lifts()
	left := (len(lifts) - 1) / 2
	for k, l := range lifts {
		switch {
		case k < left:
			l.wire.To = lifts[k+1].joint
		case k > left+1:
			l.wire.To = lifts[k-1].joint
		}
	}
	b.shareLead(g, ret)
}

// shareLead gives the wires of a return their longest lengths: each cut's way to
// the contact is as long as the plan's lead at most, and where wires follow one
// another they share it.
func (b *builder) shareLead(g *Group, ret *known.Return) {
	lead := b.number(ret.Lead)
	next := map[*Joint]*Wire{} // the wire that leads on from a lift
	lifts := g.lifts()
	for _, l := range lifts {
		next[l.joint] = l.wire
	}
	for _, first := range lifts {
		var way []*Wire
		for w := first.wire; w != nil; w = next[w.To] {
			way = append(way, w)
		}
		// Whole millimetres, so that the shares never add up to more.
		share := math.Floor(1000*lead/float64(len(way))+1e-9) / 1000
		for _, w := range way {
			if w.Longest == 0 || share < w.Longest {
				w.Longest = share
			}
		}
	}
}

// A lift is where one lead is taken off, with the wire that goes on from there.
type lift struct {
	joint *Joint
	wire  *Wire
}

// lifts are those of a return, from left to right.
func (g *Group) lifts() []lift {
	var all []lift
	for _, s := range g.Stubs {
		all = append(all, lift{s.Lift, s.Wire})
		for _, c := range s.Lifts {
			all = append(all, lift{c.Lift, c.Wire})
		}
	}
	return all
}

func (b *builder) outputStub(s *Stub, p *known.Point) {
	s.Kind = OutputCathode
	s.Title = p.Name + ": " + times(p.Count, p.Tube.Name)
	if b.number(p.CathodeResistor) > 0 {
		s.Resistor = []string{b.text(p.CathodeResistor)}
		if p.Separate {
			s.Resistor = append(s.Resistor, "each")
		}
	}
	if p.Bypass.Value.Exists() {
		s.Bypass = []string{b.text(p.Bypass.Value), b.text(p.Bypass.Rated)}
		s.Polarised = b.number(p.Bypass.Value) >= 1e-6
		s.ToReturn = p.Bypass.ToReturn
	}
	if p.Path.Exists() {
		s.Extra = append(s.Extra, words(b.text(p.Path), "to chassis:", p.PathWhat))
	}
}

func (b *builder) gainStub(s *Stub, p *known.Point) {
	s.Kind = GainControl
	s.Title = p.Name + ": " + stageTitle(p)
	s.Control = b.text(p.Track)
	s.Divider = p.FarEnd == "chassis"
	if len(p.Stages) > 0 {
		s.Resistor = b.cathodeResistors(p)
	}
	if p.Bleeder.Ohms.Exists() {
		s.Extra = append(s.Extra, words("bleeder", b.text(p.Bleeder.Ohms), "from", b.f.Supplies[p.Bleeder.Supply].Name))
	}
	if p.BusCapacitor.Value.Exists() {
		s.Extra = append(s.Extra, words(b.text(p.BusCapacitor.Value), "on the bus"))
	}
	if p.Path.Exists() {
		s.Extra = append(s.Extra, words(b.text(p.Path), "to chassis:", p.PathWhat))
	}
}

// cathodeResistors are the words beside the one resistor that stands for all
// stages: "68 Ω", "each"; or their values in the order of the stages, of more
// than three the least and the most.
func (b *builder) cathodeResistors(p *known.Point) []string {
	var values []string
	least, most := p.Stages[0].CathodeResistor, p.Stages[0].CathodeResistor
	for k := range p.Stages {
		r := p.Stages[k].CathodeResistor
		values = append(values, b.text(r))
		if b.number(r) < b.number(least) {
			least = r
		}
		if b.number(r) > b.number(most) {
			most = r
		}
	}
	switch n := len(values); {
	case n == 1:
		return values
	case b.number(least) == b.number(most):
		return []string{values[0], "each"}
	case n <= 3:
		for k := range n - 1 {
			values[k] += ","
		}
		return values
	}
	return []string{b.text(least) + " to", b.text(most)}
}

// stageTitle is "2 × 6BA6", or the types one after another.
func stageTitle(p *known.Point) string {
	var title string
	for k := 0; k < len(p.Stages); {
		n := 1
		for k+n < len(p.Stages) && p.Stages[k+n].Tube.Name == p.Stages[k].Tube.Name {
			n++
		}
		if title != "" {
			title += ", "
		}
		title += times(n, p.Stages[k].Tube.Name)
		k += n
	}
	return title
}

func times(n int, what string) string {
	if n == 1 {
		return what
	}
	return strconv.Itoa(n) + " × " + what
}

// pulldown adds the resistor from the lifted node to a chassis lug of its own
// lead, so that it still guards when the common's wire breaks.
func (b *builder) pulldown(g *Group, ret *known.Return) {
	g.Earth = b.lug(g.Contact.Relay)
	if ret.Pulldown.Exists() {
		g.Pulldown = &Part{
			Ref: b.ref("R"), Kind: Resistor, Value: b.text(ret.Pulldown), Rating: "2 W",
			Joints: []*Joint{g.Contact.Throw, g.Earth},
		}
	}
	if ret.Capacitor.Exists() && len(g.Stubs) > 0 {
		g.Capacitor = &Part{
			Ref: b.ref("C"), Kind: Capacitor, Value: b.text(ret.Capacitor), Rating: b.text(ret.CapacitorRated),
			Joints: []*Joint{g.Stubs[0].Lift, {ID: g.Name + " cut", Label: "chassis", Words: "chassis at the cut"}},
		}
		if ret.Series.Exists() && b.number(ret.Series) > 0 {
			// The resistor hangs on the capacitor's own lead.
			between := &Joint{ID: g.Name + " series", Words: "free lead of " + g.Capacitor.Ref, Added: true}
			g.Series = &Part{
				Ref: b.ref("R"), Kind: Resistor, Value: b.text(ret.Series), Rating: "½ W",
				Joints: []*Joint{g.Capacitor.Joints[0], between},
			}
			g.Capacitor.Joints[0] = between
		}
	}
}

// guards builds the antenna and audio points.
func (b *builder) guards() {
	for i := range b.f.Points {
		p := &b.f.Points[i]
		poles := b.a.Poles.Serving(p.Name)
		if p.Kind != known.Antenna && p.Kind != known.Audio || len(poles) == 0 {
			continue
		}
		if p.Guard == "open and short" && !b.served(p) {
			continue // half of it guards nothing: a finding says that a pole is missing
		}
		if p.Guard == "changeover" {
			for k, pole := range poles { // a balanced input is cut in both legs
				b.w.Guards = append(b.w.Guards, b.changeover(p, pole, k))
			}
			continue
		}
		b.w.Guards = append(b.w.Guards, b.guard(p, poles))
	}
}

// guardOf begins a guard: the point's terminal and the poles that serve it.
func (b *builder) guardOf(p *known.Point, poles ...answer.Pole) Guard {
	terminal := p.Lift
	if p.Legs == "across" || p.Legs == "each" {
		terminal += ", one leg"
	}
	g := Guard{Name: p.Name, Point: p.Name, Input: b.text(p.Impedance), Joints: []*Joint{inSet(terminal)}}
	for _, pole := range poles {
		g.Contacts = append(g.Contacts, b.contact(pole))
	}
	return g
}

// ground takes a contact's common to a chassis lug of its own.
func (b *builder) ground(p *known.Point, c *Contact) {
	c.Lug = b.lug(p.Name)
	c.Ground = b.antennaWire(p, c.Common, c.Lug, "BK")
}

// antennaWire is a wire of an antenna or audio point.
func (b *builder) antennaWire(p *known.Point, from, to *Joint, colour string) *Wire {
	return b.wire(from, to, colour, gaugeOr(b.text(p.Wire)), "antenna."+p.Name)
}

// inputSide names a new cut and makes the joint of the lead to the input that is
// taken off the terminal there.
func (b *builder) inputSide(g *Guard) *Joint {
	g.Cut = b.cut()
	input := inSet(fmt.Sprintf("input lead at CUT %d", g.Cut))
	g.Joints = append(g.Joints, input)
	return input
}

// changeover moves the input, or leg k of a balanced one, from the antenna to
// chassis.
func (b *builder) changeover(p *known.Point, pole answer.Pole, k int) Guard {
	g := b.guardOf(p, pole)
	g.Kind = Changeover
	if k > 0 {
		g.Name += ", other leg"
		g.Joints[0] = inSet(p.Lift + ", other leg")
	}
	input := b.inputSide(&g)
	c := &g.Contacts[0]
	c.Lug = b.lug(p.Name)
	g.Wires = []*Wire{
		b.antennaWire(p, g.Joints[0], c.Throw, "WH"),
		b.antennaWire(p, c.Common, input, "PK"),
		b.antennaWire(p, c.Other, c.Lug, "BK"),
	}
	return g
}

func (b *builder) guard(p *known.Point, poles []answer.Pole) Guard {
	g := b.guardOf(p, poles...)
	first := g.Joints[0]
	lead := func(from, to *Joint, colour string) *Wire { return b.antennaWire(p, from, to, colour) }
	if p.Kind == known.Audio {
		g.Kind, g.Input = AudioShort, words(b.text(p.Source), "source")
		g.Wires = []*Wire{lead(first, g.Contacts[0].Throw, "WH")}
		b.ground(p, &g.Contacts[0])
		g.Note = []string{"screened lead, short"}
		return g
	}
	second := inSet(p.Lift + ", other leg")
	switch {
	case p.Guard == "short" && p.Legs == "across":
		g.Kind = ShortPair
		g.Joints = append(g.Joints, second)
		g.Wires = []*Wire{lead(first, g.Contacts[0].Throw, "WH"), lead(g.Contacts[0].Common, second, "PK")}
	case p.Guard == "short" && p.Legs == "each" && len(g.Contacts) > 1:
		g.Kind = ShortEach
		g.Joints = append(g.Joints, second)
		g.Wires = []*Wire{lead(first, g.Contacts[0].Throw, "WH"), lead(second, g.Contacts[1].Throw, "PK")}
		b.ground(p, &g.Contacts[0])
		b.ground(p, &g.Contacts[1])
	case p.Guard == "open and short":
		g.Kind = OpenShort
		input := b.inputSide(&g)
		g.Wires = []*Wire{
			lead(first, g.Contacts[0].Throw, "WH"), lead(g.Contacts[0].Common, input, "PK"), lead(input, g.Contacts[1].Throw, "WH"),
		}
		b.ground(p, &g.Contacts[1])
	default:
		g.Kind = ShortOne
		g.Wires = []*Wire{lead(first, g.Contacts[0].Throw, "WH")}
		b.ground(p, &g.Contacts[0])
	}
	return g
}

func gaugeOr(gauge string) string {
	if gauge == "" {
		return light
	}
	return gauge
}

// noteLeads writes the notes on antenna leads once the wires have numbers, and
// shares the length permitted among them.
func (b *builder) noteLeads(w *Wiring) {
	for i := range w.Guards {
		g := &w.Guards[i]
		if g.Kind == AudioShort {
			continue
		}
		var p *known.Point
		for k := range b.f.Points {
			if b.f.Points[k].Name == g.Point {
				p = &b.f.Points[k]
			}
		}
		wires := append([]*Wire{}, g.Wires...)
		for k := range g.Contacts {
			if g.Contacts[k].Ground != nil {
				wires = append(wires, g.Contacts[k].Ground)
			}
		}
		lead := b.number(p.Lead)
		text := ""
		for k, x := range wires {
			// Whole millimetres, so that the shares never add up to more.
			x.Longest = math.Floor(1000*lead/float64(len(wires))) / 1000
			switch {
			case k == 0:
			case k == len(wires)-1:
				text += " and "
			default:
				text += ", "
			}
			text += strconv.Itoa(x.Number)
		}
		g.Note = []string{text + " together", b.text(p.Lead) + " at most"}
	}
}
