package circuit

import (
	"fmt"
	"math"
	"math/cmplx"
)

// Shape is the kind of course a source has.
type Shape uint8

// The shapes of a source.
const (
	ShapeDC Shape = iota
	ShapeSine
	ShapeClipped
	ShapePulse
)

// Source is the course of a voltage (V) or current (A) in time, and its
// small-signal phasor for [Circuit.AC]. Make one with [DC], [Sine],
// [ClippedSine] or [Pulse].
type Source struct {
	shape                            Shape
	offset                           float64 // V or A; the DC value; the low level of a pulse
	amplitude                        float64 // peak of the unclipped sine; the high level of a pulse
	peak                             float64 // level at which the sine is clipped
	hz, phase                        float64 // Hz, degrees
	crest                            float64 // as given
	delay, rise, fall, width, period float64 // pulse, s
	ac                               complex128
}

// DC is a constant.
func DC(value float64) Source { return Source{shape: ShapeDC, offset: value} }

// Sine is offset + amplitude·sin(2π·hz·t + phase), phase in degrees.
func Sine(offset, amplitude, hz, phase float64) Source {
	return Source{shape: ShapeSine, offset: offset, amplitude: amplitude, hz: hz, phase: phase}
}

// ClippedSine is a flat-topped sine as the mains deliver it: a sine cut off
// at ±crest·rms and so much larger before the cut that its effective value
// is still rms. The crest factor lies between 1 (square) and √2 (sine);
// phase in degrees.
//
// With k = cut level / amplitude and a = asin k, the mean square of the cut
// sine over amplitude² is (2/π)·[a/2 − sin(2a)/4 + k²·(π/2 − a)], and crest²
// is k² over that; k follows by bisection. Below k = 0.001, where the flank
// lasts 3 µs at 60 Hz, crest is 1 for every purpose and k is held.
func ClippedSine(rms, crest, hz, phase float64) Source {
	s := Source{shape: ShapeClipped, hz: hz, phase: phase, crest: crest, peak: crest * rms}
	if !(crest >= 1-1e-9) || crest > math.Sqrt2*(1+1e-3) {
		s.amplitude = math.NaN() // refused by check
		return s
	}
	if crest >= math.Sqrt2*(1-1e-9) { // includes 1.414 rounded up
		s.peak = math.Sqrt2 * rms
		s.amplitude = s.peak
		return s
	}
	low, high := 1e-3, 1.0
	for range 60 {
		k := (low + high) / 2
		a := math.Asin(k)
		square := (2 / math.Pi) * (a/2 - math.Sin(2*a)/4 + k*k*(math.Pi/2-a))
		if k/math.Sqrt(square) < crest {
			low = k
		} else {
			high = k
		}
	}
	s.amplitude = s.peak / ((low + high) / 2)
	return s
}

// Pulse stands at low, after delay rises to high within rise, stays for
// width, falls within fall, and repeats every period (0: once). Times in s;
// a rise or fall of zero is a jump.
func Pulse(low, high, delay, rise, fall, width, period float64) Source {
	return Source{shape: ShapePulse, offset: low, amplitude: high, delay: delay, rise: rise, fall: fall, width: width, period: period}
}

// WithAC returns the source with a small-signal phasor of that magnitude (V
// or A) and phase (degrees).
func (s Source) WithAC(magnitude, phase float64) Source {
	s.ac = cmplx.Rect(magnitude, phase*math.Pi/180)
	return s
}

// Phasor returns the small-signal phasor.
func (s Source) Phasor() complex128 { return s.ac }

// At returns the value at time t (s); at a jump the value after it.
func (s Source) At(t float64) float64 {
	switch s.shape {
	case ShapeSine:
		return s.offset + s.amplitude*math.Sin(2*math.Pi*s.hz*t+s.phase*math.Pi/180)
	case ShapeClipped:
		v := s.amplitude * math.Sin(2*math.Pi*s.hz*t+s.phase*math.Pi/180)
		return max(-s.peak, min(s.peak, v))
	case ShapePulse:
		return s.pulseAt(t)
	}
	return s.offset
}

