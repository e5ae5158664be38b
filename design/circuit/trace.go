package circuit

import (
	"math"
	"slices"
)

// Happening is what an event was.
type Happening string

// What can happen in a transient.
const (
	StartsOperating Happening = "starts operating" // armature: current reached Operate
	Operated        Happening = "operated"         // armature arrived
	StartsReleasing Happening = "starts releasing" // armature: current fell to Release
	Released        Happening = "released"         // armature back at rest
	Closes          Happening = "closes"           // contact
	Opens           Happening = "opens"            // contact
)

// Event is something that an armature or a switch did.
type Event struct {
	Time    float64 // s
	Element string  // name of the armature or switch
	What    Happening
}

// Trace is a course in time: instants in ascending order, not evenly spaced,
// with all voltages and currents at each.
type Trace struct {
	circuit *Circuit
	lay     layout
	times   []float64
	data    []float64 // len(times) records
	events  []Event
	end     State
}

// over is an empty trace of the solver's circuit, with room for so many instants,
// in the store of another one where there is one.
func (s *solver) over(used *Trace, room int) *Trace {
	t := used
	if t == nil {
		t = &Trace{}
	}
	t.circuit, t.lay, t.events, t.end = s.c, s.lay, t.events[:0], State{}
	t.times = slices.Grow(t.times[:0], room)
	t.data = slices.Grow(t.data[:0], room*s.lay.width)
	return t
}

// Times returns the instants (s). The caller must not change it.
func (t *Trace) Times() []float64 { return t.times }

// Volts returns a node's voltage at each of [Trace.Times].
func (t *Trace) Volts(n Node) []float64 {
	return t.column(int(n))
}

// Amps returns the current of an element or terminal, named as for
// [Point.Amps], at each of [Trace.Times].
func (t *Trace) Amps(element string) []float64 {
	return t.column(t.lay.slot(element))
}

func (t *Trace) column(slot int) []float64 {
	out := make([]float64, len(t.times))
	for i := range out {
		out[i] = t.data[i*t.lay.width+slot]
	}
	return out
}

// Events returns what armatures and switches did, in order of time.
func (t *Trace) Events() []Event { return t.events }

// Event returns the time of the first such event at or after a time, and
// whether there is one.
func (t *Trace) Event(element string, what Happening, after float64) (float64, bool) {
	for _, e := range t.events {
		if e.Element == element && e.What == what && e.Time >= after {
			return e.Time, true
		}
	}
	return 0, false
}

// End returns the state at the last instant. That of a periodic solution is
// the state at time 0, so that a transient may start from it.
func (t *Trace) End() *State { s := t.end.clone(); return &s }

// Mean returns the time average of values that stand at [Trace.Times]:
// (1/T)·∫v dt by the trapezoidal rule.
func (t *Trace) Mean(values []float64) float64 {
	return t.integrate(values, func(a, b float64) float64 { return (a + b) / 2 })
}

// RMS returns the effective value of values that stand at [Trace.Times],
// exact for straight lines between them: √((1/T)·∫v² dt).
func (t *Trace) RMS(values []float64) float64 {
	return math.Sqrt(t.integrate(values, func(a, b float64) float64 { return (a*a + a*b + b*b) / 3 }))
}

func (t *Trace) integrate(values []float64, piece func(a, b float64) float64) float64 {
	if len(values) != len(t.times) {
		panic("circuit: values do not stand at the times of this trace")
	}
	last := len(values) - 1
	if last == 0 {
		return piece(values[0], values[0])
	}
	var sum float64
	for i := range last {
		sum += (t.times[i+1] - t.times[i]) * piece(values[i], values[i+1])
	}
	return sum / (t.times[last] - t.times[0])
}

// Least returns the smallest of the values.
func (t *Trace) Least(values []float64) float64 {
	least := values[0]
	for _, v := range values {
		least = min(least, v)
	}
	return least
}

// Most returns the largest of the values.
func (t *Trace) Most(values []float64) float64 {
	most := values[0]
	for _, v := range values {
		most = max(most, v)
	}
	return most
}

// At returns the value at a time (s), by straight lines between the instants;
// before the first and after the last instant the value there.
func (t *Trace) At(values []float64, time float64) float64 {
	i := t.after(time)
	if i == 0 {
		return values[0]
	}
	if i == len(t.times) {
		return values[i-1]
	}
	f := (time - t.times[i-1]) / (t.times[i] - t.times[i-1])
	return values[i-1] + f*(values[i]-values[i-1])
}

// Crossing returns the first time at or after a time at which the values
// pass a level, upwards when rising, and whether there is one.
func (t *Trace) Crossing(values []float64, level float64, rising bool, after float64) (float64, bool) {
	sign := 1.0
	if !rising {
		sign = -1
	}
	for i := 1; i < len(values); i++ {
		if t.times[i] < after {
			continue
		}
		a, b := sign*(values[i-1]-level), sign*(values[i]-level)
		if a < 0 && b >= 0 {
			at := t.times[i-1] + (t.times[i]-t.times[i-1])*a/(a-b)
			if at >= after {
				return at, true
			}
		}
	}
	return 0, false
}

// Window returns the part of the trace between two times (s) within it. Its
// first and last instant are those times, by straight lines where they fall
// between two instants, so that a mean over it is the mean over that span.
func (t *Trace) Window(from, to float64) *Trace {
	w := &Trace{circuit: t.circuit, lay: t.lay, end: t.end}
	from, to = max(from, t.times[0]), min(to, t.times[len(t.times)-1])
	w.copyAt(t, from)
	for i := t.after(from); i < len(t.times) && t.times[i] < to; i++ {
		w.times = append(w.times, t.times[i])
		w.data = append(w.data, t.data[i*t.lay.width:(i+1)*t.lay.width]...)
	}
	if to > from {
		w.copyAt(t, to)
	}
	for _, e := range t.events {
		if e.Time >= from && e.Time <= to {
			w.events = append(w.events, e)
		}
	}
	return w
}

// copyAt appends the record of another trace at a time within it.
func (t *Trace) copyAt(from *Trace, time float64) {
	width := from.lay.width
	i := min(max(from.after(time), 1), len(from.times)-1)
	f := 1.0
	if i > 0 && from.times[i] > from.times[i-1] {
		f = (time - from.times[i-1]) / (from.times[i] - from.times[i-1])
	}
	t.times = append(t.times, time)
	for k := range width {
		b := from.data[i*width+k]
		a := b
		if i > 0 {
			a = from.data[(i-1)*width+k]
		}
		t.data = append(t.data, a+f*(b-a))
	}
}

// after returns the index of the first instant later than a time.
func (t *Trace) after(time float64) int {
	low, high := 0, len(t.times)
	for low < high {
		mid := (low + high) / 2
		if t.times[mid] <= time {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return low
}
