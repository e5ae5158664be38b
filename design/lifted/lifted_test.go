package lifted

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/circuit"
)

// pairOf is two 6BA6 straight on their bus, with screens through a resistor, or
// held by rail 1 where it is 0.
func pairOf(t testing.TB, screens float64) Gain {
	g := Gain{Frequency: 455e3, Control: Control{Value: 10e3}}
	for range 2 {
		g.Stages = append(g.Stages, Stage{Tube: law(t, "6BA6", 100), Bypass: 10e-9, ScreenResistor: screens, SharedScreen: screens == 0})
	}
	if screens == 0 {
		g.Screens.Rail = 1
	}
	return g
}

// beam is one 6AQ5 with a cathode resistor of 270 Ω, typical of its kind.
func beam(t testing.TB, to BypassTo) Output {
	return Output{Tube: law(t, "6AQ5", 250), Count: 1, CathodeResistor: 270, Bypass: 22e-6, BypassTo: to,
		Transformer: Transformer{Load: 5e3, Resistance: 250, Inductance: 10, FullOutput: 4.5}}
}

// common is one output stage and two IF stages on one return, the rail soft.
func common(t testing.TB, to BypassTo) Network {
	g := pairOf(t, 33e3)
	for i := range g.Stages {
		g.Stages[i].CathodeResistor = 68
	}
	return Network{
		Rails:    []Rail{{Volts: 250, Unloaded: 345, Resistance: 500, Capacitance: 40e-6}},
		Points:   []Point{beam(t, to), g},
		Pulldown: 10e3, Contact: 0.1, Heater: Heater{Peak: 6.3 * math.Sqrt2},
	}
}

func solve(t testing.TB, n Network) *Return {
	t.Helper()
	r, err := Solve(n)
	require.NoError(t, err)
	return r
}

func muted(t testing.TB, n Network) Muted {
	t.Helper()
	m, err := solve(t, n).Muted()
	require.NoError(t, err)
	return m
}

func depth(t testing.TB, n Network) Depth {
	t.Helper()
	d, err := solve(t, n).Depth()
	require.NoError(t, err)
	return d
}

// First checks, solved beforehand with ngspice or with the law by hand, to the
// figures given.
func TestFirstChecks(t *testing.T) {
	held := []Rail{{Volts: 250}, {Volts: 100, Regulated: true}}

	t.Run("screens held at 100 V: 13.4 V on 10 kΩ", func(t *testing.T) {
		m := muted(t, Network{Rails: held, Points: []Point{pairOf(t, 0)}, Pulldown: 10e3, Contact: 0.1})
		assert.InDelta(t, 13.4, m.Set.Node, 0.05)
	})
	t.Run("screens through 36 kΩ from 250 V: 33.0 V", func(t *testing.T) {
		m := muted(t, Network{Rails: held, Points: []Point{pairOf(t, 36e3)}, Pulldown: 10e3, Contact: 0.1})
		assert.InDelta(t, 33.0, m.Set.Node, 0.05)
	})
	t.Run("bleeder of 68 kΩ from 230 V, no pulldown: 228 V", func(t *testing.T) {
		g := pairOf(t, 0)
		g.Bleeder = Feed{Ohms: 68e3}
		u, err := solve(t, Network{Rails: []Rail{{Volts: 230}, held[1]}, Points: []Point{g}, Contact: 0.1}).Unguarded()
		require.NoError(t, err)
		assert.InDelta(t, 228, u.Hot.Node, 0.5)
		assert.InDelta(t, 228, u.Cold.Node, 0.5)
	})
	// The two figures belong to a rail of 275 V (250 V, mains high by a tenth)
	// and to µ divided by 1.15: both alone follow from the dividers 10/57 and
	// 20/67 of 275 V, and only the doubted tail adds the last 2.6 V at full gain.
	t.Run("bleeder of 47 kΩ, 10 kΩ pulldown: 51 V, bus 82 V at least gain", func(t *testing.T) {
		g := pairOf(t, 36e3)
		g.Bleeder = Feed{Ohms: 47e3}
		for i := range g.Stages {
			g.Stages[i].Tube.Doubt = 1.15
		}
		m := muted(t, Network{Rails: []Rail{{Volts: 275}}, Points: []Point{g}, Pulldown: 10e3, Contact: 0.1})
		assert.InDelta(t, 51, m.Full.Node, 0.5)
		assert.InDelta(t, 82, m.Least.Points[0].Bus, 0.5)
		assert.Equal(t, m.Least.Points[0].Bus, m.Highest.Points[0].Bus)
	})
	t.Run("output alone: 15 dB with its bypass to chassis, 34 dB to the return", func(t *testing.T) {
		n := Network{Rails: []Rail{{Volts: 250}}, Points: []Point{beam(t, ToChassis)}, Pulldown: 10e3, Contact: 0.1}
		assert.InDelta(t, 15, depth(t, n).Total, 1)
		n.Points[0] = beam(t, ToReturn)
		assert.InDelta(t, 34, depth(t, n).Total, 1)
	})
	t.Run("RF stages with droppers take an output tube to 36 dB", func(t *testing.T) {
		d := depth(t, common(t, ToChassis))
		assert.InDelta(t, 36, d.Points[0].Total, 1)
		for _, s := range d.Points[1].Stages {
			assert.InDelta(t, 25, s.Total, 2, "a remote stage gives 25 to 35 dB")
		}
	})
	t.Run("held screens: a remote stage gives 25 to 35 dB", func(t *testing.T) {
		d := depth(t, Network{Rails: held, Points: []Point{pairOf(t, 0)}, Pulldown: 10e3, Contact: 0.1})
		assert.InDelta(t, 30, d.Points[0].Stages[0].Total, 5)
	})
	t.Run("click: bypass to chassis −12 dB, 294 V", func(t *testing.T) {
		k, err := solve(t, common(t, ToChassis)).Click(0)
		require.NoError(t, err)
		assert.InDelta(t, -12, k.Level, 0.3)
		assert.InDelta(t, 294, k.Plate, 2)
	})
	t.Run("click: bypass to the return 0 dB, 450 to 470 V", func(t *testing.T) {
		k, err := solve(t, common(t, ToReturn)).Click(0)
		require.NoError(t, err)
		assert.InDelta(t, 0, k.Level, 0.6)
		assert.InDelta(t, 460, k.Plate, 10)
	})
	t.Run("22 µF to chassis holds an output cathode down for 20 to 90 ms", func(t *testing.T) {
		n := common(t, ToChassis)
		n.Points = n.Points[:1]
		s, err := solve(t, n).Settle(60)
		require.NoError(t, err)
		assert.InDelta(t, 55e-3, s.Muted, 35e-3)
		assert.Less(t, s.Recovered, 10e-3)
		assert.False(t, s.Slow)
	})
}

