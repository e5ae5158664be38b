package sheet

import (
	"fmt"
	"math"
	"strings"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// touchVolts is what must not be touched, V DC (ES1, IEC 62368-1).
const touchVolts = answer.TouchVolts

// signalWord follows ANSI Z535.4 from the worst finding; while a rail passes
// the touch limit it is never below WARNING.
func signalWord(d *design.Design) string {
	switch {
	case d.Verdict == finding.Danger:
		return "DANGER"
	case d.Verdict == finding.Fail || highest(d) > touchVolts:
		return "WARNING"
	case d.Verdict == finding.Caution:
		return "CAUTION"
	}
	return "NOTICE"
}

// highest is the highest voltage of the set, V.
func highest(d *design.Design) float64 {
	v := 0.0
	for _, p := range d.Places {
		v = max(v, p.Highest())
	}
	return v
}

// hazardBar draws the black bar with sign, signal word and highest voltage.
func (b *block) hazardBar(d *design.Design) {
	const high, owner = 8.0, "hazard"
	b.owner = owner
	b.ground(scene.Rect{W: b.width, H: high}, owner)
	w := b.alert(3, 1.5, 5, owner)
	word := signalWord(d)
	b.inked(at(3+w+2.2, 6), scene.Start, style{scene.Bold, signal}, scene.White, owner, word)
	right := "live chassis: unplug first"
	if v := highest(d); v > 0 {
		right = fitting.WholeVolts(v) + " in this chassis, also after unplugging"
	}
	b.inked(at(b.width-inset-1, 5.6), scene.End, style{scene.Bold, title}, scene.White, owner, right)
}

// hazardHigh is the height of the hazard block.
const hazardHigh = 32.4

// hazard is the block at the head of sheet 1.
func (s *sheet) hazard(width float64) block {
	d := s.design
	b := block{width: width, height: hazardHigh}
	b.hazardBar(d)
	const signWide = 23.0
	b.electricity(3, 10, signWide)

	const left, long, line = 29.8, 67.2, 3.72
	y := 12.2
	for _, l := range s.warnings(long) {
		b.words(at(left, y), scene.Start, l.style, l.text)
		y += line
	}
	b.rule(thin, at(98.4, 9.6), at(98.4, b.height-1.6))
	b.places(s, 101)
	b.outline(heavy)
	return b
}

// A styled is a line of words with its style.
type styled struct {
	style style
	text  string
}

// mostWarnings is how many lines of 9 pt stand beside the sign.
const mostWarnings = 6

// warnings are the lines beside the sign: what must be done first, whether the
// plan is fit to be built, the worst on the mains side, what is live when muted.
// A sentence that no longer fits whole is left to the other sheets.
func (s *sheet) warnings(width float64) []styled {
	var lines []styled
	say := func(st style, text string) (fits bool) {
		more := wrap(st, text, width)
		if len(lines)+len(more) > mostWarnings {
			return false
		}
		for _, l := range more {
			lines = append(lines, styled{st, l})
		}
		return true
	}
	say(strong, "Can kill. "+s.waiting())
	say(body, s.measuring())
	say(strong, s.notReady()+s.caution())
	for most := 3; most > 0; most-- {
		if say(body, s.mainsWords(most)) {
			break
		}
	}
	for _, p := range s.design.Places {
		say(body, s.liveWhenMuted(p))
	}
	say(body, "Local codes and a licensed person decide.")
	return lines
}

// waiting says how long to wait after unplugging, and for what: the time is
// reckoned to the touch limit, and only the meter tells that it was kept.
func (s *sheet) waiting() string {
	if q, ok := s.design.Quantities.Get("mains.discharge"); ok {
		return fmt.Sprintf("Unplug, wait %s (to %d\u00a0V).", seconds(q.High), touchVolts)
	}
	if _, ok := s.design.Quantities.Get("mains.discharge_tool"); ok {
		return "Unplug, discharge: no bleeder."
	}
	return "Unplug first."
}

// seconds rounds a time to wait upwards: to 5 s, from 100 s to 10 s, from five
// minutes to whole minutes.
func seconds(v float64) string {
	up := func(step float64) float64 { return math.Ceil(v/step-1e-6) * step }
	switch {
	case v <= 100:
		return fmt.Sprintf("%.0f\u00a0s", max(5, up(5)))
	case v <= 300:
		return fmt.Sprintf("%.0f\u00a0s", up(10))
	}
	return fmt.Sprintf("%.0f\u00a0min", up(60)/60)
}

// measuring says where to measure before anything is touched.
func (s *sheet) measuring() string {
	dead := fmt.Sprintf(" to chassis: go on below %d\u00a0V only, else bleed.", fitting.DeadVolts)
	var rails []string
	for _, p := range s.design.Places {
		if p.Kind == design.RailPlace && p.Highest() > touchVolts {
			rails = append(rails, p.Point)
		}
	}
	switch n := len(rails); {
	case n == 0:
		return "Measure before you touch."
	case n <= 2:
		return "Measure " + strings.Join(rails, " and ") + dead
	}
	return "Measure every rail" + dead
}

// notReady says that the plan must not be built as it stands, "" where it may.
func (s *sheet) notReady() string {
	return s.verdict("NOT READY", "finding", func(v finding.Severity) bool { return v >= finding.Fail })
}

// caution says that the verdict is caution, "" where it is better or worse.
func (s *sheet) caution() string {
	if s.design.Verdict != finding.Caution {
		return ""
	}
	return s.verdict("CAUTION", "caution", func(v finding.Severity) bool { return v == finding.Caution })
}

// verdict counts findings and says on which sheet they stand.
func (s *sheet) verdict(head, what string, counts func(finding.Severity) bool) string {
	n := 0
	for _, f := range s.design.Findings {
		if counts(f.Severity) {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("%s: %d %s, see sheet %s.", head, n, plural(n, what), s.on(findingsPage))
}

// mainsWords joins the titles of the worst findings on the mains side.
func (s *sheet) mainsWords(most int) string {
	var titles []string
	for _, f := range s.design.Findings {
		if strings.HasPrefix(f.ID, "mains.") && f.Severity >= finding.Caution && len(titles) < most {
			titles = append(titles, lower(f.Title))
		}
	}
	if len(titles) == 0 {
		return ""
	}
	return "Mains: " + strings.Join(titles, "; ") + ": see sheet " + s.on(findingsPage) + "."
}

// lower puts the first letter of a title in lower case, unless a further one of
// its first word is a capital ("GFCI").
func lower(text string) string {
	first, _, _ := strings.Cut(text, " ")
	if first == "" || first[1:] != strings.ToLower(first[1:]) || len(first) == 1 {
		return text
	}
	return strings.ToLower(first[:1]) + text[1:]
}

// liveWhenMuted names the wires of a lifted node over the touch limit.
func (s *sheet) liveWhenMuted(p design.Place) string {
	if p.Kind != design.LiftedPlace || p.Highest() <= touchVolts {
		return ""
	}
	var numbers []string
	pulldown := "the pulldown"
	for i := range s.design.Fitting.Wiring.Groups {
		g := &s.design.Fitting.Wiring.Groups[i]
		if g.Name != p.Return {
			continue
		}
		if g.Pulldown != nil {
			pulldown = g.Pulldown.Ref
		}
		for _, st := range g.Stubs {
			numbers = append(numbers, fmt.Sprint(st.Wire.Number))
			for _, c := range st.Lifts {
				numbers = append(numbers, fmt.Sprint(c.Wire.Number))
			}
		}
	}
	if len(numbers) == 0 {
		return ""
	}
	subject := "Wire " + numbers[0] + " is"
	if len(numbers) > 1 {
		subject = "Wires " + listed(numbers) + " are"
	}
	return fmt.Sprintf("%s live when muted: up to %s, and %s if %s opens.", subject, fitting.WholeVolts(p.Muted), fitting.WholeVolts(p.Unguarded), pulldown)
}

// listed joins words with commas, the last by "and".
func listed(words []string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
}

// openHead heads the column of the single fault.
func openHead(w *fitting.Wiring) string {
	refs := map[string]bool{}
	head := "pulldown open"
	for i := range w.Groups {
		if p := w.Groups[i].Pulldown; p != nil {
			refs[p.Ref] = true
			head = p.Ref + " open"
		}
	}
	if len(refs) != 1 {
		return "pulldown open"
	}
	return head
}

// stateHeads head the columns of voltages. Where nothing is lifted no pulldown can
// open.
func (s *sheet) stateHeads() []string {
	if !s.lifts() {
		return []string{"receive", "transmit"}
	}
	return []string{"receive", "muted", openHead(&s.design.Fitting.Wiring)}
}

// places draws the table of voltages from x to the block's right edge.
func (b *block) places(s *sheet, x float64) {
	const lines, rowHigh = 4, 4.55
	right := b.width - 3
	heads := s.stateHeads()
	columns := make([]float64, len(heads))
	for i := len(heads) - 1; i >= 0; i-- {
		columns[i] = right
		right -= max(italic.width(heads[i]), bold.width("000\u00a0V")) + 3
	}
	y := 12.1
	head := "highest volts to chassis"
	if n := len(s.design.Places) - len(s.shown()); n > 0 {
		head = fmt.Sprintf("highest volts; %d\u00a0more: sheet\u00a0%s", n, s.on(numbersPage))
	}
	b.words(at(x, y), scene.Start, italic, fitted(italic, head, right-x))
	for i, h := range heads {
		b.words(at(columns[i], y), scene.End, italic, h)
	}
	b.rule(hair, at(x, y+1.2), at(b.width-3, y+1.2))
	y += rowHigh
	used := 0
	for i, p := range s.shown() {
		name := []string{fitted(regular, p.Where, right-x)}
		if rest := lines - used - (len(s.shown()) - i - 1); rest > 1 {
			if w := wrap(regular, p.Where, right-x); len(w) <= rest {
				name = w
			}
		}
		if i > 0 {
			b.rule(hair, at(x, y-rowHigh+1.2), at(b.width-3, y-rowHigh+1.2))
		}
		for k, l := range name {
			b.words(at(x, y), scene.Start, regular, l)
			if k == 0 {
				for c, v := range []float64{p.Receive, p.Muted, p.Unguarded}[:len(columns)] {
					b.words(at(columns[c], y), scene.End, bold, fitting.WholeVolts(v))
				}
			}
			y += rowHigh
		}
		used += len(name)
	}
}

// shown are the places in the order of the table: four at most, the highest of each
// kind and then the highest of all, in the order of the design.
func (s *sheet) shown() []design.Place {
	const most = 4
	list := s.design.Places
	if len(list) <= most {
		return list
	}
	limit := make([]float64, 0, len(list))
	chosen := map[int]bool{}
	for i, p := range list {
		limit = append(limit, p.Highest())
		if i == 0 || p.Kind != list[i-1].Kind { // the highest of its kind
			chosen[i] = true
		}
	}
	for len(chosen) < most {
		best := -1
		for i := range list {
			if !chosen[i] && (best < 0 || limit[i] > limit[best]) {
				best = i
			}
		}
		chosen[best] = true
	}
	var top []design.Place
	for i, p := range list {
		if chosen[i] {
			top = append(top, p)
		}
	}
	return top
}
