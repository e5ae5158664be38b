package fitting

import (
	"fmt"
	"slices"
	"strings"

	"mutewright/design/contact"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// Ratings asked for: resistors at twice, capacitors at 1.25 times what they see
// (common practice).
const capacitorReserve = 1.25

// reservoirVoltages are the usual ratings of small electrolytics, V.
var reservoirVoltages = []float64{16, 25, 35, 50, 63, 100, 160, 250, 350, 400, 450}

// reservoirRating is the lowest usual rating with reserve over what a reservoir
// sees: the whole released supply, of which each of a doubler's two takes half.
func (b *builder) reservoirRating(r *known.Relay) string {
	q, ok := b.a.Get("drive.supply.released")
	if !ok {
		return ""
	}
	return ratingOver(capacitorReserve * q.High)
}

func ratingOver(v float64) string {
	for _, usual := range reservoirVoltages {
		if v <= usual {
			return format(usual, quantity.Voltage)
		}
	}
	return format(v, quantity.Voltage)
}

// parts lists everything that is added, in the order of its references as the
// diagram shows them.
func (b *builder) parts() {
	d := &b.w.Drive
	for i := range b.f.Relays {
		r := &b.f.Relays[i]
		b.entry(Entry{
			Ref: b.relayRef(i), What: "relay", Value: r.Name,
			Rating: fmt.Sprintf("%s, %s, form %s, %s", b.text(r.Coil.Rated), b.text(r.Coil.Ohms), r.Contacts.Form, poles(r.Contacts.Poles)),
			Why:    b.relayWhy(i),
			Leads:  b.relayLeads(i),
		})
	}
	b.entry(Entry{Ref: d.Jack.Ref, What: "jack", Value: d.Jack.Words, Why: "the transmitter's key line; sleeve to its own lug"})
	if b.strip.tags > 0 {
		b.entry(Entry{
			Ref: b.strip.ref, What: "tag strip", Value: fmt.Sprintf("%d tags; its foot is tag 0 and chassis", b.strip.tags),
			Why: "one tag for every joint of part leads",
		})
	}
	for _, it := range d.Lane {
		b.part(it.Part)
	}
	for _, it := range d.Second {
		b.part(it.Part)
	}
	for _, s := range d.Shunts {
		b.part(s.Part)
	}
	for _, p := range d.Clamp {
		b.part(p)
	}
	for _, p := range d.Hold {
		b.part(p)
	}
	if u := d.Buffer; u != nil {
		for _, it := range u.Upper {
			b.part(it.Part)
		}
		b.part(u.BaseEmitter)
		b.part(u.Pull)
	}
	for _, m := range d.More {
		for _, it := range m.Items {
			b.part(it.Part)
		}
		for _, p := range append(m.Clamp, m.Hold...) {
			b.part(p)
		}
	}
	for i := range b.w.Groups {
		g := &b.w.Groups[i]
		b.part(g.Pulldown)
		b.part(g.Capacitor)
		b.part(g.Series)
	}
}

// relayLeads names the lugs of the poles in use as relays and their bases are
// marked (EN 50005: 11 common, 12 break, 14 make).
func (b *builder) relayLeads(i int) []string {
	var leads []string
	for _, p := range b.a.Poles.Used {
		if p.Relay != i {
			continue
		}
		n := p.Number + 1
		lead := fmt.Sprintf("%s: common is marked %d1", p.Letter, n)
		if p.Throw != contact.Make {
			lead += fmt.Sprintf(", break %d2", n)
		}
		if p.Throw != contact.Break {
			lead += fmt.Sprintf(", make %d4", n)
		}
		leads = append(leads, lead)
	}
	if len(b.w.Groups) > 0 {
		leads = append(leads, "commons of returns go to chassis: an unused throw lug is then never live")
	}
	return leads
}

func (b *builder) entry(e Entry) { b.entries = append(b.entries, e) }

// relayWhy says what decided about the relay, in a sentence.
func (b *builder) relayWhy(i int) string {
	stem := driveStem(i)
	operate, ok := b.a.Get(stem + ".coil.operate_margin")
	if !ok {
		return "no drive that serves"
	}
	ceiling, _ := b.a.Get(stem + ".coil.ceiling_margin")
	return fmt.Sprintf("worst case: pulls in with %.2f of what it needs, withstands %.2f of what it gets", operate.Low, ceiling.Low)
}

var partNames = map[PartKind]string{
	Resistor: "resistor", Capacitor: "film capacitor", Electrolytic: "electrolytic capacitor, 105 °C",
	Diode: "diode", Zener: "zener diode", Fuse: "fuse, time-lag, in an in-line holder",
	TransistorNPN: "transistor, npn", TransistorPNP: "transistor, pnp", Bridge: "four diodes as a bridge",
}

// part adds a component of the diagram; coils belong to their relay.
func (b *builder) part(p *Part) {
	if p == nil || p.Kind == Coil {
		return
	}
	for _, e := range b.entries {
		if e.Ref == p.Ref {
			return
		}
	}
	b.entry(Entry{
		Ref: p.Ref, What: partNames[p.Kind], Value: p.Value, Rating: p.Rating,
		Why: b.partWhy(p), Leads: leads(p),
	})
}

// leads says which lead goes to which joint.
func leads(p *Part) []string {
	at := func(i int) string { return p.Joints[i].Words }
	switch {
	case p.Kind == Bridge && len(p.Joints) == 4:
		// Four separate diodes: the block in the diagram hides them.
		first := strings.Split(strings.TrimPrefix(p.Ref, "D"), "–")[0]
		var n int
		fmt.Sscan(first, &n)
		return []string{
			fmt.Sprintf("D%d: anode %s, cathode %s", n, at(0), at(2)),
			fmt.Sprintf("D%d: anode %s, cathode %s", n+1, at(1), at(2)),
			fmt.Sprintf("D%d: anode %s, cathode %s", n+2, at(3), at(0)),
			fmt.Sprintf("D%d: anode %s, cathode %s", n+3, at(3), at(1)),
		}
	case len(p.Joints) == 3:
		return []string{"collector " + at(0), "base " + at(1), "emitter " + at(2)}
	case len(p.Joints) != 2:
		return nil
	}
	switch p.Kind {
	case Fuse:
		return []string{"in the wire from " + at(0) + ", close to it"}
	case Electrolytic:
		return []string{"plus " + at(0), "minus " + at(1)}
	case Diode, Zener:
		return []string{"anode " + at(0), "cathode (band) " + at(1)}
	}
	return []string{at(0), at(1)}
}

// partWhy is the working of a part's rating in a sentence.
func (b *builder) partWhy(p *Part) string {
	high := func(name string) (string, bool) {
		q, ok := b.a.Get(name)
		return format(q.High, q.Unit), ok
	}
	switch p.Kind {
	case TransistorNPN, TransistorPNP:
		if v, ok := high("drive.buffer.voltage"); ok {
			return "supply and clamp together, " + v + ", × 1.25"
		}
	case Electrolytic:
		for i := range b.coils {
			if slices.Contains(b.coils[i].hold, p) {
				return "holds " + b.relayRef(i) + " through the transmitter's tail"
			}
		}
		if v, ok := high("drive.supply.released"); ok {
			return "highest supply " + v + " × 1.25"
		}
	case Fuse:
		if v, ok := high("drive.winding.current"); ok {
			return "at least 2 × the drive's " + v + " rms; the mains fuse does not see a shorted reservoir"
		}
	case Diode, Bridge:
		if v, ok := high("drive.diode.reverse"); ok {
			return "rectifier class 1000 V 1 A; highest reverse voltage " + v
		}
		return "clamps the coil"
	case Zener:
		return "shortens the release; supply + clamp stays under the line's rating"
	case Resistor:
		return b.resistorWhy(p)
	case Capacitor:
		return "keeps RF off the lead at the cut"
	}
	return ""
}

func (b *builder) resistorWhy(p *Part) string {
	for i := range b.w.Groups {
		g := &b.w.Groups[i]
		if g.Series == p {
			return "keeps the discharge of " + g.Capacitor.Ref + " through the closing contact within what it may make"
		}
		if g.Pulldown != p {
			continue
		}
		q, ok := b.a.Get("return." + g.Name + ".pulldown_power")
		if !ok {
			return "keeps the lifted node at chassis"
		}
		return "keeps " + g.Name + " within its ratings; at most " + format(q.High, q.Unit) + "; its own leads, soldered before the return is cut"
	}
	if u := b.w.Drive.Buffer; u != nil {
		switch p {
		case u.BaseEmitter:
			return "keeps the transistor off while the line is open and leaks"
		case u.Pull:
			return "feeds the base; the key line shorts it"
		}
		for _, it := range u.Upper {
			if it.Part == p {
				return "base current for a forced gain of 20 at most, at the lowest supply"
			}
		}
	}
	for i := range b.coils {
		if q, ok := b.a.Get(driveStem(i) + ".dropper.power"); ok && b.coils[i].dropper == p {
			return "coil of " + b.relayRef(i) + " within its limits; rated for twice the " + format(q.High, q.Unit) + " at most"
		}
		if slices.Contains(b.coils[i].hold, p) {
			return "limits the charging current of the hold capacitor"
		}
	}
	return "twice what it dissipates"
}

// poles counts them.
func poles(n int) string {
	if n == 1 {
		return "1 pole"
	}
	return fmt.Sprintf("%d poles", n)
}
