package report

import (
	"cmp"
	"slices"
	"strings"
)

// Nearest returns at most n of the names that look most like typed, the best
// first: fewest letters to change, insert, drop or swap; then in their order.
// A name more than half of whose letters would change is not near, unless it
// contains what was typed.
func Nearest(typed string, names []string, n int) []string {
	type candidate struct {
		name string
		away int
	}
	var near []candidate
	for _, name := range names {
		away := distance([]rune(strings.ToLower(typed)), []rune(strings.ToLower(name)))
		contains := len(typed) > 2 && strings.Contains(name, typed)
		if contains || 2*away <= max(len(name), len(typed)) {
			near = append(near, candidate{name, away})
		}
	}
	slices.SortStableFunc(near, func(a, b candidate) int { return cmp.Compare(a.away, b.away) })
	var best []string
	for _, c := range near[:min(n, len(near))] {
		best = append(best, c.name)
	}
	return best
}

// distance is how many letters must be changed, inserted, dropped or swapped
// with their neighbour to make b of a (optimal string alignment).
func distance(a, b []rune) int {
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range b {
		rows[0][j+1] = j + 1
	}
	for i := range a {
		for j := range b {
			change := 1
			if a[i] == b[j] {
				change = 0
			}
			d := min(rows[i][j+1]+1, rows[i+1][j]+1, rows[i][j]+change)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				d = min(d, rows[i-1][j-1]+1)
			}
			rows[i+1][j+1] = d
		}
	}
	return rows[len(a)][len(b)]
}