// Settling against the fall of the tube's current in ngspice's record of the
// same output tube: it passes 5 mA 22 ms after the contact opens at 10 ms.
func TestSettleByHand(t *testing.T) {
	n := Network{Rails: []Rail{{Volts: 250}}, Points: []Point{beam(t, ToChassis)}, Pulldown: 10e3, Contact: 0.05}
	r := solve(t, n)
	nodes, tr, err := r.work(new(Shop), 0.2, 0)
	require.NoError(t, err)
	at, ok := tr.Crossing(tr.Amps("p1_tube"), 5e-3/0.909091, false, before)
	require.True(t, ok)
	assert.InDelta(t, 0.0319619-10e-3, at-before, 0.1e-3)

	// The final depth less 3 dB, at the volts of the instant: with 22 µF to
	// chassis the impedance at the cathode is that of the capacitor.
	s, err := r.Settle(60)
	require.NoError(t, err)
	cathode := tr.At(tr.Volts(nodes.Points[0].Stages[0].Cathode), before+s.Muted)
	_, gm := n.Points[0].(Output).Tube.current(-cathode, 250-cathode)
	now := gm / math.Hypot(1, gm/(2*math.Pi*1e3*22e-6))
	assert.InDelta(t, s.Final-3, 20*math.Log10(depth(t, n).Points[0].Stages[0].Receive/now), 0.05)

	n.Pulldown = 0
	s, err = solve(t, n).Settle(60)
	require.NoError(t, err)
	assert.Greater(t, s.Muted, 1.0, "nothing but the meter and the tail of the tube")
}

// theLaw is the law of the brief written out again, for the checks that must not
// lean on the engine.
func theLaw(l Law, grid, screen float64) float64 {
	if screen <= 0 {
		return 0
	}
	w := math.Max(screen, 1) / (6 * l.MuA)
	s := func(x float64) float64 {
		if x/w > 30 {
			return math.Pow(x, 1.5)
		}
		return math.Pow(w*math.Log1p(math.Exp(x/w)), 1.5)
	}
	ik := (1 - l.S) * s(grid+screen/l.MuA)
	if l.S > 0 {
		ik += l.S * s(grid+screen/l.MuB)
	}
	return l.G * ik
}

// root is where a falling function crosses zero, by bisection that leans on the
// chord (the Illinois rule): a dozen calls.
func root(low, high float64, f func(float64) float64) float64 {
	a, b := f(low), f(high)
	if a <= 0 {
		return low
	}
	if b >= 0 {
		return high
	}
	side := 0
	for range 200 {
		x := (low*b - high*a) / (b - a)
		v := f(x)
		if v == 0 || high-low < 1e-12*(math.Abs(high)+math.Abs(low)) {
			return x
		}
		if v > 0 {
			low, a = x, v
			if side > 0 {
				b /= 2
			}
			side = 1
		} else {
			high, b = x, v
			if side < 0 {
				a /= 2
			}
			side = -1
		}
		if math.Abs(v) < 1e-14 {
			return x
		}
	}
	return (low + high) / 2
}

// byHand solves a network of one rail by nested bisection on the law: cathode
// current of every tube, bus of every gain point, lifted node, rail.
type byHand struct {
	n       Network
	doubted bool
	source  float64 // V and
	ohms    float64 // ohm of the rail; 0: stiff
	lifted  float64 // S from the lifted node to chassis, contact and pulldown
}

