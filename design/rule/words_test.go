package rule

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"mutewright/design/answer"
)

func TestWhatFallsShortDoesNotReadAsAll(t *testing.T) {
	for v, want := range map[float64]string{1.062: "106 %", 1: "100 %", 0.97: "97 %", 0.9962: "99.6 %", 0.99996: "99.996 %", 0.9999999: "100.0000 %"} {
		assert.Equal(t, want, percent(v))
	}
}

// A depth that is counted no further is not told as a figure that was reached.
func TestDepthWords(t *testing.T) {
	for want, q := range map[string]answer.Quantity{
		"Muting reaches 40\u00a0dB (30\u00a0dB to over 60\u00a0dB); 80\u00a0dB is wanted.":        {Nominal: 40, Low: 30, High: 60, Most: 60},
		"Muting reaches over 60\u00a0dB, as far as its stages are counted; 80\u00a0dB is wanted.": {Nominal: 60, Low: 60, High: 60, Most: 60},
	} {
		assert.Equal(t, want, depthWords(q, 80))
	}
}
