package answer

import (
	"math"
	"slices"
	"strings"

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

	input int
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
// mains is not; nor is the air in the cabinet, which is cold and warm in turn, nor
// the parts that are still to be bought.
func Measurable(e known.Entry) bool {
	bought := strings.HasPrefix(e.At, "relay.") || strings.HasPrefix(e.At, "returns.")
	switch e.Origin {
	case known.Given:
		return !e.Certain() && e.At != "receiver.ambient" && !bought
	case known.Assumed: // of a part that is bought its data sheet tells
		return !e.Certain() && e.At != "receiver.ambient"
	}
	return false
}

// Together looks for readings of the n numbers that carry the most of a result's
// doubt and can be found out, none of which decides alone: with all of them on
// the safe side of theirs the limit holds whatever the others do. All move
// together from where the result is worst towards their other ends, each by the
// same part of its way. It finds none where that does not suffice.
func (a *Answers) Together(f *known.Facts, name string, limit float64, least bool, n int) ([]Threshold, error) {
	q, ok := a.Get(name)
	if !ok || q.asked == nil {
		return nil, nil
	}
	k := q.asked
	worst := k.out.AtHigh
	if least {
		worst = k.out.AtLow
	}
	var list []Threshold
	for _, effect := range k.out.Effects {
		entry := f.Box[effect.Input]
		if len(list) == n {
			break
		}
		at := worst[effect.Input]
		if !Measurable(entry) || at != entry.Low && at != entry.High {
			continue
		}
		list = append(list, Threshold{
			At: entry.At, Entry: entry, Below: at == entry.High,
			Share: effect.Size / math.Max(k.out.High-k.out.Low, 1e-300), input: effect.Input,
		})
	}
	if len(list) < n {
		return nil, nil
	}
	out := make([]float64, k.problem.Outputs)
	x := slices.Clone(worst)
	holds := func(part float64) (bool, error) {
		for i := range list {
			t := &list[i]
			from, to := t.Entry.Low, t.Entry.High
			if t.Below {
				from, to = to, from
			}
			t.Value = from + part*(to-from)
			x[t.input] = t.Value
		}
		err := k.problem.Eval(x, out)
		v := out[k.column]
		return least && v >= limit || !least && v <= limit, err
	}
	if ok, err := holds(1); !ok || err != nil {
		return nil, err
	}
	bad, good := 0.0, 1.0
	for range halvings {
		middle := (bad + good) / 2
		ok, err := holds(middle)
		if err != nil {
			return nil, err
		}
		if ok {
			good = middle
		} else {
			bad = middle
		}
	}
	_, err := holds(good)
	return list, err
}

// halvings leave a thousandth of the way, which is finer than anybody reads.
const halvings = 10
