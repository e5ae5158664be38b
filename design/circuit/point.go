package circuit

// Point is a solved operating point.
type Point struct {
	circuit  *Circuit
	lay      layout
	record   []float64
	closed   []bool    // switches as they stood, in order of addition
	operated []bool    // armatures as they stood
	vj       []float64 // junction voltages, the way on from here
	tubes    []tubePoint
}

// Volts returns the voltage of a node against chassis.
func (p *Point) Volts(n Node) float64 { return p.record[n] }

// Amps returns the current of an element in the direction that its method of
// [Circuit] documents. "NAME.collector", "NAME.base", "NAME.emitter" name the
// terminals of a transistor (into the terminal); "NAME.plate", "NAME.screen"
// (in) and "NAME.cathode" (out) those of a tube. It panics on an unknown name.
func (p *Point) Amps(element string) float64 {
	return p.record[p.lay.slot(element)]
}

// TubePoint is a tube at an operating point.
type TubePoint struct {
	GridVolts, ScreenVolts float64 // V against the cathode
	Cathode, Plate, Screen float64 // A
	Gm                     float64 // S, ∂Ik/∂Vg1k at constant Vg2k: the cathode transconductance
	ScreenGm               float64 // S, ∂Ik/∂Vg2k at constant Vg1k
}

// Tube returns a tube's volts, currents and transconductances.
// It panics when there is no such tube.
func (p *Point) Tube(name string) TubePoint {
	h := p.circuit.mustFind(name)
	if h.kind != kindTube {
		panic("circuit: " + name + " is not a tube")
	}
	t := &p.tubes[h.index]
	r := TubePoint{GridVolts: t.grid, ScreenVolts: t.screen, Cathode: t.ik, Gm: t.gm, ScreenGm: t.gs}
	r.Plate = r.Cathode * p.circuit.tubes[h.index].model.share()
	r.Screen = r.Cathode - r.Plate
	return r
}

// Operated reports whether an armature stands operated.
// It panics when there is no such armature.
func (p *Point) Operated(armature string) bool {
	h := p.circuit.mustFind(armature)
	if h.kind != kindArmature {
		panic("circuit: " + armature + " is not an armature")
	}
	return p.operated[h.index]
}
