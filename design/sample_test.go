package design_test

import (
	"flag"
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/answer"
	"mutewright/design/quantity"
)

// points is the size of the sample: enough to see a wrong corner in every run of
// the tests; -points 2000 takes some minutes and is what the worst case promises.
var points = flag.Int("points", 30, "points of the sample that the worst case is held against")

// outside is how far a sampled result may leave its bounds, as a share of the
// larger of its nominal value and its width.
const outside = 0.01

// planNames lists the plans of some folders of testdata.
func planNames(t *testing.T, folders ...string) []string {
	t.Helper()
	var names []string
	for _, folder := range folders {
		files, err := filepath.Glob(filepath.Join(plans, folder, "*.yaml"))
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, file := range files {
			names = append(names, folder+"/"+filepath.Base(file[:len(file)-len(".yaml")]))
		}
	}
	return names
}

// No point of the box takes a result out of its bounds, whatever the search for
// them believed of signs and corners.
func TestASampleOfTheBoxStaysWithinTheWorstCase(t *testing.T) {
	if testing.Short() {
		t.Skip("works many plans out")
	}
	var before answer.Sampled
	for _, name := range planNames(t, "sound", "hurt", "stages") {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := work(t, name)
			for _, q := range d.Quantities.All() {
				hasWorking(t, q)
			}
			strays, err := d.Quantities.Sample(*points, 1, &before)
			require.NoError(t, err)
			for _, s := range strays {
				q := s.Quantity
				words := fmt.Sprintf("%s is %s at a point of the box, its bounds are %s and %s",
					q.Name, quantity.Format(s.Value, q.Unit), quantity.Format(q.Low, q.Unit), quantity.Format(q.High, q.Unit))
				assert.LessOrEqual(t, s.Off, outside, words)
			}
		})
	}
}
