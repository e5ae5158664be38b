package quantity_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	. "mutewright/design/quantity"
)

func TestParse(t *testing.T) {
	cases := []struct {
		text string
		unit Unit
		want float64
	}{
		{"6.3 V", Voltage, 6.3},
		{"6.3V", Voltage, 6.3},
		{"6.3\u00a0V", Voltage, 6.3},
		{" 6.3  V ", Voltage, 6.3},
		{".5 V", Voltage, 0.5},
		{"-19 V", Voltage, -19},
		{"\u221219 V", Voltage, -19},
		{"+19 volts", Voltage, 19},
		{"0 V", Voltage, 0},
		{"10 mV", Voltage, 0.01},
		{"5 kV", Voltage, 5000},
		{"1.5e3 V", Voltage, 1500},
		{"500 mA", Current, 0.5},
		{"10 uA", Current, 10e-6},
		{"10 µA", Current, 10e-6},
		{"10 μA", Current, 10e-6},
		{"10 kohm", Resistance, 1e4},
		{"10 kΩ", Resistance, 1e4},
		{"10 k\u2126", Resistance, 1e4},
		{"10kOhm", Resistance, 1e4},
		{"100 mohm", Resistance, 0.1},
		{"10 Mohm", Resistance, 1e7},
		{"720 ohms", Resistance, 720},
		{"0 ohm", Resistance, 0},
		{"4k7", Resistance, 4700},
		{"4K7", Resistance, 4700},
		{"4.7k", Resistance, 4700},
		{"270R", Resistance, 270},
		{"R47", Resistance, 0.47},
		{"2R2", Resistance, 2.2},
		{"1M", Resistance, 1e6},
		{"2M2", Resistance, 2.2e6},
		{"22 uF", Capacitance, 22e-6},
		{"22 µF", Capacitance, 22e-6},
		{"2u2", Capacitance, 2.2e-6},
		{"2µ2", Capacitance, 2.2e-6},
		{"10n", Capacitance, 10e-9},
		{"n47", Capacitance, 0.47e-9},
		{"100p", Capacitance, 100e-12},
		{"4F7", Capacitance, 4.7},
		{"300 pF", Capacitance, 300e-12},
		{"0.8 H", Inductance, 0.8},
		{"15 nH", Inductance, 15e-9},
		{"100 mW", Power, 0.1},
		{"15 ms", Time, 0.015},
		{"60 Hz", Frequency, 60},
		{"455 kHz", Frequency, 455e3},
		{"1.8 MHz", Frequency, 1.8e6},
		{"20 °C", Temperature, 20},
		{"20 C", Temperature, 20},
		{"20degC", Temperature, 20},
		{"-20 ℃", Temperature, -20},
		{"-30 dB", Level, -30},
		{"25 mm", Length, 0.025},
		{"2.5 cm", Length, 0.025},
		{"30 m", Length, 30},
		{"0.5 mm²", Area, 0.5e-6},
		{"0.5 mm2", Area, 0.5e-6},
		{"4.1 mA/V", Transconductance, 4.1e-3},
		{"40 uS", Transconductance, 40e-6},
		{"4100 µmho", Transconductance, 4.1e-3},
		{"150 K/W", ThermalResistance, 150},
		{"150 °C/W", ThermalResistance, 150},
		{"75 %", Percentage, 0.75},
		{"75%", Percentage, 0.75},
		{"170 percent", Percentage, 1.7},
		{"1.414", Proportion, 1.414},
		{"135 %", Proportion, 1.35},
	}
	for _, c := range cases {
		t.Run(c.text, func(t *testing.T) {
			got, err := ParseIn(c.text, c.unit)
			require.NoError(t, err)
			assert.Equal(t, c.want, got, "the float64 nearest to the decimal value")
		})
	}
}

