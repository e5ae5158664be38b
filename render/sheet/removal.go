package sheet

import (
	"fmt"

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
			rows = append(rows, []cell{
				tickCell(), text(fmt.Sprintf("CUT %d", g.Cut)), text(g.Joints[1].Words), text(g.Joints[0].Words),
				text(fmt.Sprintf("wires %d and %d", g.Wires[0].Number, g.Wires[1].Number)),
			})
		}
	}
	if len(rows) == 0 {
		f.task("Nothing of the set was cut: nothing is to be rejoined.")
	} else {
		f.task("Rejoin the ends that were taken off, before anything else is taken out: each goes back where it was.")
	}
	f.rows([]column{
		{wide: 4, fixed: true, style: regular}, {head: "mark", wide: 16, fixed: true, style: bold}, {head: "rejoin", wide: 4, style: regular},
		{head: "to", wide: 3, style: regular}, {head: "in place of", wide: 3, style: regular},
	}, rows)
	f.space(0.8)
	s.standbyBack(f)
	f.ticks("Take every added wire out, both ends:", s.design.Fitting.Wires)
	var refs []string
	for _, e := range s.design.Fitting.Parts {
		refs = append(refs, e.Ref)
	}
	f.task("Take the added parts out: " + listed(refs) + ".")
	if len(rows) > 0 {
		f.task("Measure in ohms: each rejoined end reads 0.2\u00a0Ω at most to where it goes.")
	}
	f.task("See that no terminal of the set is left live or open.")
	f.task("Take these sheets out too, or write on them what was left in.")
	f.say(italic, "What stays in the set: its own repairs (cord, fuse, capacitors). They are none of the interface.")
}

func rejoin(n int, lift *fitting.Joint, w *fitting.Wire) []cell {
	return []cell{tickCell(), text(fmt.Sprintf("CUT %d", n)), text(lift.Words), text("chassis"), text(fmt.Sprintf("wire %d to %s", w.Number, w.To.Words))}
}

func tickCell() cell {
	return cell{high: 4.2, draw: func(b *block, x, y, _ float64) { b.tickBox(x, y+3.2) }}
}

// dead tells what the set does when something is off or broken, and what became
// of the controls that it had.
func (s *sheet) dead(f *flow) {
	fit := &s.design.Fitting
	if len(fit.Faults) > 0 {
		var rows [][]cell
		unguarded := false
		for _, x := range fit.Faults {
			guarded := x.Guarded
			if guarded == "no" || guarded == "part" {
				unguarded = true
			}
			rows = append(rows, []cell{text(x.Name), text(orDash(x.Relay)), text(orDash(x.Muted)), text(orDash(guarded)), text(x.Note)})
		}
		f.tabled("WHEN SOMETHING IS OFF OR BROKEN", "is the set muted, is its antenna input guarded?", []column{
			{head: "when", wide: 4, style: bold}, {head: "relay", wide: 20, fixed: true, style: regular},
			{head: "muted", wide: 16, fixed: true, style: regular}, {head: "guarded", wide: 20, fixed: true, style: regular},
			{head: "", wide: 5, style: regular},
		}, rows)
		if unguarded {
			f.space(1)
			f.say(strong, "Never transmit while the antenna input is not guarded: take this set’s antenna off first.")
		}
	}
	if len(fit.Standby) == 0 {
		return
	}
	var rows [][]cell
	for _, x := range fit.Standby {
		rows = append(rows, []cell{text(x.Name), text(x.Opens), text(x.Words)})
	}
	f.tabled("WHAT THE SET HAD", "its own standby controls", []column{
		{head: "control", wide: 3, style: bold}, {head: "opens", wide: 2, style: regular}, {head: "now", wide: 6, style: regular},
	}, rows)
}

func orDash(word string) string {
	if word == "" {
		return "–"
	}
	return word
}
