package lifted

import "math"

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

// current gives the cathode current, A, and its derivatives by the grid and by
// the screen voltage, S, both to cathode. Under 1 V of screen voltage it is not
// meant to be exact.
func (l Law) current(grid, screen float64) (ik, gm, gs float64) {
	if screen <= 0 {
		return 0, 0, 0
	}
	width, slope := 1/(6*l.MuA), 0.0
	if screen > 1 {
		width, slope = screen/(6*l.MuA), 1/(6*l.MuA)
	}
	part := func(share, mu float64) {
		y, yx, yw := softened(grid+screen/mu, width)
		g, root := share*l.G, math.Sqrt(y)
		ik += g * y * root
		gm += g * 1.5 * root * yx
		gs += g * 1.5 * root * (yx/mu + yw*slope)
	}
	part(1-l.S, l.MuA)
	if l.S > 0 {
		part(l.S, l.MuB)
	}
	return ik, gm, gs
}

// softened is y = w·ln(1 + e^(x/w)) with its derivatives by x and by w,
//
//	∂y/∂x = 1/(1 + e^(−x/w)),   ∂y/∂w = (y − x·∂y/∂x)/w
func softened(x, w float64) (y, yx, yw float64) {
	u := x / w
	e := math.Exp(-math.Abs(u)) // never overflows
	log := math.Log1p(e)
	if u > 0 {
		y, yx = x+w*log, 1/(1+e)
	} else {
		y, yx = w*log, e/(1+e)
	}
	return y, yx, (y - x*yx) / w
}

// muted is the law in every state but receive.
func (l Law) muted() Law {
	if l.Doubt > 0 {
		l.MuA /= l.Doubt
		l.MuB /= l.Doubt
	}
	return l
}
