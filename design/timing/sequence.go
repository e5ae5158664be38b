package timing

import (
	"fmt"

	"mutewright/design/lifted"
)

// Solve works the key of an interface in one corner: down from idle, and up
// after a long transmission. A relay that does not move is [ErrStill].
func Solve(in Interface) (Sequence, error) {
	in, err := in.ready()
	if err != nil {
		return Sequence{}, err
	}
	down, err := strokeOf(&in, true)
	if err != nil {
		return Sequence{}, fmt.Errorf("timing: %w", err)
	}
	up, err := strokeOf(&in, false)
	if err != nil {
		return Sequence{}, fmt.Errorf("timing: %w", err)
	}
	return sequence(&in, down, up), nil
}

// sequence reads the two strokes of one corner.
func sequence(in *Interface, down, up stroke) (s Sequence) {
	s.Final = down.final()
	s.Opened, _ = down.opened()
	s.Shorted, _ = down.shorted()
	s.Released, _ = up.released()
	s.Muted, s.Silent = down.muted(in.Wanted)
	s.Recovered, s.Restored = up.recovered()
	for i := range down.relays {
		s.Relays = append(s.Relays, Moves{Down: down.relays[i].Move, Up: up.relays[i].Move})
	}
	s.Margins = s.margins(in.Transmitter)
	return s
}

// A stroke is one movement of the key and what every relay does at it. Its
// relays may be taken from different corners.
type stroke struct {
	down   bool
	relays []worked
}

// worked is a relay at a stroke.
type worked struct {
	Move
	in     *Interface // the corner it is taken in
	corner Corner
}

// strokeOf works the key of all drives of one corner.
func strokeOf(in *Interface, down bool) (stroke, error) {
	s := stroke{down: down}
	for i := range in.Drives {
		if err := s.work(in, i, 0); err != nil {
			return s, err
		}
	}
	return s, nil
}

// work adds the relays of one drive, taken in a corner.
func (s *stroke) work(in *Interface, i int, corner Corner) error {
	moves, err := in.Drives[i].moves(in, s.down)
	if err != nil {
		key := "letting go of the key"
		if s.down {
			key = "closing the key"
		}
		return fmt.Errorf("drive %d, %s: %w", i+1, key, err)
	}
	for _, m := range moves {
		s.relays = append(s.relays, worked{m, in, corner})
	}
	return nil
}

// opened is the last opening of a return, and the relay that does it.
func (s stroke) opened() (seconds float64, relay int) {
	for _, l := range s.relays[0].in.Lifts {
		if at := s.relays[l.Relay].Arrives; at > seconds {
			seconds, relay = at, l.Relay
		}
	}
	return seconds, relay
}

// closed is the last closing of a return for good, and the relay that does it.
func (s stroke) closed() (seconds float64, relay int) {
	for _, l := range s.relays[0].in.Lifts {
		if at := s.relays[l.Relay].Settled; at > seconds {
			seconds, relay = at, l.Relay
		}
	}
	return seconds, relay
}

// shorted is the last settling of a guard, and the relay that does it.
func (s stroke) shorted() (seconds float64, relay int) {
	for _, g := range s.relays[0].in.Guards {
		if at := s.relays[g.Relay].Settled; at > seconds {
			seconds, relay = at, g.Relay
		}
	}
	return seconds, relay
}

// released is the first break of a guard, and the relay that does it.
func (s stroke) released() (seconds float64, relay int) {
	for i, g := range s.relays[0].in.Guards {
		if at := s.relays[g.Relay].Arrives; i == 0 || at < seconds {
			seconds, relay = at, g.Relay
		}
	}
	return seconds, relay
}

// final is the depth in the end, dB.
func (s stroke) final() (db float64) {
	for i, l := range s.relays[0].in.Lifts {
		db += s.relays[l.Relay].in.Lifts[i].Response.final
	}
	for _, g := range s.relays[0].in.Guards {
		db += g.Depth
	}
	return min(db, lifted.SetCap)
}

// depth is the course of the depth: the sum of all returns and guards, each
// from the instant of its contact. A contact that closes a return does so for
// good when it has settled.
func (s stroke) depth() curve {
	var parts []curve
	for i, l := range s.relays[0].in.Lifts {
		w := s.relays[l.Relay]
		r := w.in.Lifts[i].Response
		if s.down {
			parts = append(parts, r.muting.shifted(w.Arrives))
		} else {
			parts = append(parts, r.recovering.shifted(w.Settled))
		}
	}
	for _, g := range s.relays[0].in.Guards {
		w := s.relays[g.Relay]
		if s.down {
			parts = append(parts, step(w.Settled, 0, g.Depth))
		} else {
			parts = append(parts, step(w.Arrives, g.Depth, 0))
		}
	}
	c := sum(parts)
	for i, v := range c.values {
		c.values[i] = min(v, lifted.SetCap)
	}
	return c
}

// short3 is the 3 dB by which the final depth may be missed for muted, and full
// gain for recovered.
const short3 = 3.0

// Heard is the depth, dB, below which nobody hears that a set is muted (common
// practice): it never falls silent, and no time to it exists.
const Heard = 1.0

// muted is when the depth wanted is reached for good, or 3 dB less than the
// final depth where that is less; of a depth below 6 dB, its half. It is not ok
// where the final depth is not heard, or is not reached in all the time that a
// return is followed.
func (s stroke) muted(wanted float64) (seconds float64, ok bool) {
	final := s.final()
	if final < Heard {
		return 0, false
	}
	return s.stays(min(wanted, max(final-short3, final/2)), true)
}

// recovered is when the set is within 3 dB of full gain for good. It is not ok
// where nothing mutes it, or where it does not come back in all that time.
func (s stroke) recovered() (seconds float64, ok bool) {
	if s.final() <= 0 {
		return 0, false
	}
	return s.stays(short3, false)
}

// stays is when the depth is beyond a level for good, counted from the key.
func (s stroke) stays(level float64, above bool) (seconds float64, ok bool) {
	at, ok := s.depth().stays(level, above)
	if !ok {
		return 0, false
	}
	return max(at, 0), true
}
