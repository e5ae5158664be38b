package published_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/lifted"
)

// law is the law of a type of the catalogue at a working screen voltage.
func law(t *testing.T, name string, screen float64) lifted.Law {
	t.Helper()
	points, remote := figures(catalog.Default().Tube(name).Fitted())
	f, err := lifted.Fit(points, remote, screen)
	require.NoError(t, err)
	return f.Law
}

// returns holds lifted returns against the same networks solved beforehand.
func returns(t *testing.T) []row {
	const source = ngspice + ", or the law by hand"
	var rows []row
	add := func(what, want, unit string, w within, ours float64, why string) {
		rows = append(rows, row{what, want, unit, w, ours, source, computed, why})
	}
	// Two 6BA6 straight on their bus, screens through a resistor or held at 100 V.
	pair := func(screens float64) lifted.Gain {
		g := lifted.Gain{Frequency: 455e3, Control: lifted.Control{Value: 10e3}}
		for range 2 {
			g.Stages = append(g.Stages, lifted.Stage{Tube: law(t, "6BA6", 100), Bypass: 10e-9, ScreenResistor: screens, SharedScreen: screens == 0})
		}
		if screens == 0 {
			g.Screens.Rail = 1
		}
		return g
	}
	// One 6AQ5 with a typical cathode resistor.
	beam := func(to lifted.BypassTo) lifted.Output {
		return lifted.Output{Tube: law(t, "6AQ5", 250), Count: 1, CathodeResistor: 270, Bypass: 22e-6, BypassTo: to,
			Transformer: lifted.Transformer{Load: 5e3, Resistance: 250, Inductance: 10, FullOutput: 4.5}}
	}
	solve := func(n lifted.Network) *lifted.Return {
		r, err := lifted.Solve(n)
		require.NoError(t, err)
		return r
	}
	muted := func(n lifted.Network) lifted.Muted {
		m, err := solve(n).Muted()
		require.NoError(t, err)
		return m
	}
	depth := func(n lifted.Network) lifted.Depth {
		d, err := solve(n).Depth()
		require.NoError(t, err)
		return d
	}
	held := []lifted.Rail{{Volts: 250}, {Volts: 100, Regulated: true}}
	on := func(rails []lifted.Rail, points ...lifted.Point) lifted.Network {
		return lifted.Network{Rails: rails, Points: points, Pulldown: 10e3, Contact: 0.1}
	}
	add("two 6BA6, screens held at 100 V, 10 kΩ: lifted node", "13.4", "V", asPrinted, muted(on(held, pair(0))).Set.Node, "")
	add("two 6BA6, screens through 36 kΩ from 250 V, 10 kΩ: lifted node", "33.0", "V", asPrinted, muted(on(held, pair(36e3))).Set.Node, "")

	loose := on([]lifted.Rail{{Volts: 230}, held[1]}, pair(0))
	gain := pair(0)
	gain.Bleeder = lifted.Feed{Ohms: 68e3}
	loose.Points, loose.Pulldown = []lifted.Point{gain}, 0
	unguarded, err := solve(loose).Unguarded()
	require.NoError(t, err)
	add("two 6BA6, bleeder of 68 kΩ from 230 V, no pulldown: lifted node", "228", "V", plus(0.5), unguarded.Hot.Node, "")

	// The bleeder's figures, as given, and in the corner to which they belong.
	bled := func(volts, doubt float64) lifted.Muted {
		g := pair(36e3)
		g.Bleeder = lifted.Feed{Ohms: 47e3}
		for i := range g.Stages {
			g.Stages[i].Tube.Doubt = doubt
		}
		return muted(on([]lifted.Rail{{Volts: volts}}, g))
	}
	const corner = "The figure was given without its rail. It belongs to 275 V, 250 V with the mains a tenth high, and to µ ÷ 1.15: in that corner, a row further down, it is met."
	nominal, high := bled(250, 1), bled(275, 1.15)
	add("bleeder of 47 kΩ, 10 kΩ, 250 V: lifted node at full gain", "51", "V", plus(0.5), nominal.Full.Node, corner)
	add("bleeder of 47 kΩ, 10 kΩ, 250 V: bus at least gain", "82", "V", plus(0.5), nominal.Least.Points[0].Bus, corner)
	add("the same from 275 V, µ ÷ 1.15: lifted node at full gain", "51", "V", plus(0.5), high.Full.Node, "")
	add("the same from 275 V, µ ÷ 1.15: bus at least gain", "82", "V", plus(0.5), high.Least.Points[0].Bus, "")

	stiff := []lifted.Rail{{Volts: 250}}
	add("6AQ5 alone, 22 µF to chassis, 10 kΩ: depth", "15", "dB", plus(1), depth(on(stiff, beam(lifted.ToChassis))).Total, "")
	add("6AQ5 alone, 22 µF to the return, 10 kΩ: depth", "34", "dB", plus(1), depth(on(stiff, beam(lifted.ToReturn))).Total, "")
	common := func(to lifted.BypassTo) lifted.Network {
		g := pair(33e3)
		for i := range g.Stages {
			g.Stages[i].CathodeResistor = 68
		}
		return on([]lifted.Rail{{Volts: 250, Unloaded: 345, Resistance: 500, Capacitance: 40e-6}}, beam(to), g)
	}
	add("6AQ5 with two 6BA6 on droppers: depth of the output", "36", "dB", plus(1), depth(common(lifted.ToChassis)).Points[0].Total, "")
	add("remote stage with its screen held: depth", "25..35", "dB", asPrinted, depth(on(held, pair(0))).Points[0].Stages[0].Total, "")

	chassis, err := solve(common(lifted.ToChassis)).Click(0)
	require.NoError(t, err)
	add("click, bypass to chassis: level", "-12", "dB", plus(0.3), chassis.Level, "")
	add("click, bypass to chassis: highest plate voltage", "294", "V", percent(1), chassis.Plate, "")
	back, err := solve(common(lifted.ToReturn)).Click(0)
	require.NoError(t, err)
	add("click, bypass to the return: level", "0", "dB", plus(0.6), back.Level, "")
	add("click, bypass to the return: highest plate voltage", "450..470", "V", asPrinted, back.Plate, "")

	alone := common(lifted.ToChassis)
	alone.Points = alone.Points[:1]
	settled, err := solve(alone).Settle(60)
	require.NoError(t, err)
	add("22 µF to chassis holds an output cathode down for", "20..90", "ms", asPrinted, 1e3*settled.Muted, "")
	return rows
}
