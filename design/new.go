package design

import (
	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/fitting"
	"mutewright/design/known"
	"mutewright/design/plan"
	"mutewright/design/quantity"
	"mutewright/design/rule"
)

// An Option says how much of a plan is worked out.
type Option func(*known.Facts)

// NominalOnly works a plan out without its doubt and without transients: for what
// hangs on nominal values alone, as the drawing does. Its verdict is no worst case.
func NominalOnly(f *known.Facts) { f.NominalOnly = true }

// New works a plan out. The error is a failure to solve, never a judgement:
// what is wrong with the plan stands in the findings.
func New(p *plan.Plan, cat *catalog.Catalog, options ...Option) (*Design, error) {
	p, taken, err := resolve(p, cat)
	if err != nil {
		return nil, err
	}
	f := known.From(p, cat)
	for _, c := range taken {
		f.Box.Credit(c.At, c.Why)
	}
	for _, o := range options {
		o(f)
	}
	f.Narrow()
	chosen, windows, err := choose(f, cat)
	if err != nil {
		return nil, err
	}
	chosen = append(taken, chosen...)
	f.Narrow()
	a, err := answer.Ask(f, windows)
	if err != nil {
		return nil, err
	}
	d := &Design{
		Title: p.Title.Is, Fingerprint: p.SHA256, Head: head(p, f), Refused: f.Refused,
		Quantities: a.Set, Chosen: chosen, Assumed: assumed(f),
		facts: f, answers: a,
	}
	d.Findings = rule.Judge(f, a, cat)
	d.Verdict = finding.Verdict(d.Findings)
	if f.Refused {
		d.Fitting = fitting.MainsOnly(f, a)
	} else {
		d.Fitting = fitting.New(f, a)
		d.Places = places(f, a, &d.Fitting)
		d.Limits = limits(f, a)
		if d.Measure, err = measureFirst(f, a, d.Limits); err != nil {
			return nil, err
		}
	}
	return d, nil
}

func head(p *plan.Plan, f *known.Facts) Head {
	return Head{
		Set: p.Receiver.Name.Is, DrawnBy: p.DrawnBy.Is, Date: p.Date.Is,
		Transmitter: f.Transmitter.Name, Chassis: p.Receiver.Chassis.Is,
		MutesWhen: f.Control.MutesWhen, OnReceive: len(f.Relays) > 0 && f.Relays[0].OnReceive,
		Discharge: Discharge{Ohms: answer.ToolOhms, Watts: answer.ToolWatts},
	}
}

// assumed lists what the plan left out: numbers from the box, then words.
func assumed(f *known.Facts) []Assumed {
	var list []Assumed
	for _, e := range f.Box {
		if e.Origin != known.Assumed {
			continue
		}
		a := Assumed{
			At: e.At, Why: e.Because,
			Value: quantity.Format(e.Nominal, e.Unit), Plain: quantity.Plain(e.Nominal, e.Unit),
		}
		if !e.Certain() {
			a.Value += " (" + quantity.Format(e.Low, e.Unit) + " … " + quantity.Format(e.High, e.Unit) + ")"
			a.Range = quantity.Plain(e.Low, e.Unit) + " .. " + quantity.Plain(e.High, e.Unit)
		}
		list = append(list, a)
	}
	for _, w := range f.Assumed {
		list = append(list, Assumed{At: w.At, Value: w.Value, Plain: w.Value, Why: w.Because})
	}
	return list
}
