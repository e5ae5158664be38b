package design

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/beside"
	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/plan"
)

// reservoirs are the values from which reservoirs are taken, F: the E3 series of
// IEC 60063, in which electrolytics are mostly sold.
var reservoirs = []float64{100e-6, 220e-6, 470e-6, 1000e-6, 2200e-6, 4700e-6}

// usualReservoir is where the search for a reservoir starts, F.
const usualReservoir = 470e-6

// An option is one kind of drive that goes with supply and key line.
type option struct{ rectifier, buffer string }

// A stand is one kind of drive, looked at once for all relays: the corners that
// decide, and its supply's regulation in each of them.
type stand struct {
	option
	once        sync.Once
	err         error
	signs       *answer.Signs
	baseEmitter float64 // ohm; 0 without a buffer
}

// A sizer chooses the drive of one relay after another.
type sizer struct {
	plan  *plan.Plan
	cat   *catalog.Catalog
	block int
	open  []string // keys that are left to it

	stands []*stand
	loads  []float64
}

// look looks at every kind of drive that the plan allows for the block. Those with a
// buffer wait until one is needed.
func (s *sizer) look() error {
	if s.loads != nil {
		return nil // it has
	}
	s.loads = s.allLoads()
	for _, o := range s.options() {
		s.stands = append(s.stands, &stand{option: o})
	}
	return beside.Each(len(s.stands), func(i int) error {
		if s.stands[i].buffer != "none" {
			return nil
		}
		return s.ready(s.stands[i])
	})
}

// ready looks at one kind of drive, once.
func (s *sizer) ready(at *stand) error {
	at.once.Do(func() { at.err = s.lookAt(at) })
	return at.err
}

// mayTake tells whether a key is left to the program.
func (s *sizer) mayTake(key string) bool { return slices.Contains(s.open, key) }

// blank is a setup that leaves everything as the plan has it but for the relay.
func (s *sizer) blank(relay string) Setup {
	blocks := relayBlocks(s.plan)
	blank := Setup{Relay: relay, Clamp: "diode", block: s.block, Droppers: make([]float64, len(blocks))}
	for i := range blocks {
		blank.at = append(blank.at, blocks[i].Path)
	}
	return blank
}

