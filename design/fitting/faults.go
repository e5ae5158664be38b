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

// A FaultState is one row of the table of what is left when something is off or
// broken: is the set muted, is its input guarded?
type FaultState struct {
	Name    string // "cable unplugged"
	Relay   string // "released", "operated"; "": as the key says
	Muted   string // "yes", "no", "silent" (it is off), "part" (not every return); "": nothing mutes
	Guarded string // "yes", "no", "part"; "": nothing guards
	Note    string // a word on what stands where, or what to do
}

// A Standby is a control that the set already has, and what becomes of it.
type Standby struct {
	Name  string
	Opens string // "cathode return"
	Left  string // "in use"
	Words string // one sentence for the sheet
	Work  string // what is soldered at it; "" where it stays as it is
	Strap int    // number of the wire across it; 0: none
}

// faults makes the table of states. Where no coil circuit serves, only what
// needs no key line can be told.
func (b *builder) faults() []FaultState {
	if len(b.a.Poles.Used) == 0 {
		return nil
	}
	off := b.row(false)
	off.Name, off.Note = "set off", "no B+: nothing to hear"
	if off.Muted != "" {
		off.Muted = "silent"
	}
	fed := b.f.Relays[0].Supply >= 0
	if !fed {
		off.Note += "; a line that feeds the coil works the relay even so"
	}
	list := []FaultState{off}
	if !b.a.Circuit.OK() {
		return list
	}
	if fed {
		dead := b.stuck(false)
		dead.Name = b.feedFault()
		list = append(list, dead)
	}
	unplugged := b.stuck(b.a.Circuit.Unplugged())
	unplugged.Name = "key cable unplugged"
	shorted := b.stuck(b.a.Circuit.Shorted())
	shorted.Name = "key cable shorted to chassis"
	list = append(list, unplugged, shorted)
	for i := range b.f.Returns {
		list = append(list, b.pulldownOpen(&b.f.Returns[i])...)
	}
	for _, p := range b.a.Poles.Used {
		list = append(list, b.welded(p)...)
	}
	for i := range b.f.Standby {
		if s := &b.f.Standby[i]; s.Left == "in use" {
			list = append(list, b.ownSwitch(s))
		}
	}
	return list
}

// feedFault is what may leave the coils without current.
func (b *builder) feedFault() string {
	r := &b.f.Relays[0]
	switch rail := b.f.Supplies[r.Supply].Rail; {
	case !r.Fuse.Exists():
		return "relay supply missing"
	case rail:
		return "relay fuse open"
	}
	return "winding fuse open"
}

// row is what is muted and guarded with all coils energised or not.
func (b *builder) row(energised bool) FaultState {
	s := FaultState{Relay: "released"}
	if energised {
		s.Relay = "operated"
	}
	var opens, guards tally
	for i := range b.f.Returns {
		ret := &b.f.Returns[i]
		poles := b.a.Poles.Serving(ret.Name)
		opens.count(b.wired(ret) && (poles[0].Throw == contact.Make) != energised)
	}
	transmit := energised != b.f.Relays[0].OnReceive
	for i := range b.f.Points {
		p := &b.f.Points[i]
		switch p.Kind {
		case known.Audio:
			opens.count(transmit && b.served(p))
		case known.Antenna:
			guards.count(transmit && b.served(p))
		}
	}
	s.Muted, s.Guarded = opens.word(), guards.word()
	return s
}

// served tells whether an antenna or audio point has all the poles that it needs.
func (b *builder) served(p *known.Point) bool {
	needs := 1
	if p.Guard == "open and short" || p.Legs == "each" || p.Guard == "changeover" && p.Legs == "across" {
		needs = 2
	}
	return len(b.a.Poles.Serving(p.Name)) >= needs
}

// stuck is a row in which the key does nothing any more.
func (b *builder) stuck(energised bool) FaultState {
	s := b.row(energised)
	s.Note = "the key does nothing: it receives as ever"
	if energised != b.f.Relays[0].OnReceive {
		s.Note = "the key does nothing: it stays as on transmit"
	}
	return s
}

// A tally counts what does its work and what does not.
type tally struct{ yes, no int }

func (t *tally) count(ok bool) {
	if ok {
		t.yes++
	} else {
		t.no++
	}
}

func (t *tally) word() string {
	switch {
	case t.yes+t.no == 0:
		return ""
	case t.no == 0:
		return "yes"
	case t.yes == 0:
		return "no"
	}
	return "part"
}

// transmitRow begins a row of something broken, with the relays as on transmit.
func (b *builder) transmitRow(name string) FaultState {
	s := b.row(!b.f.Relays[0].OnReceive)
	s.Name = name + ", on transmit"
	return s
}

