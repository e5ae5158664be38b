package answer_test

import (
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/known"
	"mutewright/design/mains"
	"mutewright/design/plan"
)

// earthed reads a small plan with a sound mains side, settings laid over it.
func earthed(t *testing.T, settings ...string) *known.Facts {
	t.Helper()
	const name = "../../testdata/plans/sound/mains-earthed.yaml"
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	p, err := plan.Read(name, data, catalog.Default(), settings...)
	require.NoError(t, err)
	return known.From(p, catalog.Default())
}

func askMains(t *testing.T, settings ...string) *answer.Answers {
	t.Helper()
	a, err := answer.AskMains(earthed(t, settings...))
	require.NoError(t, err)
	return a
}

func get(t *testing.T, a *answer.Answers, name string) answer.Quantity {
	t.Helper()
	q, ok := a.Get(name)
	require.True(t, ok, "no %s", name)
	assert.LessOrEqual(t, q.Low, q.Nominal, name)
	assert.LessOrEqual(t, q.Nominal, q.High, name)
	return q
}

const exactMains = "receiver.mains.tolerance=0 %"

func oneCapacitor(value string) string {
	return "receiver.mains.line_capacitors=[{value: " + value + ", from: line, class: none}]"
}

// From the plan to the quantities: the table of one capacitor from the hot side,
// computed from Isc = 2πf·C·E and V = E·R/√(R²+Xc²), within 1 % and half a digit.
func TestPlanGivesTheOneCapacitorTable(t *testing.T) {
	for _, c := range []struct {
		volts, hertz                       string
		farads                             string
		milliamps, shunt, digital, million float64
	}{
		{"120 V", "60 Hz", "1 nF", .0452, .0676, 116.0, 42.3},
		{"120 V", "60 Hz", "10 nF", .4524, .6758, 120.0, 116.0},
		{"120 V", "60 Hz", "47 nF", 2.126, 3.170, 120.0, 119.8},
		{"230 V", "50 Hz", "100 pF", .0072, .0108, 68.9, 7.2},
		{"230 V", "50 Hz", "4.7 nF", .3396, .5081, 229.5, 190.4},
		{"230 V", "50 Hz", "0.1 uF", 7.226, 10.76, 230.0, 229.9},
	} {
		t.Run(c.volts+" "+c.farads, func(t *testing.T) {
			a := askMains(t, exactMains, "receiver.mains.voltage="+c.volts, "receiver.mains.frequency="+c.hertz,
				"receiver.mains.stray=0 F", oneCapacitor(c.farads))
			within := func(want, digit float64, name string, scale float64) {
				assert.InDelta(t, want, scale*get(t, a, name).Nominal, max(0.01*want, 0.5001*digit), name)
			}
			within(c.milliamps, 1e-4, "mains.touch_current", 1e3)
			within(c.milliamps, 1e-4, "mains.earth_leak", 1e3)
			within(c.milliamps, 1e-4, "mains.network_current", 1e3)
			within(c.shunt, 1e-4, "mains.shunt_reading", 1)
			within(c.digital, 0.1, "mains.meter_reading", 1)
			within(c.million, 0.1, "mains.one_meg_reading", 1)
		})
	}
}

// What technicians meet, from the plan on; common practice, no source.
func TestPlanMeetsCommonPractice(t *testing.T) {
	unearthed := []string{exactMains, "receiver.mains.cord=two-wire"}
	for _, value := range []string{"10 nF", "22 nF", "50 nF"} {
		t.Run("noise capacitor of "+value, func(t *testing.T) {
			q := get(t, askMains(t, append(unearthed, oneCapacitor(value))...), "mains.meter_reading")
			assert.GreaterOrEqual(t, q.Low, 115.0)
			assert.LessOrEqual(t, q.High, 125.0)
		})
	}
	for _, stray := range []string{"50 pF", "100 pF", "150 pF"} {
		t.Run("cut loose, stray of "+stray, func(t *testing.T) {
			q := get(t, askMains(t, append(unearthed, "receiver.mains.line_capacitors=none", "receiver.mains.stray="+stray)...), "mains.meter_reading")
			assert.GreaterOrEqual(t, q.Low, 20.0)
			assert.LessOrEqual(t, q.High, 60.0)
		})
	}
	t.Run("earthed cord", func(t *testing.T) {
		q := get(t, askMains(t, oneCapacitor("50 nF")), "mains.earthed_reading")
		assert.Positive(t, q.Low)
		assert.Less(t, q.High, 1.0)
	})
}

