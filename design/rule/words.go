package rule

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"mutewright/design/quantity"
)

func metres(v float64) string { return quantity.Metres(v).String() }
func farads(v float64) string { return quantity.Farads(v).String() }

// capital begins a sentence with a word of the plan.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// try writes the option that tries a change of the plan. The value has no spaces,
// so that it can be typed as it stands.
func try(path, value string) string {
	return fmt.Sprintf("(--set %s=%s)", path, strings.Join(strings.Fields(value), ""))
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
