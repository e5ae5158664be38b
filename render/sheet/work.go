package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"mutewright/design"
	"mutewright/design/fitting"
	"mutewright/design/quantity"
	"mutewright/render/scene"
	"mutewright/render/wiring"
)

// work is the work in its order: what never to do, the mains first, what to
// measure before anything is cut, what to solder where, and every reading with a
// place for what was found.
func (s *sheet) work(f *flow) {
	s.never(f)
	s.leftOut(f)
	s.steps(f, "BEFORE THE WORK", "mains side first, nothing connected", s.design.Fitting.Mains.Before)
	s.measureFirst(f)
	s.solder(f)
	for _, state := range []struct{ name, head, remark string }{
		{"unplugged", "FIRST CHECKS", "unplugged; contacts worked by hand or from a bench supply"},
		{"receive", "POWER, ON RECEIVE", "key line as it is on receive"},
		{"muted", "MUTED", "key line as it is on transmit; no transmitter yet"},
		{"timing", "KEY LINE, COIL AND TIMING", "still no RF"},
	} {
		s.readings(f, state.name, state.head, state.remark)
	}
	s.steps(f, "BEFORE THE KEY CABLE GOES ON", "mains side again", s.design.Fitting.Mains.After)
	f.head("LAST", "", 10)
	f.task("Write the readings and the date above, sign under “checked by”, and tape these sheets inside the cabinet.")
}

func (s *sheet) never(f *flow) {
	f.head("NEVER", "", 20)
	if refs := s.pulldowns(); len(refs) > 0 {
		f.bullet(body, "Never remove "+strings.Join(refs, " or ")+" with B+ on: the lifted node then rises to what the last column on sheet 1 says. It is measured unplugged, in ohms.")
	}
	read := "timing"
	if s.lifts() {
		read = "muted” and “timing"
	}
	for _, l := range []string{
		"Never rely on the switch, nor on the clock: unplug, wait, then measure.",
		"Never put both hands into a live chassis: clip the meter on while it is dead, then switch on.",
		"Never begin on a low range: measure volts on the highest first, then step down to the range named.",
		"Never feed RF before the readings of “" + read + "” are what they should be.",
	} {
		f.bullet(body, l)
	}
}

// lifts tells whether any return is lifted.
func (s *sheet) lifts() bool { return len(s.design.Fitting.Wiring.Groups) > 0 }

// pulldowns are the references of all pulldowns.
func (s *sheet) pulldowns() []string {
	var refs []string
	for i := range s.design.Fitting.Wiring.Groups {
		if p := s.design.Fitting.Wiring.Groups[i].Pulldown; p != nil {
			refs = append(refs, p.Ref)
		}
	}
	return refs
}

// leftOut shows what the diagram had no room for.
func (s *sheet) leftOut(f *flow) {
	if !slices.ContainsFunc(s.drawn, func(b wiring.Block) bool { return len(b.Moved) > 0 }) {
		return
	}
	columns := []column{
		{head: "place", wide: 3, style: bold}, {head: "receive", wide: 22, fixed: true, right: true, style: regular},
		{head: "muted", wide: 22, fixed: true, right: true, style: regular}, {head: "in the set", wide: 5, style: regular},
	}
	var rows [][]cell
	for i := range s.design.Fitting.Wiring.Groups {
		for _, st := range s.design.Fitting.Wiring.Groups[i].Stubs {
			receive, muted := "", ""
			if st.Node != nil {
				receive = quantity.Format(st.Node.Receive.Nominal, quantity.Voltage)
				muted = quantity.Format(st.Node.Muted.Nominal, quantity.Voltage)
			}
			rail := ""
			if st.Rail != "" {
				rail = "from " + st.Rail + ", " + quantity.Format(st.RailVolts, quantity.Voltage)
			}
			what := strings.Join(nonempty(append([]string{rail}, st.Extra...)...), "; ")
			rows = append(rows, []cell{text("cathode of " + st.Title), text(receive), text(muted), text(what)})
		}
	}
	f.tabled("NOT IN THE DIAGRAM", "it had no room there", columns, rows)
}

