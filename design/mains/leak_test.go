package mains_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/mains"
)

// within asserts that got lies within a relative distance of want, and says so.
func within(t *testing.T, want, got, relative float64, what string) {
	t.Helper()
	assert.InDelta(t, want, got, relative*math.Abs(want), what)
}

// onePercent allows for the tables' three digits.
const onePercent = 0.01

// fromLine is a set with one capacitor from the hot side.
func fromLine(volts, hertz, farads float64) mains.Source {
	return mains.Source{Volts: volts, Hertz: hertz, Capacitors: []mains.Capacitor{{Farads: farads, From: mains.Line}}}
}

// The table of one capacitor from the hot side, computed from Isc = 2πf·C·E and
// V = E·R/√(R²+Xc²). Two digits of the small readings allow half a digit.
func TestOneCapacitorTable(t *testing.T) {
	type row struct {
		farads, milliamps, shunt, digital, oneMeg, quarterMeg float64
	}
	for _, table := range []struct {
		name         string
		volts, hertz float64
		rows         []row
	}{
		{"120 V 60 Hz", 120, 60, []row{
			{100e-12, .0045, .0068, 42.3, 4.5, 1.1},
			{1e-9, .0452, .0676, 116.0, 42.3, 11.3},
			{4.7e-9, .2126, .3177, 119.8, 104.5, 48.6},
			{10e-9, .4524, .6758, 120.0, 116.0, 82.3},
			{22e-9, .9953, 1.486, 120.0, 119.1, 108.1},
			{47e-9, 2.126, 3.170, 120.0, 119.8, 117.1},
			{100e-9, 4.524, 6.719, 120.0, 119.9, 119.3},
		}},
		{"230 V 50 Hz", 230, 50, []row{
			{100e-12, .0072, .0108, 68.9, 7.2, 1.8},
			{1e-9, .0723, .1081, 219.2, 68.9, 18.0},
			{4.7e-9, .3396, .5081, 229.5, 190.4, 79.6},
			{10e-9, .7226, 1.081, 229.9, 219.2, 142.1},
			{22e-9, 1.590, 2.377, 230.0, 228.6, 199.1},
			{47e-9, 3.396, 5.072, 230.0, 229.5, 222.0},
			{100e-9, 7.226, 10.76, 230.0, 229.9, 228.2},
		}},
	} {
		for _, r := range table.rows {
			t.Run(fmt.Sprintf("%s %.3g nF", table.name, r.farads*1e9), func(t *testing.T) {
				leak, err := mains.Leakage(fromLine(table.volts, table.hertz, r.farads),
					mains.DigitalOhms, mains.OneMegOhms, 250e3)
				require.NoError(t, err)
				digit := func(want, last float64) float64 { return max(onePercent*want, last/2*1.0001) }
				assert.InDelta(t, r.milliamps, leak.Earth.Value*1e3, digit(r.milliamps, 1e-4), "short-circuit current")
				assert.InDelta(t, r.milliamps, leak.Touch.Value*1e3, digit(r.milliamps, 1e-4), "touch current")
				assert.InDelta(t, r.shunt, leak.Shunt.Value, digit(r.shunt, 1e-4), "shunt")
				require.Len(t, leak.Meters, 3)
				for i, want := range []float64{r.digital, r.oneMeg, r.quarterMeg} {
					assert.InDelta(t, want, leak.Meters[i].Reading.Value, digit(want, 0.1), "meter %g", leak.Meters[i].Ohms)
					assert.Equal(t, want > 0.97*table.volts, leak.Meters[i].Undetermined, "meter %g", leak.Meters[i].Ohms)
				}
				assert.Equal(t, mains.State{}, leak.Touch.State, "the capacitor is hot with the plug straight")
			})
		}
	}
}

// What technicians meet; common practice, no source.
func TestCommonPractice(t *testing.T) {
	for _, c := range []struct {
		name      string
		source    mains.Source
		low, high float64 // V on 10 MΩ
	}{
		{"10 nF noise capacitor", fromLine(120, 60, 10e-9), 115, 125},
		{"50 nF noise capacitor", fromLine(120, 60, 50e-9), 115, 125},
		{"cut loose, 50 pF of stray", mains.Source{Volts: 120, Hertz: 60, Stray: 50e-12}, 20, 60},
		{"cut loose, 150 pF of stray", mains.Source{Volts: 120, Hertz: 60, Stray: 150e-12}, 20, 60},
	} {
		t.Run(c.name, func(t *testing.T) {
			leak, err := mains.Leakage(c.source, mains.DigitalOhms)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, leak.Meters[0].Reading.Value, c.low)
			assert.LessOrEqual(t, leak.Meters[0].Reading.Value, c.high)
		})
	}
	t.Run("50 nF after an earthed cord", func(t *testing.T) {
		s := fromLine(120, 60, 50e-9)
		s.Bond = 0.2
		leak, err := mains.Leakage(s)
		require.NoError(t, err)
		assert.Positive(t, leak.Bonded.Value)
		assert.Less(t, leak.Bonded.Value, mains.EarthedMost)
		within(t, leak.Earth.Value*0.2, leak.Bonded.Value, 1e-9, "Ohm's law on the bond")
	})
}

