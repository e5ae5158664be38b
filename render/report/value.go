package report

import (
	"mutewright/design/answer"
	"mutewright/design/quantity"
)

// Depths end where leakage past the stages decides: 60 dB a stage, 100 dB the
// set (common practice). What stands on such an end may be any more.
const (
	mostOfStage = 60.0
	mostOfSet   = 100.0
)

// value writes one value of a quantity with its unit. A depth on its end is
// "over" it.
func value(q answer.Quantity, v float64) string {
	text := quantity.Format(v, q.Unit)
	if t, _ := lookUp(q.Name); !t.caps(v) {
		return text
	}
	return "over " + text
}

// caps tells whether a value is where the program stops counting.
func (t term) caps(v float64) bool {
	switch t.pattern {
	case "depth":
		return v >= mostOfSet
	case "point.*.depth":
		return v == mostOfStage
	}
	return false
}
