package design

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/document"
	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/mains"
	"mutewright/design/plan"
	"mutewright/design/quantity"
	"mutewright/design/timing"
)

// A Hurdle is what bars relays from a place, and how many it bars first.
type Hurdle struct {
	ID, Title, Do string // of the finding; Do as for the first relay that it bars
	Relays        int
}

// Hurdles counts what bars the relays of a ranking, the most frequent first.
// Latching relays are left out: nothing in the plan bars them.
func (r *Ranking) Hurdles() []Hurdle {
	var list []Hurdle
	for _, row := range r.Rows {
		if row.Serves() || row.Latching || len(row.Findings) == 0 {
			continue
		}
		first := row.Findings[0]
		i := slices.IndexFunc(list, func(h Hurdle) bool { return h.ID == first.ID })
		if i < 0 {
			i = len(list)
			list = append(list, Hurdle{ID: first.ID, Title: first.Title, Do: first.Do})
		}
		list[i].Relays++
	}
	slices.SortStableFunc(list, func(a, b Hurdle) int { return cmp.Compare(b.Relays, a.Relays) })
	return list
}

// An Opening is a change of the plan that was tried because nothing serves.
type Opening struct {
	Words    string   // "a separate supply of 12 V DC"
	Settings []string // the change as options of --set, but for a relay that it adds
	Section  string   // the key relay of the plan, YAML, where two relays serve; else empty
	Serving  int      // how many relays serve then; of two relays, of the second
	Relays   []string // the best, one for each relay of the plan; empty where nothing serves
	Smallest float64  // the smallest margin of the best
}

// Opens tells whether something serves after the change.
func (o Opening) Opens() bool { return len(o.Relays) > 0 }

// Openings tries what would let a relay serve where none does: another supply of
// the set, a hold capacitor, the relay energised in the other state, a separate
// supply, two relays, and both. Each is worked out as a plan of its own; those that
// open come first. A plan with several relays already is not split further.
func Openings(p *plan.Plan, cat *catalog.Catalog, progress func(done, all int)) ([]Opening, error) {
	changes, err := changesOf(p, cat)
	if err != nil {
		return nil, err
	}
	var list []Opening
	opened, parted := false, false
	for i, c := range changes {
		// Two changes at once only where none alone opens, and one way to share
		// what is served between two relays is enough.
		if !(c.last && opened || c.parts && parted) {
			o, err := c.try(cat)
			if err != nil {
				return nil, fmt.Errorf("with %s: %w", c.words, err)
			}
			list = append(list, o)
			opened, parted = opened || o.Opens(), parted || c.parts && o.Opens()
		}
		if progress != nil {
			progress(i+1, len(changes))
		}
	}
	slices.SortStableFunc(list, func(a, b Opening) int {
		switch {
		case a.Opens() == b.Opens():
			return 0
		case a.Opens():
			return -1
		}
		return 1
	})
	return list, nil
}

// A change is a plan that differs from the one at hand.
type change struct {
	words    string
	settings []string
	plan     *plan.Plan
	parts    bool // it shares what is served between two relays
	last     bool // it is two changes at once
}

// lowVoltage is the highest supply that a relay is fed from without danger at
// the jack, V DC (ES1, IEC 62368-1).
const lowVoltage = mains.TouchDC

// separate is the supply that is tried where the set has none that serves: a small
// mains adapter with its minus at chassis, 12 V ± 5 % (common practice).
const (
	separateName      = "separate"
	separateVolts     = 12
	separateTolerance = 0.05
)

