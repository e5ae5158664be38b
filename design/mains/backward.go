package mains

import (
	"fmt"
	"math"
	"slices"
)

// A Reading is a voltage measured between chassis and earth on a known load.
//
// A load of 2 kΩ or less is a shunted test and gives the touch current as V/R.
// For 1.5 kΩ it does not matter whether its 0.15 µF is fitted: at 50 and 60 Hz
// that is 21 and 18 kΩ beside 1.5 kΩ in quadrature, 0.4 % at most, less than a
// meter's accuracy; and 0.75 V stays the 0.5 mA that the test calls it.
type Reading struct {
	Volts    float64 // V rms
	Ohms     float64 // ohm, the meter's input with any resistor across it
	Accuracy float64 // relative: 0.01 when the truth lies within Volts ± 1 %
}

// leastVolts is what still counts as a reading, V rms: far below the last digit
// of any meter, far above where its square vanishes.
const leastVolts = 1e-6

// low and high return the ends between which the truth lies, V rms.
func (r Reading) low() float64  { return r.Volts * (1 - r.Accuracy) }
func (r Reading) high() float64 { return r.Volts * (1 + r.Accuracy) }

// A Bound is a value with the least and the most that the meters' accuracy leaves.
type Bound struct {
	Nominal, Low, High float64
}

// A Reason says why readings do not decide.
type Reason uint8

// The reasons. Decided is none.
const (
	Decided       Reason = iota
	NoReading            // nothing was measured, or only 0 V
	OneLoad              // one load that is no shunt: voltage and capacitance cannot be told apart
	AtMains              // above NearMains of the mains voltage: 2 nF, 0.2 µF and a short read alike
	Alike                // two loads read alike within the meters' accuracy: any higher capacitance would too
	InProportion         // readings rise as their loads do: the source is a current, its voltage does not show
	Contradictory        // a lower load reads more, or a higher one more than in proportion: not one state, or no capacitor
	AboveMains           // a reading, or what two loads extrapolate to, exceeds the mains with its tolerance: wrong voltage, or another source
)

// An Inference is one result worked backward from readings.
type Inference struct {
	Bound
	Reason Reason // Decided, or why Bound holds nothing
	From   []int  // indices of the readings it came from
}

// A Backward is what readings say of the source behind a chassis.
type Backward struct {
	Touch   Inference // A rms through 2 kΩ: V/R on a shunt; else E/√(2000² + X²) from two loads
	Volts   Inference // V rms, open: E = V1·√(1 + X²/R1²)
	Farads  Inference // F, all that joins the mains to chassis: C = 1/(2πf·X)
	Against []int     // indices of readings that the pair behind Volts and Farads does not explain
}

// shuntCapacitor is the relative allowance for the 0.15 µF that may stand across
// a 1.5 kΩ shunt, 0.4 % and a little.
const shuntCapacitor = 0.005

// Infer works backward from readings, all taken in one state of plug and switch,
// on a mains of so many V rms and Hz. With R1 < R2 two loads give the reactance
//
//	X² = R1²·R2²·(V2² − V1²)/(V1²·R2² − V2²·R1²)
//
// Of several pairs the one that leaves the least doubt is taken. The source is
// taken for a capacitor: the ohm check has to come first. It returns an error
// for an input out of range.
func Infer(volts, hertz float64, readings []Reading) (Backward, error) {
	if err := positive("mains voltage", volts); err != nil {
		return Backward{}, err
	}
	if err := positive("mains frequency", hertz); err != nil {
		return Backward{}, err
	}
	for i, r := range readings {
		if err := r.check(); err != nil {
			return Backward{}, fmt.Errorf("reading %d: %w", i+1, err)
		}
	}
	nothing := Inference{Reason: alone(volts, readings)}
	best := pair{volts: nothing, farads: nothing, touch: nothing}
	touch := nothing
	for i, r1 := range readings {
		for j, r2 := range readings {
			if !above(r2.Ohms, r1.Ohms) {
				continue
			}
			p := solvePair(r1, r2, volts, hertz)
			p.from(i, j)
			if p.farads.tells(best.farads) {
				best = p
			}
			if p.touch.tells(touch) {
				touch = p.touch
			}
		}
	}
	b := Backward{Touch: touch, Volts: best.volts, Farads: best.farads}
	if i, ok := shunted(readings); ok {
		r := readings[i]
		b.Touch = Inference{From: []int{i}, Bound: Bound{
			Nominal: r.Volts / r.Ohms, Low: r.low() / r.Ohms, High: r.high() / r.Ohms,
		}}
	}
	if b.Farads.Reason == Decided {
		b.Against = best.against(readings)
	}
	return b, nil
}

// tells reports whether an inference tells more than another: a decided one more
// than none, of two decided ones the narrower, of two undecided ones the graver.
func (a Inference) tells(b Inference) bool {
	if a.Reason == Decided && b.Reason == Decided {
		return a.High/a.Low < b.High/b.Low
	}
	return a.Reason == Decided || b.Reason != Decided && a.Reason > b.Reason
}

