package rule

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"mutewright/design/known"
	"mutewright/design/quantity"
)

func metres(v float64) string { return quantity.Metres(v).String() }
func farads(v float64) string { return quantity.Farads(v).String() }

// capital begins a sentence with a word of the plan.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// upwards rounds to three digits, up: what must be reached is reached.
func upwards(v float64) float64 {
	if v <= 0 {
		return v
	}
	step := math.Pow(10, math.Floor(math.Log10(v))-2)
	return math.Ceil(v/step-1e-9) * step
}

// another asks for another relay in place of one, and says where to look.
func another(what string, r *known.Relay) string {
	return fmt.Sprintf("Take a relay %s (%s.use; mutewright relays ranks them)", what, r.At)
}

// try writes in brackets the options that try a change of the plan.
func try(pairs ...string) string { return "(" + settings(pairs...) + ")" }

// settings writes the options that try a change of the plan: pairs of a key path and
// its value. Values have no spaces, so that they can be typed as they stand.
func settings(pairs ...string) string {
	var options []string
	for i := 0; i+1 < len(pairs); i += 2 {
		options = append(options, fmt.Sprintf("--set %s=%s", pairs[i], strings.Join(strings.Fields(pairs[i+1]), "")))
	}
	return strings.Join(options, " ")
}

// rated is the lowest usual rating of an electrolytic or, beyond those, of a
// film capacitor that stands v volts.
func (b *bench) rated(v float64) string {
	for _, kind := range []string{"electrolytic", "film"} {
		if rating, ok := b.cat.Capacitor(kind).Voltage(v); ok {
			return volts(rating)
		}
	}
	return volts(v)
}
