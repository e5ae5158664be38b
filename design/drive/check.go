package drive

import (
	"errors"
	"fmt"
	"math"
)

// ErrIllegal says that a rectifier may not stand on its winding; see [Legal].
var ErrIllegal = errors.New("this rectifier may not stand on this supply")

// A demand is what a value of a drive must be.
type demand struct {
	what  string
	value float64
	above bool // zero is not enough
}

func (d demand) check() error {
	switch {
	case math.IsNaN(d.value) || math.IsInf(d.value, 0):
		return fmt.Errorf("%s must be finite, not %g", d.what, d.value)
	case d.value < 0 || d.above && d.value == 0:
		if d.above {
			return fmt.Errorf("%s must be above zero, not %g", d.what, d.value)
		}
		return fmt.Errorf("%s must not be negative, but is %g", d.what, d.value)
	}
	return nil
}

// check refuses values that no drive can have; all of them at once.
func (d Drive) check() error {
	onLine := d.Hookup == LineFeedsCoil
	demands := []demand{
		{"cold resistance of the fuse", d.Fuse, false},
		{"drop of the line", d.Line.Drop, false},
		{"leakage of the line", d.Line.Leakage, false},
		{"level of the line", d.Line.Level, d.Line.Source},
		{"base–emitter resistor", d.Buffer.BaseEmitter, false},
		{"base resistor", d.Buffer.Base, d.Hookup.Buffer() != NoBuffer},
		{"resistance of the rail", d.Rail.Ohms, false},
		{"reservoir", d.Reservoir, d.Rectifier != None},
	}
	if d.Rectifier == None {
		demands = append(demands, demand{"voltage of the rail", d.Rail.Volts, !onLine})
	} else {
		w := d.Winding
		demands = append(demands,
			demand{"voltage of the winding", w.Volts, true},
			demand{"frequency", w.Hertz, true},
			demand{"resistance of the winding", w.Ohms, false},
			demand{"current drawn by the heaters", w.Drawn, false},
			demand{"rating of the winding", w.Rated, false},
		)
	}
	for i, c := range d.Coils {
		of := func(what string) string { return fmt.Sprintf("coil %d: %s", i+1, what) }
		demands = append(demands,
			demand{of("resistance"), c.Ohms, true},
			demand{of("rated voltage"), c.Rated, true},
			demand{of("operate voltage"), c.Operate, true},
			demand{of("release voltage"), c.Release, false},
			demand{of("temperature rise"), c.Rise, true},
			demand{of("limit"), c.Limit, true},
			demand{of("highest voltage at 23 °C"), c.MostAt23, false},
			demand{of("highest voltage at 70 °C"), c.MostAt70, false},
			demand{of("inductance"), c.Henries, false},
			demand{of("dropper"), c.Dropper, false},
			demand{of("hold capacitor"), c.Hold.Farads, false},
			demand{of("resistor of the hold capacitor"), c.Hold.Ohms, false},
			demand{of("zener voltage"), c.Clamp.Zener, c.Clamp.Kind == DiodeAndZener},
			demand{of("ambient above absolute zero"), c.Ambient + 273.15, true},
		)
	}
	var errs []error
	if len(d.Coils) == 0 {
		errs = append(errs, errors.New("a drive needs a coil"))
	}
	if onLine != d.onLine() {
		errs = append(errs, errors.New("a line that feeds the coil must be a source, without a rectifier"))
	}
	if d.Hookup == LineFeedsBase && !d.Line.Source {
		errs = append(errs, errors.New("a line that feeds a base must be a source"))
	}
	if d.Rectifier != None && !Legal(d.Rectifier, d.Winding.Grounding).OK() {
		errs = append(errs, ErrIllegal)
	}
	for _, demand := range demands {
		errs = append(errs, demand.check())
	}
	return errors.Join(errs...)
}

// onLine reports whether the line can be the supply.
func (d Drive) onLine() bool {
	return d.Hookup == LineFeedsCoil && d.Line.Source && d.Rectifier == None
}
