package antenna

import (
	"fmt"
	"math"
	"math/cmplx"

	"mutewright/design/circuit"
)

// An Audio is a dry contact from a point of the audio path to chassis.
type Audio struct {
	Source  float64 // ohm, what feeds the point
	Load    float64 // ohm, what the point feeds
	Lowest  float64 // Hz
	Highest float64 // Hz
	Lead    float64 // m, point, contact, chassis
	Wire    float64 // m, diameter of the lead
	Contact Contact
}

// An AudioResult is what a short does to audio.
type AudioResult struct {
	Attenuation Worst // dB, least over the band, closed: 20·log|1 + (Rs∥Rl)/Zs|; beyond 100 dB what leaks past the point decides
	ReceiveLoss Worst // dB, most over the band, open: 10·log(1 + (2π·f·C·(Rs∥Rl))²)
}

// SolveAudio returns what a short does to audio over its band. It returns an
// error for an input out of range or if the network cannot be solved.
func SolveAudio(a Audio) (AudioResult, error) {
	band := band{lowest: a.Lowest, highest: a.Highest}
	err := checkAll(a.Contact.inputs(), []input{
		{"source resistance", a.Source, true},
		{"load resistance", a.Load, true},
		{"lead", a.Lead, false},
		{"wire diameter", a.Wire, true},
	}, band.inputs())
	if err == nil {
		err = band.check()
	}
	if err != nil {
		return AudioResult{}, fmt.Errorf("audio short: %w", err)
	}
	var r AudioResult
	if r.Attenuation, err = band.least(a.loss(true)); err != nil {
		return AudioResult{}, err
	}
	if r.ReceiveLoss, err = band.most(a.loss(false)); err != nil {
		return AudioResult{}, err
	}
	return r, nil
}

// loss returns the attenuation in dB at a frequency, contact closed or open,
// against the point without a contact.
func (a Audio) loss(closed bool) course {
	net := circuit.New()
	source, point := net.Node("source"), net.Node("point")
	net.Voltage("emf", source, circuit.Chassis, circuit.DC(0).WithAC(1, 0))
	net.Resistor("source resistance", source, point, a.Source)
	net.Resistor("load", point, circuit.Chassis, a.Load)
	a.Contact.join(net, "short", point, circuit.Chassis, LeadHenries(a.Lead, a.Wire)+a.Contact.Henries, closed)
	without := a.Load / (a.Source + a.Load)
	return func(hertz float64) (float64, error) {
		p, err := net.AC(nil, hertz)
		if err != nil {
			return 0, fmt.Errorf("audio short at %g Hz: %w", hertz, err)
		}
		return 20 * math.Log10(without/cmplx.Abs(p.Volts(point))), nil
	}
}
