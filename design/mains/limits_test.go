package mains_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/mains"
)

func TestJudge(t *testing.T) {
	for _, c := range []struct {
		name       string
		cord       mains.Cord
		amps       float64
		class      mains.Class
		tier       float64
		soundEarth bool
	}{
		{"nothing", mains.TwoWire, 0, mains.Good, 0.25e-3, false},
		{"two-wire on its limit", mains.TwoWire, 0.25e-3, mains.Good, 0.25e-3, false},
		{"two-wire over it", mains.TwoWire, 0.26e-3, mains.Caution, 0.5e-3, false},
		{"two-wire 0.5 mA", mains.TwoWire, 0.5e-3, mains.Caution, 0.5e-3, false},
		{"two-wire 0.51 mA", mains.TwoWire, 0.51e-3, mains.Danger, 0.5e-3, false},
		{"three-wire 0.5 mA", mains.ThreeWire, 0.5e-3, mains.Good, 0.5e-3, false},
		{"three-wire 0.7 mA", mains.ThreeWire, 0.7e-3, mains.Caution, 0.75e-3, false},
		{"three-wire 3.5 mA", mains.ThreeWire, 3.5e-3, mains.Caution, 3.5e-3, true},
		{"three-wire 3.6 mA", mains.ThreeWire, 3.6e-3, mains.Danger, 3.5e-3, true},
		{"on its limit but for rounding", mains.TwoWire, 0.1e-3 + 0.15e-3, mains.Good, 0.25e-3, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := mains.Judge(c.cord, c.amps)
			assert.Equal(t, c.class, got.Class)
			assert.InDelta(t, c.tier, got.Tier.Most, 1e-12)
			assert.Equal(t, c.soundEarth, got.Tier.SoundEarth)
			assert.NotEmpty(t, got.Tier.Standard)
		})
	}
}

// The largest standard Y capacitors from one side, mains +10 %, capacitor +20 %.
func TestLargestY(t *testing.T) {
	for _, c := range []struct {
		milliamps, at120, at230 float64 // nF
	}{
		{0.25, 3.3, 2.2},
		{0.5, 6.8, 4.7},
		{0.75, 10, 6.8},
		{3.5, 47, 33},
	} {
		t.Run(fmt.Sprintf("%g mA", c.milliamps), func(t *testing.T) {
			for _, m := range []struct{ volts, hertz, want float64 }{{120, 60, c.at120}, {230, 50, c.at230}} {
				got, err := mains.LargestY(mains.Source{Volts: m.volts, Hertz: m.hertz}, mains.Line, c.milliamps/1e3)
				require.NoError(t, err)
				assert.InDelta(t, m.want, got*1e9, 1e-6, "%g V", m.volts)
			}
		})
	}
	t.Run("stray takes its part", func(t *testing.T) {
		got, err := mains.LargestY(mains.Source{Volts: 120, Hertz: 60, Stray: 2e-9}, mains.Line, 0.25e-3)
		require.NoError(t, err)
		assert.InDelta(t, 2.2, got*1e9, 1e-6, "1.2·2.2 + 2 nF is under the 5.02 nF of 0.25 mA, 1.2·3.3 + 2 nF over")
	})
	t.Run("nothing fits", func(t *testing.T) {
		got, err := mains.LargestY(mains.Source{Volts: 120, Hertz: 60, Stray: 6e-9}, mains.Line, 0.25e-3)
		require.NoError(t, err)
		assert.Zero(t, got)
	})
	t.Run("no limit", func(t *testing.T) {
		_, err := mains.LargestY(mains.Source{Volts: 120, Hertz: 60}, mains.Line, 0)
		assert.ErrorContains(t, err, "limit of the touch current is 0")
	})
}

