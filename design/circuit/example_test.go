package circuit_test

import (
	"fmt"
	"math"

	"mutewright/design/circuit"
)

// A beam output tube whose cathode return is lifted onto 10 kΩ: the node
// that the technician will find above chassis.
func ExampleCircuit_OperatingPoint() {
	c := circuit.New()
	b, k, m := c.Node("B+"), c.Node("cathode"), c.Node("M")
	c.Voltage("B", b, circuit.Chassis, circuit.DC(250))
	c.Tube("V1", b, b, circuit.Chassis, k, circuit.TubeModel{G: 0.7806e-3, MuA: 8.853, PlateShare: 0.91})
	c.Resistor("Rk", k, m, 270)
	c.Resistor("Rpulldown", m, circuit.Chassis, 10e3)
	p, err := c.OperatingPoint(circuit.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("M %.1f V, cathode current %.2f mA, gm %.2f mS\n", p.Volts(m), 1e3*p.Amps("V1"), 1e3*p.Tube("V1").Gm)
	// Output: M 26.0 V, cathode current 2.60 mA, gm 0.72 mS
}

// A doubler on a 6.3 V heater winding in its steady state.
func ExampleCircuit_Periodic() {
	c := circuit.New()
	w, a, m, out := c.Node("w"), c.Node("a"), c.Node("m"), c.Node("out")
	d := circuit.DiodeModel{IS: 7.02767e-9, N: 1.80803, RS: 0.0341512}
	c.Voltage("winding", w, circuit.Chassis, circuit.Sine(0, 6.3*math.Sqrt2, 60, 0))
	c.Resistor("Rs", w, a, 0.3)
	c.Capacitor("C1", a, m, 470e-6)
	c.Diode("D1", circuit.Chassis, m, d)
	c.Diode("D2", m, out, d)
	c.Capacitor("C2", out, circuit.Chassis, 470e-6)
	c.Resistor("coil", out, circuit.Chassis, 1028)
	t, err := c.Periodic(1.0/60, circuit.TransientOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	v := t.Volts(out)
	fmt.Printf("mean %.2f V, least %.2f V, winding %.0f mA rms\n", t.Mean(v), t.Least(v), 1e3*t.RMS(t.Amps("winding")))
	// Output: mean 15.54 V, least 15.30 V, winding 82 mA rms
}
