package answer

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"mutewright/design/beside"
	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/quantity"
	"mutewright/design/timing"
)

// Timings is what has no number of its own: the corners that decide, and what
// each remedy buys where one is needed.
type Timings struct {
	Ends     timing.Ends
	Tries    []timing.Try
	HoldOhms float64 // ohm, in series with a hold capacitor that was tried
	Still    bool    // a relay does not move in one of its corners
	Mutes    bool    // something is there that mutes, if not so that it is heard
	Nominal  *timing.Interface
}

// A swing says which end of the doubt of a number belongs to a corner.
type swing int8

const (
	least swing = -1
	most  swing = +1
)

// set moves the numbers to one end of their doubt.
func (s swing) set(f *known.Facts, x []float64, ids ...known.ID) {
	for _, id := range ids {
		if !id.Exists() {
			continue
		}
		e := f.Box.Entry(id)
		if s == least {
			x[id.Index()] = e.Low
		} else {
			x[id.Index()] = e.High
		}
	}
}

// cornerPoint is the point of the box for a corner: mains and everything that
// feeds the coil at one end, the coil's heat at the other or not.
func cornerPoint(f *known.Facts, feed, heat swing) []float64 {
	x := f.Box.Nominal()
	feed.set(f, x, f.Mains.Ratio)
	heat.set(f, x, f.Ambient, f.Soaked)
	for i := range f.Relays {
		r := &f.Relays[i]
		(-feed).set(f, x, r.Dropper, r.FuseOhms, r.Coil.Ohms, f.Transmitter.Drop)
		if r.Supply >= 0 {
			s := &f.Supplies[r.Supply]
			feed.set(f, x, s.Volts, s.Crest)
			(-feed).set(f, x, s.Resistance, s.Drawn)
		}
	}
	return x
}

// interfaceAt is everything the key works, at a point of the box. part is the
// share of the data sheet's times that the relays take; quick ones take a
// quarter of their travel and do not bounce. Without lifts the returns are left to
// the caller.
func (a *Answers) interfaceAt(f *known.Facts, l *lifts, x []float64, part float64, quick bool) (timing.Interface, error) {
	in := timing.Interface{
		Mutes: senses[f.Control.MutesWhen], Phase: timing.AfterCrest, Wanted: f.Wanted.Of(x),
		Transmitter: timing.Transmitter{KeyToRF: f.Transmitter.KeyToRF.Of(x), Tail: f.Transmitter.Tail.Of(x)},
	}
	d := timing.Drive{Drive: driveAt(f, a.Circuit.Fit.Hookup, x)}
	for i := range f.Relays {
		relay, err := moving(&f.Relays[i], d.Drive.Coils[i], x, part, quick)
		if err != nil {
			return in, fmt.Errorf("timing of K%d: %w", i+1, err)
		}
		d.Relays = append(d.Relays, relay)
	}
	in.Drives = []timing.Drive{d}
	for i := range f.Returns {
		poles := a.Poles.Serving(f.Returns[i].Name)
		if len(poles) == 0 || l == nil {
			continue
		}
		response, err := l.respond(i, x)
		if err != nil {
			return in, fmt.Errorf("timing of %s: %w", f.Returns[i].Name, err)
		}
		in.Lifts = append(in.Lifts, timing.Lift{Relay: poles[0].Relay, Response: response})
	}
	for _, p := range a.Poles.Used {
		if !p.Dry {
			continue
		}
		g := timing.Guard{Relay: p.Relay}
		if i := slices.IndexFunc(f.Points, func(q known.Point) bool { return q.Name == p.Serves && q.Kind == known.Audio }); i >= 0 {
			var err error
			if g.Depth, err = audioDepth(f, i, x); err != nil {
				return in, fmt.Errorf("timing: %w", err)
			}
		}
		in.Guards = append(in.Guards, g)
	}
	return in, nil
}

// respond is how return r follows its contact, at a point of the box.
func (l *lifts) respond(r int, x []float64) (*timing.Response, error) {
	if l.response != nil {
		return l.response(r, x)
	}
	return timing.Respond(l.network(r, x, nil))
}

// nominalInterface is everything the key works in the nominal case.
func (a *Answers) nominalInterface(f *known.Facts, l *lifts) (timing.Interface, error) {
	return a.interfaceAt(f, l, f.Box.Nominal(), timing.Usual, false)
}

// Interface is everything the key works in the nominal case, as a circuit may
// have it; nil where no drive works a contact.
func (a *Answers) Interface(f *known.Facts) (*timing.Interface, error) {
	if !a.movable(f) {
		return nil, nil
	}
	l, err := newLifts(f)
	if err != nil {
		return nil, err
	}
	in, err := a.nominalInterface(f, l)
	return &in, err
}

