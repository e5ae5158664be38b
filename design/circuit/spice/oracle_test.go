package spice_test

import (
	"flag"
	"testing"

	"mutewright/design/circuit/spice"
)

var _ = flag.Bool("update", false, "record the decks anew from ngspice")

// The decks of the engine itself: rectifiers (6.3 V winding, as in the
// project's table of rectifier figures), coils, buffers, tubes, guards.
func TestOracle(t *testing.T) {
	for _, pattern := range []string{"rectifier-*.cir", "mains-*.cir", "coil-*.cir", "buffer-*.cir", "tube-*.cir", "network-*.cir"} {
		spice.CheckFolder(t, "../../../testdata/oracle", pattern)
	}
}
