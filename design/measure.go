package design

import (
	"cmp"
	"math"
	"slices"

	"mutewright/design/answer"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// mostMeasures is how many things to measure first are named: more than a
// handful is a list that nobody works through.
const mostMeasures = 7

// perVerdict is how many numbers are named for one verdict.
const perVerdict = 2

// measureFirst lists what is worth measuring before the set is opened: for every
// result whose doubt straddles its limit, the numbers that carry the doubt, with
// the reading on whose safe side the limit holds.
func measureFirst(f *known.Facts, a *answer.Answers, limits []Limit) ([]Measure, error) {
	type candidate struct {
		Measure
		share float64
	}
	var list []candidate
	for _, l := range limits {
		if l.Finding == "" {
			continue
		}
		// A rating that is not known well decides by itself.
		if l.rating.Exists() {
			if e := f.Box.Entry(l.rating); answer.Measurable(e) && e.Low < l.Worst() && l.Worst() < e.High {
				list = append(list, candidate{
					Measure{At: e.At, Decides: l.Finding, Safe: "above " + quantity.Plain(towards(l.Worst(), false), e.Unit)}, 1,
				})
			}
		}
		if !l.straddled() {
			continue
		}
		thresholds, err := a.Thresholds(f, l.Name, l.Limit, l.Least, perVerdict)
		if err != nil {
			return nil, err
		}
		for _, t := range thresholds {
			side := "above "
			if t.Below {
				side = "below "
			}
			list = append(list, candidate{
				Measure{At: t.At, Decides: l.Finding, Safe: side + quantity.Plain(rounded(t), t.Entry.Unit)},
				t.Share,
			})
		}
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(b.share, a.share) })
	var measures []Measure
	for _, c := range list {
		if len(measures) < mostMeasures && !slices.Contains(measures, c.Measure) {
			measures = append(measures, c.Measure)
		}
	}
	return measures, nil
}

// straddled tells whether the limit lies inside the doubt of the result, so that
// a measurement could decide it.
func (l Limit) straddled() bool { return l.Low < l.Limit && l.Limit < l.High }

// rounded is the threshold in two digits, to its safe side: nobody reads a third
// off an old resistor.
func rounded(t answer.Threshold) float64 { return towards(t.Value, t.Below) }

// towards rounds to two digits, down or up.
func towards(v float64, down bool) float64 {
	if v == 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-1)
	if down {
		return math.Floor(v/step+1e-9) * step
	}
	return math.Ceil(v/step-1e-9) * step
}
