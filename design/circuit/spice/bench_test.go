package spice_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/design/circuit/spice"
)

// What .ci/bench holds against ngspice as a process: the decks it gives ngspice
// are these, with a card that lets a plain batch run solve them.
func BenchmarkDeck(b *testing.B) {
	for _, bench := range []struct {
		name, deck string
		rest       bool // its operating point instead of its course
	}{
		{"operating-point", "sequence", true}, // of the Larkmoor Seven's return and drive
		{"transient", "sequence", false},
		{"steady-state", "drive-doubler-one-side", false},
	} {
		b.Run(bench.name, func(b *testing.B) {
			file, err := os.Open("../../../testdata/oracle/" + bench.deck + ".cir")
			require.NoError(b, err)
			defer file.Close()
			deck, err := spice.Read(file)
			require.NoError(b, err)
			if bench.rest {
				deck.Analysis, deck.Measures = spice.Analysis{Kind: spice.OperatingPoint}, nil
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := deck.Solve(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
