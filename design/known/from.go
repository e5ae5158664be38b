package known

import (
	"math"
	"slices"

	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/plan"
	"mutewright/design/quantity"
)

// From fills in a plan. Names of tubes and relays that the plan gives have been
// looked up by its reader; cat serves what is assumed.
func From(p *plan.Plan, cat *catalog.Catalog) *Facts {
	b := &builder{Facts: &Facts{}}
	b.mains(p)
	if b.Refused {
		return b.Facts
	}
	b.supplies(p, cat)
	b.points(p, cat)
	b.returns(p)
	b.standby(p)
	b.transmitter(p)
	b.relays(p, cat)
	b.Wanted = take(b, p.Wanted.Depth, exact)
	return b.Facts
}

// unknownSwitch is the place of a mains switch of which nobody knows it.
const unknownSwitch plan.Conductor = "unknown"

func (b *builder) mains(p *plan.Plan) {
	m := &p.Receiver.Mains
	f := &b.Mains
	f.Voltage = take(b, m.Voltage, exact)
	tolerance := usualFor("receiver.mains.tolerance")
	if m.Tolerance.Given() {
		tolerance.high = float64(m.Tolerance.Is.High)
	} else {
		b.Assumed = append(b.Assumed, Assumption{m.Tolerance.Path, quantity.Percent(tolerance.high).String(), tolerance.why})
	}
	f.Ratio = b.Box.Add(Entry{
		At: "receiver.mains.tolerance", Unit: quantity.Proportion, Origin: Tolerance, Because: "mains over its nominal voltage",
		Line: m.Tolerance.Line, Setting: m.Tolerance.Setting,
		Nominal: 1, Low: 1 - tolerance.high, High: 1 + tolerance.high,
	})
	f.Frequency = take(b, m.Frequency, exact)
	f.TwoWire = m.Cord.Is == plan.TwoWire
	if m.Isolation.Is == plan.NoIsolation {
		b.Refused = true
		return
	}
	f.Power = take(b, m.Power, exact)
	f.Stray = take(b, m.Stray, exact)
	switch m.Fuse.State {
	case document.None:
	case document.LeftOut, document.Unknown:
		f.Fused, f.FuseIn = true, "line"
		f.Fuse = b.assume(m.Fuse.Path+".value", quantity.Current, usualFor("receiver.mains.fuse.value"))
	default:
		f.Fused = true
		f.Fuse = take(b, m.Fuse.Value, exact)
		f.FuseIn = word(b, m.Fuse.In, plan.Line, "a fuse belongs in the line")
	}
	f.SwitchIn = word(b, m.Switch.In, unknownSwitch, "the worst of its three places is taken")
	if !m.LineCapacitors.Given() && m.LineCapacitors.State != document.None {
		b.nothing(m.LineCapacitors.Path, "none is stated: look for one from each mains conductor to chassis")
	}
	for i := range m.LineCapacitors.Items {
		c := &m.LineCapacitors.Items[i]
		f.Capacitors = append(f.Capacitors, LineCapacitor{
			Value: take(b, c.Value, film),
			From:  word(b, c.From, plan.Line, "the worse side"),
			Class: word(b, c.Class, plan.NoClass, "a capacitor without a mark has no class"),
		})
	}
	if len(f.Capacitors) > 0 {
		f.After = word(b, m.Switch.Capacitors, plan.After, "line-noise capacitors mostly stand behind the switch") == string(plan.After)
	}
}

// midAmbient and the soak are what the temperature of coils starts from.
func (b *builder) ambient(p *plan.Plan) {
	a := p.Receiver.Ambient
	low, high := usualFor("receiver.ambient").low, usualFor("receiver.ambient").high
	origin, because := Given, ""
	if a.Given() {
		low, high = float64(a.Is.Low), float64(a.Is.High)
	} else {
		origin, because = Assumed, usualFor("receiver.ambient").why
	}
	b.AmbientLow, b.AmbientHigh = low, high
	b.Ambient = b.Box.Add(Entry{
		At: "receiver.ambient", Unit: quantity.Temperature, Origin: origin, Because: because,
		Line: a.Line, Setting: a.Setting,
		Nominal: 20, Low: low, High: high,
	})
	b.Soaked = b.Box.Add(Entry{
		At: "relay", Unit: quantity.Proportion, Origin: Tolerance, Because: "a coil just keyed, or one that has been warm for half an hour",
		Nominal: 0, Low: 0, High: 1,
	})
}

