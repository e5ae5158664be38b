package answer

import (
	"math"

	"mutewright/design/antenna"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// Antennas is what has no number of its own: whether the coupling is known, and
// what would guard an input that is not guarded enough.
type Antennas struct {
	Doubt    antenna.Doubt // of a coupling taken from a distance
	Coupling antenna.Coupling
	Remedies map[string]antenna.Remedies // by point, where its guard lets too much through
}

var guardKinds = map[string]antenna.Kind{
	"short": antenna.Short, "changeover": antenna.Changeover, "open and short": antenna.OpenAndShort,
}

var guardLegs = map[string]antenna.Legs{"one": antenna.One, "across": antenna.Across, "each": antenna.Each}

// guardAt is a guarded input at a point of the box.
func guardAt(f *known.Facts, p *known.Point, relay int, coupling float64, x []float64) antenna.Guard {
	c := &f.Relays[relay].Contacts
	lowest, highest := p.Lowest.Of(x), p.Highest.Of(x)
	return antenna.Guard{
		Kind: guardKinds[p.Guard], Legs: guardLegs[p.Legs], Impedance: p.Impedance.Of(x),
		Lowest: math.Min(lowest, highest), Highest: math.Max(lowest, highest),
		Lead: p.Lead.Of(x), Wire: p.Wire.Of(x),
		Contact: antenna.Contact{Ohms: c.Resistance.Of(x), Henries: c.Inductance.Of(x), Farads: math.Max(c.Capacitance.Of(x), 1e-15)},
		Power:   f.Transmitter.Power.Of(x), Coupling: coupling, Withstand: p.Withstand.Of(x),
	}
}

// guardInputs lists every number that a guard is built from.
func guardInputs(f *known.Facts, p *known.Point, relay int) []known.ID {
	c, t := &f.Relays[relay].Contacts, &f.Transmitter
	return []known.ID{
		p.Impedance, p.Lowest, p.Highest, p.Lead, p.Wire, p.Withstand,
		c.Resistance, c.Inductance, c.Capacitance, t.Power, t.Coupling, t.Distance, t.AtHertz,
	}
}

// coupling of the transmitter at a point of the box; known is false where it
// must be measured.
func couplingAt(f *known.Facts, x []float64) (coupling antenna.Coupling, ok bool, err error) {
	t := &f.Transmitter
	if !t.ByDistance {
		return antenna.Coupling{Decibels: math.Min(t.Coupling.Of(x), 0)}, true, nil
	}
	coupling, err = antenna.Couple(t.Distance.Of(x), t.AtHertz.Of(x))
	return coupling, coupling.Doubt != antenna.MeasureIt, err
}

// askAntennas asks about every antenna that has a pole.
func (a *Answers) askAntennas(f *known.Facts) error {
	a.Antennas.Remedies = map[string]antenna.Remedies{}
	coupling, coupled, err := couplingAt(f, f.Box.Nominal())
	if err != nil {
		return err
	}
	a.Antennas.Doubt, a.Antennas.Coupling = coupling.Doubt, coupling
	for i := range f.Points {
		p := &f.Points[i]
		poles := a.Poles.Serving(p.Name)
		if len(poles) == 0 {
			continue
		}
		if p.Kind != known.Antenna {
			continue
		}
		relay := poles[0].Relay
		if err = antennaQuestion(f, p, relay, coupled).ask(f.Box, &a.Set); err == nil && coupled {
			err = a.remedy(f, p, relay)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// remedy tries what would guard an input whose worst case is over what it takes.
func (a *Answers) remedy(f *known.Facts, p *known.Point, relay int) error {
	residual, ok := a.Get("antenna." + p.Name + ".residual")
	if !ok || !p.Withstand.Exists() || residual.High <= f.Box.Entry(p.Withstand).Low {
		return nil
	}
	// At the bad end: most power, least withstand, highest band, longest lead.
	x := f.Box.Nominal()
	for _, id := range guardInputs(f, p, relay) {
		if id.Exists() {
			x[id.Index()] = f.Box.Entry(id).High
		}
	}
	x[p.Withstand.Index()] = f.Box.Entry(p.Withstand).Low
	if id := f.Transmitter.Distance; id.Exists() {
		x[id.Index()] = f.Box.Entry(id).Low
	}
	coupling, ok, err := couplingAt(f, x)
	if err != nil || !ok {
		return err
	}
	// A short keeps more from an input of high impedance, a changeover less.
	impedance := f.Box.Entry(p.Impedance)
	for i, ohms := range []float64{impedance.Low, impedance.High} {
		x[p.Impedance.Index()] = ohms
		r, err := antenna.Remedy(guardAt(f, p, relay, coupling.Decibels, x))
		if err != nil {
			return err
		}
		if i == 0 || r.MoreIsolation > a.Antennas.Remedies[p.Name].MoreIsolation {
			a.Antennas.Remedies[p.Name] = r
		}
	}
	return nil
}

// guardBudget is how many guards are solved for one worst case: enough for every
// recheck.
const guardBudget = 120

func antennaQuestion(f *known.Facts, p *known.Point, relay int, coupled bool) question {
	stem := "antenna." + p.Name
	q := question{name: "antenna " + p.Name, uses: guardInputs(f, p, relay), budget: guardBudget}
	add := func(name string, unit quantity.Unit, formula string) {
		q.columns = append(q.columns, column{name: stem + name, unit: unit, formula: formula, source: "Rosa 1908 for the lead; computed by the circuit solver"})
	}
	add(".shorted_loss", quantity.Level, "least over the band, 20·log10|V without/V with| on the input; one short: 20·log10|1 + Z0/(2·Zs)|")
	add(".receive_loss", quantity.Level, "most over the band with the guard released; one short: 10·log10(1 + (π·f·C·Z0)²)")
	if p.Legs == "across" || p.Legs == "each" {
		add(".common_mode", quantity.Level, "least loss of what is alike on both legs")
	}
	if coupled {
		add(".residual", quantity.Power, "most over the band into a matched input: arriving power × 10^(−loss/10)")
		add(".contact_current", quantity.Current, "rms, most over the band; one short: 2·√(P/Z0) at its most")
	}
	q.steps = func(x []float64) ([]detail, error) {
		coupling, ok, err := couplingAt(f, x)
		if err != nil {
			return nil, err
		}
		level := coupling.Decibels
		if !ok {
			level = 0
		}
		g := guardAt(f, p, relay, level, x)
		r, err := antenna.Solve(g)
		if err != nil {
			return nil, err
		}
		list := []detail{
			{stem + ".shorted_loss", "lead and contact of the short", quantity.Inductance, r.Henries},
			{stem + ".shorted_loss", "at", quantity.Frequency, r.Loss.Hertz},
			{stem + ".shorted_loss", "reactance of the short there", quantity.Resistance, 2 * math.Pi * r.Loss.Hertz * r.Henries},
			{stem + ".receive_loss", "at", quantity.Frequency, r.ReceiveLoss.Hertz},
		}
		if ok {
			for _, of := range []string{".residual", ".contact_current"} {
				list = append(list,
					detail{stem + of, "coupling of transmitter to terminal", quantity.Level, level},
					detail{stem + of, "power that arrives at the terminal", quantity.Power, r.Arriving})
			}
		}
		return list, nil
	}
	q.eval = func(x, out []float64) error {
		coupling, ok, err := couplingAt(f, x)
		if err != nil {
			return err
		}
		level := coupling.Decibels
		if !ok {
			level = 0
		}
		r, err := antenna.Solve(guardAt(f, p, relay, level, x))
		if err != nil {
			return err
		}
		for i, c := range q.columns {
			switch c.name[len(stem):] {
			case ".shorted_loss":
				out[i] = r.Loss.Value
			case ".receive_loss":
				out[i] = r.ReceiveLoss.Value
			case ".common_mode":
				out[i] = r.CommonMode.Value
			case ".residual":
				out[i] = within(r.Residual, ok)
			case ".contact_current":
				out[i] = within(r.ContactCurrent.Value, ok)
			}
		}
		return nil
	}
	return q
}
