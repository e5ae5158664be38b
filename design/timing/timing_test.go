package timing

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/circuit"
	"mutewright/design/drive"
	"mutewright/design/lifted"
)

const ms = 1e-3

// plain is one coil on a stiff rail whose low end the line grounds, with an
// armature that needs no time.
func plain(volts, ohms, henries float64, clamp drive.Clamp, letGo float64) Interface {
	return Interface{
		Drives: []Drive{{
			Drive: drive.Drive{
				Rail: drive.Rail{Volts: volts}, Warmth: drive.AtTwenty,
				Coils: []drive.Coil{{
					Ohms: ohms, Rated: 12, Operate: 0.8, Release: 0.1, Ambient: 20, Rise: 150, Limit: 105, Clamp: clamp,
				}},
			},
			Relays: []Relay{{Open: henries, Closed: henries, LetGo: letGo}},
		}},
		Guards:      []Guard{{}},
		Transmitter: Transmitter{KeyToRF: 15 * ms},
	}
}

// square is a diode of 0.7 V at 10 mA that hardly depends on its current.
var square = circuit.DiodeModel{IS: 10e-3 * math.Exp(-0.7/(0.1*0.0258649)), N: 0.1}

// Times of the release table (computed from the closed form with clamps of 0.7,
// 12.7 and 24.7 V), held within 0.05 ms through key, coil and clamp.
func TestReleaseOfTheTable(t *testing.T) {
	for _, coil := range []struct {
		ohms, henries float64
		want          [2][3]float64 // ms; at 0.1 and 0.3 of the current; diode, 12 V, 24 V zener
	}{
		{960, 1.63, [2][3]float64{{3.23, 0.98, 0.59}, {1.84, 0.71, 0.44}}},
		{275, 2.29, [2][3]float64{{15.82, 4.79, 2.90}, {9.02, 3.46, 2.16}}},
	} {
		for i, letGo := range []float64{0.1, 0.3} {
			for k, clamp := range []drive.Clamp{
				{Kind: drive.DiodeClamp, Diode: square},
				{Kind: drive.DiodeAndZener, Zener: 12, Diode: square},
				{Kind: drive.DiodeAndZener, Zener: 24, Diode: square},
			} {
				t.Run(fmt.Sprintf("%g ohm, let go at %g, clamp %d", coil.ohms, letGo, k), func(t *testing.T) {
					s, err := Solve(plain(12, coil.ohms, coil.henries, clamp, letGo))
					require.NoError(t, err)
					assert.InDelta(t, coil.want[i][k], s.Released/ms, 0.05)
				})
			}
		}
	}
}

// The current of a coil behind a dropper rises as I·(1 − e^(−t·(R+Rd)/L)).
func TestOperateAgainstTheClosedForm(t *testing.T) {
	for _, tt := range []struct{ volts, dropper float64 }{{12, 0}, {15, 0}, {15, 100}, {17, 220}} {
		in := plain(tt.volts, 960, 0.85, drive.Clamp{Kind: drive.DiodeClamp}, 0.1)
		in.Drives[0].Drive.Coils[0].Dropper = tt.dropper
		in.Drives[0].Relays[0].OperateTravel, in.Drives[0].Relays[0].Bounce = 2*ms, 1*ms
		s, err := Solve(in)
		require.NoError(t, err)
		ohms := 960 + tt.dropper
		want := 0.85 / ohms * math.Log(1/(1-0.8*12/960*ohms/tt.volts))
		assert.InEpsilon(t, want, s.Relays[0].Down.Starts, 0.001)
		assert.InDelta(t, s.Relays[0].Down.Starts+3*ms, s.Shorted, 1e-9)
		assert.InDelta(t, 15*ms-s.Shorted, s.Margins.Key, 1e-9)
	}
}

