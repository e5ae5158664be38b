package circuit

import "math"

// thermal is kT/q at 27 °C (300.15 K), the temperature at which the figures
// of diodes and transistors are stated.
const thermal = 1.380649e-23 * 300.15 / 1.602176634e-19

// leak is the conductance (S) across every junction, and from plate and
// screen to cathode of every tube, that keeps the equations regular when all
// of them are cut off: 1 TΩ, a quarter of a nanoampere at 250 V.
const leak = 1e-12

// junction is the exponential law of one pn junction.
type junction struct {
	is, nvt, critical float64
	bv, ibv, break0   float64 // breakdown voltage, current there, and its critical overvoltage
}

func newJunction(is, n, bv, ibv float64) junction {
	j := junction{is: is, nvt: n * thermal, bv: bv, ibv: ibv}
	// The point of smallest radius of curvature of the exponential; above
	// it a Newton step is limited (Nagel, SPICE2, 1975).
	j.critical = j.nvt * math.Log(j.nvt/(math.Sqrt2*is))
	if bv > 0 {
		if ibv == 0 {
			j.ibv = 1e-3
		}
		j.break0 = max(0, j.nvt*math.Log(j.nvt/(math.Sqrt2*j.ibv)))
	}
	return j
}

// at returns current and conductance of
// i = IS·(e^(v/nVt) − 1) − IBV·e^(−(v+BV)/nVt).
func (j *junction) at(v float64) (i, g float64) {
	e := exponential(v / j.nvt)
	i, g = j.is*(e-1), j.is*e/j.nvt
	if j.bv > 0 && v < 0 {
		e = exponential(-(v + j.bv) / j.nvt)
		i -= j.ibv * e
		g += j.ibv * e / j.nvt
	}
	return i, g
}

// exponential is e^z, held where a double would soon overflow: no solution lies
// there, only a stray iterate. Of a junction that blocks nothing is left, and the
// time is saved.
func exponential(z float64) float64 {
	if z < -100 {
		return 0
	}
	return math.Exp(min(z, 300))
}

// limit shortens a Newton step from old to new where the exponential would
// run away, and says whether it did.
func (j *junction) limit(new, old float64) (float64, bool) {
	if j.bv > 0 && new < -j.bv/2 {
		v, limited := limitForward(-(new + j.bv), -(old + j.bv), j.nvt, j.break0)
		return -v - j.bv, limited
	}
	return limitForward(new, old, j.nvt, j.critical)
}

func limitForward(new, old, nvt, critical float64) (float64, bool) {
	if new <= critical || math.Abs(new-old) <= 2*nvt {
		return new, false
	}
	if old > 0 {
		if a := 1 + (new-old)/nvt; a > 0 {
			return old + nvt*math.Log(a), true
		}
		return critical, true
	}
	return nvt * math.Log(new/nvt), true
}

// bend is w of [TubeModel.Cathode], V: over so many the law bends.
func (t TubeModel) bend(screen float64) float64 { return max(screen, 1) / (6 * t.MuA) }

// Cathode returns the cathode current (A), its derivative by the control
// grid voltage at constant screen voltage, and its derivative by the screen
// voltage (S), at grid and screen voltages against the cathode (V):
//
//	Ik = G·[ (1−s)·S(Vg1k + Vg2k/µa) + s·S(Vg1k + Vg2k/µb) ]·Count
//	S(x) = ( w·ln(1 + e^(x/w)) )^1.5,  w = max(Vg2k, 1 V)/(6·µa)
//
// a three-halves law whose tail is an exponential as the tails of tube
// manuals are. Between 0 V and 1 V on the screen it is led to zero by
// 3u²−2u³, u = Vg2k/1 V; below there is no current.
func (t TubeModel) Cathode(grid, screen float64) (ik, gm, screenGm float64) {
	if screen <= 0 {
		return 0, 0, 0
	}
	w, dw := 1/(6*t.MuA), 0.0
	if screen > 1 {
		w, dw = screen*w, w
	}
	part := func(share, mu float64) {
		pull := 1 / mu
		y, dx, dy := tail(grid+screen*pull, w)
		ik += share * y
		gm += share * dx
		screenGm += share * (dx*pull + dy*dw)
	}
	part(1-t.S, t.MuA)
	if t.S > 0 {
		part(t.S, t.MuB)
	}
	g := t.G * t.count()
	ik, gm, screenGm = g*ik, g*gm, g*screenGm
	if screen < 1 {
		u := screen
		fade, slope := u*u*(3-2*u), 6*u*(1-u)
		screenGm = fade*screenGm + slope*ik
		ik, gm = fade*ik, fade*gm
	}
	return ik, gm, screenGm
}

// tail is S(x) = (w·L)^1.5 with L = ln(1 + e^z), z = x/w, and its derivatives
//
//	∂S/∂x = 1.5·√(w·L)·σ(z),  ∂S/∂w = 1.5·√(w·L)·(L − z·σ(z)),  σ = 1/(1 + e^−z)
//
// with ln(1 + e^z) = max(z, 0) + ln(1 + e^−|z|), which is exact at both ends.
func tail(x, w float64) (y, dx, dw float64) {
	z := x / w
	e := math.Exp(-math.Abs(z))
	l, sigma := log1p(e), 1/(1+e)
	if z > 0 {
		l += z
	} else {
		sigma *= e
	}
	root := math.Sqrt(w * l)
	return w * l * root, 1.5 * root * sigma, 1.5 * root * (l - z*sigma)
}

// log1p is ln(1 + e) for 0 ≤ e ≤ 1, within a few units of the last digit: 1 + e is
// rounded, and what that makes of the logarithm it makes of e, too (Kahan). It
// takes half the time of [math.Log1p].
func log1p(e float64) float64 {
	u := 1 + e
	if u == 1 {
		return e
	}
	return math.Log(u) * (e / (u - 1))
}