func (h byHand) law(l Law) Law {
	if h.doubted && l.Doubt > 0 {
		l.MuA /= l.Doubt
		l.MuB /= l.Doubt
	}
	return l
}

// tube is the cathode current of tubes in parallel above a node of v volts.
func (h byHand) tube(l Law, count, v, grid, cathode, rail, dropper float64) float64 {
	l = h.law(l)
	return root(0, 2, func(i float64) float64 {
		k := v + cathode*i
		return count*theLaw(l, grid-k, rail-dropper*i*(1-l.PlateShare)-k) - i
	})
}

// into is the current into the lifted node, and what the rail gives, at node
// and rail voltages.
func (h byHand) into(node, rail float64) (in, drawn float64, buses []float64) {
	for _, p := range h.n.Points {
		switch p := p.(type) {
		case Output:
			branches := 1.0
			if p.Separate {
				branches = float64(p.Count)
			}
			i := h.tube(p.Tube, float64(p.Count), node, p.Grid, p.CathodeResistor/branches, rail, p.ScreenResistor)
			in, drawn, buses = in+i, drawn+i, append(buses, node)
			if p.Path > 0 {
				in -= node / p.Path
			}
		case Gain:
			r := math.Max(p.Control.SetTo, short)
			feed := func(bus float64) (i float64) {
				for _, s := range p.Stages {
					i += h.tube(s.Tube, 1, bus, 0, s.CathodeResistor, rail, s.ScreenResistor)
				}
				if p.Bleeder.Ohms > 0 {
					i += (rail - bus) / p.Bleeder.Ohms
				}
				return i
			}
			bus := root(node, rail, func(bus float64) float64 { return feed(bus) - (bus-node)/r })
			i := feed(bus)
			in, drawn, buses = in+i, drawn+i, append(buses, bus)
			if p.Path > 0 {
				in -= node / p.Path
			}
			if p.Control.Far == FarChassis {
				in -= node / math.Max(p.Control.Value-p.Control.SetTo, short)
			}
		}
	}
	return in, drawn, buses
}

func (h byHand) solve() (node, rail, drawn float64, buses []float64) {
	at := func(rail float64) float64 {
		return root(0, rail, func(node float64) float64 {
			in, _, _ := h.into(node, rail)
			return in - node*h.lifted
		})
	}
	rail = h.source
	if h.ohms > 0 {
		rail = root(h.source/2, h.source, func(v float64) float64 {
			_, drawn, _ := h.into(at(v), v)
			return h.source - h.ohms*drawn - v
		})
	}
	node = at(rail)
	_, drawn, buses = h.into(node, rail)
	return node, rail, drawn, buses
}

// random makes a legal network of one rail.
func random(t testing.TB, r *rand.Rand) Network {
	between := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	maybe := func(v float64) float64 {
		if r.IntN(2) == 0 {
			return 0
		}
		return v
	}
	outputs := []string{"6AQ5", "6V6GT", "6K6GT", "6BQ5", "6F6", "6AK6"}
	remotes := []string{"6BA6", "6SK7", "6BD6", "6SG7", "6K7", "6AU6", "6SJ7"}
	n := Network{Pulldown: between(1e3, 100e3), Contact: 0.1}
	rail := Rail{Volts: between(180, 300)}
	if r.IntN(3) > 0 {
		rail.Resistance, rail.Unloaded, rail.Capacitance = between(100, 2e3), rail.Volts*(1.02+0.4*r.Float64()), 40e-6
	}
	n.Rails = []Rail{rail}
	for range 1 + r.IntN(4) {
		doubt := []float64{0, 1.15, 0.85}[r.IntN(3)]
		if r.IntN(2) == 0 {
			o := Output{Tube: law(t, outputs[r.IntN(len(outputs))], rail.Volts), Count: 1 + r.IntN(2), Separate: r.IntN(2) == 0,
				CathodeResistor: maybe(between(50, 800)), ScreenResistor: maybe(between(100, 10e3)), Bypass: 22e-6,
				BypassTo: BypassTo(r.IntN(2)), Path: maybe(between(5e3, 1e6))}
			o.Separate = o.Separate && o.Count == 2
			if o.CathodeResistor == 0 {
				o.Grid = -20
			}
			o.Tube.Doubt = doubt
			n.Points = append(n.Points, o)
			continue
		}
		g := Gain{Frequency: 455e3, Path: maybe(between(5e3, 1e6))}
		if r.IntN(4) > 0 {
			g.Control.Value = between(1e3, 50e3)
			g.Control.SetTo = maybe(g.Control.Value * r.Float64())
			g.Control.Far = FarEnd(r.IntN(3))
		}
		if r.IntN(3) == 0 {
			g.Bleeder.Ohms = between(22e3, 220e3)
		}
		for range 1 + r.IntN(8) {
			s := Stage{Tube: law(t, remotes[r.IntN(len(remotes))], 100), CathodeResistor: maybe(between(50, 500)), ScreenResistor: between(15e3, 150e3), Bypass: 10e-9}
			s.Tube.Doubt = doubt
			g.Stages = append(g.Stages, s)
		}
		n.Points = append(n.Points, g)
	}
	return n
}

