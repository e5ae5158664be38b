package mains_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/mains"
)

func infer(t *testing.T, volts, hertz float64, readings ...mains.Reading) mains.Backward {
	t.Helper()
	b, err := mains.Infer(volts, hertz, readings)
	require.NoError(t, err)
	return b
}

// The shunted test: 0.75 V is 0.5 mA (UL 101).
func TestShuntIsTouchCurrent(t *testing.T) {
	b := infer(t, 120, 60, mains.Reading{Volts: 0.75, Ohms: 1500, Accuracy: 0.01})
	assert.Equal(t, mains.Decided, b.Touch.Reason)
	assert.InDelta(t, 0.5e-3, b.Touch.Nominal, 1e-12)
	assert.InDelta(t, 0.495e-3, b.Touch.Low, 1e-12)
	assert.InDelta(t, 0.505e-3, b.Touch.High, 1e-12)
	assert.Equal(t, []int{0}, b.Touch.From)
	assert.Equal(t, mains.OneLoad, b.Volts.Reason)
	assert.Equal(t, mains.OneLoad, b.Farads.Reason)
}

// Forward and back again: what two loads show of a set gives its capacitors.
func TestForwardAndBack(t *testing.T) {
	const e, f = 120.0, 60.0
	for _, c := range []struct {
		name          string
		line, other   float64 // F
		first, other2 float64 // ohm
	}{
		{"4.7 nF on 250 kΩ and 10 MΩ", 4.7e-9, 0, 250e3, 10e6},
		{"10 nF on 250 kΩ and 1 MΩ", 10e-9, 0, 250e3, 1e6},
		{"a pair on 250 kΩ and 10 MΩ", 10e-9, 4.7e-9, 250e3, 10e6},
		{"100 pF of stray on 1 and 10 MΩ", 100e-12, 0, 1e6, 10e6},
		{"22 nF on the shunt's resistor and 10 MΩ", 22e-9, 0, 1500, 10e6},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := mains.Source{Volts: e, Hertz: f, Capacitors: []mains.Capacitor{
				{Farads: c.line, From: mains.Line}, {Farads: c.other, From: mains.Neutral}}}
			leak, err := mains.Leakage(s, c.first, c.other2)
			require.NoError(t, err)
			got := leak.Cases[0]
			b := infer(t, e, f,
				mains.Reading{Volts: got.Meters[0], Ohms: c.first, Accuracy: 0.002},
				mains.Reading{Volts: got.Meters[1], Ohms: c.other2, Accuracy: 0.002})
			require.Equal(t, mains.Decided, b.Volts.Reason)
			within(t, e*c.line/(c.line+c.other), b.Volts.Nominal, 1e-6, "open voltage")
			within(t, c.line+c.other, b.Farads.Nominal, 1e-6, "capacitance")
			within(t, got.Touch, b.Touch.Nominal, 0.001, "touch current")
			for _, i := range []mains.Inference{b.Volts, b.Farads, b.Touch} {
				assert.LessOrEqual(t, i.Low, i.Nominal)
				assert.LessOrEqual(t, i.Nominal, i.High)
				assert.Less(t, i.Low, i.High)
			}
			assert.Empty(t, b.Against)
		})
	}
}

// X² = R1²·R2²·(V2² − V1²)/(V1²·R2² − V2²·R1²), worked by hand on the table's
// row of 4.7 nF at 230 V 50 Hz: 79.6 V on 250 kΩ, 190.4 V on 1 MΩ.
func TestReactanceByHand(t *testing.T) {
	const r1, r2, v1, v2 = 250e3, 1e6, 79.6, 190.4
	x := math.Sqrt(r1 * r1 * r2 * r2 * (v2*v2 - v1*v1) / (v1*v1*r2*r2 - v2*v2*r1*r1))
	b := infer(t, 230, 50, mains.Reading{Volts: v1, Ohms: r1}, mains.Reading{Volts: v2, Ohms: r2})
	within(t, 1/(2*math.Pi*50*x), b.Farads.Nominal, 1e-9, "formula")
	within(t, v1*math.Hypot(1, x/r1), b.Volts.Nominal, 1e-9, "formula")
	within(t, 4.7e-9, b.Farads.Nominal, onePercent, "table")
	within(t, 230, b.Volts.Nominal, onePercent, "table")
}