// moving is what a relay's data sheet says of its moving part, at a point of the box.
func moving(r *known.Relay, c drive.Coil, x []float64, part float64, quick bool) (timing.Relay, error) {
	sheet := timing.Sheet{Operate: r.Contacts.OperateTime.Of(x), Release: r.Contacts.ReleaseTime.Of(x)}
	open, closed := r.Coil.Open.Of(x), r.Coil.Closed.Of(x)
	travel, err := sheet.Travel(c, open, closed, part)
	relay := timing.Relay{
		Open: open, Closed: closed, LetGo: r.Coil.MustLet.Of(x),
		OperateTravel: travel.Operate, ReleaseTravel: travel.Release, Bounce: r.Contacts.Bounce.Of(x) * part,
	}
	if quick {
		relay.LetGo, relay.Bounce = r.Coil.LetsGo.Of(x), 0
		relay.OperateTravel *= timing.Quick
		relay.ReleaseTravel *= timing.Quick
	}
	return relay, err
}

// bypasses moves the capacitors that hold a cathode down.
func bypasses(f *known.Facts, s swing, x []float64) {
	for i := range f.Points {
		s.set(f, x, f.Points[i].Bypass.Value, f.Points[i].BusCapacitor.Value)
	}
	for i := range f.Supplies {
		s.set(f, x, f.Supplies[i].Capacitance)
	}
}

// corners are the ends of what relays and mains may do.
func (a *Answers) corners(f *known.Facts, l *lifts) (c timing.Corners, err error) {
	t := &f.Transmitter
	for _, corner := range []struct {
		of         timing.Corner
		feed, heat swing
		slow       swing // of capacitors
		quick      bool
	}{
		{timing.LatestOperate, least, most, most, false},
		{timing.LatestRelease, most, least, most, false},
		{timing.EarliestRelease, least, most, least, true},
		{timing.EarliestOperate, most, least, least, true},
		{timing.EarliestHeld, least, least, least, true},
		{timing.LatestHeld, most, most, most, false},
	} {
		x := cornerPoint(f, corner.feed, corner.heat)
		of := l
		if corner.of == timing.EarliestHeld || corner.of == timing.LatestHeld {
			for i := range f.Relays {
				corner.heat.set(f, x, f.Relays[i].Coil.Ohms)
			}
			of = nil // its returns are those of the corner it stands beside
		}
		bypasses(f, corner.slow, x)
		least.set(f, x, t.KeyToRF)
		most.set(f, x, t.Tail)
		for i := range f.Relays {
			k := &f.Relays[i].Contacts
			corner.slow.set(f, x, k.OperateTime, k.ReleaseTime, k.Bounce)
			corner.slow.set(f, x, f.Relays[i].Reservoir, f.Relays[i].Coil.Open, f.Relays[i].Coil.Closed, f.Relays[i].Hold)
			(-corner.slow).set(f, x, f.Relays[i].Zener)
		}
		if c[corner.of], err = a.interfaceAt(f, of, x, 1, corner.quick); err != nil {
			return c, err
		}
		if corner.of == timing.EarliestRelease || corner.of == timing.EarliestHeld {
			c[corner.of].Phase = timing.BeforeCrest
		}
	}
	c[timing.EarliestHeld].Lifts = c[timing.EarliestRelease].Lifts
	c[timing.LatestHeld].Lifts = c[timing.LatestRelease].Lifts
	return c, nil
}

// A moment is a result of timing and where it stands in a sequence.
type moment struct {
	name, formula string
	of            func(s *timing.Sequence) float64
	exists        bool
	after         stroke
}

// A stroke is one of the two movements of the key.
type stroke uint8

const (
	closing stroke = iota
	letGo
)

// askTiming asks when returns open and guards close, and whether that is soon
// enough. Its bounds are those of the four corners and of the nominal case: what
// relays and mains may do is not a box of independent doubts.
func (a *Answers) askTiming(f *known.Facts) error {
	if f.NominalOnly || !a.movable(f) {
		return nil
	}
	l, err := newLifts(f)
	if err != nil {
		return err
	}
	nominal, err := a.nominalInterface(f, l)
	if err != nil {
		return err
	}
	corners, err := a.corners(f, l)
	if err != nil {
		return err
	}
	if corners, err = corners.WithSteady(); err != nil { // once for all that is asked of them
		return err
	}
	cases := append([]timing.Interface{nominal}, corners.Counting()...)
	sequences := make([]timing.Sequence, len(cases))
	err = beside.Each(len(cases), func(i int) (err error) {
		sequences[i], err = timing.Solve(cases[i])
		return err
	})
	if errors.Is(err, timing.ErrStill) {
		a.Timings.Still = true
		return nil
	}
	if err != nil {
		return fmt.Errorf("timing: %w", err)
	}
	a.Timings.Nominal = &nominal
	inputs := question{}.inputs(f.Box, touched(timingInputs(f), f.Box))
	silent, restored := true, true
	for i := range sequences { // what does not happen in some corner has no worst case
		silent, restored = silent && sequences[i].Silent, restored && sequences[i].Restored
	}
	a.Timings.Mutes = sequences[0].Final > 0
	for _, m := range moments(len(nominal.Lifts) > 0, len(nominal.Guards) > 0, silent, restored) {
		if m.exists {
			a.addMoment(m, sequences, inHand(m.name, f), inputs)
		}
	}
	if a.Timings.Ends, err = timing.Worst(corners); err != nil {
		return fmt.Errorf("timing: %w", err)
	}
	return a.tryRemedies(corners)
}