func (b *builder) supplies(p *plan.Plan, cat *catalog.Catalog) {
	b.ambient(p)
	list := p.Receiver.Supplies
	for i, name := range list.Names() {
		s := &list.Items[i]
		if word(b, s.Kind, kindOf(s), "by the figures that go with it") == string(plan.Rail) {
			b.rail(name, s)
		} else {
			b.winding(p, name, s, cat)
		}
	}
	missing := func(rail bool) bool {
		return !slices.ContainsFunc(b.Supplies, func(s Supply) bool { return s.Rail == rail })
	}
	// A plan may leave its supplies out; every tube set has these two.
	if missing(false) {
		s := plan.Supply{}
		new(document.Document).Lay(&s, "receiver.supplies.heaters")
		b.winding(p, b.freeName("heaters"), &s, cat)
		b.Assumed = append(b.Assumed, Assumption{"receiver.supplies.heaters", "ac winding", "every set with a power transformer has a heater winding"})
	}
	if missing(true) {
		s := plan.Supply{}
		new(document.Document).Lay(&s, "receiver.supplies.ht")
		b.rail(b.freeName("ht"), &s)
		b.Assumed = append(b.Assumed, Assumption{"receiver.supplies.ht", "dc rail", "every tube set has B+"})
	}
}

// kindOf tells a rail from a winding where the plan does not.
func kindOf(s *plan.Supply) plan.SupplyKind {
	if s.Kind.Given() {
		return s.Kind.Is
	}
	if s.Unloaded.Given() || s.Capacitance.Given() || s.Voltage.Given() && s.Voltage.Is.Nominal > 60 {
		return plan.Rail
	}
	return plan.Winding
}

func (b *builder) freeName(name string) string {
	for slices.ContainsFunc(b.Supplies, func(s Supply) bool { return s.Name == name }) {
		name += "_2"
	}
	return name
}

func (b *builder) winding(p *plan.Plan, name string, s *plan.Supply, cat *catalog.Catalog) {
	w := Supply{Name: name}
	w.Volts = takeOr(b, s.Voltage, exact, func() usual { return usualFor(s.Voltage.Path + ".winding") })
	w.Crest = takeCrest(b, s.Crest)
	w.Drawn = takeOr(b, s.Drawn, exact, func() usual {
		sum := heaterSum(p, cat)
		if sum == 0 {
			return usualFor(s.Drawn.Path)
		}
		return heaterCurrent(sum)
	})
	if s.Rated.Given() { // an unknown rating stays unknown: the finding says how much may be added
		w.Rated = take(b, s.Rated, exact)
	}
	w.Resistance = takeOr(b, s.Resistance, guessed, func() usual {
		if b.number(w.Rated) == 0 && b.number(w.Drawn) == 0 {
			return usualFor(s.Resistance.Path + ".winding")
		}
		return windingResistance(b.number(w.Volts), b.number(w.Rated), b.number(w.Drawn))
	})
	w.Bias = take(b, s.Bias, exact)
	w.Grounded = word(b, s.Grounded, plan.OneSide, "the commonest way; look before anything is connected")
	w.Live = text(s.At.Live, name+" live")
	w.Tap = text(s.At.Tap, "")
	switch {
	case w.Tap != "" || w.Grounded == string(plan.CentreTap):
		w.Tap = text(s.At.Tap, name+" tap")
		w.Other = text(s.At.Other, text(s.At.Return, name+" other end"))
	default:
		w.Other = text(s.At.Return, text(s.At.Other, name+" return"))
	}
	b.Supplies = append(b.Supplies, w)
}

// takeCrest is the crest factor; nominal is a sine's, whatever its range.
func takeCrest(b *builder, m document.Measure[quantity.Ratio]) ID {
	id := take(b, m, exact)
	e := &b.Box[id.Index()]
	if m.Given() && m.Is.Kind == quantity.Exact {
		return id
	}
	e.High = math.Min(e.High, math.Sqrt2)
	e.Nominal = e.High
	return id
}

