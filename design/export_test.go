package design

import "mutewright/design/timing"

// Reads tells whether a kind of finding looks at results.
func Reads(id string) bool { return len(reads[id]) > 0 }

// Interface is everything that the key of the plan's transmitter works, in the
// nominal case; nil where nothing moves.
func (d *Design) Interface() (*timing.Interface, error) { return d.answers.Interface(d.facts) }
