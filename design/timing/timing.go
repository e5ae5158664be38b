// Package timing answers when the interface has done what the transmitter's
// key asks of it: returns open, input guarded, set muted before the RF arrives,
// and the guard still made until the RF has gone.
//
// An [Interface] is one corner: the drives of the relays, the relays, and what
// hangs on their contacts, all as plain SI numbers (V, A, ohm, F, H, s, dB).
// [Solve] works the key of one such corner down and up again, from idle and
// from a long transmission; [Worst] puts the corners together from which the
// ends of every time come; the functions of a [Remedy] try what would help.
//
// # One transient in two parts
//
// Coil, supply and key line stand in one circuit, a lifted return in another;
// they have no element in common and only chassis, whose voltage is fixed, as
// a common node. So neither circuit's equations hold an unknown of the other,
// and the whole falls apart into blocks that are solved one by one with the
// same result. The one thing that passes between them is the instant at which
// a contact moves, and that goes one way only: the armature follows its coil's
// current, nothing in a return acts on a coil. The drive is therefore solved
// first, its contact times are found, and every return is solved on its own
// with its contact moved at those times, without the mains' short steps. A
// return knows no clock either (its rails are direct voltages), so that its
// course, once found from the instant of its contact, serves at any instant.
// A test joins both in one circuit and finds the same.
package timing

import (
	"errors"

	"mutewright/design/drive"
)

// ErrStill says that a relay's armature does not move when the key is worked:
// it does not pull in, or it does not let go.
var ErrStill = errors.New("the relay's armature does not move")

// An Interface is everything that the transmitter's key works, in one corner.
type Interface struct {
	Drives []Drive
	Mutes  drive.Sense // state of the key line on transmit
	Phase  float64     // degrees of the mains at which the key moves; see AfterCrest
	Lifts  []Lift      // lifted returns; may be empty
	Guards []Guard     // what is shorted or moved to chassis; may be empty

	Wanted      float64 // dB, depth at which the set counts as muted
	Transmitter Transmitter
}

// The two phases of the mains, degrees, between which a key matters most. Just
// past the crest of the winding the reservoir stands highest, and gets nothing
// for the rest of the cycle: the latest that a coil on it operates or releases.
// Just before the crest it stands lowest: the earliest that a coil releases.
const (
	AfterCrest  = 135.0
	BeforeCrest = 60.0
)

// A Drive is one relay drive with the armatures of its coils.
type Drive struct {
	Drive  drive.Drive
	Steady *drive.Result // of drive.Solve for the same numbers, where it is known; nil: solved here
	Relays []Relay       // as Drive.Coils
}

// A Relay is what a relay's data sheet says of its moving part, in one corner.
// Relays count over all drives of an Interface, from 0.
type Relay struct {
	Open, Closed float64 // H, coil with the armature at rest and operated
	LetGo        float64 // part of the rated voltage at which it starts to fall back, at 20 °C

	OperateTravel float64 // s, from the operate current to the contacts' movement; see Sheet
	ReleaseTravel float64 // s, from the release current to the contacts' movement
	Bounce        float64 // s, from the movement until a closing contact is closed for good
}

// A Lift is a lifted return with the contact that opens it on transmit.
type Lift struct {
	Relay    int
	Response *Response // see Respond
}

// A Guard is a contact that shorts the antenna input or an audio line, or moves
// the input to chassis, on transmit.
type Guard struct {
	Relay int
	Depth float64 // dB that it adds to the muting while it is made; 0 for an antenna guard
}

// A Transmitter is when there is RF.
type Transmitter struct {
	KeyToRF float64 // s from the closing of the key to the first RF
	Tail    float64 // s from the key's letting go to the last RF
}

// A Sequence is when everything happens in one corner. Instants count from the
// closing of the key, Released and Recovered from its letting go after a long
// transmission.
type Sequence struct {
	Opened    float64 // s, to the last return open; 0: no lifts
	Shorted   float64 // s, to the last guard made and settled; 0: no guards
	Muted     float64 // s, to the depth wanted for good, or to 3 dB less than the final depth where that is less
	Released  float64 // s, let-go to the first break of a guard; 0: no guards
	Recovered float64 // s, let-go to within 3 dB of full gain for good
	Final     float64 // dB, depth in the end

	// Silent and Restored tell whether the set ever falls silent and comes back;
	// else Muted with its margin, or Recovered, is 0 and means nothing.
	Silent, Restored bool

	Relays  []Moves // over all drives
	Margins Margins
}

// Moves is what one relay does.
type Moves struct {
	Down Move // after the closing of the key
	Up   Move // after its letting go
}

// A Move is one movement of an armature, counted from that of the key.
type Move struct {
	Starts  float64 // s, the coil's current reaches its threshold
	Arrives float64 // s, contacts open, and close for the first time
	Settled float64 // s, closing contacts have ceased to bounce
}

// Margins are what is left between the interface and the RF; negative: too late.
type Margins struct {
	Key  float64 // s, RF − the later of Shorted and Opened
	Tail float64 // s, Released − end of RF; only with guards
	Mute float64 // s, RF − Muted; only where the set falls silent
}

// margins works the margins out:
//
//	key  = key_to_rf − max(shorted, opened)
//	tail = released − rf_tail
//	mute = key_to_rf − muted
func (s Sequence) margins(t Transmitter) Margins {
	m := Margins{
		Key:  t.KeyToRF - max(s.Shorted, s.Opened),
		Tail: s.Released - t.Tail,
	}
	if s.Silent {
		m.Mute = t.KeyToRF - s.Muted
	}
	return m
}
