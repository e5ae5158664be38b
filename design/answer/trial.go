package answer

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"mutewright/design/contact"
	"mutewright/design/known"
	"mutewright/design/lifted"
	"mutewright/design/quantity"
	"mutewright/design/timing"
)

// A Trial asks about one relay after another in one plan. What does not hang on
// the relay is asked once: the mains, the returns and how they follow a contact.
// Of a relay only the contact's resistance reaches a return, some tenths of an
// ohm beside cathode resistors of hundreds and a pulldown of thousands; a test
// holds that it does not count.
//
// It may be used from several goroutines.
type Trial struct {
	facts  *known.Facts // with contacts that bar nothing
	base   *Answers
	before int // how many numbers of the box stand before those of the relays

	lock      sync.Mutex
	returns   []solvedAt
	responses map[string]*timing.Response
	guards    map[string]guarded
}

// solvedAt is what every return asks of its contact at a point of the box.
type solvedAt struct {
	x []float64 // until they are in order
	s *solved
}

// atContacts keeps of the returns only what [addContact] reads.
func (s *solved) atContacts() *solved {
	n := len(s.muted)
	k := &solved{
		want: s.want, receive: make([]lifted.State, n), muted: make([]lifted.Muted, n), cold: make([]lifted.State, n),
		unguarded: make([]lifted.Unguarded, n),
	}
	for r := range n {
		k.receive[r].Contact = s.receive[r].Contact
		k.muted[r].Highest.Node, k.cold[r].Node = s.muted[r].Highest.Node, s.cold[r].Node
		k.unguarded[r].Node = s.unguarded[r].Node
	}
	return k
}

// guarded is what was answered about the antennas with some contact.
type guarded struct {
	Antennas
	set []Quantity
}

// barless are DC limits that no set reaches.
var barless = []known.Limit{{Volts: 1, Amps: 1e3}, {Volts: 1e5, Amps: 1}}

// mostPoles is more than any plan asks for.
const mostPoles = 40

// NewTrial asks what all relays have in common, with the windows of the returns.
// What relay the facts name does not matter.
func NewTrial(f *known.Facts, windows map[string]Window) (*Trial, error) {
	ideal := *f
	ideal.Relays = append([]known.Relay(nil), f.Relays...)
	for i := range ideal.Relays {
		c := &ideal.Relays[i].Contacts
		c.Form, c.Poles, c.Limits, c.Volts, c.Amps, c.Watts = "C", mostPoles, barless, 0, 0, 0
	}
	t := &Trial{facts: &ideal, before: len(f.Box), responses: map[string]*timing.Response{}, guards: map[string]guarded{}}
	for i := range f.Relays {
		r := &f.Relays[i]
		for _, id := range []known.ID{r.Reservoir, r.Dropper, r.Zener, r.Fuse, r.FuseOhms, r.Hold, r.HoldOhms, r.Base, r.BaseEmitter, r.Coil.Rated} {
			if id.Exists() {
				t.before = min(t.before, id.Index())
			}
		}
	}
	t.base = &Answers{Poles: assign(&ideal), Window: windows}
	a := t.base
	if err := a.askMains(f); err != nil {
		return nil, err
	}
	l, err := newLifts(&ideal)
	if err != nil {
		return nil, err
	}
	if len(f.Returns) > 0 || len(audioShorts(&ideal, &a.Poles)) > 0 {
		l.seen = t.remember
		if err := returnsQuestion(l, &a.Poles, windows).ask(f.Box, &a.Set); err != nil {
			return nil, err
		}
	}
	// They came in the order in which they were ready.
	slices.SortFunc(t.returns, func(a, b solvedAt) int { return slices.Compare(a.x, b.x) })
	for i := range t.returns {
		t.returns[i].x = nil
	}
	return t, nil
}

// remember keeps a solution of the returns.
func (t *Trial) remember(x []float64, s *solved) {
	t.lock.Lock()
	defer t.lock.Unlock()
	t.returns = append(t.returns, solvedAt{x, s.atContacts()})
}

// Ask answers everything about the relays of f, which else is the plan of the
// trial: contacts over all their doubt, antennas, and the drive as [Signs.Ask]
// found it, empty where it is not legal. Only the bad ends are worth reading.
func (t *Trial) Ask(f *known.Facts, windows map[string]Window, drive Set) (*Answers, error) {
	a := &Answers{Poles: assign(f), Circuit: CircuitOf(f), Window: windows, Mains: t.base.Mains}
	for _, q := range t.base.All() {
		if !isContact(q.Name) {
			a.Add(q)
		}
	}
	a.addWindows(f)
	t.addContacts(a, f)
	a.addSpare(f)
	if err := a.addStandby(f); err != nil {
		return nil, err
	}
	for _, q := range drive.All() {
		a.Add(q)
	}
	return a, t.addAntennas(a, f)
}

func isContact(name string) bool { return len(name) > 8 && name[:8] == "contact." }

// addContacts asks about the contacts in the returns wherever the returns were
// solved: the corners of what stands across an open contact and runs through a
// closed one are the same for all.
func (t *Trial) addContacts(a *Answers, f *known.Facts) {
	x := f.Box.Nominal()      // of which only the contacts' ratings count
	for k := range f.Relays { // one that is not known well does at its low end
		c := &f.Relays[k].Contacts
		least.set(f, x, c.Volts, c.Amps, c.Watts)
	}
	points := make([][]float64, len(t.returns))
	for i := range points {
		points[i] = x
	}
	for r := range f.Returns {
		for _, p := range a.Poles.Serving(f.Returns[r].Name) {
			add := func(of pieces, name string, unit quantity.Unit, formula string, get get) *column {
				q := question{columns: []column{{name: name, unit: unit, formula: formula, source: bySolver}}}
				n := 0
				q.eval = func(x, out []float64) error {
					out[0] = math.NaN()
					if s := t.returns[n].s; s.want.covers(need{r, of}) {
						out[0] = get(s, x)
					}
					n++
					return nil
				}
				_ = q.over(points, &a.Set) // it cannot fail: everything is solved
				return &q.columns[0]
			}
			addContact(add, f, r, p)
		}
	}
}

