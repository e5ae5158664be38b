package known

import (
	"fmt"
	"slices"

	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/plan"
	"mutewright/design/quantity"
)

// usualOutput and usualStage are the tubes taken where a plan names none.
const (
	usualOutput = "6V6GT"
	usualStage  = "6BA6"
)

func (b *builder) points(p *plan.Plan, cat *catalog.Catalog) {
	for i, name := range p.Points.Names() {
		from := &p.Points.Items[i]
		point := Point{Name: name, At: from.Path, Lift: from.Lift.Is, Supply: -1}
		switch from.Kind.Is {
		case plan.OutputCathode:
			b.output(&point, &from.Output, cat)
		case plan.RFGain:
			b.gain(&point, &from.Gain, cat)
		case plan.Antenna:
			b.antenna(&point, &from.Antenna)
		case plan.AudioShort:
			point.Kind = Audio
			point.Source = take(b, from.Audio.Source, resistor)
			point.Into = take(b, from.Audio.Load, resistor)
		case plan.Measured:
			point.Kind = Measured
			point.Open = take(b, from.Measured.Open, exact)
			point.Closed = take(b, from.Measured.Closed, exact)
			b.positive(point.Closed, "the contact breaks it either way")
			point.Capacitance = take(b, from.Measured.Capacitance, exact)
		}
		b.Points = append(b.Points, point)
	}
}

// emission is the spread of tubes as they are found, a factor on their current
// (common practice: tubes are called good down to 70 % of their current).
const emission = 0.30

// lawDoubt is the doubt of the law's µ towards cut-off.
const lawDoubt = 0.15

// Doubts of the depth of one stage, dB.
const (
	remoteDoubt = 6
	outputDoubt = 3
)

// tube takes a tube's figures; a type that was not named is a usual one.
func (b *builder) tube(ref *document.Reference[catalog.Tube], usually string, cat *catalog.Catalog) Tube {
	from := &ref.Is
	name := ref.Named
	if !ref.Given() {
		from, name = cat.Tube(usually), usually
		b.Assumed = append(b.Assumed, Assumption{ref.Path, usually, "a usual type for this place"})
	}
	if name == "" {
		name = text(from.Name, "tube as written out")
	}
	t := Tube{Name: name, Remote: from.Remote.Given() && len(from.Remote.Items) > 0}
	t.Converter = from.Use.Given() && from.Use.Is == catalog.Converter
	t.Source = "tube manual, second-hand"
	if ref.Given() && ref.Named == "" {
		t.Source = "the plan"
	}
	cited := &sheet{at: ref.Path, entry: ref.Named, origin: from.Sources.Origin}
	if !ref.Given() {
		cited.entry = usually
	}
	t.HeaterCathode = look(b, ref.Path+".heater_cathode", from.HeaterCathode, exact, cited)
	if from.Heater.Current.Given() {
		t.HeaterAmps = float64(from.Heater.Current.Is.Nominal)
	}
	points, remote := from.Fitted()
	for _, p := range points {
		screen := 0.0
		if p.ScreenCurrent.Given() {
			screen = float64(p.ScreenCurrent.Is.Nominal)
		} else {
			screen = usualScreenShare * float64(p.PlateCurrent.Is.Nominal)
		}
		plate := float64(p.Screen.Is.Nominal)
		if p.Plate.Given() {
			plate = float64(p.Plate.Is.Nominal)
		}
		t.Points = append(t.Points, TubePoint{
			Plate: plate, Screen: float64(p.Screen.Is.Nominal), Grid: float64(p.Grid.Is.Nominal),
			PlateCurrent: float64(p.PlateCurrent.Is.Nominal), ScreenCurrent: screen, Gm: float64(p.Gm.Is.Nominal),
		})
	}
	for _, r := range remote {
		t.Tail = append(t.Tail, TubeTail{
			Screen: float64(r.Screen.Is.Nominal), Grid: float64(r.Grid.Is.Nominal), Gm: float64(r.Gm.Is.Nominal),
			OfCathode: r.Of.Given() && r.Of.Is == catalog.OfCathode,
		})
	}
	t.Emission = b.Box.Add(Entry{
		At: ref.Path, Unit: quantity.Proportion, Origin: Tolerance, Line: ref.Line, Setting: ref.Setting, Because: "emission of tubes as found",
		Nominal: 1, Low: 1 - emission, High: 1 + emission,
	})
	t.Doubt = b.Box.Add(Entry{
		At: ref.Path, Unit: quantity.Proportion, Origin: Tolerance, Line: ref.Line, Setting: ref.Setting, Because: "doubt of the tube law towards cut-off",
		Nominal: 1, Low: 1 - lawDoubt, High: 1 + lawDoubt,
	})
	db := float64(outputDoubt)
	if t.Remote {
		db = remoteDoubt
	}
	t.DepthDoubt = b.Box.Add(Entry{
		At: ref.Path, Unit: quantity.Level, Origin: Tolerance, Line: ref.Line, Setting: ref.Setting, Because: "doubt of the depth of one stage",
		Nominal: 0, Low: -db, High: db,
	})
	return t
}