// GFCI class A: 88 and 133 nF at 120 V 60 Hz; RCD 30 mA: 208 and 415 nF at 230 V 50 Hz.
func TestDevices(t *testing.T) {
	devices := mains.Devices()
	require.Len(t, devices, 2)
	for i, c := range []struct {
		name         string
		volts, hertz float64
		holds, trips float64 // F
	}{
		{"GFCI class A", 120, 60, 88e-9, 133e-9},
		{"RCD 30 mA", 230, 50, 208e-9, 415e-9},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := devices[i]
			assert.Equal(t, c.name, d.Name)
			within(t, c.holds, mains.EarthFarads(d.Holds, c.volts, c.hertz), onePercent, "holds")
			within(t, c.trips, mains.EarthFarads(d.Trips, c.volts, c.hertz), onePercent, "trips")
			for _, f := range []struct {
				farads float64
				want   mains.Trip
			}{
				{c.holds * 0.98, mains.Holds},
				{c.holds * 1.02, mains.MayTrip},
				{c.trips * 0.98, mains.MayTrip},
				{c.trips * 1.02, mains.MustTrip},
			} {
				leak, err := mains.Leakage(fromLine(c.volts, c.hertz, f.farads))
				require.NoError(t, err)
				assert.Equal(t, f.want, d.At(leak.Earth.Value), "%g F", f.farads)
			}
			assert.Equal(t, mains.MustTrip, d.At(d.Trips))
			assert.Equal(t, mains.Holds, d.At(d.Holds))
		})
	}
}

func TestChooseFuse(t *testing.T) {
	iec, american := mains.FusesIEC(), mains.FusesNorthAmerican()
	for _, c := range []struct {
		name         string
		watts, volts float64
		list         mains.FuseList
		want         float64
	}{
		{"60 VA at 120 V, IEC", 60, 120, iec, 0.8},
		{"60 VA at 120 V, American", 60, 120, american, 0.75},
		{"60 VA at 230 V", 60, 230, iec, 0.4},
		{"100 VA at 120 V", 100, 120, iec, 1.25},
		{"100 VA at 230 V", 100, 230, iec, 0.8}, // 1.5·I is 652 mA; 630 mA is 1.45·I
		{"250 VA at 120 V", 250, 120, iec, 3.15},
		{"240 VA at 120 V: 167 % begins at 2 A", 240, 120, iec, 3.15},
		{"nothing from 4.2 A to 4.68 A: the largest from 3.5 A", 2.8, 1, american, 4},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ok := mains.ChooseFuse(c.watts/c.volts, c.list)
			require.True(t, ok)
			assert.InDelta(t, c.want, got, 1e-9)
		})
	}
	t.Run("no fuse in the list", func(t *testing.T) {
		_, ok := mains.ChooseFuse(10, iec)
		assert.False(t, ok)
		_, ok = mains.ChooseFuse(0.01, iec)
		assert.False(t, ok, "100 mA is ten times 10 mA")
	})
}

func TestJudgeFuse(t *testing.T) {
	for _, c := range []struct {
		name         string
		rating, amps float64
		want         mains.FuseFit
	}{
		{"4 A for 250 VA at 120 V refused", 4, 250. / 120, mains.FuseLarge},
		{"3.15 A for it", 3.15, 250. / 120, mains.FuseServes},
		{"1 A for 60 VA at 120 V", 1, 0.5, mains.FuseServes},
		{"1.5 A is 300 %", 1.5, 0.5, mains.FuseServes},
		{"1.6 A is over", 1.6, 0.5, mains.FuseLarge},
		{"630 mA for 100 VA at 230 V", 0.63, 100. / 230, mains.FuseServes},
		{"500 mA is under 125 %", 0.5, 100. / 230, mains.FuseSmall},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, mains.JudgeFuse(c.rating, c.amps))
		})
	}
}