// changesOf lists the changes of a plan that are worth trying.
func changesOf(p *plan.Plan, cat *catalog.Catalog) ([]change, error) {
	f := known.From(p, cat)
	own := &f.Relays[0]
	at := own.At
	var list []change
	add := func(words string, settings []string, edit func(q *plan.Plan)) {
		q := *p
		q.Relays.Items = slices.Clone(relayBlocks(p))
		edit(&q)
		list = append(list, change{words: words, settings: settings, plan: &q})
	}
	for i := range f.Supplies {
		s := &f.Supplies[i]
		if i == own.Supply || s.Rail && f.Box.Entry(s.Unloaded).High > lowVoltage {
			continue
		}
		add("the supply "+s.Name, []string{at + ".supply=" + s.Name}, func(q *plan.Plan) { supply(q, s.Name) })
	}
	if own.Supply >= 0 && f.Supplies[own.Supply].Grounded == string(plan.HumPot) {
		s := &f.Supplies[own.Supply]
		add(fmt.Sprintf("one side of %s grounded, the wiper of its hum pot lifted", s.Name), []string{"receiver.supplies." + s.Name + ".grounded=" + string(plan.OneSide)}, func(q *plan.Plan) {
			supplies := &q.Receiver.Supplies
			supplies.Items = slices.Clone(supplies.Items)
			if w := supplies.Find(s.Name); w != nil {
				give(&w.Grounded.Source, &w.Grounded.Is, plan.OneSide, false)
			}
		})
	}
	hold, holds, err := holdFor(p, cat)
	if err != nil {
		return nil, err
	}
	if holds {
		add(fmt.Sprintf("a hold capacitor of %v behind %v across the coil", hold.farads, hold.ohms),
			[]string{at + ".hold.value=" + quantity.Plain(float64(hold.farads), quantity.Capacitance), at + ".hold.series=" + quantity.Plain(float64(hold.ohms), quantity.Resistance)},
			func(q *plan.Plan) {
				across := &q.Relays.Items[0].Hold
				across.State = document.Given
				give(&across.Value.Source, &across.Value.Is, quantity.Exactly(hold.farads), false)
				give(&across.Series.Source, &across.Series.Is, quantity.Exactly(hold.ohms), false)
			})
	}
	turned := plan.OnReceive
	sense := drive.OnReceive
	if own.OnReceive {
		turned, sense = plan.OnTransmit, drive.OnTransmit
	}
	for _, choice := range answer.CircuitOf(f).Fit.Fits {
		if choice.EnergisedOn != sense || choice.OnLine != (own.Supply < 0) {
			continue
		}
		buffer := bufferWords[choice.Buffer]
		words := "the relay energised on " + string(turned)
		if buffer != "none" {
			words += " with a buffer, " + buffer
		}
		add(words, []string{at + ".energised_on=" + string(turned), at + ".buffer=" + buffer}, func(q *plan.Plan) {
			first := &q.Relays.Items[0]
			give(&first.EnergisedOn.Source, &first.EnergisedOn.Is, turned, false)
			give(&first.Buffer.Source, &first.Buffer.Is, plan.Buffer(buffer), false)
		})
	}
	onSeparate := func(q *plan.Plan) {
		separateSupply(q)
		supply(q, separateName)
	}
	words := fmt.Sprintf("a separate supply of %v DC", quantity.Volts(separateVolts))
	fitted := []string{
		"receiver.supplies." + separateName + ".kind=dc rail",
		fmt.Sprintf("receiver.supplies.%s.voltage=%d V +- %d %%", separateName, separateVolts, int(100*separateTolerance)),
		fmt.Sprintf("receiver.supplies.%s.unloaded=%d V +- %d %%", separateName, separateVolts, int(100*separateTolerance)),
		"receiver.supplies." + separateName + ".regulated=true",
		"receiver.supplies." + separateName + ".resistance=1 ohm",
	}
	add(words, append(slices.Clone(fitted), at+".supply="+separateName), onSeparate)
	if len(f.Relays) > 1 {
		return list, nil
	}
	single := len(list)
	for _, part := range partings(f) {
		both := fmt.Sprintf("two relays, one for %s, one for %s", inWords(part[0]), inWords(part[1]))
		add(both, nil, func(q *plan.Plan) { split(q, part) })
	}
	for i, part := range partings(f) {
		list[single+i].parts = true
		add(list[single+i].words+", on "+words, fitted, func(q *plan.Plan) { onSeparate(q); split(q, part) })
		list[len(list)-1].parts, list[len(list)-1].last = true, true
	}
	return list, nil
}

// A holding is a capacitor and its resistor across a coil.
type holding struct {
	farads quantity.Farads
	ohms   quantity.Ohms
}

// holdFor finds the hold capacitor with which the guard lasts as long as the RF, for
// the relay that comes nearest; it is not ok where the guard lasts without one, with
// none that is tried, or where the contacts of every relay bar it.
func holdFor(p *plan.Plan, cat *catalog.Catalog) (h holding, ok bool, err error) {
	blocks := relayBlocks(p)
	if len(blocks) > 1 || blocks[0].Hold.Given() {
		return h, false, nil
	}
	able, err := newBench(p, cat, 0, openKeys(blocks, 0, true)).ableContacts(cat.Relays())
	if err != nil || len(able) == 0 { // no capacitor mends a contact
		return h, false, err
	}
	d, err := New(p, cat)
	if err != nil {
		return h, false, err
	}
	for _, t := range d.answers.Timings.Tries {
		if t.Remedy == timing.Hold && t.Ends.Tail.Seconds >= 0 {
			return holding{quantity.Farads(t.Value), quantity.Ohms(d.answers.Timings.HoldOhms)}, true, nil
		}
	}
	return h, false, nil
}

// supply puts the first relay on a supply.
func supply(q *plan.Plan, name string) {
	first := &q.Relays.Items[0]
	give(&first.Supply.Source, &first.Supply.Is, name, false)
	// What goes with the old supply is chosen anew.
	first.Rectifier.State, first.Reservoir.State, first.Fuse.State = document.LeftOut, document.LeftOut, document.LeftOut
}

