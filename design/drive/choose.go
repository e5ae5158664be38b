package drive

import (
	"errors"
	"math"
	"sort"

	"mutewright/design/beside"
)

// Enough is the margin from which a drive needs no help: under 1.1 it is a
// caution, under 1 a failure.
const Enough = 1.1

// A Dropping is the outcome of choosing a dropper.
type Dropping struct {
	Ohms    float64 // 0: none is needed, or none of the values serves better
	Operate float64 // low end of the operate margin over all corners and coils
	Ceiling float64 // low end of the ceiling margin
}

// Serves reports whether both margins hold.
func (d Dropping) Serves() bool { return d.smaller() >= 1 }

func (d Dropping) smaller() float64 { return min(d.Operate, d.Ceiling) }

// ChooseDropper picks the resistor in series with a coil. corners gives the
// corners of the drive with that many ohms, at its nominal value, in series;
// values are the preferred values to choose from, ascending. Without a dropper
// when the low end of the ceiling margin is then [Enough]; else the value with
// the highest smaller of the two low ends.
//
// With rising resistance the operate margin falls and the ceiling margin
// rises, so that the best value lies beside the point where they cross, and
// bisection finds it.
func ChooseDropper(corners func(ohms float64) []Drive, values []float64) (Dropping, error) {
	var last Result
	return ChooseDropping(func(ohms float64) (Dropping, error) { return dropping(corners, ohms, &last) }, values)
}

