package rule

import (
	"fmt"
	"math"
	"strings"

	"mutewright/design/finding"
	"mutewright/design/known"
	"mutewright/design/quantity"
	"mutewright/design/timing"
)

var (
	timingKey   = kind("timing.key_margin", "RF may arrive before the guard", "computed by the circuit solver; key-to-RF delay of the transmitter")
	timingTail  = kind("timing.tail_margin", "RF may outlast the guard", "computed by the circuit solver; RF tail of the transmitter")
	timingMute  = kind("timing.mute_margin", "The set is muted late", "computed by the circuit solver")
	timingNever = kind("timing.never_muted", "The set never falls silent", "computed by the circuit solver")
	timingOff   = kind("timing.set_off", "With the set off the antenna is open", "common practice")
)

// A margin is what may be left between the interface and the RF.
type margin struct {
	kind     Kind
	words    string
	name, at string
	of       func(timing.Margins) float64
}

var (
	keyMargin  = margin{timingKey, "key margin", "timing.key_margin", "transmitter.key_to_rf", func(m timing.Margins) float64 { return m.Key }}
	tailMargin = margin{timingTail, "tail margin", "timing.tail_margin", "transmitter.rf_tail", func(m timing.Margins) float64 { return m.Tail }}
	muteMargin = margin{timingMute, "mute margin", "timing.mute_margin", "transmitter.key_to_rf", func(m timing.Margins) float64 { return m.Mute }}
)

func judgeTiming(b *bench) {
	exceeds := b.arrivingExceeds()
	b.judgeMargin(keyMargin, exceeds,
		func(late float64) string {
			return fmt.Sprintf("RF may arrive %s before the returns are open and the input is guarded.", seconds(late))
		},
		func(left float64) string {
			return fmt.Sprintf("Returns are open and the input is guarded only %s before RF.", seconds(left))
		})
	b.judgeMargin(tailMargin, exceeds,
		func(late float64) string {
			return fmt.Sprintf("RF may outlast the guard by %s when the key is let go.", seconds(late))
		},
		func(left float64) string {
			return fmt.Sprintf("The guard opens only %s after the last RF.", seconds(left))
		})
	if q, ok := b.Get(muteMargin.name); ok && q.Low < 0 {
		opened, _ := b.Get("timing.opened")
		muted, _ := b.Get("timing.muted")
		b.raise(timingMute, finding.Caution, muteMargin.at,
			fmt.Sprintf("Opened is not muted: the returns open by %s, the set is silent by %s; you will hear the first %s of your own signal.",
				seconds(opened.High), seconds(muted.High), seconds(-q.Low)),
			b.timingRemedy(muteMargin))
	}
	b.judgeNever()
	b.judgeSetOff()
}

func (b *bench) judgeMargin(m margin, exceeds bool, negative, small func(float64) string) {
	q, ok := b.Get(m.name)
	if !ok {
		return
	}
	switch {
	case q.Low < 0:
		severity := finding.Caution
		if exceeds {
			severity = finding.Fail
		}
		b.raise(m.kind, severity, m.at, negative(-q.Low), b.timingRemedy(m))
	case q.Low < timing.Enough:
		b.raise(m.kind, finding.Caution, m.at, small(q.Low), b.timingRemedy(m))
	}
}

// judgeNever says that there is no time to silence where none comes.
func (b *bench) judgeNever() {
	if _, ok := b.Get("timing.muted"); ok || !b.Mutes {
		return
	}
	says := fmt.Sprintf("The depth is not reached within %s of the key: there is no time by which the set is muted, and no margin.", seconds(timing.LastLook))
	if depth, ok := b.low("depth"); ok && depth < timing.Heard {
		says = fmt.Sprintf("Worst case the depth ends at %s, which nobody hears: what is wanted is never reached, and there is no time by which the set is muted.", decibels(depth))
	}
	b.raise(timingNever, finding.Caution, "wanted.depth", says, b.buysMost())
}

// arrivingExceeds tells whether the power that arrives at an open input is more
// than it withstands.
func (b *bench) arrivingExceeds() bool {
	t := &b.Transmitter
	for i := range b.Points {
		p := &b.Points[i]
		if p.Kind != known.Antenna || !p.Withstand.Exists() {
			continue
		}
		coupling := b.Coupling.Decibels
		if t.Coupling.Exists() {
			coupling = b.most(t.Coupling)
		}
		arriving := b.most(t.Power) * math.Pow(10, coupling/10)
		if over(arriving, b.least(p.Withstand)) {
			return true
		}
	}
	return false
}