// A supply that stays on while the coil's low side is keyed does not slow the
// release; a capacitor that hangs on the coil does, as one does that is keyed on
// the side of the mains: 470 µF and 1028 Ω from 15.7 V to 1.2 V, R·C·ln = 1.24 s.
func TestReservoirOnTheWrongSideOfTheKey(t *testing.T) {
	in := plain(15.7, 1028, 1.8, drive.Clamp{Kind: drive.DiodeClamp}, 0.1)
	before, err := Solve(in)
	require.NoError(t, err)
	in.Drives[0].Drive.Reservoir = 470e-6
	reservoir, err := Solve(in)
	require.NoError(t, err)
	assert.InDelta(t, before.Released, reservoir.Released, 1e-6)

	in.Drives[0].Drive.Coils[0].Hold = drive.Hold{Farads: 470e-6}
	held, err := Solve(in)
	require.NoError(t, err)
	assert.InDelta(t, 1.24, held.Released, 0.005)
	assert.InDelta(t, 1028*470e-6*math.Log(15.7/1.2), held.Released, 0.003)
}

// The doubler of the Larkmoor: its reservoir hardly moves while the coil pulls
// in, so that coil and dropper follow the closed form on it to a hundredth.
func TestTheDoublerIsNearlyStiff(t *testing.T) {
	in := larkmoor(t)
	s, err := Solve(in)
	require.NoError(t, err)
	steady, err := drive.Solve(in.Drives[0].Drive)
	require.NoError(t, err)
	const ohms = 1028 + 220
	want := open1028 / ohms * math.Log(1/(1-9.0/1028*ohms/steady.Supply.Released))
	assert.InEpsilon(t, want, s.Relays[0].Down.Starts, 0.01)
	assert.InEpsilon(t, steady.Coils[0].Amps, amperesAtLetGo(t, in), 0.02)
}

// amperesAtLetGo is the coil's current at the end of a transmission.
func amperesAtLetGo(t *testing.T, in Interface) float64 {
	r, err := Trace(in, 0.5)
	require.NoError(t, err)
	s := r.Drives[0].Coils[0]
	return curve{s.Times, s.Values}.at(r.KeyUp)
}

// 22 µF from an output cathode to chassis keep the tube going for tens of
// milliseconds after its return has opened; returned to the lifted node they do
// not (brief of the project: 20 … 90 ms, solved with ngspice).
func TestOpenedIsNotMuted(t *testing.T) {
	in := larkmoor(t)
	in.Wanted = 100 // to 3 dB less than the final depth
	chassis, err := Solve(in)
	require.NoError(t, err)
	later := chassis.Muted - chassis.Opened
	assert.Greater(t, later, 20*ms)
	assert.Less(t, later, 150*ms)
	assert.Negative(t, chassis.Margins.Mute)
	assert.Positive(t, chassis.Margins.Key)

	r, changed, err := in.Lifts[0].Response.BypassToReturn()
	require.NoError(t, err)
	require.True(t, changed)
	in.Lifts = []Lift{{Response: r}}
	in.Wanted = 60
	returned, err := Solve(in)
	require.NoError(t, err)
	assert.Less(t, returned.Muted-returned.Opened, 1*ms)
	assert.InDelta(t, chassis.Opened, returned.Opened, 1e-9)

	_, changed, err = r.BypassToReturn()
	require.NoError(t, err)
	assert.False(t, changed, "there is nothing left on chassis")
}

// An output stage alone, its cathode seen by hand: at the opening its current
// goes on into the bypass, and the node rises with i/C.
func TestTheBypassIsChargedByTheTube(t *testing.T) {
	n := network(t, lifted.ToChassis)
	n.Points = n.Points[:1]
	n.Capacitor = lifted.Capacitor{}
	in := larkmoor(t)
	in.Lifts = []Lift{{Response: respond(t, n)}}
	r, err := Trace(in, 0.3)
	require.NoError(t, err)
	solved, err := lifted.Solve(n)
	require.NoError(t, err)
	cathode := solved.Receive().Points[0].Stages[0]
	node := curve{r.Lifts[0].Times, r.Lifts[0].Values}
	at := r.Sequence.Opened
	assert.InEpsilon(t, cathode.Cathode*10e3/10.24e3, node.at(at+1e-6), 0.01, "the node jumps to the cathode's voltage, less the divider")
	const span = 0.5e-3
	rise := (node.at(at+span) - node.at(at+1e-6)) / span
	assert.InEpsilon(t, cathode.Current/22e-6, rise, 0.25, "cathode current over capacitance, falling already")
}