// An independent solution of random networks: bisection on the law, no engine.
func TestMutedNodeAgreesWithBisection(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 0x6BA6))
	for i := range 60 {
		n := random(t, r)
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			s := solve(t, n)
			receive := byHand{n: n, source: n.Rails[0].Volts, lifted: 1/n.Contact + 1/n.Pulldown}
			node, _, drawn, _ := receive.solve()
			require.InEpsilon(t, drawn, s.Receive().Rails[0].Drawn, 1e-4)
			assert.InEpsilon(t, node/n.Contact, s.Receive().Contact, 1e-4)

			muted := byHand{n: n, doubted: true, source: n.Rails[0].Volts, lifted: 1 / n.Pulldown}
			if rail := n.Rails[0]; rail.Resistance > 0 {
				muted.source, muted.ohms = rail.Volts+rail.Resistance*drawn, rail.Resistance
				if muted.source > rail.Unloaded {
					muted.source, muted.ohms = rail.Unloaded, (rail.Unloaded-rail.Volts)/drawn
				}
			}
			node, rail, drawn, buses := muted.solve()
			m, err := s.Muted()
			require.NoError(t, err)
			assert.InEpsilon(t, node, m.Set.Node, 2e-4)
			assert.InEpsilon(t, rail, m.Set.Rails[0].Volts, 2e-4)
			assert.InDelta(t, drawn, m.Set.Rails[0].Drawn, 1e-6+2e-4*drawn)
			for i, bus := range buses {
				assert.InEpsilon(t, bus, m.Set.Points[i].Bus, 2e-4)
			}

			muted.lifted = 1 / meter
			node, _, _, _ = muted.solve()
			alone := *s
			alone.net.Pulldown = 0
			u, err := alone.rig(form{supplies: s.muted, doubted: true}, nil).at(s.setTo())
			require.NoError(t, err)
			assert.InEpsilon(t, node, u.Node, 0.005, "unguarded")
		})
	}
}

// The worst over the travel is what a dense scan finds, in every wiring.
func TestTravelFindsTheWorst(t *testing.T) {
	for name, c := range map[string]struct {
		control Control
		bleeder float64
		path    float64
	}{
		"rheostat":                     {Control{Value: 10e3}, 0, 0},
		"rheostat with bleeder":        {Control{Value: 10e3, Far: FarFree}, 47e3, 0},
		"rheostat, far end on chassis": {Control{Value: 10e3, Far: FarChassis}, 0, 0},
		"the same with bleeder":        {Control{Value: 25e3, Far: FarChassis}, 47e3, 0},
		"divider":                      {Control{Value: 25e3, Wiring: Divider}, 47e3, 0},
		"divider, far end on chassis":  {Control{Value: 25e3, Wiring: Divider, Far: FarChassis}, 100e3, 22e3},
		"divider, far end free":        {Control{Value: 25e3, Wiring: Divider, Far: FarFree}, 100e3, 0},
		"divider without bleeder":      {Control{Value: 25e3, Wiring: Divider, Far: FarFree}, 0, 0},
		"antenna and cathode":          {Control{Value: 10e3, Wiring: AntennaAndCathode}, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			n := common(t, ToChassis)
			g := n.Points[1].(Gain)
			g.Control, g.Bleeder.Ohms, g.Path = c.control, c.bleeder, c.path
			n.Points[1] = g
			m := muted(t, n)
			var node, bus, cathode, past float64
			const steps = 200
			r := solve(t, n)
			rig := r.rig(form{supplies: r.muted, doubted: true}, nil)
			for i := range steps + 1 {
				s, err := rig.at([]float64{c.control.Value * float64(i) / steps})
				require.NoError(t, err)
				node, bus, past = max(node, s.Node), max(bus, s.Points[1].Bus), max(past, s.Points[1].Past)
				cathode = max(cathode, s.Points[1].Stages[0].Cathode)
			}
			assert.InEpsilon(t, node, m.Highest.Node, 1e-3)
			assert.InEpsilon(t, bus, m.Highest.Points[1].Bus, 1e-3)
			assert.InEpsilon(t, cathode, m.Highest.Points[1].Stages[0].Cathode, 1e-3)
			if past > 0 {
				assert.InEpsilon(t, past, m.Highest.Points[1].Past, 2e-3)
			}
		})
	}
}

func TestPathsPastTheLift(t *testing.T) {
	n := common(t, ToChassis)
	o := n.Points[0].(Output)
	o.Path = 20e3
	n.Points[0] = o
	g := n.Points[1].(Gain)
	g.Control.Far = FarChassis
	n.Points[1] = g
	m := muted(t, n)
	assert.InEpsilon(t, m.Set.Node/20e3, m.Set.Points[0].Past, 1e-9)
	assert.InEpsilon(t, 20e3, m.Highest.Points[0].PastOhms, 1e-9)
	assert.InEpsilon(t, 10e3, m.Set.Points[1].PastOhms, 1e-6, "at full gain the whole track is in the path")
	assert.Less(t, m.Highest.Points[1].PastOhms, 1.0, "at least gain the wiper stands on chassis")
	assert.Less(t, m.Least.Node, 1.0)
}

