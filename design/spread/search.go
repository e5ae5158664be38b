package spread

import (
	"cmp"
	"math"
	"slices"
)

// searchInside looks for a peak inside the range of every input whose shape
// leaves room for one, all other inputs at the best point so far. Inputs are
// taken one after another, strongest first; all goals go in step so that their
// evaluations run side by side.
func (s *survey) searchInside(goals []*goal) error {
	turn := make([][]int, len(goals)) // moves to search, of each goal
	for n, g := range goals {
		for m, sh := range g.shape {
			_, inside := sh.peak(s.moves[m].at[0], s.moves[m].at[2])
			if sh.size >= quietShare*g.sum && (inside || sh.tops) {
				turn[n] = append(turn[n], m)
			}
		}
		slices.SortStableFunc(turn[n], func(a, b int) int { return cmp.Compare(g.shape[b].size, g.shape[a].size) })
	}
	for round := 0; ; round++ {
		var active []*goal
		var moves []int
		for n, g := range goals {
			if round < len(turn[n]) {
				active, moves = append(active, g), append(moves, turn[n][round])
			}
		}
		if len(active) == 0 {
			return nil
		}
		if err := s.searchAlong(active, moves); err != nil {
			return err
		}
	}
}

// searchAlong probes the likely peak for each goal along its move and follows
// up with a golden-section search where the probe beat the best, or where the
// three places had their highest between and no search was made yet.
func (s *survey) searchAlong(goals []*goal, moves []int) error {
	var probes []ask
	before := make([]float64, len(goals))
	for n, g := range goals {
		m, best := s.moves[moves[n]], s.best(g)
		before[n] = s.score(g, best)
		at, inside := g.shape[moves[n]].peak(m.at[0], m.at[2])
		if !inside {
			at = m.at[1]
		}
		probes = append(probes, s.ask(g, with(s.points[best].x, m.input, at)))
	}
	index, err := s.try(probes)
	if err != nil {
		return err
	}
	var sections []*section
	for n, g := range goals {
		sh, m := &g.shape[moves[n]], s.moves[moves[n]]
		if index[n] < 0 || !(s.score(g, index[n]) > before[n] || sh.tops) {
			continue
		}
		sh.tops = false
		sections = append(sections, &section{goal: g, input: m.input, x: probes[n].x, a: m.at[0], b: m.at[2]})
	}
	return s.golden(sections)
}

// section is one golden-section search for the peak of a goal's score between
// a and b along one input.
type section struct {
	goal   *goal
	input  int
	x      []float64
	a, b   float64
	c, d   float64
	fc, fd float64
}

// along asks somewhere on the line that a section searches.
func (s *survey) along(sec *section, at float64) ask {
	return s.ask(sec.goal, with(sec.x, sec.input, at))
}

// golden narrows all sections in step: of the two inner points at 0.382 and
// 0.618 of the interval the worse one becomes an end (Kiefer 1953).
func (s *survey) golden(sections []*section) error {
	if len(sections) == 0 {
		return nil
	}
	ratio := (math.Sqrt(5) - 1) / 2
	var batch []ask
	for _, sec := range sections {
		sec.c, sec.d = sec.b-ratio*(sec.b-sec.a), sec.a+ratio*(sec.b-sec.a)
		batch = append(batch, s.along(sec, sec.c), s.along(sec, sec.d))
	}
	index, err := s.try(batch)
	if err != nil || s.spent {
		return err
	}
	for n, sec := range sections {
		sec.fc, sec.fd = s.score(sec.goal, index[2*n]), s.score(sec.goal, index[2*n+1])
	}
	for range goldenSteps - 2 {
		batch = batch[:0]
		left := make([]bool, len(sections))
		for n, sec := range sections {
			if left[n] = sec.fc >= sec.fd; left[n] {
				sec.b, sec.d, sec.fd = sec.d, sec.c, sec.fc
				sec.c = sec.b - ratio*(sec.b-sec.a)
				batch = append(batch, s.along(sec, sec.c))
			} else {
				sec.a, sec.c, sec.fc = sec.c, sec.d, sec.fd
				sec.d = sec.a + ratio*(sec.b-sec.a)
				batch = append(batch, s.along(sec, sec.d))
			}
		}
		index, err := s.try(batch)
		if err != nil || s.spent {
			return err
		}
		for n, sec := range sections {
			if left[n] {
				sec.fc = s.score(sec.goal, index[n])
			} else {
				sec.fd = s.score(sec.goal, index[n])
			}
		}
	}
	return nil
}