// alone says why readings that make no pair do not decide.
func alone(volts float64, readings []Reading) Reason {
	reason := NoReading
	for _, r := range readings {
		switch {
		case r.Volts < leastVolts:
		case above(r.low(), volts*mainsMargin):
			return AboveMains
		case above(r.Volts, NearMains*volts):
			reason = AtMains
		case reason == NoReading:
			reason = OneLoad
		}
	}
	return reason
}

// shunted returns the shunted test that shows the highest current.
func shunted(readings []Reading) (index int, ok bool) {
	for i, r := range readings {
		if r.Ohms > BodyOhms {
			continue
		}
		if !ok || r.Volts/r.Ohms > readings[index].Volts/readings[index].Ohms {
			index, ok = i, true
		}
	}
	return index, ok
}

// A law is 1/V² = p + q/R², what a source E behind a reactance X puts on a
// resistance R: p = 1/E², q = X²/E².
type law struct{ p, q float64 }

// through returns the law that two readings lie on.
func through(v1, r1, v2, r2 float64) law {
	q := (1/(v1*v1) - 1/(v2*v2)) / (1/(r1*r1) - 1/(r2*r2))
	return law{p: 1/(v2*v2) - q/(r2*r2), q: q}
}

// volts returns the voltage on a resistance.
func (l law) volts(ohms float64) float64 { return 1 / math.Sqrt(l.p+l.q/(ohms*ohms)) }

// A pair is what two readings say.
type pair struct {
	volts, farads, touch Inference
	corners              [4]law // at the ends of both readings
}

// from notes which readings the pair is.
func (p *pair) from(i, j int) {
	p.volts.From, p.farads.From, p.touch.From = []int{i, j}, []int{i, j}, []int{i, j}
}

// solvePair works backward from two loads, r1 the lower. p and q run one way with
// each reading, and so do E, C and the touch current: their ends lie at corners.
func solvePair(r1, r2 Reading, volts, hertz float64) pair {
	most := volts * mainsMargin
	refuse := func(r Reason) pair {
		none := Inference{Reason: r}
		return pair{volts: none, farads: none, touch: none}
	}
	switch {
	case min(r1.Volts, r2.Volts) < leastVolts:
		return refuse(NoReading)
	case above(r1.low(), most) || above(r2.low(), most):
		return refuse(AboveMains)
	case above(r1.low(), r2.high()), above(r2.low()*r1.Ohms, r1.high()*r2.Ohms):
		return refuse(Contradictory)
	case above(r1.Volts, NearMains*volts):
		return refuse(AtMains)
	case !above(r2.low(), r1.high()):
		return refuse(Alike)
	}
	// Capacitors cannot show more than the mains: p has a floor, which also closes
	// the bounds where readings rise as their loads do.
	floor := 1 / (most * most)
	if above(floor, through(r1.high(), r1.Ohms, r2.low(), r2.Ohms).p) {
		return refuse(AboveMains) // whatever the meters' error
	}
	at := func(v1, v2 float64) law {
		l := through(v1, r1.Ohms, v2, r2.Ohms)
		l.p = max(l.p, floor)
		return l
	}
	p := pair{corners: [4]law{
		at(r1.low(), r2.low()), at(r1.low(), r2.high()), at(r1.high(), r2.low()), at(r1.high(), r2.high()),
	}}
	nominal := at(r1.Volts, r2.Volts)
	bound := func(of func(law) float64) Inference {
		b := Bound{Nominal: of(nominal), Low: math.Inf(1)}
		for _, l := range p.corners {
			b.Low, b.High = min(b.Low, of(l)), max(b.High, of(l))
		}
		return Inference{Bound: b}
	}
	p.touch = bound(func(l law) float64 { return l.volts(BodyOhms) / BodyOhms })
	if through(r1.Volts, r1.Ohms, r2.Volts, r2.Ohms).p <= 0 {
		p.volts, p.farads = Inference{Reason: InProportion}, Inference{Reason: InProportion}
		return p
	}
	p.volts = bound(func(l law) float64 { return 1 / math.Sqrt(l.p) })
	p.farads = bound(func(l law) float64 { return math.Sqrt(l.p/l.q) / (2 * math.Pi * hertz) })
	return p
}

// against returns the readings outside the pair that no corner of it explains.
func (p pair) against(readings []Reading) []int {
	var against []int
	for i, r := range readings {
		if slices.Contains(p.volts.From, i) {
			continue
		}
		low, high := math.Inf(1), 0.0
		for _, l := range p.corners {
			low, high = min(low, l.volts(r.Ohms)), max(high, l.volts(r.Ohms))
		}
		if r.high() < low*(1-shuntCapacitor) || r.low() > high*(1+shuntCapacitor) {
			against = append(against, i)
		}
	}
	return against
}

// check reports what is out of range in a reading.
func (r Reading) check() error {
	if err := atLeastZero("voltage", r.Volts); err != nil {
		return err
	}
	if err := positive("load", r.Ohms); err != nil {
		return err
	}
	if err := atLeastZero("accuracy", r.Accuracy); err != nil {
		return err
	}
	if r.Accuracy >= 1 {
		return fmt.Errorf("accuracy is %g; a part of the reading below 1 is needed", r.Accuracy)
	}
	return nil
}
