package rule

import (
	"fmt"

	"mutewright/design/finding"
)

var driveLatching = kind("drive.latching", "Relay keeps its place without current", "common practice")

// judgeLatching refuses relays that stay where they were last put.
func judgeLatching(b *bench) {
	for i := range b.Relays {
		r := &b.Relays[i]
		if r.Contacts.Latching {
			b.raise(driveLatching, finding.Fail, r.At+".use",
				fmt.Sprintf("K%d latches: it wants a pulse for each way and stays where it was put when the key cable is pulled or the supply fails, so that nobody knows whether the set is muted.", r.Index),
				another("of the same class that does not latch", r)+".")
		}
	}
}
