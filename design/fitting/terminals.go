package fitting

import (
	"fmt"
	"math"
	"strings"
)

// Terminals are a standby control that the set already has, as the diagram shows
// it: two tags, what stands above and below them, and what becomes of them.
type Terminals struct {
	Name     string // the plan's: "rear terminals 5 and 6"
	Opens    string // as a diagram writes it: "HT centre tap", "B+"
	Left     string // "in use", "strapped", "open", "removed"
	Upper    *Joint // the tag towards what it opens
	Lower    *Joint // the other, which is chassis where Grounded
	Grounded bool
	Strap    *Wire    // between the two tags; nil: none
	Words    []string // how live it is, and when: "up to 347 V", "while it is open"; nil: it is not
}

// terminals lays out the controls that stand for themselves. One that opens a
// lifted return, too, and stays in use is told at that return.
func (b *builder) terminals() {
	for i := range b.f.Standby {
		s := &b.f.Standby[i]
		if s.Left == "in use" && s.Return >= 0 {
			continue
		}
		tag := func(which string) *Joint {
			return &Joint{ID: fmt.Sprintf("standby %d, %s", i+1, which), Label: which, Words: s.Name + ", " + strings.TrimSuffix(which, " tag")}
		}
		t := Terminals{
			Name: s.Name, Opens: strings.Replace(strings.Replace(s.Opens, "ht ", "HT ", 1), "b plus", "B+", 1), Left: s.Left, Grounded: s.Grounded(),
			Upper: tag("one tag"), Lower: tag("other tag"), Words: b.liveness(i),
		}
		if s.Left == "strapped" {
			t.Strap = b.wire(t.Upper, t.Lower, returnColours[len(b.w.Groups)%len(returnColours)], heavy, standbyStem(i))
		}
		b.w.Standby = append(b.w.Standby, t)
	}
}

// liveness says what stands on standby control i to chassis, and when.
func (b *builder) liveness(i int) []string {
	s := &b.f.Standby[i]
	q, ok := b.a.Get(standbyStem(i) + ".voltage")
	if s.Left == "removed" || !ok || !(q.High > 0) {
		return nil
	}
	when := map[string]string{"in use": "while it is open", "strapped": "if the strap comes off", "open": "at all times"}[s.Left]
	if !s.Grounded() {
		when = "to chassis at all times"
	}
	return []string{"up to " + WholeVolts(q.High), when}
}

// WholeVolts prints a voltage that warns: upwards to whole volts, so that rounding
// never hides one.
func WholeVolts(v float64) string {
	// A ten-thousandth of slack: a computed 60.00001 V is 60 V.
	return fmt.Sprintf("%.0f\u00a0V", max(0, math.Ceil(v-1e-4*max(1, v))))
}

// standbyStem begins the names of the quantities of standby control i.
func standbyStem(i int) string { return fmt.Sprintf("standby.%d", i+1) }

// strap is the added wire across standby control i, nil where there is none.
func (b *builder) strap(i int) *Wire {
	for _, t := range b.w.Standby {
		if t.Strap != nil && t.Strap.Carries == standbyStem(i) {
			return t.Strap
		}
	}
	return nil
}
