package rule

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWhatFallsShortDoesNotReadAsAll(t *testing.T) {
	for v, want := range map[float64]string{1.062: "106 %", 1: "100 %", 0.97: "97 %", 0.9962: "99.6 %", 0.99996: "99.996 %", 0.9999999: "100.0000 %"} {
		assert.Equal(t, want, percent(v))
	}
}