// steps prints a test: sentences to tick, decision tables, readings.
func (s *sheet) steps(f *flow, head, remark string, steps []fitting.Step) {
	for i, step := range steps {
		about := strings.Join(step.Do, " ")
		decisions := decisionRows(step.Decide)
		columns, readings := readingTable(step.Readings)
		g, ok := gridOf(step.Readings)
		if ok {
			columns, readings = g.table()
		}
		high := 4.4 + f.measured(body, about, inset+4.6)
		switch {
		case len(decisions) > 0:
			high += f.start(decisionColumns, decisions)
		case len(readings) > 0:
			high += f.start(columns, readings)
		}
		if i == 0 {
			f.head(head, remark, high)
		} else {
			f.space(1)
			f.need(high)
		}
		f.titled(step.Title)
		f.indented(body, about, inset+4.6)
		f.rows(decisionColumns, decisions)
		f.rows(columns, readings)
		g.reasons(f)
	}
}

var decisionColumns = []column{
	{head: "reads", wide: 3, style: bold}, {head: "means", wide: 4, style: regular}, {head: "do", wide: 5, style: regular},
}

func decisionRows(list []fitting.Decision) [][]cell {
	var rows [][]cell
	for _, d := range list {
		rows = append(rows, []cell{text(d.Reads), text(d.Means), text(d.Do)})
	}
	return rows
}

func (s *sheet) measureFirst(f *flow) {
	if len(s.design.Measure) == 0 {
		return
	}
	var rows [][]cell
	for _, m := range s.design.Measure {
		when := m.Safe
		if m.Contrary != "" {
			when += "; no reading also settles: " + cmp.Or(s.findingTitle(m.Contrary), m.Contrary)
		}
		rows = append(rows, []cell{text(m.At), text(when), text("decides " + s.titleOf(m)), blank(), blank()})
	}
	columns := []column{
		{head: "value of the plan", wide: 4.4, style: bold}, {head: "settled when", wide: 4.4, style: regular}, {head: "why", wide: 3.4, style: regular},
		{head: "found", wide: 22, fixed: true, style: regular}, {head: "by", wide: 11, fixed: true, style: regular},
	}
	f.head("MEASURE FIRST", "a verdict hangs on each of these", f.kept(columns, rows))
	f.noted(columns, rows, "Write what was found into the plan and have the sheet drawn again: its numbers change.")
}

// findingTitle is the title of a finding within a sentence, "" where it is not
// raised.
func (s *sheet) findingTitle(id string) string {
	for _, x := range s.design.Findings {
		if x.ID == id {
			return lower(x.Title)
		}
	}
	return ""
}

// titleOf is the title of the finding that a measurement decides, and of what,
// where others decide the same of something else.
func (s *sheet) titleOf(m design.Measure) string {
	title := s.findingTitle(m.Decides)
	if title == "" {
		return m.Of // the finding is not raised yet
	}
	for _, other := range s.design.Measure {
		if other.Decides == m.Decides && other.Of != m.Of {
			return title + ": " + m.Of
		}
	}
	return title
}

// readings prints the readings of one state of the set.
func (s *sheet) readings(f *flow, state, head, remark string) {
	var list []fitting.Reading
	for _, r := range s.design.Fitting.Readings {
		if r.State == state {
			list = append(list, r)
		}
	}
	if len(list) == 0 {
		return
	}
	columns, rows := readingTable(list)
	f.head(head, remark, f.taskHigh(tasks[state]...)+f.start(columns, rows))
	for _, task := range tasks[state] {
		f.task(task)
	}
	f.rows(columns, rows)
}

// tasks are what to do before the readings of a state (common practice).
var tasks = map[string][]string{
	"unplugged": {fmt.Sprintf("The plug is out and the rails are down to less than %d\u00a0V, as read above.", fitting.DeadVolts)},
	"receive": {
		"No antenna, no key cable; loudspeaker connected. Clip the meter on, then switch on: at a variable transformer if there is one, slowly; else through a series lamp.",
		"Anything hot, smoking, humming: off at once. Wait a minute until the tubes draw current.",
	},
	"muted":  {"Bring the key line to transmit as sheet 1 says, by hand: the relay must click and the loudspeaker fall silent."},
	"timing": {"Leave the relay operated for half an hour before the readings of the coil."},
}

