package timing

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/design/drive"
	"mutewright/design/lifted"
)

// The output tube of the Larkmoor and its two IF tubes: figures of tube
// manuals, second-hand, the cut-off of the 6BA6 at 40 µS.
func laws(t testing.TB) (output, remote lifted.Law) {
	t.Helper()
	a, err := lifted.Fit([]lifted.Published{{Plate: 250, Screen: 250, Grid: -12.5, PlateCurrent: 45e-3, ScreenCurrent: 4.5e-3, Gm: 4.1e-3}}, nil, 250)
	require.NoError(t, err)
	b, err := lifted.Fit([]lifted.Published{
		{Plate: 250, Screen: 100, Grid: -1.03, PlateCurrent: 11e-3, ScreenCurrent: 4.2e-3, Gm: 4.4e-3},
		{Plate: 100, Screen: 100, Grid: -1.03, PlateCurrent: 10.8e-3, ScreenCurrent: 4.4e-3, Gm: 4.3e-3},
	}, []lifted.Remote{{Screen: 100, Grid: -20, Gm: 40e-6}}, 100)
	require.NoError(t, err)
	return a.Law, b.Law
}

// network is the lifted return of the Larkmoor Seven on its usual pulldown.
func network(t testing.TB, to lifted.BypassTo) lifted.Network {
	t.Helper()
	beam, remote := laws(t)
	stage := lifted.Stage{Tube: remote, CathodeResistor: 68, Bypass: 10e-9, ScreenResistor: 33e3}
	return lifted.Network{
		Rails: []lifted.Rail{{Volts: 250, Unloaded: 345, Resistance: 500, Capacitance: 40e-6}},
		Points: []lifted.Point{
			lifted.Output{
				Tube: beam, Count: 1, CathodeResistor: 240, Bypass: 22e-6, BypassTo: to,
				Transformer: lifted.Transformer{Load: 5e3, Resistance: 250, Inductance: 10, FullOutput: 4.5},
			},
			lifted.Gain{Frequency: 455e3, Control: lifted.Control{Value: 10e3}, Stages: []lifted.Stage{stage, stage}},
		},
		Pulldown: 10e3, Contact: 0.1, Capacitor: lifted.Capacitor{Farads: 10e-9},
		Heater: lifted.Heater{Peak: 6.3 * math.Sqrt2},
	}
}

func respond(t testing.TB, n lifted.Network) *Response {
	t.Helper()
	r, err := Respond(n)
	require.NoError(t, err)
	return r
}

// doubler is the drive of the Larkmoor Seven: a 12 V 1028 Ω signal relay on a
// doubler from 6.3 V, its line grounded by the transmitter.
func doubler() drive.Drive {
	return drive.Drive{
		Winding:   drive.Winding{Volts: 6.3, Crest: math.Sqrt2, Ohms: 0.15, Hertz: 60, Grounding: drive.OneSide, Drawn: 3.2, Rated: 4},
		Rectifier: drive.Doubler, Reservoir: 470e-6, Fuse: 0.2,
		Coils: []drive.Coil{{
			Ohms: 1028, Rated: 12, Operate: 0.75, Release: 0.10, Ambient: 20, Rise: 150, Limit: 105,
			Henries: 1.8, Dropper: 220, Clamp: drive.Clamp{Kind: drive.DiodeClamp},
		}},
		Hookup: drive.CoilOnLine, Warmth: drive.AtTwenty,
	}
}

// L/R of the signal classes is 0.9 ms with the armature off and 1.75 ms on.
const open1028, closed1028 = 0.9e-3 * 1028, 1.75e-3 * 1028

// larkmoor is the whole interface of the Larkmoor Seven in its nominal case.
func larkmoor(t testing.TB) Interface {
	t.Helper()
	d := doubler()
	travel, err := Sheet{Operate: 4e-3, Release: 4e-3}.Travel(d.Coils[0], open1028, closed1028, Usual)
	require.NoError(t, err)
	return Interface{
		Drives: []Drive{{Drive: d, Relays: []Relay{{
			Open: open1028, Closed: closed1028, LetGo: 0.25,
			OperateTravel: travel.Operate, ReleaseTravel: travel.Release, Bounce: Usual * 3e-3,
		}}}},
		Phase:  AfterCrest,
		Lifts:  []Lift{{Response: respond(t, network(t, lifted.ToChassis))}},
		Guards: []Guard{{}},
		Wanted: 60, Transmitter: Transmitter{KeyToRF: 15e-3},
	}
}
