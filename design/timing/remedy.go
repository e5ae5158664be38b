package timing

import (
	"errors"
	"fmt"
	"slices"
	"sort"

	"mutewright/design/beside"
	"mutewright/design/drive"
)

// Enough is the margin, s, under which a positive one is still a caution.
const Enough = 1e-3

// Remedy says what was tried.
type Remedy uint8

// The remedies.
const (
	FasterRelay    Remedy = iota // another relay, as the caller gives it
	Zener                        // a zener with the clamp diode of every coil
	Hold                         // a hold capacitor across every coil
	BypassToReturn               // cathode bypasses to the lifted node instead of chassis
	Delay                        // a longer delay from key to RF at the transmitter
)

// A Try is a remedy and what it brought.
type Try struct {
	Remedy Remedy
	Value  float64 // Zener: V; Hold: F; Delay: s more than there is; else 0
	Ends   Ends    // with it
	Buys   Gain
}

// A Gain is what a change buys, s; negative: what it costs.
type Gain struct {
	Margins           // by which each is better
	Recovered float64 // by which full gain is back earlier
}

// Buys is what one outcome is better than another. What does not exist in both
// is not bought.
func Buys(before, after Ends) (g Gain) {
	g.Key = after.Key.Seconds - before.Key.Seconds
	g.Tail = after.Tail.Seconds - before.Tail.Seconds
	if before.Silent && after.Silent {
		g.Mute = after.Mute.Seconds - before.Mute.Seconds
	}
	if before.Restored && after.Restored {
		g.Recovered = before.Recovered.Seconds - after.Recovered.Seconds
	}
	return g
}

// A Spread is how far a part may be off its nominal value, parts of it.
type Spread struct{ Down, Up float64 }

// slow is the end of the spread, as a factor, at which more of something belongs
// to a corner: all that makes a relay late in the late ones, early in the early ones.
func (s Spread) slow(at Corner) float64 {
	if at.late() {
		return 1 + s.Up
	}
	return 1 - s.Down
}

// late tells the late corners from the early ones.
func (c Corner) late() bool { return c == LatestOperate || c == LatestRelease || c == LatestHeld }

// quick is the other end.
func (s Spread) quick(at Corner) float64 {
	if at.late() {
		return 1 - s.Down
	}
	return 1 + s.Up
}

// A Shelf is what there is to try.
type Shelf struct {
	Faster      *Corners  // the interface with a faster relay; nil: none
	Zener       float64   // V; 0: none
	ZenerSpread Spread    // of its voltage
	HoldOhms    float64   // in series with a hold capacitor
	HoldValues  []float64 // F, ascending; empty: none
	HoldSpread  Spread    // of their capacitance
}

// Remedies tries everything that can be tried on an interface, in the order of
// the constants: each alone, against the interface as it is, a part at the end of
// its spread that is worse in each corner. A remedy that is there already, or has
// nothing to act on, is left out; so is one with which a relay does not move any
// more. A delay is tried for each margin that wants one, the shorter first. now is
// what [Worst] says of the interface as it is.
func Remedies(c Corners, now Ends, s Shelf) ([]Try, error) {
	c, err := c.WithSteady()
	if err != nil {
		return nil, err
	}
	var tries []func() (Try, error)
	try := func(r Remedy, value float64, with Corners) {
		tries = append(tries, func() (Try, error) {
			ends, err := Worst(with)
			return Try{r, value, ends, Buys(now, ends)}, err
		})
	}
	if s.Faster != nil {
		try(FasterRelay, 0, *s.Faster)
	}
	if with, changed := c.WithZener(s.Zener, s.ZenerSpread); changed {
		try(Zener, s.Zener, with)
	}
	if len(c[0].Guards) > 0 && now.Tail.Corner != EarliestOperate && now.Tail.Seconds < Enough && len(s.HoldValues) > 0 {
		tries = append(tries, func() (Try, error) {
			hold, err := c.HoldFor(Enough, s.HoldOhms, s.HoldValues, s.HoldSpread)
			return Try{Hold, hold.Farads, hold.Ends, Buys(now, hold.Ends)}, err
		})
	}
	with, changed, err := c.WithBypassToReturn()
	if err != nil {
		return nil, err
	}
	if changed {
		try(BypassToReturn, 0, with)
	}
	for _, more := range now.delays(Enough) {
		with := c
		for i := range with {
			with[i].Transmitter.KeyToRF += more
		}
		try(Delay, more, with)
	}
	found := make([]*Try, len(tries)) // nil: with it a relay does not move any more
	if err := beside.Each(len(tries), func(i int) error {
		t, err := tries[i]()
		if err == nil {
			found[i] = &t
		} else if errors.Is(err, ErrStill) {
			err = nil
		}
		return err
	}); err != nil {
		return nil, err
	}
	var list []Try
	for _, t := range found {
		if t != nil {
			list = append(list, *t)
		}
	}
	return list, nil
}