// The ends are the highest and the lowest over the corners of the box, solved
// one by one.
func TestLeakageIsTheWorstCase(t *testing.T) {
	settings := []string{
		"receiver.mains.stray=100 pF .. 500 pF",
		"receiver.mains.line_capacitors=[{value: 4.7 nF, from: line, class: Y2}, {value: 2.2 nF ± 10 %, from: neutral, class: Y2}]",
		"receiver.mains.switch.in=line",
	}
	a := askMains(t, settings...)
	low, high := math.Inf(1), 0.0
	reads := [2]float64{math.Inf(1), 0}
	for _, ratio := range []float64{0.9, 1.1} {
		for _, stray := range []float64{100e-12, 500e-12} {
			for _, line := range []float64{0.8, 1.2} {
				for _, neutral := range []float64{0.9, 1.1} {
					l, err := mains.Leakage(mains.Source{
						Volts: 120 * ratio, Hertz: 60, Stray: stray, Switch: mains.Line,
						Capacitors: []mains.Capacitor{{Farads: 4.7e-9 * line}, {Farads: 2.2e-9 * neutral, From: mains.Neutral}},
					}, mains.DigitalOhms)
					require.NoError(t, err)
					low, high = min(low, l.Touch.Value), max(high, l.Touch.Value)
					reads[0], reads[1] = min(reads[0], l.Meters[0].Reading.Value), max(reads[1], l.Meters[0].Reading.Value)
				}
			}
		}
	}
	q := get(t, a, "mains.touch_current")
	assert.InEpsilon(t, low, q.Low, 1e-6)
	assert.InEpsilon(t, high, q.High, 1e-6)
	q = get(t, a, "mains.meter_reading")
	assert.InEpsilon(t, reads[0], q.Low, 1e-6)
	assert.InEpsilon(t, reads[1], q.High, 1e-6)
}

// An unknown switch may be in any of three places.
func TestUnknownSwitchSpansAllPlaces(t *testing.T) {
	pair := "receiver.mains.line_capacitors=[{value: 2.2 nF, from: line, class: Y2}, {value: 1 nF, from: neutral, class: Y2}]"
	var least, most []float64
	for _, in := range []string{"line", "neutral", "both"} {
		q := get(t, askMains(t, pair, "receiver.mains.switch.in="+in), "mains.touch_current")
		least, most = append(least, q.Low), append(most, q.High)
	}
	q := get(t, askMains(t, pair, "receiver.mains.switch={capacitors: after}"), "mains.touch_current")
	assert.InEpsilon(t, slices.Min(least), q.Low, 1e-9)
	assert.InEpsilon(t, slices.Max(most), q.High, 1e-9)
	assert.Greater(t, slices.Max(most), 1.2*slices.Min(most), "a switch in one conductor puts both capacitors at the hot one")
}

// The four states: with the plug straight and the set on, a capacitor from line
// is hot and one from neutral is not; the stray may be at either end.
func TestReadingsInFourStates(t *testing.T) {
	a := askMains(t, exactMains, "receiver.mains.stray=100 pF", "receiver.mains.switch.in=line",
		"receiver.mains.line_capacitors=[{value: 1 nF, from: line, class: Y2}]")
	const omega = 2 * math.Pi * 60
	for _, c := range []struct {
		state     string
		low, high float64 // F hot, with all that joins chassis to the earthed side beside it: of no weight on 1.5 kΩ
	}{
		{"straight_on", 0.8e-9, 1.3e-9}, // 1 nF ± 20 %, and the stray or not
		{"straight_off", 0, 0},          // all at the earthed conductor through the primary
		{"turned_on", 0, 100e-12},
		{"turned_off", 0.9e-9, 1.3e-9}, // all at the hot conductor through the primary
	} {
		t.Run(c.state, func(t *testing.T) {
			q := get(t, a, "mains."+c.state+".shunt")
			volts := func(farads float64) float64 { return 120 * omega * farads * 1494.6 } // of the shunt at 60 Hz
			assert.InDelta(t, volts(c.low), q.Low, 0.001*volts(1e-9))
			assert.InDelta(t, volts(c.high), q.High, 0.001*volts(1e-9))
		})
	}
	for _, state := range answer.OutletStates {
		for _, load := range answer.ChassisLoads {
			q := get(t, a, "mains."+state.Name+"."+load.Name)
			assert.LessOrEqual(t, q.High, 120.0)
		}
	}
}

