package wiring

import "mutewright/design/fitting"

// nets joins the joints that a wire connects: lines of one net may meet in the
// drawing, lines of two may not.
type nets map[*fitting.Joint]*fitting.Joint

func netsOf(w *fitting.Wiring) nets {
	n := nets{}
	for _, wire := range w.Order() {
		if wire.From != nil && wire.To != nil {
			n[n.root(wire.From)] = n.root(wire.To)
		}
	}
	return n
}

func (n nets) root(j *fitting.Joint) *fitting.Joint {
	for n[j] != nil && n[j] != j {
		j = n[j]
	}
	return j
}

// of names the net of a joint.
func (n nets) of(j *fitting.Joint) string {
	if j == nil {
		return ""
	}
	return "at " + n.root(j).ID
}

func (n nets) ofAll(joints []*fitting.Joint) []string {
	var all []string
	for _, j := range joints {
		if j != nil {
			all = append(all, n.of(j))
		}
	}
	return all
}
