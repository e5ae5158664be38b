package circuit

import (
	"fmt"
	"strings"
)

// layout says where each voltage and current stands in a record. A record is
// one solved instant: first the unknowns of the equations (node voltages,
// chassis first and always zero, then the currents of voltage sources and of
// inductors), then the currents of everything else.
type layout struct {
	voltages, inductors                    int // first slot of each kind
	unknowns                               int // size of the equations
	capacitors, diodes, transistors, tubes int
	contacts, resistors, currents, width   int
	circuit                                *Circuit
}

func (c *Circuit) layout() layout {
	l := layout{circuit: c}
	next := len(c.nodeNames)
	take := func(n int) int { at := next; next += n; return at }
	l.voltages = take(len(c.voltages))
	l.inductors = take(len(c.inductors))
	l.unknowns = next
	l.capacitors = take(len(c.capacitors))
	l.diodes = take(len(c.diodes))
	l.transistors = take(3 * len(c.transistors)) // collector, base, emitter
	l.tubes = take(3 * len(c.tubes))             // cathode, plate, screen
	l.contacts = take(len(c.contacts))
	l.resistors = take(len(c.resistors))
	l.currents = take(len(c.currents))
	l.width = next
	return l
}

// slot returns the place of an element's or terminal's current in a record.
func (l layout) slot(element string) int {
	if h, ok := l.circuit.elements[element]; ok {
		switch h.kind {
		case kindVoltage:
			return l.voltages + h.index
		case kindInductor:
			return l.inductors + h.index
		case kindCapacitor:
			return l.capacitors + h.index
		case kindDiode:
			return l.diodes + h.index
		case kindTransistor:
			return l.transistors + 3*h.index
		case kindTube:
			return l.tubes + 3*h.index
		case kindSwitch:
			return l.contacts + h.index
		case kindResistor:
			return l.resistors + h.index
		case kindCurrent:
			return l.currents + h.index
		}
	}
	if dot := strings.LastIndexByte(element, '.'); dot > 0 {
		h, ok := l.circuit.elements[element[:dot]]
		terminal := element[dot+1:]
		if ok && h.kind == kindTransistor {
			for i, t := range [...]string{"collector", "base", "emitter"} {
				if terminal == t {
					return l.transistors + 3*h.index + i
				}
			}
		}
		if ok && h.kind == kindTube {
			for i, t := range [...]string{"cathode", "plate", "screen"} {
				if terminal == t {
					return l.tubes + 3*h.index + i
				}
			}
		}
	}
	panic(fmt.Sprintf("circuit: no element or terminal %q", element))
}
