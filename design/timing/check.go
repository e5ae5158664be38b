package timing

import (
	"errors"
	"fmt"
	"math"
)

// check refuses an interface that has no answer; all that is wrong at once.
// Relays, lifts and guards count from 1 in errors.
func (in *Interface) check() error {
	var errs []error
	wrong := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	amount := func(v float64, format string, args ...any) {
		if !(v >= 0) || math.IsInf(v, 1) {
			wrong("%s must be zero or more and finite, not %g", fmt.Sprintf(format, args...), v)
		}
	}
	relays := 0
	for i, d := range in.Drives {
		if len(d.Relays) != len(d.Drive.Coils) {
			wrong("drive %d has %d coils and %d relays", i+1, len(d.Drive.Coils), len(d.Relays))
		}
		for j, r := range d.Relays {
			relays++
			at := fmt.Sprintf("relay %d: ", relays)
			if !(r.Open > 0 && r.Closed > 0) || math.IsInf(r.Open+r.Closed, 1) {
				wrong("%sinductances must be above zero and finite, not %g and %g", at, r.Open, r.Closed)
			}
			if j < len(d.Drive.Coils) && !(r.LetGo > 0 && r.LetGo < d.Drive.Coils[j].Operate) {
				wrong("%sit must let go above zero and below where it operates, not at %g of its rated voltage", at, r.LetGo)
			}
			amount(r.OperateTravel, "%soperate travel", at)
			amount(r.ReleaseTravel, "%srelease travel", at)
			amount(r.Bounce, "%sbounce", at)
		}
	}
	if relays == 0 {
		wrong("an interface needs a relay")
	}
	works := func(what string, i, relay int) {
		if relay < 0 || relay >= relays {
			wrong("%s %d names relay %d of %d", what, i+1, relay+1, relays)
		}
	}
	for i, l := range in.Lifts {
		works("lift", i, l.Relay)
		if l.Response == nil {
			wrong("lift %d has no response", i+1)
		}
	}
	for i, g := range in.Guards {
		works("guard", i, g.Relay)
		amount(g.Depth, "guard %d: depth", i+1)
	}
	amount(in.Wanted, "depth wanted")
	amount(in.Transmitter.KeyToRF, "time from key to RF")
	amount(in.Transmitter.Tail, "tail of the RF")
	if math.IsNaN(in.Phase) || math.IsInf(in.Phase, 0) {
		wrong("phase of the mains must be finite")
	}
	return errors.Join(errs...)
}
