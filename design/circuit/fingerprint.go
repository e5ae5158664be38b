package circuit

import (
	"encoding/binary"
	"math"
)

// Fingerprint is what the circuit is made of: elements, nodes and values, in the
// order in which they were added. Circuits of the same fingerprint have the same
// solutions.
func (c *Circuit) Fingerprint() string {
	p := make(fingerprint, 0, 64*len(c.order))
	for _, name := range c.order {
		h := c.elements[name]
		p.word(name)
		p = append(p, byte(h.kind))
		switch h.kind {
		case kindResistor:
			p.numbers(c.resistors[h.index].ohms)
		case kindCapacitor:
			p.numbers(c.capacitors[h.index].farads)
		case kindInductor:
			p.numbers(c.inductors[h.index].henries)
		case kindVoltage:
			p.source(c.voltages[h.index].source)
		case kindCurrent:
			p.source(c.currents[h.index].source)
		case kindDiode:
			m := c.diodes[h.index].model
			p.numbers(m.IS, m.N, m.RS, m.BV, m.IBV)
		case kindTransistor:
			m := c.transistors[h.index].model
			p.flag(m.PNP)
			p.numbers(m.IS, m.BF, m.BR)
		case kindSwitch:
			s := c.contacts[h.index].spec
			p.flag(s.Closed)
			p.word(s.Armature)
			p.numbers(s.On, s.Off, s.CloseDelay, s.OpenDelay, float64(len(s.Times)))
			for _, t := range s.Times {
				p.flag(t.Closed)
				p.numbers(t.At)
			}
		case kindTube:
			m := c.tubes[h.index].model
			p.numbers(m.G, m.MuA, m.MuB, m.S, m.PlateShare, m.Count)
		case kindArmature:
			a := c.armatures[h.index].spec
			p.flag(a.Operated)
			p.word(a.Coil)
			p.numbers(a.Operate, a.Release, a.OperateTravel, a.ReleaseTravel, a.Open, a.Closed)
		}
	}
	for _, n := range c.joints {
		p.numbers(float64(n))
	}
	return string(p)
}

type fingerprint []byte

func (p *fingerprint) word(s string) {
	p.numbers(float64(len(s)))
	*p = append(*p, s...)
}

func (p *fingerprint) flag(b bool) {
	v := byte(0)
	if b {
		v = 1
	}
	*p = append(*p, v)
}

func (p *fingerprint) numbers(values ...float64) {
	for _, v := range values {
		*p = binary.LittleEndian.AppendUint64(*p, math.Float64bits(v))
	}
}

func (p *fingerprint) source(s Source) {
	*p = append(*p, byte(s.shape))
	p.numbers(s.offset, s.amplitude, s.peak, s.hz, s.phase, s.crest, s.delay, s.rise, s.fall, s.width, s.period, real(s.ac), imag(s.ac))
}