func (b *builder) output(p *Point, o *plan.Output, cat *catalog.Catalog) {
	p.Kind = Output
	p.Tube = b.tube(&o.Tube, usualOutput, cat)
	p.Count = 1
	if o.Count.Given() {
		p.Count = o.Count.Is
	} else {
		b.Assumed = append(b.Assumed, Assumption{o.Count.Path, "1", "one output tube, unless two are seen"})
	}
	if p.Count == 1 && o.Cathodes.Given() {
		b.unused(o.Cathodes.Path, "there is one tube")
	}
	if p.Count == 2 {
		p.Separate = word(b, o.Cathodes, plan.SharedCathodes, "pairs mostly share a cathode resistor") == string(plan.SeparateCathodes)
	}
	p.Supply = b.supply(o.Supply, true)
	p.Grid = take(b, o.Grid, exact)
	p.Load = takeOr(b, o.Transformer.Load, guessed, func() usual { return reflectedLoad(&p.Tube, p.Count) })
	p.Primary = take(b, o.Transformer.Resistance, guessed)
	p.Inductance = take(b, o.Transformer.Inductance, guessed)
	p.FullOutput = takeOr(b, o.Transformer.FullOutput, exact, func() usual { return fullOutput(&p.Tube, p.Count) })
	p.ScreenResistor = take(b, o.ScreenResistor, resistor)
	p.CathodeResistor = takeOr(b, o.CathodeResistor, resistor, func() usual {
		if e := b.Box.Entry(p.Grid); e.Nominal < 0 {
			return usualFor(o.CathodeResistor.Path)
		}
		count := float64(p.Count)
		if p.Separate {
			count = 1
		}
		return selfBias(&p.Tube, count)
	})
	if o.Bypass.State != document.None {
		p.Bypass = Bypass{
			Value: take(b, o.Bypass.Value, electrolytic), Rated: take(b, o.Bypass.Rated, exact),
			ToReturn: word(b, o.Bypass.ReturnedTo, plan.ToChassis, "bypass capacitors mostly go straight to chassis") == string(plan.ToReturn),
		}
	}
	b.past(p, &o.AlsoToChassis)
}

// past takes a path past the lift; left out means that nobody knows of one.
func (b *builder) past(p *Point, path *plan.Path) {
	if !b.there(path.Block, "nobody knows of one: the ohms from the cut to chassis will tell") {
		return
	}
	p.Path = take(b, path.Value, resistor)
	p.PathWhat = text(path.What, "")
}

