package answer

import (
	"math"

	"mutewright/design/known"
	"mutewright/design/spread"
)

// asked is a result as it was asked: the question over the box, and which of its
// results this one is.
type asked struct {
	problem *spread.Problem
	column  int
	of      column
	out     spread.Output
}

// A Threshold is one number of the plan that decides whether a result keeps a
// limit: measured on the safe side of Value, the limit holds whatever the
// others do.
type Threshold struct {
	At    string // key path
	Entry known.Entry
	Value float64 // in the entry's unit
	Below bool    // safe below Value; else above
	Share float64 // of the result's doubt that this number carries, 0 … 1
}

// Thresholds looks for the numbers that alone decide whether a result keeps a
// limit: those that a technician can measure or read off (what the plan gives
// with a doubt, or leaves out), the strongest first, at most n. All others stand
// in the corner where the result is worst. least says that the result must reach
// the limit; else it may not exceed it.
func (a *Answers) Thresholds(f *known.Facts, name string, limit float64, least bool, n int) ([]Threshold, error) {
	q, ok := a.Get(name)
	if !ok || q.asked == nil || n == 0 {
		return nil, nil
	}
	k := q.asked
	corner := k.out.AtHigh
	if least {
		corner = k.out.AtLow
	}
	var list []Threshold
	for _, effect := range k.out.Effects {
		entry := f.Box[effect.Input]
		if len(list) == n {
			break
		}
		if !Measurable(entry) {
			continue
		}
		crossing, ok, err := spread.Threshold(*k.problem, effect.Input, k.column, limit, corner)
		if err != nil {
			return nil, err
		}
		if !ok {
			continue
		}
		list = append(list, Threshold{
			At: entry.At, Entry: entry, Value: crossing.Value,
			Below: crossing.Above != least,
			Share: effect.Size / math.Max(k.out.High-k.out.Low, 1e-300),
		})
	}
	return list, nil
}

// Measurable tells whether a number can be found out before the work: it is of
// the plan and in doubt, or was left out of it. The usual spread of tubes and of
// mains is not.
func Measurable(e known.Entry) bool {
	return !e.Certain() && (e.Origin == known.Given || e.Origin == known.Assumed)
}
