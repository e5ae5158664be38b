package rule

import (
	"fmt"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/contact"
	"mutewright/design/finding"
	"mutewright/design/known"
)

var (
	contactPoles   = kind("contact.poles", "Too few poles", "the plan itself")
	contactForm    = kind("contact.form", "Contacts of the wrong form", "the plan itself")
	contactServes  = kind("contact.serves", "A point that no relay serves", "the plan itself")
	contactLimit   = kind("contact.limit", "Contact breaks more than its DC limit", "DC limits of the relay's class, log–log between published points")
	contactLeast   = kind("contact.least_load", "Contact not fit for a dry circuit", "least load of the relay's class; IEC 61810-1 contact categories, from memory")
	contactGold    = kind("contact.gold", "Contact that loses its gold", "gold does not withstand more than 30 V or 50 mA switched (published, second-hand)")
	contactMake    = kind("contact.make", "Contact closes on a charged capacitor", "a reed welds on a charged capacitor (published, second-hand)")
	contactOpen    = kind("contact.insulation_open", "Open contact's insulation", "data sheets give V rms for one minute; √2 of it against DC")
	contactCoil    = kind("contact.insulation_coil", "Insulation from coil to contacts", "data sheets give V rms for one minute; √2 of it against DC")
	contactBetween = kind("contact.insulation_poles", "Insulation between poles", "data sheets give V rms for one minute; √2 of it against DC")
)

func judgeContacts(b *bench) {
	for _, r := range b.Poles.Refusals {
		b.judgeRefusal(r)
	}
	for _, p := range b.Poles.Used {
		b.judgeContact(p)
	}
	for i := range b.Relays {
		b.judgeInsulation(i)
	}
}

var throwWords = map[contact.Throw]string{contact.Break: "a break contact", contact.Make: "a make contact", contact.Both: "a changeover contact"}

func (b *bench) judgeRefusal(r answer.Refusal) {
	relay := &b.Relays[len(b.Relays)-1]
	if own := b.Serving(r.Serves); own != nil {
		relay = own
	}
	at, turned := relay.At+".use", "receive"
	if relay.OnReceive {
		turned = "transmit"
	}
	switch r.Reason {
	case contact.TooFewPoles:
		b.raise(contactPoles, finding.Fail, at,
			fmt.Sprintf("%s needs %s and no pole is left.", capital(r.Serves), throwWords[r.Throw]),
			another("with more poles", relay)+", or a second relay for "+r.Serves+" (relay may be a list of two, each with its serves).")
	case contact.WrongForm:
		b.raise(contactForm, finding.Fail, at,
			fmt.Sprintf("%s needs %s; the poles that are left have none.", capital(r.Serves), throwWords[r.Throw]),
			another("with changeover contacts, form C", relay)+", or energise it on "+turned+" ("+relay.At+".energised_on, with the buffer that this wants).")
	default:
		b.raise(contactServes, finding.Fail, b.Relays[0].At+".serves",
			fmt.Sprintf("No relay serves %s.", r.Serves),
			"Name it in the list of what a relay serves ("+b.Relays[0].At+".serves).")
	}
}

func (b *bench) judgeContact(p answer.Pole) {
	relay := &b.Relays[p.Relay]
	c := &relay.Contacts
	stem := "contact." + p.Letter
	at := relay.At + ".use"
	if margin, ok := b.low(stem + ".margin"); ok {
		open, closed := b.highOf(stem+".open"), b.highOf(stem+".closed")
		limit, _ := b.low(stem + ".limit")
		if s := ofMarginOfRating(margin); s != finding.Good {
			b.raise(contactLimit, s, at,
				fmt.Sprintf("%s breaks up to %s at %s; at that voltage its class may break %s.", p.Letter, amps(closed), volts(open), amps(limit)),
				another("whose contacts break this", relay)+b.lowerPulldown(p.Serves)+".")
		}
	}
	if p.Dry {
		least := contact.Load{Volts: b.number(c.LeastVolts), Amps: b.number(c.LeastAmps)}
		if !least.DryRated() {
			b.raise(contactLeast, finding.Caution, at,
				fmt.Sprintf("%s switches the dry circuit of %s; its contact wants at least %s and %s to make through its film.", p.Letter, p.Serves, volts(least.Volts), amps(least.Amps)),
				another("with gold-clad, bifurcated contacts rated for dry circuits", relay)+".")
		}
		return
	}
	b.judgeMake(p, relay, stem)
	least := contact.Load{Volts: b.number(c.LeastVolts), Amps: b.number(c.LeastAmps)}
	load := contact.Load{Volts: b.highOf(stem + ".open"), Amps: b.highOf(stem + ".closed")}
	if least.DryRated() && !load.KeepsGold() {
		b.raise(contactGold, finding.Note, at,
			fmt.Sprintf("%s switches up to %s and %s: that wears its gold off.", p.Letter, volts(load.Volts), amps(load.Amps)),
			"Never use this pole for an antenna or audio point afterwards, also not in another set.")
	}
}

