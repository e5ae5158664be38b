package circuit

import "math"

// The rectifier diode of the project's ngspice table: 1N4007 class, second-hand.
var rectifierDiode = DiodeModel{IS: 7.02767e-9, N: 1.80803, RS: 0.0341512}

// aBeamTube is a 6AQ5 by its tube manual point (250 V, 250 V, −12.5 V).
var aBeamTube = TubeModel{G: 0.7806e-3, MuA: 8.853, PlateShare: 0.91}

// supply is a rectifier on a winding of 0.3 Ω with its reservoirs and load.
func supply(kind string, s Source, farads, load float64, d DiodeModel) (c *Circuit, out Node) {
	return supplyWith(kind, s, 0.3, farads, load, d)
}

func supplyWith(kind string, s Source, ohms, farads, load float64, d DiodeModel) (c *Circuit, out Node) {
	c = New()
	w, a := c.Node("w"), c.Node("a")
	out = c.Node("out")
	minus := Chassis
	if kind == "bridge" {
		minus = c.Node("b")
	}
	c.Voltage("V", w, minus, s)
	c.Resistor("Rs", w, a, ohms)
	switch kind {
	case "half-wave":
		c.Diode("D1", a, out, d)
	case "bridge":
		c.Diode("D1", a, out, d)
		c.Diode("D2", minus, out, d)
		c.Diode("D3", Chassis, a, d)
		c.Diode("D4", Chassis, minus, d)
	case "doubler":
		m := c.Node("m")
		c.Capacitor("C1", a, m, farads)
		c.Diode("D1", Chassis, m, d)
		c.Diode("D2", m, out, d)
	}
	c.Capacitor("C2", out, Chassis, farads)
	c.Resistor("RL", out, Chassis, load)
	return c, out
}

func heater(hz float64) Source { return Sine(0, 6.3*math.Sqrt2, hz, 0) }

// keyed is a 12 V relay coil of 960 Ω made at 5 ms and broken at 30 ms by a
// switch in its low side, with its armature and a contact.
func keyed(clamp string) *Circuit {
	c := New()
	v, a, k := c.Node("v"), c.Node("a"), c.Node("k")
	c.Voltage("V", v, Chassis, DC(12))
	c.Resistor("Rc", v, a, 960)
	c.Inductor("L", a, k, 1)
	c.Switch("S", k, Chassis, Switch{On: 1e-3, Off: 1e9, Times: []Toggle{{5e-3, true}, {30e-3, false}}})
	c.Armature("K", Armature{Coil: "L", Operate: 9.6e-3, Release: 1.25e-3, OperateTravel: 1e-3, ReleaseTravel: 0.5e-3, Open: 0.85, Closed: 1.63})
	c.Voltage("V5", c.Node("x"), Chassis, DC(5))
	c.Switch("K1", c.Node("x"), c.Node("y"), Switch{Armature: "K", CloseDelay: 2e-3, OpenDelay: 0.1e-3})
	c.Switch("K2", c.Node("x"), c.Node("z"), Switch{Armature: "K", Closed: true})
	c.Resistor("RY", c.Node("y"), Chassis, 1e3)
	c.Resistor("RZ", c.Node("z"), Chassis, 1e3)
	switch clamp {
	case "diode":
		c.Diode("D", k, v, rectifierDiode)
	case "zener":
		c.Diode("D", k, c.Node("s"), rectifierDiode)
		c.Diode("Z", v, c.Node("s"), DiodeModel{IS: 1e-12, RS: 2, BV: 12, IBV: 5e-3})
	case "resistor":
		c.Resistor("R", v, k, 10e3)
	}
	return c
}

// lifted is a beam tube on a lifted return with screen dropper and bypass.
func lifted(pulldown float64) *Circuit {
	c := New()
	b, k, g2, m, p := c.Node("b"), c.Node("k"), c.Node("g2"), c.Node("m"), c.Node("p")
	c.Voltage("V", b, Chassis, DC(250))
	c.Resistor("Rg2", b, g2, 2200)
	c.Resistor("Rp", b, p, 400)
	c.Resistor("Rk", k, m, 270)
	c.Resistor("Rm", m, Chassis, pulldown)
	c.Capacitor("Ck", k, Chassis, 22e-6)
	c.Voltage("Vg", c.Node("g"), Chassis, DC(0).WithAC(1, 0))
	c.Tube("V1", p, g2, c.Node("g"), k, aBeamTube)
	c.Switch("S", m, Chassis, Switch{Closed: true, Times: []Toggle{{10e-3, false}}})
	return c
}

// transistorStage is an npn that keys a coil, driven by a pulse.
func transistorStage() *Circuit {
	c := New()
	s, k := c.Node("s"), c.Node("k")
	c.Voltage("V", s, Chassis, DC(13.2))
	c.Resistor("Rc", s, c.Node("a"), 960)
	c.Inductor("L", c.Node("a"), k, 0.85)
	c.Diode("D", k, s, rectifierDiode)
	c.Transistor("Q", k, c.Node("base"), Chassis, TransistorModel{IS: 1e-14, BF: 150, BR: 4})
	c.Resistor("Rb", c.Node("in"), c.Node("base"), 15e3)
	c.Resistor("Rbe", c.Node("base"), Chassis, 10e3)
	c.Voltage("Vin", c.Node("in"), Chassis, Pulse(0, 13.2, 2e-3, 0, 0, 20e-3, 0))
	return c
}

// pnpStage is a saturated pnp that holds a coil; its base is pulled down.
func pnpStage() *Circuit {
	c := New()
	s, k := c.Node("s"), c.Node("k")
	c.Voltage("V", s, Chassis, DC(13.2))
	c.Transistor("Q", k, c.Node("base"), s, TransistorModel{PNP: true, IS: 1e-14, BF: 150, BR: 4})
	c.Resistor("Rb", c.Node("base"), Chassis, 15e3)
	c.Resistor("Rbe", c.Node("base"), s, 10e3)
	c.Resistor("Rc", k, c.Node("a"), 960)
	c.Inductor("L", c.Node("a"), Chassis, 0.85)
	c.Diode("D", Chassis, k, rectifierDiode)
	return c
}
