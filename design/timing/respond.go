package timing

import (
	"fmt"
	"math"
	"slices"

	"mutewright/design/circuit"
	"mutewright/design/lifted"
)

// A Response is how the depth of one lifted return follows its contact: from
// receive when the contact opens, and from the settled muted state when it
// closes again. It does not depend on the drive or the instant. It does not
// change any more and may be used from several goroutines.
type Response struct {
	net        lifted.Network
	solved     *lifted.Return
	depth      lifted.Depth
	final      float64 // dB, muted and settled
	muting     curve   // from the opening of the contact
	recovering curve   // from its closing
}

// Final is the depth of the return, muted and settled, dB.
func (r *Response) Final() float64 { return r.final }

// Respond solves a return for its response.
func Respond(n lifted.Network) (*Response, error) {
	solved, err := lifted.Solve(n)
	if err != nil {
		return nil, err
	}
	r := &Response{net: n, solved: solved}
	if r.depth, err = solved.Depth(); err != nil {
		return nil, err
	}
	if r.recovering, err = r.follow(true); err != nil {
		return nil, fmt.Errorf("lifted return coming back: %w", err)
	}
	r.final = r.recovering.values[0]
	if r.muting, err = r.follow(false); err != nil {
		return nil, fmt.Errorf("lifted return being muted: %w", err)
	}
	return r, nil
}

// BypassToReturn is the response with every cathode bypass of an output stage
// returned to the lifted node instead of chassis, and whether there was one to
// return.
func (r *Response) BypassToReturn() (*Response, bool, error) {
	n, found := r.net, false
	n.Points = slices.Clone(n.Points)
	for i, p := range n.Points {
		if o, ok := p.(lifted.Output); ok && o.Bypass > 0 && o.BypassTo == lifted.ToChassis {
			o.BypassTo, found = lifted.ToReturn, true
			n.Points[i] = o
		}
	}
	if !found {
		return r, false, nil
	}
	with, err := Respond(n)
	return with, true, err
}

const (
	// before is how long a return runs at rest before its contact moves, s.
	before = 1e-4
	// firstLook is after how long it is seen whether a return has settled, s:
	// the bypass of an output stage holds it for 20 … 90 ms.
	firstLook = 0.3
	// LastLook is when waiting is given up, s: ten time constants of 100 µF on
	// 100 kΩ, the highest pulldown.
	LastLook = 100.0
	// settled is how near to its end, dB, a depth has settled.
	settled = 0.05
)

// follow moves the contact once, from rest, and follows the depth until it has
// settled. closes: from open to closed.
func (r *Response) follow(closes bool) (curve, error) {
	c := circuit.New()
	nodes := r.Build(c, "", circuit.Switch{Closed: !closes, Times: []circuit.Toggle{{At: before, Closed: closes}}})
	end := 0.0
	if !closes {
		end = r.final
	}
	var whole curve
	var o circuit.TransientOptions
	for until := firstLook; ; until *= 5 {
		tr, err := c.Transient(before+until, o)
		if err != nil {
			return curve{}, err
		}
		open := func(t float64) bool { return (t > before) != closes }
		whole.append(-before, tr.Times(), r.solved.Course(r.depth, nodes, tr, open))
		if math.Abs(whole.last()-end) < settled || until > LastLook {
			return whole, nil
		}
		o.Start = tr.End()
	}
}

// Build adds the return with its contact, worked as the switch says, to a circuit.
func (r *Response) Build(c *circuit.Circuit, prefix string, s circuit.Switch) lifted.Nodes {
	nodes := r.solved.Build(c, prefix)
	s.On, s.Off = max(r.net.Contact, leastContact), openContact
	c.Switch(prefix+"contact", nodes.Return, circuit.Chassis, s)
	return nodes
}

const (
	// leastContact and openContact are the ends of what a contact is, ohm: as
	// good as wire, and beyond any leakage that matters.
	leastContact = 1e-3
	openContact  = 1e12
)
