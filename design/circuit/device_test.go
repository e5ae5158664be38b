package circuit

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// slope is the central difference of f at x.
func slope(f func(float64) float64, x, h float64) float64 { return (f(x+h) - f(x-h)) / (2 * h) }

// near asserts that a derivative is what the difference says, to 0.01 %, or
// to the last digits of the currents that were subtracted.
func near(t *testing.T, difference, derivative, current, h float64, what string) {
	t.Helper()
	assert.InDelta(t, difference, derivative, 1e-4*math.Abs(derivative)+1e-15*math.Abs(current)/h+1e-18, what)
}

// The derivatives that Newton's method uses, against differences.
func TestDerivatives(t *testing.T) {
	t.Run("diode", func(t *testing.T) {
		law := newJunction(7e-9, 1.8, 12, 5e-3)
		for _, v := range []float64{-12.2, -12, -11.9, -5, -0.1, 0, 0.1, 0.4, 0.7} {
			i, g := law.at(v)
			near(t, slope(func(v float64) float64 { i, _ := law.at(v); return i }, v, 1e-6), g, i, 1e-6, fmt.Sprintf("at %g V", v))
		}
	})
	t.Run("diode with RS", func(t *testing.T) {
		c, _ := supply("half-wave", DC(0), 1e-6, 1e3, rectifierDiode)
		s := newSolver(c)
		exact := func(v float64) float64 { // v = vj + RS·i
			low, high := -1.0, v
			for range 200 {
				mid := (low + high) / 2
				if i, _ := c.diodes[0].law.at(mid); mid+rectifierDiode.RS*i < v {
					low = mid
				} else {
					high = mid
				}
			}
			i, _ := c.diodes[0].law.at(low)
			return i
		}
		for _, vj := range []float64{0.5, 0.7, 0.9, 1.1} {
			s.vj[0] = vj
			i := s.tangent(0)
			v := vj + rectifierDiode.RS*i
			near(t, slope(exact, v, 1e-6), s.gj[0], i, 1e-6, fmt.Sprintf("at %g V", v))
			assert.InEpsilon(t, i, s.gj[0]*v+s.ij[0], 1e-9)
		}
	})
	t.Run("transistor", func(t *testing.T) {
		c := transistorStage()
		q := &c.transistors[0]
		for _, v := range [][2]float64{{0.7, -5}, {0.75, 0.7}, {0.3, 0.6}, {-1, 0.65}, {-2, -2}} {
			p := q.at(v[0], v[1])
			h := 1e-6
			at := fmt.Sprintf("at Vbe %g V, Vbc %g V", v[0], v[1])
			near(t, slope(func(x float64) float64 { return q.at(x, v[1]).ic }, v[0], h), p.cbe, p.ic, h, at)
			near(t, slope(func(x float64) float64 { return q.at(v[0], x).ic }, v[1], h), p.cbc, p.ic, h, at)
			near(t, slope(func(x float64) float64 { return q.at(x, v[1]).ib }, v[0], h), p.bbe, p.ib, h, at)
			near(t, slope(func(x float64) float64 { return q.at(v[0], x).ib }, v[1], h), p.bbc, p.ib, h, at)
		}
	})
	t.Run("tube", func(t *testing.T) {
		remote := TubeModel{G: 1.1e-3, MuA: 30, MuB: 8, S: 0.03, PlateShare: 0.7, Count: 2}
		for _, m := range []TubeModel{aBeamTube, remote} {
			for _, v := range [][2]float64{{-12.5, 250}, {0, 250}, {-40, 250}, {-120, 250}, {5, 100}, {-3, 2}, {-0.1, 0.7}, {0, 0.3}, {-1, 0.01}} {
				ik, gm, gs := m.Cathode(v[0], v[1])
				at := fmt.Sprintf("at Vg %g V, Vg2 %g V", v[0], v[1])
				h := 1e-5
				near(t, slope(func(x float64) float64 { i, _, _ := m.Cathode(x, v[1]); return i }, v[0], h), gm, ik, h, at)
				near(t, slope(func(x float64) float64 { i, _, _ := m.Cathode(v[0], x); return i }, v[1], h), gs, ik, h, at)
			}
		}
	})
}