// Both sides: Isc = 2πf·E·C of what is hot, reading on 10 MΩ from
// E_th = E·C_L/(C_L + C_N).
func TestTwoCapacitorsByThevenin(t *testing.T) {
	const e, f, cl, cn, stray = 120.0, 60.0, 4.7e-9, 10e-9, 300e-12
	s := mains.Source{Volts: e, Hertz: f, Stray: stray, Capacitors: []mains.Capacitor{
		{Farads: cl, From: mains.Line}, {Farads: cn, From: mains.Neutral}}}
	leak, err := mains.Leakage(s, mains.OneMegOhms)
	require.NoError(t, err)
	omega := 2 * math.Pi * f
	for _, c := range []struct {
		name  string
		state mains.State
		hot   float64 // F from the hot conductor
	}{
		{"straight", mains.State{}, cl + stray},
		{"reversed", mains.State{Reversed: true}, cn},
		{"switched off in the hot conductor", mains.State{Off: true}, 0},
		{"switched off in the earthed conductor", mains.State{Reversed: true, Off: true}, cl + cn + stray},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := find(t, leak, c.state)
			assert.InDelta(t, omega*e*c.hot, got.Earth, 1e-12, "earth current")
			all := cl + cn + stray
			open := e * c.hot / all
			want := open * 1e6 / math.Hypot(1e6, 1/(omega*all))
			assert.InDelta(t, want, got.Meters[0], 1e-9*e, "reading on 1 MΩ")
		})
	}
	assert.Equal(t, mains.State{Reversed: true, Off: true}, leak.Touch.State)
}

func find(t *testing.T, l mains.Leak, s mains.State) mains.Case {
	t.Helper()
	for _, c := range l.Cases {
		if c.State == s {
			return c
		}
	}
	require.Fail(t, "no such state")
	return mains.Case{}
}

// An equal pair halves the open voltage and leaves the short-circuit current.
func TestEqualPair(t *testing.T) {
	pair := fromLine(230, 50, 10e-9)
	pair.Capacitors = append(pair.Capacitors, mains.Capacitor{Farads: 10e-9, From: mains.Neutral})
	pair.Switch = mains.Both
	one, err := mains.Leakage(fromLine(230, 50, 10e-9), 100e6)
	require.NoError(t, err)
	two, err := mains.Leakage(pair, 100e6)
	require.NoError(t, err)
	within(t, one.Earth.Value, two.Earth.Value, 1e-9, "short-circuit current")
	within(t, one.Meters[0].Reading.Value/2, two.Meters[0].Reading.Value, 0.001, "open voltage")
}

// Where the switch is and on which side of it the capacitors stand.
func TestSwitch(t *testing.T) {
	const e, f, cl, cn, stray = 230.0, 50.0, 1e-9, 2.2e-9, 200e-12
	for _, c := range []struct {
		name               string
		opens              mains.Conductor
		before             bool
		straight, reversed float64 // F hot with the switch open
	}{
		{"line, behind", mains.Line, false, 0, cl + cn + stray},
		{"neutral, behind", mains.Neutral, false, cl + cn + stray, 0},
		{"both, behind", mains.Both, false, 0, 0},
		{"line, before", mains.Line, true, cl, cn + stray},
		{"neutral, before", mains.Neutral, true, cl + stray, cn},
		{"both, before", mains.Both, true, cl, cn},
	} {
		t.Run(c.name, func(t *testing.T) {
			leak, err := mains.Leakage(mains.Source{Volts: e, Hertz: f, Stray: stray, Switch: c.opens, Before: c.before,
				Capacitors: []mains.Capacitor{{Farads: cl, From: mains.Line}, {Farads: cn, From: mains.Neutral}}})
			require.NoError(t, err)
			omega := 2 * math.Pi * f
			assert.InDelta(t, omega*e*c.straight, find(t, leak, mains.State{Off: true}).Earth, 1e-12)
			assert.InDelta(t, omega*e*c.reversed, find(t, leak, mains.State{Reversed: true, Off: true}).Earth, 1e-12)
			assert.InDelta(t, omega*e*(cl+stray), find(t, leak, mains.State{}).Earth, 1e-12, "switched on")
		})
	}
}

