package drive

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"mutewright/design/circuit"
)

// Meter is the resistance in ohm of the meter that reads the released supply.
const Meter = 10e6

// still is the part of the released voltage, peak to peak, below which ripple
// no longer moves the mean: see [network.lightly].
const still = 2e-4

// settled is the change of a coil's resistance, as a part of it, below which
// its temperature counts as found; it moves the coil's voltage by a tenth of that.
const settled = 1e-4

// rounds is the number of solutions after which a temperature that does not
// settle is given up. Two are enough for every drive that does its work; coils
// that share a transistor which does not saturate take a dozen.
const rounds = 40

// Solve finds the steady state of a drive, released and operated, with its
// coils at the temperature that Warmth says. An impossible value is an error
// that names it; a rectifier that [Legal] refuses is an error too.
func Solve(d Drive) (Result, error) { return d.solve(nil) }

// Near is [Solve] for a drive like the one that was solved, with other numbers:
// the search begins at that one's steady state and is over sooner. The result is
// the same within what the search leaves over, and whatever the drive.
func (r Result) Near(d Drive) (Result, error) { return d.solve(r.steady) }

// A steady is where a drive stands once it is solved.
type steady struct {
	crest              float64 // V of the winding
	released, operated *circuit.State
	sag                float64  // operated over released supply
	idle               sync.Map // what was found of released drives near it, by their fingerprints
	used               *used
}

func (d Drive) solve(near *steady) (Result, error) {
	if err := d.check(); err != nil {
		return Result{}, err
	}
	before := new(used)
	if near != nil {
		before = near.used
	}
	released, err := d.released(near, before)
	if err != nil {
		return Result{}, fmt.Errorf("released drive: %w", err)
	}
	operated, err := d.operated(released, near, before)
	if err != nil {
		return Result{}, fmt.Errorf("operated drive: %w", err)
	}
	defer before.operated.Put(operated.Circuit)
	r, err := d.result(released, operated, before)
	if d.Rectifier != None {
		r.steady = &steady{
			crest: d.Winding.Volts * d.Winding.Crest, released: released.end, operated: operated.trace.End(),
			sag: r.Supply.Operated / r.Supply.Released, used: before,
		}
	}
	return r, err
}

// from is a state of a drive like d for d to start from; nil for none.
func (s *steady) from(d Drive, state func(*steady) *circuit.State) *circuit.State {
	if s == nil || d.Rectifier == None {
		return nil
	}
	return state(s).Scaled(d.Winding.Volts * d.Winding.Crest / s.crest)
}

// A state is a solved network: one period on a winding, one point on a rail.
type state struct {
	*network
	trace *circuit.Trace
	point *circuit.Point
	coils []Terminals
	ohms  []float64 // of each coil

	from   *circuit.State // where to start, before there is a solution; nil: from nothing
	before []working      // of each coil in the solution before this one, while temperatures are sought
}

// volts is the voltage between two nodes in the course of a period.
func (s state) volts(a, b circuit.Node) []float64 {
	if s.trace == nil {
		return []float64{s.point.Volts(a) - s.point.Volts(b)}
	}
	va, vb := s.trace.Volts(a), s.trace.Volts(b)
	for i := range va {
		va[i] -= vb[i]
	}
	return va
}

// amps is the current of an element in the course of a period.
func (s state) amps(element string) []float64 {
	if s.trace == nil {
		return []float64{s.point.Amps(s.prefix + element)}
	}
	return s.trace.Amps(s.prefix + element)
}

func (s state) mean(values []float64) float64 {
	if s.trace == nil {
		return values[0]
	}
	return s.trace.Mean(values)
}

func (s state) rms(values []float64) float64 {
	if s.trace == nil {
		return math.Abs(values[0])
	}
	return s.trace.RMS(values)
}

