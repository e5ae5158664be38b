package antenna_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/antenna"
)

// onePercent allows for the tables' three digits.
const onePercent = 0.01

func within(t *testing.T, want, got, relative float64, what string) {
	t.Helper()
	assert.InDelta(t, want, got, relative*math.Abs(want), what)
}

// signal is a gold-clad signal contact.
var signal = antenna.Contact{Ohms: 50e-3, Henries: 15e-9, Farads: 1e-12}

// guard is a 40 mm lead of 0.6 mm wire to a signal contact at one frequency.
func guard(impedance, hertz float64) antenna.Guard {
	return antenna.Guard{
		Impedance: impedance, Lowest: hertz, Highest: hertz,
		Lead: 40e-3, Wire: 0.6e-3, Contact: signal,
		Power: 100, Coupling: -30, Withstand: 0.1,
	}
}

func solve(t *testing.T, g antenna.Guard) antenna.Result {
	t.Helper()
	r, err := antenna.Solve(g)
	require.NoError(t, err)
	return r
}

// 0.64 mm wire, Rosa 1908.
func TestLeadHenries(t *testing.T) {
	for _, c := range []struct{ centimetres, nanohenries float64 }{
		{1, 6.27}, {2, 15.31}, {2.54, 20.66}, {5, 47.45}, {10, 108.8},
	} {
		within(t, c.nanohenries, antenna.LeadHenries(c.centimetres/100, 0.64e-3)*1e9, 0.001, fmt.Sprint(c.centimetres, " cm"))
	}
	assert.Zero(t, antenna.LeadHenries(0, 0.6e-3))
	assert.Zero(t, antenna.LeadHenries(0.2e-3, 0.6e-3), "shorter than the formula holds for")
}

// The table of shorted losses, 50 mΩ: 20·log|1 + Z0/(2·Zs)|.
func TestShortedLossTable(t *testing.T) {
	megahertz := []float64{1.8, 3.5, 7, 14, 28}
	for _, row := range []struct {
		impedance, nanohenries float64
		decibels               []float64
	}{
		{50, 20, []float64{40.7, 35.1, 29.1, 23.1, 17.1}},
		{50, 50, []float64{32.9, 27.2, 21.2, 15.2, 9.6}},
		{300, 20, []float64{56.2, 50.6, 44.6, 38.6, 32.6}},
	} {
		require.Len(t, row.decibels, len(megahertz))
		for i, f := range megahertz {
			t.Run(fmt.Sprintf("%g ohm, %g nH, %g MHz", row.impedance, row.nanohenries, f), func(t *testing.T) {
				g := guard(row.impedance, f*1e6)
				g.Lead = 0
				g.Contact.Henries = row.nanohenries * 1e-9
				r := solve(t, g)
				within(t, row.decibels[i], r.Loss.Value, onePercent, "loss")
				zs := complex(50e-3, 2*math.Pi*f*1e6*row.nanohenries*1e-9)
				want := 1 + complex(row.impedance, 0)/(2*zs)
				assert.InDelta(t, 20*math.Log10(math.Hypot(real(want), imag(want))), r.Loss.Value, 1e-9, "closed form")
			})
		}
	}
}

// 40 mm of 0.6 mm wire and 15 nH in 50 Ω, and the contact alone.
func TestKnownGuards(t *testing.T) {
	for _, c := range []struct {
		name     string
		kind     antenna.Kind
		lead     float64
		hertz    float64
		decibels float64
		delta    float64 // the figures are given to that
	}{
		{"short at 28 MHz", antenna.Short, 40e-3, 28e6, 9.3, 0.05},
		{"short at 7 MHz", antenna.Short, 40e-3, 7e6, 21, 0.5},
		{"no lead at 28 MHz", antenna.Short, 0, 28e6, 20, 0.5},
		{"changeover at 28 MHz", antenna.Changeover, 40e-3, 28e6, 50, 0.5},
		{"open and short at 28 MHz", antenna.OpenAndShort, 40e-3, 28e6, 50, 0.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := guard(50, c.hertz)
			g.Kind, g.Lead = c.kind, c.lead
			assert.InDelta(t, c.decibels, solve(t, g).Loss.Value, c.delta)
		})
	}
}

// 3.5 W in 50 Ω: 0.53 A in a contact without impedance; the open leg of a
// changeover stands at twice the matched voltage.
func TestContactCurrentAndOpenVolts(t *testing.T) {
	g := guard(50, 1.8e6)
	g.Power, g.Coupling, g.Lead, g.Contact = 3.5, 0, 0, antenna.Contact{Ohms: 1e-3, Farads: 1e-12}
	r := solve(t, g)
	within(t, 0.53, r.ContactCurrent.Value, onePercent, "current")
	within(t, 2*math.Sqrt(3.5/50), r.ContactCurrent.Value, 1e-3, "closed form")
	assert.Zero(t, r.OpenVolts)
	g.Kind = antenna.Changeover
	r = solve(t, g)
	within(t, 2*math.Sqrt(3.5*50), r.OpenVolts.Value, 1e-3, "open voltage")
	assert.Less(t, r.ContactCurrent.Value, 1e-3)
}

