package rule

import (
	"fmt"

	"mutewright/design/finding"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

var (
	planUnused   = kind("plan.unused", "A key that has no meaning here", "the plan itself")
	planUnusual  = kind("plan.unusual", "A value that the trade does not see there", "common practice")
	planReversed = kind("plan.reversed", "Values that look exchanged or of the wrong sign", "the plan itself")
)

// judgePlan says where the plan contradicts itself.
func judgePlan(b *bench) {
	for _, u := range b.Unused {
		b.raise(planUnused, finding.Caution, u.At,
			fmt.Sprintf("This key is not used: %s.", u.Because), "Take it out, or look whether something else was meant.")
	}
	for _, u := range b.Unusual() {
		b.raise(planUnusual, finding.Caution, u.At,
			fmt.Sprintf("%s is unusual here; usual is %s to %s.", quantity.Format(u.Nominal, u.Unit), quantity.Format(u.From, u.Unit), quantity.Format(u.To, u.Unit)),
			"Look at its prefix and its decimal point; if it is right, measure it again before you rely on what follows from it.")
	}
	for _, m := range b.Mended {
		b.raise(planReversed, finding.Fail, m.At, capital(m.Says)+".",
			fmt.Sprintf("Correct it; %s was taken so that the rest could be worked out.", m.Taken))
	}
	for i := range b.Supplies {
		b.judgeSupply(&b.Supplies[i])
	}
	for i := range b.Points {
		b.judgeValues(&b.Points[i])
	}
	for i := range b.Relays {
		b.judgeSheet(&b.Relays[i])
	}
}

// exchanged raises two values that stand the wrong way round: small should not
// be above large, whatever their doubt.
func (b *bench) exchanged(small, large known.ID, at, words string) {
	if !small.Exists() || !large.Exists() || !over(b.least(small), b.most(large)) {
		return
	}
	e, f := b.Box.Entry(small), b.Box.Entry(large)
	b.raise(planReversed, finding.Caution, at,
		fmt.Sprintf("%s: %s against %s look exchanged.", capital(words), quantity.Format(e.Nominal, e.Unit), quantity.Format(f.Nominal, f.Unit)),
		"Look which is which.")
}

func (b *bench) judgeSupply(s *known.Supply) {
	at := "receiver.supplies." + s.Name
	if s.Rail {
		b.exchanged(s.Volts, s.Unloaded, at+".unloaded", "voltage on receive and unloaded")
		b.exchanged(s.Volts, s.CapRated, at+".rated", "voltage on receive and rating of the capacitors")
		return
	}
	b.exchanged(s.Drawn, s.Rated, at+".rated", "current drawn and rated")
}

func (b *bench) judgeValues(p *known.Point) {
	b.exchanged(p.SetTo, p.Track, p.At+".control.set_to", "setting of the control and its track")
	b.exchanged(p.Primary, p.Load, p.At+".transformer.resistance", "resistance and load of the transformer")
	if p.Grid.Exists() && b.least(p.Grid) > 0 {
		b.raise(planReversed, finding.Caution, p.At+".grid",
			fmt.Sprintf("The grid of %s is given as %s: fixed bias is negative to chassis.", p.Name, volts(b.number(p.Grid))),
			"Put the minus sign before it, or look for a leaking coupling capacitor.")
	}
}

func (b *bench) judgeSheet(r *known.Relay) {
	c := &r.Coil
	at := r.At + ".use.coil"
	b.exchanged(c.LetsGo, c.Operate, at+".release", "release and operate")
	b.exchanged(c.Open, c.Closed, at+".inductance", "inductance with the armature open and closed")
	b.exchanged(c.At70, c.At23, at+".most", "most at 70 °C and at 23 °C")
}
