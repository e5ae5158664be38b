package design

import (
	"slices"
	"strings"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/fitting"
	"mutewright/design/known"
	"mutewright/design/plan"
	"mutewright/design/rule"
)

// Mains works out the mains side of a plan alone: whether the set is fit to be
// connected to anything. What it says is what [New] says of it, with the same
// numbers on its readings; nothing else of the plan is solved, so that nothing
// else can fail.
func Mains(p *plan.Plan, cat *catalog.Catalog) (*Design, error) {
	f := known.From(p, cat)
	a, err := answer.AskMains(f)
	if err != nil {
		return nil, err
	}
	d := &Design{
		Title: p.Title.Is, Fingerprint: p.SHA256, Head: head(p, f), Refused: f.Refused,
		Quantities: a.Set, Findings: rule.JudgeMains(f, a), Fitting: fitting.MainsOnly(f, a),
		Assumed: slices.DeleteFunc(assumed(f), func(a Assumed) bool { return !ofMains(a.At) }),
	}
	d.Verdict = finding.Verdict(d.Findings)
	if !f.Refused {
		d.Limits = limits(f, a)
		d.Measure, err = measureFirst(f, a, d.Limits)
	}
	return d, err
}

// ofMains tells whether a key path bears on the mains side: its own block, and
// of the rails what decides how they empty.
func ofMains(at string) bool {
	if strings.HasPrefix(at, "receiver.mains.") {
		return true
	}
	return strings.HasPrefix(at, "receiver.supplies.") &&
		slices.ContainsFunc([]string{".unloaded", ".capacitance", ".bleeder"}, func(key string) bool { return strings.HasSuffix(at, key) })
}
