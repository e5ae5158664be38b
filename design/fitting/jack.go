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
	j.Title = map[string]string{
		"grounded": "Ground the tip: the receiver mutes.",
		"opened":   "Ground the tip: the receiver works.",
		"raised":   "Raise the tip: the receiver mutes.",
	}[b.f.Control.MutesWhen]
	if open, ok := b.a.Get("control.open"); ok {
		j.Lines = append(j.Lines, fmt.Sprintf("Open %s, tip positive.", spanText(open.Nominal, open.Low, open.High, quantity.Voltage)))
	}
	if closed, ok := b.a.Get("control.closed"); ok {
		line := fmt.Sprintf("Closed %s.", spanText(closed.Nominal, closed.Low, closed.High, quantity.Current))
		if kick, ok := b.a.Get("control.kick"); ok {
			line += fmt.Sprintf(" Let-go %s.", format(kick.High, quantity.Voltage))
		}
		j.Lines = append(j.Lines, line)
	}
	if b.f.Transmitter.Keying == "source" {
		j.Lines = append(j.Lines, fmt.Sprintf("The transmitter feeds %s into it.", b.text(b.f.Transmitter.Level)))
	} else {
		rating := words(b.roundUp("control.kick", "control.open"), b.text(b.f.Transmitter.LineAmps))
		j.Lines = append(j.Lines, "Switch it with a contact or an open", "collector, "+rating+". Feed nothing in.")
	}
	return j
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

// states is the table of contacts in the set's three states.
func (b *builder) states() (heads []string, states []State) {
	type column struct {
		throw contact.Throw
		relay int
		label string
	}
	var columns []column
	for _, p := range b.a.Poles.Used {
		n := p.Number + 1
		for _, throw := range []contact.Throw{contact.Break, contact.Make} {
			if p.Throw != throw && p.Throw != contact.Both {
				continue
			}
			function := 2
			if throw == contact.Make {
				function = 4
			}
			label := fmt.Sprintf("%d1–%d%d", n, n, function)
			if len(b.f.Relays) > 1 {
				label = fmt.Sprintf("K%d ", p.Relay+1) + label
			}
			columns = append(columns, column{throw, p.Relay, label})
		}
	}
	for _, c := range columns {
		heads = append(heads, c.label)
	}
	row := func(name, note string, energised func(relay int) bool) State {
		s := State{Name: name, Note: note}
		s.Relay = "released"
		if energised(0) {
			s.Relay = "operated"
		}
		for _, c := range columns {
			closed := (c.throw == contact.Make) == energised(c.relay)
			word := "open"
			if closed {
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

// guarded is the antenna or audio point with its guard, "" where there is none.
func (b *builder) guarded() *known.Point {
	i := slices.IndexFunc(b.f.Points, func(p known.Point) bool { return p.Kind == known.Antenna })
	if i < 0 {
		return nil
	}
	return &b.f.Points[i]
}

func (b *builder) transmitNote() string {
	p := b.guarded()
	switch {
	case p == nil && len(b.f.Returns) > 0:
		return "Muted; the antenna is not guarded here."
	case p == nil:
		return "Muted."
	case len(b.f.Returns) == 0:
		return "Antenna guarded."
	case p.Legs == "across":
		return "Muted; antenna terminals shorted."
	}
	return "Muted; antenna shorted to chassis."
}

func (b *builder) offNote() string {
	p := b.guarded()
	if p == nil {
		return ""
	}
	for _, pole := range b.a.Poles.Serving(p.Name) {
		if b.f.Relays[pole.Relay].OnReceive {
			return "Antenna stays shorted."
		}
	}
	return "Antenna is then NOT shorted."
}

// spareLugs lists the throws that stay free on the poles in use, and the poles
// that are not used at all.
func (b *builder) spareLugs() []string {
	var spare []string
	for i := range b.f.Relays {
		c := &b.f.Relays[i].Contacts
		prefix := ""
		if len(b.f.Relays) > 1 {
			prefix = b.relayRef(i) + "-"
		}
		for pole := range c.Poles {
			at := slices.IndexFunc(b.a.Poles.Used, func(p answer.Pole) bool { return p.Relay == i && p.Number == pole })
			hasBreak, hasMake := c.Form != "A", c.Form != "B"
			lug := func(function int) { spare = append(spare, fmt.Sprintf("%s%d%d", prefix, pole+1, function)) }
			if at < 0 {
				lug(1)
			}
			if hasBreak && (at < 0 || b.a.Poles.Used[at].Throw == contact.Make) {
				lug(2)
			}
			if hasMake && (at < 0 || b.a.Poles.Used[at].Throw == contact.Break) {
				lug(4)
			}
		}
	}
	return spare
}
