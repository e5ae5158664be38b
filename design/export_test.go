package design

import (
	"mutewright/design/answer"
	"mutewright/design/lifted"
	"mutewright/design/timing"
)

// Reads tells whether a kind of finding looks at results.
func Reads(id string) bool { return len(reads[id]) > 0 }

// Interface is everything that the key of the plan's transmitter works, in the
// nominal case; nil where nothing moves.
func (d *Design) Interface() (*timing.Interface, error) { return d.answers.Interface(d.facts) }

// MutedReturn is the plan's return r in the nominal case, as it stands when all
// returns are muted.
func (d *Design) MutedReturn(r int) (lifted.Network, error) { return d.answers.MutedReturn(d.facts, r) }

// Returns are the names of the plan's returns in their order.
func (d *Design) Returns() []string {
	var names []string
	for _, r := range d.facts.Returns {
		names = append(names, r.Name)
	}
	return names
}

// Windows are the ranges from which the pulldowns may be taken, by return.
func (d *Design) Windows() map[string]answer.Window { return d.answers.Window }
