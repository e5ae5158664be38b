package lifted

// A Published is one operating point of a tube: volts to cathode, amperes, and
// the plate's transconductance in siemens.
type Published struct {
	Plate, Screen, Grid         float64 // V
	PlateCurrent, ScreenCurrent float64 // A
	Gm                          float64 // S, plate
}

// A Remote is one row of a remote cut-off: the grid voltage at which the
// transconductance has fallen to Gm.
type Remote struct {
	Screen, Grid float64 // V
	Gm           float64 // S, of the plate; of the cathode where OfCathode
	OfCathode    bool
}

// A Fitted law, and what it rests on.
type Fitted struct {
	Law   Law
	Point int // index of the published point used
	// Spread over all published points, each fitted alone with S = 0.
	GLow, GHigh, MuLow, MuHigh float64
	Exact                      bool // the law passes through every figure it was fitted to
}

// Fit finds the law of a tube. Without remote rows S is 0 and G and µ are exact
// for the point whose screen voltage is nearest the working one (V; 0: the
// first). With remote rows S is 0.03 and G, µa, µb are the least squares of
// ln(Ik/Ik0), ln(gm/gm0) and 2·ln(Vg/Vg0) at each remote transconductance.
func Fit(points []Published, remote []Remote, screen float64) (Fitted, error) {
	return Fitted{}, errUnfinished
}
