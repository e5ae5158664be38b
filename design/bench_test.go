package design_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/plan"
)

func larkmoor(b *testing.B, cat *catalog.Catalog) *plan.Plan {
	data, err := os.ReadFile(plans + "/sound/larkmoor-seven.yaml")
	require.NoError(b, err)
	p, err := plan.Read("larkmoor-seven.yaml", data, cat)
	require.NoError(b, err)
	return p
}

// BenchmarkNew is everything that check does but for reading and printing: the
// choices and the worst case of a whole plan.
func BenchmarkNew(b *testing.B) {
	cat := catalog.Default()
	p := larkmoor(b, cat)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := design.New(p, cat); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPlots is what a sheet works out on top of that.
func BenchmarkPlots(b *testing.B) {
	cat := catalog.Default()
	d, err := design.New(larkmoor(b, cat), cat)
	require.NoError(b, err)
	for b.Loop() {
		if _, err := d.Plots(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkRank works every relay of the catalogue out, and of one ten times as
// long: the time is linear in it, less what all relays share.
func BenchmarkRank(b *testing.B) {
	for _, times := range []int{1, 10} {
		b.Run(fmt.Sprintf("%d times the catalogue", times), func(b *testing.B) {
			cat := longer(b, times)
			p := larkmoor(b, cat)
			for b.Loop() {
				if _, err := design.Rank(p, cat, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// longer is the catalogue with its relays so many times over, under other names.
func longer(b *testing.B, times int) *catalog.Catalog {
	if times == 1 {
		return catalog.Default()
	}
	var text strings.Builder
	text.WriteString("relays:\n")
	for k := 1; k < times; k++ {
		for _, r := range catalog.Default().Relays() {
			fmt.Fprintf(&text, "  %s-%d: {same_as: %s}\n", r.Name, k, r.Name)
		}
	}
	cat, err := catalog.Load("longer.yaml", []byte(text.String()))
	require.NoError(b, err)
	return cat
}