func TestRails(t *testing.T) {
	n := common(t, ToChassis)
	t.Run("a rail rises by its resistance times what is shed", func(t *testing.T) {
		r := solve(t, n)
		m := muted(t, n)
		shed := r.Receive().Rails[0].Drawn - m.Set.Rails[0].Drawn
		assert.InEpsilon(t, 250, r.Receive().Rails[0].Volts, 1e-9)
		assert.InEpsilon(t, 250+500*shed, m.Set.Rails[0].Volts, 1e-6)
		cold, err := r.Cold()
		require.NoError(t, err)
		assert.InEpsilon(t, 345, cold.Rails[0].Volts, 1e-9)
	})
	t.Run("what other returns shed lifts it further", func(t *testing.T) {
		with := n
		with.Rails = []Rail{{Volts: 250, Unloaded: 345, Resistance: 500, Shed: 20e-3}}
		assert.InDelta(t, muted(t, n).Set.Rails[0].Volts+10, muted(t, with).Set.Rails[0].Volts, 0.5)
	})
	t.Run("never above unloaded", func(t *testing.T) {
		low := n
		low.Rails = []Rail{{Volts: 250, Unloaded: 260, Resistance: 500}}
		m := muted(t, low)
		assert.LessOrEqual(t, m.Highest.Rails[0].Volts, 260.0)
		assert.Greater(t, m.Set.Rails[0].Volts, 259.0)
	})
	t.Run("a regulated rail stays, its regulator takes the difference", func(t *testing.T) {
		reg := n
		reg.Rails = []Rail{{Volts: 250, Unloaded: 250, Resistance: 500, Regulated: true}}
		r, m := solve(t, reg), muted(t, reg)
		assert.InEpsilon(t, 250, m.Set.Rails[0].Volts, 1e-9)
		assert.InEpsilon(t, r.Receive().Rails[0].Drawn-m.Least.Rails[0].Drawn, m.Extra[0], 1e-9)
	})
}

func TestPairs(t *testing.T) {
	one := Network{Rails: []Rail{{Volts: 250}}, Points: []Point{beam(t, ToChassis)}, Pulldown: 10e3, Contact: 0.1}
	shared := one
	pair := beam(t, ToChassis)
	pair.Count, pair.CathodeResistor = 2, 135
	shared.Points = []Point{pair}
	separate := one
	pair.Separate, pair.CathodeResistor = true, 270
	separate.Points = []Point{pair}

	a, b, c := solve(t, one).Receive(), solve(t, shared).Receive(), solve(t, separate).Receive()
	assert.InEpsilon(t, 2*a.Contact, b.Contact, 1e-3, "half the resistor, twice the current")
	assert.InEpsilon(t, b.Contact, c.Contact, 1e-6, "two of twice the value do the same")
	assert.InEpsilon(t, a.Points[0].Stages[0].Gm, c.Points[0].Stages[0].Gm, 1e-3, "of one tube")

	t.Run("a common cathode does not feed back on tubes driven against each other", func(t *testing.T) {
		p := shared.Points[0].(Output)
		p.BypassTo, p.Bypass = ToReturn, 0
		n := shared
		n.Points = []Point{p}
		d := depth(t, n)
		m := muted(t, n)
		assert.InEpsilon(t, m.Set.Points[0].Stages[0].Gm, d.Points[0].Stages[0].Muted, 1e-9)
	})
	t.Run("a balanced pair clicks by its unbalance", func(t *testing.T) {
		k, err := solve(t, separate).Click(0)
		require.NoError(t, err)
		single, err := solve(t, one).Click(0)
		require.NoError(t, err)
		assert.Less(t, k.Level, single.Level-6)
	})
}

func TestFixedBias(t *testing.T) {
	o := beam(t, ToChassis)
	o.Grid, o.CathodeResistor, o.Bypass = -12.5, 0, 0
	n := Network{Rails: []Rail{{Volts: 250}}, Points: []Point{o}, Pulldown: 10e3, Contact: 0.1}
	r := solve(t, n)
	// The published point: 250 V, −12.5 V, 45 + 4.5 mA (tube manual, second-hand).
	assert.InEpsilon(t, 49.5e-3, r.Receive().Contact, 1e-3)
	m := muted(t, n)
	assert.InEpsilon(t, root(0, 250, func(v float64) float64 { return theLaw(o.Tube, -12.5-v, 250-v) - v/10e3 }), m.Set.Node, 1e-4)
}

