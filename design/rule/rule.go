// Package rule judges the answers: it compares them with ratings, limits and
// the trade's habits and says what is wrong, how bad it is and what to do. One
// file holds one family of findings.
package rule

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// A Kind is one thing that can be found. Its id is never reused.
type Kind struct {
	ID     string
	Title  string
	Source string
}

// kinds collects what the families of findings declare.
var kinds []Kind

// kind declares a kind of finding.
func kind(id, title, source string) Kind {
	k := Kind{ID: id, Title: title, Source: source}
	kinds = append(kinds, k)
	return k
}

// Kinds returns every kind of finding in the order of their ids.
func Kinds() []Kind {
	list := slices.Clone(kinds)
	slices.SortFunc(list, func(a, b Kind) int { return cmp.Compare(a.ID, b.ID) })
	return list
}

// bench is the place where one plan is judged.
type bench struct {
	*known.Facts
	*answer.Answers
	cat   *catalog.Catalog
	found []finding.Finding
}

// families are the families of findings in the order of the work.
var families = []func(*bench){
	judgeMains, judgePlan, judgeStandby, judgeReturns, judgeDrives, judgeLatching, judgeControl, judgeContacts, judgeAntennas, judgeTiming,
}

// Judge finds everything there is to say about a plan, worst first.
func Judge(f *known.Facts, a *answer.Answers, cat *catalog.Catalog) []finding.Finding {
	b := &bench{Facts: f, Answers: a, cat: cat}
	for i, family := range families {
		if i == 0 || !f.Refused { // a set without isolation is judged no further
			family(b)
		}
	}
	finding.Sort(b.found)
	return b.found
}

// raise adds a finding of a kind.
func (b *bench) raise(k Kind, s finding.Severity, at, says, do string) {
	b.found = append(b.found, finding.Finding{
		ID: k.ID, Severity: s, Title: k.Title, At: at, Says: says, Do: do, Source: k.Source,
	})
}

// A margin of rounding for comparisons with a limit, relative: what stands on
// its limit does not fall over it.
const rounding = 1e-6

func over(value, limit float64) bool  { return value > limit*(1+rounding) }
func under(value, limit float64) bool { return value < limit*(1-rounding) }

// used is the caution level of a rating: 80 % (common practice: capacitors at
// 80 % of their voltage).
const used = 0.8

// ofRating is the severity of a value against a rating: fail over 100 %,
// caution over 80 %.
func ofRating(value, rating float64) finding.Severity {
	switch {
	case over(value, rating):
		return finding.Fail
	case over(value, used*rating):
		return finding.Caution
	}
	return finding.Good
}

// enough is the margin under which a caution is due; under 1 it is a fail.
const enough = 1.1

// ofMargin is the severity of a margin.
func ofMargin(margin float64) finding.Severity {
	switch {
	case under(margin, 1):
		return finding.Fail
	case under(margin, enough):
		return finding.Caution
	}
	return finding.Good
}

// high and low are the bad ends of a quantity that must not be exceeded or
// undercut; ok is false where it does not exist.
func (b *bench) high(name string) (v float64, ok bool) {
	q, ok := b.Get(name)
	return q.High, ok
}

func (b *bench) low(name string) (v float64, ok bool) {
	q, ok := b.Get(name)
	return q.Low, ok
}

// Texts of values.
func volts(v float64) string   { return quantity.Volts(v).String() }
func amps(v float64) string    { return quantity.Amps(v).String() }
func ohms(v float64) string    { return quantity.Ohms(v).String() }
func watts(v float64) string   { return quantity.Watts(v).String() }
func seconds(v float64) string { return quantity.Seconds(v).String() }

// decibels are told to a tenth: nobody hears or reads less.
func decibels(v float64) string {
	return quantity.Format(math.Round(v*10)/10+0, quantity.Level) // + 0: no minus before a zero
}

// percent gives whole ones, and as many digits more as keep what falls short of
// all from reading 100 %.
func percent(v float64) string {
	for digits := 0; ; digits++ {
		words := strconv.FormatFloat(100*v, 'f', digits, 64)
		if digits == 4 || v >= 1 || !strings.HasPrefix(words, "100") {
			return words + " %"
		}
	}
}

func ratio(v float64) string { return fmt.Sprintf("%.2f", v) }

// number is the nominal value at id, 0 where it does not exist.
func (b *bench) number(id known.ID) float64 {
	if !id.Exists() {
		return 0
	}
	return b.Box.Entry(id).Nominal
}

// least and most are the ends of the doubt at id.
func (b *bench) least(id known.ID) float64 { return b.Box.Entry(id).Low }
func (b *bench) most(id known.ID) float64  { return b.Box.Entry(id).High }

// list joins words: "a", "a or b", "a, b or c".
func list(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	end := len(words) - 1
	return strings.Join(words[:end], ", ") + " " + last + " " + words[end]
}