// readingTable is the table of readings with room for what was found.
func readingTable(list []fitting.Reading) ([]column, [][]cell) {
	columns := []column{
		{head: "no.", wide: 7.5, fixed: true, style: bold}, {head: "between", wide: 3.2, style: regular},
		{head: "meter; range; control", wide: 1.9, style: regular}, {head: "low – high", wide: 32, fixed: true, style: bold},
		{head: "found", wide: 22, fixed: true, style: regular}, {head: "by", wide: 10, fixed: true, style: regular},
	}
	var rows [][]cell
	for _, r := range list {
		where := cell{words: []styled{{text: strings.Join(nonempty(r.Between...), " to ")}}}
		if r.Why != "" {
			where.words = append(where.words, styled{italic, r.Why})
		}
		meter := r.Meter
		if r.Range != "" {
			meter += "; " + r.Range
		}
		if r.Control != "" {
			meter += "; " + r.Control
		}
		rows = append(rows, []cell{text(r.ID), where, text(meter), text(r.Expected()), blank(), blank()})
	}
	return columns, rows
}

// solder is what to fix, solder, lift and mark.
func (s *sheet) solder(f *flow) {
	w, wires := &s.design.Fitting.Wiring, s.design.Fitting.Wires
	f.head("SOLDER", "unplugged and discharged; wires by their numbers on "+s.wiresOn(), 16)
	fix := slices.Clone(s.design.Fitting.Relays)
	if strip := s.strip(); strip != "" {
		fix = append(fix, strip)
	}
	fix = append(fix, w.Drive.Jack.Ref)
	f.task("Fix " + listed(fix) + " and the chassis lugs " + listed(s.lugs()) + ", each bolted to bare metal" + s.chassisWords() +
		"; parts and their leads to the tags as on sheet " + s.on(partsPage) + ".")
	s.standbyWork(f)
	drive, rest := split(wires)
	if len(drive) > 0 {
		f.ticks("Drive and jack: tick each wire when it is soldered at both ends.", drive)
	}
	for i := range w.Groups {
		g := &w.Groups[i]
		if g.Pulldown != nil {
			f.task(fmt.Sprintf("%s, %s, %s: from %s to %s by its own leads, before anything is cut. Measure it first (table below).",
				g.Pulldown.Ref, g.Pulldown.Value, g.Pulldown.Rating, g.Contact.Throw.Words, g.Earth.Words))
		}
		if g.Contact.Ground != nil {
			f.task(fmt.Sprintf("Wire %d, %s to %s, then %s.", g.Contact.Ground.Number, g.Contact.Ground.From.Words, g.Contact.Ground.To.Words, s.closedWords(&g.Contact)))
		}
		for k := range g.Stubs {
			st := &g.Stubs[k]
			f.task(cutWords(st.Cut, st.Lift.Words, st.Wire))
			for _, c := range st.Lifts {
				f.task(cutWords(c.Cut, c.Lift.Words, c.Wire))
			}
			if words := bypassWords(st); words != "" {
				f.task(words)
			}
		}
		if g.Capacitor != nil {
			f.task(capacitorWords(g))
		}
	}
	for i := range w.Guards {
		if g := &w.Guards[i]; g.Cut > 0 && len(g.Joints) > 1 {
			f.task(inputWords(g))
		}
	}
	if len(rest) > 0 {
		f.ticks("Antenna and signal wires, no longer than the table on "+s.wiresOn()+" allows:", rest)
	}
}