// 60 VA: 120 V 0.5 A → 3/4 A North American; 230 V 0.261 A → 400 mA IEC; 100 VA
// and 250 VA at 120 V (computed by the rule; ratings UL 248-14 from memory).
func TestFuseFromThePlan(t *testing.T) {
	for _, c := range []struct {
		power, volts, hertz string
		want                float64
		standard            string
	}{
		{"60 W", "120 V", "60 Hz", 0.75, "UL 248-14"},
		{"60 W", "230 V", "50 Hz", 0.4, "IEC 60127"},
		{"100 W", "230 V", "50 Hz", 0.8, "IEC 60127"},
		{"100 W", "100 V", "50 Hz", 1.6, "IEC 60127"},
		{"100 W", "120 V", "60 Hz", 1.25, "UL 248-14"},
		{"250 W", "240 V", "60 Hz", 1.6, "IEC 60127"},
	} {
		t.Run(c.power+" "+c.volts+" "+c.hertz, func(t *testing.T) {
			a := askMains(t, "receiver.mains.power="+c.power, "receiver.mains.voltage="+c.volts, "receiver.mains.frequency="+c.hertz)
			q := get(t, a, "mains.fuse")
			assert.InDelta(t, c.want, q.Nominal, 1e-9)
			assert.Equal(t, c.standard, a.Mains.Fuses.Standard)
			assert.Contains(t, q.Working.Source, c.standard)
		})
	}
	t.Run("power not well known", func(t *testing.T) {
		q := get(t, askMains(t, "receiver.mains.power=40 W .. 90 W"), "mains.fuse")
		assert.InDelta(t, 0.5, q.Low, 1e-9)   // 0.333 A
		assert.InDelta(t, 1.25, q.High, 1e-9) // 0.75 A
	})
	t.Run("no list holds it", func(t *testing.T) {
		_, ok := askMains(t, "receiver.mains.power=2 kW").Get("mains.fuse")
		assert.False(t, ok)
	})
}

// 350 V, 40 µF, 100 kΩ: 7.1 s to 60 V, 9.8 s to 30 V; only a 10 MΩ meter on
// 80 µF: 23 min (computed, t = R·C·ln(V0/V)).
func TestDischargeFromThePlan(t *testing.T) {
	rail := func(more string) string {
		return "receiver.supplies={ht: {kind: dc rail, voltage: 250 V, unloaded: 350 V, " + more + "}}"
	}
	t.Run("bleeder", func(t *testing.T) {
		a := askMains(t, rail("capacitance: 40 uF, bleeder: 100 kohm"))
		assert.InDelta(t, 7.1, get(t, a, "mains.discharge").Nominal, 0.05)
		assert.InDelta(t, 9.8, get(t, a, "mains.discharge_30").Nominal, 0.05)
		// Worst: 1.1 · 350 V, + 50 % of an electrolytic, + 5 % of a resistor.
		assert.InEpsilon(t, 105e3*60e-6*math.Log(385.0/60), get(t, a, "mains.discharge").High, 1e-6)
		assert.Less(t, get(t, a, "mains.discharge_tool").High, 1.0)
	})
	t.Run("no bleeder", func(t *testing.T) {
		a := askMains(t, rail("capacitance: 80 uF, bleeder: none"))
		_, ok := a.Get("mains.discharge")
		assert.False(t, ok, "nothing that is there can be relied upon")
		assert.InDelta(t, 23, get(t, a, "mains.discharge_meter").Nominal/60, 0.55)
		require.Len(t, a.Mains.Rails, 1)
		assert.False(t, a.Mains.Rails[0].Bled)
	})
	t.Run("the slower of two rails", func(t *testing.T) {
		a := askMains(t, "receiver.supplies={ht: {kind: dc rail, unloaded: 350 V, capacitance: 40 uF, bleeder: 100 kohm}, "+
			"screens: {kind: dc rail, unloaded: 200 V, capacitance: 20 uF, bleeder: 1 Mohm}, bias: {kind: dc rail, unloaded: -40 V, capacitance: 100 uF, bleeder: none}}")
		assert.InEpsilon(t, 1e6*20e-6*math.Log(200.0/60), get(t, a, "mains.discharge").Nominal, 1e-9)
		assert.Len(t, a.Mains.Rails, 2, "−40 V is under the limit")
	})
	t.Run("regulated: the mains does not lift it", func(t *testing.T) {
		a := askMains(t, rail("capacitance: 40 uF ± 0 %, bleeder: 100 kohm ± 0 %, regulated: true"))
		assert.InEpsilon(t, 4*math.Log(350.0/60), get(t, a, "mains.discharge").High, 1e-6)
	})
}

// A chassis that is a mains conductor: no leakage, no fuse, no time; only what
// it does to whoever touches it.
func TestIsolationNoneAsksNoMore(t *testing.T) {
	a := askMains(t, "receiver.mains.isolation=none")
	assert.Equal(t, []string{"mains.meter_reading", "mains.touch_current"}, a.Names())
	assert.InEpsilon(t, 1.1*120/2000, get(t, a, "mains.touch_current").High, 1e-9)
	assert.InEpsilon(t, 9.6, a.Mains.Short.Watts, 1e-9)
}

func ExampleAskMains() {
	data, err := os.ReadFile("../../testdata/plans/hurt/larkmoor-as-found.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := plan.Read("larkmoor-as-found.yaml", data, catalog.Default())
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := answer.AskMains(known.From(p, catalog.Default()))
	if err != nil {
		fmt.Println(err)
		return
	}
	q, _ := a.Get("mains.touch_current")
	fmt.Printf("%.0f µA (%.0f to %.0f)\n", q.Nominal*1e6, q.Low*1e6, q.High*1e6)
	// Output: 466 µA (338 to 612)
}
