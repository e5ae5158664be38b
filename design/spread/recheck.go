package spread

import (
	"cmp"
	"math"
	"slices"
)

// recheck tries, from the best point of every goal, the choices that led there
// the other way round, and looks for peaks inside, until nothing helps or
// mostPasses are done.
func (s *survey) recheck() error {
	open := s.goals
	for _, g := range open {
		g.base = -1
	}
	for pass := range mostPasses {
		open = slices.DeleteFunc(slices.Clone(open), func(g *goal) bool { return g.base == s.best(g) })
		if len(open) == 0 || s.spent {
			return nil
		}
		for _, g := range open {
			g.base = s.best(g)
		}
		if pass == 0 {
			if err := s.probeQuiet(open); err != nil {
				return err
			}
		}
		if err := s.flip(open); err != nil {
			return err
		}
		if err := s.searchInside(open); err != nil {
			return err
		}
	}
	return nil
}

// probeQuiet moves, for every goal, all inputs that do next to nothing at
// nominal to their low ends together, and to their high ends. Where that
// changes the output after all, they become doubtful.
func (s *survey) probeQuiet(goals []*goal) error {
	var batch []ask
	for _, g := range goals {
		for _, end := range []int{0, 2} {
			x := slices.Clone(s.points[g.base].x)
			for n, m := range s.moves {
				if g.shape[n].size < quietShare*g.sum {
					x[m.input] = m.at[end]
				}
			}
			batch = append(batch, s.ask(g, x))
		}
	}
	index, err := s.try(batch)
	if err != nil {
		return err
	}
	for n, g := range goals {
		// What they do alone they may do together, twice over.
		expected := quietShare * g.sum
		for _, sh := range g.shape {
			if sh.size < quietShare*g.sum {
				expected += 2 * sh.size
			}
		}
		stirred := false
		for _, p := range index[2*n : 2*n+2] {
			stirred = stirred || p >= 0 && math.Abs(s.score(g, p)-s.score(g, g.base)) > expected
		}
		for m := range g.shape {
			if stirred && g.shape[m].size < quietShare*g.sum {
				g.shape[m].size = quietShare * g.sum // now above the line: tried one by one
			}
		}
	}
	return nil
}

// doubtful lists the moves of a goal in the order in which their choice is
// likely to be wrong at the corner: those that turn; the weak ones, strongest
// first; the strong ones, weakest first, unless the effects simply add up.
func (s *survey) doubtful(g *goal) []int {
	class := func(m int) int {
		switch sh := g.shape[m]; {
		case sh.turns:
			return 0
		case sh.size <= weakShare*g.sum:
			return 1
		}
		return 2
	}
	var list []int
	for m, sh := range g.shape {
		if sh.size > 0 && sh.size >= quietShare*g.sum && !(g.adds && class(m) == 2) {
			list = append(list, m)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int {
		bySize := cmp.Compare(g.shape[b].size, g.shape[a].size)
		if class(a) == 2 {
			bySize = -bySize
		}
		return cmp.Or(cmp.Compare(class(a), class(b)), bySize)
	})
	return list
}

// trial moves one input of a goal's base to an end.
type trial struct {
	goal, move, end int
	round           int
	gain            float64 // of the goal's score
}

// flip tries the inputs of every goal at the ends where they are not, each
// alone; then those that helped together or, where none did, the least harmful
// ones two by two. The trials of all goals are dealt out in turn, so that a
// budget that runs out has served all alike.
func (s *survey) flip(goals []*goal) error {
	var trials []trial
	for n, g := range goals {
		x := s.points[g.base].x
		round := 0
		for _, m := range s.doubtful(g) {
			for _, end := range []int{0, 2} {
				if x[s.moves[m].input] != s.moves[m].at[end] {
					trials = append(trials, trial{goal: n, move: m, end: end, round: round})
					round++
				}
			}
		}
	}
	slices.SortStableFunc(trials, func(a, b trial) int { return cmp.Compare(a.round, b.round) })
	batch := make([]ask, len(trials))
	for n, t := range trials {
		batch[n] = s.apply(goals[t.goal], t)
	}
	index, err := s.try(batch)
	if err != nil {
		return err
	}

	of := make([][]trial, len(goals))
	for n, t := range trials {
		if index[n] >= 0 {
			g := goals[t.goal]
			t.gain = s.score(g, index[n]) - s.score(g, g.base)
			of[t.goal] = append(of[t.goal], t)
		}
	}
	for n, tried := range of {
		s.reshape(goals[n], tried)
	}
	batch = batch[:0]
	for n, tried := range of {
		// Least gain first, so that of two ends of one input the better is applied last.
		slices.SortStableFunc(tried, func(a, b trial) int { return cmp.Compare(a.gain, b.gain) })
		helped := tried[len(tried):]
		for len(helped) < len(tried) && tried[len(tried)-len(helped)-1].gain > 0 {
			helped = tried[len(tried)-len(helped)-1:]
		}
		if len(helped) > 0 {
			batch = append(batch, s.apply(goals[n], helped...))
			continue
		}
		if goals[n].adds {
			continue
		}
		near := tried[max(0, len(tried)-pairsOf):]
		for i := range near {
			for _, other := range near[:i] {
				batch = append(batch, s.apply(goals[n], other, near[i]))
			}
		}
	}
	_, err = s.try(batch)
	return err
}

// reshape renews what the moves mean to a goal from what was tried at its
// base: the rise from an end to the other, the bend too where the base stood
// between the ends and both were tried.
func (s *survey) reshape(g *goal, tried []trial) {
	for n, t := range tried {
		m, sh := s.moves[t.move], &g.shape[t.move]
		from := s.points[g.base].x[m.input]
		switch {
		case math.IsInf(t.gain, 0):
		case from == m.at[2-t.end]:
			sh.rise = t.gain * float64(t.end-1)
		default:
			for _, o := range tried[:n] {
				if o.move == t.move && !math.IsInf(o.gain, 0) {
					var change [3]float64
					change[o.end], change[t.end] = o.gain, t.gain
					here := shapeOf([3]float64{m.at[0], from, m.at[2]}, change)
					sh.rise, sh.bend = here.rise, here.bend
				}
			}
		}
	}
}

// apply asks at the base of a goal with some of its inputs moved.
func (s *survey) apply(g *goal, trials ...trial) ask {
	x := slices.Clone(s.points[g.base].x)
	for _, t := range trials {
		x[s.moves[t.move].input] = s.moves[t.move].at[t.end]
	}
	return s.ask(g, x)
}