// run solves the network, from an earlier state of the same network where
// there is one.
func (s *state) run() (err error) {
	if s.d.Rectifier == None {
		s.point, err = s.OperatingPoint(circuit.Options{Guess: s.point})
		return err
	}
	start := s.from
	if s.trace != nil {
		start = s.trace.End()
	}
	period := 1 / s.d.Winding.Hertz
	if start != nil {
		trace, err := s.Periodic(period, circuit.TransientOptions{Start: start, Over: s.trace})
		if err == nil {
			s.trace = trace
			return nil
		}
	}
	s.trace, err = s.Periodic(period, circuit.TransientOptions{}) // the start was no good
	return err
}

// lightly is the capacitance to use for the reservoirs of the released drive.
// Into a meter a reservoir discharges with a time constant of hours, while
// its voltage is the one at which the diodes carry the meter's mean current,
// whatever the capacitance, as long as there is no ripple to speak of. So no
// more is taken than leaves the ripple at a part `still` of the voltage:
//
//	C = min(C, I / (f·still·V))
func (n *network) lightly() float64 {
	d := n.d
	if d.Rectifier == None {
		return d.Reservoir
	}
	volts := d.Winding.Volts * Share(d.Rectifier, d.Winding.Grounding)
	load := volts/Meter + d.Line.Leakage
	if d.Hookup.Buffer() != NoBuffer {
		load += d.Line.Leakage * orElse(d.Buffer.Transistor, Switching).BF // at worst all of it goes into the base
	}
	if d.Hookup == LineShortsBase {
		load += volts / max(d.Buffer.Base, wire) // the shorted base resistor stays across the supply
	}
	return min(d.Reservoir, load/(d.Winding.Hertz*still*volts))
}

// atRest adds the line as it is while the coils are released.
func (n *network) atRest(takes bool) {
	l := n.d.Line
	raised := n.d.Hookup == LinePullsBase && l.Source
	low := n.d.Hookup == LineShortsBase || l.IdleLow && (n.d.Hookup == LineFeedsBase || n.d.Hookup == LineFeedsCoil)
	switch {
	case !takes:
		n.Current(n.name("line"), n.line, circuit.Chassis, circuit.DC(0))
	case raised:
		n.behind("line", n.line, l.Level, 0)
	case low:
		n.behind("line", n.line, l.Drop, 0)
	default:
		n.leak()
	}
}

// made adds the line as it is while the coils are operated.
func (n *network) made() {
	l := n.d.Line
	switch n.d.Hookup {
	case CoilOnLine, LinePullsBase:
		n.behind("line", n.line, l.Drop, 0)
	case LineFeedsBase:
		n.behind("line", n.line, l.Level, 0)
	case LineFeedsCoil:
		n.behind("line", n.line, l.Level, n.d.Rail.Ohms)
	case LineShortsBase:
		n.leak()
	}
}

// leak adds the leakage of the open line. To chassis it is that of a transistor
// which is almost off: its current whatever the voltage, down to a tenth of a
// volt, and it cannot take the line below chassis. A source that is off leaks
// from its own supply.
func (n *network) leak() {
	leakage := n.d.Line.Leakage
	switch {
	case leakage <= 0:
	case n.d.Line.Source:
		n.Current(n.name("line"), circuit.Chassis, n.line, circuit.DC(leakage))
	default:
		base := n.node("leak")
		n.Current(n.name("leak.base"), circuit.Chassis, base, circuit.DC(leakage/Switching.BF))
		n.Transistor(n.name("leak"), n.line, base, circuit.Chassis, Switching)
	}
}

// key builds the network of a drive with its coils operated, coils of so many
// ohms each.
func (s *state) key(c *circuit.Circuit, d Drive, ohms []float64) {
	s.network, s.coils, s.ohms = newNetwork(c, d, ""), nil, ohms
	s.rectify(0, func(number int, plus, minus circuit.Node) {
		s.Capacitor(s.name("reservoir%d", number), plus, minus, d.Reservoir)
	})
	s.transistor()
	s.made()
	for i, c := range d.Coils {
		s.coils = append(s.coils, s.coil(i, ohms[i], c.Henries))
		s.hold(i, s.coils[i])
		if d.Hookup.Buffer() != NoBuffer {
			// Where deep ripple lets go of the transistor, and on the way there.
			s.clamp(i, s.coils[i])
			s.iron(i, s.coils[i])
		}
	}
}