// The tube's law at its ends: nothing without a screen voltage, a plain
// three-halves law far above cut-off, an exponential far below, and no jump.
func TestTubeLawAtItsEnds(t *testing.T) {
	m := aBeamTube
	for _, v := range []float64{0, -1, -300} {
		ik, gm, gs := m.Cathode(-1, v)
		assert.Zero(t, ik+gm+gs, "screen at %g V", v)
	}
	ik, _, _ := m.Cathode(0, 1e-6)
	assert.Less(t, ik, 1e-15)
	ik, gm, _ := m.Cathode(200, 100)
	x := 200 + 100/m.MuA
	assert.InEpsilon(t, m.G*math.Pow(x, 1.5), ik, 1e-12)
	assert.InEpsilon(t, 1.5*m.G*math.Sqrt(x), gm, 1e-12)
	w := 250 / (6 * m.MuA)
	ik, gm, _ = m.Cathode(-250, 250)
	x = -250 + 250/m.MuA
	assert.InEpsilon(t, m.G*math.Pow(w*math.Exp(x/w), 1.5), ik, 1e-9)
	assert.InEpsilon(t, 1.5/w, gm/ik, 1e-9)
	ik, gm, gs := m.Cathode(-1e4, 250)
	assert.Zero(t, ik+gm+gs)
	for _, join := range []float64{1} {
		below, _, gsBelow := m.Cathode(-0.05, join*(1-1e-9))
		above, _, gsAbove := m.Cathode(-0.05, join*(1+1e-9))
		assert.InEpsilon(t, above, below, 1e-6)
		assert.Greater(t, gsBelow*gsAbove, 0.0)
	}
	// 6AQ5 at its manual point, 250 V and −12.5 V: 49.5 mA of cathode current.
	ik, gm, _ = m.Cathode(-12.5, 250)
	assert.InEpsilon(t, 49.5e-3, ik, 0.01)
	assert.Greater(t, gm, 3e-3)
}

// The equations that the devices are solved in against differences: at the
// solution of each network the tangents say how every unknown moves with every
// source, and solving again with a source moved says the same.
func TestTangentsAgainstDifferences(t *testing.T) {
	for name, c := range map[string]*Circuit{"lifted": lifted(10e3), "transistor": transistorStage(), "pnp": pnpStage(), "zener": keyed("zener")} {
		s, err := c.prepare(true)
		require.Nil(t, err)
		require.Nil(t, s.restAt(0, Options{}))
		solve := func(part, source int, by float64) []float64 {
			s.assemble(atRest, 0, 0)
			s.parts[part].w[source] += by
			_, err := s.newton(100, restTolerance)
			require.NoError(t, err)
			return append([]float64(nil), s.x...)
		}
		for k := range s.parts {
			p := &s.parts[k]
			for source := range p.sources() {
				value := solve(k, source, 0)
				size := math.Max(math.Abs(p.w[source]), 1e-3)
				h := 1e-6 * size
				up, down := solve(k, source, h), solve(k, source, -h)
				solve(k, source, 0)
				if len(p.tan) > 0 {
					require.True(t, s.step(p)) // with the tangents of the solution
				}
				r, before := p.now, p.sources()
				for i := range p.tan {
					at := &p.tan[i]
					p.b[i+1] = at.a * r.ports[at.port*r.width+source]
					if i >= len(p.diodes) {
						p.b[i+1] += at.b * r.ports[(at.port+1)*r.width+source]
					}
				}
				if len(p.tan) > 0 {
					p.tie.solve(p.b, p.e)
				}
				for i, at := range p.unknowns[1:] {
					row := r.rows[(i+1)*r.width:]
					slope := row[source] + dot(row[before:r.width], p.e[1:])
					want := (up[at] - down[at]) / (2 * h)
					assert.InDelta(t, want, slope, 1e-4*math.Abs(want)+1e-6*math.Abs(value[at])/size+1e-9, "%s: unknown %d by source %d", name, at, source)
				}
			}
		}
	}
}

// A tube near its tangent draws what the law says within 2·10⁻⁶, at the lowest screen
// voltages and in the tail too; a tube that is not near has no such promise.
func TestNearATangentIsTheLaw(t *testing.T) {
	for name, model := range map[string]TubeModel{
		"output": {G: 2e-3, MuA: 9}, "sharp": {G: 1e-3, MuA: 37}, "remote": {G: 8e-4, MuA: 13, MuB: 2.9, S: 0.03},
	} {
		for _, screen := range []float64{2, 20, 150, 400} {
			for _, share := range []float64{-3, -1, -0.3, 0} { // of the cut-off voltage
				tube := &tube{model: model}
				at := tube.at(share*screen/model.MuA, screen)
				step := 0.99 * nearBend * model.bend(screen)
				for _, d := range [][2]float64{{step, 0}, {-step, 0}, {0, step * model.MuA / 5}, {0, -step * model.MuA / 5}} {
					grid, to := at.grid+d[0], at.screen+d[1]
					assert.True(t, tube.near(&at, grid, to), name)
					law, _, _ := model.Cathode(grid, to)
					assert.InEpsilon(t, law, at.line(grid, to), 2e-6, "%s at %g V, %g V", name, at.grid, screen)
				}
				assert.False(t, tube.near(&at, at.grid+2*step, screen), name)
				assert.False(t, tube.near(&tubePoint{grid: math.NaN()}, at.grid, screen), name)
			}
		}
	}
}