func TestBothSensesAndAllHookups(t *testing.T) {
	base := larkmoor(t)
	with := func(mutes drive.Sense, hookup drive.Hookup, line drive.Line) Interface {
		in := base
		d := base.Drives[0]
		d.Drive.Hookup, d.Drive.Line = hookup, line
		if hookup.Buffer() != drive.NoBuffer {
			d.Drive.Buffer = drive.Buffer{Base: 10e3, BaseEmitter: 10e3}
		}
		if hookup == drive.LineFeedsCoil {
			// With a reservoir on the line the coil would let go after 0.8 s.
			d.Drive.Rectifier, d.Drive.Reservoir = drive.None, 0
		}
		in.Drives, in.Mutes = []Drive{d}, mutes
		return in
	}
	source := drive.Line{Source: true, Level: 14}
	low := drive.Line{Source: true, Level: 18, IdleLow: true}
	for _, tt := range []struct {
		name      string
		in        Interface
		onReceive bool
	}{
		{"grounded, coil on the line", with(drive.Grounded, drive.CoilOnLine, drive.Line{}), false},
		{"grounded, pnp", with(drive.Grounded, drive.LinePullsBase, drive.Line{}), false},
		{"grounded, npn on receive", with(drive.Grounded, drive.LineShortsBase, drive.Line{}), true},
		{"opened, npn", with(drive.Opened, drive.LineShortsBase, drive.Line{}), false},
		{"opened, coil on receive", with(drive.Opened, drive.CoilOnLine, drive.Line{}), true},
		{"opened, pnp on receive", with(drive.Opened, drive.LinePullsBase, drive.Line{}), true},
		{"raised, line feeds the coil", with(drive.Raised, drive.LineFeedsCoil, source), false},
		{"raised, npn", with(drive.Raised, drive.LineFeedsBase, source), false},
		{"raised, pnp on receive", with(drive.Raised, drive.LinePullsBase, low), true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s, err := Solve(tt.in)
			require.NoError(t, err)
			d, u := s.Relays[0].Down, s.Relays[0].Up
			relay := tt.in.Drives[0].Relays[0]
			down, up := relay.OperateTravel, relay.ReleaseTravel
			if tt.onReceive {
				down, up = up, down
			}
			assert.InDelta(t, down, d.Arrives-d.Starts, 1e-6)
			assert.InDelta(t, up, u.Arrives-u.Starts, 1e-6)
			assert.Equal(t, d.Arrives, s.Opened)
			assert.Equal(t, d.Settled, s.Shorted)
			assert.Equal(t, u.Arrives, s.Released)
			assert.Greater(t, s.Recovered, u.Settled)
			r, err := Trace(tt.in, 1) // long enough for the reservoir
			require.NoError(t, err)
			assert.InDelta(t, s.Opened, r.Sequence.Opened, 0.02*ms)
			assert.InDelta(t, s.Released, r.Sequence.Released, 0.1*ms)
			if tt.onReceive { // the electrical parts change places too
				d, u = u, d
			}
			assert.InDelta(t, 0.8, d.Starts/ms, 0.35, "operates")
			assert.InDelta(t, 2.3, u.Starts/ms, 0.35, "lets go")
		})
	}
}

// Two relays on two drives: a reed for the antenna, the signal relay for the
// return. Each event comes from the relay that does it.
func TestSeveralRelays(t *testing.T) {
	in := larkmoor(t)
	alone, err := Solve(in)
	require.NoError(t, err)
	reed := plain(12, 1000, 0.4, drive.Clamp{Kind: drive.DiodeClamp}, 0.3).Drives[0]
	reed.Relays[0].OperateTravel, reed.Relays[0].ReleaseTravel, reed.Relays[0].Bounce = 0.2*ms, 0.1*ms, 0.2*ms
	in.Drives = append(in.Drives, reed)
	in.Guards = []Guard{{Relay: 1}}
	s, err := Solve(in)
	require.NoError(t, err)
	require.Len(t, s.Relays, 2)
	assert.Equal(t, alone.Opened, s.Opened)
	assert.Equal(t, alone.Muted, s.Muted)
	assert.Equal(t, s.Relays[1].Down.Settled, s.Shorted)
	assert.Equal(t, s.Relays[1].Up.Arrives, s.Released)
	assert.Less(t, s.Released, alone.Released)

	// Two coils of one drive, in parallel: the dropper of each is its own.
	in.Drives[0].Drive.Coils = append(in.Drives[0].Drive.Coils, in.Drives[0].Drive.Coils[0])
	in.Drives[0].Relays = append(in.Drives[0].Relays, in.Drives[0].Relays[0])
	in.Drives, in.Guards = in.Drives[:1], []Guard{{Relay: 1}}
	both, err := Solve(in)
	require.NoError(t, err)
	assert.InDelta(t, both.Opened, both.Relays[1].Down.Arrives, 1e-9)
	assert.InDelta(t, alone.Opened, both.Opened, 0.05*ms)
}