// heaterSum is the heater current of the tubes that a plan names, A.
func heaterSum(p *plan.Plan, cat *catalog.Catalog) float64 {
	var sum float64
	add := func(r *document.Reference[catalog.Tube], count float64) {
		t := &r.Is
		if t.Heater.Current.Given() && t.Heater.Voltage.Given() && t.Heater.Voltage.Is.Nominal < 7 {
			sum += count * float64(t.Heater.Current.Is.Nominal)
		}
	}
	for i := range p.Points.Items {
		point := &p.Points.Items[i]
		if point.Kind.Is == plan.OutputCathode && point.Output.Tube.Given() {
			count := 1.0
			if point.Output.Count.Given() {
				count = float64(point.Output.Count.Is)
			}
			add(&point.Output.Tube, count)
		}
		for k := range point.Gain.Stages.Items {
			if t := &point.Gain.Stages.Items[k].Tube; t.Given() {
				add(t, 1)
			}
		}
	}
	return sum
}

func (b *builder) rail(name string, s *plan.Supply) {
	r := Supply{Name: name, Rail: true}
	r.Volts = takeOr(b, s.Voltage, exact, func() usual { return usualFor(s.Voltage.Path + ".rail") })
	b.positive(r.Volts, "B+ is positive to chassis")
	r.Regulated = flag(b, s.Regulated, "rails mostly follow the mains")
	r.Unloaded = takeOr(b, s.Unloaded, exact, func() usual { return unloadedRail(b.Box.Entry(r.Volts), r.Regulated) })
	b.positive(r.Unloaded, "B+ is positive to chassis")
	r.Resistance = takeOr(b, s.Resistance, guessed, func() usual { return usualFor(s.Resistance.Path + ".rail") })
	r.Capacitance = take(b, s.Capacitance, electrolytic)
	r.CapRated = takeOr(b, s.CapacitorRating, exact, func() usual { return filterRating(b.number(r.Unloaded)) })
	// One that is only supposed to be there is nothing to rely on.
	if s.Bleeder.Given() {
		r.Bleeder = take(b, s.Bleeder, resistor)
	} else if s.Bleeder.State != document.None {
		b.nothing(s.Bleeder.Path, "most sets rely on their tubes to discharge the filter: measure before touching")
	}
	r.Live = text(s.At.Live, name+" plus")
	b.Supplies = append(b.Supplies, r)
}

func (b *builder) number(id ID) float64 {
	if !id.Exists() {
		return 0
	}
	return b.Box.Entry(id).Nominal
}

// supply is the index of a named supply; where none is named the first of the
// kind wanted.
func (b *builder) supply(v document.Value[string], rail bool) int {
	if v.Given() {
		if i := slices.IndexFunc(b.Supplies, func(s Supply) bool { return s.Name == v.Is }); i >= 0 {
			return i
		}
	}
	i := slices.IndexFunc(b.Supplies, func(s Supply) bool { return s.Rail == rail })
	if v.Path != "" {
		b.Assumed = append(b.Assumed, Assumption{v.Path, b.Supplies[i].Name, "the first of its kind"})
	}
	return i
}

func (b *builder) returns(p *plan.Plan) {
	named := map[int]bool{} // points that a return names
	for i := range p.Returns.Items {
		for _, point := range p.Returns.Items[i].Points.Items {
			if k := slices.IndexFunc(b.Points, func(q Point) bool { return q.Name == point.Is }); k >= 0 {
				named[k] = true
			}
		}
	}
	var loose []int
	for k := range b.Points {
		if kind := b.Points[k].Kind; !named[k] && (kind == Output || kind == Gain || kind == Measured) {
			loose = append(loose, k)
		}
	}
	for i, name := range p.Returns.Names() {
		r := &p.Returns.Items[i]
		ret := Return{Name: name, Reachable: flag(b, r.Reachable, "the lifted node stays inside the cabinet")}
		for _, point := range r.Points.Items {
			if k := slices.IndexFunc(b.Points, func(q Point) bool { return q.Name == point.Is }); k >= 0 {
				ret.Points = append(ret.Points, k)
			}
		}
		if len(ret.Points) == 0 { // it takes what no other names
			if len(loose) == 0 {
				b.unused(r.Path, "no point is left for it")
				continue
			}
			for _, k := range loose {
				b.Assumed = append(b.Assumed, Assumption{r.Points.Path, b.Points[k].Name, "no other return names it"})
			}
			ret.Points, loose = loose, nil
		}
		b.addReturn(ret, r)
	}
	// Cathode points that no return names share one of their own.
	if len(loose) > 0 {
		name := "mute_line"
		for p.Returns.Find(name) != nil {
			name += "_2"
		}
		r := plan.Return{}
		new(document.Document).Lay(&r, "returns."+name)
		b.addReturn(Return{Name: name, Points: loose}, &r)
		b.Assumed = append(b.Assumed, Assumption{"returns." + name, "one return", "points that no return names share one lifted node"})
	}
}