// operated solves the drive with its coils operated, each at its temperature.
func (d Drive) operated(released *idle, near *steady, used *used) (state, error) {
	idle := d.Line.Level
	if d.Hookup != LineFeedsCoil {
		idle = released.supply
	}
	first := idle
	switch {
	case d.Rectifier == None:
	case near != nil:
		first *= near.sag
	default:
		first *= firstGuess
	}
	var ohms []float64
	for _, c := range d.Coils {
		ohms = append(ohms, c.warm(d.Warmth, first, c.Dropper))
	}
	s := state{from: near.from(d, func(n *steady) *circuit.State { return n.operated })}
	used.fill(&used.operated, func(c *circuit.Circuit) { s.key(c, d, ohms) })
	for range rounds {
		if err := s.run(); err != nil {
			return s, err
		}
		if s.rewarm(idle) {
			return s, nil
		}
		for i, ohms := range s.ohms {
			s.SetValue(s.name("coil%d", i+1), ohms)
		}
	}
	return s, errors.New("the temperature of a coil does not settle")
}

// firstGuess is the operated over the released supply in the middle of the
// table of small rectifiers: 15.5 V of 17.4 V for a doubler on a 12 V coil.
const firstGuess = 0.9

// rewarm takes each coil to the temperature that its voltage gives it, and
// reports whether it stood there already.
//
// A coil of resistance R sees what is in front of it as a voltage E behind a
// resistance r, V = E·R/(R + r). At first r is the dropper and the slope of the
// supply, taken as half of its chord from idle; later it is what the last two
// solutions show, r = −ΔV/ΔI: a transistor that does not saturate makes it large.
func (s *state) rewarm(idle float64) (settles bool) {
	sag, volts := idle-s.supply(), make([]float64, len(s.coils))
	var amps float64
	for i, t := range s.coils {
		volts[i] = s.mean(s.volts(t.High, t.Low))
		amps += volts[i] / s.ohms[i]
	}
	settles = true
	next := make([]float64, len(s.coils))
	for i, c := range s.d.Coils {
		inner := c.Dropper
		if sag > 0 && amps > 0 {
			inner += sag / amps / 2
		}
		now := working{volts[i], volts[i] / s.ohms[i]}
		if s.before != nil {
			if r := (now.volts - s.before[i].volts) / (s.before[i].amps - now.amps); r > inner && !math.IsInf(r, 1) {
				inner = r
			}
		}
		next[i] = c.warm(s.d.Warmth, now.volts+now.amps*inner, inner)
		if math.Abs(next[i]-s.ohms[i]) > settled*s.ohms[i] {
			settles = false
		}
	}
	if !settles {
		s.before = make([]working, len(s.coils))
		for i := range volts {
			s.before[i] = working{volts[i], volts[i] / s.ohms[i]}
		}
		s.ohms = next
	}
	return settles
}

// working is the point at which a coil works, means.
type working struct{ volts, amps float64 }

// supply is the mean voltage of reservoir or rail.
func (s *state) supply() float64 { return s.mean(s.volts(s.plus, circuit.Chassis)) }