// 20 pF at 30 MHz across the input: 10·log(1 + (π·f·C·Z0)²).
func TestReceiveLoss(t *testing.T) {
	for _, c := range []struct{ impedance, decibels, delta float64 }{{50, 0.04, 0.005}, {300, 1.2, 0.05}} {
		t.Run(fmt.Sprintf("%g ohm", c.impedance), func(t *testing.T) {
			g := guard(c.impedance, 30e6)
			g.Lead, g.Contact = 0, antenna.Contact{Ohms: 50e-3, Farads: 20e-12}
			r := solve(t, g)
			assert.InDelta(t, c.decibels, r.ReceiveLoss.Value, c.delta)
			x := math.Pi * 30e6 * 20e-12 * c.impedance
			assert.InDelta(t, 10*math.Log10(1+x*x), r.ReceiveLoss.Value, 1e-9, "closed form")
			g.Contact.Farads = 0
			assert.InDelta(t, 0, solve(t, g).ReceiveLoss.Value, 1e-9, "nothing across")
		})
	}
}

// Residual power into a matched input, and what the input takes.
func TestResidual(t *testing.T) {
	g := guard(50, 28e6)
	r := solve(t, g)
	within(t, 0.1, r.Arriving, 1e-12, "100 W and −30 dB")
	within(t, 0.1*math.Pow(10, -r.Loss.Value/10), r.Residual, 1e-12, "residual")
	within(t, 0.1/r.Residual, r.Margin, 1e-12, "margin")
	assert.InDelta(t, 0, r.Needed, 1e-9)
	g.Coupling, g.Withstand = -10, 0.1
	r = solve(t, g)
	assert.InDelta(t, 20, r.Needed, 1e-9)
	assert.Less(t, r.Margin, 1.0)
	g.Withstand = 0
	r = solve(t, g)
	assert.Zero(t, r.Margin)
	assert.Zero(t, r.Needed)
}

// A balanced input: one short across has the whole impedance beside it, one on
// each leg half of it; only the latter stops what is alike on both.
func TestBalanced(t *testing.T) {
	g := guard(300, 14e6)
	one := solve(t, g)
	assert.Zero(t, one.CommonMode, "one leg has no common mode")
	g.Legs = antenna.Across
	across := solve(t, g)
	assert.InDelta(t, one.Loss.Value, across.Loss.Value, 1e-9)
	assert.InDelta(t, 0, across.CommonMode.Value, 1e-9, "the common mode passes")
	within(t, one.ContactCurrent.Value, across.ContactCurrent.Value, 1e-9, "current")
	g.Legs = antenna.Each
	each := solve(t, g)
	zs := complex(50e-3, 2*math.Pi*14e6*each.Henries)
	want := 1 + 150/(2*zs)
	assert.InDelta(t, 20*math.Log10(math.Hypot(real(want), imag(want))), each.Loss.Value, 1e-9)
	assert.InDelta(t, each.Loss.Value, each.CommonMode.Value, 1e-9, "a leg does not know which mode it is in")
}

// The worst of a band: its upper end for a short; inside for a released contact
// whose capacitance and lead are in series resonance there.
func TestWorstOfBand(t *testing.T) {
	g := guard(50, 1.8e6)
	g.Highest = 30e6
	r := solve(t, g)
	assert.InDelta(t, 30e6, r.Loss.Hertz, 1)
	assert.InDelta(t, 1.8e6, r.ContactCurrent.Hertz, 1)

	g.Lead, g.Contact = 0, antenna.Contact{Ohms: 50e-3, Henries: 2e-6, Farads: 50e-12}
	r = solve(t, g)
	resonance := 1 / (2 * math.Pi * math.Sqrt(2e-6*50e-12)) // 15.9 MHz
	within(t, resonance, r.ReceiveLoss.Hertz, 1e-3, "resonance")
	assert.Greater(t, r.ReceiveLoss.Value, 40.0)
	// Beside it the loss is a decibel: the ends do not show it.
	for _, hertz := range []float64{1.8e6, 30e6} {
		end := g
		end.Lowest, end.Highest = hertz, hertz
		assert.Less(t, solve(t, end).ReceiveLoss.Value, 1.0)
	}
}

