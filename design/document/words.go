package document

import (
	"regexp"
	"strconv"
	"strings"
)

// spellings of words that are read as one. House spelling is British, and a
// chassis is grounded.
var spellings = map[string]string{
	"center":    "centre",
	"energized": "energised",
	"earth":     "ground",
	"earthed":   "grounded",
}

var word = regexp.MustCompile(`[a-z]+`)

// house returns a key or word in the house's spelling.
func house(text string) string {
	ours := true
	for other := range spellings {
		ours = ours && !strings.Contains(text, other)
	}
	if ours {
		return text
	}
	return word.ReplaceAllStringFunc(text, func(w string) string {
		if h, ok := spellings[w]; ok {
			return h
		}
		return w
	})
}

// Nearest returns the candidate with the fewest letters to change; "" when
// there are none. The first of equals wins.
func Nearest(text string, candidates []string) string {
	best, least := "", 0
	for _, c := range candidates {
		if d := distance([]rune(text), []rune(c)); best == "" || d < least {
			best, least = c, d
		}
	}
	return best
}

// distance counts the letters to insert, delete, replace or swap with their
// neighbour to make b of a (Damerau 1964, restricted).
func distance(a, b []rune) int {
	const far = 64 // no key is longer: the rest of a long text adds nothing
	a, b = a[:min(len(a), far)], b[:min(len(b), far)]
	rows := [3][]int{make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)}
	for j := range rows[1] {
		rows[1][j] = j
	}
	for i := 1; i <= len(a); i++ {
		older, old, now := rows[0], rows[1], rows[2]
		now[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			now[j] = min(old[j]+1, now[j-1]+1, old[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				now[j] = min(now[j], older[j-2]+1)
			}
		}
		rows = [3][]int{old, now, older}
	}
	return rows[1][len(b)]
}

// OneOf lists words for a sentence: "a, b or c".
func OneOf[S ~string](words []S) string {
	text := make([]string, len(words))
	for i, w := range words {
		text[i] = string(w)
	}
	if last := len(text) - 1; last > 0 {
		return strings.Join(text[:last], ", ") + " or " + text[last]
	}
	return strings.Join(text, "")
}

// isSimple tells whether a key can stand in a path as it is: letters, digits, _
// and -, the first a letter or digit.
func isSimple(key string) bool {
	for i := range len(key) {
		c := key[i]
		word := 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9'
		if !word && (i == 0 || c != '_' && c != '-') {
			return false
		}
	}
	return key != ""
}

// join extends a key path; what is no plain key is quoted, and cut where it
// is long, so that a message stays one line that a terminal can show.
func join(path, key string) string {
	if !isSimple(key) || len(key) > textLimit {
		key = Quote(key)
	}
	if path == "" {
		return key
	}
	return path + "." + key
}

// Quote shows a text of the file inside a message: escaped, and no longer
// than is needed to recognise it.
func Quote(text string) string {
	const enough = 40
	if r := []rune(text); len(r) > enough {
		text = string(r[:enough]) + "…"
	}
	return strconv.Quote(text)
}