// result reads everything off the two solutions.
func (d Drive) result(released *idle, operated state, used *used) (Result, error) {
	var r Result
	plus := operated.volts(operated.plus, circuit.Chassis)
	r.Supply = SupplyResult{
		Released: released.supply,
		Operated: operated.mean(plus),
		Ripple:   slices.Max(plus) - slices.Min(plus),
	}
	for i := range d.Coils {
		r.Coils = append(r.Coils, d.coilResult(i, released.coils[i], operated))
	}
	if d.Rectifier != None {
		r.Winding = operated.winding()
		r.Diode = DiodeResult{
			Peak:    operated.peak(),
			Reverse: max(released.reverse, operated.reverse()),
		}
	}
	kick, clamped, err := d.kick(r, used)
	if err != nil {
		return r, err
	}
	if r.Inrush, err = d.inrush(r); err != nil {
		return r, err
	}
	r.Line = LineResult{Open: released.open, Clamped: true}
	if d.Hookup == LineShortsBase {
		r.Line.Open, r.Line.Closed = operated.mean(operated.volts(operated.line, circuit.Chassis)), released.closed
	} else {
		r.Line.Closed = math.Abs(operated.mean(operated.amps("line")))
	}
	r.Line.Kick = r.Line.Open
	if d.Hookup.Buffer() == NoBuffer {
		r.Line.Kick, r.Line.Clamped = kick, clamped
		return r, nil
	}
	base := math.Abs(operated.mean(operated.amps("buffer.base")))
	r.Buffer = BufferResult{
		Base:    base,
		Gain:    d.forced(math.Abs(operated.mean(operated.amps("buffer"))), base, r),
		Off:     released.off,
		Volts:   kick,
		Clamped: clamped,
	}
	return r, nil
}

// forced is the gain that the coils ask of the transistor: collector over base
// current. Where the base gets so little that the coils do not carry half of what
// they would, both currents are leakage and their ratio says nothing: then all of
// the transistor's own gain is asked for, at least.
func (d Drive) forced(collector, base float64, r Result) float64 {
	var wanted float64
	for i, c := range d.Coils {
		wanted += r.Supply.Operated / (r.Coils[i].Ohms + c.Dropper)
	}
	gain := collector / base
	if collector < wanted/2 {
		gain = max(gain, orElse(d.Buffer.Transistor, Switching).BF)
	}
	return gain
}

// HoldLoop is what is in the way of a hold capacitor's first current besides its
// resistor, ohm: the capacitor's own, its leads, what closes on it; at its least
// (common practice, no source).
const HoldLoop = 0.1

// inrush is the current at the instant at which line or transistor closes: the
// hold capacitors are empty and short, the coils' inductance lets nothing through
// yet, and a reservoir holds the supply where it stood. What the transistor can
// carry of it is the caller's business.
func (d Drive) inrush(r Result) (amps float64, err error) {
	n := &network{Circuit: circuit.New(), d: d}
	top, held := n.node("top"), false
	for i, c := range d.Coils {
		if c.Hold.Farads <= 0 {
			continue
		}
		held = true
		high := n.node(fmt.Sprintf("high%d", i+1))
		n.series(fmt.Sprintf("dropper%d", i+1), top, high, c.Dropper)
		n.series(fmt.Sprintf("hold%d", i+1), high, circuit.Chassis, c.Hold.Ohms+HoldLoop)
	}
	if !held {
		return 0, nil
	}
	volts, ohms := r.Supply.Released, 0.0
	if d.Hookup == LineFeedsCoil {
		volts = d.Line.Level
	}
	if d.Hookup == CoilOnLine {
		volts -= d.Line.Drop
	}
	if d.Reservoir == 0 {
		ohms = d.Rail.Ohms
	}
	n.behind("supply", top, volts, ohms)
	at, err := n.OperatingPoint(circuit.Options{})
	if err != nil {
		return 0, fmt.Errorf("hold capacitors: %w", err)
	}
	return math.Abs(at.Amps("supply")), nil
}