// atTheCut is the capacitor fitted where an RF lead is long (common practice).
const atTheCut = 10e-9

func (b *builder) addReturn(ret Return, r *plan.Return) {
	switch r.Pulldown.State {
	case document.Given:
		ret.Pulldown = take(b, r.Pulldown, resistor)
	case document.None:
	default:
		b.left(r.Pulldown.Source)
		ret.ChoosePulldown = true
		ret.Pulldown = b.assume(r.Pulldown.Path, quantity.Resistance, usualFor(r.Pulldown.Path))
	}
	ret.Lead = take(b, r.Lead, exact)
	switch r.Capacitor.State {
	case document.Given:
		c := &r.Capacitor
		ret.Capacitor = take(b, c.Value, film)
		ret.CapacitorRated = take(b, c.Rated, exact)
		ret.Series = takeOrNone(b, c.Series, resistor)
	case document.None:
	default:
		b.left(r.Capacitor.Block)
		ret.ChooseCap = true
		rf := slices.ContainsFunc(ret.Points, func(k int) bool { return b.Points[k].Kind == Gain })
		if rf && b.Box.Entry(ret.Lead).High > 0.1 {
			ret.Capacitor = b.Box.Add(Entry{
				At: r.Capacitor.Path, Unit: quantity.Capacitance, Origin: Chosen,
				Because: "10 nF at the cut: the lead carries RF cathodes and is longer than 100 mm",
				Nominal: atTheCut, Low: atTheCut * 0.8, High: atTheCut * 1.2,
			})
			ret.CapacitorRated = b.Box.Add(Entry{
				At: r.Capacitor.Path + ".rated", Unit: quantity.Voltage, Origin: Chosen,
				Because: "a film capacitor for B+", Nominal: 630, Low: 630, High: 630,
			})
		}
	}
	b.Returns = append(b.Returns, ret)
}

func (b *builder) transmitter(p *plan.Plan) {
	t := &p.Transmitter
	k := &t.Keying
	f := &b.Transmitter
	f.Name = text(t.Name, "transmitter")
	f.Power = take(b, t.Power, exact)
	f.Keying = string(k.Kind.Is)
	line := func(path string) func() usual { // contacts and transistors have their own rows
		if k.Kind.Is == plan.KeyContact {
			path += ".contact"
		}
		return func() usual { return usualFor(path) }
	}
	f.LineVolts = takeOr(b, k.Rated.Voltage, exact, line(k.Rated.Voltage.Path))
	f.LineAmps = takeOr(b, k.Rated.Current, exact, line(k.Rated.Current.Path))
	f.Drop = takeOr(b, k.Drop, exact, line(k.Drop.Path))
	f.Leakage = takeOr(b, k.Leakage, exact, line(k.Leakage.Path))
	if k.Kind.Is == plan.KeySource {
		f.Level = take(b, k.Level, exact)
		f.IdleLow = word(b, k.Idle, plan.IdleOpen, "the worse of the two") == string(plan.IdleLow)
	}
	f.KeyToRF = take(b, t.KeyToRF, exact)
	f.Tail = take(b, t.RFTail, exact)
	if t.Coupling.Distance.Given() || t.Coupling.Frequency.Given() {
		f.ByDistance = true
		f.Distance = take(b, t.Coupling.Distance, exact)
		f.AtHertz = take(b, t.Coupling.Frequency, exact)
	} else {
		c := t.Coupling.Level
		c.Path = "transmitter.coupling"
		f.Coupling = take(b, c, exact)
	}
	b.Control.Jack = text(p.Control.Jack, "jack on the rear")
	b.Control.MutesWhen = word(b, p.Control.MutesWhen, plan.Grounded, "key lines ground on transmit")
}
