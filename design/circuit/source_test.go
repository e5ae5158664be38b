package circuit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A flat-topped sine keeps its effective value and has its crest, and its
// corners are where it starts to be flat.
func TestClippedSine(t *testing.T) {
	for _, crest := range []float64{1, 1.05, 1.2, 1.3, 1.4, 1.414, math.Sqrt2} {
		s := ClippedSine(6.3, crest, 60, 30)
		assert.NoError(t, s.check())
		const n = 200000
		square, peak := 0.0, 0.0
		for i := range n {
			v := s.At((float64(i) + 0.5) / 60 / n)
			square += v * v / n
			peak = max(peak, v)
		}
		assert.InEpsilon(t, 6.3, math.Sqrt(square), 3e-4, "effective value at crest %g", crest)
		assert.InEpsilon(t, crest*6.3, peak, 1e-6, "peak at crest %g", crest)
		if crest < 1.41 {
			at := 0.0
			for range 8 {
				at = s.next(at)
				before, after := math.Abs(s.At(at-1e-7)), math.Abs(s.At(at+1e-7))
				assert.InEpsilon(t, s.peak, max(before, after), 1e-9)
				assert.Greater(t, math.Abs(before-after), 1e-7*s.peak)
			}
		}
	}
	assert.Error(t, ClippedSine(6.3, 0.9, 60, 0).check())
	assert.Error(t, ClippedSine(6.3, 1.5, 60, 0).check())
	assert.Error(t, ClippedSine(6.3, math.NaN(), 60, 0).check())
}

func TestPulse(t *testing.T) {
	s := Pulse(1, 3, 1, 1, 2, 1, 10)
	for _, tt := range []struct{ at, value float64 }{{0, 1}, {1, 1}, {1.5, 2}, {2, 3}, {2.9, 3}, {4, 2}, {6, 1}, {10.9, 1}, {11.5, 2}, {24, 2}} {
		assert.InDelta(t, tt.value, s.At(tt.at), 1e-12, "at %g s", tt.at)
	}
	var corners []float64
	for at := 0.0; len(corners) < 6; {
		at = s.next(at)
		corners = append(corners, at)
	}
	assert.InDeltaSlice(t, []float64{1, 2, 3, 5, 11, 12}, corners, 1e-12)
	jump := Pulse(0, 1, 1, 0, 0, 1, 0)
	assert.Equal(t, []float64{0, 1, 1, 0}, []float64{jump.At(0.999), jump.At(1), jump.At(1.999), jump.At(2)})
	assert.Error(t, Pulse(0, 1, 0, 1, 1, 1, 2).check())
	assert.Error(t, Pulse(0, 1, -1, 0, 0, 0, 0).check())
}