// The networks' impedances: 1985.7 Ω for figure 4 at 60 Hz, 1494.6 and 1496.3 Ω
// for the shunt at 60 and 50 Hz (computed from IEC 60990 and UL 101).
func TestNetworkImpedance(t *testing.T) {
	for _, c := range []struct {
		name         string
		hertz        float64
		shunt, total float64
	}{
		{"60 Hz", 60, 1494.6, 1985.7},
		{"50 Hz", 50, 1496.3, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			// A capacitor so large that the whole mains stands on the load.
			leak, err := mains.Leakage(fromLine(100, c.hertz, 1))
			require.NoError(t, err)
			if c.total > 0 {
				within(t, c.total, 100/leak.Network.Value, 1e-4, "figure 4")
			}
			small, err := mains.Leakage(fromLine(100, c.hertz, 1e-12))
			require.NoError(t, err)
			within(t, c.shunt, small.Shunt.Value/small.Earth.Value, 1e-4, "shunt")
		})
	}
}

func TestNothingThere(t *testing.T) {
	leak, err := mains.Leakage(mains.Source{Volts: 120, Hertz: 60}, mains.DigitalOhms)
	require.NoError(t, err)
	assert.Zero(t, leak.Touch.Value)
	assert.Zero(t, leak.Meters[0].Reading.Value)
	assert.False(t, leak.Meters[0].Undetermined)
}

func TestLeakageRefuses(t *testing.T) {
	sound := fromLine(120, 60, 1e-9)
	for _, c := range []struct {
		name  string
		spoil func(*mains.Source)
		says  string
	}{
		{"no voltage", func(s *mains.Source) { s.Volts = 0 }, "mains voltage is 0"},
		{"frequency not a number", func(s *mains.Source) { s.Hertz = math.NaN() }, "mains frequency: not a finite number"},
		{"negative capacitor", func(s *mains.Source) { s.Capacitors = []mains.Capacitor{{Farads: -1e-9}} }, "line capacitor 1 is -1e-09"},
		{"capacitor from both", func(s *mains.Source) { s.Capacitors = []mains.Capacitor{{Farads: 1e-9, From: mains.Both}} }, "line capacitor 1 comes from neither"},
		{"infinite stray", func(s *mains.Source) { s.Stray = math.Inf(1) }, "stray capacitance: not a finite number"},
		{"negative bond", func(s *mains.Source) { s.Bond = -1 }, "earth bond is -1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := sound
			c.spoil(&s)
			_, err := mains.Leakage(s)
			assert.ErrorContains(t, err, c.says)
		})
	}
	_, err := mains.Leakage(sound, mains.DigitalOhms, 0)
	assert.ErrorContains(t, err, "resistance of meter 2 is 0")
}

func BenchmarkLeakage(b *testing.B) {
	s := fromLine(120, 60, 10e-9)
	s.Capacitors = append(s.Capacitors, mains.Capacitor{Farads: 4.7e-9, From: mains.Neutral})
	s.Stray = 300e-12
	for b.Loop() {
		if _, err := mains.Leakage(s, mains.DigitalOhms, mains.OneMegOhms, mains.AnalogueOhms); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleLeakage() {
	set := mains.Source{
		Volts: 120, Hertz: 60,
		Capacitors: []mains.Capacitor{{Farads: 10e-9, From: mains.Line}},
		Stray:      300e-12,
		Switch:     mains.Line,
	}
	leak, err := mains.Leakage(set, mains.DigitalOhms)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("touch current %.2f mA, plug reversed: %t\n", leak.Touch.Value*1e3, leak.Touch.State.Reversed)
	fmt.Printf("10 MΩ reads %.0f V, undetermined: %t\n", leak.Meters[0].Reading.Value, leak.Meters[0].Undetermined)
	fmt.Println("danger on a two-wire cord:", mains.Judge(mains.TwoWire, leak.Touch.Value).Class == mains.Danger)
	// Output:
	// touch current 0.47 mA, plug reversed: false
	// 10 MΩ reads 120 V, undetermined: true
	// danger on a two-wire cord: false
}
