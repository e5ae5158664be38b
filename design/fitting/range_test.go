package fitting

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestRanges(t *testing.T) {
	for _, c := range []struct {
		name string
		r    Reading
		want string
	}{
		{"rail", Reading{Meter: dcVolts, Unit: "V", Low: 238, High: 262}, "1000\u00a0V"},
		{"cathode", Reading{Meter: dcVolts, Unit: "V", High: 15.1}, "20\u00a0V"},
		{"negative grid", Reading{Meter: dcVolts, Unit: "V", Low: -22, High: -18}, "200\u00a0V"},
		{"contact", Reading{Meter: ohmMeter, Unit: "ohm", High: 0.2}, "200\u00a0Ω"},
		{"open", Reading{Meter: ohmMeter, Unit: "ohm", Low: 5e6, High: Open}, "20\u00a0MΩ"},
		{"key line", Reading{Meter: milliamps, Unit: "A", Low: 9.5e-3, High: 15.4e-3}, "20\u00a0mA"},
		{"contact in time", Reading{Meter: "scope", Unit: "s", Low: 1e-3, High: 6.7e-3}, "2\u00a0ms/div"},
		{"level", Reading{Meter: "level drop", Unit: "dB", Low: 50, High: 70}, ""},
		{"moving coil on its one range", Reading{Meter: "AC V, analogue of 1.25 MΩ", Unit: "V", High: 17}, "250\u00a0V"},
		{"moving coil beyond it", Reading{Meter: "AC V, analogue of 1.25 MΩ", Unit: "V", High: 264}, ""},
	} {
		assert.Equal(t, c.want, rangeOf(&c.r), c.name)
	}
}
