package lifted

import "mutewright/design/circuit"

// A Law gives the cathode current of a pentode or beam tube above the knee, as
// circuit.TubeModel states it:
//
//	Ik = G·[ (1−s)·S(Vg1k + Vg2k/µa) + s·S(Vg1k + Vg2k/µb) ]
//	S(x) = ( w·ln(1 + e^(x/w)) )^1.5,   w = max(Vg2k, 1 V)/(6·µa)
//
// The plate takes the share PlateShare of it, the screen the rest.
type Law struct {
	G          float64 // A/V^1.5
	MuA        float64 // of the main part
	MuB        float64 // of the tail; not used where S is 0
	S          float64 // share of the tail: 0, or Tail for a remote cut-off
	PlateShare float64 // plate over cathode current

	// Doubt divides MuA and MuB in every state but receive: 1.15 and 0.85 are
	// the bounds of the law's doubt, 0 is read as 1.
	Doubt float64
}

// model is one tube of the law in a circuit.
func (l Law) model() circuit.TubeModel {
	return circuit.TubeModel{G: l.G, MuA: l.MuA, MuB: l.MuB, S: l.S, PlateShare: l.PlateShare}
}

// current gives the cathode current, A, and the cathode's transconductance, S,
// at grid and screen voltages to cathode.
func (l Law) current(grid, screen float64) (ik, gm float64) {
	ik, gm, _ = l.model().Cathode(grid, screen)
	return ik, gm
}

// muted is the law in every state but receive.
func (l Law) muted() Law {
	if l.Doubt > 0 {
		l.MuA /= l.Doubt
		l.MuB /= l.Doubt
	}
	return l
}
