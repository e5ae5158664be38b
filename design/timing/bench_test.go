package timing

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/design/circuit/spice"
	"mutewright/design/drive"
	"mutewright/design/lifted"
)

// One corner with the drive's steady state and the return's response known.
func BenchmarkSolve(b *testing.B) {
	in := larkmoor(b)
	steady, err := drive.Solve(in.Drives[0].Drive)
	require.NoError(b, err)
	in.Drives[0].Steady = &steady
	for b.Loop() {
		if _, err := Solve(in); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRespond(b *testing.B) {
	n := network(b, lifted.ToChassis)
	for b.Loop() {
		if _, err := Respond(n); err != nil {
			b.Fatal(err)
		}
	}
}

// The deck of the whole interface, 1.3 s at the engine's own steps: what is held
// against ngspice's time on the same deck.
func BenchmarkSequence(b *testing.B) {
	file, err := os.Open("../../testdata/oracle/sequence.cir")
	require.NoError(b, err)
	defer file.Close()
	deck, err := spice.Read(file)
	require.NoError(b, err)
	for b.Loop() {
		if _, err := deck.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}
