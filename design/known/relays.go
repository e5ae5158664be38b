package known

import (
	"slices"

	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/plan"
	"mutewright/design/quantity"
)

// usualRelay is taken where a plan names none.
const usualRelay = "signal-dpdt-12v"

func (b *builder) relays(p *plan.Plan, cat *catalog.Catalog) {
	items := p.Relays.Items
	if len(items) == 0 {
		r := plan.Relay{}
		new(document.Document).Lay(&r, "relay")
		items = []plan.Relay{r}
		b.Assumed = append(b.Assumed, Assumption{"relay", "one relay", "the plan leaves it out"})
	}
	for i := range items {
		r := b.relay(&items[i], items[i].Path, cat)
		r.Index = i + 1
		b.Relays = append(b.Relays, r)
	}
	b.serve()
	for i := range b.Relays {
		if r := &b.Relays[i]; len(r.Serves) == 0 && len(b.Relays) > 1 {
			b.unused(r.At+".serves", "nothing is left for it")
		}
	}
}

// serve gives what no relay names to the first relay that names nothing. Where
// each names what it serves, the rest is left, and a finding says so.
func (b *builder) serve() {
	named := map[string]bool{}
	for i := range b.Relays {
		r := &b.Relays[i]
		for k, s := range r.Serves {
			r.Serves[k] = b.returnOf(s)
			named[r.Serves[k]] = true
		}
		slices.Sort(r.Serves)
		r.Serves = slices.Compact(r.Serves)
	}
	var loose []string
	for _, r := range b.Returns {
		if !named[r.Name] {
			loose = append(loose, r.Name)
		}
	}
	for i := range b.Points {
		if k := b.Points[i].Kind; (k == Antenna || k == Audio) && !named[b.Points[i].Name] {
			loose = append(loose, b.Points[i].Name)
		}
	}
	if i := slices.IndexFunc(b.Relays, func(r Relay) bool { return len(r.Serves) == 0 }); i >= 0 {
		b.Relays[i].Serves = loose
	}
}

// returnOf is the return of a point that is lifted, as its contact serves the
// whole return; other names stay as they are.
func (b *builder) returnOf(name string) string {
	for _, r := range b.Returns {
		for _, k := range r.Points {
			if b.Points[k].Name == name {
				return r.Name
			}
		}
	}
	return name
}

func (b *builder) relay(from *plan.Relay, at string, cat *catalog.Catalog) Relay {
	r := Relay{At: at}
	r.Choose = from.Use.State == document.Choose
	entry := &from.Use.Is
	r.Name = from.Use.Named
	if !from.Use.Given() {
		entry, r.Name = cat.Relay(usualRelay), usualRelay
		if !r.Choose {
			b.Assumed = append(b.Assumed, Assumption{at + ".use", usualRelay, "the usual relay for this work"})
		}
	}
	cited := &sheet{at: at + ".use", entry: r.Name, origin: entry.Sources.Origin}
	if r.Name == "" {
		r.Name = "as written out"
	}
	for _, s := range from.Serves.Items {
		if s.Given() {
			r.Serves = append(r.Serves, s.Is)
		}
	}
	if len(b.Relays) == 0 {
		b.drive(&r, from, cat)
	} else {
		b.share(&r, from)
	}
	b.dropper(&r, from)
	r.Clamp = word(b, from.Clamp, plan.Diode, "a diode across the coil")
	if r.Clamp == string(plan.DiodeAndZener) {
		r.Zener = takeOr(b, from.Zener, doubt{0.05, 0.05}, func() usual { return usualFor("relay.zener") })
	}
	if b.there(from.Hold.Block, "it lets go as fast as its clamp allows") {
		r.Hold = take(b, from.Hold.Value, electrolytic)
		r.HoldOhms = take(b, from.Hold.Series, resistor)
	}
	b.coil(&r, entry, cited)
	b.contacts(&r, entry, cited)
	for _, pin := range from.Pins.Coil.Items {
		r.Pins.Coil = append(r.Pins.Coil, pin.Is)
	}
	for _, pole := range from.Pins.Poles.Items {
		var pins []string
		for _, pin := range pole.Items {
			pins = append(pins, pin.Is)
		}
		r.Pins.Poles = append(r.Pins.Poles, pins)
	}
	return r
}