func (d Drive) coilResult(i int, released float64, operated state) CoilResult {
	c, t := d.Coils[i], operated.coils[i]
	volts := operated.volts(t.High, t.Low)
	amps := operated.amps(fmt.Sprintf("coil%d", i+1))
	r := CoilResult{
		Volts:     operated.mean(volts),
		Least:     slices.Min(volts),
		Amps:      operated.mean(amps),
		Ohms:      operated.ohms[i],
		Permitted: c.permitted(),
	}
	current := operated.rms(amps)
	r.Watts = current * current * r.Ohms
	r.Celsius = Celsius(r.Ohms / c.Ohms)
	r.Operate = r.Least / (c.Operate * c.Rated * r.Ohms / c.Ohms)
	r.Ceiling = r.Permitted / r.Volts
	if c.Dropper > 0 {
		drop := operated.rms(operated.amps(fmt.Sprintf("dropper%d", i+1)))
		r.Dropper = drop * drop * c.Dropper
	}
	r.Residual = math.Abs(released)
	if r.Residual > nothing*c.Rated {
		r.release = min(c.Release*c.Rated/r.Residual, mostRelease)
	}
	return r
}

// nothing is the part of a coil's rated voltage below which there is no
// voltage to speak of: what a transistor that is off lets through.
const nothing = 1e-6

// mostRelease is the release margin at which counting ends: what is left on the coil
// is microvolts then, and how many says nothing.
const mostRelease = 1e4

// winding finds the load of the winding. The heaters are a resistance across
// the whole of it; what the drive takes lowers the voltage they see:
//
//	ih = (drawn/V)·(e − i·R),   load = rms(ih + i)/rated
//
// over the whole winding; with a tap e is twice the voltage of one half, i·R
// the drop in the halves that carry current.
func (s *state) winding() WindingResult {
	w := s.d.Winding
	share := Share(s.d.Rectifier, w.Grounding)
	own := s.amps("winding.ohms")
	e := s.amps("winding.ohms")
	for i, v := range s.volts(s.hot[0], s.cold) {
		e[i] = v/share - own[i]*w.Ohms*share
	}
	if len(s.hot) > 1 {
		for i, amps := range s.amps("other.ohms") {
			e[i] += amps * w.Ohms * share
		}
	}
	r := WindingResult{Current: s.rms(own)}
	for i := range e {
		e[i] = own[i] + e[i]*w.Drawn/w.Volts
	}
	r.Total = s.rms(e)
	if w.Rated > 0 {
		r.Load = r.Total / w.Rated
	}
	return r
}

// peak is the highest current of any diode.
func (s *state) peak() (amps float64) {
	for _, j := range s.diodes {
		amps = max(amps, slices.Max(s.trace.Amps(j.name)))
	}
	return amps
}

// reverse is the highest voltage across any diode against its arrow.
func (s *state) reverse() (volts float64) {
	for _, j := range s.diodes {
		volts = max(volts, slices.Max(s.volts(j.cathode, j.anode)))
	}
	return volts
}

// kick is the highest voltage across line or transistor at let-go: the supply
// as it stands released, to which it has hardly fallen when the line is keyed
// for a moment, and on top of it what the clamp needs to carry the coil's
// current. It is not clamped where any coil is not.
func (d Drive) kick(r Result, used *used) (volts float64, clamped bool, err error) {
	for i, c := range d.Coils {
		if c.Clamp.Kind == NoClamp {
			return 0, false, nil
		}
		var low circuit.Node
		n := used.fill(&used.clamp, func(c *circuit.Circuit) {
			n := &network{Circuit: c, d: d}
			low = n.node("low")
			n.clamp(i, Terminals{High: circuit.Chassis, Low: low})
			n.Current("coil", circuit.Chassis, low, circuit.DC(r.Coils[i].Amps))
		})
		at, err := n.OperatingPoint(circuit.Options{})
		if err != nil {
			return 0, false, fmt.Errorf("clamp: %w", err)
		}
		volts = max(volts, at.Volts(low))
		used.clamp.Put(n)
	}
	supply := r.Supply.Released
	if d.Hookup == LineFeedsCoil {
		supply = d.Line.Level
	}
	return supply + volts, true, nil
}
