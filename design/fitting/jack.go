package fitting

import (
	"fmt"
	"slices"
	"strings"

	"mutewright/design/answer"
	"mutewright/design/contact"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// jack builds the receptacle for the key line.
func (b *builder) jack(r *known.Relay) Jack {
	ref := b.ref("J")
	j := Jack{
		Ref: ref, Words: b.f.Control.Jack,
		Tip:    &Joint{ID: ref + " tip", Label: "tip", Words: ref + " tip", Added: true},
		Sleeve: &Joint{ID: ref + " sleeve", Label: "sleeve", Words: ref + " sleeve", Added: true},
	}
	j.Ground = b.wire(j.Sleeve, b.lug(ref), "BK", heavy, "control.closed")
	j.Title = b.jackTitle()
	j.Lines = b.jackLines()
	return j
}

// jackLines say what stands on the line and what flows in it.
func (b *builder) jackLines() []string {
	var lines []string
	span := func(name string, u quantity.Unit) (string, bool) {
		q, ok := b.a.Get(name)
		return spanText(q.Nominal, q.Low, q.High, u), ok
	}
	open, hasOpen := span("control.open", quantity.Voltage)
	closed, hasClosed := span("control.closed", quantity.Current)
	kick := ""
	if q, ok := b.a.Get("control.kick"); ok && b.f.Relays[0].Buffer == "none" {
		kick = fmt.Sprintf(" Let-go %s.", format(q.High, quantity.Voltage))
	}
	if b.f.Transmitter.Keying == "source" {
		lines = append(lines, fmt.Sprintf("The transmitter feeds %s into it.", b.text(b.f.Transmitter.Level)))
		if hasClosed {
			lines = append(lines, fmt.Sprintf("Raised it takes %s.", closed)+kick)
		}
		return lines
	}
	if hasOpen {
		lines = append(lines, fmt.Sprintf("Open %s, tip positive.", open))
	}
	if hasClosed {
		lines = append(lines, fmt.Sprintf("Closed %s.", closed)+kick)
	}
	rating := words(b.roundUp("control.kick", "control.open"), b.text(b.f.Transmitter.LineAmps))
	return append(lines, "Switch it with a contact or an open", "collector, "+rating+". Feed nothing in.")
}

// jackTitle says in a few words what the key line does, true to what is wired.
func (b *builder) jackTitle() string {
	does := "the relay moves."
	switch mutes := b.mutes(); {
	case mutes && b.f.Control.MutesWhen == "opened":
		return "Ground the tip: the receiver works."
	case mutes:
		does = "the receiver mutes."
	case b.antenna() != nil:
		does = "the antenna is guarded."
	}
	verb := map[string]string{"grounded": "Ground", "opened": "Open", "raised": "Raise"}[b.f.Control.MutesWhen]
	return verb + " the tip: " + does
}

// roundUp is the next usual line rating above what the line sees.
func (b *builder) roundUp(names ...string) string {
	var v float64
	for _, name := range names {
		if q, ok := b.a.Get(name); ok {
			v = max(v, q.High)
		}
	}
	for _, usual := range []float64{15, 20, 30, 40, 50, 60, 100} {
		if v <= usual {
			return format(usual, quantity.Voltage)
		}
	}
	return format(v, quantity.Voltage)
}

// spanText is "17.3 V (15.2–19.6)"; where the ends have other prefixes than the
// value, they keep their units.
func spanText(nominal, low, high float64, u quantity.Unit) string {
	text, l, h := format(nominal, u), format(low, u), format(high, u)
	if l == h {
		return text
	}
	_, unit, _ := strings.Cut(text, "\u00a0")
	bareLow, ok := strings.CutSuffix(l, "\u00a0"+unit)
	bareHigh, ok2 := strings.CutSuffix(h, "\u00a0"+unit)
	if ok && ok2 {
		return fmt.Sprintf("%s (%s–%s)", text, bareLow, bareHigh)
	}
	return fmt.Sprintf("%s (%s to %s)", text, l, h)
}

// states is the table of contacts in the set's three states. Of a changeover it
// says to which throw its common is joined.
func (b *builder) states() (heads []string, states []State) {
	poles := b.a.Poles.Used
	for _, p := range poles {
		head := p.Letter
		if p.Throw == contact.Both {
			head += " to"
		}
		heads = append(heads, head)
	}
	row := func(name, note string, energised func(relay int) bool) State {
		s := State{Name: name, Note: note, Relay: "released"}
		if energised(0) {
			s.Relay = "operated"
		}
		for _, p := range poles {
			word := "open"
			switch made := energised(p.Relay); {
			case p.Throw == contact.Both:
				word = throwName(!made)
			case (p.Throw == contact.Make) == made:
				word = "closed"
			}
			s.Contacts = append(s.Contacts, word)
		}
		return s
	}
	onReceive := func(relay int) bool { return b.f.Relays[relay].OnReceive }
	states = []State{
		row("RECEIVE", "", onReceive),
		row("TRANSMIT", b.transmitNote(), func(relay int) bool { return !onReceive(relay) }),
		row("SET OFF", b.offNote(), func(int) bool { return false }),
	}
	return heads, states
}

// antenna is the first antenna point, nil where there is none.
func (b *builder) antenna() *known.Point {
	i := slices.IndexFunc(b.f.Points, func(p known.Point) bool { return p.Kind == known.Antenna })
	if i < 0 {
		return nil
	}
	return &b.f.Points[i]
}

// mutes tells whether anything that is wired silences the set.
func (b *builder) mutes() bool {
	for i := range b.f.Returns {
		if b.wired(&b.f.Returns[i]) {
			return true
		}
	}
	return slices.ContainsFunc(b.f.Points, func(p known.Point) bool {
		return p.Kind == known.Audio && len(b.a.Poles.Serving(p.Name)) > 0
	})
}

// guardWords say how an antenna input stands when it is guarded, and when not.
func guardWords(p *known.Point) (guarded, open string) {
	switch {
	case p.Guard == "changeover":
		return "input moved to chassis", "input ON the antenna"
	case p.Guard == "open and short":
		return "antenna opened, input shorted", "input ON the antenna"
	case p.Legs == "across":
		return "antenna terminals shorted", "antenna NOT shorted"
	case p.Legs == "each":
		return "both antenna legs shorted to chassis", "antenna NOT shorted"
	}
	return "antenna shorted to chassis", "antenna NOT shorted"
}

// transmitNote says what the contacts have done on transmit.
func (b *builder) transmitNote() string {
	is := b.row(!b.f.Relays[0].OnReceive)
	note := map[string]string{"yes": "Muted", "part": "Muted in part", "no": "NOT muted"}[is.Muted]
	guard := "the antenna is not guarded here"
	if p := b.antenna(); p != nil {
		guarded, open := guardWords(p)
		guard = open
		if is.Guarded == "yes" {
			guard = guarded
		}
	}
	if note == "" {
		return capital(guard) + "."
	}
	return note + "; " + guard + "."
}

// offNote says what becomes of the antenna when the set is off.
func (b *builder) offNote() string {
	p := b.antenna()
	if p == nil {
		return ""
	}
	guarded, open := guardWords(p)
	note := capital(open) + "."
	if b.row(false).Guarded == "yes" {
		note = capital(guarded) + "."
	}
	if b.f.Relays[0].Supply < 0 {
		note += " The key line feeds the coil itself: a raised line still operates it."
	}
	return note
}

func capital(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// spareLugs lists the throws that stay free on the poles in use, and the poles
// that are not used at all: "K1a make", "K1c".
func (b *builder) spareLugs() []string {
	var spare []string
	for i := range b.f.Relays {
		c := &b.f.Relays[i].Contacts
		for pole := range c.Poles {
			letter := fmt.Sprintf("%s%c", b.relayRef(i), 'a'+pole)
			at := slices.IndexFunc(b.a.Poles.Used, func(p answer.Pole) bool { return p.Relay == i && p.Number == pole })
			switch {
			case at < 0:
				spare = append(spare, letter)
			case c.Form != "C":
			case b.a.Poles.Used[at].Throw == contact.Make:
				spare = append(spare, letter+" "+breaking)
			case b.a.Poles.Used[at].Throw == contact.Break:
				spare = append(spare, letter+" "+making)
			}
		}
	}
	return spare
}
