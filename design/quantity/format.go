package quantity

import (
	"math"
	"strconv"
	"strings"
)

// noBreak keeps a number and its unit on one line.
const noBreak = "\u00a0"

// Format writes v, in SI, for people: three significant digits without
// trailing zeros, the prefix chosen after rounding, a no-break space, Ω and µ:
// "12.1 V", "10 kΩ", "470 µF", "1.41", "75 %". What is not finite is "no
// value".
func Format(v float64, u Unit) string {
	return format(v, u, 3, noBreak, u.Symbol(), "µ")
}

// Plain writes v, in SI, in the plan's own notation, which [ParseIn] reads
// back: six significant digits, ASCII where the unit has such a spelling:
// "10 kohm", "22 uF", "20 °C".
func Plain(v float64, u Unit) string {
	symbol := u.Code()
	switch u {
	case Proportion:
		symbol = ""
	case Transconductance:
		symbol = u.Symbol()
	}
	return format(v, u, 6, " ", symbol, "u")
}

func format(v float64, u Unit, digits int, space, symbol, micro string) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "no value"
	}
	r := &table[u]
	// Twelve digits first: the last bits of a float64 differ between machines
	// that fuse multiply and add and those that do not.
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'e', 11, 64), 64)
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(v, 'e', digits-1, 64), "e")
	tens, _ := strconv.Atoi(exponent)
	tens -= r.tens

	prefix, shift := ' ', 0
	if v != 0 {
		prefix, shift = r.prefix(tens)
	}
	number := place(mantissa, tens-shift)

	unit := symbol
	switch prefix {
	case ' ':
	case 'µ':
		unit = micro + symbol
	default:
		unit = string(prefix) + symbol
	}
	if unit == "" {
		return number
	}
	return number + space + unit
}

// prefix returns the largest printed prefix that leaves at least one digit
// before the point of a number whose first digit stands for 10^tens, else the
// smallest there is, and the power of ten by which the number shrinks.
func (r *row) prefix(tens int) (rune, int) {
	best, shift := rune(0), 0
	for _, p := range r.prints {
		power := prefixes[p]
		if r.squared {
			power *= 2
		}
		if best == 0 || power <= tens {
			best, shift = p, power
		}
	}
	return best, shift
}

// place writes mantissa ("d.dd", perhaps signed) times 10^tens without
// exponent where that stays readable, and without trailing zeros.
func place(mantissa string, tens int) string {
	sign := ""
	if m, ok := strings.CutPrefix(mantissa, "-"); ok {
		sign, mantissa = "-", m
	}
	digits := strings.TrimRight(strings.Replace(mantissa, ".", "", 1), "0")
	switch {
	case digits == "":
		return "0"
	case tens < -6 || tens > 8: // nine places or more are counted, not read
		number := digits[:1]
		if len(digits) > 1 {
			number += "." + digits[1:]
		}
		return sign + number + "e" + strconv.Itoa(tens)
	case tens < 0:
		return sign + "0." + strings.Repeat("0", -tens-1) + digits
	case len(digits) <= tens+1:
		return sign + digits + strings.Repeat("0", tens+1-len(digits))
	default:
		return sign + digits[:tens+1] + "." + digits[tens+1:]
	}
}
