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
	cut := 0
	for i := range b.f.Returns {
		ret := &b.f.Returns[i]
		poles := b.a.Poles.Serving(ret.Name)
		if len(poles) == 0 {
			continue // no pole serves it: a finding says so, and nothing is wired
		}
		if slices.ContainsFunc(ret.Points, func(k int) bool { return b.f.Points[k].Wiring == "antenna and cathode" }) {
			continue // it would put the cathodes on the antenna terminal: refused, nothing is wired
		}
		g := Group{Name: ret.Name, Node: b.flag("", "return."+ret.Name+".muted")}
		g.Contact = b.contact(poles[0])
		colour := returnColours[i%len(returnColours)]
		b.stubs(&g, ret, colour, &cut)
		b.pulldown(&g, ret)
		g.Contact.Ground = b.wire(g.Contact.Common, g.Earth, "BK", heavy, "return."+ret.Name)
		g.Contact.Lug = g.Earth
		b.w.Groups = append(b.w.Groups, g)
	}
}

// contact is a pole in use, with its lugs by function (EN 50005): commons 11,
// 21; break 12, 22; make 14, 24.
func (b *builder) contact(p answer.Pole) Contact {
	k := b.relayRef(p.Relay)
	c := Contact{
		Name: p.Letter, Relay: k, Pole: string(rune('a' + p.Number)),
		Common: b.relayLug(p, 1), Break: p.Throw != contact.Make,
	}
	if p.Throw == contact.Make {
		c.Throw = b.relayLug(p, 4)
	} else {
		c.Throw = b.relayLug(p, 2)
	}
	if p.Throw == contact.Both {
		c.Other = b.relayLug(p, 4)
	}
	onReceive := b.f.Relays[p.Relay].OnReceive
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

// relayLug is a lug of a pole; where the relay's pin numbers are known they
// stand behind it in the wire table.
func (b *builder) relayLug(p answer.Pole, function int) *Joint {
	label := fmt.Sprintf("%d%d", p.Number+1, function)
	id := b.relayRef(p.Relay) + "-" + label
	j := &Joint{ID: id, Label: label, Words: id, Added: true}
	pins := b.f.Relays[p.Relay].Pins.Poles
	if p.Number < len(pins) {
		at := map[int]int{1: 0, 2: 1, 4: 2}[function]
		if at < len(pins[p.Number]) && pins[p.Number][at] != "" {
			j.Words += " (pin " + pins[p.Number][at] + ")"
		}
	}
	return j
}

// most wires on one lug, besides a part's lead.
const mostOnLug = 2

func (b *builder) stubs(g *Group, ret *known.Return, colour string, cut *int) {
	stem := "return." + ret.Name
	n := len(ret.Points)
	for _, i := range ret.Points {
		p := &b.f.Points[i]
		*cut++
		s := Stub{Name: p.Name, Lift: inSet(p.Lift), Cut: *cut, Node: b.flag("point."+p.Name+".cathode.receive", "point."+p.Name+".cathode.muted")}
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
			*cut++
			second := inSet(p.Lift + ", second tube")
			last := &g.Stubs[len(g.Stubs)-1]
			last.Lifts = []Cut{{Lift: second, Cut: *cut, Wire: b.wire(second, s.Lift, colour, heavy, stem)}}
		}
	}
	if n <= mostOnLug {
		return
	}
	// At most two wires on the lug: the middle two go there, the outer ones to
	// their neighbour's lift.
	left := (n - 1) / 2
	for k := range g.Stubs {
		switch {
		case k < left:
			g.Stubs[k].Wire.To = g.Stubs[k+1].Lift
		case k > left+1:
			g.Stubs[k].Wire.To = g.Stubs[k-1].Lift
		}
	}
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
		text := b.text(p.Stages[0].CathodeResistor)
		alike := true
		for k := range p.Stages {
			alike = alike && b.number(p.Stages[k].CathodeResistor) == b.number(p.Stages[0].CathodeResistor)
		}
		switch {
		case !alike:
			s.Resistor = []string{"as the", "plan says"}
		case len(p.Stages) > 1:
			s.Resistor = []string{text, "each"}
		default:
			s.Resistor = []string{text}
		}
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
			g.Capacitor.Words = []string{"behind " + g.Series.Ref, b.text(ret.Series)}
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
		b.w.Guards = append(b.w.Guards, b.guard(p, poles))
	}
}

func (b *builder) guard(p *known.Point, poles []answer.Pole) Guard {
	g := Guard{Name: p.Name}
	stem, gauge := "antenna."+p.Name, ""
	first := inSet(p.Lift)
	g.Joints = []*Joint{first}
	for _, pole := range poles {
		g.Contacts = append(g.Contacts, b.contact(pole))
	}
	ground := func(c *Contact) {
		c.Lug = b.lug(p.Name)
		c.Ground = b.wire(c.Common, c.Lug, "BK", gaugeOr(gauge), stem)
	}
	if p.Kind == known.Audio {
		g.Kind, g.Input = AudioShort, words(b.text(p.Source), "source")
		g.Wires = []*Wire{b.wire(first, g.Contacts[0].Throw, "WH", light, stem)}
		ground(&g.Contacts[0])
		g.Note = []string{"screened lead, short"}
		return g
	}
	gauge = b.text(p.Wire)
	g.Input = b.text(p.Impedance)
	lead := func(from, to *Joint, colour string) *Wire {
		return b.wire(from, to, colour, gauge, stem)
	}
	second := inSet(p.Lift + ", other leg")
	switch {
	case p.Guard == "short" && p.Legs == "one":
		g.Kind = ShortOne
		g.Wires = []*Wire{lead(first, g.Contacts[0].Throw, "WH")}
		ground(&g.Contacts[0])
	case p.Guard == "short" && p.Legs == "across":
		g.Kind = ShortPair
		g.Joints = append(g.Joints, second)
		g.Wires = []*Wire{lead(first, g.Contacts[0].Throw, "WH"), lead(g.Contacts[0].Common, second, "PK")}
	case p.Guard == "short" && len(g.Contacts) > 1:
		g.Kind = ShortEach
		g.Joints = append(g.Joints, second)
		g.Wires = []*Wire{lead(first, g.Contacts[0].Throw, "WH"), lead(second, g.Contacts[1].Throw, "PK")}
		ground(&g.Contacts[0])
		ground(&g.Contacts[1])
	case p.Guard == "changeover":
		g.Kind = Changeover
		input := inSet("input side of the cut")
		g.Joints = append(g.Joints, input)
		c := &g.Contacts[0]
		c.Lug = b.lug(p.Name)
		g.Wires = []*Wire{lead(first, c.Throw, "WH"), lead(c.Common, input, "PK"), b.wire(c.Other, c.Lug, "BK", gauge, stem)}
	case len(g.Contacts) > 1:
		g.Kind = OpenShort
		input := inSet("input side of the cut")
		g.Joints = append(g.Joints, input)
		g.Wires = []*Wire{
			lead(first, g.Contacts[0].Throw, "WH"), lead(g.Contacts[0].Common, input, "PK"), lead(input, g.Contacts[1].Throw, "WH"),
		}
		ground(&g.Contacts[1])
	default:
		g.Kind = ShortOne
		g.Wires = []*Wire{lead(first, g.Contacts[0].Throw, "WH")}
		ground(&g.Contacts[0])
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
			if b.f.Points[k].Name == g.Name {
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
