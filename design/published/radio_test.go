package published_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/design/antenna"
)

const (
	rosa   = "Rosa, The self and mutual inductances of linear conductors, 1908"
	loss   = "20·log|1 + Z0/(2·Zs)|"
	across = "10·log(1 + (π·f·C·Z0)²)"
	friis  = "Friis, A note on a simple transmission formula, Proc. IRE 1946"
)

// radio holds wire, guards and coupling.
func radio(t *testing.T) []row {
	var rows []row
	add := func(what, want, unit string, w within, ours float64, source string) {
		rows = append(rows, row{what: what, want: want, unit: unit, within: w, ours: ours, source: source, mark: computed})
	}
	solve := func(g antenna.Guard) antenna.Result {
		r, err := antenna.Solve(g)
		require.NoError(t, err)
		return r
	}
	guard := func(impedance, megahertz, lead, nanohenries float64) antenna.Guard {
		return antenna.Guard{Impedance: impedance, Lowest: megahertz * 1e6, Highest: megahertz * 1e6, Lead: lead, Wire: 0.6e-3,
			Contact: antenna.Contact{Ohms: 50e-3, Henries: nanohenries * 1e-9, Farads: 1e-12}, Power: 100, Coupling: -30, Withstand: 0.1}
	}
	for _, c := range []struct {
		centimetres float64
		want        string
	}{{1, "6.27"}, {2, "15.31"}, {2.54, "20.66"}, {5, "47.45"}, {10, "108.8"}} {
		add(fmt.Sprintf("wire of 0.64 mm, %g cm: inductance", c.centimetres), c.want, "nH", asPrinted, 1e9*antenna.LeadHenries(c.centimetres/100, 0.64e-3), rosa)
	}
	megahertz := []float64{1.8, 3.5, 7, 14, 28}
	for _, c := range []struct {
		impedance, nanohenries float64
		want                   []string
	}{
		{50, 20, []string{"40.7", "35.1", "29.1", "23.1", "17.1"}},
		{50, 50, []string{"32.9", "27.2", "21.2", "15.2", "9.6"}},
		{300, 20, []string{"56.2", "50.6", "44.6", "38.6", "32.6"}},
	} {
		for i, f := range megahertz {
			add(fmt.Sprintf("short of 50 mΩ and %g nH across %g Ω, %g MHz: loss", c.nanohenries, c.impedance, f), c.want[i], "dB", percent(0.5),
				solve(guard(c.impedance, f, 0, c.nanohenries)).Loss.Value, loss)
		}
	}
	add("short, 40 mm of 0.6 mm wire and 15 nH, 50 Ω, 28 MHz: loss", "9.3", "dB", asPrinted, solve(guard(50, 28, 40e-3, 15)).Loss.Value, rosa+"; "+loss)
	add("short, 40 mm of 0.6 mm wire and 15 nH, 50 Ω, 7 MHz: loss", "21", "dB", plus(0.5), solve(guard(50, 7, 40e-3, 15)).Loss.Value, rosa+"; "+loss)
	add("short, no lead and 15 nH, 50 Ω, 28 MHz: loss", "20", "dB", plus(0.5), solve(guard(50, 28, 0, 15)).Loss.Value, loss)
	changeover := guard(50, 28, 40e-3, 15)
	changeover.Kind = antenna.Changeover
	add("changeover, 1 pF, 50 Ω, 28 MHz: loss", "50", "dB", plus(0.5), solve(changeover).Loss.Value, "divider of 1 pF and the input")

	power := guard(50, 1.8, 0, 0)
	power.Power, power.Coupling, power.Contact = 3.5, 0, antenna.Contact{Ohms: 1e-3, Farads: 1e-12}
	add("3.5 W in 50 Ω: current in the shorting contact", "0.53", "A", asPrinted, solve(power).ContactCurrent.Value, "2·√(P/Z0)")
	for _, c := range []struct {
		impedance float64
		want      string
	}{{50, "0.04"}, {300, "1.2"}} {
		g := guard(c.impedance, 30, 0, 0)
		g.Contact = antenna.Contact{Ohms: 50e-3, Farads: 20e-12}
		add(fmt.Sprintf("open contact of 20 pF across %g Ω, 30 MHz: loss", c.impedance), c.want, "dB", asPrinted, solve(g).ReceiveLoss.Value, across)
	}
	coupling, err := antenna.Couple(30, 7e6)
	require.NoError(t, err)
	add("100 W at 7 MHz, dipoles 30 m apart: received", "35.4", "dBm", asPrinted, 50+coupling.Decibels, friis)
	return rows
}
