package catalog

import "math"

// Series is a series of preferred values of IEC 60063: the whole numbers of one
// decade, rising, from 10 up to below 100.
type Series []float64

// The series of IEC 60063. E6 and E12 are every fourth and second of E24.
var (
	E6  = Series{10, 15, 22, 33, 47, 68}
	E12 = Series{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82}
	E24 = Series{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30,
		33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}
)

// sameValue is how far a value may be from a preferred one, as a ratio, and
// still be it: far more than rounding, far less than a step.
const sameValue = 1e-6

// at returns the n-th value of the series counted from 1.
func (s Series) at(n int) float64 {
	decade := n / len(s)
	i := n % len(s)
	if i < 0 {
		i += len(s)
		decade--
	}
	// A whole number times or over a power of ten, so that 47 nF is the same
	// number as the literal 47e-9; 4.7 × 1e-8 is not.
	if decade < 1 {
		return s[i] / math.Pow10(1-decade)
	}
	return s[i] * math.Pow10(decade-1)
}

// floor returns the index, as in at, of the largest value not above v.
func (s Series) floor(v float64) int {
	n := int(math.Floor(math.Log10(v))) * len(s)
	for s.at(n) > v*(1+sameValue) {
		n--
	}
	for s.at(n+1) <= v*(1+sameValue) {
		n++
	}
	return n
}

// AtMost returns the largest preferred value not above v, which must be
// positive; unit as v.
func (s Series) AtMost(v float64) float64 { return s.at(s.floor(v)) }

// AtLeast returns the smallest preferred value not below v, which must be
// positive; unit as v.
func (s Series) AtLeast(v float64) float64 {
	n := s.floor(v)
	if s.at(n) >= v*(1-sameValue) {
		return s.at(n)
	}
	return s.at(n + 1)
}

// Nearest returns the preferred value whose ratio to v, which must be
// positive, is nearest to one; of two the smaller.
func (s Series) Nearest(v float64) float64 {
	n := s.floor(v)
	if v/s.at(n) > s.at(n+1)/v*(1+sameValue) {
		return s.at(n + 1)
	}
	return s.at(n)
}

// Between returns the preferred values from low, which must be positive, to
// high, rising; both ends belong to them.
func (s Series) Between(low, high float64) []float64 {
	var values []float64
	n := s.floor(low)
	if s.at(n) < low*(1-sameValue) {
		n++
	}
	for ; s.at(n) <= high*(1+sameValue); n++ {
		values = append(values, s.at(n))
	}
	return values
}