// drive takes what feeds the coils, from the first relay of the plan.
func (b *builder) drive(r *Relay, from *plan.Relay, cat *catalog.Catalog) {
	r.OnReceive = word(b, from.EnergisedOn, plan.OnTransmit, "the relay then rests while the set receives") == string(plan.OnReceive)
	r.Supply = -1
	if !from.Supply.Given() || from.Supply.Is != plan.FromControl {
		r.Supply = b.supply(from.Supply, false)
	}
	b.rectifier(r, from)
	b.reservoir(r, from)
	r.Buffer = word(b, from.Buffer, plan.NoBuffer, "the line switches the coil itself")
	b.fuse(r, from, cat)
	if r.Buffer != string(plan.NoBuffer) { // chosen with the drive
		r.Base = b.assume(r.At+".buffer", quantity.Resistance, usualFor(r.At+".buffer.base"))
		r.BaseEmitter = b.assume(r.At+".buffer", quantity.Resistance, usualFor(r.At+".buffer.base_emitter"))
	}
}

// reservoir takes the capacitors of the rectifier; what is direct already needs
// none, and a key line may not charge one.
func (b *builder) reservoir(r *Relay, from *plan.Relay) {
	switch {
	case r.Supply >= 0 && !b.Supplies[r.Supply].Rail:
		r.Reservoir = take(b, from.Reservoir, electrolytic)
	case r.Supply >= 0:
		r.Reservoir = takeOrNone(b, from.Reservoir, electrolytic)
	case from.Reservoir.Given():
		b.unused(from.Reservoir.Path, "the key line feeds the coil, and would have to charge it")
	}
}

// share lays a further relay beside the first: all coils stand on one supply,
// one rectifier and one buffer, and hang on one key line.
func (b *builder) share(r *Relay, from *plan.Relay) {
	first := &b.Relays[0]
	r.OnReceive, r.Supply, r.Rectifier, r.Buffer = first.OnReceive, first.Supply, first.Rectifier, first.Buffer
	r.Reservoir, r.Fuse, r.FuseOhms, r.Base, r.BaseEmitter = first.Reservoir, first.Fuse, first.FuseOhms, first.Base, first.BaseEmitter
	supply := plan.FromControl
	if first.Supply >= 0 {
		supply = b.Supplies[first.Supply].Name
	}
	same := func(id ID, v float64) bool { return !id.Exists() || b.number(id) == v }
	for _, key := range []struct {
		name   string
		unlike bool
	}{
		{"energised_on", from.EnergisedOn.Given() && (from.EnergisedOn.Is == plan.OnReceive) != first.OnReceive},
		{"supply", from.Supply.Given() && from.Supply.Is != supply},
		{"rectifier", from.Rectifier.Given() && string(from.Rectifier.Is) != first.Rectifier},
		{"reservoir", from.Reservoir.Given() && !same(first.Reservoir, float64(from.Reservoir.Is.Nominal))},
		{"buffer", from.Buffer.Given() && string(from.Buffer.Is) != first.Buffer},
		{"fuse", from.Fuse.Given() && !first.ChooseFuse && !same(first.Fuse, float64(from.Fuse.Is.Nominal))},
	} {
		if key.unlike {
			r.Unlike = append(r.Unlike, key.name)
		}
	}
}

func (b *builder) rectifier(r *Relay, from *plan.Relay) {
	r.ChooseRectifier = from.Rectifier.State == document.Choose
	switch {
	case from.Rectifier.Given(), from.Rectifier.State == document.None:
		r.Rectifier = word(b, from.Rectifier, plan.NoRectifier, "")
	case r.Supply < 0 || b.Supplies[r.Supply].Rail:
		r.Rectifier = string(plan.NoRectifier)
	default:
		b.left(from.Rectifier.Source)
		r.ChooseRectifier = true
		r.Rectifier = string(plan.Doubler)
		if b.Supplies[r.Supply].Grounded == string(plan.Floating) {
			r.Rectifier = string(plan.Bridge)
		}
		if b.Supplies[r.Supply].Grounded == string(plan.CentreTap) {
			r.Rectifier = string(plan.FullWave)
		}
	}
}

