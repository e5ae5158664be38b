// Package antenna answers what guards a receiver's input while a transmitter
// near by is on the air: how much a contact and its lead let through over the
// band, what it carries, what it costs on receive, and what would do better.
//
// Numbers go in and come out in SI base units (m, Hz, ohm, H, F, W, V rms, A rms);
// losses are in dB, insertion loss into a matched input unless said otherwise
// (the plain divider without the input's own load is 6 dB more).
package antenna

import "errors"

// A Kind is the way in which an input is guarded.
type Kind uint8

// The kinds of guard. A changeover and open-and-short are the same ladder, made
// of one contact with two ends or of two contacts.
const (
	Short        Kind = iota // a contact across the input
	Changeover               // the input is moved from the antenna to chassis
	OpenAndShort             // one contact opens the antenna, another shorts the input
)

// A Legs is how the input is fed and where its short goes.
type Legs uint8

// The ways of feeding an input.
const (
	One    Legs = iota // one leg against chassis
	Across             // balanced, one short from leg to leg: the common mode passes
	Each               // balanced, each leg to chassis
)

// A Contact is one relay contact at radio frequency.
type Contact struct {
	Ohms    float64 // ohm, closed
	Henries float64 // H, closed, of the contact and its pins
	Farads  float64 // F, open
}

// A Guard is a guarded input with what arrives at it.
type Guard struct {
	Kind      Kind
	Legs      Legs
	Impedance float64 // ohm, of the antenna and of the input: leg to leg where balanced
	Lowest    float64 // Hz
	Highest   float64 // Hz
	Lead      float64 // m, whole conductor of one short: terminal, contact, chassis or other leg
	Wire      float64 // m, diameter of the lead
	Contact   Contact
	Power     float64 // W, of the transmitter
	Coupling  float64 // dB, transmitter to antenna terminal, below 0
	Withstand float64 // W, what the input may take; 0 for not known
}

// A Worst is a value at the frequency of the band where it is worst.
type Worst struct {
	Value float64
	Hertz float64 // Hz
}

// A Result is what a guard does.
type Result struct {
	Henries        float64 // H, lead and contact: LeadHenries + Contact.Henries
	Arriving       float64 // W available at the terminal: Power·10^(Coupling/10)
	Loss           Worst   // dB, least over the band: 20·log|V without / V with| on the input; short: 20·log|1 + Z0/(2·Zs)|
	Residual       float64 // W into a matched input: Arriving·10^(−Loss/10)
	CommonMode     Worst   // dB, least loss of a signal alike on both legs; 0 if it passes; balanced inputs only
	ContactCurrent Worst   // A rms, most over the band, in the closed contact; short: 2·√(Arriving/Z0)
	OpenVolts      Worst   // V rms, most over the band, across a contact that opens the antenna; 0 for a short
	ReceiveLoss    Worst   // dB, most over the band, released: short: 10·log(1 + (π·f·C·Z0)²)
	Needed         float64 // dB, 10·log(Arriving/Withstand), not below 0; 0 if Withstand is not known
	Margin         float64 // Withstand/Residual; 0 if Withstand is not known
}

// Solve returns what a guard does over its band. It returns an error for an
// input out of range or if the network cannot be solved.
func Solve(g Guard) (Result, error) { return Result{}, errors.ErrUnsupported }