func TestSharedScreens(t *testing.T) {
	g := pairOf(t, 0)
	g.Screens = Feed{Ohms: 15e3, ToChassis: 33e3, Capacitor: 100e-9}
	n := Network{Rails: []Rail{{Volts: 250}}, Points: []Point{g}, Pulldown: 10e3, Contact: 0.1}
	m := muted(t, n)
	tube := g.Stages[0].Tube
	// By hand: screen and node together, 2 tubes.
	screen := func(node float64) float64 {
		return root(0, 250, func(v float64) float64 {
			return (250-v)/15e3 - v/33e3 - 2*(1-tube.PlateShare)*theLaw(tube, -node, v-node)
		})
	}
	node := root(0, 250, func(v float64) float64 { return 2*theLaw(tube, -v, screen(v)-v) - v/10e3 })
	assert.InEpsilon(t, node, m.Set.Node, 2e-4)
	assert.InEpsilon(t, screen(node), m.Set.Points[0].Screens, 2e-4)
	assert.Equal(t, m.Set.Points[0].Screens, m.Set.Points[0].Stages[0].Screen)
}

// A measured point alone stands at its open voltage; beside others it is judged
// by whichever voltage is larger.
func TestMeasured(t *testing.T) {
	line := Measured{Open: -42, Closed: 3e-3}
	n := Network{Points: []Point{line}, Pulldown: 10e3, Contact: 0.1}
	r, m := solve(t, n), muted(t, n)
	assert.InEpsilon(t, 3e-3, r.Receive().Contact, 1e-9)
	assert.Equal(t, -42.0, m.Highest.Node)
	assert.InEpsilon(t, 42.0*42/10e3, m.Power, 1e-9)
	u, err := r.Unguarded()
	require.NoError(t, err)
	assert.Equal(t, -42.0, u.Node)
	assert.Zero(t, depth(t, n).Total)
}

func TestHeaterCathode(t *testing.T) {
	n := common(t, ToChassis)
	n.Heater = Heater{Bias: 45, Peak: 9}
	m := muted(t, n)
	k := m.Set.Points[0].Stages[0]
	assert.InEpsilon(t, math.Abs(k.Cathode-45)+9, k.HeaterCathode, 1e-12)
	r := solve(t, n).Receive().Points[0].Stages[0]
	assert.Greater(t, r.HeaterCathode, 40.0, "a biased heater stresses the cathode on receive")
}

// Depth against the same formula written out, with the impedances of the parts.
func TestDepthByHand(t *testing.T) {
	for name, c := range map[string]struct {
		to   BypassTo
		want func(gm float64) complex128 // impedance at the cathode, muted
	}{
		"bypass to chassis": {ToChassis, func(float64) complex128 {
			return 1 / (complex(1/(270+10e3), 0) + 1i*2*math.Pi*1e3*22e-6)
		}},
		"bypass to the return": {ToReturn, func(float64) complex128 {
			return 10e3 + 1/(complex(1.0/270, 0)+1i*2*math.Pi*1e3*22e-6)
		}},
	} {
		t.Run(name, func(t *testing.T) {
			n := Network{Rails: []Rail{{Volts: 250}}, Points: []Point{beam(t, c.to)}, Pulldown: 10e3, Contact: 0.1}
			s := depth(t, n).Points[0].Stages[0]
			gm := muted(t, n).Set.Points[0].Stages[0].Gm
			z := c.want(gm)
			assert.InEpsilon(t, gm/math.Hypot(1+gm*real(z), gm*imag(z)), s.Muted, 1e-6)
			assert.InEpsilon(t, 20*math.Log10(s.Receive/s.Muted), s.Total, 1e-9)
			assert.Equal(t, OutputDoubt, s.Doubt)
		})
	}
	t.Run("a stage far beyond cut-off counts 60 dB, a set 100", func(t *testing.T) {
		n := common(t, ToChassis)
		g := n.Points[1].(Gain)
		g.Bleeder = Feed{Ohms: 22e3}
		n.Points[1] = g
		d := depth(t, n)
		assert.Equal(t, SetCap, d.Total)
		assert.True(t, d.Over)
		assert.Equal(t, StageCap, d.Points[1].Stages[0].Total)
		assert.True(t, d.Points[1].Over)
	})
}