func TestParseSaysWhatIsWrong(t *testing.T) {
	cases := []struct {
		text string
		unit Unit
		want string
	}{
		{"", Voltage, `no value; wanted a voltage such as 6.3 V`},
		{"250", Voltage, `no unit on "250"; write 250 V, uV, mV or kV`},
		{"-42", Voltage, `no unit on "-42"; write -42 V, uV, mV or kV`},
		{"0", Capacitance, `no unit on "0"; write 0 F, pF, nF or uF`},
		{"75", Percentage, `no unit on "75"; write 75 %`},
		{"5 ohm", Voltage, `"ohm" is the unit of a resistance; wanted a voltage such as 6.3 V`},
		{"15 mA/V", Voltage, `"mA/V" is the unit of a transconductance; wanted a voltage such as 6.3 V`},
		{"5 parsec", Voltage, `unknown unit "parsec" in "5 parsec"; wanted a voltage such as 6.3 V`},
		{"5 v", Voltage, `unknown unit "v" in "5 v"; write V`},
		{"455 khz", Frequency, `unknown unit "khz" in "455 khz"; write kHz`},
		{"5 xV", Voltage, `unknown prefix "x" in "5 xV"; write 5 V, uV, mV or kV`},
		{"5 kdB", Level, `unknown prefix "k" in "5 kdB"; write 5 dB`},
		{"--5 V", Voltage, `doubled sign in "--5 V"; wanted a voltage such as 6.3 V`},
		{"+-5 V", Voltage, `"+-5 V" has a range where one value belongs; wanted a voltage such as 6.3 V`},
		{"6,3 V", Voltage, `comma in the number "6,3 V"; write a decimal point, as in a voltage such as 6.3 V`},
		{"1,500 V", Voltage, `comma in the number "1,500 V"; write a decimal point, as in a voltage such as 6.3 V`},
		{"1 500 V", Voltage, `space inside the number of "1 500 V"; wanted a voltage such as 6.3 V`},
		{"6.3.1 V", Voltage, `"6.3.1 V" is not a number with a unit; wanted a voltage such as 6.3 V`},
		{"6. V", Voltage, `"6. V" is not a number with a unit; wanted a voltage such as 6.3 V`},
		{"NaN V", Voltage, `"NaN V" is not a number with a unit; wanted a voltage such as 6.3 V`},
		{"inf V", Voltage, `"inf V" is not a number with a unit; wanted a voltage such as 6.3 V`},
		{"0x10 V", Voltage, `unknown unit "x10 V" in "0x10 V"; wanted a voltage such as 6.3 V`},
		{"1e400 V", Voltage, `"1e400 V" is out of range; a voltage lies between -1000 kV and 1000 kV`},
		{"1e99999999999 V", Voltage, `"1e99999999999 V" is out of range; a voltage lies between -1000 kV and 1000 kV`},
		{"-5 ohm", Resistance, `"-5 ohm" is out of range; a resistance lies between 0 ohm and 1000 Tohm`},
		{"-300 °C", Temperature, `"-300 °C" is out of range; a temperature lies between -273.15 °C and 10000 °C`},
		{"4k7k", Resistance, `unknown unit "k7k" in "4k7k"; wanted a resistance such as 10 kohm`},
		{"R", Resistance, `"R" is not a number with a unit; wanted a resistance such as 10 kohm`},
		{"10 k", Resistance, `unknown unit "k" in "10 k"; wanted a resistance such as 10 kohm`},
		{"10n", Resistance, `unknown unit "n" in "10n"; wanted a resistance such as 10 kohm`},
		{strings.Repeat("1", 101), Voltage, `"` + strings.Repeat("1", 40) + `…" is 101 characters long; wanted a voltage such as 6.3 V`},
		{"250 V ± 10 %", Voltage, `"250 V ± 10 %" has a range where one value belongs; wanted a voltage such as 6.3 V`},
	}
	for _, c := range cases {
		t.Run(c.text+" as "+c.unit.String(), func(t *testing.T) {
			_, err := ParseIn(c.text, c.unit)
			assert.EqualError(t, err, c.want)
		})
	}
}

func TestParseSpan(t *testing.T) {
	cases := []struct {
		text               string
		nominal, low, high float64
		tolerance          float64
		kind               Kind
	}{
		{"250 V", 250, 250, 250, 0, Exact},
		{"-19 V", -19, -19, -19, 0, Exact},
		{"250 V ± 10 %", 250, 225, 275, 0.1, PlusMinus},
		{"250 V±10%", 250, 225, 275, 0.1, PlusMinus},
		{"250 V +- 10 %", 250, 225, 275, 0.1, PlusMinus},
		{"250V+/-10%", 250, 225, 275, 0.1, PlusMinus},
		{"250 V ± 5 V", 250, 245, 255, 0.02, PlusMinus},
		{"-20 V ± 10 %", -20, -22, -18, 0.1, PlusMinus},
		{"0 V ± 2 V", 0, -2, 2, 0, PlusMinus},
		{"220 V .. 270 V", 245, 220, 270, 0, Range},
		{"220V..270V", 245, 220, 270, 0, Range},
		{"-42 V .. -38 V", -40, -42, -38, 0, Range},
		{"900 mV .. 1.1 V", 1, 0.9, 1.1, 0, Range},
	}
	for _, c := range cases {
		t.Run(c.text, func(t *testing.T) {
			got, err := ParseSpan[Volts](c.text)
			require.NoError(t, err)
			assert.InDelta(t, c.nominal, float64(got.Nominal), 1e-12)
			assert.InDelta(t, c.low, float64(got.Low), 1e-12)
			assert.InDelta(t, c.high, float64(got.High), 1e-12)
			assert.InDelta(t, c.tolerance, got.Tolerance, 1e-12)
			assert.Equal(t, c.kind, got.Kind)
		})
	}
}

