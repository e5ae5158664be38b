package spread

import (
	"cmp"
	"math"
	"slices"
)

// At the corner an effect may have another sign than at nominal; the weaker it
// was, the more likely. So effects up to weakShare are rechecked first, the
// stronger ones after them, and inputs under quietShare together, not one by
// one. Shares are of the sum of all effects on the output, which is about the
// width of its bounds; our own choice.
const (
	weakShare  = 0.03
	quietShare = 0.001
)

// mostPasses bounds the rechecks at the corner; each starts from the best
// point of the one before, and for most outputs the first changes nothing.
const mostPasses = 6

// addsWithin is how near the corner must come to the sum of the single changes
// that chose it, as a share of all effects, for the inputs to count as not
// acting on each other.
const addsWithin = 0.01

// pairsOf is how many of the least harmful flips are tried two by two when
// none of them helps alone.
const pairsOf = 3

// goldenSteps leaves 0.618¹² = 0.3 % of the range; a smooth peak is then known
// to about the square of that.
const goldenSteps = 12

// survey is one run of Worst.
type survey struct {
	Problem
	*ledger
	moves   []move
	goals   []*goal
	effects [][]Effect // of each output
}

// move is what was learned by moving one input alone through three places: its
// two ends, and nominal or, where nominal is an end, the middle.
type move struct {
	input int
	at    [3]float64 // low, between, high
	point [3]int
	from  int // the point at which all else stands
}

// goal is one output to be driven to one side.
type goal struct {
	output   int
	side     int // lowest or highest
	corner   []float64
	shape    []shape // parallel to survey.moves
	sum      float64 // of the sizes of all effects
	promised float64 // of the single changes that chose the corner
	adds     bool    // the corners of both sides brought what they promised
	base     int     // the point that the last recheck started from
}

// shape is what one move says about the score of one goal.
type shape struct {
	size  float64
	turns bool    // not monotonic over the three places
	tops  bool    // the place between is the highest
	rise  float64 // from the low to the high end; renewed at the corner
	bend  float64 // half the second derivative; a peak is possible where it is negative
}

// peak is where the parabola with the rise and bend of the shape is highest,
// and whether that is inside the range.
func (sh shape) peak(low, high float64) (at float64, inside bool) {
	if !(sh.bend < 0) {
		return 0, false
	}
	at = (low+high)/2 - sh.rise/(high-low)/(2*sh.bend)
	return at, low < at && at < high
}

func (s *survey) value(point, output int) float64 { return s.points[point].out[output] }

// score is the output counted so that more is worse for the goal; minus
// infinity where the output does not exist.
func (s *survey) score(g *goal, point int) float64 {
	v := s.value(point, g.output)
	switch {
	case math.IsNaN(v):
		return math.Inf(-1)
	case g.side == lowest:
		return -v
	}
	return v
}

func (s *survey) best(g *goal) int { return s.ledger.best[g.output][g.side] }

// ask is what a goal wants of a point.
func (s *survey) ask(g *goal, x []float64) ask { return ask{x, s.partOf(g.output)} }

func with(x []float64, input int, value float64) []float64 {
	y := slices.Clone(x)
	y[input] = value
	return y
}

// moveAlone evaluates nominal and then each input alone at its three places, one
// behind a gate with the gate open.
func (s *survey) moveAlone() error {
	nominal := Nominal(s.Inputs)
	batch := []ask{{nominal, whole}}
	for _, i := range s.active() {
		in, rest := s.Inputs[i], nominal
		if gate, ok := s.Behind[i]; ok {
			rest = with(nominal, gate, s.Inputs[gate].High)
		}
		m := move{input: i, at: [3]float64{in.Low, in.Nominal, in.High}}
		if in.Nominal == in.Low || in.Nominal == in.High {
			m.at[1] = in.Low + (in.High-in.Low)/2
		}
		batch = append(batch, ask{rest, whole})
		for _, v := range m.at {
			batch = append(batch, ask{with(rest, i, v), whole})
		}
		s.moves = append(s.moves, m)
	}
	index, err := s.must(batch)
	if err != nil {
		return err
	}
	for n := range s.moves {
		s.moves[n].from = index[1+4*n]
		copy(s.moves[n].point[:], index[2+4*n:])
	}
	s.effects = make([][]Effect, s.Outputs)
	for k := range s.Outputs {
		s.effects[k] = s.rank(k)
	}
	return nil
}

// quiet is the change of output k below which there is none.
func (s *survey) quiet(k int) float64 {
	n := s.value(0, k)
	largest := 0.0
	for _, m := range s.moves {
		for _, p := range m.point {
			if d := math.Abs(s.value(p, k) - s.value(m.from, k)); d > largest {
				largest = d
			}
		}
	}
	noise := s.Noise
	if noise == 0 {
		noise = 1e-9
	}
	return noise * (math.Abs(n) + largest)
}

