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
			assert.Equal(t, slices.DeleteFunc(slices.Clone(whole.Fitting.Readings), func(r fitting.Reading) bool { return r.State != "mains" }), alone.Fitting.Readings)
			assert.Equal(t, whole.Fitting.Mains, alone.Fitting.Mains)
			assert.Equal(t, whole.Refused, alone.Refused)
			assert.NotEmpty(t, alone.Fitting.Readings)
		})
	}
}
