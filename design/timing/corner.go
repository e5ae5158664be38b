package timing

import (
	"fmt"
	"slices"

	"mutewright/design/beside"
	"mutewright/design/drive"
)

// A Corner is one end of what relays and mains may do.
type Corner uint8

// The corners. The caller gives each as an Interface with its numbers.
const (
	LatestOperate   Corner = iota // mains low, coil hot, full travel, bounce
	LatestRelease                 // mains high, coil cold, must-release, full travel, bounce
	EarliestRelease               // mains low, coil hot, upper let-go, Quick of the travel, no bounce
	EarliestOperate               // mains high, coil cold, Quick of the travel, no bounce

	// With a hold capacitor a coil lets go the sooner the less its own ohms are,
	// which outweighs the heat of the two releases above as it grows: these two
	// count beside them where there is one, and only there.
	EarliestHeld // mains low, coil cold, else EarliestRelease
	LatestHeld   // mains high, coil hot, else LatestRelease
	corners
)

// Corners are the ends of one interface, as the constants of Corner. Drives,
// relays, lifts and guards are the same in number and order in all; what is
// wanted and the transmitter are taken from the first.
type Corners [corners]Interface

// Counting are the corners that count: all, or those without a hold capacitor.
func (c *Corners) Counting() []Interface {
	if c.held() {
		return c[:]
	}
	return c[:EarliestHeld]
}

// held tells whether a coil has a hold capacitor.
func (c *Corners) held() bool {
	for _, d := range c[0].Drives {
		if slices.ContainsFunc(d.Drive.Coils, func(k drive.Coil) bool { return k.Hold.Farads > 0 }) {
			return true
		}
	}
	return false
}

// An End is the far end of a time or margin and the corner that gives it.
type End struct {
	Seconds float64
	Corner  Corner
}

// Ends are the far ends that decide: the latest of every time but Released,
// which is the earliest, and the least of every margin. They mean what the
// fields of the same name in [Sequence] and [Margins] mean.
type Ends struct {
	Opened, Shorted, Muted, Released, Recovered End
	Key, Tail, Mute                             End
	Final                                       float64 // dB
	Silent, Restored                            bool
}

// Margins are the least margins.
func (e Ends) Margins() Margins {
	return Margins{Key: e.Key.Seconds, Tail: e.Tail.Seconds, Mute: e.Mute.Seconds}
}

// Worst works the key of the corners as far as they decide. A coil that is
// energised on transmit opens and guards by its latest operating, holds the
// guard by its earliest release and recovers by its latest; one that is
// energised on receive opens and guards by its latest release, holds the guard
// by its earliest operating and recovers by its latest.
func Worst(c Corners) (Ends, error) {
	c, err := c.WithSteady()
	if err != nil {
		return Ends{}, err
	}
	for i := range c.Counting() {
		if len(c[i].Drives) != len(c[0].Drives) || len(c[i].Lifts) != len(c[0].Lifts) || len(c[i].Guards) != len(c[0].Guards) {
			return Ends{}, fmt.Errorf("timing: corner %d is another interface than corner 1", i+1)
		}
	}
	wanted := []struct {
		down              bool
		transmit, receive Corner
	}{
		{true, LatestOperate, LatestRelease},
		{false, EarliestRelease, EarliestOperate},
		{false, LatestRelease, LatestOperate},
		{false, EarliestHeld, EarliestOperate},
		{false, LatestHeld, LatestOperate},
	}
	if !c.held() {
		wanted = wanted[:3]
	}
	strokes := make([]stroke, len(wanted))
	if err := beside.Each(len(wanted), func(i int) (err error) {
		strokes[i], err = c.stroke(wanted[i].down, wanted[i].transmit, wanted[i].receive)
		return err
	}); err != nil {
		return Ends{}, err
	}
	down, early, late := strokes[0], strokes[1], strokes[2]
	if c.held() {
		first, last := strokes[3], strokes[4]
		for i := range early.relays {
			if first.relays[i].Arrives < early.relays[i].Arrives {
				early.relays[i] = first.relays[i]
			}
			if last.relays[i].Arrives > late.relays[i].Arrives {
				late.relays[i] = last.relays[i]
			}
		}
	}
	at := Sequence{}
	at.Muted, at.Silent = down.muted(c[0].Wanted)
	at.Recovered, at.Restored = late.recovered()
	e := Ends{Final: down.final(), Silent: at.Silent, Restored: at.Restored}
	e.Opened = down.end(down.opened())
	e.Shorted = down.end(down.shorted())
	e.Released = early.end(early.released())
	e.Muted = End{at.Muted, e.Opened.Corner}
	if len(c[0].Lifts) == 0 {
		e.Muted.Corner = e.Shorted.Corner
	}
	_, last := late.closed()
	e.Recovered = late.end(at.Recovered, last)

	at.Opened, at.Shorted, at.Released = e.Opened.Seconds, e.Shorted.Seconds, e.Released.Seconds
	m := at.margins(c[0].Transmitter)
	e.Key, e.Tail, e.Mute = End{m.Key, e.Opened.Corner}, End{m.Tail, e.Released.Corner}, End{m.Mute, e.Muted.Corner}
	if e.Shorted.Seconds > e.Opened.Seconds {
		e.Key.Corner = e.Shorted.Corner
	}
	return e, nil
}

// WithSteady is [Interface.WithSteady] of every corner.
func (c Corners) WithSteady() (Corners, error) {
	var near drive.Result
	for i, in := range c.Counting() {
		var err error
		if c[i], err = in.readyNear(near); err != nil {
			return c, err
		}
		if drives := c[i].Drives; len(drives) > 0 {
			near = *drives[0].Steady
		}
	}
	return c, nil
}

// stroke works every drive in one of two corners: in the first where its coils
// are energised on transmit, in the second where they are on receive.
func (c *Corners) stroke(down bool, transmit, receive Corner) (stroke, error) {
	s := stroke{down: down}
	for i := range c[0].Drives {
		corner := receive
		if c[0].Drives[i].energised(c[0].Mutes) {
			corner = transmit
		}
		if err := s.work(&c[corner], i, corner); err != nil {
			return s, fmt.Errorf("timing: %w", err)
		}
	}
	return s, nil
}

// end is an instant with the corner of the relay that gives it.
func (s stroke) end(seconds float64, relay int) End {
	return End{seconds, s.relays[relay].corner}
}
