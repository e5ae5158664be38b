package design_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design"
	"mutewright/design/lifted"
)

// agreesWithBisection holds the muted node of every return of a design, at both
// ends of the controls' travel, against a solution of its own: no matrix and no
// derivative, but one unknown inside the other, each found between two bounds, on
// the law as lifted.Law states it.
func agreesWithBisection(t *testing.T, d *design.Design) {
	t.Helper()
	for r, name := range d.Returns() {
		said, ok := d.Quantities.Get("return." + name + ".muted")
		if !ok {
			continue
		}
		n, err := d.MutedReturn(r)
		require.NoError(t, err)
		if slices.ContainsFunc(n.Points, func(p lifted.Point) bool { _, ok := p.(lifted.Measured); return ok }) {
			continue // its volts are the plan's own
		}
		solved, err := lifted.Solve(n)
		require.NoError(t, err)
		m, err := solved.Muted()
		require.NoError(t, err)
		assert.InDelta(t, m.Highest.Node, said.Nominal, 1e-5*math.Abs(said.Nominal), "what is said of %s", name)
		for _, end := range []struct {
			name  string
			state lifted.State
			at    func(lifted.Control) float64
		}{
			{"full gain", m.Full, func(lifted.Control) float64 { return 0 }},
			{"least gain", m.Least, func(c lifted.Control) float64 { return c.Value }},
		} {
			found := mutedNode(&n, end.at)
			// Half a per cent, and a millivolt where next to nothing stands.
			assert.InDelta(t, found, end.state.Node, 0.005*math.Abs(found)+1e-3, "muted node of %s at %s", name, end.name)
			assert.LessOrEqual(t, math.Abs(end.state.Node), math.Abs(said.Nominal)*1.00001, "%s at %s is within what is said", name, end.name)
		}
	}
}

// A hung return is a network with its rails and controls at one point.
type hung struct {
	*lifted.Network
	rails []float64 // V
	at    []float64 // ohm, position of the control of each point
}

// mutedNode is the lifted node, contact open, with every control at a position.
// The rails rise as they are relieved, E = V + R·I, at most the unloaded voltage.
func mutedNode(n *lifted.Network, position func(lifted.Control) float64) float64 {
	h := hung{n, make([]float64, len(n.Rails)), make([]float64, len(n.Points))}
	place := func(position func(lifted.Control) float64) {
		for i, p := range n.Points {
			if g, ok := p.(lifted.Gain); ok {
				h.at[i] = position(g.Control)
			}
		}
	}
	for i, r := range n.Rails {
		h.rails[i] = r.Volts
	}
	// On receive the node is at chassis and the controls as set.
	place(func(c lifted.Control) float64 { return c.SetTo })
	_, received := h.draws(0)
	place(position)
	node := 0.0
	for range 40 {
		node = root(-500, 600, func(v float64) float64 {
			in, _ := h.draws(v)
			return in
		})
		_, drawn := h.draws(node)
		moved := 0.0
		for i, r := range n.Rails {
			if r.Regulated || r.Resistance == 0 || received[i] <= 0 {
				continue
			}
			e, ohms := r.Volts+r.Resistance*received[i], r.Resistance
			if r.Unloaded > 0 && e > r.Unloaded {
				e, ohms = r.Unloaded, (r.Unloaded-r.Volts)/received[i]
			}
			e += r.Resistance * r.Shed
			if r.Unloaded > 0 {
				e = math.Min(e, r.Unloaded)
			}
			v := e - ohms*drawn[i]
			moved = math.Max(moved, math.Abs(v-h.rails[i]))
			h.rails[i] = v
		}
		if moved < 0.01 { // V
			break
		}
	}
	return node
}

// draws are the current that flows into the lifted node at v and stays there, A,
// and what each rail gives.
func (h *hung) draws(v float64) (in float64, rails []float64) {
	rails = make([]float64, len(h.Rails))
	pulldown := h.Pulldown
	if pulldown == 0 {
		pulldown = 10e6 // the meter's
	}
	in = -v / pulldown
	for i, p := range h.Points {
		switch p := p.(type) {
		case lifted.Output:
			in += h.output(p, v, rails)
		case lifted.Gain:
			in += h.gain(p, h.at[i], v, rails)
		}
	}
	return in, rails
}

// output is what an output stage gives the node at v.
func (h *hung) output(p lifted.Output, v float64, rails []float64) float64 {
	cathode, count := p.CathodeResistor, float64(p.Count)
	if p.Separate {
		cathode /= count
	}
	rail := h.rails[p.Rail]
	i := emitted(p.Tube, count, p.Grid, v, cathode, rail, p.ScreenResistor)
	rails[p.Rail] += i
	if p.Path > 0 {
		i -= v / p.Path
	}
	return i
}

// emitted is the cathode current of so many tubes whose cathode stands on a
// resistor from foot, their screen on one from feed.
func emitted(l lifted.Law, count, grid, foot, cathode, feed, screen float64) float64 {
	share := l.PlateShare
	if share == 0 {
		share = 1
	}
	given := func(i float64) float64 {
		k := foot + cathode*i
		s := feed - screen*(1-share)*i
		return count * law(l, grid-k, s-k)
	}
	// It is less than without its resistors.
	return root(0, given(0), func(i float64) float64 { return given(i) - i })
}