// ChooseDropping is [ChooseDropper] with the two low ends found by the caller.
func ChooseDropping(with func(ohms float64) (Dropping, error), values []float64) (Dropping, error) {
	best, err := with(0)
	if err != nil || best.Ceiling >= Enough {
		return best, err
	}
	var failed error
	try := func(i int) (tried Dropping) {
		tried, failed = with(values[i])
		if tried.smaller() > best.smaller() {
			best = tried
		}
		return tried
	}
	for low, high := 0, len(values); low < high && failed == nil; {
		middle := (low + high) / 2
		if tried := try(middle); tried.Ceiling >= tried.Operate {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return best, failed
}

func dropping(corners func(ohms float64) []Drive, ohms float64, last *Result) (Dropping, error) {
	with := Dropping{Ohms: ohms, Operate: math.Inf(1), Ceiling: math.Inf(1)}
	err := each(corners(ohms), last, func(r Result) {
		for _, c := range r.Coils {
			with.Operate, with.Ceiling = min(with.Operate, c.Operate), min(with.Ceiling, c.Ceiling)
		}
	})
	return with, err
}

// each solves the corners, of which there must be one, and reads the results in
// their order. The first starts near what was solved last, if anything was, the
// others near the first, side by side.
func each(corners []Drive, last *Result, read func(Result)) error {
	if len(corners) == 0 {
		return errors.New("a choice needs a corner to be judged in")
	}
	first, err := last.Near(corners[0])
	if err != nil {
		return err
	}
	*last = first
	read(first)
	rest := corners[1:]
	results := make([]Result, len(rest))
	if err := beside.Each(len(rest), func(i int) (err error) {
		results[i], err = first.Near(rest[i])
		return err
	}); err != nil {
		return err
	}
	for _, r := range results {
		read(r)
	}
	return nil
}

// A Fuse is one row of a list of fuses.
type Fuse struct {
	Amps float64 // rated current
	Cold float64 // ohm, cold resistance
}

// A Fusing is the outcome of choosing the fuse in the lead from winding or rail.
type Fusing struct {
	Fuse    Fuse
	Current float64 // A rms of the drive with that fuse, the highest of the corners
	Fits    bool    // Fuse carries 2 × Current and protects the wire
}

// FuseFactor is the fuse's rating over the current in its lead: the pulses of a
// rectifier heat it, and it must live through switching on.
const FuseFactor = 2

// ChooseFuse picks the smallest fuse of at least twice the current in its lead,
// taken with the fuse's own cold resistance, that still protects the wire.
// corners gives the corners of the drive with that cold resistance; fuses
// ascend; wire is the current in A that the lead may carry.
func ChooseFuse(corners func(cold float64) []Drive, fuses []Fuse, wire float64) (Fusing, error) {
	var choice Fusing
	var last Result
	for _, fuse := range fuses {
		if fuse.Amps > wire {
			break
		}
		choice = Fusing{Fuse: fuse}
		err := each(corners(fuse.Cold), &last, func(r Result) {
			choice.Current = max(choice.Current, r.Lead())
		})
		choice.Fits = err == nil && fuse.Amps >= FuseFactor*choice.Current
		if choice.Fits || err != nil {
			return choice, err
		}
	}
	return choice, nil
}

// MostRipple is the part of the operated voltage, peak to peak, that a
// well-chosen reservoir leaves at most (common practice, no source).
const MostRipple = 0.1

// A Reserving is the outcome of choosing the reservoirs.
type Reserving struct {
	Farads float64 // each
	Ripple float64 // part of the operated voltage, peak to peak, the highest of the corners
}

// Fits reports whether the ripple is small enough.
func (r Reserving) Fits() bool { return r.Ripple <= MostRipple }

// ChooseReservoir picks the smallest of the values, ascending, that leaves no
// more than [MostRipple] in any corner, or else the largest.
func ChooseReservoir(corners func(farads float64) []Drive, values []float64) (Reserving, error) {
	var choice Reserving
	var last Result
	for _, farads := range values {
		choice = Reserving{Farads: farads}
		err := each(corners(farads), &last, func(r Result) {
			choice.Ripple = max(choice.Ripple, r.Supply.Ripple/r.Supply.Operated)
		})
		if err != nil || choice.Fits() {
			return choice, err
		}
	}
	return choice, nil
}

// ForcedGain is the collector over base current at which a switching
// transistor is well in saturation.
const ForcedGain = 20.0

// MostBaseEmitter is the highest base–emitter resistor worth fitting, ohm:
// above it the transistor's own leakage at temperature decides (common
// practice, no source).
const MostBaseEmitter = 10e3

// A Basing is the outcome of choosing a buffer's resistors.
type Basing struct {
	Base, BaseEmitter float64 // ohm
	Gain              float64 // forced gain, the highest of the corners
	Off               float64 // V from base to emitter while released, the highest of the corners
}

// Serves reports whether the transistor saturates and lets go.
func (b Basing) Serves() bool {
	return b.Gain > 0 && within(b.Gain, ForcedGain) && b.LetsGo()
}

// LetsGo reports whether the released base stays within [MostOff].
func (b Basing) LetsGo() bool { return within(b.Off, MostOff) }

// within compares with a limit, which a value may meet to a ten-thousandth.
func within(value, limit float64) bool { return value <= limit*(1+1e-4) }

// ChooseBuffer picks base and base–emitter resistor from values, ascending: of
// the second the largest up to [MostBaseEmitter] at which the released base
// stays within [MostOff], of the first the largest for [ForcedGain] in every
// corner. corners gives the corners of the drive with those two. Where no
// base–emitter resistor lets the transistor go, as on a line that stands above
// [MostOff] itself, the largest comes back: a smaller one would only take the
// base's current. Where no base resistor is small enough, the smallest does. The
// outcome does not serve then.
func ChooseBuffer(corners func(base, baseEmitter float64) []Drive, values []float64) (Basing, error) {
	if len(values) == 0 {
		return Basing{}, errors.New("a choice needs values to choose from")
	}
	var failed error
	var last Result
	with := func(base, baseEmitter float64) Basing {
		b := Basing{Base: base, BaseEmitter: baseEmitter}
		err := each(corners(base, baseEmitter), &last, func(r Result) {
			b.Gain, b.Off = max(b.Gain, r.Buffer.Gain), max(b.Off, r.Buffer.Off)
		})
		failed = errors.Join(failed, err)
		return b
	}
	// What leaks meets the base–emitter resistor alone, so that any base resistor will do here.
	low := values[:max(1, sort.SearchFloat64s(values, MostBaseEmitter*(1+1e-9)))]
	baseEmitter := largest(low, func(ohms float64) bool { return within(with(values[0], ohms).Off, MostOff) })
	return climb(values, func(base float64) Basing { return with(base, baseEmitter) }), failed
}

// ChooseBase is [ChooseBuffer] with the base–emitter resistor as it stands in the
// corners.
func ChooseBase(corners func(base float64) []Drive, values []float64) (Basing, error) {
	var failed error
	var last Result
	return climb(values, func(base float64) Basing {
		b := Basing{Base: base}
		failed = errors.Join(failed, each(corners(base), &last, func(r Result) {
			b.Gain, b.Off = max(b.Gain, r.Buffer.Gain), max(b.Off, r.Buffer.Off)
		}))
		return b
	}), failed
}

// climb finds the largest base resistor that still gives [ForcedGain], from the
// smallest up: the gain is nearly in proportion to the resistor. So no transistor
// is solved far out of saturation, where a coil behind it is a stiff problem that
// takes the solver a thousand times as long.
func climb(values []float64, with func(base float64) Basing) Basing {
	n, high := 0, len(values) // the last that serves, the first that does not
	best := with(values[n])
	if !within(best.Gain, ForcedGain) {
		return best
	}
	for n+1 < high {
		guess := sort.SearchFloat64s(values, values[n]*ForcedGain/max(best.Gain, 1e-3)*(1+1e-9)) - 1
		m := min(max(guess, n+1), high-1)
		tried := with(values[m])
		if !within(tried.Gain, ForcedGain) {
			high = m
			continue
		}
		n, best = m, tried
	}
	return best
}

// largest is the largest of the values, ascending, that serves, where every
// smaller one would serve too; the largest of all where none does.
func largest(values []float64, serves func(float64) bool) float64 {
	n := sort.Search(len(values), func(i int) bool { return !serves(values[i]) })
	if n == 0 {
		n = len(values)
	}
	return values[n-1]
}