// An audio short adds its depth from the instant at which it is made.
func TestAGuardThatMutes(t *testing.T) {
	in := larkmoor(t)
	in.Lifts, in.Guards, in.Wanted = nil, []Guard{{Depth: 45}}, 40
	s, err := Solve(in)
	require.NoError(t, err)
	assert.InDelta(t, s.Shorted, s.Muted, 1e-6)
	assert.InDelta(t, s.Released, s.Recovered, 1e-6)
	assert.Equal(t, 45.0, s.Final)
	assert.Zero(t, s.Opened)

	in.Guards = []Guard{{}}
	s, err = Solve(in)
	require.NoError(t, err)
	assert.Zero(t, s.Final)
	assert.Zero(t, s.Muted)
	assert.False(t, s.Silent, "nothing mutes")

	in.Guards = []Guard{{Depth: 0.8}}
	s, err = Solve(in)
	require.NoError(t, err)
	assert.False(t, s.Silent, "nobody hears it")
	assert.Zero(t, s.Margins.Mute)
	assert.True(t, s.Restored, "it was never farther than that from full gain")
}

// cornersOf puts the Larkmoor into its corners, the relay as the sheet
// says or of another speed.
func cornersOf(t testing.TB, operate, release float64, change func(*Interface)) Corners {
	t.Helper()
	var c Corners
	nominal := larkmoor(t)
	if change != nil {
		change(&nominal)
	}
	for i := range c {
		in := nominal
		corner := Corner(i)
		d := nominal.Drives[0]
		coil := d.Drive.Coils[0]
		ratio := map[Corner]float64{LatestOperate: 0.9, LatestRelease: 1.1, EarliestRelease: 0.9, EarliestOperate: 1.1, EarliestHeld: 0.9, LatestHeld: 1.1}[corner]
		hot := corner == LatestOperate || corner == EarliestRelease || corner == LatestHeld
		part, letGo, bounce := 1.0, coil.Release, 3*ms
		if !corner.late() {
			part, bounce = Quick, 0
		}
		if corner == EarliestRelease || corner == EarliestHeld {
			letGo = 0.4
			in.Phase = BeforeCrest
		}
		full, err := Sheet{Operate: operate, Release: release}.Travel(coil, open1028, closed1028, 1)
		require.NoError(t, err)
		travel := full.Times(part)
		d.Drive.Winding.Volts *= ratio
		d.Drive.Winding.Drawn *= ratio
		d.Drive.Warmth = drive.Fresh
		coil.Ambient = 20
		if hot {
			d.Drive.Warmth, coil.Ambient = drive.Settled, 50
		}
		d.Drive.Coils = []drive.Coil{coil}
		d.Relays = []Relay{{Open: open1028, Closed: closed1028, LetGo: letGo,
			OperateTravel: travel.Operate, ReleaseTravel: travel.Release, Bounce: bounce}}
		in.Drives = []Drive{d}
		c[i] = in
	}
	return c
}