func TestOhmCheck(t *testing.T) {
	assert.InDelta(t, 240e3, mains.OhmThresholds(120).Touch, 1e-6)
	assert.InDelta(t, 460e3, mains.OhmThresholds(230).Touch, 1e-6)
	for _, c := range []struct {
		name  string
		volts float64
		a, b  float64
		want  mains.Path
	}{
		{"open", 120, 20e6, 20e6, mains.NoPath},
		{"bleeder", 120, 2.2e6, 2.2e6, mains.BleederPath},
		{"at 1 MΩ", 120, 1e6, 1e6, mains.BleederPath},
		{"one prong leaky", 120, 470e3, 20e6, mains.LeakyPath},
		{"270 kΩ at 120 V", 120, 270e3, 270e3, mains.LeakyPath},
		{"270 kΩ at 230 V", 230, 270e3, 270e3, mains.OverLimit},
		{"100 kΩ", 120, 100e3, 100e3, mains.OverLimit},
		{"chassis on a conductor, primary beside it", 120, 0.3, 9, mains.TiedToMains},
		{"chassis on a conductor, switch open", 120, 20e6, 0.3, mains.TiedToMains},
		{"cold heater string", 120, 80, 20e6, mains.TiedToMains},
		{"winding to core", 120, 6, 7, mains.TransformerFault},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, mains.OhmThresholds(c.volts).Judge(c.a, c.b))
			assert.Equal(t, c.want, mains.OhmThresholds(c.volts).Judge(c.b, c.a), "prongs exchanged")
		})
	}
}

// 80 mA and 9.6 W at 120 V; 153 mA and 35 W at 230 V.
func TestShuntOnShort(t *testing.T) {
	for _, c := range []struct{ volts, milliamps, watts float64 }{{120, 80, 9.6}, {230, 153, 35}} {
		got := mains.ShuntOnShort(c.volts)
		within(t, c.milliamps, got.Amps*1e3, onePercent, "current")
		within(t, c.watts, got.Watts, onePercent, "power")
	}
}

func TestInsulationAndBond(t *testing.T) {
	assert.Equal(t, mains.Insulation{Volts: 500, Least: 1e6, Most: 500e-6}, mains.InsulationTest(mains.ThreeWire))
	assert.Equal(t, mains.Insulation{Volts: 500, Least: 2e6, Most: 250e-6}, mains.InsulationTest(mains.TwoWire))
	// 2 m of 0.75 mm²: 46 mΩ (IEC 60228 gives 26.0 Ω/km at most for that size).
	bond := mains.BondMost(2, 0.75e-6)
	within(t, 0.146, bond, onePercent, "bond")
	assert.Less(t, bond, 0.1+2*26.0e-3)
}

// 350 V, 40 µF, 100 kΩ: 7.1 s to 60 V, 9.8 s to 30 V, 1.23 W; only a 10 MΩ meter
// on 80 µF: 23 min to 60 V.
func TestDischarge(t *testing.T) {
	t.Run("bleeder and tool", func(t *testing.T) {
		got, err := mains.Discharging(mains.Rail{Volts: 350, Farads: 40e-6, Bleeder: 100e3, Tool: 2.2e3})
		require.NoError(t, err)
		assert.InDelta(t, 7.1, got.Bleeder.To60, 0.05)
		assert.InDelta(t, 9.8, got.Bleeder.To30, 0.05)
		within(t, 1.23, got.Bleeder.Watts, onePercent, "bleeder")
		assert.InDelta(t, 2.45, got.Joules, 1e-9)
		assert.Less(t, got.Tool.To10, 0.4, "τ is 86 ms")
		assert.Greater(t, got.Tool.To10, got.Tool.To30)
		within(t, 350*350/2.2e3, got.Tool.Watts, 1e-9, "tool")
		assert.False(t, got.Meter.Present)
	})
	t.Run("only a meter", func(t *testing.T) {
		got, err := mains.Discharging(mains.Rail{Volts: 350, Farads: 80e-6, Meter: 10e6})
		require.NoError(t, err)
		assert.False(t, got.Bleeder.Present)
		assert.InDelta(t, 23, got.Meter.To60/60, 0.55)
	})
	t.Run("below the limit already", func(t *testing.T) {
		got, err := mains.Discharging(mains.Rail{Volts: 48, Farads: 1e-3, Bleeder: 1e3})
		require.NoError(t, err)
		assert.Zero(t, got.Bleeder.To60)
		assert.Positive(t, got.Bleeder.To30)
	})
	t.Run("refused", func(t *testing.T) {
		_, err := mains.Discharging(mains.Rail{Volts: 350, Farads: -1})
		assert.ErrorContains(t, err, "farads is -1")
	})
}

func ExampleChooseFuse() {
	rating, ok := mains.ChooseFuse(60.0/120, mains.FusesIEC())
	fmt.Println(rating, ok)
	// Output: 0.8 true
}