// 220 kΩ into 500 kΩ: 20·log(1 + 152.8 kΩ/50 mΩ) = 129.7 dB.
func TestAudioShort(t *testing.T) {
	a := antenna.Audio{Source: 220e3, Load: 500e3, Lowest: 50, Highest: 10e3, Lead: 50e-3, Wire: 0.6e-3, Contact: signal}
	r, err := antenna.SolveAudio(a)
	require.NoError(t, err)
	parallel := 220e3 * 500e3 / 720e3
	assert.InDelta(t, 129.7, r.Attenuation.Value, 0.05)
	assert.InDelta(t, 10e3, r.Attenuation.Hertz, 1e-3)
	zs := math.Hypot(50e-3, 2*math.Pi*10e3*(antenna.LeadHenries(50e-3, 0.6e-3)+15e-9))
	assert.InDelta(t, 20*math.Log10(parallel/zs), r.Attenuation.Value, 1e-4)
	x := 2 * math.Pi * 10e3 * 1e-12 * parallel
	assert.InDelta(t, 10*math.Log10(1+x*x), r.ReceiveLoss.Value, 1e-6)
	assert.InDelta(t, 10e3, r.ReceiveLoss.Hertz, 1e-3)
	a.Source = 0
	_, err = antenna.SolveAudio(a)
	assert.ErrorContains(t, err, "audio short: source resistance is 0")
}

// 100 W at 7 MHz, two dipoles 30 m apart: +35.4 dBm.
func TestCoupling(t *testing.T) {
	c, err := antenna.Couple(30, 7e6)
	require.NoError(t, err)
	assert.Equal(t, antenna.FarField, c.Doubt)
	assert.InDelta(t, 35.4, 50+c.Decibels, 0.05)
	for _, k := range []struct {
		name     string
		distance float64
		doubt    antenna.Doubt
	}{
		{"λ/2", 21.4138, antenna.FarField},
		{"just nearer", 21, antenna.NearField},
		{"at the aerial", 10, antenna.MeasureIt},
	} {
		t.Run(k.name, func(t *testing.T) {
			c, err := antenna.Couple(k.distance, 7e6)
			require.NoError(t, err)
			assert.Equal(t, k.doubt, c.Doubt)
			switch k.doubt {
			case antenna.FarField:
				assert.InDelta(t, c.Formula, c.Decibels, 1e-12)
			case antenna.NearField:
				assert.InDelta(t, -10, c.Decibels, 1e-12)
				assert.LessOrEqual(t, c.Formula, -10.0)
			case antenna.MeasureIt:
				assert.Zero(t, c.Decibels)
				assert.Greater(t, c.Formula, -10.0)
			}
		})
	}
	_, err = antenna.Couple(0, 7e6)
	assert.ErrorContains(t, err, "coupling: distance is 0")
}

func TestRemedy(t *testing.T) {
	g := guard(50, 28e6)
	g.Coupling, g.Withstand = -15, 0.1 // 3.16 W arrive, 15 dB are needed
	r, err := antenna.Remedy(g)
	require.NoError(t, err)
	result := solve(t, g)
	assert.InDelta(t, 15-result.Loss.Value, r.MoreIsolation, 1e-9)
	require.True(t, r.LeadServes)
	shorter := g
	shorter.Lead = r.LongestLead
	assert.GreaterOrEqual(t, solve(t, shorter).Margin, 1-1e-6)
	shorter.Lead += 1e-3
	assert.Less(t, solve(t, shorter).Margin, 1.0)
	assert.True(t, r.ChangeoverServes)
	assert.InDelta(t, 50, r.ChangeoverLoss.Value, 0.5)

	t.Run("no lead serves", func(t *testing.T) {
		g.Coupling = -5
		r, err := antenna.Remedy(g)
		require.NoError(t, err)
		assert.False(t, r.LeadServes)
		assert.Zero(t, r.LongestLead)
		assert.True(t, r.ChangeoverServes)
	})
	t.Run("any lead serves", func(t *testing.T) {
		g.Coupling = -60
		r, err := antenna.Remedy(g)
		require.NoError(t, err)
		assert.True(t, r.LeadServes)
		assert.InDelta(t, antenna.MostLead, r.LongestLead, 1e-12)
		assert.Zero(t, r.MoreIsolation)
	})
	t.Run("withstand not known", func(t *testing.T) {
		g.Withstand = 0
		_, err := antenna.Remedy(g)
		assert.ErrorContains(t, err, "withstands is not known")
	})
}