func (b *builder) dropper(r *Relay, from *plan.Relay) {
	switch from.Dropper.State {
	case document.Given:
		if from.Dropper.Is.High > 0 {
			r.Dropper = take(b, from.Dropper, resistor)
		}
	case document.None:
	default:
		b.left(from.Dropper.Source)
		r.ChooseDropper = true
	}
}

// fuse takes the fuse in the lead from the supply.
func (b *builder) fuse(r *Relay, from *plan.Relay, cat *catalog.Catalog) {
	first := usualFor(r.At + ".fuse")
	amps := first.nominal
	if r.Supply < 0 {
		if from.Fuse.Given() {
			b.unused(from.Fuse.Path, "the key line feeds the coil: there is no lead from a winding")
		}
		return
	}
	switch from.Fuse.State {
	case document.None:
		return
	case document.Given:
		r.Fuse = take(b, from.Fuse, exact)
		amps = b.number(r.Fuse)
	default:
		if !b.Fusable(r) {
			return
		}
		b.left(from.Fuse.Source)
		r.ChooseFuse = true
		r.Fuse = b.assume(r.At+".fuse", quantity.Current, first)
	}
	ohms := cat.Fuses(FuseList(b.Facts)).Resistance(amps)
	r.FuseOhms = b.Box.Add(fuseOhms(r.At+".fuse", ohms))
}

// FusedRail is the highest rail for whose lead a fuse is chosen, V DC: small glass
// fuses are rated for alternating voltage, and break little more than this of
// direct voltage (from memory).
const FusedRail = 60

// Fusable tells whether a fuse may be chosen for the lead to a relay's drive: from
// a winding, or from a rail of little voltage.
func (f *Facts) Fusable(r *Relay) bool {
	if r.Supply < 0 {
		return false
	}
	s := &f.Supplies[r.Supply]
	return !s.Rail || s.Unloaded.Exists() && f.Box.Entry(s.Unloaded).High <= FusedRail
}

// fuseOhms is what a fuse adds to the supply, cold at one end and near its rating
// at the other: a plan has no key for it.
func fuseOhms(at string, cold float64) Entry {
	return Entry{
		At: at, Unit: quantity.Resistance, Origin: Assumed, Because: "cold resistance of a fuse of this rating, and twice that warm (from memory)",
		Nominal: cold, Low: 0.5 * cold, High: 2 * cold,
	}
}

// FuseOhms replaces the resistance of a fuse by that of the one chosen.
func (f *Facts) FuseOhms(r *Relay, cold float64) {
	f.Box[r.FuseOhms.Index()] = fuseOhms(r.At+".fuse", cold)
}

// FuseList is the name of the list from which fuses are taken: the one sold
// where the mains is of this voltage and frequency. The same figure of two lists
// is not the same fuse.
func FuseList(f *Facts) string {
	if f.Box.Entry(f.Mains.Voltage).Nominal < 150 && f.Box.Entry(f.Mains.Frequency).Nominal > 55 {
		return "north-america"
	}
	return "iec"
}

func (b *builder) coil(r *Relay, from *catalog.Relay, cited *sheet) {
	at := cited.at
	c, k := &from.Coil, &r.Coil
	k.Rated = look(b, at+".coil.voltage", c.Voltage, exact, cited)
	k.Ohms = look(b, at+".coil.resistance", c.Resistance, copper, cited)
	k.Operate = look(b, at+".coil.operate", c.Operate, exact, cited)
	release := c.Release
	e := Entry{At: at + ".coil.release", Unit: quantity.Percentage, Origin: Assumed, Because: usualFor(at + ".coil.release").why}
	low, high := usualFor(at+".coil.release").low, usualFor(at+".coil.release").high
	if release.Given() {
		cited.cite(&e, release.Source)
		low, high = float64(release.Is.Low), float64(release.Is.High)
		if release.Is.Kind == quantity.Exact {
			high = max(high, usualFor(at+".coil.release").high)
		}
	}
	share := func(v float64) ID {
		e.Nominal, e.Low, e.High = v, v, v
		return b.Box.Add(e)
	}
	k.MustLet, k.LetsGo = share(low), share(high)
	rise := c.TemperatureRise
	if rise.Given() {
		k.Rise = look(b, at+".coil.temperature_rise", rise, exact, cited)
	} else {
		k.Rise = b.assume(at+".coil.temperature_rise", quantity.ThermalResistance, coilRise(from.Class, at+".coil.temperature_rise"))
	}
	b.Box[k.Rise.Index()].Behind = b.Soaked // a coil just keyed has taken up no heat of its own
	k.Limit = look(b, at+".coil.limit", c.Limit, exact, cited)
	if c.Most.At23.Given() {
		k.At23 = look(b, at+".coil.most.at_23", c.Most.At23, exact, cited)
	}
	if c.Most.At70.Given() {
		k.At70 = look(b, at+".coil.most.at_70", c.Most.At70, exact, cited)
	}
	class := catalog.SignalClass
	if from.Class.Given() {
		class = from.Class.Is
	}
	tau, ohms := timeConstant[class], b.number(k.Ohms)
	henries := func(m document.Measure[quantity.Henries], name string, tau float64) ID {
		if m.Given() {
			return look(b, at+".coil.inductance."+name, m, guessed, cited)
		}
		return b.assume(at+".coil.inductance."+name, quantity.Inductance, coilInductance(tau, ohms))
	}
	k.Open = henries(c.Inductance.Open, "open", tau[0])
	k.Closed = henries(c.Inductance.Closed, "closed", tau[1])
}

