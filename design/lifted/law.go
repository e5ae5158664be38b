package lifted

// A Law gives the cathode current of a pentode or beam tube above the knee,
//
//	Ik = G·[ (1−s)·S(Vg1k + Vg2k/µa) + s·S(Vg1k + Vg2k/µb) ]
//	S(x) = ( w·ln(1 + e^(x/w)) )^1.5,   w = max(Vg2k, 1 V)/(6·µa)
//
// and 0 for Vg2k ≤ 0. The plate takes the share PlateShare, the screen the rest.
type Law struct {
	G          float64 // A/V^1.5
	MuA        float64 // of the main part
	MuB        float64 // of the tail; not used where S is 0
	S          float64 // share of the tail: 0, or 0.03 for a remote cut-off
	PlateShare float64 // plate over cathode current

	// Doubt divides MuA and MuB in every state but receive: 1.15 and 0.85 are
	// the bounds of the law's doubt, 0 is read as 1.
	Doubt float64
}