// options lists the kinds of drive that are legal, those without a buffer first.
func (s *sizer) options() []option {
	f := known.From(s.plan, s.cat)
	own := &f.Relays[0]
	rectifiers := []string{own.Rectifier}
	if s.mayTake(keyRectifier) {
		rectifiers = nil
		for _, r := range answer.CircuitOf(f).Ruling.Fits {
			rectifiers = append(rectifiers, rectifierWords[r])
		}
	}
	var list []option
	for _, r := range rectifiers {
		with := s.blank(own.Name)
		with.Rectifier, with.taken = r, []string{keyRectifier}
		g := known.From(with.lay(s.plan, s.entry(own.Name)), s.cat)
		c := answer.CircuitOf(g)
		if !c.Ruling.OK() {
			continue
		}
		if !s.mayTake(keyBuffer) {
			if c.Fit.OK() {
				list = append(list, option{r, own.Buffer})
			}
			continue
		}
		sense := drive.OnTransmit
		if own.OnReceive {
			sense = drive.OnReceive
		}
		for _, choice := range c.Fit.Fits {
			if choice.EnergisedOn == sense && choice.OnLine == (own.Supply < 0) {
				list = append(list, option{r, bufferWords[choice.Buffer]})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b option) int { return cmp.Compare(buffered(a), buffered(b)) })
	return list
}

func buffered(o option) int {
	if o.buffer == "none" {
		return 0
	}
	return 1
}

var rectifierWords = map[drive.Rectifier]string{
	drive.None: "none", drive.HalfWave: "half-wave", drive.FullWave: "full-wave",
	drive.Bridge: "bridge", drive.Doubler: "doubler",
}

var bufferWords = map[drive.BufferKind]string{drive.NoBuffer: "none", drive.PNP: "pnp", drive.NPN: "npn"}

// entry is the relay of a name; the one that the plan writes out itself is found
// under the name that facts give it.
func (s *sizer) entry(name string) *catalog.Relay {
	if r := s.cat.Relay(name); r != nil {
		return r
	}
	return &relayBlocks(s.plan)[s.block].Use.Is
}

// Loads at which a supply is solved: a factor of this apart, so that a cubic
// through four of them is good to a per mille.
const loadStep = 2.5

// allLoads are resistances that hold all coils of the catalogue with what stands in
// front of them, ohm.
func (s *sizer) allLoads() []float64 {
	low, high := math.Inf(1), 0.0
	for _, r := range s.cat.Relays() {
		low = min(low, float64(r.Coil.Resistance.Is.Low))
		high = max(high, float64(r.Coil.Resistance.Is.High))
	}
	low /= 1.2 * float64(len(relayBlocks(s.plan)))
	high *= 1.6
	n := max(4, int(math.Ceil(math.Log(high/low)/math.Log(loadStep)))+1)
	list := make([]float64, n)
	for i := range list {
		list[i] = low * math.Pow(high/low, float64(i)/float64(n-1))
	}
	return list
}

// lookAt finds signs and regulation of one kind of drive, with the relay that facts
// name for it and about the dropper that this wants.
func (s *sizer) lookAt(at *stand) error {
	f := known.From(s.plan, s.cat)
	with := s.blank(f.Relays[s.block].Name)
	with.Rectifier, with.Buffer, with.Reservoir = at.rectifier, at.buffer, usualReservoir
	with.taken = []string{keyRectifier, keyBuffer}
	for _, key := range []string{keyClamp, keyReservoir} { // with the doubt that the chosen ones will have
		if s.mayTake(key) {
			with.taken = append(with.taken, key)
		}
	}
	for i := range with.Droppers {
		with.Droppers[i] = quarter * f.Box.Entry(f.Relays[i].Coil.Ohms).Nominal
		with.taken = append(with.taken, dropperOf(i))
	}
	f = known.From(with.lay(s.plan, s.entry(with.Relay)), s.cat)
	c := answer.CircuitOf(f)
	if r := &f.Relays[0]; r.Base.Exists() {
		f.Box.Fix(r.Base, nearBase*drive.ForcedGain*nominal(f, r.Coil.Ohms), resistorTolerance, "forced gain of at most 20 at the lowest supply")
	}
	var err error
	if at.signs, err = answer.FindSigns(f, c); err != nil {
		return fmt.Errorf("rectifier %s: %w", at.rectifier, err)
	}
	if err = at.signs.Regulate(f, c, s.loads); err != nil {
		return fmt.Errorf("rectifier %s: %w", at.rectifier, err)
	}
	if at.buffer == "none" {
		return nil
	}
	basing, err := drive.ChooseBuffer(bufferCorners(f, c), catalog.E24.Between(100, 1e6))
	at.baseEmitter = basing.BaseEmitter
	return err
}

// nearBase is how much less a base resistor is, about, than the coil times the
// forced gain.
const nearBase = 0.85

// quarter of a coil is about the dropper that it wants on a doubler.
const quarter = 0.25

// A sketched is a setup before it is solved, and how it is likely to fare.
type sketched struct {
	Setup
	stand    *stand
	smallest float64 // of the margins that can be sketched
	own      float64 // of those of the relay's own coil
	load     float64 // of the winding, A
	line     float64 // smaller of the key line's two margins
}

// better tells whether a is the better drive: by the rule that ranks relays.
func (a sketched) better(b sketched) bool {
	return cmp.Or(cmp.Compare(toHundredth(b.smallest), toHundredth(a.smallest)), cmp.Compare(a.load, b.load)) < 0
}

// toHundredth is a margin as it is printed; what prints alike is alike.
func toHundredth(v float64) float64 { return math.Round(v*100) / 100 }

// sketch finds the best setup of a relay without solving it. A buffer is taken
// only where the key line does not stand the coil itself. It is not ok where the
// plan allows no drive.
func (s *sizer) sketch(entry *catalog.Relay) (best sketched, ok bool, err error) {
	for _, at := range s.stands {
		if ok && buffered(at.option) > buffered(best.stand.option) && best.line >= 1 {
			break
		}
		if err := s.ready(at); err != nil {
			return best, false, err
		}
		if with := s.sketchOn(at, entry); !ok || best.line < 1 && with.line >= 1 || with.better(best) {
			best, ok = with, true
		}
	}
	return best, ok, nil
}

// sketchOn chooses reservoir, droppers and fuse of a relay on one kind of drive.
func (s *sizer) sketchOn(at *stand, entry *catalog.Relay) sketched {
	v := s.view(at, entry)
	v.choose(nil)
	return v.sketched()
}

// A view is one relay on one kind of drive, as the regulation of its supply shows it.
type view struct {
	*sizer
	stand   *stand
	entry   *catalog.Relay
	facts   *known.Facts
	corners []drive.Drive // droppers that are chosen stand there with their tolerance alone: at 1 ohm
	setup   Setup
}

func (s *sizer) view(at *stand, entry *catalog.Relay) *view {
	v := &view{sizer: s, stand: at, entry: entry, setup: s.blank(nameOf(entry))}
	v.setup.Rectifier, v.setup.Buffer, v.setup.Reservoir = at.rectifier, at.buffer, usualReservoir
	v.setup.taken = slices.Clone(s.open)
	v.setup.taken = slices.DeleteFunc(v.setup.taken, func(key string) bool { return key == keyFuse })
	for i := range v.setup.Droppers {
		v.setup.Droppers[i] = 1
	}
	v.facts = known.From(v.setup.lay(s.plan, entry), s.cat)
	v.corners = at.signs.Drives(v.facts, answer.CircuitOf(v.facts))
	if first := &v.facts.Relays[0]; !first.Reservoir.Exists() {
		v.setup.Reservoir = 0
	} else if !s.mayTake(keyReservoir) {
		v.setup.Reservoir = nominal(v.facts, first.Reservoir)
	}
	if !s.mayTake(keyClamp) {
		v.setup.Clamp = v.facts.Relays[s.block].Clamp
	}
	for i := range v.setup.Droppers {
		if !s.mayTake(dropperOf(i)) {
			v.setup.Droppers[i] = nominal(v.facts, v.facts.Relays[i].Dropper)
		}
	}
	if !slices.Contains(s.open, keyFuse) {
		v.setup.Fuse = nominal(v.facts, v.facts.Relays[0].Fuse)
	} else if v.facts.Fusable(&v.facts.Relays[0]) {
		v.setup.taken = append(v.setup.taken, keyFuse)
	}
	return v
}

// nameOf is the name of an entry; one that is written out has none.
func nameOf(entry *catalog.Relay) string { return entry.Name }

// at is the sketch in one corner with the setup's reservoir and with droppers.
func (v *view) at(corner int, droppers []float64) drive.Sketch {
	d := v.corners[corner]
	d.Coils = slices.Clone(d.Coils)
	for i := range d.Coils {
		if v.mayTake(dropperOf(i)) {
			d.Coils[i].Dropper *= droppers[i]
		}
	}
	if v.mayTake(keyReservoir) {
		d.Reservoir *= v.setup.Reservoir / usualReservoir
	}
	return v.stand.signs.Sketch(corner, d)
}

// A correction is what solving a setup has shown: by how much the margins of each
// coil are better than sketched.
type correction []drive.CoilSketch

// nearlyBest is by how much of a margin a smaller reservoir may be worse than the
// best: nobody pays for the last per cent with ten times the capacitance.
const nearlyBest = 0.02

// choose picks reservoir, droppers and fuse: the smallest reservoir that leaves
// little ripple and margins nearly as good as the best.
func (v *view) choose(known correction) {
	if v.mayTake(keyReservoir) && v.setup.Reservoir > 0 {
		type outcome struct{ farads, smallest float64 }
		var outcomes []outcome
		best := math.Inf(-1)
		for _, farads := range reservoirs {
			v.setup.Reservoir = farads
			smallest := v.chooseDroppers(known)
			if v.ripple() > drive.MostRipple && farads < reservoirs[len(reservoirs)-1] {
				continue
			}
			outcomes = append(outcomes, outcome{farads, smallest})
			best = max(best, smallest)
		}
		for _, o := range outcomes {
			if o.smallest >= best-nearlyBest {
				v.setup.Reservoir = o.farads
				break
			}
		}
	}
	v.chooseDroppers(known)
	v.chooseFuse(0)
}

// ripple is the highest of the corners, a share of the voltage.
func (v *view) ripple() (most float64) {
	for i := range v.corners {
		most = max(most, v.at(i, v.setup.Droppers).Ripple)
	}
	return most
}

// chooseDroppers picks the resistors one after another; of those that follow it
// takes that each has as much in series for its coil. It returns the smallest
// margin.
func (v *view) chooseDroppers(known correction) float64 {
	smallest := math.Inf(1)
	for i := range v.setup.Droppers {
		if !v.mayTake(dropperOf(i)) {
			continue
		}
		own := nominal(v.facts, v.facts.Relays[i].Coil.Ohms)
		droppers := slices.Clone(v.setup.Droppers)
		// It cannot fail: nothing is solved.
		best, _ := drive.ChooseDropping(func(ohms float64) (drive.Dropping, error) {
			droppers[i] = ohms
			for k := i + 1; k < len(droppers); k++ {
				if v.mayTake(dropperOf(k)) {
					droppers[k] = ohms * nominal(v.facts, v.facts.Relays[k].Coil.Ohms) / own
				}
			}
			with := drive.Dropping{Ohms: ohms, Operate: math.Inf(1), Ceiling: math.Inf(1)}
			for corner := range v.corners {
				coil := v.at(corner, droppers).Coils[i]
				if known != nil {
					coil.Operate, coil.Ceiling = coil.Operate*known[i].Operate, coil.Ceiling*known[i].Ceiling
				}
				with.Operate, with.Ceiling = min(with.Operate, coil.Operate), min(with.Ceiling, coil.Ceiling)
			}
			return with, nil
		}, catalog.E24.Between(1, 100e3))
		v.setup.Droppers[i] = best.Ohms
		smallest = min(smallest, best.Operate, best.Ceiling)
	}
	return smallest
}

// chooseFuse picks the fuse for the current in its lead, A rms; 0: as sketched.
func (v *view) chooseFuse(current float64) {
	if !slices.Contains(v.setup.taken, keyFuse) {
		return
	}
	if current == 0 {
		for i := range v.corners {
			current = max(current, v.at(i, v.setup.Droppers).Current)
		}
	}
	fuses := fusesFor(v.facts, v.cat)
	v.setup.Fuse = fuses[len(fuses)-1].Amps
	for _, fuse := range fuses {
		if fuse.Amps >= drive.FuseFactor*current {
			v.setup.Fuse = fuse.Amps
			break
		}
	}
}

// sketched is the setup as it stands with its score.
func (v *view) sketched() sketched {
	f := v.facts
	s := sketched{Setup: v.setup, stand: v.stand, smallest: math.Inf(1), own: math.Inf(1), line: math.Inf(1)}
	t := &f.Transmitter
	rated := 0.0
	if supply := f.Relays[0].Supply; supply >= 0 && f.Supplies[supply].Rated.Exists() {
		rated = f.Box.Entry(f.Supplies[supply].Rated).Low
	}
	for i := range v.corners {
		at := v.at(i, v.setup.Droppers)
		for _, coil := range at.Coils {
			s.smallest = min(s.smallest, coil.Operate, coil.Ceiling)
		}
		s.own = min(s.own, at.Coils[v.block].Operate, at.Coils[v.block].Ceiling)
		s.load = max(s.load, at.Total)
		amps, volts := at.Amps, at.Released
		if v.stand.buffer != "none" {
			amps /= drive.ForcedGain
		}
		if t.LineAmps.Exists() {
			s.line = min(s.line, f.Box.Entry(t.LineAmps).Low/amps)
		}
		if t.LineVolts.Exists() && v.stand.buffer != "npn" {
			s.line = min(s.line, f.Box.Entry(t.LineVolts).Low/volts)
		}
	}
	s.smallest = min(s.smallest, s.line)
	if rated > 0 {
		s.smallest = min(s.smallest, rated/s.load)
	}
	return s
}

// hopeless is the margin of a relay's own coil, sketched, under which solving does not
// make it one that serves: a sketch errs by a few per cent.
const hopeless = 0.8

// A sized is a setup that has been solved in the corners that decide.
type sized struct {
	Setup
	facts *known.Facts
	set   answer.Set // of drive and key line
}

// mostTries bounds how often a setup is corrected and solved again; once is the rule.
const mostTries = 4

// size chooses the drive of a relay and solves it. It is not ok where the plan
// allows no drive at all.
func (s *sizer) size(entry *catalog.Relay) (best sized, ok bool, err error) {
	start, ok, err := s.sketch(entry)
	if err != nil {
		return best, false, err
	}
	if !ok {
		f := known.From(s.blank(nameOf(entry)).lay(s.plan, entry), s.cat)
		return sized{Setup: s.blank(nameOf(entry)), facts: f}, false, nil
	}
	v := s.view(start.stand, entry)
	v.setup = start.Setup
	var tried []Setup
	most := math.Inf(-1)
	for range mostTries {
		tried = append(tried, v.setup)
		with, err := v.solve()
		if err != nil {
			return sized{}, false, fmt.Errorf("relay %s: %w", start.Relay, err)
		}
		smallest, shown := v.compare(with.set)
		if smallest > most {
			best, most = with, smallest
		}
		fuse := v.setup.Fuse
		v.setup.Droppers = slices.Clone(v.setup.Droppers)
		v.choose(shown)
		if current, ok := with.set.Get("drive.winding.current"); ok {
			v.setup.Fuse = fuse
			if fuse < drive.FuseFactor*current.High {
				v.chooseFuse(current.High)
			}
		}
		if slices.ContainsFunc(tried, v.setup.same) {
			break
		}
	}
	return best, true, nil
}

// same tells whether two setups have the same parts.
func (s Setup) same(t Setup) bool {
	return s.Reservoir == t.Reservoir && s.Fuse == t.Fuse && slices.Equal(s.Droppers, t.Droppers)
}

// solve answers the setup in the corners that decide.
func (v *view) solve() (sized, error) {
	with := sized{Setup: v.setup}
	with.facts = known.From(v.setup.lay(v.plan, v.entry), v.cat)
	c := answer.CircuitOf(with.facts)
	if v.stand.buffer != "none" {
		if err := v.chooseBase(with.facts, c); err != nil {
			return with, err
		}
	}
	var err error
	with.set, err = v.stand.signs.Ask(with.facts, c)
	return with, err
}

// chooseBase picks the base resistor of a buffer as a check does.
func (v *view) chooseBase(f *known.Facts, c answer.Circuit) error {
	r := &f.Relays[0]
	f.Box.Fix(r.BaseEmitter, v.stand.baseEmitter, resistorTolerance, "leakage leaves at most 0.3 V from base to emitter")
	with := bufferCorners(f, c)
	basing, err := drive.ChooseBase(func(base float64) []drive.Drive { return with(base, v.stand.baseEmitter) }, catalog.E24.Between(100, 1e6))
	f.Box.Fix(r.Base, basing.Base, resistorTolerance, "forced gain of at most 20 at the lowest supply")
	return err
}

// compare holds what was solved against the sketch: the smallest of the margins, of
// this relay and of those that the plan has beside it, and by how much each is better
// than sketched.
func (v *view) compare(set answer.Set) (smallest float64, shown correction) {
	smallest = math.Inf(1)
	for i := range v.setup.Droppers {
		operate, ceiling := math.Inf(1), math.Inf(1)
		for corner := range v.corners {
			coil := v.at(corner, v.setup.Droppers).Coils[i]
			operate, ceiling = min(operate, coil.Operate), min(ceiling, coil.Ceiling)
		}
		stem := driveStem(i)
		solved := func(name string) float64 {
			q, _ := set.Get(stem + name)
			return q.Low
		}
		o, c := solved(".coil.operate_margin"), solved(".coil.ceiling_margin")
		if i == v.block || !v.facts.Relays[i].Choose {
			smallest = min(smallest, o, c)
		}
		shown = append(shown, drive.CoilSketch{Operate: o / operate, Ceiling: c / ceiling})
	}
	return smallest, shown
}

// driveStem begins the names of a relay's drive.
func driveStem(block int) string {
	if block > 0 {
		return fmt.Sprintf("drive.%d", block+1)
	}
	return "drive"
}
