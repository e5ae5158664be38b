package document

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// printable returns a text fit for a terminal and a page: on one line, not
// too long, without characters that are no mark on paper.
func printable(text string) (string, error) {
	if strings.ContainsAny(text, "\n\r\t") {
		text = strings.Join(strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \n\r\t", r) }), " ")
	}
	text = strings.Trim(text, " ")
	if text == "" {
		return "", errors.New("empty text")
	}
	if n := utf8.RuneCountInString(text); n > textLimit {
		return "", fmt.Errorf("text of %d characters, with %d the most", n, textLimit)
	}
	for _, r := range text {
		// Control characters drive a terminal; format characters (Cf) turn or
		// hide the letters around them.
		if unicode.Is(unicode.C, r) || r == '\u2028' || r == '\u2029' || r == unicode.ReplacementChar {
			return "", fmt.Errorf("character U+%04X in the text", r)
		}
	}
	return text, nil
}
