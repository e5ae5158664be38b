package quantity_test

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"

	"mutewright/design/quantity"
)

// The pattern of a unit takes what the reader takes and leaves what it leaves.
func TestPatternsTakeWhatTheReaderTakes(t *testing.T) {
	for _, text := range []string{
		"6.3 V", "6.3V", "-12.5 V", "+5 V", "220 V .. 270 V", "250 V ± 10 %", "250 V +- 5 V", "250V+/-10%", "1e3 V", "47 mV", "12 volts",
		"6,3 V", "6.3", "6.3 A", "V", "--5 V", "6.3 xV", "250 V ±", ".. 5 V", "6. 3 V", "unknown",
	} {
		_, err := quantity.ParseSpan[quantity.Volts](text)
		assert.Equal(t, err == nil, fits(quantity.SpanPattern(quantity.Voltage), text), text)
	}
	for _, text := range []string{"10 kohm", "10 kΩ", "10 k\u2126", "4k7", "270R", "4.7k", "R47", "4k7 ± 5 %", "1M", "4,7k", "10 kF", "47"} {
		_, err := quantity.ParseSpan[quantity.Ohms](text)
		assert.Equal(t, err == nil, fits(quantity.SpanPattern(quantity.Resistance), text), text)
	}
	for _, text := range []string{"22 uF", "22 µF", "22 \u03bcF", "2u2", "10n", "22 uV"} {
		_, err := quantity.Parse[quantity.Farads](text)
		assert.Equal(t, err == nil, fits(quantity.Pattern(quantity.Capacitance), text), text)
	}
	for _, text := range []string{"1.41", "75 %", "20 °C", "1.35 .. 1.414"} {
		_, err := quantity.ParseSpan[quantity.Ratio](text)
		assert.Equal(t, err == nil, fits(quantity.SpanPattern(quantity.Proportion), text), text)
	}
	for _, text := range []string{"20 °C", "20 °C .. 50 °C", "20 °C ± 5 °C", "20 °C ± 5 %"} {
		_, err := quantity.ParseSpan[quantity.Celsius](text)
		assert.Equal(t, err == nil, fits(quantity.SpanPattern(quantity.Temperature), text), text)
	}
	for _, text := range []string{"30 V 2 A", "10 mV, 10 uA", "30 V", "30 V 2 V"} {
		_, _, err := quantity.ParsePair[quantity.Volts, quantity.Amps](text)
		assert.Equal(t, err == nil, fits(quantity.PairPattern(quantity.Voltage, quantity.Current), text), text)
	}
}

func fits(pattern, text string) bool {
	return regexp.MustCompile(`^(?:` + pattern + `)$`).MatchString(text)
}
