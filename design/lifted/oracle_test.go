package lifted

import (
	"flag"
	"math"
	"math/cmplx"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/circuit"
	"mutewright/design/circuit/spice"
)

var _ = flag.Bool("update", false, "record the decks anew from ngspice")

const oracle = "../../testdata/oracle"

// The decks were written by hand from the networks in words, not from what
// build makes of them. Engine and ngspice agree on them.
func TestOracle(t *testing.T) { spice.CheckFolder(t, oracle, "lifted-*.cir") }

// The answers of this package against ngspice's record of the same network:
// 0.2 % on voltages, 1 % on currents.
func TestAnswersAgreeWithNgspice(t *testing.T) {
	rail := []Rail{{Volts: 250}, {Volts: 100, Regulated: true}}
	output := Network{Rails: rail, Points: []Point{beam(t, ToChassis)}, Pulldown: 10e3, Contact: 0.1}
	stages := func(change func(*Gain)) Network {
		g := pairOf(t, 33e3)
		for i := range g.Stages {
			g.Stages[i].CathodeResistor = 68
		}
		change(&g)
		return Network{Rails: rail, Points: []Point{g}, Pulldown: 10e3, Contact: 0.1}
	}
	bare := func(screens float64, change func(*Gain)) Network {
		g := pairOf(t, screens)
		change(&g)
		return Network{Rails: rail, Points: []Point{g}, Pulldown: 10e3, Contact: 0.1}
	}
	bleeder := bare(36e3, func(g *Gain) { g.Bleeder.Ohms = 47e3 })

	for _, c := range []struct {
		deck string
		n    Network
		take func(r *Return, m Muted) map[string]float64
	}{
		{"lifted-output", output, func(_ *Return, m Muted) map[string]float64 {
			s := m.Set.Points[0].Stages[0]
			return map[string]float64{"node": m.Set.Node, "cathode": s.Cathode, "plate": s.Plate}
		}},
		{"lifted-output-unguarded", output, func(r *Return, _ Muted) map[string]float64 {
			u, err := r.Unguarded()
			require.NoError(t, err)
			return map[string]float64{"node": u.Node}
		}},
		{"lifted-droppers", common(t, ToChassis), func(_ *Return, m Muted) map[string]float64 {
			stage := m.Set.Points[1].Stages[0]
			return map[string]float64{"node": m.Set.Node, "output": m.Set.Points[0].Stages[0].Cathode,
				"stage": stage.Cathode, "screen": stage.Screen, "rail": m.Set.Rails[0].Volts}
		}},
		{"lifted-droppers-least", common(t, ToChassis), func(_ *Return, m Muted) map[string]float64 {
			stage := m.Least.Points[1].Stages[0]
			return map[string]float64{"node": m.Least.Node, "bus": m.Least.Points[1].Bus,
				"stage": stage.Cathode, "screen": stage.Screen, "rail": m.Least.Rails[0].Volts}
		}},
		{"lifted-bleeder-full", bleeder, func(_ *Return, m Muted) map[string]float64 {
			return map[string]float64{"node": m.Full.Node, "bus": m.Full.Points[0].Bus, "screen": m.Full.Points[0].Stages[0].Screen}
		}},
		{"lifted-bleeder-least", bleeder, func(_ *Return, m Muted) map[string]float64 {
			return map[string]float64{"node": m.Least.Node, "bus": m.Least.Points[0].Bus, "screen": m.Least.Points[0].Stages[0].Screen}
		}},
		{"lifted-bleeder-unguarded", Network{
			Rails: []Rail{{Volts: 230}, rail[1]}, Contact: 0.1,
			Points: bare(0, func(g *Gain) { g.Bleeder.Ohms = 68e3 }).Points,
		}, func(r *Return, _ Muted) map[string]float64 {
			u, err := r.Unguarded()
			require.NoError(t, err)
			return map[string]float64{"node": u.Hot.Node}
		}},
		{"lifted-shared-screens", bare(0, func(g *Gain) { g.Screens = Feed{Ohms: 15e3, ToChassis: 33e3} }), func(_ *Return, m Muted) map[string]float64 {
			return map[string]float64{"node": m.Set.Node, "screens": m.Set.Points[0].Screens}
		}},
		{"lifted-far-end-chassis", stages(func(g *Gain) {
			g.Control, g.Bleeder.Ohms = Control{Value: 25e3, SetTo: 10e3, Far: FarChassis}, 220e3
		}), func(_ *Return, m Muted) map[string]float64 {
			p := m.Set.Points[0]
			return map[string]float64{"node": m.Set.Node, "bus": p.Bus, "past": p.Past}
		}},
		{"lifted-divider", stages(func(g *Gain) {
			g.Control, g.Bleeder.Ohms = Control{Value: 25e3, SetTo: 10e3, Wiring: Divider}, 470e3
		}), func(_ *Return, m Muted) map[string]float64 {
			return map[string]float64{"node": m.Set.Node, "bus": m.Set.Points[0].Bus}
		}},
		{"lifted-click-chassis", common(t, ToChassis), clicked(t)},
		{"lifted-click-return", common(t, ToReturn), clicked(t)},
		{"lifted-impedance", func() Network {
			n := common(t, ToReturn)
			n.Rails = rail
			return n
		}(), func(r *Return, m Muted) map[string]float64 {
			d, err := r.Depth()
			require.NoError(t, err)
			// The deck has the tube itself in place, screen at chassis for signals.
			s, law := m.Set.Points[0].Stages[0], r.net.Points[0].(Output).Tube
			_, gm, gs := law.model().Cathode(s.Grid, s.Screen-s.Cathode)
			z := 1 / (1/d.Points[0].Stages[0].muted + complex(gm+gs, 0))
			return map[string]float64{"cathode": cmplx.Abs(z), "turn": cmplx.Phase(z) * 180 / math.Pi}
		}},
	} {
		t.Run(c.deck, func(t *testing.T) {
			r := solve(t, c.n)
			m, err := r.Muted()
			require.NoError(t, err)
			want := spice.Recorded(t, filepath.Join(oracle, c.deck+".cir"))
			for name, got := range c.take(r, m) {
				require.Contains(t, want, name)
				if name == "past" {
					assert.InEpsilon(t, want[name], got, 0.01, name)
					continue
				}
				assert.InEpsilon(t, want[name], got, 0.002, name)
			}
		})
	}
}

// clicked takes what the deck of a click shows.
func clicked(t *testing.T) func(r *Return, m Muted) map[string]float64 {
	return func(r *Return, _ Muted) map[string]float64 {
		k, err := r.Click(0)
		require.NoError(t, err)
		n, tr, err := r.work(new(Shop), 150e-3, 0)
		require.NoError(t, err)
		on := r.Receive().Points[0].Stages[0]
		at := func(node circuit.Node, seconds float64) float64 { return tr.At(tr.Volts(node), seconds) }
		return map[string]float64{"receive": on.Cathode, "idle": on.Plate, "peak": k.Plate,
			"after": at(n.Return, 140e-3), "rail": at(n.Rails[0], 140e-3)}
	}
}