// lowerPulldown offers a lower pulldown where a return is served.
func (b *bench) lowerPulldown(serves string) string {
	for r := range b.Returns {
		if b.Returns[r].Name == serves {
			return ", or a lower pulldown (returns." + serves + ".pulldown)"
		}
	}
	return ""
}

// ofMarginOfRating is the severity of a rating over its load: fail under 1,
// caution where more than 80 % of the rating is used.
func ofMarginOfRating(margin float64) finding.Severity {
	switch {
	case under(margin, 1):
		return finding.Fail
	case under(margin, 1/used):
		return finding.Caution
	}
	return finding.Good
}

func (b *bench) highOf(name string) float64 {
	v, _ := b.high(name)
	return v
}

// loopOhms and loopHenries are those of a wire of 100 mm with two joints, for
// the current at which a contact discharges a capacitor (common practice).
const (
	loopOhms    = 0.05
	loopHenries = 100e-9
)

// judgeMake judges a contact that closes on the capacitor at the cut.
func (b *bench) judgeMake(p answer.Pole, relay *known.Relay, stem string) {
	var ret *known.Return
	for r := range b.Returns {
		if b.Returns[r].Name == p.Serves {
			ret = &b.Returns[r]
		}
	}
	if ret == nil || !relay.Contacts.Make.Exists() {
		return
	}
	charged, limit := b.highOf(stem+".open"), b.least(relay.Contacts.Make)
	peak := func(farads, series float64) float64 {
		return contact.MakePeak(charged, farads, series+loopOhms+b.number(relay.Contacts.Resistance), loopHenries)
	}
	// The capacitor at the cut, behind its resistor, or what was measured there.
	capacitance, at := b.number(ret.Capacitor), "returns."+ret.Name+".capacitor"
	most, assumed := 0.0, false
	series := ohms(seriesFor(charged, limit))
	remedy := fmt.Sprintf("Put %s in series with the capacitor %s.", series, try(at+".series", series))
	if capacitance > 0 {
		most = peak(capacitance, b.number(ret.Series))
	}
	for _, i := range ret.Points {
		point := &b.Points[i]
		if point.Kind != known.Measured || !over(b.most(point.Capacitance), 0) {
			continue
		}
		if p := peak(b.most(point.Capacitance), 0); p > most {
			most, capacitance, at = p, b.most(point.Capacitance), point.At+".capacitance"
			assumed = b.Box.Entry(point.Capacitance).Origin == known.Assumed
			remedy = fmt.Sprintf("The capacitor is inside the set: put %s into the wire from the cut to the contact, and measure the open and closed point anew with it.", series)
		}
	}
	if capacitance == 0 {
		return
	}
	switch s := ofRating(most, limit); {
	case s == finding.Good:
	case assumed:
		b.raise(contactMake, finding.Caution, at,
			fmt.Sprintf("Nobody says what capacitance %s closes on; with %s charged to %s it would be up to %s for a moment, and it may make %s.", p.Letter, farads(capacitance), volts(charged), amps(most), amps(limit)),
			"Measure the capacitance from the cut to chassis, set unplugged and discharged, and give it in the plan.")
	default:
		b.raise(contactMake, s, at,
			fmt.Sprintf("%s closes on %s charged to %s: up to %s for a moment; it may make %s.", p.Letter, farads(capacitance), volts(charged), amps(most), amps(limit)),
			remedy)
	}
}

// seriesFor is the resistor of the E12 series that keeps a discharge at half
// the current a contact may make.
func seriesFor(voltage, limit float64) float64 { return catalog.E12.AtLeast(2 * voltage / limit) }

func (b *bench) judgeInsulation(i int) {
	relay := &b.Relays[i]
	c := &relay.Contacts
	for _, q := range b.Insulation(b.Facts, i) {
		if !q.Known {
			continue
		}
		k, what := contactOpen, "across the open contact"
		switch q.Place {
		case contact.CoilToContact:
			k, what = contactCoil, "from coil to contacts"
		case contact.BetweenPoles:
			if c.Poles < 2 {
				continue
			}
			k, what = contactBetween, "between poles"
		}
		switch {
		case under(q.Strength, q.Least):
			b.raise(k, finding.Fail, relay.At+".use",
				fmt.Sprintf("K%d withstands %s DC %s; %s are wanted.", relay.Index, volts(q.Strength), what, volts(q.Least)),
				another("with stronger insulation", relay)+".")
		case under(q.Strength, q.Advised):
			b.raise(k, finding.Caution, relay.At+".use",
				fmt.Sprintf("K%d withstands %s DC %s: enough, but under the %s that leave a margin.", relay.Index, volts(q.Strength), what, volts(q.Advised)),
				another("with stronger insulation where one is to be had", relay)+".")
		}
	}
}