// The bounds hold what the accuracy allows: solving with the readings moved by
// it stays inside and reaches the ends.
func TestBoundsAreCorners(t *testing.T) {
	const accuracy = 0.015
	readings := []mains.Reading{
		{Volts: 48.6, Ohms: 250e3, Accuracy: accuracy},
		{Volts: 104.5, Ohms: 1e6, Accuracy: accuracy},
	}
	b := infer(t, 120, 60, readings...)
	require.Equal(t, mains.Decided, b.Farads.Reason)
	least, most := math.Inf(1), 0.0
	for _, s1 := range []float64{-1, -0.5, 0, 0.5, 1} {
		for _, s2 := range []float64{-1, -0.5, 0, 0.5, 1} {
			moved := infer(t, 120, 60,
				mains.Reading{Volts: 48.6 * (1 + s1*accuracy), Ohms: 250e3},
				mains.Reading{Volts: 104.5 * (1 + s2*accuracy), Ohms: 1e6})
			require.Equal(t, mains.Decided, moved.Farads.Reason)
			least, most = min(least, moved.Farads.Nominal), max(most, moved.Farads.Nominal)
		}
	}
	within(t, least, b.Farads.Low, 1e-9, "lowest capacitance")
	within(t, most, b.Farads.High, 1e-9, "highest capacitance")
	assert.Less(t, b.Farads.Low, 4.7e-9)
	assert.Greater(t, b.Farads.High, 4.7e-9)
}

func TestUndetermined(t *testing.T) {
	one := func(volts, ohms float64) mains.Reading {
		return mains.Reading{Volts: volts, Ohms: ohms, Accuracy: 0.01}
	}
	for _, c := range []struct {
		name          string
		readings      []mains.Reading
		touch, farads mains.Reason
	}{
		{"nothing", nil, mains.NoReading, mains.NoReading},
		{"0 V", []mains.Reading{one(0, 10e6)}, mains.NoReading, mains.NoReading},
		{"10 MΩ at the mains", []mains.Reading{one(118, 10e6)}, mains.AtMains, mains.AtMains},
		{"10 MΩ below it", []mains.Reading{one(42, 10e6)}, mains.OneLoad, mains.OneLoad},
		{"two loads at the mains", []mains.Reading{one(119.8, 1e6), one(120, 10e6)}, mains.AtMains, mains.AtMains},
		{"two loads alike", []mains.Reading{one(60, 1e6), one(60.5, 10e6)}, mains.Alike, mains.Alike},
		{"in proportion", []mains.Reading{one(1.1, 250e3), one(4.42, 1e6)}, mains.Decided, mains.InProportion},
		{"lower load reads more", []mains.Reading{one(60, 1e6), one(40, 10e6)}, mains.Contradictory, mains.Contradictory},
		{"more than in proportion", []mains.Reading{one(1, 250e3), one(8, 1e6)}, mains.Contradictory, mains.Contradictory},
		{"more than the mains", []mains.Reading{one(150, 10e6)}, mains.AboveMains, mains.AboveMains},
		{"extrapolates to more than the mains", []mains.Reading{one(20, 100e3), one(100, 560e3)}, mains.AboveMains, mains.AboveMains},
		{"shunt and 10 MΩ at the mains", []mains.Reading{one(0.68, 1500), one(118, 10e6)}, mains.Decided, mains.Decided},
		{"a dead short", []mains.Reading{one(119, 1500), one(119.5, 10e6)}, mains.Decided, mains.AtMains},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := infer(t, 120, 60, c.readings...)
			assert.Equal(t, c.touch, b.Touch.Reason)
			assert.Equal(t, c.farads, b.Farads.Reason)
			assert.Equal(t, c.farads, b.Volts.Reason)
			for _, i := range []mains.Inference{b.Volts, b.Farads, b.Touch} {
				if i.Reason != mains.Decided {
					assert.Zero(t, i.Bound)
				}
			}
		})
	}
}

// 118 V on 10 MΩ decides nothing; with 0.68 V on the shunt it is 10 nF on 118 V.
func TestShuntDecidesWhatTheMeterCannot(t *testing.T) {
	b := infer(t, 120, 60,
		mains.Reading{Volts: 118, Ohms: 10e6, Accuracy: 0.01},
		mains.Reading{Volts: 0.68, Ohms: 1500, Accuracy: 0.01})
	within(t, 0.68/1500, b.Touch.Nominal, 1e-9, "touch current")
	within(t, 118, b.Volts.Nominal, 0.001, "open voltage")
	within(t, 10.19e-9, b.Farads.Nominal, 0.001, "capacitance")
	assert.Less(t, b.Farads.High/b.Farads.Low, 1.05)
	assert.Equal(t, []int{1, 0}, b.Farads.From)
}

