package rule

import (
	"fmt"
	"strings"

	"mutewright/design/finding"
	"mutewright/design/known"
)

var (
	standbyLive      = kind("standby.live", "The set's own terminals are live", es1)
	standbyOpen      = kind("standby.open", "The set's own standby is left open", "the plan itself")
	standbySeries    = kind("standby.series", "The set's own standby stays in use", "common practice")
	standbyConnector = kind("standby.connector", "Key line on live terminals", es1)
)

func judgeStandby(b *bench) {
	for i := range b.Standby {
		s := &b.Standby[i]
		if s.Left == "removed" {
			continue
		}
		v, known := b.high(fmt.Sprintf("standby.%d.voltage", i+1))
		if known {
			b.judgeTerminals(s, v)
			b.judgeConnector(s, v)
		}
		switch s.Left {
		case "open":
			b.raise(standbyOpen, finding.Fail, s.At+".left",
				fmt.Sprintf("%s is left open: what it opens (%s) stays interrupted, and the set does not receive.", capital(s.Name), s.Opens),
				"Leave it in use, strap it inside the cabinet, or remove it and join its leads.")
		case "in use":
			b.raise(standbySeries, finding.Note, s.At+".left", b.seriesWords(s), b.seriesRemedy(s))
		}
	}
}

// judgeTerminals judges what stands on standby terminals. A strap across
// terminals of which one is chassis is one joint between them and their voltage;
// terminals on the high side stand at it all the time.
func (b *bench) judgeTerminals(s *known.Standby, v float64) {
	says := fmt.Sprintf("%s: up to %s to chassis when open", capital(s.Name), volts(v))
	danger, caution := float64(touchLimit), touchCaution
	switch {
	case s.Left == "strapped" && s.Grounded():
		says = fmt.Sprintf("If the strap of %s comes off, its terminals stand at up to %s", s.Name, volts(v))
		danger, caution = faultLimit, touchLimit
	case !s.Grounded():
		says = fmt.Sprintf("%s: up to %s to chassis, open or closed", capital(s.Name), volts(v))
	}
	at := s.At + ".reachable"
	switch {
	case s.Reachable && over(v, danger):
		b.raise(standbyLive, finding.Danger, at,
			fmt.Sprintf("%s, within reach; the limit is %g V DC.", says, danger),
			"Take the terminals off, join their leads inside the cabinet, and cover the hole; then "+s.At+".left is removed "+try(s.At+".left", "removed")+".")
	case s.Reachable && over(v, caution):
		b.raise(standbyLive, finding.Caution, at,
			fmt.Sprintf("%s, within reach, above %g V.", says, caution),
			"Cover the terminals, or take them off and join their leads inside.")
	case over(v, touchLimit):
		b.raise(standbyLive, finding.Note, at,
			says+"; nothing within reach, but hot inside the cabinet.",
			"Treat its lugs and leads as B+ while the set is on.")
	}
}

// judgeConnector judges a key line that is to share a connector with them.
func (b *bench) judgeConnector(s *known.Standby, v float64) {
	jack, name := strings.ToLower(b.Control.Jack), strings.ToLower(s.Name)
	if !over(v, touchCaution) || name == "" || !strings.Contains(jack, name) && !strings.Contains(name, jack) {
		return
	}
	severity := finding.Caution
	if over(v, touchLimit) {
		severity = finding.Danger
	}
	b.raise(standbyConnector, severity, "control.jack",
		fmt.Sprintf("The key line is to come out at %s, where up to %s may stand: one wrong plug puts it on the transmitter.", b.Control.Jack, volts(v)),
		"Give the key line a jack of its own, of another kind, away from those terminals.")
}

func (b *bench) seriesWords(s *known.Standby) string {
	switch s.Opens {
	case "cathode return":
		if s.Return >= 0 {
			return fmt.Sprintf("%s stays in series with the contact in %s: either of the two silences the set, and both must be closed to receive.", capital(s.Name), b.Returns[s.Return].Name)
		}
		return fmt.Sprintf("%s opens a cathode return that is none of those lifted here: its tubes are silenced by it alone.", capital(s.Name))
	case "oscillator":
		return fmt.Sprintf("%s stops the oscillator: it drifts when it starts again, which the interface does not make it do.", capital(s.Name))
	}
	return fmt.Sprintf("%s takes away %s: while it is open the interface has nothing to mute, and the rails stand unloaded until the tubes draw again.", capital(s.Name), railWords[s.Opens])
}

var railWords = map[string]string{"b plus": "B+", "ht centre tap": "B+, at the transformer's centre tap", "screens": "the screens"}

func (b *bench) seriesRemedy(s *known.Standby) string {
	if s.Opens == "cathode return" && s.Return >= 0 {
		return "Put the pulldown on the tubes' side of both, switch and contact, so that it guards whichever opens; take the readings with the switch on receive."
	}
	return "Take the readings with it on receive, and say on the front panel what it does."
}
