package quantity

import (
	"regexp"
	"strings"
)

// Pattern returns a regular expression, in the common part of RE2 and ECMA-262, of
// one value in unit u: every text that [ParseIn] reads fits it, but for look-alikes
// of Ω, µ and the minus sign, which it lists. What it does not see is the range of
// the unit. It has no anchors.
func Pattern(u Unit) string {
	r := &table[u]
	const number = `[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?`
	var units []string
	for _, s := range r.spellings {
		prefix := ""
		if r.reads != "" {
			prefix = "[" + lookAlikes(r.reads) + "]?"
		}
		units = append(units, prefix+alike(regexp.QuoteMeta(s.text)))
	}
	unit := "(?:" + strings.Join(units, "|") + ")"
	if r.bare {
		unit += "?"
	}
	value := number + space + unit
	if r.letters != "" {
		letter := "[" + lookAlikes(r.letters) + "]"
		value += "|[0-9]*" + letter + "[0-9]+|[0-9]+(?:\\.[0-9]+)?" + letter
	}
	return "[+\\-\u2212]?(?:" + value + ")"
}

// SpanPattern is the same of a value that may carry its doubt, which [ParseSpan]
// reads.
func SpanPattern(u Unit) string {
	one, width := Pattern(u), Pattern(u)
	if u != Temperature && u != Level {
		width += "|" + Pattern(Percentage)
	}
	return one + "(?:" + space + `(?:±|\+-|\+/-)` + space + "(?:" + width + ")|" + space + `\.\.` + space + one + ")?"
}

// PairPattern is the same of two values, which [ParsePair] reads.
func PairPattern(a, b Unit) string { return Pattern(a) + `[ ,]+` + Pattern(b) }

// space is what may stand between a number and its unit.
const space = "[ \u00a0\u202f\u2009\t]*"

func lookAlikes(prefixes string) string { return strings.ReplaceAll(prefixes, "µ", "uµ\u03bc") }

func alike(unit string) string { return strings.ReplaceAll(unit, "Ω", "[Ω\u2126]") }
