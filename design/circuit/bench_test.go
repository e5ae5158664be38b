package circuit

import (
	"math/rand/v2"
	"testing"
)

func BenchmarkOperatingPoint(b *testing.B) {
	r := rand.New(rand.NewPCG(7, 7))
	c := randomReturn(r)
	for c.Nodes() < 20 {
		c = randomReturn(r)
	}
	b.Run("20 nodes with tubes", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := c.OperatingPoint(Options{}); err != nil {
				b.Fatal(err)
			}
		}
	})
	guess, err := c.OperatingPoint(Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.Run("the same from a guess", func(b *testing.B) {
		for b.Loop() {
			if _, err := c.OperatingPoint(Options{Guess: guess}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkPeriodic(b *testing.B) {
	for _, load := range []struct {
		name string
		ohms float64
	}{{"doubler on a coil", 1028}, {"doubler without load", 1e7}} {
		c, _ := supply("doubler", heater(60), 470e-6, load.ohms, rectifierDiode)
		b.Run(load.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.Periodic(1.0/60, TransientOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkTransient(b *testing.B) {
	c, out := supply("doubler", heater(60), 470e-6, 1e6, rectifierDiode)
	k := c.Node("k")
	c.Resistor("Rc", out, c.Node("a"), 1028)
	c.Inductor("L", c.Node("a"), k, 1)
	c.Diode("DK", k, out, rectifierDiode)
	c.Switch("S", k, Chassis, Switch{Off: 1e9, Times: []Toggle{{0.3, true}, {0.8, false}}})
	c.Armature("K", Armature{Coil: "L", Operate: 9e-3, Release: 1e-3, OperateTravel: 2e-3, ReleaseTravel: 1e-3, Open: 0.9, Closed: 1.7})
	b.Run("1.3 s of a keyed coil on a doubler", func(b *testing.B) {
		for b.Loop() {
			if _, err := c.Transient(1.3, TransientOptions{Cold: true}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