// Where readings rise nearly as their loads do (100 pF at 230 V 50 Hz, from the
// table), E stays open above but for the mains.
func TestInProportionIsBoundedByTheMains(t *testing.T) {
	b := infer(t, 230, 50,
		mains.Reading{Volts: 1.8, Ohms: 250e3, Accuracy: 0.01},
		mains.Reading{Volts: 7.22, Ohms: 1e6, Accuracy: 0.01},
		mains.Reading{Volts: 68.9, Ohms: 10e6, Accuracy: 0.01})
	require.Equal(t, mains.Decided, b.Farads.Reason)
	assert.Less(t, b.Farads.Low, 100e-12)
	assert.Greater(t, b.Farads.High, 100e-12)
	assert.LessOrEqual(t, b.Volts.High, 1.1*230*(1+1e-9))
	assert.Empty(t, b.Against)
}

func TestReadingAgainstTheOthers(t *testing.T) {
	b := infer(t, 120, 60,
		mains.Reading{Volts: 48.6, Ohms: 250e3, Accuracy: 0.01},
		mains.Reading{Volts: 104.5, Ohms: 1e6, Accuracy: 0.01},
		mains.Reading{Volts: 0.9, Ohms: 1500, Accuracy: 0.01}, // 0.318 V would fit
	)
	require.Equal(t, mains.Decided, b.Farads.Reason)
	assert.NotEmpty(t, b.Against)
	within(t, 0.6e-3, b.Touch.Nominal, 1e-9, "the shunt has the word")
}

func TestInferRefuses(t *testing.T) {
	for _, c := range []struct {
		name    string
		reading mains.Reading
		says    string
	}{
		{"no load", mains.Reading{Volts: 1}, "reading 1: load is 0"},
		{"not a number", mains.Reading{Volts: math.NaN(), Ohms: 1}, "reading 1: voltage: not a finite number"},
		{"accuracy in percent", mains.Reading{Volts: 1, Ohms: 1, Accuracy: 1.5}, "reading 1: accuracy is 1.5"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := mains.Infer(120, 60, []mains.Reading{c.reading})
			assert.ErrorContains(t, err, c.says)
		})
	}
	_, err := mains.Infer(0, 60, nil)
	assert.ErrorContains(t, err, "mains voltage is 0")
}

// Whatever is measured, a result is finite and ordered, or it says why not.
func FuzzInfer(f *testing.F) {
	f.Add(120.0, 60.0, 118.0, 10e6, 0.68, 1500.0, 42.0, 1e6, 0.01)
	f.Add(230.0, 50.0, 1.8, 250e3, 7.22, 1e6, 68.9, 10e6, 0.01)
	f.Add(120.0, 60.0, 0.0, 1.0, 1e-7, 2.0, 1e9, 1e12, 0.0)
	f.Fuzz(func(t *testing.T, volts, hertz, v1, r1, v2, r2, v3, r3, accuracy float64) {
		for _, ohms := range []float64{r1, r2, r3} {
			if ohms < 1e-3 || ohms > 1e12 {
				t.Skip("no meter")
			}
		}
		if volts < 1 || volts > 1e3 || hertz < 1 || hertz > 1e3 {
			t.Skip("no mains")
		}
		b, err := mains.Infer(volts, hertz, []mains.Reading{
			{Volts: v1, Ohms: r1, Accuracy: accuracy},
			{Volts: v2, Ohms: r2, Accuracy: accuracy},
			{Volts: v3, Ohms: r3, Accuracy: accuracy},
		})
		if err != nil {
			return
		}
		for _, i := range []mains.Inference{b.Touch, b.Volts, b.Farads} {
			if i.Reason != mains.Decided {
				assert.Zero(t, i.Bound)
				continue
			}
			assert.NotEmpty(t, i.From)
			for _, v := range []float64{i.Low, i.Nominal, i.High} {
				assert.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", i)
			}
			slack := 1e-9 * i.High
			assert.LessOrEqual(t, i.Low, i.Nominal+slack)
			assert.LessOrEqual(t, i.Nominal, i.High+slack)
		}
	})
}