// pulldownOpen is a pulldown that has come loose: the set mutes, and the node
// rises.
func (b *builder) pulldownOpen(ret *known.Return) []FaultState {
	q, ok := b.a.Get("return." + ret.Name + ".unguarded")
	if !ok || !ret.Pulldown.Exists() || !b.wired(ret) {
		return nil
	}
	row := b.transmitRow("pulldown of " + ret.Name + " open")
	row.Note = fmt.Sprintf("the node rises to as much as %s", format(q.High, quantity.Voltage))
	return []FaultState{row}
}

// welded is a contact that no longer moves from where it is closed.
func (b *builder) welded(p answer.Pole) []FaultState {
	row := b.transmitRow(p.Letter + " welded closed")
	point := slices.IndexFunc(b.f.Points, func(k known.Point) bool { return k.Name == p.Serves })
	if point < 0 {
		row.Muted, row.Note = b.without(row.Muted), p.Serves+" stays on chassis"
		return []FaultState{row}
	}
	k := &b.f.Points[point]
	first := b.a.Poles.Serving(k.Name)[0].Letter == p.Letter
	switch {
	case k.Kind == known.Audio:
		row.Note = k.Name + " stays shorted: silent on receive too"
	case k.Guard == "changeover":
		row.Name = p.Letter + " welded to the antenna, on transmit"
		row.Guarded, row.Note = "no", "the input stays on the antenna"
		other := b.transmitRow(p.Letter + " welded to chassis")
		other.Note = "on receive the input stays on chassis: the set is deaf"
		return []FaultState{row, other}
	case k.Guard == "open and short" && first:
		row.Guarded, row.Note = "part", "antenna and input stay joined, shorted to chassis by the other contact"
	case k.Guard == "open and short":
		row.Note = "on receive the input stays shorted: the set is deaf"
	case k.Legs == "each":
		row.Note = "on receive one leg stays shorted: the set is all but deaf"
	default:
		row.Note = "on receive " + k.Name + " stays shorted: the set is deaf"
	}
	return []FaultState{row}
}

// without is what is left muted when one of what mutes fails.
func (b *builder) without(muted string) string {
	n := 0
	for i := range b.f.Returns {
		if b.wired(&b.f.Returns[i]) {
			n++
		}
	}
	for i := range b.f.Points {
		if p := &b.f.Points[i]; p.Kind == known.Audio && len(b.a.Poles.Serving(p.Name)) > 0 {
			n++
		}
	}
	if n < 2 {
		return "no"
	}
	if muted == "yes" {
		return "part"
	}
	return muted
}

// ownSwitch is a control of the set's own that stands in standby.
func (b *builder) ownSwitch(s *known.Standby) FaultState {
	row := FaultState{Name: s.Name + " open", Muted: "silent", Note: "the set's own switch"}
	if s.Return >= 0 {
		row.Muted, row.Note = "yes", "the set's own switch; the pulldown stands on the tubes' side of it"
		if len(b.f.Returns) > 1 {
			row.Muted = "part"
		}
	}
	if b.antenna() != nil {
		row.Guarded = "as keyed"
	}
	return row
}

// standby lists the set's own standby controls with what becomes of them.
func (b *builder) standby() []Standby {
	var list []Standby
	for i := range b.f.Standby {
		s := &b.f.Standby[i]
		line := Standby{Name: s.Name, Opens: s.Opens, Left: s.Left}
		volts := ""
		if q, ok := b.a.Get(standbyStem(i) + ".voltage"); ok && q.High > 0 {
			volts = fmt.Sprintf(" (up to %s)", WholeVolts(q.High))
		}
		switch {
		case s.Left == "removed":
			line.Words = "Removed: its leads are joined inside, the joint insulated."
			line.Work = "Take both leads off " + s.Name + ", join them inside the cabinet" + volts + " and insulate the joint: what it opened, " + s.Opens + ", stays closed for good. Mark the leads, so that they find back."
		case s.Left == "open":
			line.Words = "Left open" + volts + ": the set does not receive."
		case s.Left == "strapped":
			line.Words = "Strapped inside the cabinet; they are live" + volts + " if the strap comes off."
			with := "an insulated wire"
			if w := b.strap(i); w != nil {
				with, line.Strap = fmt.Sprintf("wire %d, insulated,", w.Number), w.Number
			}
			line.Work = "Strap " + s.Name + " with " + with + " from one of its two tags to the other, inside the cabinet, and cover what can be touched from outside" + volts + "."
		case s.Return >= 0:
			line.Words = fmt.Sprintf("In series with %s: either opens the return%s; the pulldown goes to the tubes' side of both.",
				strings.Join(b.letters(b.f.Returns[s.Return].Name), ", "), volts)
		default:
			line.Words = "Stays in use" + volts + "; take the readings with it on receive."
		}
		list = append(list, line)
	}
	return list
}

// letters are the names of the contacts that serve a place.
func (b *builder) letters(place string) []string {
	var list []string
	for _, p := range b.a.Poles.Serving(place) {
		list = append(list, p.Letter)
	}
	return list
}
