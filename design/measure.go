package design

import (
	"cmp"
	"math"
	"slices"

	"mutewright/design/answer"
	"mutewright/design/beside"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// mostMeasures is how many things to measure first are named: more than a
// handful is a list that nobody works through.
const mostMeasures = 7

// perVerdict is how many numbers are named for one verdict, each of which
// decides it alone; where none does, as many as decide it together.
const perVerdict = 2

// A candidate is something that may be worth measuring first.
type candidate struct {
	Measure
	needs []need
	grave bool
	rank  int     // among those of one verdict
	share float64 // of the doubt of the result
}

// A need is one reading that a candidate asks for: of a number below or above a
// value.
type need struct {
	at    string
	value float64
	below bool
	entry known.Entry
}

// needOf asks for a number on one side of a value, in digits that can be read.
func needOf(v float64, below bool, e known.Entry) need {
	return need{e.At, readable(v, below, e), below, e}
}

// String is the need in words: "below 430 ohm".
func (n need) String() string {
	side := "above "
	if n.below {
		side = "below "
	}
	return side + quantity.Plain(n.value, n.entry.Unit)
}

// bars tells whether no reading serves both needs.
func (n need) bars(o need) bool {
	if n.at != o.at || n.below == o.below {
		return false
	}
	if n.below {
		return n.value <= o.value
	}
	return o.value <= n.value
}

// bars tells whether no readings serve both candidates.
func (c candidate) bars(o candidate) bool {
	return slices.ContainsFunc(c.needs, func(n need) bool { return slices.ContainsFunc(o.needs, n.bars) })
}

// measureFirst lists what is worth measuring before the set is opened: for every
// verdict that could change inside the doubt, the numbers that carry it, with
// the reading on whose safe side the finding is not there. Fails and dangers
// come before cautions, and every verdict gets its first number before any gets
// its second.
func measureFirst(f *known.Facts, a *answer.Answers, limits []Limit) ([]Measure, error) {
	of := edges(f, a, limits)
	found := make([][]candidate, len(of))
	if err := beside.Each(len(of), func(i int) (err error) {
		found[i], err = deciding(f, a, of[i])
		return err
	}); err != nil {
		return nil, err
	}
	list := slices.Concat(unlisted(f, a), slices.Concat(found...))
	slices.SortStableFunc(list, func(a, b candidate) int {
		return cmp.Or(-compareBool(a.grave, b.grave), cmp.Compare(a.rank, b.rank), cmp.Compare(b.share, a.share))
	})
	var named []candidate
	for _, c := range list {
		known := func(o candidate) bool { return o.At == c.At && o.Decides == c.Decides && o.Of == c.Of }
		if len(named) < mostMeasures && !slices.ContainsFunc(named, known) {
			named = append(named, c)
		}
	}
	var measures []Measure
	for _, c := range named {
		if i := slices.IndexFunc(named, c.bars); i >= 0 {
			c.Contrary = named[i].Decides
		}
		measures = append(measures, c.Measure)
	}
	return measures, nil
}

// unlisted is what may join the mains to the chassis where the plan does not say:
// no result shows it, and nothing is more worth a look.
func unlisted(f *known.Facts, a *answer.Answers) []candidate {
	const at = "receiver.mains.line_capacitors"
	largest, ok := a.Get("mains.largest_y")
	if !ok || !slices.ContainsFunc(f.Assumed, func(a known.Assumption) bool { return a.At == at }) {
		return nil
	}
	safe := "none, or " + quantity.Plain(largest.Low, largest.Unit) + " in all at most"
	return []candidate{{Measure: Measure{At: at, Decides: "mains.touch_current", Of: "touch current of the set", Safe: safe}, grave: true, share: 1}}
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

// deciding lists what decides one edge.
func deciding(f *known.Facts, a *answer.Answers, e edge) (list []candidate, err error) {
	add := func(share float64, needs ...need) {
		safe := needs[0].String()
		for _, n := range needs[1:] {
			safe += ", with " + n.at + " " + n.String()
		}
		list = append(list, candidate{Measure{At: needs[0].at, Decides: e.finding, Of: e.words, Safe: safe}, needs, e.grave, len(list), share})
	}
	// A rating that is not known well decides by itself.
	if e.rating.Exists() {
		r, worst := f.Box.Entry(e.rating), e.worst()/e.share
		if answer.Measurable(r) && r.Low < worst && worst < r.High {
			add(1, needOf(worst, false, r))
		}
	}
	if !e.open() {
		return list, nil
	}
	if id, falls := answer.RFTiming(f, e.Name); id.Exists() {
		r := f.Box.Entry(id)
		v := r.Low + e.limit - e.Low // the margin follows it one to one
		if falls {
			v = r.High - e.limit + e.Low
		}
		if answer.Measurable(r) && r.Low < v && v < r.High {
			add(1, needOf(v, falls, r))
		}
		return list, nil
	}
	thresholds, err := a.Thresholds(f, e.Name, e.limit, e.least, perVerdict)
	if err != nil {
		return nil, err
	}
	for _, t := range thresholds {
		add(t.Share, needOf(t.Value, t.Below, t.Entry))
	}
	for n := perVerdict; len(list) == 0 && n <= mostTogether; n++ {
		together, err := a.Together(f, e.Name, e.limit, e.least, n)
		if err != nil {
			return nil, err
		}
		if len(together) > 0 {
			var needs []need
			for _, t := range together {
				needs = append(needs, needOf(t.Value, t.Below, t.Entry))
			}
			add(together[0].Share, needs...)
		}
	}
	return list, nil
}

// mostTogether is how many numbers are named that decide only together.
const mostTogether = 3

// worst is the end of the result that its limit is held against.
func (e edge) worst() float64 {
	return Limit{Quantity: e.Quantity, Least: e.least}.Worst()
}

// readable is a threshold in two digits, to its safe side: nobody reads a third
// off an old resistor. Where that leaves nothing of what the number may be, it
// takes more.
func readable(v float64, below bool, e known.Entry) float64 {
	for digits := 2; digits < 5; digits++ {
		if r := towards(v, below, digits); e.Low < r && r < e.High {
			return r
		}
	}
	return v
}

// towards rounds to some digits, down or up.
func towards(v float64, down bool, digits int) float64 {
	if v == 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))+1-float64(digits))
	if down {
		return math.Floor(v/step+1e-9) * step
	}
	return math.Ceil(v/step-1e-9) * step
}