func TestParseSpanOfOtherUnits(t *testing.T) {
	r, err := ParseSpan[Ohms]("4k7 ± 5 %")
	require.NoError(t, err)
	assert.Equal(t, Within(Ohms(4700), 0.05), r)

	crest, err := ParseSpan[Ratio]("1.35 .. 1.414")
	require.NoError(t, err)
	assert.Equal(t, Between(Ratio(1.35), Ratio(1.414)), crest)

	points, err := ParseSpan[Percent]("75 % ± 5 %")
	require.NoError(t, err)
	assert.InDelta(t, 0.7, float64(points.Low), 1e-12, "points of per cent, not per cent of per cent")

	level, err := ParseSpan[Decibels]("-30 dB ± 3 dB")
	require.NoError(t, err)
	assert.Equal(t, Decibels(-33), level.Low)
}

func TestParseSpanSaysWhatIsWrong(t *testing.T) {
	cases := []struct{ text, want string }{
		{"250 ± 10 V", `no unit on "250"; write 250 V, uV, mV or kV`},
		{"250 V ±", `nothing after ± in "250 V ±"; wanted ± and a percentage or a width, such as ± 10 %`},
		{"250 V ± -5 V", `doubled sign in "250 V ± -5 V"; wanted ± and a percentage or a width, such as ± 10 %`},
		{"250 V ± 10", `no unit on "10"; wanted ± and a percentage or a width, such as ± 10 %`},
		{"250 V ± 5 A", `"A" is the unit of a current; wanted ± and a percentage or a width, such as ± 10 %`},
		{"± 5 V", `doubled sign in "± 5 V"; wanted a voltage such as 6.3 V`},
		{"220 .. 270 V", `no unit on "220"; write 220 V, uV, mV or kV`},
		{"270 V .. 220 V", `"270 V .. 220 V" runs downwards; write the lower end first: 220 V .. 270 V`},
		{"220 V ..", `one end is missing in "220 V .."; wanted two ends, each with its unit, as in 220 V .. 270 V`},
		{"1 V .. 2 V .. 3 V", `"1 V .. 2 V .. 3 V" is not one range; wanted two ends, each with its unit, as in 220 V .. 270 V`},
		{"1 V .. 2 V ± 1 V", `"1 V .. 2 V ± 1 V" is not one range; wanted two ends, each with its unit, as in 220 V .. 270 V`},
	}
	for _, c := range cases {
		t.Run(c.text, func(t *testing.T) {
			_, err := ParseSpan[Volts](c.text)
			assert.EqualError(t, err, c.want)
		})
	}
	_, err := ParseSpan[Celsius]("20 °C ± 10 %")
	assert.EqualError(t, err, `a percentage of a temperature means nothing in "20 °C ± 10 %"; wanted ± and a width such as 20 °C`)
	_, err = ParseSpan[Ohms]("100 ohm ± 120 %")
	assert.EqualError(t, err, `"100 ohm ± 120 %" is out of range; a resistance lies between 0 ohm and 1000 Tohm`)
}

func TestParsePair(t *testing.T) {
	for _, text := range []string{"30 V 2 A", "30V 2A", "30 V, 2 A", "30 V  2 A"} {
		v, a, err := ParsePair[Volts, Amps](text)
		require.NoError(t, err, text)
		assert.Equal(t, Volts(30), v, text)
		assert.Equal(t, Amps(2), a, text)
	}
	for text, want := range map[string]string{
		"30 V":       `not two values: "30 V"; wanted a voltage and a current such as 6.3 V 500 mA`,
		"30 V 2":     `no unit on "2"; wanted a voltage and a current such as 6.3 V 500 mA`,
		"30 V 2 V":   `"V" is the unit of a voltage; wanted a voltage and a current such as 6.3 V 500 mA`,
		"2 A 30 V":   `not two values: "2 A 30 V"; wanted a voltage and a current such as 6.3 V 500 mA`,
		"30 V 2 A 1": `unknown unit "A 1" in "2 A 1"; wanted a voltage and a current such as 6.3 V 500 mA`,
	} {
		_, _, err := ParsePair[Volts, Amps](text)
		assert.EqualError(t, err, want)
	}
}