// separateSupply adds the separate supply to the set.
func separateSupply(q *plan.Plan) {
	var s plan.Supply
	supplies := &q.Receiver.Supplies
	path := "receiver.supplies"
	new(document.Document).Lay(&s, path+"."+separateName)
	give(&s.Kind.Source, &s.Kind.Is, plan.Rail, false)
	volts := quantity.Within(quantity.Volts(separateVolts), separateTolerance)
	give(&s.Voltage.Source, &s.Voltage.Is, volts, false)
	give(&s.Unloaded.Source, &s.Unloaded.Is, volts, false)
	give(&s.Regulated.Source, &s.Regulated.Is, true, false)
	give(&s.Resistance.Source, &s.Resistance.Is, quantity.Exactly(quantity.Ohms(1)), false)
	supplies.Items = slices.Clip(supplies.Items)
	supplies.State = document.Given
	supplies.Add(separateName, s)
}

// partings are the ways to share what a relay serves between two: returns and dry
// points first, then each alone against the rest.
func partings(f *known.Facts) [][2][]string {
	serves := f.Relays[0].Serves
	if len(serves) < 2 {
		return nil
	}
	var returns, dry []string
	for _, name := range serves {
		if slices.ContainsFunc(f.Returns, func(r known.Return) bool { return r.Name == name }) {
			returns = append(returns, name)
		} else {
			dry = append(dry, name)
		}
	}
	var list [][2][]string
	if len(returns) > 0 && len(dry) > 0 {
		list = append(list, [2][]string{returns, dry})
	}
	for i, name := range serves {
		rest := slices.Delete(slices.Clone(serves), i, i+1)
		part := [2][]string{{name}, rest}
		if len(rest) == 1 && i > 0 || len(list) > 0 && (slices.Equal(returns, part[0]) || slices.Equal(dry, part[0])) {
			continue // stands there already, the other way round
		}
		list = append(list, part)
	}
	return list
}

// split gives a plan two relays, both left to the program.
func split(q *plan.Plan, parts [2][]string) {
	first := q.Relays.Items[0]
	var blocks []plan.Relay
	for i, part := range parts {
		var r plan.Relay
		new(document.Document).Lay(&r, fmt.Sprintf("relay.%d", i+1))
		if i == 0 {
			r.EnergisedOn, r.Supply, r.Rectifier, r.Reservoir, r.Buffer, r.Fuse = first.EnergisedOn, first.Supply, first.Rectifier, first.Reservoir, first.Buffer, first.Fuse
		}
		r.Clamp, r.Zener = first.Clamp, first.Zener
		r.Use.State, r.Dropper.State = document.Choose, document.Choose
		r.Serves.State = document.Given
		for _, name := range part {
			r.Serves.Items = append(r.Serves.Items, plan.Text{Source: document.Source{State: document.Given}, Is: name})
		}
		blocks = append(blocks, r)
	}
	q.Relays.State = document.Given
	q.Relays.Items = blocks
}

// relaySection is the key relay of a plan with several, as its file would have it.
func relaySection(p *plan.Plan) string {
	var b strings.Builder
	b.WriteString("relay:\n")
	for i := range p.Relays.Items {
		const indent = "    "
		block := document.Write(&p.Relays.Items[i], indent)
		b.WriteString("  - " + strings.TrimPrefix(block, indent))
	}
	return b.String()
}

// try ranks the relays of the changed plan: of two places the second beside the
// best of the first, and then looks at the first once more, as it is, beside the
// best of the second.
func (c change) try(cat *catalog.Catalog) (Opening, error) {
	o := Opening{Words: c.words, Settings: c.settings}
	p := c.plan
	on := func(block int, relays []*catalog.Relay, free bool) (*Ranking, error) {
		return newBench(p, cat, block, openKeys(relayBlocks(p), block, free)).serving(relays)
	}
	var best []string
	var smallest float64
	wanted := wantedBlocks(relayBlocks(p))
	for _, block := range wanted {
		r, err := on(block, cat.Relays(), true)
		if err != nil {
			return o, err
		}
		if o.Serving = r.Serving(); o.Serving == 0 {
			return o, nil
		}
		top := r.Rows[0]
		best, smallest = append(best, top.Relay), top.Smallest()
		if len(wanted) > 1 {
			p, _ = top.Setup.take(p, cat.Relay(top.Relay))
		}
	}
	if len(wanted) > 1 {
		r, err := on(wanted[0], []*catalog.Relay{cat.Relay(best[0])}, false)
		if err != nil || r.Serving() == 0 {
			return o, err
		}
		smallest = min(smallest, r.Rows[0].Smallest())
		o.Section = relaySection(p)
	}
	o.Relays, o.Smallest = best, smallest
	return o, nil
}

// inWords joins names: "a", "a and b", "a, b and c".
func inWords(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	end := len(names) - 1
	return strings.Join(names[:end], ", ") + " and " + names[end]
}