func TestWorstTakesEachEndFromItsCorner(t *testing.T) {
	c := cornersOf(t, 4*ms, 4*ms, nil)
	var s [corners]Sequence
	for i := range c {
		var err error
		s[i], err = Solve(c[i])
		require.NoError(t, err)
	}
	// The steady states are sought from one another in Worst, from nothing in Solve.
	same := func(seconds float64, corner Corner, e End) {
		t.Helper()
		assert.InDelta(t, seconds, e.Seconds, 5e-6)
		assert.Equal(t, corner, e.Corner)
	}
	e, err := Worst(c)
	require.NoError(t, err)
	same(s[LatestOperate].Opened, LatestOperate, e.Opened)
	same(s[LatestOperate].Shorted, LatestOperate, e.Shorted)
	same(s[LatestOperate].Muted, LatestOperate, e.Muted)
	same(s[EarliestRelease].Released, EarliestRelease, e.Released)
	same(s[LatestRelease].Recovered, LatestRelease, e.Recovered)
	same(s[LatestOperate].Margins.Key, LatestOperate, e.Key)
	same(s[EarliestRelease].Margins.Tail, EarliestRelease, e.Tail)
	same(s[LatestOperate].Margins.Mute, LatestOperate, e.Mute)
	for i := range s { // each is the end of all four, and of the nominal case
		assert.LessOrEqual(t, s[i].Shorted, e.Shorted.Seconds+5e-6)
		assert.GreaterOrEqual(t, s[i].Released, e.Released.Seconds-5e-6)
		assert.LessOrEqual(t, s[i].Recovered, e.Recovered.Seconds+5e-6)
	}
	nominal, err := Solve(larkmoor(t))
	require.NoError(t, err)
	assert.Less(t, nominal.Shorted, e.Shorted.Seconds)
	assert.Greater(t, nominal.Released, e.Released.Seconds)
	assert.Less(t, nominal.Recovered, e.Recovered.Seconds)

	t.Run("energised on receive", func(t *testing.T) {
		c := cornersOf(t, 4*ms, 4*ms, func(in *Interface) { in.Mutes = drive.Opened })
		e, err := Worst(c)
		require.NoError(t, err)
		assert.Equal(t, LatestRelease, e.Key.Corner)
		assert.Equal(t, EarliestOperate, e.Tail.Corner)
		assert.Equal(t, LatestOperate, e.Recovered.Corner)

		with, changed := c.WithZener(12, Spread{})
		require.True(t, changed)
		after, err := Worst(with)
		require.NoError(t, err)
		gain := Buys(e, after)
		assert.Greater(t, gain.Key, 1*ms, "a zener helps where the coil lets go to mute")
		assert.InDelta(t, 0, gain.Tail, 1e-6)

		spread, _ := c.WithZener(12, Spread{0.1, 0.1})
		low, _ := c.WithZener(12*0.9, Spread{})
		between, err := Worst(spread)
		require.NoError(t, err)
		lower, err := Worst(low)
		require.NoError(t, err)
		assert.InDelta(t, lower.Key.Seconds, between.Key.Seconds, 1e-9, "the latest release is that of the lowest zener")
		assert.Less(t, between.Key.Seconds, after.Key.Seconds)
	})
	t.Run("another interface", func(t *testing.T) {
		c[EarliestOperate].Guards = nil
		_, err := Worst(c)
		assert.ErrorContains(t, err, "another interface")
	})
}

// E6 from 0.1 µF to 1000 µF.
func capacitors() (values []float64) {
	for decade := 1e-7; decade < 1e-3; decade *= 10 {
		for _, v := range []float64{1, 1.5, 2.2, 3.3, 4.7, 6.8} {
			values = append(values, v*decade)
		}
	}
	return values
}