// law is the cathode current of one tube at grid and screen to cathode.
func law(l lifted.Law, grid, screen float64) float64 {
	if screen <= 0 {
		return 0
	}
	w := math.Max(screen, 1) / (6 * l.MuA)
	soft := func(x float64) float64 {
		// ln(1 + e^z) is z itself where e^z passes all.
		z := x / w
		if z < 500 {
			z = math.Log1p(math.Exp(z))
		}
		return math.Pow(w*z, 1.5)
	}
	y := (1 - l.S) * soft(grid+screen/l.MuA)
	if l.S > 0 {
		y += l.S * soft(grid+screen/l.MuB)
	}
	return l.G * y
}

// gain is what the stages on a gain control at a position give the node at v.
func (h *hung) gain(p lifted.Gain, position, v float64, rails []float64) float64 {
	c := p.Control
	feed := 0.0 // V behind the bleeder
	bleeder := p.Bleeder.Ohms
	if bleeder > 0 {
		feed = h.rails[p.Bleeder.Rail]
	}
	lower, upper := math.Max(position, 1e-3), math.Max(c.Value-position, 1e-3)
	far := v // where the current of the bus goes
	if c.Wiring == lifted.Divider {
		bleeder += upper
		switch c.Far {
		case lifted.FarChassis:
			far = 0
		case lifted.FarFree:
			far, lower = 0, 1e9
		}
	}
	if p.Bleeder.Ohms == 0 {
		bleeder = math.Inf(1)
	}
	bus := v
	balance := func(u float64) float64 {
		i, _, _ := h.stages(p, u)
		return i + (feed-u)/bleeder
	}
	if c.Value > 0 {
		bus = root(-500, 1000, func(u float64) float64 { return balance(u) - (u-far)/lower })
	}
	_, own, shared := h.stages(p, bus)
	rails[p.Rail] += own
	rails[p.Screens.Rail] += shared
	if p.Bleeder.Ohms > 0 {
		rails[p.Bleeder.Rail] += (feed - bus) / bleeder
	}
	in := balance(bus) // what the bus does not keep goes through the control
	if c.Value > 0 {
		if c.Wiring == lifted.Divider && c.Far != lifted.FarLifted {
			in = 0 // it goes to chassis
		}
		if c.Wiring != lifted.Divider && c.Far == lifted.FarChassis {
			in -= v / upper
		}
	}
	if p.Path > 0 {
		in -= v / p.Path
	}
	return in
}

// stages are the cathode current of all stages with their bus at u, and what they
// take of their own rail and of the shared screen's.
func (h *hung) stages(p lifted.Gain, u float64) (sum, own, shared float64) {
	rail := h.rails[p.Rail]
	shares := false
	for _, s := range p.Stages {
		shares = shares || s.SharedScreen
	}
	at := func(screens float64) (sum, own, taken float64) {
		for _, s := range p.Stages {
			feed, ohms := rail, s.ScreenResistor
			if s.SharedScreen {
				feed, ohms = screens, 0
			}
			i := emitted(s.Tube, 1, 0, u, s.CathodeResistor, feed, ohms)
			sum += i
			share := s.Tube.PlateShare
			if share == 0 {
				share = 1
			}
			if s.SharedScreen {
				own += share * i
				taken += (1 - share) * i
			} else {
				own += i
			}
		}
		return sum, own, taken
	}
	screens := 0.0
	if shares {
		feed := h.rails[p.Screens.Rail]
		screens = feed
		if p.Screens.Ohms > 0 {
			screens = root(-10, feed, func(s float64) float64 {
				_, _, taken := at(s)
				i := (feed-s)/p.Screens.Ohms - taken
				if p.Screens.ToChassis > 0 {
					i -= s / p.Screens.ToChassis
				}
				return i
			})
		}
	}
	sum, own, taken := at(screens)
	if p.Screens.ToChassis > 0 {
		taken += screens / p.Screens.ToChassis
	}
	return sum, own, taken
}

// root is where a falling function passes zero between two bounds: by false
// position, halving the side that lags (the Illinois rule), and by bisection
// where that is slow.
func root(lo, hi float64, f func(float64) float64) float64 {
	flo, fhi := f(lo), f(hi)
	if flo <= 0 {
		return lo
	}
	if fhi >= 0 {
		return hi
	}
	side, span := 0, hi-lo
	for k := range 200 {
		x := (lo*fhi - hi*flo) / (fhi - flo)
		if k%3 == 2 || !(x > lo && x < hi) {
			x = (lo + hi) / 2
		}
		y := f(x)
		switch {
		case y == 0:
			return x
		case y > 0:
			lo, flo = x, y
			if side > 0 {
				fhi /= 2
			}
			side = 1
		default:
			hi, fhi = x, y
			if side < 0 {
				flo /= 2
			}
			side = -1
		}
		if hi-lo < 1e-7*span {
			break
		}
	}
	return (lo + hi) / 2
}
