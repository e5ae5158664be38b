package design_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/plan"
)

// BenchmarkNew is everything that check does but for reading and printing: the
// choices and the worst case of a whole plan.
func BenchmarkNew(b *testing.B) {
	data, err := os.ReadFile(plans + "/sound/larkmoor-seven.yaml")
	require.NoError(b, err)
	cat := catalog.Default()
	p, err := plan.Read("larkmoor-seven.yaml", data, cat)
	require.NoError(b, err)
	for b.Loop() {
		if _, err := design.New(p, cat); err != nil {
			b.Fatal(err)
		}
	}
}
