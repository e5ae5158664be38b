package rule

import (
	"fmt"
	"math"

	"mutewright/design/finding"
	"mutewright/design/known"
	"mutewright/design/timing"
)

var (
	timingKey  = kind("timing.key_margin", "RF may arrive before the guard", "computed by the circuit solver; key-to-RF delay of the transmitter")
	timingTail = kind("timing.tail_margin", "RF may outlast the guard", "computed by the circuit solver; RF tail of the transmitter")
	timingMute = kind("timing.mute_margin", "The set is muted late", "computed by the circuit solver")
	timingOff  = kind("timing.set_off", "With the set off the antenna is open", "common practice")
)

func judgeTiming(b *bench) {
	exceeds := b.arrivingExceeds()
	b.judgeMargin(timingKey, "timing.key_margin", "transmitter.key_to_rf", exceeds,
		func(late float64) string {
			return fmt.Sprintf("RF may arrive %s before the returns are open and the input is guarded.", seconds(late))
		},
		func(left float64) string {
			return fmt.Sprintf("Returns are open and the input is guarded only %s before RF.", seconds(left))
		})
	b.judgeMargin(timingTail, "timing.tail_margin", "transmitter.rf_tail", exceeds,
		func(late float64) string {
			return fmt.Sprintf("RF may outlast the guard by %s when the key is let go.", seconds(late))
		},
		func(left float64) string {
			return fmt.Sprintf("The guard opens only %s after the last RF.", seconds(left))
		})
	if q, ok := b.Get("timing.mute_margin"); ok && q.Low < 0 {
		opened, _ := b.Get("timing.opened")
		muted, _ := b.Get("timing.muted")
		b.raise(timingMute, finding.Caution, "transmitter.key_to_rf",
			fmt.Sprintf("Opened is not muted: the returns open by %s, the set is silent by %s; you will hear the first %s of your own signal.",
				seconds(opened.High), seconds(muted.High), seconds(-q.Low)),
			b.timingRemedy(func(g timing.Gain) float64 { return g.Mute }))
	}
	b.judgeSetOff()
}

func (b *bench) judgeMargin(k Kind, name, at string, exceeds bool, negative, small func(float64) string) {
	q, ok := b.Get(name)
	if !ok {
		return
	}
	of := func(g timing.Gain) float64 { return g.Key }
	if k.ID == timingTail.ID {
		of = func(g timing.Gain) float64 { return g.Tail }
	}
	switch {
	case q.Low < 0:
		severity := finding.Caution
		if exceeds {
			severity = finding.Fail
		}
		b.raise(k, severity, at, negative(-q.Low), b.timingRemedy(of))
	case q.Low < timing.Enough:
		b.raise(k, finding.Caution, at, small(q.Low), b.timingRemedy(of))
	}
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
	timing.Zener:          "a zener in series with the clamp diode",
	timing.Hold:           "a hold capacitor across the coil",
	timing.BypassToReturn: "the output bypass returned to the lifted node",
	timing.Delay:          "a longer delay in the transmitter",
}

// timingRemedy says which remedies buy how many milliseconds of a margin, best
// first.
func (b *bench) timingRemedy(of func(timing.Gain) float64) string {
	best, serves := "", ""
	var most float64
	for _, t := range b.Tries {
		gain := of(t.Buys)
		words := remedyWords[t.Remedy]
		switch t.Remedy {
		case timing.Hold:
			words += " (" + farads(t.Value) + ")"
		case timing.Delay:
			words += " (" + seconds(t.Value) + " more)"
		}
		words += fmt.Sprintf(": buys %s", seconds(gain))
		if t.Serves && serves == "" && gain > 0 {
			serves = words
		}
		if gain > most {
			most, best = gain, words
		}
	}
	switch {
	case serves != "":
		return "What serves: " + serves + "."
	case best != "":
		return "What helps most: " + best + ", which alone is not enough."
	}
	return "Take a faster relay, or a longer delay in the transmitter."
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
					"Unplug the antenna when the set is off, or energise the relay on receive.")
				return
			}
		}
	}
}
