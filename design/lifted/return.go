package lifted

import "errors"

var errUnfinished = errors.New("not solved yet")

// A Return is a network that was found sound and solved on receive. It does not
// change any more and may be used from several goroutines.
type Return struct {
	network Network
	receive State
}

// Solve checks the network and finds its receive state: contact closed, control
// at SetTo, every rail at its receive voltage.
func Solve(n Network) (*Return, error) { return nil, errUnfinished }

// Receive is the state with the contact closed and the control at SetTo.
func (r *Return) Receive() State { return r.receive }

// Muted solves the return with the contact open, over the travel of the control.
func (r *Return) Muted() (Muted, error) { return Muted{}, errUnfinished }

// Unguarded solves the return with the contact open and the pulldown missing.
func (r *Return) Unguarded() (Unguarded, error) { return Unguarded{}, errUnfinished }

// Depth compares receive with muted, control at SetTo.
func (r *Return) Depth() (Depth, error) { return Depth{}, errUnfinished }

// Click finds what opening the contact does to the plate of an output point.
func (r *Return) Click(point int) (Click, error) { return Click{}, errUnfinished }

// Settle finds how long the stages take to reach the wanted depth, dB, after
// the contact opens at once, and to come back.
func (r *Return) Settle(wanted float64) (Settling, error) { return Settling{}, errUnfinished }