// delays are how much longer, s, the transmitter would have to wait with its RF
// for the key margin and for the mute margin to be that much, rising; those that
// are have none.
func (e Ends) delays(margin float64) []float64 {
	list := []float64{margin - e.Key.Seconds}
	if e.Silent {
		list = append(list, margin-e.Mute.Seconds)
	}
	slices.Sort(list)
	list = slices.DeleteFunc(list, func(more float64) bool { return more <= 0 })
	return slices.Compact(list)
}

// A Holding is the outcome of choosing a hold capacitor.
type Holding struct {
	Farads float64 // across each coil; the largest where none is enough
	Ends   Ends    // with it
	Fits   bool    // the tail margin is reached
}

// HoldFor picks the smallest of the values (F, ascending) that, across every
// coil with that many ohms in series, gives the tail margin asked for wherever in
// its spread the capacitor is. It only
// serves a coil that is energised on transmit; what it costs the other margins
// is in the outcome.
func (c Corners) HoldFor(margin, ohms float64, values []float64, spread Spread) (Holding, error) {
	if len(values) == 0 {
		return Holding{}, fmt.Errorf("timing: a hold capacitor needs values to choose from")
	}
	c, err := c.WithSteady()
	if err != nil {
		return Holding{}, err
	}
	type outcome struct {
		ends Ends
		err  error
	}
	tried := map[int]outcome{}
	with := func(i int) outcome {
		if _, ok := tried[i]; !ok {
			ends, err := Worst(c.WithHold(drive.Hold{Farads: values[i], Ohms: ohms}, spread))
			tried[i] = outcome{ends, err}
		}
		return tried[i]
	}
	// More capacitance keeps a coil longer, and too much for good.
	i := sort.Search(len(values), func(i int) bool {
		o := with(i)
		return o.err != nil || o.ends.Tail.Seconds >= margin
	})
	i = min(i, len(values)-1)
	o := with(i)
	if o.err != nil {
		return Holding{}, fmt.Errorf("with a hold capacitor of %g F: %w", values[i], o.err)
	}
	return Holding{Farads: values[i], Ends: o.ends, Fits: o.ends.Tail.Seconds >= margin}, nil
}

// each changes a copy of every coil and reports whether any was changed.
func (c Corners) each(change func(Corner, *drive.Coil) bool) (with Corners, changed bool) {
	with = c
	for i := range with {
		with[i].Drives = slices.Clone(c[i].Drives)
		for j := range with[i].Drives {
			d := &with[i].Drives[j].Drive
			d.Coils = slices.Clone(d.Coils)
			for k := range d.Coils {
				changed = change(Corner(i), &d.Coils[k]) || changed
			}
		}
	}
	return with, changed
}

// WithHold is the interface with a hold capacitor of some spread across every coil:
// the larger it is, the later everything.
func (c Corners) WithHold(h drive.Hold, spread Spread) Corners {
	with, _ := c.each(func(at Corner, k *drive.Coil) bool {
		k.Hold = drive.Hold{Farads: h.Farads * spread.slow(at), Ohms: h.Ohms}
		return true
	})
	return with
}

// WithZener is the interface with a zener of that voltage and some spread in series
// with the diode across every coil that has only a diode, and whether there is
// one. The higher it is, the earlier a coil lets go.
func (c Corners) WithZener(volts float64, spread Spread) (with Corners, changed bool) {
	if volts <= 0 {
		return c, false
	}
	return c.each(func(at Corner, k *drive.Coil) bool {
		if k.Clamp.Kind != drive.DiodeClamp {
			return false
		}
		k.Clamp.Kind, k.Clamp.Zener = drive.DiodeAndZener, volts*spread.quick(at)
		return true
	})
}

// WithBypassToReturn is the interface with every cathode bypass of an output
// stage returned to the lifted node, and whether any stood on chassis.
func (c Corners) WithBypassToReturn() (with Corners, changed bool, err error) {
	with = c
	done := map[*Response]*Response{} // corners may share a response
	for i := range with {
		with[i].Lifts = slices.Clone(c[i].Lifts)
		for j, l := range with[i].Lifts {
			r, ok := done[l.Response]
			if !ok {
				var found bool
				if r, found, err = l.Response.BypassToReturn(); err != nil {
					return c, false, fmt.Errorf("bypass to the return: %w", err)
				}
				changed = changed || found
				done[l.Response] = r
			}
			with[i].Lifts[j].Response = r
		}
	}
	return with, changed, nil
}
