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
		{"open", Reading{Meter: ohmMeter, Unit: "ohm", Low: 5e6, High: open}, "20\u00a0MΩ"},
		{"key line", Reading{Meter: milliamps, Unit: "A", Low: 9.5e-3, High: 15.4e-3}, "20\u00a0mA"},
		{"contact in time", Reading{Meter: "scope", Unit: "s", Low: 1e-3, High: 6.7e-3}, "2\u00a0ms/div"},
		{"level", Reading{Meter: "level drop", Unit: "dB", Low: 50, High: 70}, ""},
		{"moving coil on its one range", Reading{Meter: "AC V, analogue of 1.25 MΩ", Unit: "V", High: 17}, "250\u00a0V"},
		{"moving coil beyond it", Reading{Meter: "AC V, analogue of 1.25 MΩ", Unit: "V", High: 264}, ""},
	} {
		assert.Equal(t, c.want, rangeOf(&c.r), c.name)
	}
}

func TestExpected(t *testing.T) {
	for name, c := range map[string]struct {
		r    Reading
		want string
	}{
		"a range":    {Reading{Unit: "V", Low: 5.67, High: 6.93}, "5.67\u00a0V – 6.93\u00a0V"},
		"from zero":  {Reading{Unit: "ohm", High: 0.2}, "at most 200\u00a0mΩ"},
		"open":       {Reading{Unit: "ohm", Low: 5e6, High: open}, "5\u00a0MΩ or more"},
		"one figure": {Reading{Unit: "A", Low: 0.5, High: 0.5}, "500\u00a0mA"},
		"uncounted":  {Reading{Unit: "dB", Low: 73.5, High: 100, Over: true}, "73.5\u00a0dB or more"},
		"nothing":    {Reading{Unit: "V"}, "0\u00a0V"},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, c.r.Expected()) })
	}
}