func TestPulldownWindow(t *testing.T) {
	n := common(t, ToChassis)
	t.Run("most: the limit is met at the bound and broken above it", func(t *testing.T) {
		limits := []Limit{{Of: NodeVolts, Volts: 60}, {Of: HeaterCathodeVolts, Point: 0, Volts: 90}, {Of: BypassVolts, Point: 0, Volts: 25}, {Of: BusVolts, Point: 1, Volts: 400}}
		b, err := Most(n, limits)
		require.NoError(t, err)
		require.Equal(t, Rating, b.By)
		assert.Equal(t, 2, b.Limit)
		for factor, holds := range map[float64]bool{1: true, 1.002: false} {
			at := n
			at.Pulldown = b.Ohms * factor
			assert.Equal(t, holds, muted(t, at).Highest.Points[0].Stages[0].Bypass <= 25)
		}
	})
	t.Run("most: the ceiling", func(t *testing.T) {
		b, err := Most(n, []Limit{{Of: NodeVolts, Volts: 300}})
		require.NoError(t, err)
		assert.Equal(t, Bound{Ohms: 100e3, By: Ceiling}, b)
	})
	t.Run("most: nothing serves", func(t *testing.T) {
		biased := n
		biased.Heater.Bias = 120
		b, err := Most(biased, []Limit{{Of: NodeVolts, Volts: 60}, {Of: HeaterCathodeVolts, Point: 1, Stage: 1, Volts: 90}})
		require.NoError(t, err)
		assert.Equal(t, Bound{By: Nothing, Limit: 1}, b)
	})
	t.Run("most: a bleeder counts cold too", func(t *testing.T) {
		fed := n
		g := fed.Points[1].(Gain)
		g.Bleeder = Feed{Ohms: 47e3}
		fed.Points = []Point{fed.Points[0], g}
		b, err := Most(fed, []Limit{{Of: NodeVolts, Volts: 60}})
		require.NoError(t, err)
		fed.Pulldown = b.Ohms
		m := muted(t, fed)
		cold, err := solve(t, fed).Cold()
		require.NoError(t, err)
		assert.InDelta(t, 60, max(m.Highest.Node, cold.Node), 0.1)
		assert.Greater(t, cold.Node, m.Highest.Node)
	})
	t.Run("least: the depth wanted", func(t *testing.T) {
		b, err := Least(n, 75, 1)
		require.NoError(t, err)
		require.Equal(t, Depths, b.By)
		at := n
		at.Pulldown = b.Ohms
		assert.InDelta(t, 75, depth(t, at).Total, 0.02)
	})
	t.Run("least: its own heat", func(t *testing.T) {
		b, err := Least(n, 10, 0.3)
		require.NoError(t, err)
		require.Equal(t, Dissipation, b.By)
		at := n
		at.Pulldown = b.Ohms
		assert.InDelta(t, 0.3, muted(t, at).Power, 0.001)
	})
	t.Run("least: out of reach", func(t *testing.T) {
		alone := n
		alone.Points = n.Points[:1]
		b, err := Least(alone, 60, 1)
		require.NoError(t, err)
		assert.Equal(t, Bound{By: Nothing}, b)
	})
	t.Run("limits that name nothing", func(t *testing.T) {
		for _, l := range []Limit{{Of: NodeVolts}, {Of: BusVolts, Point: 2, Volts: 1}, {Of: BypassVolts, Point: 1, Stage: 2, Volts: 1}} {
			_, err := Most(n, []Limit{l})
			assert.ErrorContains(t, err, "limit 1")
		}
	})
}

func TestChoose(t *testing.T) {
	for _, c := range []struct {
		least, most, want float64
		ok                bool
	}{
		{1e3, 100e3, 10e3, true},
		{10e3 / 1.5, 15e3, 10e3, true},
		{6.7e3, 15e3, 10e3, true},    // below the room, still the middle of E12
		{1e3, 12e3, 3.3e3, true},     // middle 3.46 kΩ
		{12.5e3, 14e3, 13e3, true},   // E24 only
		{20e3, 40e3, 27e3, true},     // middle 28.3 kΩ
		{15e3, 15e3, 15e3, true},     // a window of one value
		{8.2e3, 8.2e3, 8.2e3, true},  // exactly
		{13.1e3, 14.9e3, 0, false},   // between two values
		{20e3, 10e3, 0, false},       // limits that cross
		{0, 10e3, 0, false},          // nothing
		{math.NaN(), 10e3, 0, false}, // not a number
		{1e3, math.Inf(1), 0, false}, // no ceiling
		{47, 60, 56, true},           // middle 53.1
	} {
		got, ok := Choose(c.least, c.most)
		assert.Equal(t, c.ok, ok, "%v", c)
		assert.Equal(t, c.want, got, "%v", c)
	}
}

// With a core that holds its current an abrupt cut leaves the lost plate current
// to the load: I·R. The bypass between cathode and lifted node keeps its charge
// at first.
func TestClickByHand(t *testing.T) {
	o := beam(t, ToReturn)
	o.Transformer.Inductance = 1000
	n := Network{Rails: []Rail{{Volts: 250}}, Points: []Point{o}, Pulldown: 10e3, Contact: 0.1}
	r := solve(t, n)
	k, err := r.Click(0)
	require.NoError(t, err)
	on := r.Receive().Points[0].Stages[0]
	node := root(0, 250, func(v float64) float64 { return theLaw(o.Tube, -on.Bypass-v, 250-on.Bypass-v) - v/10e3 })
	lost := (on.Current - node/10e3) * o.Tube.PlateShare
	assert.InEpsilon(t, lost*(5e3+250), k.Excursion, 0.002)
	assert.InEpsilon(t, math.Sqrt(2*4.5*5e3), k.Full, 1e-12)

	o.Transformer.Load = 0
	n.Points[0] = o
	k, err = solve(t, n).Click(0)
	require.NoError(t, err)
	assert.Equal(t, Click{NoLoad: true}, k)
	_, err = solve(t, common(t, ToChassis)).Click(1)
	assert.ErrorContains(t, err, "no output stage")
}