func (b *builder) contacts(r *Relay, from *catalog.Relay, cited *sheet) {
	at := cited.at
	c, k := &from.Contacts, &r.Contacts
	k.Form = word(b, c.Form, catalog.FormC, "changeover contacts")
	k.Poles = 2
	if c.Poles.Given() {
		k.Poles = c.Poles.Is
	} else {
		b.Assumed = append(b.Assumed, Assumption{at + ".contacts.poles", "2", "nothing is said"})
	}
	k.Latching = from.Latching.Given() && from.Latching.Is
	for _, l := range c.DCLimits.Items {
		k.Limits = append(k.Limits, Limit{Volts: float64(l.Is.First), Amps: float64(l.Is.Second)})
	}
	if c.Rated.Voltage.Given() || len(k.Limits) == 0 {
		k.Volts = look(b, at+".contacts.rated.voltage", c.Rated.Voltage, exact, cited)
	}
	if c.Rated.Current.Given() || len(k.Limits) == 0 {
		k.Amps = look(b, at+".contacts.rated.current", c.Rated.Current, exact, cited)
	}
	if c.Rated.Power.Given() {
		k.Watts = look(b, at+".contacts.rated.power", c.Rated.Power, exact, cited)
	}
	if c.Least.Given() {
		least := func(unit quantity.Unit, v float64) ID {
			e := Entry{At: at + ".contacts.least", Unit: unit, Nominal: v, Low: v, High: v}
			cited.cite(&e, c.Least.Source)
			return b.Box.Add(e)
		}
		k.LeastVolts = least(quantity.Voltage, float64(c.Least.Is.First))
		k.LeastAmps = least(quantity.Current, float64(c.Least.Is.Second))
	} else {
		k.LeastVolts = b.assume(at+".contacts.least", quantity.Voltage, usualFor(at+".contacts.least.voltage"))
		k.LeastAmps = b.assume(at+".contacts.least", quantity.Current, usualFor(at+".contacts.least.current"))
	}
	k.Make = look(b, at+".contacts.make", c.Make, exact, cited)
	k.Resistance = look(b, at+".contacts.resistance", c.Resistance, exact, cited)
	k.Capacitance = look(b, at+".contacts.capacitance", c.Capacitance, exact, cited)
	k.Inductance = look(b, at+".contacts.inductance", c.Inductance, exact, cited)
	i := &from.Insulation
	k.OpenVolts = look(b, at+".insulation.open_contact", i.OpenContact, exact, cited)
	k.CoilVolts = look(b, at+".insulation.coil_to_contact", i.CoilToContact, exact, cited)
	k.PoleVolts = look(b, at+".insulation.between_poles", i.BetweenPoles, exact, cited)
	t := &from.Times
	k.OperateTime = look(b, at+".times.operate", t.Operate, exact, cited)
	k.ReleaseTime = look(b, at+".times.release", t.Release, exact, cited)
	k.Bounce = look(b, at+".times.bounce", t.Bounce, exact, cited)
}
