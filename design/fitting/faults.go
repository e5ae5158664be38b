package fitting

import (
	"fmt"
	"strings"

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
}

// faults makes the table of states.
func (b *builder) faults() []FaultState {
	if len(b.a.Poles.Used) == 0 {
		return nil
	}
	released := b.row(false)
	off := released
	off.Name, off.Note = "set off", "no B+: nothing to hear"
	if off.Muted != "" {
		off.Muted = "silent"
	}
	list := []FaultState{off}
	if !b.a.Circuit.OK() {
		return list
	}
	dead := released
	dead.Name = b.feedFault()
	unplugged := b.row(b.a.Circuit.Unplugged())
	unplugged.Name = "key cable unplugged"
	shorted := b.row(b.a.Circuit.Shorted())
	shorted.Name = "key cable shorted to chassis"
	if dead.Name != unplugged.Name {
		list = append(list, dead)
	}
	list = append(list, unplugged, shorted)
	for i := range b.f.Returns {
		list = append(list, b.pulldownOpen(&b.f.Returns[i])...)
	}
	for _, p := range b.a.Poles.Used {
		list = append(list, b.welded(p.Letter, p.Serves))
	}
	for i := range b.f.Standby {
		if s := &b.f.Standby[i]; s.Left == "in use" && s.Return >= 0 {
			row := FaultState{Name: s.Name + " open", Muted: "yes", Note: "the set's own switch; the pulldown stands on the tubes' side of it"}
			if len(b.f.Returns) > 1 {
				row.Muted = "part"
			}
			if b.guarded() != nil {
				row.Guarded = "as the key says"
			}
			list = append(list, row)
		}
	}
	return list
}

// feedFault is what may leave the coils without current.
func (b *builder) feedFault() string {
	r := &b.f.Relays[0]
	switch {
	case r.Supply < 0:
		return "key cable unplugged"
	case b.f.Supplies[r.Supply].Rail && !r.Fuse.Exists():
		return "relay supply missing"
	case b.f.Supplies[r.Supply].Rail:
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
	closed := func(t contact.Throw) bool { return (t == contact.Make) == energised }
	var opens, guards tally
	for i := range b.f.Returns {
		for _, p := range b.a.Poles.Serving(b.f.Returns[i].Name) {
			opens.count(!closed(p.Throw))
		}
	}
	transmit := energised != b.f.Relays[0].OnReceive
	for i := range b.f.Points {
		p := &b.f.Points[i]
		for range b.a.Poles.Serving(p.Name) {
			if p.Kind == known.Audio {
				opens.count(transmit)
			} else if p.Kind == known.Antenna {
				guards.count(transmit)
			}
		}
	}
	s.Muted, s.Guarded = opens.word(), guards.word()
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

// pulldownOpen is a pulldown that has come loose: the set mutes, and the node
// rises.
func (b *builder) pulldownOpen(ret *known.Return) []FaultState {
	q, ok := b.a.Get("return." + ret.Name + ".unguarded")
	if !ok || !ret.Pulldown.Exists() || len(b.a.Poles.Serving(ret.Name)) == 0 {
		return nil
	}
	row := FaultState{Name: "pulldown of " + ret.Name + " open, on transmit", Relay: b.onTransmit(), Muted: "yes"}
	row.Note = fmt.Sprintf("the node rises to as much as %s", format(q.High, quantity.Voltage))
	if b.guarded() != nil {
		row.Guarded = "yes"
	}
	return []FaultState{row}
}

func (b *builder) onTransmit() string {
	if b.f.Relays[0].OnReceive {
		return "released"
	}
	return "operated"
}

// welded is a contact that no longer moves from where it is closed.
func (b *builder) welded(letter, serves string) FaultState {
	row := FaultState{Name: letter + " welded closed, on transmit", Relay: b.onTransmit()}
	all := b.row(!b.f.Relays[0].OnReceive)
	row.Muted, row.Guarded = all.Muted, all.Guarded
	for i := range b.f.Points {
		if b.f.Points[i].Name != serves {
			continue
		}
		if b.f.Points[i].Kind == known.Audio {
			row.Note = serves + " stays shorted: silent on receive too"
			return row
		}
		row.Note = "on receive " + serves + " stays shorted: the set is deaf"
		if b.f.Points[i].Guard != "short" { // welded to the antenna
			row.Guarded, row.Note = "no", "the input stays on the antenna"
		}
		return row
	}
	row.Muted, row.Note = "no", serves+" stays on chassis"
	if len(b.f.Returns) > 1 {
		row.Muted = "part"
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
		if q, ok := b.a.Get(fmt.Sprintf("standby.%d.voltage", i+1)); ok && q.High > 0 {
			volts = fmt.Sprintf(" (up to %s)", format(q.High, quantity.Voltage))
		}
		switch {
		case s.Left == "removed":
			line.Words = "Removed: join its leads inside and insulate the joint."
		case s.Left == "open":
			line.Words = "Left open" + volts + ": the set does not receive."
		case s.Left == "strapped":
			line.Words = "Strapped inside the cabinet" + volts + " if the strap comes off."
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
