package answer_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"mutewright/design/answer"
	"mutewright/design/quantity"
)

func TestText(t *testing.T) {
	for _, c := range []struct {
		q    answer.Quantity
		v    float64
		want string
	}{
		{answer.Quantity{Unit: quantity.Voltage}, 12.1, "12.1\u00a0V"},
		{answer.Quantity{Unit: quantity.Level, Most: 60}, 60, "over 60\u00a0dB"},
		{answer.Quantity{Unit: quantity.Level, Most: 120}, 60, "60\u00a0dB"},
		{answer.Quantity{Unit: quantity.Level}, 5.7e-6, "below 0.01\u00a0dB"},
		{answer.Quantity{Unit: quantity.Level}, 0.01, "0.01\u00a0dB"},
		{answer.Quantity{Unit: quantity.Level}, 0, "0\u00a0dB"},
		{answer.Quantity{Unit: quantity.Current}, 5.7e-6, "5.7\u00a0µA"},
	} {
		assert.Equal(t, c.want, c.q.Text(c.v))
	}
}