func TestFormat(t *testing.T) {
	cases := []struct {
		v     float64
		unit  Unit
		want  string
		plain string
	}{
		{10000, Resistance, "10 kΩ", "10 kohm"},
		{9996, Resistance, "10 kΩ", "9.996 kohm"},
		{999.6, Resistance, "1 kΩ", "999.6 ohm"},
		{0.1, Resistance, "100 mΩ", "100 mohm"},
		{12.14, Voltage, "12.1 V", "12.14 V"},
		{-12.14, Voltage, "-12.1 V", "-12.14 V"},
		{0, Voltage, "0 V", "0 V"},
		{math.Copysign(0, -1), Voltage, "0 V", "0 V"},
		{0.9996, Voltage, "1 V", "999.6 mV"},
		{470e-6, Capacitance, "470 µF", "470 uF"},
		{4.7e-3, Capacitance, "4700 µF", "4700 uF"},
		{1e-13, Capacitance, "0.1 pF", "0.1 pF"},
		{4.1e-3, Transconductance, "4.1 mA/V", "4.1 mA/V"},
		{40e-6, Transconductance, "40 µA/V", "40 uA/V"},
		{0.755, Percentage, "75.5 %", "75.5 %"},
		{1.41421, Proportion, "1.41", "1.41421"},
		{20, Temperature, "20 °C", "20 °C"},
		{-30.04, Level, "-30 dB", "-30.04 dB"},
		{0.5e-6, Area, "0.5 mm²", "0.5 mm²"},
		{0.0006, Length, "0.6 mm", "0.6 mm"},
		{455e3, Frequency, "455 kHz", "455 kHz"},
		{1234567, Voltage, "1230 kV", "1234.57 kV"},
		{1e-21, Current, "1e-9 pA", "1e-9 pA"},
		{math.NaN(), Voltage, "no value", "no value"},
		{math.Inf(1), Voltage, "no value", "no value"},
	}
	for _, c := range cases {
		t.Run(c.plain, func(t *testing.T) {
			assert.Equal(t, c.want, ascii(Format(c.v, c.unit)))
			assert.Equal(t, c.plain, Plain(c.v, c.unit))
		})
	}
	assert.Equal(t, "10\u00a0kΩ", Ohms(10e3).String(), "a no-break space keeps value and unit on one line")
}

// ascii makes the no-break space visible as an ordinary one.
func ascii(s string) string {
	out := []rune(s)
	for i, r := range out {
		if r == '\u00a0' {
			out[i] = ' '
		}
	}
	return string(out)
}

func FuzzParsePrintParse(f *testing.F) {
	for _, s := range []string{"6.3 V", "4k7", "R47", "250 V ± 10 %", "220 V .. 270 V", "-30 dB", "1.35 .. 1.414", "75 %", "0.5 mm²", "4.1 mA/V", "1e-3 A", "2µ2", "-0 V"} {
		for u := range Proportion + 16 {
			f.Add(s, uint8(u))
		}
	}
	f.Fuzz(func(t *testing.T, text string, n uint8) {
		u := Unit(n % 16)
		v, err := ParseIn(text, u)
		if err != nil {
			assert.NotPanics(t, func() { _ = err.Error() })
			return
		}
		require.True(t, u.Contains(v), "%g", v)
		for name, print := range map[string]func(float64, Unit) string{"Format": Format, "Plain": Plain} {
			shown := print(v, u)
			again, err := ParseIn(shown, u)
			require.NoError(t, err, "%s(%g) = %s", name, v, shown)
			assert.Equal(t, shown, print(again, u), "printing is stable")
			assert.InDelta(t, v, again, 0.005*math.Abs(v)+math.SmallestNonzeroFloat64, "three digits are half a per cent")
		}
	})
}

func FuzzParseSpan(f *testing.F) {
	for _, s := range []string{"250 V ± 10 %", "220 V .. 270 V", "0 V ± 2 V", "+-5 V", "1 V+/-", "-1 V..1 V", "5 V"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSpan[Volts](text)
		if err != nil {
			return
		}
		assert.LessOrEqual(t, s.Low, s.Nominal)
		assert.LessOrEqual(t, s.Nominal, s.High)
		assert.True(t, Voltage.Contains(float64(s.Low)) && Voltage.Contains(float64(s.High)))
	})
}