// The network in a caller's circuit stands on receive as it was solved, and two
// returns in one circuit do not meet.
func TestBuild(t *testing.T) {
	r := solve(t, common(t, ToChassis))
	c := circuit.New()
	a, b := r.Build(c, "mute."), r.Build(c, "other.")
	c.Resistor("K1a", a.Return, circuit.Chassis, 0.1)
	p, err := c.OperatingPoint(circuit.Options{})
	require.NoError(t, err)
	want := r.Receive()
	assert.InEpsilon(t, want.Node, p.Volts(a.Return), 1e-5)
	assert.InEpsilon(t, want.Rails[0].Volts, p.Volts(a.Rails[0]), 1e-5)
	for i, point := range want.Points {
		for j, s := range point.Stages {
			at := a.Points[i].Stages[j]
			assert.InEpsilon(t, s.Cathode, p.Volts(at.Cathode), 1e-5)
			assert.InEpsilon(t, s.Screen, p.Volts(at.Screen), 1e-5)
			assert.InEpsilon(t, s.Plate, p.Volts(at.Plate), 1e-5)
			assert.InEpsilon(t, s.Current, p.Amps(at.Tube), 1e-5)
		}
	}
	assert.Greater(t, p.Volts(b.Return), 20.0, "its contact is open")
}

func TestCourseRunsFromReceiveToMuted(t *testing.T) {
	r := solve(t, common(t, ToChassis))
	d, err := r.Depth()
	require.NoError(t, err)
	n, tr, err := r.work(new(Shop), 2, 0)
	require.NoError(t, err)
	course := r.Course(d, n, tr, func(s float64) bool { return s > before })
	assert.InDelta(t, 0, course[0], 0.01)
	assert.InDelta(t, d.Total, course[len(course)-1], 0.5)
}

func TestSolveRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(n *Network)
		says  string
	}{
		"no point":            {func(n *Network) { n.Points = nil }, "no point"},
		"not a number":        {func(n *Network) { n.Pulldown = math.NaN() }, "pulldown"},
		"rail upside down":    {func(n *Network) { n.Rails[0].Unloaded = 200 }, "rail 1: unloaded voltage 200 V is below"},
		"rail that is not":    {func(n *Network) { o := n.Points[0].(Output); o.Rail = 3; n.Points[0] = o }, "point 1: supply names rail 4 of 1"},
		"three tubes":         {func(n *Network) { o := n.Points[0].(Output); o.Count = 3; n.Points[0] = o }, "point 1: an output stage has 1 or 2 tubes"},
		"law without µ":       {func(n *Network) { o := n.Points[0].(Output); o.Tube.MuA = 0; n.Points[0] = o }, "point 1: tube: µa"},
		"set beyond":          {func(n *Network) { g := n.Points[1].(Gain); g.Control.SetTo = 2e4; n.Points[1] = g }, "point 2: control set to"},
		"no stage":            {func(n *Network) { g := n.Points[1].(Gain); g.Stages = nil; n.Points[1] = g }, "point 2: it has no stage"},
		"stage":               {func(n *Network) { g := n.Points[1].(Gain); g.Stages[1].Bypass = -1; n.Points[1] = g }, "point 2: stage 2: cathode bypass"},
		"infinite path":       {func(n *Network) { g := n.Points[1].(Gain); g.Path = math.Inf(1); n.Points[1] = g }, "point 2: path past the lift"},
		"nil":                 {func(n *Network) { n.Points[0] = nil }, "point 1: unknown kind"},
		"frequency left zero": {func(n *Network) { g := n.Points[1].(Gain); g.Frequency = 0; n.Points[1] = g }, "point 2: frequency"},
	} {
		t.Run(name, func(t *testing.T) {
			n := common(t, ToChassis)
			c.spoil(&n)
			_, err := Solve(n)
			assert.ErrorContains(t, err, c.says)
		})
	}
}

// A Return may be asked by many at once, and answers the same every time.
func TestSameAnswersAtOnce(t *testing.T) {
	r := solve(t, common(t, ToChassis))
	want, err := r.Muted()
	require.NoError(t, err)
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			m, err := r.Muted()
			assert.NoError(t, err)
			assert.Equal(t, want, m)
			d, err := r.Depth()
			assert.NoError(t, err)
			assert.Greater(t, d.Total, 60.0)
		})
	}
	all.Wait()
}

func BenchmarkSolve(b *testing.B) {
	n := common(b, ToChassis)
	for b.Loop() {
		_, _ = Solve(n)
	}
}

func BenchmarkMuted(b *testing.B) {
	r := solve(b, common(b, ToChassis))
	for b.Loop() {
		_, _ = r.Muted()
	}
}

func BenchmarkAllStates(b *testing.B) {
	n := common(b, ToChassis)
	for b.Loop() {
		r, _ := Solve(n)
		_, _ = r.Muted()
		_, _ = r.Unguarded()
		_, _ = r.Depth()
	}
}

func BenchmarkClick(b *testing.B) {
	r := solve(b, common(b, ToChassis))
	for b.Loop() {
		_, _ = r.Click(0)
	}
}

func BenchmarkSettle(b *testing.B) {
	r := solve(b, common(b, ToChassis))
	for b.Loop() {
		_, _ = r.Settle(60)
	}
}