// movable tells whether there is a drive to work a contact with.
func (a *Answers) movable(f *known.Facts) bool { return a.Unmoved(f) == "" }

// Unmoved says in words why no time of a contact can be promised, "" where it can.
func (a *Answers) Unmoved(f *known.Facts) string {
	if len(a.Poles.Used) == 0 {
		return "no contact serves anything"
	}
	if !a.Circuit.OK() {
		return "no drive goes with this supply and key line"
	}
	for i := range f.Relays {
		if m, ok := a.Get(driveStem(&f.Relays[i]) + ".coil.operate_margin"); !ok || m.Low < 1 {
			return fmt.Sprintf("K%d may not pull in", i+1)
		}
	}
	return ""
}

func moments(lifts, guards, silent, restored bool) []moment {
	return []moment{
		{"timing.opened", "key closure to the last return open", func(s *timing.Sequence) float64 { return s.Opened }, lifts, closing},
		{"timing.shorted", "key closure to the guard made and settled", func(s *timing.Sequence) float64 { return s.Shorted }, guards, closing},
		{"timing.muted", "key closure to the depth wanted, or to 3 dB less than the final depth", func(s *timing.Sequence) float64 { return within(s.Muted, s.Silent) }, silent, closing},
		{"timing.released", "let-go of the key to the guard's first break", func(s *timing.Sequence) float64 { return s.Released }, guards, letGo},
		{"timing.recovered", "let-go of the key to within 3 dB of full gain", func(s *timing.Sequence) float64 { return within(s.Recovered, s.Restored) }, restored, letGo},
		{"timing.key_margin", "first RF minus the later of shorted and opened", func(s *timing.Sequence) float64 { return s.Margins.Key }, true, closing},
		{"timing.tail_margin", "guard's first break minus the end of RF", func(s *timing.Sequence) float64 { return s.Margins.Tail }, guards, letGo},
		{"timing.mute_margin", "first RF minus muted", func(s *timing.Sequence) float64 { return within(s.Margins.Mute, s.Silent) }, silent, closing},
	}
}

// inHand is how much better a margin may be than in the corners, s: it follows one
// to one when RF comes, or how long it stays, of which they have the bad end.
func inHand(name string, f *known.Facts) float64 {
	id, _ := RFTiming(f, name)
	if !id.Exists() {
		return 0
	}
	e := f.Box.Entry(id)
	return e.High - e.Low
}

// RFTiming is the number of the plan that a margin follows one to one: when RF
// comes, or how long it stays. It falls with the latter. The zero ID: the result
// is no such margin.
func RFTiming(f *known.Facts, name string) (id known.ID, falls bool) {
	switch name {
	case "timing.key_margin", "timing.mute_margin":
		return f.Transmitter.KeyToRF, false
	case "timing.tail_margin":
		return f.Transmitter.Tail, true
	}
	return 0, false
}

// addMoment takes the bounds of a moment from the nominal sequence, the first,
// and from those of the corners.
func (a *Answers) addMoment(m moment, sequences []timing.Sequence, better float64, inputs []Input) {
	lowest, highest := 0, 0 // the sequences that give the ends
	q := Quantity{
		Name: m.name, Unit: quantity.Time, Nominal: m.of(&sequences[0]), Low: math.Inf(1), High: math.Inf(-1),
		Working: Working{
			Formula: m.formula,
			Source:  "computed by the circuit solver; travel of the armature from the data sheet's times less the electrical part",
			Inputs:  inputs,
		},
	}
	for i := range sequences {
		v := m.of(&sequences[i])
		if v < q.Low {
			q.Low, lowest = v, i
		}
		if i > 0 {
			v += better
		}
		if v > q.High {
			q.High, highest = v, i
		}
	}
	q.Working.LowBy, q.Working.HighBy = sequenceWords[lowest], sequenceWords[highest]
	q.Working.Steps = movements(&sequences[0], &sequences[lowest], &sequences[highest], m.after)
	for _, part := range moments(true, true, true, true) {
		if _, ok := a.Get(part.name); ok && slices.Contains(madeOf[m.name], part.name) {
			q.Working.Steps = append(q.Working.Steps, Step{
				Name: part.name, Unit: quantity.Time,
				Nominal: part.of(&sequences[0]), Low: part.of(&sequences[lowest]), High: part.of(&sequences[highest]),
			})
		}
	}
	a.Add(q)
}

