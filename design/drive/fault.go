package drive

import (
	"errors"
	"fmt"

	"mutewright/design/circuit"
)

// A ShortedLine is what a key lead shorted to chassis does.
type ShortedLine struct {
	Energised bool    // the coils carry current
	Amps      float64 // A from the drive through the short; a source's own current is the transmitter's affair
}

// LineShorted takes the key lead to chassis with nothing in between.
func LineShorted(d Drive) (ShortedLine, error) {
	s := ShortedLine{Energised: d.Hookup.Energises(LineGrounded)}
	if d.Hookup == LineFeedsCoil || d.Hookup == LineFeedsBase {
		return s, d.check()
	}
	d.Line.Drop = 0
	r, err := Solve(d)
	s.Amps = r.Line.Closed
	return s, err
}

// ShortedReservoir is the current in A rms that the winding drives through its
// fuse, before that opens, when a reservoir is shorted; of a doubler's two the
// worse. The primary fuse does not see it.
func ShortedReservoir(d Drive) (float64, error) {
	if err := d.check(); err != nil {
		return 0, err
	}
	if d.Rectifier == None {
		return 0, errors.New("a rail has no winding to be shorted")
	}
	shorts := 1
	if d.Rectifier == Doubler {
		shorts = 2
	}
	var worst float64
	for shorted := range shorts {
		n := newSupply(circuit.New(), d, "")
		n.rectify(0, func(number int, plus, minus circuit.Node) {
			if number == shorted+1 {
				n.series("short", plus, minus, 0)
			} else {
				n.Capacitor(n.name("reservoir%d", number), plus, minus, d.Reservoir)
			}
		})
		n.Resistor("meter", n.plus, circuit.Chassis, Meter)
		trace, err := n.Periodic(1/d.Winding.Hertz, circuit.TransientOptions{})
		if err != nil {
			return 0, fmt.Errorf("shorted reservoir: %w", err)
		}
		worst = max(worst, trace.RMS(trace.Amps("winding.ohms")))
	}
	return worst, nil
}