func (s *survey) rank(k int) []Effect {
	n := s.value(0, k)
	if math.IsNaN(n) {
		return nil
	}
	quiet := s.quiet(k)
	var list []Effect
	for _, m := range s.moves {
		e := Effect{Input: m.input}
		var change [3]float64
		for j, p := range m.point {
			if d := s.value(p, k) - s.value(m.from, k); !math.IsNaN(d) {
				change[j] = d
			} else {
				e.Vanishes = true
			}
		}
		e.Low, e.High = change[0], change[2]
		e.Size = slices.Max(change[:]) - slices.Min(change[:])
		if e.Size > quiet || e.Vanishes {
			list = append(list, e)
		}
	}
	slices.SortStableFunc(list, func(a, b Effect) int {
		if a.Vanishes != b.Vanishes {
			if a.Vanishes {
				return -1
			}
			return 1
		}
		return cmp.Compare(b.Size, a.Size)
	})
	return list
}

// tryCorners goes, for each output and side, to the corner that the signs of
// the effects name. An input that does harm at one end and nothing at the other
// goes to that other end: what binds there may be a limit that only the corner
// reaches, such as a rail that can rise no further.
func (s *survey) tryCorners() error {
	var batch []ask
	for k := range s.Outputs {
		if math.IsNaN(s.value(0, k)) || len(s.effects[k]) == 0 {
			continue
		}
		quiet := s.quiet(k)
		for _, side := range []int{lowest, highest} {
			g := &goal{output: k, side: side}
			s.aim(g, quiet)
			s.goals = append(s.goals, g)
			batch = append(batch, ask{g.corner, whole})
		}
	}
	index, err := s.must(batch)
	if err != nil {
		return err
	}
	for n, g := range s.goals {
		got := s.score(g, index[n]) - s.score(g, 0)
		g.adds = math.Abs(got-g.promised) <= addsWithin*g.sum
	}
	for n := 0; n < len(s.goals); n += 2 { // low and high side: one may add up by chance
		both := s.goals[n].adds && s.goals[n+1].adds
		s.goals[n].adds, s.goals[n+1].adds = both, both
	}
	return nil
}

// aim sets the corner of a goal and what each move means to it.
func (s *survey) aim(g *goal, quiet float64) {
	g.corner = Nominal(s.Inputs)
	g.shape = make([]shape, len(s.moves))
	for n, m := range s.moves {
		var change [3]float64
		far := 0.0
		for _, j := range []int{0, 2, 1} { // of places that do alike an end
			change[j] = s.score(g, m.point[j]) - s.score(g, m.from)
			if math.Abs(change[j]) <= quiet {
				change[j] = 0
			}
			if change[j] > far {
				far = change[j]
				g.corner[m.input] = m.at[j]
			}
		}
		if far == 0 && change[1] == 0 {
			switch {
			case change[0] < 0 && change[2] == 0:
				g.corner[m.input] = m.at[2]
			case change[2] < 0 && change[0] == 0:
				g.corner[m.input] = m.at[0]
			}
		}
		g.promised += far
		g.shape[n] = shapeOf(m.at, change)
		if size := g.shape[n].size; !math.IsInf(size, 0) {
			g.sum += size
		}
	}
}

// shapeOf reads three changes of a score; the bend is the second of Newton's
// divided differences.
func shapeOf(at, change [3]float64) shape {
	up, down := change[1]-change[0], change[2]-change[1]
	size := slices.Max(change[:]) - slices.Min(change[:])
	if math.IsNaN(up) || math.IsNaN(down) || math.IsInf(size, 0) {
		return shape{size: math.Inf(1), turns: true}
	}
	return shape{
		size:  size,
		turns: up*down < 0,
		tops:  up > 0 && down < 0,
		rise:  change[2] - change[0],
		bend:  (down/(at[2]-at[1]) - up/(at[1]-at[0])) / (at[2] - at[0]),
	}
}

// result gathers what the ledger holds.
func (s *survey) result() *Result {
	r := &Result{Evaluations: s.calls, CutShort: s.spent, Outputs: make([]Output, s.Outputs)}
	for k := range r.Outputs {
		o := &r.Outputs[k]
		o.Nominal, o.Low, o.High = math.NaN(), math.NaN(), math.NaN()
		if n := s.odd[k]; n >= 0 {
			o.Elsewhere = slices.Clone(s.points[n].x)
		}
		if math.IsNaN(s.value(0, k)) {
			continue
		}
		low, high := s.points[s.ledger.best[k][lowest]], s.points[s.ledger.best[k][highest]]
		o.Nominal, o.Low, o.High = s.value(0, k), low.out[k], high.out[k]
		o.AtLow, o.AtHigh = slices.Clone(low.x), slices.Clone(high.x)
		o.Effects = s.effects[k]
	}
	return r
}
