package circuit

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Whatever is changed of a circuit changes its fingerprint; the same calls make the
// same one, in a new circuit and in one that is filled again.
func TestAFingerprintTellsCircuitsApart(t *testing.T) {
	const values = 21
	fill := func(c *Circuit, changed int) {
		next := 0
		v := func(value float64) float64 {
			next++
			if next == changed {
				return value * 1.5
			}
			return value
		}
		a, b := c.Node("a"), c.Node("b")
		c.Resistor("r", a, b, v(1e3))
		c.Capacitor("c", b, Chassis, v(1e-6))
		c.Inductor("l", a, b, v(1))
		c.Voltage("v", a, Chassis, ClippedSine(v(10), 1.3, v(50), v(30)))
		c.Current("i", b, Chassis, Pulse(v(1e-3), v(2e-3), v(1), v(1e-3), v(1e-3), v(2), v(5)))
		c.Diode("d", a, b, DiodeModel{IS: v(1e-9), RS: v(0.1)})
		c.Transistor("q", a, b, Chassis, TransistorModel{IS: v(1e-14), BF: v(100)})
		c.Switch("s", a, b, Switch{On: v(0.1), Times: []Toggle{{At: v(1), Closed: true}}})
		c.Tube("t", a, a, Chassis, b, TubeModel{G: v(1e-3), MuA: v(20)})
		assert.Equal(t, values, next)
	}
	made := map[string]int{}
	for changed := range values + 1 {
		c := New()
		fill(c, changed)
		print := c.Fingerprint()
		assert.NotContains(t, made, print, "value %d", changed)
		made[print] = changed

		c.Refill()
		fill(c, 1)
		assert.True(t, c.Refilled())
		c.Refill()
		fill(c, changed)
		assert.True(t, c.Refilled())
		assert.Equal(t, print, c.Fingerprint())
	}
	c := New()
	c.Resistor("r", c.Node("a"), Chassis, 1)
	other := New()
	other.Resistor("r", Chassis, other.Node("a"), 1)
	assert.NotEqual(t, c.Fingerprint(), other.Fingerprint(), "the other way round")
}
