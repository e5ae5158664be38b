package answer

import (
	"math"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/known"
	"mutewright/design/plan"
	"mutewright/design/spread"
)

// A part of the work on the returns brings all that it is named for, the same as
// the whole brings it, and nothing else.
func TestPartsOfTheReturnsMakeTheWhole(t *testing.T) {
	for _, name := range []string{"larkmoor-seven", "corrie-two-returns", "return-regulator", "return-loudspeaker"} {
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile("../../testdata/plans/sound/" + name + ".yaml")
			require.NoError(t, err)
			p, err := plan.Read(name, text, catalog.Default())
			require.NoError(t, err)
			f := known.From(p, catalog.Default())
			l, err := newLifts(f)
			require.NoError(t, err)
			poles := assign(f)
			q := returnsQuestion(l, &poles, nil)
			require.Len(t, q.parts, len(q.columns))
			parts := slices.Max(q.parts) + 1
			assert.GreaterOrEqual(t, parts, 3)
			for _, x := range append(spread.Sample(inputsOf(f.Box), 4, 1), f.Box.Nominal()) {
				all := make([]float64, len(q.columns))
				require.NoError(t, q.eval(x, all))
				for part := range parts {
					const untouched = -12345
					out := make([]float64, len(q.columns))
					for i := range out {
						out[i] = untouched
					}
					require.NoError(t, q.part(x, part, out))
					for i, c := range q.columns {
						switch {
						case q.parts[i] != part:
							assert.Equal(t, float64(untouched), out[i], c.name)
						case math.IsNaN(all[i]):
							assert.True(t, math.IsNaN(out[i]), c.name)
						default: // as near as the solver comes
							assert.InDelta(t, all[i], out[i], 1e-6*(1e-6+math.Abs(all[i])), c.name)
						}
					}
				}
			}
		})
	}
}
