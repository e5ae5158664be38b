// Package antenna answers what guards a receiver's input while a transmitter
// near by is on the air: how much a contact and its lead let through over the
// band, what the contact carries, what it costs on receive, and what would do
// better.
//
// Numbers go in and come out in SI base units (m, Hz, ohm, H, F, W, V rms,
// A rms). Losses are insertion losses in dB: what is missing at the input's load
// against the same input without a guard. (The bare divider of antenna and short
// says 6 dB more.)
package antenna

import (
	"errors"
	"fmt"
	"math"
)

// A Kind is the way in which an input is guarded.
type Kind uint8

// The kinds of guard. A changeover and open-and-short are one and the same
// ladder, made of a contact with two ends or of two contacts.
const (
	Short        Kind = iota // a contact across the input
	Changeover               // each leg of the input is moved from the antenna to the short
	OpenAndShort             // a contact opens each leg, another shorts the input behind it
)

// Legs is how the input is fed and where its short goes.
type Legs uint8

// The ways of feeding an input. The balanced ones are taken with their middle at
// chassis, half the impedance on each leg.
const (
	One    Legs = iota // one leg against chassis
	Across             // balanced, one short from leg to leg
	Each               // balanced, each leg shorted to chassis
)

// A Contact is a relay contact at radio frequency.
type Contact struct {
	Ohms    float64 // ohm, closed, above 0
	Henries float64 // H, of the contact and its pins
	Farads  float64 // F, open; above 0 where it opens a leg
}

// A Guard is a guarded input and what comes to it.
type Guard struct {
	Kind      Kind
	Legs      Legs
	Impedance float64 // ohm, of the antenna and of the input; leg to leg where balanced
	Lowest    float64 // Hz
	Highest   float64 // Hz
	Lead      float64 // m, whole conductor of one short: terminal, contact, chassis or other leg
	Wire      float64 // m, diameter of the lead
	Contact   Contact
	Power     float64 // W, of the transmitter
	Coupling  float64 // dB, transmitter to antenna terminal, 0 or below
	Withstand float64 // W, what the input may take; 0 for not known
}

// A Worst is a value at that frequency of the band where it is worst.
type Worst struct {
	Value float64
	Hertz float64 // Hz
}

// A Result is what a guard does.
type Result struct {
	Henries        float64 // H, of one short: LeadHenries(Lead, Wire) + Contact.Henries
	Arriving       float64 // W available at the terminal: Power·10^(Coupling/10)
	Loss           Worst   // dB, least over the band, 20·log|V without/V with| on the input; one short: 20·log|1 + Z0/(2·Zs)|
	Residual       float64 // W, most over the band, into a matched input: Arriving·10^(−Loss/10)
	CommonMode     Worst   // dB, least loss of what is alike on both legs: 0 where it passes; balanced inputs only
	ContactCurrent Worst   // A rms, most over the band, in a closed contact; one short: 2·√(Arriving/Z0) at its most
	OpenVolts      Worst   // V rms, most over the band, across a contact that opens a leg: 2·√(Arriving·Z0) at its most; 0 for a short
	ReceiveLoss    Worst   // dB, most over the band, guard released; one short: 10·log(1 + (π·f·C·Z0)²)
	Needed         float64 // dB, 10·log(Arriving/Withstand), not below 0; 0 if Withstand is not known
	Margin         float64 // Withstand/Residual; 0 if Withstand is not known
}

// Solve returns what a guard does over its band. It returns an error for an
// input out of range or if the network cannot be solved.
func Solve(g Guard) (Result, error) {
	if err := g.check(); err != nil {
		return Result{}, fmt.Errorf("antenna guard: %w", err)
	}
	r := Result{
		Henries:  g.henries(),
		Arriving: g.arriving(),
	}
	band := g.band()
	guarded := g.ladder(true)
	var err error
	if r.Loss, err = band.least(guarded.loss); err != nil {
		return Result{}, err
	}
	r.Residual = r.Arriving * ratio(-r.Loss.Value)
	if r.ContactCurrent, err = band.most(guarded.contactAmps); err != nil {
		return Result{}, err
	}
	if g.Kind != Short {
		if r.OpenVolts, err = band.most(guarded.openVolts); err != nil {
			return Result{}, err
		}
	}
	if r.ReceiveLoss, err = band.most(g.ladder(false).loss); err != nil {
		return Result{}, err
	}
	if g.Legs != One {
		guarded.alike()
		if r.CommonMode, err = band.least(guarded.loss); err != nil {
			return Result{}, err
		}
	}
	if g.Withstand > 0 {
		r.Needed = g.needed()
		r.Margin = g.Withstand / r.Residual
	}
	return r, nil
}

// henries returns the inductance of one short, lead and contact.
func (g Guard) henries() float64 { return LeadHenries(g.Lead, g.Wire) + g.Contact.Henries }

// arriving returns the power in W that the antenna offers at its terminal.
func (g Guard) arriving() float64 { return g.Power * ratio(g.Coupling) }

// needed returns the loss in dB that keeps a matched input within what it takes.
func (g Guard) needed() float64 { return max(0, decibels(g.arriving()/g.Withstand)) }

// band returns the frequencies at which the guard is judged.
func (g Guard) band() band { return band{lowest: g.Lowest, highest: g.Highest} }

// ratio returns the power ratio of a number of dB, decibels the reverse.
func ratio(db float64) float64       { return math.Pow(10, db/10) }
func decibels(power float64) float64 { return 10 * math.Log10(power) }

// check reports the first input that is out of range.
func (g Guard) check() error {
	if g.Kind > OpenAndShort {
		return fmt.Errorf("there is no kind of guard %d", g.Kind)
	}
	if g.Legs > Each {
		return fmt.Errorf("there is no way %d of feeding an input", g.Legs)
	}
	if g.Kind != Short && g.Contact.Farads == 0 {
		return errors.New("capacitance of the contact is 0; what an open contact lets through needs a value above 0")
	}
	if err := checkAll(g.Contact.inputs(), []input{
		{"impedance", g.Impedance, true},
		{"lead", g.Lead, false},
		{"wire diameter", g.Wire, true},
		{"transmitter power", g.Power, true},
		{"withstand", g.Withstand, false},
	}, g.band().inputs()); err != nil {
		return err
	}
	if !(g.Coupling <= 0) || math.IsInf(g.Coupling, 0) {
		return fmt.Errorf("coupling is %g dB; 0 dB or below is needed", g.Coupling)
	}
	return g.band().check()
}

// inputs lists what a contact brings.
func (k Contact) inputs() []input {
	return []input{
		{"resistance of the contact", k.Ohms, true},
		{"inductance of the contact", k.Henries, false},
		{"capacitance of the contact", k.Farads, false},
	}
}

// An input is a number to be checked, by name.
type input struct {
	name     string
	value    float64
	positive bool // else it may be 0
}

// checkAll reports the first input that is below its range or not finite.
func checkAll(lists ...[]input) error {
	for _, list := range lists {
		for _, in := range list {
			switch {
			case math.IsNaN(in.value) || math.IsInf(in.value, 0):
				return fmt.Errorf("%s: %w", in.name, errNotANumber)
			case in.value < 0:
				return fmt.Errorf("%s is %g; it cannot be below 0", in.name, in.value)
			case in.value == 0 && in.positive:
				return fmt.Errorf("%s is 0; a value above 0 is needed", in.name)
			}
		}
	}
	return nil
}

// errNotANumber is what every check of an input reports for NaN and infinity.
var errNotANumber = errors.New("not a finite number")
