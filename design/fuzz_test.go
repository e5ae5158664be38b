package design_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/document"
	"mutewright/design/plan"
)

// Whatever a plan says, its results are numbers in order, and what cannot be
// solved is an error.
func FuzzNew(f *testing.F) {
	files, err := filepath.Glob(filepath.Join(plans, "*", "*.yaml"))
	require.NoError(f, err)
	for i, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(f, err)
		if i%8 == 0 || !testing.Short() {
			f.Add(data, "returns.mute_line.pulldown=4k7")
		}
	}
	f.Fuzz(func(t *testing.T, data []byte, setting string) {
		p, err := plan.Read("plan.yaml", data, catalog.Default(), setting)
		if err != nil || chooses(p) {
			t.Skip()
		}
		d, err := design.New(p, catalog.Default(), design.NominalOnly)
		if err != nil {
			return
		}
		for _, q := range d.Quantities.All() {
			for _, v := range []float64{q.Low, q.Nominal, q.High} {
				require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%s is %g", q.Name, v)
			}
			require.LessOrEqual(t, q.Low, q.Nominal, q.Name)
			require.LessOrEqual(t, q.Nominal, q.High, q.Name)
		}
		for _, f := range d.Findings {
			require.NotEmpty(t, f.Says, f.ID)
			require.NotEmpty(t, f.At, f.ID)
		}
	})
}

// chooses tells whether a plan leaves a relay or its rectifier to the program, which
// tries all of them: seconds.
func chooses(p *plan.Plan) bool {
	for i := range p.Relays.Items {
		r := &p.Relays.Items[i]
		if r.Use.State == document.Choose || r.Rectifier.State == document.Choose {
			return true
		}
	}
	return false
}
