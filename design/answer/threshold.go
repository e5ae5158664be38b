package answer

import (
	"math"
	"slices"
	"strings"

	"mutewright/design/beside"
	"mutewright/design/known"
	"mutewright/design/quantity"
	"mutewright/design/spread"
)

// asked is a result as it was asked: the question over the box, and which of its
// results this one is.
type asked struct {
	problem *spread.Problem
	column  int
	of      column
	out     spread.Output
	steps   func(x []float64) ([]detail, error)
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

// mostTried is how many of the numbers that carry a result's doubt are tried: where
// these do not decide, weaker ones do not either.
const mostTried = 3

// Thresholds looks for the numbers that alone decide whether a result keeps a
// limit: those that a technician can measure or read off (what the plan gives
// with a doubt, or leaves out), the strongest first, at most n. All others stand
// in the corner where the result is worst. least says that the result must reach
// the limit; else it may not exceed it.
func (a *Answers) Thresholds(f *known.Facts, name string, limit float64, least bool, n int) ([]Threshold, error) {
	d := a.doubted(f, name, limit, least)
	decides := make([]bool, len(d.numbers))
	err := beside.Each(len(d.numbers), func(i int) (err error) {
		decides[i], err = d.decide(d.numbers[i : i+1])
		return err
	})
	if err != nil {
		return nil, err
	}
	var list []Threshold
	for i, t := range d.numbers {
		if decides[i] && len(list) < n {
			list = append(list, t)
		}
	}
	return list, nil
}

// Together looks for readings of the n numbers that carry the most of a result's
// doubt and can be found out, none of which decides alone: with all of them on
// the safe side of theirs the limit holds whatever the others do. All move
// together from where the result is worst towards their other ends, each by the
// same part of its way. It finds none where that does not suffice.
func (a *Answers) Together(f *known.Facts, name string, limit float64, least bool, n int) ([]Threshold, error) {
	d := a.doubted(f, name, limit, least)
	if len(d.numbers) < n {
		return nil, nil
	}
	list := d.numbers[:n]
	if ok, err := d.decide(list); !ok {
		return nil, err
	}
	return list, nil
}

// doubted is a result in doubt about a limit, with the numbers that can be found
// out about it, strongest first.
type doubted struct {
	*asked
	limit   float64
	least   bool
	worst   []float64 // where the result is worst
	bound   float64   // the result there
	numbers []Threshold
}

func (a *Answers) doubted(f *known.Facts, name string, limit float64, least bool) (d doubted) {
	q, ok := a.Get(name)
	if !ok || q.asked == nil {
		return d
	}
	d = doubted{asked: q.asked, limit: limit, least: least, worst: q.asked.out.AtHigh, bound: q.asked.out.High}
	if least {
		d.worst, d.bound = q.asked.out.AtLow, q.asked.out.Low
	}
	for _, effect := range d.out.Effects {
		entry := f.Box[effect.Input]
		at := d.worst[effect.Input]
		if len(d.numbers) == mostTried {
			break
		}
		if !Measurable(entry) || at != entry.Low && at != entry.High {
			continue
		}
		d.numbers = append(d.numbers, Threshold{
			At: entry.At, Entry: entry, Below: at == entry.High,
			Share: effect.Size / math.Max(d.out.High-d.out.Low, 1e-300), input: effect.Input,
		})
	}
	return d
}

// decide moves some numbers together from where the result is worst to their
// other ends, and sets each to where the limit is met, on the safe side. It is
// false where the limit does not hold even at the ends.
func (d doubted) decide(numbers []Threshold) (bool, error) {
	way := spread.Way{From: d.worst, To: slices.Clone(d.worst), Value: d.bound}
	for _, t := range numbers {
		way.To[t.input] = t.Entry.High
		if t.Below {
			way.To[t.input] = t.Entry.Low
		}
	}
	part, ok, err := spread.Threshold(*d.problem, d.column, d.limit, d.least, way)
	if !ok || err != nil {
		return false, err
	}
	for i := range numbers {
		t := &numbers[i]
		t.Value = way.From[t.input] + part*(way.To[t.input]-way.From[t.input])
	}
	return true, nil
}

// Measurable tells whether a number can be found out before the work: it is of
// the plan and in doubt, or was left out of it. The usual spread of tubes and of
// mains is not; nor is the air in the cabinet, which is cold and warm in turn, nor
// the parts that are still to be bought, nor the resistance of a fuse, for which a
// plan has no key.
func Measurable(e known.Entry) bool {
	if e.Unit == quantity.Resistance && strings.HasSuffix(e.At, ".fuse") {
		return false
	}
	bought := strings.HasPrefix(e.At, "relay.") || strings.HasPrefix(e.At, "returns.")
	switch e.Origin {
	case known.Given:
		return !e.Certain() && e.At != "receiver.ambient" && !bought
	case known.Assumed: // of a part that is bought its data sheet tells
		return !e.Certain() && e.At != "receiver.ambient"
	}
	return false
}