// inputWords says what to do where an antenna's lead to the input is cut.
func inputWords(g *fitting.Guard) string {
	return fmt.Sprintf("CUT %d at “%s”: take the lead to the input off this terminal and mark it “CUT %d”; the antenna stays on the terminal. Then wire %d from the terminal to %s, and wire %d from %s to the lead that was taken off.",
		g.Cut, g.Joints[0].Words, g.Cut, g.Wires[0].Number, g.Wires[0].To.Words, g.Wires[1].Number, g.Wires[1].From.Words)
}

// capacitorWords says where the capacitor at a cut goes, with its resistor.
func capacitorWords(g *fitting.Group) string {
	part := func(p *fitting.Part) string { return joined(p.Ref+",", p.Value, p.Rating) }
	what, from := part(g.Capacitor), g.Capacitor.Joints[0].Words
	if g.Series != nil {
		what, from = part(g.Series)+", and "+what+" behind it", g.Series.Joints[0].Words
	}
	return what + ": at the cut, by their own leads from " + from + " to chassis beside it."
}

// cutWords says what to do at a cut.
func cutWords(n int, lift string, w *fitting.Wire) string {
	return fmt.Sprintf("CUT %d at “%s”: take this end off chassis, mark it “CUT %d”, sleeve what stays behind. Then wire %d to %s.", n, lift, n, w.Number, w.To.Words)
}

// closedWords says what the contact must read before the cut.
func (s *sheet) closedWords(c *fitting.Contact) string {
	return fmt.Sprintf("%s to %s in ohms: %s", c.Throw.Words, c.Common.Words, map[bool]string{true: "closed with the relay at rest", false: "open with the relay at rest"}[c.Break])
}

func (s *sheet) wiresOn() string {
	if s.apart {
		return "sheet " + s.on(wiresPage)
	}
	return "sheet 1"
}

func (s *sheet) chassisWords() string {
	if s.design.Head.Chassis == "" {
		return ""
	}
	return " (where it is near: " + s.design.Head.Chassis + ")"
}

// strip is the reference of the tag strip, "" where there is none.
func (s *sheet) strip() string {
	if b := s.design.Fitting.Wiring.Drive.Bus; b != nil {
		ref, _, _ := strings.Cut(b.ID, "-")
		return ref
	}
	return ""
}

// lugs are the added chassis lugs, each once, as the wire table names them.
func (s *sheet) lugs() []string {
	var list []string
	seen := map[string]bool{}
	for _, w := range s.design.Fitting.Wires {
		for _, j := range []*fitting.Joint{w.From, w.To} {
			if strings.HasPrefix(j.ID, "E") && j.Added && !seen[j.ID] {
				seen[j.ID] = true
				list = append(list, strings.Replace(j.Words, ", lug at ", " at ", 1))
			}
		}
	}
	return list
}

// split parts the wires that are no lifted return's into drive and signal; the strap
// of standby terminals has a step of its own.
func split(wires []fitting.Wire) (drive, signal []fitting.Wire) {
	for _, w := range wires {
		switch {
		case strings.HasPrefix(w.Carries, "return."), strings.HasPrefix(w.Carries, "standby."):
		case strings.HasPrefix(w.Carries, "antenna."):
			signal = append(signal, w)
		default:
			drive = append(drive, w)
		}
	}
	return drive, signal
}

// ticks is a step of the work for some wires, each with its ends and a box to
// tick.
func (f *flow) ticks(task string, wires []fitting.Wire) {
	const columns = 2
	f.need(f.taskHigh(task) + 4.2)
	f.task(task)
	wide := (f.width() - inset - 5) / columns
	for i := 0; i < len(wires); i += columns {
		f.need(4.2)
		b := block{width: f.width(), height: 4.2}
		for k := range columns {
			if i+k >= len(wires) {
				break
			}
			w := wires[i+k]
			x := inset + 4.6 + float64(k)*wide
			b.tickBox(x, 3.1)
			b.words(at(x+4, 3.1), scene.Start, strong, fmt.Sprint(w.Number))
			b.words(at(x+9.5, 3.1), scene.Start, regular, fitted(regular, w.From.Words+" – "+w.To.Words, wide-11))
		}
		f.put(b)
	}
	f.space(0.6)
}
