package lifted

import (
	"errors"
	"fmt"
	"math"
)

// A Published is one operating point of a tube: volts to cathode, amperes, and
// the plate's transconductance in siemens.
type Published struct {
	Plate, Screen, Grid         float64 // V
	PlateCurrent, ScreenCurrent float64 // A
	Gm                          float64 // S, of the plate
}

// A Remote is one row of a remote cut-off: the grid voltage at which the
// transconductance has fallen to Gm.
type Remote struct {
	Screen, Grid float64 // V, to cathode
	Gm           float64 // S; of the plate, or of the cathode where OfCathode
	OfCathode    bool
}

// A Fitted is a law and what it rests on.
type Fitted struct {
	Law   Law
	Point int     // index of the published point nearest the working screen voltage
	Worst float64 // largest residual of a fit with tail, as a logarithm; 0: exact

	// All published points, each fitted alone with S = 0: lowest and highest.
	GLow, GHigh   float64 // A/V^1.5
	MuLow, MuHigh float64
}

// Tail is the share of the tail in a remote cut-off law.
const Tail = 0.03

// rootLimit is the highest µa, over the µ of the point's law without tail, of
// the root that a sheet means: 6BA6 has exact roots at 30 and 64.
const rootLimit = 1.9

// Fit finds the law of a tube.
//
// Without remote rows S is 0, and G and µ pass exactly the published point
// whose screen voltage is nearest the working one (V; 0 takes the first). With
// remote rows S is 0.03; G, µa and µb are the least squares over all points of
// ln(Ik/Ik0) and ln(gm/gm0), and over all rows of 2·ln(Vg/Vg0), Vg being the
// grid voltage at which the law has the row's transconductance. Points and rows
// that are not trusted should not be given. The plate's share of the current is
// that of the nearest point.
func Fit(points []Published, remote []Remote, screen float64) (Fitted, error) {
	if len(points) == 0 {
		return Fitted{}, errors.New("tube law: no operating point")
	}
	out := Fitted{GLow: math.Inf(1), MuLow: math.Inf(1)}
	laws := make([]Law, len(points))
	for i, p := range points {
		law, err := exact(p)
		if err != nil {
			return Fitted{}, fmt.Errorf("tube law: point %d: %w", i+1, err)
		}
		laws[i] = law
		out.GLow, out.GHigh = math.Min(out.GLow, law.G), math.Max(out.GHigh, law.G)
		out.MuLow, out.MuHigh = math.Min(out.MuLow, law.MuA), math.Max(out.MuHigh, law.MuA)
		if screen > 0 && math.Abs(p.Screen-screen) < math.Abs(points[out.Point].Screen-screen) {
			out.Point = i
		}
	}
	out.Law = laws[out.Point]
	if len(remote) == 0 {
		return out, nil
	}
	for i, r := range remote {
		if !finite(r.Screen, r.Grid, r.Gm) || !(r.Screen > 0 && r.Grid < 0 && r.Gm > 0) {
			return Fitted{}, fmt.Errorf("tube law: remote row %d: screen voltage and transconductance must be positive, grid voltage negative", i+1)
		}
	}
	var err error
	out.Law, out.Worst, err = withTail(out.Law, points, remote)
	return out, err
}

// exact is the law without tail through one point. The ratio
//
//	Ik/gm = w·ln(1 + e^(x/w))·(1 + e^(−x/w))/1.5,   x = Vg + Vg2/µ,   w = Vg2/(6·µ)
//
// falls as µ grows and does not depend on G, which then follows from Ik. The
// cathode's gm is the plate's times Ik/Ip.
func exact(p Published) (Law, error) {
	if !finite(p.Plate, p.Screen, p.Grid, p.PlateCurrent, p.ScreenCurrent, p.Gm) ||
		!(p.Screen > 0 && p.PlateCurrent > 0 && p.ScreenCurrent >= 0 && p.Gm > 0) {
		return Law{}, errors.New("screen voltage, plate current and transconductance must be positive")
	}
	ik := p.PlateCurrent + p.ScreenCurrent
	share := p.PlateCurrent / ik
	wanted := ik / (p.Gm / share)
	ratio := func(mu float64) float64 {
		i, gm := Law{G: 1, MuA: mu}.current(p.Grid, p.Screen)
		return i / gm
	}
	// µ of real tubes is 4 (triode-like output tubes) to some 100.
	low, high := 1.0, 1000.0
	if wanted > ratio(low) || wanted < ratio(high) {
		return Law{}, fmt.Errorf("%.3g V of cathode current over transconductance fits no amplification factor from 1 to 1000", wanted)
	}
	for range 60 {
		if mid := math.Sqrt(low * high); ratio(mid) > wanted {
			low = mid
		} else {
			high = mid
		}
	}
	law := Law{G: 1, MuA: math.Sqrt(low * high), PlateShare: share}
	unit, _ := law.current(p.Grid, p.Screen)
	law.G, law.MuB = ik/unit, law.MuA
	return law, nil
}

