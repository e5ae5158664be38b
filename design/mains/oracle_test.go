package mains_test

import (
	"flag"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/design/circuit/spice"
	"mutewright/design/mains"
)

var _ = flag.Bool("update", false, "record the decks anew from ngspice")

const oracle = "../../testdata/oracle/"

// The decks were written by hand from the standards' figures, not from what
// network makes of them. Engine and ngspice agree on them.
func TestOracle(t *testing.T) { spice.CheckFolder(t, oracle, "leakage-*.cir") }

// The answers of this package against ngspice's record of the same chassis:
// 0.2 % on voltages, 1 % on currents.
func TestTwoCapacitorsAgainstNgspice(t *testing.T) {
	leak, err := mains.Leakage(mains.Source{Volts: 230, Hertz: 50, Stray: 300e-12, Switch: mains.Line, Bond: 0.1,
		Capacitors: []mains.Capacitor{{Farads: 10e-9, From: mains.Line}, {Farads: 4.7e-9, From: mains.Neutral}},
	}, mains.OneMegOhms, mains.DigitalOhms)
	require.NoError(t, err)
	for _, c := range []struct {
		deck  string
		state mains.State
	}{
		{"leakage-straight", mains.State{}},
		{"leakage-reversed", mains.State{Reversed: true}},
		{"leakage-reversed-off", mains.State{Reversed: true, Off: true}},
	} {
		t.Run(c.deck, func(t *testing.T) {
			want := spice.Recorded(t, oracle+c.deck+".cir")
			got := find(t, leak, c.state)
			within(t, want["network"], got.Network, 0.01, "into the network of IEC 60990")
			within(t, want["earth"], got.Earth, 0.01, "in the earth wire")
			within(t, want["weighted"], got.Weighted*500, 0.002, "its output")
			within(t, want["body"], got.Touch*2000, 0.002, "on 2 kohm")
			within(t, want["shunt"], got.Shunt, 0.002, "on the shunt")
			within(t, want["meg"], got.Meters[0], 0.002, "on 1 Mohm")
			within(t, want["digital"], got.Meters[1], 0.002, "on 10 Mohm")
		})
	}
}