var remedyWords = map[timing.Remedy]string{
	timing.FasterRelay:    "a faster relay",
	timing.Zener:          "a zener of %s in series with the clamp diode",
	timing.Hold:           "a hold capacitor of %s across the coil",
	timing.BypassToReturn: "the output bypass with its lower end on the lifted return",
	timing.Delay:          "RF %s later, by the transmitter's own delay",
}

// leastBought is what a remedy must bring to be worth a word, s.
const leastBought = 0.05e-3

// timingRemedy says which remedies buy how many milliseconds of a margin: those
// that serve it, and those that are not enough alone.
func (b *bench) timingRemedy(m margin) string {
	var serve, help []string
	delayed := false
	for _, t := range b.Tries {
		gain := m.of(t.Buys.Margins)
		if gain < leastBought || t.Remedy == timing.Delay && delayed {
			continue
		}
		words, how := b.remedyWords(t)
		words += fmt.Sprintf(" (buys %s%s; %s)", seconds(gain), b.costs(m, t), how)
		if serves(m.of(t.Ends.Margins())) {
			serve = append(serve, words)
			delayed = t.Remedy == timing.Delay
		} else if t.Remedy != timing.Delay { // a longer one is tried too
			help = append(help, words)
		}
	}
	var text string
	if len(serve) > 0 {
		text = "What serves: " + list(serve, "or") + "."
	}
	if len(help) > 0 {
		text += " Not enough alone: " + list(help, "or") + "."
	}
	if text == "" && m.name == tailMargin.name {
		return "Let the relay go later: a hold capacitor across its coil (" + b.Relays[0].At + ".hold), or a plain diode as its clamp; or hold the key line longer in the transmitter."
	}
	if text == "" {
		return "Take a faster relay (" + b.Relays[0].At + ".use), or a longer delay in the transmitter."
	}
	return strings.TrimSpace(text)
}

// serves tells whether a margin is enough.
func serves(left float64) bool { return left >= timing.Enough*(1-rounding) }

// remedyWords say what a remedy is and how the plan takes it: the options that try
// it, or the keys where it wants more than a value.
func (b *bench) remedyWords(t timing.Try) (words, how string) {
	at := b.Relays[0].At
	words = remedyWords[t.Remedy]
	switch t.Remedy {
	case timing.Zener:
		return fmt.Sprintf(words, volts(t.Value)), at + ".clamp, " + at + ".zener"
	case timing.Hold:
		return fmt.Sprintf(words, farads(t.Value)+" with "+ohms(b.HoldOhms)), settings(at+".hold.value", farads(t.Value), at+".hold.series", ohms(b.HoldOhms))
	case timing.BypassToReturn:
		var changes []string
		for r := range b.Returns {
			for _, i := range b.Returns[r].Points {
				if p := &b.Points[i]; footOnChassis(p) {
					changes = append(changes, p.At+".bypass.returned_to", "return")
				}
			}
		}
		return words, settings(changes...)
	case timing.Delay:
		return fmt.Sprintf(words, seconds(t.Value)), settings("transmitter.key_to_rf", quantity.Plain(upwards(b.least(b.Transmitter.KeyToRF)+t.Value), quantity.Time))
	}
	return words, at + ".use"
}

// costs says which other margin a remedy spoils, and whether the key line stands
// it.
func (b *bench) costs(m margin, t timing.Try) string {
	var text string
	for _, other := range []margin{keyMargin, tailMargin, muteMargin} {
		q, ok := b.Get(other.name)
		if left := other.of(t.Ends.Margins()); ok && other.name != m.name && serves(q.Low) && !serves(left) {
			text += fmt.Sprintf(", but leaves the %s at %s", other.words, seconds(left))
		}
	}
	if kick, ok := b.high("control.kick"); ok && t.Remedy == timing.Zener && b.Relays[0].Buffer == "none" && b.Transmitter.LineVolts.Exists() {
		if limit := b.least(b.Transmitter.LineVolts); over(kick+t.Value, limit) {
			text += fmt.Sprintf(", but puts up to %s on a key line rated %s", volts(kick+t.Value), volts(limit))
		}
	}
	return text
}

// judgeSetOff says what a guard that must be energised leaves open.
func (b *bench) judgeSetOff() {
	for i := range b.Points {
		p := &b.Points[i]
		if p.Kind != known.Antenna {
			continue
		}
		for _, pole := range b.Poles.Serving(p.Name) {
			if !b.Relays[pole.Relay].OnReceive {
				b.raise(timingOff, finding.Note, b.Relays[pole.Relay].At+".energised_on",
					"With the set off, its fuse blown or the key cable unplugged the antenna input is not guarded.",
					"Unplug the antenna when the set is off, or energise the relay on receive ("+b.Relays[pole.Relay].At+".energised_on).")
				return
			}
		}
	}
}
