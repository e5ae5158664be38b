package sheet

import (
	"fmt"
	"strings"

	"mutewright/design/fitting"
)

func number(n int) string { return fmt.Sprint(n) }

// removal is for whoever opens the set in twenty years.
func (s *sheet) removal() {
	f := s.flow(removalPage, "To take it out again", "Wires to remove, ends to rejoin, and what the set does when the interface is dead.")
	s.dead(f)
	w := &s.design.Fitting.Wiring

	f.head("TO TAKE IT OUT AGAIN", "for whoever opens this set in twenty years", 16)
	f.task("Unplug. " + s.measuring())
	f.task("Rejoin the ends that were lifted, before anything else is taken out: each goes back to chassis where it was.")
	var rows [][]cell
	for i := range w.Groups {
		for _, st := range w.Groups[i].Stubs {
			rows = append(rows, rejoin(st.Cut, st.Lift, st.Wire))
			for _, c := range st.Lifts {
				rows = append(rows, rejoin(c.Cut, c.Lift, c.Wire))
			}
		}
	}
	for i := range w.Guards {
		if g := &w.Guards[i]; g.Cut > 0 && len(g.Joints) > 1 {
			rows = append(rows, []cell{tickCell(), text(fmt.Sprintf("CUT %d", g.Cut)), text(g.Joints[0].Words), text(g.Joints[1].Words), text("then take its wires out")})
		}
	}
	f.rows([]column{
		{wide: 4, fixed: true, style: regular}, {head: "mark", wide: 16, fixed: true, style: bold}, {head: "rejoin", wide: 4, style: regular},
		{head: "to", wide: 3, style: regular}, {head: "in place of", wide: 3, style: regular},
	}, rows)
	f.task("Take every added wire out, both ends:")
	f.ticks(s.design.Fitting.Wires)
	var refs []string
	for _, e := range s.design.Fitting.Parts {
		refs = append(refs, e.Ref)
	}
	f.task("Take the added parts out: " + listed(refs) + ".")
	f.task("Measure in ohms that each rejoined end reads what it did before, 0.2\u00a0Ω at most to chassis, and that no terminal of the set is left live or open.")
	f.task("Take these sheets out too, or write on them what was left in.")
	f.say(italic, "What stays in the set: its own repairs (cord, fuse, capacitors). They are none of the interface.")
}

func rejoin(n int, lift *fitting.Joint, w *fitting.Wire) []cell {
	return []cell{tickCell(), text(fmt.Sprintf("CUT %d", n)), text(lift.Words), text("chassis"), text(fmt.Sprintf("wire %d to %s", w.Number, w.To.Words))}
}

func tickCell() cell {
	return cell{high: 4.2, draw: func(b *block, x, y, _ float64) { b.tickBox(x, y+3.2) }}
}

// dead tells what the set does when the interface is not fed or not connected.
func (s *sheet) dead(f *flow) {
	j := &s.design.Fitting.Wiring.Drive.Jack
	if len(j.States) < 3 {
		return
	}
	receive, transmit, off := j.States[0], j.States[1], j.States[2]
	unfed := receive
	if off.Relay != receive.Relay {
		unfed = transmit
	}
	open := map[bool]fitting.State{true: receive, false: transmit}[s.design.Head.MutesWhen != "opened"]
	muted := func(st fitting.State) string {
		switch {
		case len(s.design.Fitting.Wiring.Groups) == 0:
			return "–"
		case st.Relay == transmit.Relay:
			return "muted"
		}
		return "plays"
	}
	guarded := func(st fitting.State) string {
		switch {
		case len(s.design.Fitting.Wiring.Guards) == 0:
			return "not guarded here"
		case st.Relay == transmit.Relay:
			return "guarded"
		}
		return "NOT guarded"
	}
	f.head("WHEN THE INTERFACE IS DEAD", "contacts as in the table of the jack", 16)
	row := func(when string, st fitting.State, set string) []cell {
		return []cell{text(when), text(st.Relay), text(set), text(guarded(st)), text(sentence(j.Contacts, st.Contacts))}
	}
	f.rows([]column{
		{head: "when", wide: 4, style: bold}, {head: "relay", wide: 18, fixed: true, style: regular},
		{head: "the set", wide: 18, fixed: true, style: regular}, {head: "antenna input", wide: 28, fixed: true, style: regular},
		{head: "contacts", wide: 5, style: regular},
	}, [][]cell{
		row("set switched off or unplugged", off, "off"),
		row("set on, drive without supply (fuse blown, wire broken)", unfed, muted(unfed)),
		row("set on, key cable unplugged", open, muted(open)),
	})
	warn := "With the antenna not guarded, never transmit: unplug the antenna from this set first."
	if len(s.design.Fitting.Wiring.Guards) > 0 && strings.Contains(guarded(off)+guarded(unfed)+guarded(open), "NOT") {
		f.say(strong, warn)
	}
}