func TestSolveRefuses(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*antenna.Guard)
		says  string
	}{
		{"impedance", func(g *antenna.Guard) { g.Impedance = 0 }, "impedance is 0"},
		{"wire", func(g *antenna.Guard) { g.Wire = math.NaN() }, "wire diameter: not a finite number"},
		{"contact", func(g *antenna.Guard) { g.Contact.Ohms = 0 }, "resistance of the contact is 0"},
		{"changeover without capacitance", func(g *antenna.Guard) { g.Kind, g.Contact.Farads = antenna.Changeover, 0 }, "capacitance of the contact is 0"},
		{"lead", func(g *antenna.Guard) { g.Lead = -1 }, "lead is -1"},
		{"coupling", func(g *antenna.Guard) { g.Coupling = 3 }, "coupling is 3 dB"},
		{"coupling not a number", func(g *antenna.Guard) { g.Coupling = math.NaN() }, "coupling is NaN"},
		{"band", func(g *antenna.Guard) { g.Highest = 1e6 }, "highest frequency 1e+06 Hz lies below"},
		{"kind", func(g *antenna.Guard) { g.Kind = 9 }, "no kind of guard"},
		{"legs", func(g *antenna.Guard) { g.Legs = 9 }, "no way 9"},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := guard(50, 7e6)
			c.spoil(&g)
			_, err := antenna.Solve(g)
			require.ErrorContains(t, err, "antenna guard: ")
			assert.ErrorContains(t, err, c.says)
			_, err = antenna.Remedy(g)
			assert.ErrorContains(t, err, c.says)
		})
	}
}

func BenchmarkSolve(b *testing.B) {
	g := guard(50, 1.8e6)
	g.Highest = 30e6
	g.Kind = antenna.Changeover
	for b.Loop() {
		if _, err := antenna.Solve(g); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRemedy(b *testing.B) {
	g := guard(50, 1.8e6)
	g.Highest = 30e6
	g.Coupling = -15
	for b.Loop() {
		if _, err := antenna.Remedy(g); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleSolve() {
	r, err := antenna.Solve(antenna.Guard{
		Kind: antenna.Short, Legs: antenna.One, Impedance: 50,
		Lowest: 1.8e6, Highest: 7.3e6, Lead: 25e-3, Wire: 0.6e-3,
		Contact: antenna.Contact{Ohms: 50e-3, Henries: 15e-9, Farads: 1e-12},
		Power:   100, Coupling: -30, Withstand: 0.1,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f dB at %.1f MHz, %.2g W left\n", r.Loss.Value, r.Loss.Hertz/1e6, r.Residual)
	// Output: 23.7 dB at 7.3 MHz, 0.00042 W left
}

// Whatever stands at the input, a result is finite, or the guard is refused.
func FuzzSolve(f *testing.F) {
	f.Add(uint8(0), uint8(0), 50.0, 1.8e6, 30e6, 40e-3, 50e-3, 15e-9, 1e-12, -30.0)
	f.Add(uint8(1), uint8(2), 300.0, 7e6, 7e6, 0.0, 50e-3, 0.0, 1e-12, 0.0)
	f.Add(uint8(2), uint8(1), 75.0, 0.1e6, 60e6, 1.0, 1.0, 1e-6, 50e-12, -80.0)
	f.Fuzz(func(t *testing.T, kind, legs uint8, impedance, lowest, highest, lead, ohms, henries, farads, coupling float64) {
		for _, in := range []struct{ value, least, most float64 }{
			{impedance, 1, 1e4}, {lowest, 1e4, 1e9}, {highest, 1e4, 1e9}, {lead, 0, 10},
			{ohms, 1e-6, 1e3}, {henries, 0, 1e-3}, {farads, 0, 1e-6}, {coupling, -200, 0},
		} {
			if !(in.value >= in.least && in.value <= in.most) || in.value > 0 && in.value < 1e-15 {
				t.Skip("not a set")
			}
		}
		r, err := antenna.Solve(antenna.Guard{
			Kind: antenna.Kind(kind % 3), Legs: antenna.Legs(legs % 3), Impedance: impedance,
			Lowest: lowest, Highest: highest, Lead: lead, Wire: 0.6e-3,
			Contact: antenna.Contact{Ohms: ohms, Henries: henries, Farads: farads},
			Power:   100, Coupling: coupling, Withstand: 0.1,
		})
		if err != nil {
			return
		}
		for _, v := range []float64{
			r.Henries, r.Arriving, r.Loss.Value, r.Residual, r.CommonMode.Value, r.ContactCurrent.Value,
			r.OpenVolts.Value, r.ReceiveLoss.Value, r.Needed, r.Margin,
		} {
			assert.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", r)
		}
		assert.GreaterOrEqual(t, r.Loss.Hertz, lowest*(1-1e-9))
		assert.LessOrEqual(t, r.Loss.Hertz, highest*(1+1e-9))
	})
}
