package timing

import (
	"testing"

	"github.com/stretchr/testify/require"

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
