package sheet

import (
	"slices"
	"strings"

	"mutewright/design/fitting"
)

// A grid is a set of readings taken in several states of the set, on the same
// meters in each: one row for a state, one column for a meter.
type grid struct {
	places, meters []string
	at             map[[2]string]fitting.Reading
	order          []fitting.Reading
}

// gridOf finds the grid in a step's readings, if they are one.
func gridOf(list []fitting.Reading) (grid, bool) {
	g := grid{at: map[[2]string]fitting.Reading{}, order: list}
	for _, r := range list {
		place := strings.Join(nonempty(r.Between...), " to ")
		if !slices.Contains(g.places, place) {
			g.places = append(g.places, place)
		}
		if !slices.Contains(g.meters, r.Meter) {
			g.meters = append(g.meters, r.Meter)
		}
		g.at[[2]string{place, r.Meter}] = r
	}
	full := len(g.at) == len(list) && len(list) == len(g.places)*len(g.meters)
	if !full || len(g.places) < 2 || len(g.meters) < 2 || len(g.meters) > 4 {
		return grid{}, false
	}
	return g, true
}

// table has a line to write on under each reading, behind its range.
func (g grid) table() ([]column, [][]cell) {
	columns := []column{{head: "between", wide: 34, fixed: true, style: regular}}
	for _, m := range g.meters {
		columns = append(columns, column{head: m, wide: 1, style: bold})
	}
	columns = append(columns, column{head: "by", wide: 8, fixed: true, style: regular})
	var rows [][]cell
	for _, p := range g.places {
		row := []cell{text(p)}
		for _, m := range g.meters {
			r := g.at[[2]string{p, m}]
			// A line to read, and one to write on behind the meter's range.
			words := []styled{{bold, r.ID + "\u00a0\u00a0" + r.Expected()}}
			at0 := 0.0
			if r.Range != "" {
				words = append(words, styled{regular, r.Range})
				at0 = regular.width(r.Range) + 1.5
			}
			row = append(row, cell{words: words, high: 9.4, draw: func(b *block, x, y, width float64) {
				b.rule(thin, at(x+at0, y+7.7), at(x+width-2, y+7.7))
			}})
		}
		rows = append(rows, append(row, cell{high: 9.4, draw: func(b *block, x, y, width float64) {
			b.rule(thin, at(x, y+7.7), at(x+width, y+7.7))
		}}))
	}
	return columns, rows
}

// reasons says why: each reason once, behind the readings it is for.
func (g grid) reasons(f *flow) {
	var reasons []string
	ids := map[string][]string{}
	for _, r := range g.order {
		if r.Why == "" {
			continue
		}
		if ids[r.Why] == nil {
			reasons = append(reasons, r.Why)
		}
		ids[r.Why] = append(ids[r.Why], r.ID)
	}
	for _, why := range reasons {
		f.say(italic, strings.Join(ids[why], ", ")+": "+why+".")
	}
}