func (b *builder) gain(p *Point, g *plan.Gain, cat *catalog.Catalog) {
	p.Kind = Gain
	p.Supply = b.supply(g.Supply, true)
	p.Frequency = take(b, g.Frequency, exact)
	p.Track = take(b, g.Control.Value, control)
	p.SetTo = take(b, g.Control.SetTo, exact)
	p.Wiring = word(b, g.Control.Wiring, plan.Rheostat, "the commonest wiring of a gain control")
	p.FarEnd = word(b, g.Control.FarEnd, plan.FarLifted, "lift the whole control, then look for a second connection")
	if b.there(g.Bleeder.Block, "most sets have none; look for a resistor from B+ to the cathodes, it lifts the node to hundreds of volts") {
		p.Bleeder = Feed{Supply: b.supply(g.Bleeder.Supply, true), Ohms: take(b, g.Bleeder.Value, resistor)}
	}
	if b.there(g.BusCapacitor.Block, "stages are bypassed one by one") {
		p.BusCapacitor = Bypass{Value: take(b, g.BusCapacitor.Value, film), Rated: take(b, g.BusCapacitor.Rated, exact)}
	}
	b.past(p, &g.AlsoToChassis)
	shared := b.there(g.Screens.Block, "every screen has its own resistor")
	if shared {
		s := &g.Screens
		p.Screens = Feed{
			Supply: b.supply(s.Supply, true), Ohms: take(b, s.Resistor, resistor),
			ToChassis: takeOrNone(b, s.ToChassis, resistor),
		}
		if b.there(s.Capacitor.Block, "its voltage counts, and the plan does not speak of one") {
			p.Screens.Capacitor = Bypass{Value: take(b, s.Capacitor.Value, film), Rated: take(b, s.Capacitor.Rated, exact)}
		}
	}
	stages := g.Stages.Items
	if len(stages) == 0 {
		stages = make([]plan.Stage, 2)
		for k := range stages {
			new(document.Document).Lay(&stages[k], fmt.Sprintf("%s.stages.%d", p.At, k+1))
		}
		b.Assumed = append(b.Assumed, Assumption{g.Stages.Path, "two stages", "a table receiver has one or two IF stages"})
	}
	for k := range stages {
		b.stage(p, &stages[k], shared, cat)
	}
	if shared && !slices.ContainsFunc(p.Stages, func(s Stage) bool { return s.Shared }) {
		b.unused(g.Screens.Path, "every stage has a screen resistor of its own")
		p.Screens = Feed{}
	}
}

func (b *builder) stage(p *Point, from *plan.Stage, shared bool, cat *catalog.Catalog) {
	s := Stage{Role: text(from.Role, ""), Meter: flag(b, from.Meter, "few stages carry the tuning meter")}
	s.Tube = b.tube(&from.Tube, usualStage, cat)
	if s.Tube.Converter || len(s.Tube.Points) == 0 {
		b.notLifted(&s.Tube, cat)
	}
	s.CathodeResistor = takeOr(b, from.CathodeResistor, resistor, func() usual { return selfBias(&s.Tube, 1) })
	if from.Bypass.State == document.None {
		s.Bypass = 0
	} else {
		s.Bypass = take(b, from.Bypass, film)
	}
	switch {
	case from.ScreenResistor.State == document.LeftOut && shared:
		s.Shared = true
		b.Assumed = append(b.Assumed, Assumption{from.ScreenResistor.Path, "none", "its screen is fed through the shared resistor"})
	default:
		s.ScreenResistor = takeOr(b, from.ScreenResistor, resistor, func() usual {
			return screenDropper(&s.Tube, b.number(b.Supplies[p.Supply].Volts))
		})
	}
	p.Stages = append(p.Stages, s)
}

// notLifted gives a converter, for which there is no law, the figures of a
// usual stage, so that the rest of the return can be worked out; a finding says
// that it must stay on chassis.
func (b *builder) notLifted(t *Tube, cat *catalog.Catalog) {
	t.Converter = true
	ref := document.Reference[catalog.Tube]{Named: usualStage, Is: *cat.Tube(usualStage)}
	ref.State = document.Given
	scratch := &builder{Facts: &Facts{}}
	stand := scratch.tube(&ref, usualStage, cat)
	t.Points, t.Tail, t.Remote = stand.Points, stand.Tail, stand.Remote
}

func (b *builder) antenna(p *Point, a *plan.AntennaInput) {
	p.Kind = Antenna
	p.Impedance = take(b, a.Impedance, exact)
	p.Legs = word(b, a.Legs, plan.OneLeg, "an unbalanced input")
	p.Guard = word(b, a.Guard, plan.Short, "the simplest guard")
	p.Lowest = take(b, a.Lowest, exact)
	p.Highest = take(b, a.Highest, exact)
	p.Lead = take(b, a.Lead, exact)
	p.Wire = take(b, a.Wire, exact)
	p.Withstand = take(b, a.Withstand, exact)
}