func TestRemedies(t *testing.T) {
	t.Run("a slow relay and RF after 2 ms", func(t *testing.T) {
		rf := func(in *Interface) { in.Transmitter.KeyToRF = 2 * ms }
		slow := cornersOf(t, 15*ms, 8*ms, rf)
		fast := cornersOf(t, 1*ms, 1*ms, rf)
		for i := range fast {
			fast[i].Drives[0].Relays[0].Bounce /= 10
		}
		now, err := Worst(slow)
		require.NoError(t, err)
		tries, err := Remedies(slow, now, Shelf{Faster: &fast, Zener: 12})
		require.NoError(t, err)
		assert.Negative(t, now.Key.Seconds)
		by := map[Remedy]Try{}
		var delays []Try
		for _, try := range tries {
			by[try.Remedy] = try
			if try.Remedy == Delay {
				delays = append(delays, try)
			}
		}
		assert.Greater(t, by[FasterRelay].Buys.Key, 10*ms)
		assert.Negative(t, by[Zener].Buys.Tail, "a zener only worsens the tail")
		assert.InDelta(t, 0, by[Zener].Buys.Key, 1e-6)
		assert.Greater(t, by[BypassToReturn].Buys.Mute, 10*ms)
		require.Len(t, delays, 2, "the guard wants another delay than silence does")
		assert.InDelta(t, Enough, delays[0].Ends.Key.Seconds, 1e-9)
		assert.Negative(t, delays[0].Ends.Mute.Seconds)
		assert.InDelta(t, Enough, delays[1].Ends.Mute.Seconds, 1e-9)

		both, changed, err := fast.WithBypassToReturn()
		require.NoError(t, err)
		require.True(t, changed)
		after, err := Worst(both)
		require.NoError(t, err)
		assert.Positive(t, after.Key.Seconds, "with the faster relay the guard is in time")
		assert.Greater(t, after.Mute.Seconds, by[FasterRelay].Ends.Mute.Seconds)
	})
	t.Run("a tail of 5 ms", func(t *testing.T) {
		c := cornersOf(t, 4*ms, 4*ms, func(in *Interface) { in.Transmitter.Tail = 5 * ms })
		now, err := Worst(c)
		require.NoError(t, err)
		tries, err := Remedies(c, now, Shelf{HoldOhms: 100, HoldValues: capacitors()})
		require.NoError(t, err)
		assert.Negative(t, now.Tail.Seconds)
		require.Equal(t, Hold, tries[0].Remedy)
		hold := tries[0]
		assert.GreaterOrEqual(t, hold.Ends.Tail.Seconds, Enough)
		assert.Less(t, hold.Value, 100e-6)
		assert.Negative(t, hold.Buys.Key, "behind the dropper the capacitor is charged first")

		values := capacitors()
		for i, v := range values { // the next smaller one is not enough
			if v == hold.Value {
				less, err := Worst(c.WithHold(drive.Hold{Farads: values[i-1], Ohms: 100}, Spread{}))
				require.NoError(t, err)
				assert.Less(t, less.Tail.Seconds, Enough)
			}
		}
		spread, err := c.HoldFor(Enough, 100, values, Spread{0.2, 0.5})
		require.NoError(t, err)
		assert.True(t, spread.Fits)
		low, err := Worst(c.WithHold(drive.Hold{Farads: 0.8 * spread.Farads, Ohms: 100}, Spread{}))
		require.NoError(t, err)
		assert.InDelta(t, low.Tail.Seconds, spread.Ends.Tail.Seconds, 1e-6, "the tail is held by what it has at least")
		high, err := Worst(c.WithHold(drive.Hold{Farads: 1.5 * spread.Farads, Ohms: 100}, Spread{}))
		require.NoError(t, err)
		assert.InDelta(t, high.Key.Seconds, spread.Ends.Key.Seconds, 1e-6, "the other margin pays for what it has at most")
		none, err := c.HoldFor(10, 100, values[:3], Spread{})
		require.NoError(t, err)
		assert.False(t, none.Fits)
		assert.Equal(t, values[2], none.Farads)
	})
}

func TestTravelOfASheet(t *testing.T) {
	coil := doubler().Coils[0]
	rising := open1028 / 1028 * math.Log(1/(1-0.75))
	full, err := Sheet{Operate: 4 * ms, Release: 4 * ms}.Travel(coil, open1028, closed1028, 1)
	require.NoError(t, err)
	assert.InDelta(t, 4*ms-rising, full.Operate, 2e-6)
	assert.InDelta(t, 4*ms, full.Release, 0.05*ms, "without a clamp the current is gone at once")
	usual, err := Sheet{Operate: 4 * ms, Release: 4 * ms}.Travel(coil, open1028, closed1028, Usual)
	require.NoError(t, err)
	assert.InDelta(t, 3*ms-rising, usual.Operate, 2e-6)
	clamped, err := Sheet{Operate: 4 * ms, Release: 6 * ms, Clamp: coil.Clamp}.Travel(coil, open1028, closed1028, 1)
	require.NoError(t, err)
	assert.InDelta(t, 2.6, clamped.Release/ms, 0.1)
	short, err := Sheet{Operate: 1 * ms, Release: 1 * ms, Clamp: coil.Clamp}.Travel(coil, open1028, closed1028, 1)
	require.NoError(t, err)
	assert.Equal(t, Travel{0.2 * ms, 0.2 * ms}, short, "not under a fifth")
}