// madeOf are the moments that a margin is made of.
var madeOf = map[string][]string{
	"timing.key_margin":  {"timing.opened", "timing.shorted"},
	"timing.tail_margin": {"timing.released"},
	"timing.mute_margin": {"timing.muted"},
}

// sequenceWords name the nominal sequence and those of the corners.
var sequenceWords = [...]string{
	"nominal",
	1 + timing.LatestOperate:   "latest operating: mains low, coil hot, full travel, bounce",
	1 + timing.LatestRelease:   "latest release: mains high, coil cold, must-release, full travel, bounce",
	1 + timing.EarliestRelease: "earliest release: mains low, coil hot, upper let-go, a quarter of the travel, no bounce",
	1 + timing.EarliestOperate: "earliest operating: mains high, coil cold, a quarter of the travel, no bounce",
	1 + timing.EarliestHeld:    "earliest release of a held coil: mains low, coil cold, else as the earliest release",
	1 + timing.LatestHeld:      "latest release of a held coil: mains high, coil hot, else as the latest release",
}

// movements are what every relay does on the way to a moment: when its coil's
// current reaches the threshold, when its contacts move, when they have settled.
func movements(nominal, low, high *timing.Sequence, after stroke) []Step {
	var steps []Step
	for i := range nominal.Relays {
		add := func(words string, of func(timing.Move) float64) {
			move := func(s *timing.Sequence) float64 {
				if after == letGo {
					return of(s.Relays[i].Up)
				}
				return of(s.Relays[i].Down)
			}
			steps = append(steps, Step{
				Name: fmt.Sprintf("K%d: %s", i+1, words), Unit: quantity.Time,
				Nominal: move(nominal), Low: move(low), High: move(high),
			})
		}
		add("coil current at its threshold", func(m timing.Move) float64 { return m.Starts })
		add("contacts move", func(m timing.Move) float64 { return m.Arrives })
		add("contacts settled", func(m timing.Move) float64 { return m.Settled })
	}
	return steps
}

// timingInputs lists every number that the sequences are built from, beside those
// of the drive: what hangs on the relays' movement and on the returns.
func timingInputs(f *known.Facts) []known.ID {
	t := &f.Transmitter
	ids := append(driveInputs(f), t.KeyToRF, t.Tail, f.Wanted)
	for i := range f.Relays {
		r := &f.Relays[i]
		ids = append(ids, r.Coil.Open, r.Coil.LetsGo, r.Contacts.OperateTime, r.Contacts.ReleaseTime, r.Contacts.Bounce)
	}
	for i := range f.Points {
		ids = append(ids, f.Points[i].Bypass.Value, f.Points[i].BusCapacitor.Value)
	}
	for i := range f.Returns {
		ids = append(ids, f.Returns[i].Pulldown, f.Returns[i].Capacitor)
	}
	for i := range f.Supplies {
		ids = append(ids, f.Supplies[i].Capacitance)
	}
	return ids
}

// What is tried: hold capacitors, F, with the resistor in series with them, ohm,
// and a zener in series with the clamp diode, V, each with the usual spread of its
// kind.
var (
	holdValues  = []float64{1e-6, 2.2e-6, 4.7e-6, 10e-6, 22e-6, 47e-6, 100e-6}
	holdOhms    = 47.0
	holdSpread  = timing.Spread{Down: 0.20, Up: 0.50} // electrolytics (IEC 60384-4, from memory)
	holdZener   = 12.0
	zenerSpread = timing.Spread{Down: 0.05, Up: 0.05} // E24 zeners (common practice)
)

// tryRemedies tries what would help where a margin is under a millisecond.
func (a *Answers) tryRemedies(corners timing.Corners) (err error) {
	tight := func(name string) bool {
		q, ok := a.Get(name)
		return ok && q.Low < timing.Enough
	}
	if !slices.ContainsFunc([]string{"timing.key_margin", "timing.tail_margin", "timing.mute_margin"}, tight) {
		return nil
	}
	a.Timings.HoldOhms = holdOhms
	a.Timings.Tries, err = timing.Remedies(corners, a.Timings.Ends, timing.Shelf{
		Zener: holdZener, ZenerSpread: zenerSpread,
		HoldOhms: holdOhms, HoldValues: holdValues, HoldSpread: holdSpread,
	})
	if err != nil {
		return fmt.Errorf("timing remedies: %w", err)
	}
	return nil
}
