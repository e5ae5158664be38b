package design_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/finding"
	"mutewright/design/fitting"
)

// The mains side alone says what the whole design says of it, reading for
// reading under the same numbers.
func TestMainsAloneSaysTheSame(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"hurt/mains-touch-current", "hurt/mains-isolation", "sound/mains-switch-unknown"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			whole := work(t, name)
			alone, err := design.Mains(read(t, name), catalog.Default())
			require.NoError(t, err)

			is := func(name string) bool { return strings.HasPrefix(name, "mains.") }
			var said int
			for _, want := range whole.Quantities.All() {
				if !is(want.Name) {
					continue
				}
				said++
				got, ok := alone.Quantities.Get(want.Name)
				require.True(t, ok, want.Name)
				assert.Equal(t, [3]float64{want.Low, want.Nominal, want.High}, [3]float64{got.Low, got.Nominal, got.High}, want.Name)
				assert.Equal(t, want.Working, got.Working, want.Name)
			}
			assert.Len(t, alone.Quantities.All(), said)
			assert.Equal(t, slices.DeleteFunc(slices.Clone(whole.Findings), func(f finding.Finding) bool { return !is(f.ID) }), alone.Findings)
			readings := slices.DeleteFunc(slices.Clone(whole.Fitting.Readings), func(r fitting.Reading) bool { return r.State != "mains" })
			assert.Equal(t, unnumbered(whole, readings), unnumbered(alone, alone.Fitting.Readings))
			assert.Equal(t, whole.Fitting.Mains.Before, alone.Fitting.Mains.Before)
			require.Len(t, alone.Fitting.Mains.After, len(whole.Fitting.Mains.After))
			for i, want := range whole.Fitting.Mains.After {
				got := alone.Fitting.Mains.After[i]
				got.Readings, want.Readings = unnumbered(alone, got.Readings), unnumbered(whole, want.Readings)
				assert.Equal(t, want, got)
			}
			assert.Equal(t, whole.Refused, alone.Refused)
			assert.NotEmpty(t, alone.Fitting.Readings)
		})
	}
}

// unnumbered are readings without the numbers of those that come after the work:
// these follow whatever else is measured.
func unnumbered(d *design.Design, readings []fitting.Reading) []fitting.Reading {
	after := map[string]bool{}
	for _, step := range d.Fitting.Mains.After {
		for _, r := range step.Readings {
			after[r.ID] = true
		}
	}
	list := slices.Clone(readings)
	for i := range list {
		if after[list[i].ID] {
			list[i].ID = "after"
		}
	}
	return list
}
