package timing

import (
	"fmt"
	"slices"

	"mutewright/design/circuit"
	"mutewright/design/drive"
)

// onTransmit is the state of the key line while the transmitter is keyed.
func onTransmit(mutes drive.Sense) drive.LineState {
	switch mutes {
	case drive.Opened:
		return drive.LineOpen
	case drive.Raised:
		return drive.LineRaised
	}
	return drive.LineGrounded
}

// energised reports whether the drive's coils carry current on transmit.
func (d Drive) energised(mutes drive.Sense) bool {
	return d.Drive.Hookup.Energises(onTransmit(mutes))
}

// WithSteady is the interface with the steady state of every drive solved, which
// Solve, Worst, Remedies and Trace otherwise do anew at each call.
func (in Interface) WithSteady() (Interface, error) { return in.steadyNear(drive.Result{}) }

// steadyNear is WithSteady, begun near a drive that is solved, if it is.
func (in Interface) steadyNear(near drive.Result) (Interface, error) {
	in.Drives = slices.Clone(in.Drives)
	for i := range in.Drives {
		d := &in.Drives[i]
		if d.Steady != nil {
			near = *d.Steady
			continue
		}
		steady, err := near.Near(d.Drive)
		if err != nil {
			return in, fmt.Errorf("timing: drive %d: %w", i+1, err)
		}
		d.Steady, near = &steady, steady
	}
	return in, nil
}

// ready is the interface checked and with its steady states.
func (in Interface) ready() (Interface, error) { return in.readyNear(drive.Result{}) }

func (in Interface) readyNear(near drive.Result) (Interface, error) {
	if err := in.check(); err != nil {
		return in, fmt.Errorf("timing: %w", err)
	}
	return in.steadyNear(near)
}

const (
	// rest is how long a drive stands idle before the key moves, s: its
	// reservoir begins at its steady voltage and nothing happens.
	rest = 1e-4
	// look is how long a drive is followed before it is asked whether its
	// armatures have arrived, s; four times as long each time after.
	look = 15e-3
	// patience is when an armature counts as still, s: a hold capacitor of
	// 1000 µF keeps a coil of 1 kΩ for 2.3 s, down to a tenth.
	patience = 3.0
)

// A rig is a drive in a circuit of its own, at rest, with its key about to move.
type rig struct {
	circuit *circuit.Circuit
	built   drive.Built
	keyed   float64 // s, when the key moves
}

// rig puts a drive into a circuit. down: the key closes, else it lets go after
// a long transmission. again is when the key moves back, counted from its first
// movement; 0: never.
//
// Both states from which it begins are steady: the reservoir stands at the mean
// voltage that drive.Solve gives, the coil carries that over its resistance. A
// coil that is energised runs for one period of the mains first, so that the
// ripple is there. The key moves at the phase asked for.
func (d Drive) rig(in *Interface, down bool, again float64) (rig, error) {
	steady := d.Steady
	operated := d.energised(in.Mutes) != down
	r := rig{circuit: circuit.New(), keyed: rest}
	supply := steady.Supply.Released
	hertz := 0.0
	if d.Drive.Rectifier != drive.None {
		hertz = d.Drive.Winding.Hertz
	}
	if operated {
		supply = steady.Supply.Operated
		if hertz > 0 {
			r.keyed = 1 / hertz
		}
	}
	closes := down != (in.Mutes == drive.Opened)
	k := drive.Keying{
		Phase: in.Phase - 360*hertz*r.keyed, Made: !closes,
		Toggles: []circuit.Toggle{{At: r.keyed, Closed: closes}},
	}
	if again > 0 {
		k.Toggles = append(k.Toggles, circuit.Toggle{At: r.keyed + again, Closed: !closes})
	}
	for i, m := range d.Relays {
		// A coil pulls in and lets go at a current, whatever its temperature.
		c := d.Drive.Coils[i]
		k.Relays = append(k.Relays, drive.Moving{
			Ohms: steady.Coils[i].Ohms, Open: m.Open, Closed: m.Closed,
			Operate: c.Operate * c.Rated / c.Ohms, Release: m.LetGo * c.Rated / c.Ohms,
			OperateTravel: m.OperateTravel, ReleaseTravel: m.ReleaseTravel,
			Operated: operated,
		})
	}
	var err error
	r.built, err = drive.Build(r.circuit, d.Drive, supply, k)
	return r, err
}

// moves works the key of a drive once and returns what its relays do.
func (d Drive) moves(in *Interface, down bool) ([]Move, error) {
	r, err := d.rig(in, down, 0)
	if err != nil {
		return nil, err
	}
	moves := make([]Move, len(d.Relays))
	var o circuit.TransientOptions
	for wait := look; ; wait *= 4 {
		tr, err := r.circuit.Transient(r.keyed+wait, o)
		if err != nil {
			return nil, err
		}
		if d.read(tr, r.built.Armatures, d.energised(in.Mutes) == down, r.keyed, moves) {
			return moves, nil
		}
		if wait > patience {
			return nil, fmt.Errorf("%w within %.3g s", ErrStill, wait)
		}
		o.Start = tr.End()
	}
}

// read takes from a trace what armatures do from the instant at which the key
// moves, keeps what is in moves already, and reports whether all have arrived.
func (d Drive) read(tr *circuit.Trace, armatures []string, operates bool, keyed float64, moves []Move) (all bool) {
	starts, arrives := circuit.StartsReleasing, circuit.Released
	if operates {
		starts, arrives = circuit.StartsOperating, circuit.Operated
	}
	all = true
	for i, armature := range armatures {
		m := &moves[i]
		if m.Arrives > 0 {
			continue
		}
		if at, ok := tr.Event(armature, starts, keyed); ok {
			m.Starts = at - keyed
		}
		at, ok := tr.Event(armature, arrives, keyed)
		if !ok {
			all = false
			continue
		}
		m.Arrives = at - keyed
		m.Settled = m.Arrives + d.Relays[i].Bounce
	}
	return all
}
