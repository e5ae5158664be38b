package drive

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFits(t *testing.T) {
	source := Line{Source: true, Level: 13.8, IdleLow: true}
	open := Line{Source: true, Level: 13.8}
	tests := []struct {
		name   string
		wish   Wish
		misfit Misfit
		hookup Hookup
		fits   []Choice
	}{
		{"coil on a line that grounds", Wish{Grounded, OnTransmit, NoBuffer, false, Line{}, 17}, Fitting, CoilOnLine,
			[]Choice{{OnTransmit, NoBuffer, false}, {OnTransmit, PNP, false}, {OnReceive, NPN, false}}},
		{"pnp on a line that grounds", Wish{Grounded, OnTransmit, PNP, false, Line{}, 17}, Fitting, LinePullsBase,
			[]Choice{{OnTransmit, NoBuffer, false}, {OnTransmit, PNP, false}, {OnReceive, NPN, false}}},
		{"npn on a line that grounds, energised on receive", Wish{Grounded, OnReceive, NPN, false, Line{}, 17}, Fitting, LineShortsBase,
			[]Choice{{OnReceive, NPN, false}, {OnTransmit, NoBuffer, false}, {OnTransmit, PNP, false}}},
		{"npn on a line that grounds, energised on transmit", Wish{Grounded, OnTransmit, NPN, false, Line{}, 17}, WrongCircuit, CoilOnLine,
			[]Choice{{OnTransmit, NoBuffer, false}, {OnTransmit, PNP, false}, {OnReceive, NPN, false}}},
		{"coil on a line that grounds, energised on receive", Wish{Grounded, OnReceive, NoBuffer, false, Line{}, 17}, WrongCircuit, CoilOnLine,
			[]Choice{{OnReceive, NPN, false}, {OnTransmit, NoBuffer, false}, {OnTransmit, PNP, false}}},
		{"npn on a line that opens", Wish{Opened, OnTransmit, NPN, false, Line{}, 17}, Fitting, LineShortsBase,
			[]Choice{{OnTransmit, NPN, false}, {OnReceive, NoBuffer, false}, {OnReceive, PNP, false}}},
		{"coil on a line that opens", Wish{Opened, OnReceive, NoBuffer, false, Line{}, 17}, Fitting, CoilOnLine,
			[]Choice{{OnReceive, NoBuffer, false}, {OnReceive, PNP, false}, {OnTransmit, NPN, false}}},
		{"coil fed by a source", Wish{Raised, OnTransmit, NoBuffer, true, open, 0}, Fitting, LineFeedsCoil,
			[]Choice{{OnTransmit, NoBuffer, true}, {OnTransmit, NPN, false}}},
		{"coil beside a source", Wish{Raised, OnTransmit, NoBuffer, false, open, 12}, NeedsLineSupply, CoilOnLine,
			[]Choice{{OnTransmit, NoBuffer, true}, {OnTransmit, NPN, false}}},
		{"npn fed by a source", Wish{Raised, OnTransmit, NPN, false, open, 17}, Fitting, LineFeedsBase,
			[]Choice{{OnTransmit, NoBuffer, true}, {OnTransmit, NPN, false}}},
		{"pnp lifted by a source", Wish{Raised, OnReceive, PNP, false, source, 13}, Fitting, LinePullsBase,
			[]Choice{{OnReceive, PNP, false}, {OnTransmit, NoBuffer, true}, {OnTransmit, NPN, false}}},
		{"pnp above the source", Wish{Raised, OnReceive, PNP, false, source, 17}, LevelTooLow, LinePullsBase,
			[]Choice{{OnTransmit, NoBuffer, true}, {OnTransmit, NPN, false}}},
		{"pnp on a source that idles open", Wish{Raised, OnReceive, PNP, false, open, 13}, IdleNotLow, LinePullsBase,
			[]Choice{{OnTransmit, NoBuffer, true}, {OnTransmit, NPN, false}}},
		{"contact that should raise", Wish{Raised, OnTransmit, NPN, false, Line{}, 17}, LineNeverRises, LineFeedsBase, nil},
		{"source that should ground", Wish{Grounded, OnTransmit, NoBuffer, false, source, 17}, LineOnlyRises, CoilOnLine, nil},
		{"contact that should feed", Wish{Grounded, OnTransmit, NoBuffer, true, Line{}, 0}, LineHasNoPower, CoilOnLine,
			[]Choice{{OnTransmit, NoBuffer, false}, {OnTransmit, PNP, false}, {OnReceive, NPN, false}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := Fits(tt.wish)
			assert.Equal(t, Fit{tt.misfit, tt.hookup, tt.fits}, got)
			assert.Equal(t, tt.misfit == Fitting, got.OK())
		})
	}
}

// Whatever the table lets through energises its coil in the wished state of
// the line and in no other that the transmitter uses.
func TestEveryFitSwitchesTheRightWay(t *testing.T) {
	keyed := map[Sense]LineState{Grounded: LineGrounded, Opened: LineOpen, Raised: LineRaised}
	for _, row := range circuits {
		idle := LineGrounded // of a line that opens, and of a source that idles low
		if row.mutes == Grounded {
			idle = LineOpen
		}
		onTransmit := row.EnergisedOn == OnTransmit
		assert.Equal(t, onTransmit, row.hookup.Energises(keyed[row.mutes]), "%+v keyed", row)
		assert.Equal(t, !onTransmit, row.hookup.Energises(idle), "%+v idle", row)
		assert.Equal(t, row.Buffer, row.hookup.Buffer(), "%+v", row)
	}
}