func (s Source) pulseAt(t float64) float64 {
	t -= s.delay
	if t < 0 {
		return s.offset
	}
	if s.period > 0 {
		t -= s.period * math.Floor(t/s.period)
	}
	switch {
	case t < s.rise:
		return s.offset + (s.amplitude-s.offset)*t/s.rise
	case t < s.rise+s.width:
		return s.amplitude
	case t < s.rise+s.width+s.fall:
		return s.amplitude + (s.offset-s.amplitude)*(t-s.rise-s.width)/s.fall
	}
	return s.offset
}

func (s Source) check() error {
	for _, v := range [...]float64{s.offset, s.amplitude, s.peak, s.hz, s.phase, s.delay, s.rise, s.fall, s.width, s.period, real(s.ac), imag(s.ac)} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			if s.shape == ShapeClipped {
				return fmt.Errorf("crest factor must lie between 1 and 1.414, not %g", s.crest)
			}
			return fmt.Errorf("source value is not finite")
		}
	}
	switch s.shape {
	case ShapeSine, ShapeClipped:
		return positive("frequency", s.hz)
	case ShapePulse:
		for _, v := range [...]float64{s.delay, s.rise, s.fall, s.width, s.period} {
			if err := notNegative("pulse time", v); err != nil {
				return err
			}
		}
		if s.period > 0 && s.period < s.rise+s.width+s.fall {
			return fmt.Errorf("pulse period %g s is shorter than the pulse", s.period)
		}
	}
	return nil
}

// repeats returns the period (s) of the source, 0 for none.
func (s Source) repeats() float64 {
	switch s.shape {
	case ShapeSine, ShapeClipped:
		return 1 / s.hz
	case ShapePulse:
		return s.period
	}
	return 0
}

// next returns the time of the first corner later than t, or never.
func (s Source) next(t float64) float64 {
	switch s.shape {
	case ShapeClipped:
		k := s.peak / s.amplitude
		if k > 1-1e-12 {
			return never
		}
		a := math.Asin(k) / (2 * math.Pi)
		return s.nextOf(t, -s.phase/360/s.hz, 1/s.hz, a/s.hz, (0.5-a)/s.hz, (0.5+a)/s.hz, (1-a)/s.hz)
	case ShapePulse:
		return s.nextOf(t, s.delay, s.period, 0, s.rise, s.rise+s.width, s.rise+s.width+s.fall)
	}
	return never
}

// nextOf returns the first of the ascending offsets, repeated every period
// from the origin, that lies later than t.
func (s Source) nextOf(t, origin, period float64, offsets ...float64) float64 {
	if period == 0 {
		for _, o := range offsets {
			if origin+o > t {
				return origin + o
			}
		}
		return never
	}
	cycle := math.Floor((t - origin) / period)
	if s.shape == ShapePulse {
		cycle = max(cycle, 0)
	}
	for {
		for _, o := range offsets {
			if at := origin + cycle*period + o; at > t {
				return at
			}
		}
		cycle++
	}
}

// sources returns all sources of the circuit.
func (c *Circuit) sources() []Source {
	var all []Source
	for i := range c.voltages {
		all = append(all, c.voltages[i].source)
	}
	for i := range c.currents {
		all = append(all, c.currents[i].source)
	}
	return all
}

// Form is a source taken apart, for those who write it down elsewhere.
type Form struct {
	Shape                            Shape
	Offset                           float64 // the DC value, or the low level of a pulse
	Amplitude                        float64 // peak of the (unclipped) sine, or the high level of a pulse
	Peak                             float64 // level at which a clipped sine is cut
	Hz, Phase                        float64 // phase in degrees
	Delay, Rise, Fall, Width, Period float64 // s
}

// Form takes the source apart.
func (s Source) Form() Form {
	return Form{s.shape, s.offset, s.amplitude, s.peak, s.hz, s.phase, s.delay, s.rise, s.fall, s.width, s.period}
}

// CutSine is a sine of that amplitude and frequency (Hz), phase in degrees,
// cut off at ±peak: [ClippedSine] by its levels.
func CutSine(amplitude, peak, hz, phase float64) Source {
	return Source{shape: ShapeClipped, amplitude: amplitude, peak: min(peak, amplitude), hz: hz, phase: phase, crest: peak / amplitude}
}

// AC returns magnitude and phase (degrees) of the small-signal phasor.
func (s Source) AC() (magnitude, phase float64) {
	r, a := cmplx.Polar(s.ac)
	return r, a * 180 / math.Pi
}
