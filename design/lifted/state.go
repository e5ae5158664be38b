package lifted

import "math"

// A State is one operating point of the return.
type State struct {
	Node    float64 // V, lifted node
	Contact float64 // A through the closed contact to chassis; 0 when open
	Rails   []RailState
	Points  []PointState
}

// newState is a state of so many rails and points, which have so many stages.
func newState(rails, points int, stages func(point int) int) State {
	s := State{Rails: make([]RailState, rails), Points: make([]PointState, points)}
	all := 0
	for i := range points {
		all += stages(i)
	}
	store := make([]StageState, all)
	for i := range points {
		n := stages(i)
		s.Points[i].Stages, store = store[:n:n], store[n:]
	}
	return s
}

// worse takes the larger magnitude of every figure of two states, and the lower
// resistance of the paths past the lift. The first is empty, or becomes the result.
func worse(s, t State) State {
	first := s.Points == nil
	if first {
		s = newState(len(t.Rails), len(t.Points), func(i int) int { return len(t.Points[i].Stages) })
	}
	s.Node, s.Contact = larger(s.Node, t.Node), larger(s.Contact, t.Contact)
	for i, r := range t.Rails {
		s.Rails[i] = RailState{larger(s.Rails[i].Volts, r.Volts), larger(s.Rails[i].Drawn, r.Drawn)}
	}
	for i, q := range t.Points {
		p := &s.Points[i]
		if first || q.PastOhms < p.PastOhms {
			p.PastOhms = q.PastOhms
		}
		p.Position, p.Bus, p.Current = larger(p.Position, q.Position), larger(p.Bus, q.Bus), larger(p.Current, q.Current)
		p.Past, p.Screens = larger(p.Past, q.Past), larger(p.Screens, q.Screens)
		for j, y := range q.Stages {
			x := &p.Stages[j]
			x.Cathode, x.Screen, x.Plate = larger(x.Cathode, y.Cathode), larger(x.Screen, y.Screen), larger(x.Plate, y.Plate)
			x.Current, x.ScreenCurrent = larger(x.Current, y.Current), larger(x.ScreenCurrent, y.ScreenCurrent)
			x.Grid, x.Gm = larger(x.Grid, y.Grid), larger(x.Gm, y.Gm)
			x.Bypass, x.HeaterCathode = larger(x.Bypass, y.Bypass), larger(x.HeaterCathode, y.HeaterCathode)
		}
	}
	return s
}

// larger is the number of larger magnitude, the first of equals.
func larger(a, b float64) float64 {
	if math.Abs(b) > math.Abs(a) {
		return b
	}
	return a
}

// A RailState is a rail in one state.
type RailState struct {
	Volts float64 // V
	Drawn float64 // A taken by this network
}

// A PointState is a point in one state. An Output has one stage; a Measured
// point has none, and Bus is then its own voltage.
type PointState struct {
	Position float64 // ohm, of the gain control
	Bus      float64 // V, cathode bus of a Gain; the lifted node of an Output
	Current  float64 // A, cathode current of all tubes
	Past     float64 // A through the paths past the lift, to chassis
	PastOhms float64 // ohm, least resistance from lifted side to chassis past the lift; 0: none
	Screens  float64 // V, shared screen node; 0: none
	Stages   []StageState
}

// A StageState is one stage in one state; a pair is one stage.
type StageState struct {
	Cathode       float64 // V
	Screen        float64 // V
	Plate         float64 // V
	Current       float64 // A, cathode current of the stage
	ScreenCurrent float64 // A
	Grid          float64 // V, grid to cathode
	Gm            float64 // S of one tube, cathode current over grid voltage at constant screen voltage
	Bypass        float64 // V across the cathode bypass capacitor; 0: none
	HeaterCathode float64 // V, |cathode − heater bias| + heater peak
}

// Muted is the return with its contact open, pulldown in place, tubes hot.
type Muted struct {
	Set     State     // control at SetTo
	Full    State     // at full gain
	Least   State     // at least gain
	Highest State     // every figure the one of largest magnitude over the whole travel, signed
	Power   float64   // W, most in the pulldown: V²/R
	Extra   []float64 // A, a rail each: what a regulator must take more than on receive; 0 where not regulated
}

// Unguarded is the return with its contact open and the pulldown missing, a
// meter of 10 MΩ from the lifted node to chassis; worst over the travel.
type Unguarded struct {
	Hot  State
	Cold State   // no emission, every rail at its unloaded voltage
	Node float64 // V, the larger magnitude of the two nodes
}

// Depth is how far the return silences its stages, dB.
type Depth struct {
	Total  float64 // capped at 100
	Over   bool    // the cap was reached
	Points []PointDepth
}

// A PointDepth is the depth of one point: the sum of its stages.
type PointDepth struct {
	Total  float64 // dB, each stage capped at 60
	Over   bool    // a stage reached its cap
	Stages []StageDepth
}

// A StageDepth is the depth of one stage,
//
//	20·log10( effective gm on receive / effective gm muted )
//	effective = gm / |1 + gm·Z|,  Z from cathode to chassis without the stage itself
type StageDepth struct {
	Total   float64 // dB, capped at 60
	Over    bool
	Doubt   float64 // dB either way: 6 for a remote cut-off, 3 for an output stage
	Receive float64 // S, effective
	Muted   float64 // S, effective

	receive, muted complex128 // ohm, Z
}

// Click is what the loudspeaker gets when the contact opens.
type Click struct {
	Excursion float64 // V, largest of the plate, rail rise removed
	Full      float64 // V, plate peak at full output: √(2·P·R)
	Level     float64 // dB, 20·log10(Excursion/Full)
	Plate     float64 // V, highest at the plate
	NoLoad    bool    // no loudspeaker: the figures are 0, keep a load connected
}

// Settling is how long the stages take, from the instant the contact moves.
type Settling struct {
	Muted     float64 // s from opening to the depth wanted, or final depth − 3 dB where that is less
	Final     float64 // dB reached in the end
	Recovered float64 // s from closing to within 3 dB of full gain
	Slow      bool    // not both within 20 s; what was not reached is 0
}