// addAntennas asks about the antennas, once for all relays whose contacts are
// alike at radio frequency.
func (t *Trial) addAntennas(a *Answers, f *known.Facts) error {
	var key []float64
	for i := range f.Points {
		for _, p := range a.Poles.Serving(f.Points[i].Name) {
			c := &f.Relays[p.Relay].Contacts
			key = append(key, float64(i))
			for _, id := range []known.ID{c.Resistance, c.Capacitance, c.Inductance} {
				e := f.Box.Entry(id)
				key = append(key, e.Nominal, e.Low, e.High)
			}
		}
	}
	t.lock.Lock()
	g, ok := t.guards[sameBits(key...)]
	t.lock.Unlock()
	if !ok {
		with := &Answers{Poles: a.Poles}
		if err := with.askAntennas(f); err != nil {
			return err
		}
		g = guarded{with.Antennas, with.All()}
		t.lock.Lock()
		t.guards[sameBits(key...)] = g
		t.lock.Unlock()
	}
	a.Antennas = g.Antennas
	for _, q := range g.set {
		a.Add(q)
	}
	return nil
}

// AskTiming adds when returns open and guards close in the corners that decide,
// unless the relay may not pull in.
func (t *Trial) AskTiming(a *Answers, f *known.Facts) error {
	if !a.movable(f) {
		return nil
	}
	l := &lifts{facts: t.facts, response: t.respond}
	corners, err := a.corners(f, l)
	if err != nil {
		return err
	}
	ends, err := timing.Worst(corners)
	if errors.Is(err, timing.ErrStill) {
		a.Timings.Still = true
		return nil
	}
	if err != nil {
		return fmt.Errorf("timing: %w", err)
	}
	a.Timings.Ends = ends
	lifts, guards := len(corners[0].Lifts) > 0, len(corners[0].Guards) > 0
	for _, m := range []struct {
		name   string
		end    timing.End
		exists bool
	}{
		{"timing.opened", ends.Opened, lifts}, {"timing.shorted", ends.Shorted, guards}, {"timing.muted", ends.Muted, ends.Silent},
		{"timing.released", ends.Released, guards}, {"timing.recovered", ends.Recovered, ends.Restored},
		{"timing.key_margin", ends.Key, true}, {"timing.tail_margin", ends.Tail, guards}, {"timing.mute_margin", ends.Mute, ends.Silent},
	} {
		if m.exists {
			a.Add(Quantity{Name: m.name, Unit: quantity.Time, Nominal: m.end.Seconds, Low: m.end.Seconds, High: m.end.Seconds})
		}
	}
	return nil
}

// respond is how return r follows its contact, found once for each corner.
func (t *Trial) respond(r int, x []float64) (*timing.Response, error) {
	key := sameBits(append([]float64{float64(r)}, x[:t.before]...)...)
	t.lock.Lock()
	response, ok := t.responses[key]
	t.lock.Unlock()
	if ok {
		return response, nil
	}
	l, err := newLifts(t.facts)
	if err != nil {
		return nil, err
	}
	y := t.facts.Box.Nominal()
	copy(y, x[:t.before])
	response, err = timing.Respond(l.network(r, y, nil))
	if err != nil {
		return nil, err
	}
	t.lock.Lock()
	t.responses[key] = response
	t.lock.Unlock()
	return response, nil
}

// Insulation is what relay i stands, beside what it has to stand in this set. An
// open contact stands off a rail only in a return: what is shorted to chassis, an
// antenna or an audio point, carries signals.
func (a *Answers) Insulation(f *known.Facts, i int) []contact.Requirement {
	var unguarded, rail float64
	for _, p := range a.Poles.Used {
		if q, ok := a.Get("contact." + p.Letter + ".unguarded"); ok && p.Relay == i {
			unguarded = math.Max(unguarded, q.High)
		}
	}
	for k := range f.Supplies {
		if s := &f.Supplies[k]; s.Rail {
			rail = math.Max(rail, f.Box.Entry(s.Unloaded).High*f.Box.Entry(f.Mains.Ratio).High)
		}
	}
	low := func(id known.ID) float64 {
		if !id.Exists() {
			return 0
		}
		return f.Box.Entry(id).Low
	}
	c := &f.Relays[i].Contacts
	list := contact.Requirements(contact.Insulation{
		OpenContact: low(c.OpenVolts), CoilToContact: low(c.CoilVolts), BetweenPoles: low(c.PoleVolts),
	}, unguarded, rail)
	if !slices.ContainsFunc(f.Returns, func(r known.Return) bool { return slices.Contains(f.Relays[i].Serves, r.Name) }) {
		list = slices.DeleteFunc(list, func(q contact.Requirement) bool { return q.Place == contact.OpenContact })
	}
	return list
}

// DryRated tells whether the contacts of relay i serve a dry circuit.
func DryRated(f *known.Facts, i int) bool {
	c := &f.Relays[i].Contacts
	return contact.Load{Volts: nominal(f, c.LeastVolts), Amps: nominal(f, c.LeastAmps)}.DryRated()
}