func TestTraceHoldsWhatHappens(t *testing.T) {
	in := larkmoor(t)
	in.Transmitter.Tail = 3 * ms
	r, err := Trace(in, 0.15)
	require.NoError(t, err)
	s, err := Solve(in)
	require.NoError(t, err)
	assert.InDelta(t, s.Opened, r.Sequence.Opened, 1e-6)
	assert.InDelta(t, s.Released, r.Sequence.Released, 0.1*ms)
	assert.InDelta(t, 0.153, r.RFOff, 1e-12)
	for _, series := range []Series{r.Drives[0].Supply, r.Drives[0].Coils[0], r.Lifts[0], r.Depth} {
		require.Len(t, series.Values, len(series.Times))
		assert.LessOrEqual(t, len(series.Times), MostPoints)
		assert.Equal(t, r.Until, series.Times[len(series.Times)-1])
		assert.LessOrEqual(t, series.Times[0], 0.0)
		for i := 1; i < len(series.Times); i++ {
			require.GreaterOrEqual(t, series.Times[i], series.Times[i-1])
		}
	}
	require.Len(t, r.Contacts, 2)
	assert.True(t, r.Contacts[0].Closed)
	assert.False(t, r.Contacts[1].Closed)
	assert.InDelta(t, 0.15+r.Sequence.Released, r.Contacts[1].Up.Arrives, 1e-12)
	again, err := Trace(in, 0.15)
	require.NoError(t, err)
	assert.Equal(t, r, again)
}

func TestWhatHasNoAnswer(t *testing.T) {
	t.Run("a coil that does not pull in", func(t *testing.T) {
		_, err := Solve(plain(8, 960, 0.85, drive.Clamp{Kind: drive.DiodeClamp}, 0.1))
		assert.ErrorIs(t, err, ErrStill)
	})
	t.Run("a line whose leakage keeps it", func(t *testing.T) {
		in := plain(12, 960, 0.85, drive.Clamp{Kind: drive.DiodeClamp}, 0.1)
		in.Drives[0].Drive.Line.Leakage = 3e-3
		_, err := Solve(in)
		assert.ErrorIs(t, err, ErrStill)
	})
	good := func() Interface { return plain(12, 960, 0.85, drive.Clamp{Kind: drive.DiodeClamp}, 0.1) }
	for _, tt := range []struct {
		says  string
		wrong func(*Interface)
	}{
		{"needs a relay", func(in *Interface) { in.Drives, in.Guards = nil, nil }},
		{"1 coils and 0 relays", func(in *Interface) { in.Drives[0].Relays = nil }},
		{"relay 1: inductances", func(in *Interface) { in.Drives[0].Relays[0].Closed = 0 }},
		{"relay 1: it must let go", func(in *Interface) { in.Drives[0].Relays[0].LetGo = 0.8 }},
		{"relay 1: bounce", func(in *Interface) { in.Drives[0].Relays[0].Bounce = math.NaN() }},
		{"guard 1 names relay 2 of 1", func(in *Interface) { in.Guards[0].Relay = 1 }},
		{"lift 1 has no response", func(in *Interface) { in.Lifts = []Lift{{}} }},
		{"tail of the RF", func(in *Interface) { in.Transmitter.Tail = -1 }},
		{"phase", func(in *Interface) { in.Phase = math.Inf(1) }},
		{"voltage of the rail", func(in *Interface) { in.Drives[0].Drive.Rail.Volts = 0 }},
	} {
		t.Run(tt.says, func(t *testing.T) {
			in := good()
			tt.wrong(&in)
			_, err := Solve(in)
			assert.ErrorContains(t, err, tt.says)
		})
	}
	_, err := Trace(good(), 0)
	assert.ErrorContains(t, err, "transmission")
	_, err = Respond(lifted.Network{})
	assert.Error(t, err)
}

func TestThinKeepsTheCourse(t *testing.T) {
	var c curve
	for i := range 20000 {
		x := float64(i) / 1000
		c.times, c.values = append(c.times, x), append(c.values, math.Sin(x*x))
	}
	s := thin(c)
	assert.LessOrEqual(t, len(s.Times), MostPoints)
	assert.Greater(t, len(s.Times), MostPoints/4)
	near := curve{s.Times, s.Values}
	for i, x := range c.times {
		require.InDelta(t, c.values[i], near.at(x), 0.1)
	}
	flat := thin(curve{[]float64{0, 1, 2}, []float64{5, 5, 5}})
	assert.Equal(t, Series{[]float64{0, 2}, []float64{5, 5}}, flat)
}