// withTail fits G, µa and µb with the tail in place, from several starts, and
// keeps the best root under the limit on µa; without one there, the best of all.
func withTail(start Law, points []Published, rows []Remote) (Law, float64, error) {
	best, bestSum, worst := Law{}, math.Inf(1), 0.0
	for _, a := range []float64{1.2, 1.6} {
		for _, b := range []float64{0.15, 0.3, 0.5} {
			law := start
			law.S, law.MuA, law.MuB = Tail, a*start.MuA, a*b*start.MuA
			law, res := descend(law, points, rows)
			sum := dot(res, res)
			if law.MuA >= rootLimit*start.MuA {
				sum += 1e6 // taken only when nothing else is found
			}
			if sum < bestSum*(1-1e-6) {
				best, bestSum, worst = law, sum, norm(res)
			}
			if bestSum < 1e-18 { // an exact root under the limit
				return best, 0, nil
			}
		}
	}
	if !finite(bestSum, best.G, best.MuA, best.MuB) {
		return Law{}, 0, errors.New("tube law: no law with a remote cut-off fits the points and rows given")
	}
	return best, worst, nil
}

// misfit gives the residuals of the least squares.
func misfit(l Law, points []Published, rows []Remote) []float64 {
	res := make([]float64, 0, 2*len(points)+len(rows))
	for _, p := range points {
		ik, gm := l.current(p.Grid, p.Screen)
		ik0 := p.PlateCurrent + p.ScreenCurrent
		res = append(res, math.Log(ik/ik0), math.Log(gm*p.PlateCurrent/(ik0*p.Gm)))
	}
	for _, r := range rows {
		res = append(res, 2*math.Log(l.gridAt(r)/r.Grid))
	}
	return res
}

// gridAt is the grid voltage at which the law has the row's transconductance,
// by false position on ln(gm) with the Illinois rule: the transconductance grows
// with the grid voltage everywhere, its logarithm without a sharp bend.
func (l Law) gridAt(r Remote) float64 {
	gm := r.Gm
	if !r.OfCathode {
		gm /= l.PlateShare
	}
	excess := func(grid float64) float64 {
		_, at := l.current(grid, r.Screen)
		return math.Log(math.Max(at, 1e-300) / gm)
	}
	low, high := -2*r.Screen/math.Min(l.MuA, l.MuB)-10, 0.0
	a, b := excess(low), excess(high)
	if a >= 0 || b <= 0 {
		return math.NaN() // no such grid voltage: the step that led here is refused
	}
	side := 0.0 // of the last step
	for range 100 {
		x := (low*b - high*a) / (b - a)
		v := excess(x)
		if math.Abs(v) < 1e-13 {
			return x
		}
		if v < 0 {
			low, a = x, v
			if side < 0 {
				b /= 2
			}
		} else {
			high, b = x, v
			if side > 0 {
				a /= 2
			}
		}
		side = v
	}
	return (low + high) / 2
}

// descend improves ln G, ln µa and ln µb by damped Gauss-Newton steps
// (Levenberg 1944, Marquardt 1963).
func descend(l Law, points []Published, rows []Remote) (Law, []float64) {
	const parameters = 3
	shifted := func(l Law, d [parameters]float64) Law {
		l.G *= math.Exp(d[0])
		l.MuA *= math.Exp(d[1])
		l.MuB *= math.Exp(d[2])
		return l
	}
	res := misfit(l, points, rows)
	damping := 1e-2
	for range 200 {
		const step = 1e-5 // of a logarithm: well above the rounding of gridAt
		var jac [parameters][]float64
		for k := range jac {
			var d [parameters]float64
			d[k] = step
			jac[k] = misfit(shifted(l, d), points, rows)
			for i := range jac[k] {
				jac[k][i] = (jac[k][i] - res[i]) / step
			}
		}
		var a [parameters][parameters + 1]float64
		for i := range a {
			for j := range jac {
				a[i][j] = dot(jac[i], jac[j])
			}
			a[i][i] *= 1 + damping
			a[i][i] += 1e-12
			a[i][parameters] = -dot(jac[i], res)
		}
		d := solve3(a)
		next := shifted(l, d)
		after := misfit(next, points, rows)
		if before, sum := dot(res, res), dot(after, after); sum < before {
			l, res, damping = next, after, damping/4
			if sum < 1e-24 || before-sum < 1e-10*before {
				break
			}
		} else if damping *= 8; damping > 1e12 {
			break
		}
	}
	return l, res
}

// solve3 solves three equations, right side in the last column, by elimination
// with row exchange.
func solve3(a [3][4]float64) (x [3]float64) {
	for k := range a {
		for i := k + 1; i < 3; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[k][k]) {
				a[i], a[k] = a[k], a[i]
			}
		}
		for i := k + 1; i < 3; i++ {
			f := a[i][k] / a[k][k]
			for j := k; j < 4; j++ {
				a[i][j] -= f * a[k][j]
			}
		}
	}
	for k := 2; k >= 0; k-- {
		x[k] = a[k][3]
		for j := k + 1; j < 3; j++ {
			x[k] -= a[k][j] * x[j]
		}
		x[k] /= a[k][k]
	}
	return x
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// norm is the largest magnitude.
func norm(a []float64) (most float64) {
	for _, v := range a {
		most = math.Max(most, math.Abs(v))
	}
	return most
}

// finite reports whether every number is one.
func finite(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
