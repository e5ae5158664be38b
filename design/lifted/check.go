package lifted

import (
	"errors"
	"fmt"
	"math"
)

// check refuses a network that has no answer. Errors name the place in words of
// the structure; points, stages and rails count from 1.
func (n *Network) check() error {
	var c checker
	if len(n.Points) == 0 {
		c.wrong("it has no point")
	}
	c.amount("pulldown", n.Pulldown)
	c.amount("contact resistance", n.Contact)
	c.amount("capacitor at the cut", n.Capacitor.Farads)
	c.amount("resistor of the capacitor at the cut", n.Capacitor.Series)
	c.amount("inductance of the lead", n.Lead)
	c.number("heater bias", n.Heater.Bias)
	c.amount("heater peak", n.Heater.Peak)
	for i, r := range n.Rails {
		c.at = fmt.Sprintf("rail %d: ", i+1)
		c.above("voltage", r.Volts)
		c.amount("unloaded voltage", r.Unloaded)
		c.amount("resistance", r.Resistance)
		c.amount("capacitance", r.Capacitance)
		c.amount("shed current", r.Shed)
		if r.Unloaded > 0 && r.Unloaded < r.Volts {
			c.wrong("unloaded voltage %g V is below the receive voltage %g V", r.Unloaded, r.Volts)
		}
	}
	for i, p := range n.Points {
		c.at = fmt.Sprintf("point %d: ", i+1)
		switch p := p.(type) {
		case Output:
			c.output(p, len(n.Rails))
		case Gain:
			c.gain(p, len(n.Rails))
		case Measured:
			c.number("open voltage", p.Open)
			c.amount("closed current", p.Closed)
			c.amount("capacitance", p.Capacitance)
		default:
			c.wrong("unknown kind %T", p)
		}
	}
	return errors.Join(c.faults...)
}

type checker struct {
	at     string
	faults []error
}

func (c *checker) wrong(format string, args ...any) {
	c.faults = append(c.faults, fmt.Errorf(c.at+format, args...))
}

func (c *checker) number(what string, v float64) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		c.wrong("%s is not a finite number", what)
	}
}

func (c *checker) amount(what string, v float64) {
	if !(v >= 0) || math.IsInf(v, 1) {
		c.wrong("%s must be zero or more and finite, not %g", what, v)
	}
}

func (c *checker) above(what string, v float64) {
	if !(v > 0) || math.IsInf(v, 1) {
		c.wrong("%s must be above zero and finite, not %g", what, v)
	}
}

func (c *checker) rail(what string, i, rails int) {
	if i < 0 || i >= rails {
		c.wrong("%s names rail %d of %d", what, i+1, rails)
	}
}

func (c *checker) law(l Law) {
	c.above("tube: G", l.G)
	c.above("tube: µa", l.MuA)
	if !(l.S >= 0 && l.S < 1) {
		c.wrong("tube: share of the tail must lie from 0 to below 1, not %g", l.S)
	}
	if l.S > 0 {
		c.above("tube: µb", l.MuB)
	}
	if !(l.PlateShare > 0 && l.PlateShare <= 1) {
		c.wrong("tube: plate's share of the current must lie above 0 and up to 1, not %g", l.PlateShare)
	}
	c.amount("tube: doubt", l.Doubt)
}

func (c *checker) output(p Output, rails int) {
	c.rail("supply", p.Rail, rails)
	c.law(p.Tube)
	if p.Count != 1 && p.Count != 2 {
		c.wrong("an output stage has 1 or 2 tubes, not %d", p.Count)
	}
	c.number("grid voltage", p.Grid)
	c.amount("transformer load", p.Transformer.Load)
	c.amount("transformer resistance", p.Transformer.Resistance)
	c.amount("transformer inductance", p.Transformer.Inductance)
	c.amount("full output", p.Transformer.FullOutput)
	c.amount("screen resistor", p.ScreenResistor)
	c.amount("screen bypass", p.ScreenBypass)
	c.amount("cathode resistor", p.CathodeResistor)
	c.amount("cathode bypass", p.Bypass)
	c.amount("path past the lift", p.Path)
}

func (c *checker) gain(p Gain, rails int) {
	c.rail("supply", p.Rail, rails)
	c.above("frequency", p.Frequency)
	c.amount("control", p.Control.Value)
	if s := p.Control.SetTo; !(s >= 0 && s <= p.Control.Value) {
		c.wrong("control set to %g ohm, of %g ohm", s, p.Control.Value)
	}
	c.amount("bleeder", p.Bleeder.Ohms)
	if p.Bleeder.Ohms > 0 {
		c.rail("bleeder", p.Bleeder.Rail, rails)
	}
	c.amount("bus capacitor", p.BusCapacitor)
	c.amount("path past the lift", p.Path)
	if p.shares() {
		c.rail("shared screens", p.Screens.Rail, rails)
		c.amount("shared screens: resistor", p.Screens.Ohms)
		c.amount("shared screens: resistor to chassis", p.Screens.ToChassis)
		c.amount("shared screens: capacitor", p.Screens.Capacitor)
	}
	if len(p.Stages) == 0 {
		c.wrong("it has no stage")
	}
	at := c.at
	for i, s := range p.Stages {
		c.at = fmt.Sprintf("%sstage %d: ", at, i+1)
		c.law(s.Tube)
		c.amount("cathode resistor", s.CathodeResistor)
		c.amount("cathode bypass", s.Bypass)
		c.amount("screen resistor", s.ScreenResistor)
		c.amount("screen bypass", s.ScreenBypass)
	}
	c.at = at
}
