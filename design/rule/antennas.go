package rule

import (
	"fmt"
	"slices"

	"mutewright/design/antenna"
	"mutewright/design/finding"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

var (
	antennaResidual = kind("antenna.residual", "More reaches the input than it withstands", "Rosa 1908 for the lead; computed by the circuit solver")
	antennaCoupling = kind("antenna.coupling", "Coupling must be measured", "far-field formula of Friis 1946, not valid nearer than λ/2")
	antennaNear     = kind("antenna.near_field", "Coupling estimated in the near field", "far-field formula of Friis 1946, not valid nearer than λ/2")
	antennaCommon   = kind("antenna.common_mode", "Common mode passes the short", "computed by the circuit solver")
	antennaReceive  = kind("antenna.receive_loss", "The open contact costs signal on receive", "computed by the circuit solver")
	antennaCurrent  = kind("antenna.contact_current", "Contact carries too much RF", "rating of the relay's class")
	antennaBand     = kind("antenna.band", "Lowest and highest are exchanged", "the plan itself")
	antennaNone     = kind("antenna.unguarded", "The antenna input is not guarded here", "common practice")
)

// receiveLoss is the loss on receive above which a word is due, dB.
const receiveLoss = 1.0

// heardLoss is the least loss that is told, dB: what decibels shows.
const heardLoss = 0.05

func judgeAntennas(b *bench) {
	any := false
	for i := range b.Points {
		if b.Points[i].Kind == known.Antenna {
			any = true
			b.judgeAntenna(&b.Points[i])
		}
	}
	if !any {
		b.raise(antennaNone, finding.Note, "muting_points",
			"The plan has no antenna point: nothing here keeps the transmitter's RF from the input.",
			"Guard the input elsewhere, or give the relay an antenna point.")
		return
	}
	switch b.Doubt {
	case antenna.MeasureIt:
		b.raise(antennaCoupling, finding.Fail, "transmitter.coupling",
			fmt.Sprintf("At %s the antennas are nearer than half a wavelength and the formula gives more than −10 dB: no estimate is taken.", metres(b.number(b.Transmitter.Distance))),
			"Measure the coupling and write it as transmitter.coupling, a level such as -10 dB: transmitter at low power, a terminated power meter on the receiver's antenna.")
	case antenna.NearField:
		b.raise(antennaNear, finding.Caution, "transmitter.coupling",
			"The antennas are nearer than half a wavelength, where the formula may err to either side: −10 dB is taken in its place, more than it gives.",
			"Measure the coupling and write it as transmitter.coupling, a level such as -25 dB: transmitter at low power, a terminated power meter on the receiver's antenna.")
	}
}

func (b *bench) judgeAntenna(p *known.Point) {
	stem := "antenna." + p.Name
	if b.number(p.Lowest) > b.number(p.Highest) {
		b.raise(antennaBand, finding.Caution, p.At+".lowest",
			fmt.Sprintf("The band of %s runs from %s down to %s; it was taken the other way round.", p.Name,
				quantity.Hertz(b.number(p.Lowest)), quantity.Hertz(b.number(p.Highest))),
			"Exchange the two "+try(p.At+".lowest", quantity.Hertz(b.number(p.Highest)).String(), p.At+".highest", quantity.Hertz(b.number(p.Lowest)).String())+".")
	}
	if residual, ok := b.high(stem + ".residual"); ok && p.Withstand.Exists() {
		limit := b.least(p.Withstand)
		if s := ofRating(residual, limit); s != finding.Good {
			loss, _ := b.low(stem + ".shorted_loss")
			b.raise(antennaResidual, s, p.At+".guard",
				fmt.Sprintf("With %s guarded, up to %s still reaches the input (loss %s); it withstands %s.", p.Name, watts(residual), decibels(loss), watts(limit)),
				b.guardRemedy(p))
		}
	}
	if p.Legs == "across" && p.Guard == "short" {
		common, _ := b.low(stem + ".common_mode")
		left := "as it is"
		if common >= heardLoss {
			left = "but for " + decibels(common)
		}
		b.raise(antennaCommon, finding.Caution, p.At+".legs",
			fmt.Sprintf("One contact across a balanced input leaves what is alike on both legs %s.", left),
			"Short each leg to chassis where the feeder is not well balanced "+try(p.At+".legs", "each")+".")
	}
	if loss, ok := b.high(stem + ".receive_loss"); ok && over(loss, receiveLoss) {
		b.raise(antennaReceive, finding.Caution, p.At+".guard",
			fmt.Sprintf("Released, the guard of %s costs up to %s on receive.", p.Name, decibels(loss)),
			"Take a relay with less capacitance (contacts.capacitance of "+b.Serving(p.Name).At+".use).")
	}
	if amps_, ok := b.high(stem + ".contact_current"); ok {
		for _, pole := range b.Poles.Serving(p.Name) {
			c := &b.Relays[pole.Relay].Contacts
			if !c.Amps.Exists() {
				continue
			}
			if s := ofRating(amps_, b.least(c.Amps)); s != finding.Good {
				b.raise(antennaCurrent, s, b.Relays[pole.Relay].At+".use",
					fmt.Sprintf("The guard's contact %s carries up to %s of RF; it is rated %s.", pole.Letter, amps(amps_), amps(b.least(c.Amps))),
					"Better isolation between the antennas (transmitter.coupling), or a contact for more current ("+b.Relays[pole.Relay].At+".use).")
				break
			}
		}
	}
}

// shortestLead is the shortest lead that anybody can make from a terminal through
// a contact to chassis, m (common practice).
const shortestLead = 10e-3

// guardRemedy says what would guard the input, each tried by solving it.
func (b *bench) guardRemedy(p *known.Point) string {
	r, ok := b.Remedies[p.Name]
	if !ok {
		return "Shorten the lead."
	}
	var ways []string
	if r.LeadServes && p.Guard == "short" && r.LongestLead >= shortestLead {
		ways = append(ways, fmt.Sprintf("keep the whole lead under %s", metres(r.LongestLead)))
	}
	if p.Guard == "short" && r.ChangeoverKnown {
		words := fmt.Sprintf("use a changeover, %s %s", decibels(r.ChangeoverLoss.Value), try(p.At+".guard", "changeover"))
		if !r.ChangeoverServes {
			words += ", which alone is not enough either"
		}
		ways = append(ways, words)
	}
	if r.MoreIsolation > 0 {
		ways = append(ways, fmt.Sprintf("bring the coupling down by %s", decibels(r.MoreIsolation)))
	}
	ways = slices.DeleteFunc(ways, func(s string) bool { return s == "" })
	if len(ways) == 0 {
		return "Shorten the lead."
	}
	return capital(list(ways, "or")) + "."
}
