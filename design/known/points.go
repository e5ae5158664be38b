package known

import (
	"fmt"
	"math"
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
	// Where nobody says, 90 V is what older sheets give (from memory).
	if from.HeaterCathode.Given() {
		t.HeaterCathode = look(b, ref.Path+".heater_cathode", from.HeaterCathode, exact, t.Source)
	} else {
		t.HeaterCathode = b.assume(ref.Path+".heater_cathode", quantity.Voltage, usual{90, 90, 90, "90 V peak unless the exact version is known"})
	}
	if from.Heater.Current.Given() {
		t.HeaterAmps = float64(from.Heater.Current.Is.Nominal)
	}
	for i := range from.Points.Items {
		p := &from.Points.Items[i]
		screen := 0.0
		if p.ScreenCurrent.Given() {
			screen = float64(p.ScreenCurrent.Is.Nominal)
		} else {
			screen = 0.12 * float64(p.PlateCurrent.Is.Nominal) // a pentode's screen takes about an eighth
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
	for i := range from.Remote.Items {
		r := &from.Remote.Items[i]
		t.Tail = append(t.Tail, TubeTail{
			Screen: float64(r.Screen.Is.Nominal), Grid: float64(r.Grid.Is.Nominal), Gm: float64(r.Gm.Is.Nominal),
			OfCathode: r.Of.Given() && r.Of.Is == catalog.OfCathode,
		})
	}
	t.Emission = b.Box.Add(Entry{
		At: ref.Path, Unit: quantity.Proportion, Origin: Tolerance, Because: "emission of tubes as found",
		Nominal: 1, Low: 1 - emission, High: 1 + emission,
	})
	t.Doubt = b.Box.Add(Entry{
		At: ref.Path, Unit: quantity.Proportion, Origin: Tolerance, Because: "doubt of the tube law towards cut-off",
		Nominal: 1, Low: 1 - lawDoubt, High: 1 + lawDoubt,
	})
	db := float64(outputDoubt)
	if t.Remote {
		db = remoteDoubt
	}
	t.DepthDoubt = b.Box.Add(Entry{
		At: ref.Path, Unit: quantity.Level, Origin: Tolerance, Because: "doubt of the depth of one stage",
		Nominal: 0, Low: -db, High: db,
	})
	return t
}

// selfBias is the cathode resistor that puts count tubes at a typical point.
func selfBias(t *Tube, count float64) usual {
	p := t.Points[0]
	r := math.Abs(p.Grid) / ((p.PlateCurrent + p.ScreenCurrent) * count)
	r = catalog.E12.Nearest(r)
	return usual{r, 0.7 * r, 1.5 * r, "puts the tube at its typical point"}
}

func (b *builder) output(p *Point, o *plan.Output, cat *catalog.Catalog) {
	p.Kind = Output
	p.Tube = b.tube(&o.Tube, usualOutput, cat)
	p.Count = 1
	if o.Count.Given() {
		p.Count = o.Count.Is
	}
	if p.Count == 1 && o.Cathodes.Given() {
		b.unused(o.Cathodes.Path, "there is one tube")
	}
	if p.Count == 2 {
		p.Separate = word(b, o.Cathodes, plan.SharedCathodes, "pairs mostly share a cathode resistor") == string(plan.SeparateCathodes)
	}
	p.Supply = b.supply(o.Supply, true)
	p.Grid = take(b, o.Grid, exact)
	p.Load = takeOr(b, o.Transformer.Load, guessed, func() usual {
		t := p.Tube.Points[0]
		r := catalog.E12.Nearest(0.9 * t.Plate / t.PlateCurrent)
		if p.Count == 2 {
			r *= 2
		}
		return usual{r, 0.6 * r, 1.6 * r, "about the plate voltage over the plate current"}
	})
	p.Primary = take(b, o.Transformer.Resistance, guessed)
	p.Inductance = take(b, o.Transformer.Inductance, guessed)
	p.FullOutput = take(b, o.Transformer.FullOutput, exact)
	p.ScreenResistor = take(b, o.ScreenResistor, resistor)
	p.CathodeResistor = takeOr(b, o.CathodeResistor, resistor, func() usual {
		if e := b.Box.Entry(p.Grid); e.Nominal < 0 {
			return usual{0, 0, 0, "a tube with fixed bias has its cathode at the return"}
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
	if path.State == document.LeftOut || path.State == document.None {
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
	if g.Bleeder.State != document.LeftOut && g.Bleeder.State != document.None {
		p.Bleeder = Feed{Supply: b.supply(g.Bleeder.Supply, true), Ohms: take(b, g.Bleeder.Value, resistor)}
	}
	if g.BusCapacitor.State != document.LeftOut && g.BusCapacitor.State != document.None {
		p.BusCapacitor = Bypass{Value: take(b, g.BusCapacitor.Value, film), Rated: take(b, g.BusCapacitor.Rated, exact)}
	}
	b.past(p, &g.AlsoToChassis)
	shared := g.Screens.State != document.LeftOut && g.Screens.State != document.None
	if shared {
		s := &g.Screens
		p.Screens = Feed{
			Supply: b.supply(s.Supply, true), Ohms: take(b, s.Resistor, resistor),
			ToChassis: takeOrNone(b, s.ToChassis, resistor),
		}
		if s.Capacitor.State != document.LeftOut && s.Capacitor.State != document.None {
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
	s := Stage{Role: text(from.Role, ""), Meter: from.Meter.Given() && from.Meter.Is}
	s.Tube = b.tube(&from.Tube, usualStage, cat)
	if s.Tube.Converter || len(s.Tube.Points) == 0 {
		b.notLifted(&s.Tube, cat)
	}
	s.CathodeResistor = takeOr(b, from.CathodeResistor, resistor, func() usual { return selfBias(&s.Tube, 1) })
	if from.Bypass.State == document.None {
		s.Bypass = 0
	} else {
		s.Bypass = takeOr(b, from.Bypass, film, func() usual { return usualFor("muting_points.x.stages.1.cathode_bypass") })
	}
	switch {
	case from.ScreenResistor.State == document.LeftOut && shared:
		s.Shared = true
	default:
		s.ScreenResistor = takeOr(b, from.ScreenResistor, resistor, func() usual {
			t := s.Tube.Points[0]
			drop := b.number(b.Supplies[p.Supply].Volts) - t.Screen
			if drop <= 0 || t.ScreenCurrent <= 0 {
				return usual{0, 0, 0, "the screen stands at the rail"}
			}
			r := catalog.E12.Nearest(drop / t.ScreenCurrent)
			return usual{r, 0.6 * r, 1.5 * r, "drops the rail to the typical screen voltage"}
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
