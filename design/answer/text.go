package answer

import "mutewright/design/quantity"

// Text writes one value of the quantity for people: "12.1 V". What stands where it
// is counted no further may be any more: "over 60 dB"; a level too small to be read
// is "below 0.01 dB".
func (q Quantity) Text(v float64) string { return told(v, q.Most, q.Unit) }

// Text writes one value of the step like one of a quantity.
func (s Step) Text(v float64) string { return told(v, s.Most, s.Unit) }

// leastLevel is the least difference of levels that is told by its number, dB:
// nobody hears or reads a hundredth.
const leastLevel = 0.01

func told(v, most float64, unit quantity.Unit) string {
	switch {
	case most > 0 && v >= most*(1-1e-12): // ends that were added up
		return "over " + quantity.Format(most, unit)
	case unit == quantity.Level && 0 < v && v < leastLevel:
		return "below " + quantity.Format(leastLevel, unit)
	}
	return quantity.Format(v, unit)
}
