package cli_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/plan"
)

func TestStarterPlansAreRead(t *testing.T) {
	for name, c := range map[string]struct {
		args   []string
		points []string
	}{
		"nothing known":   {nil, []string{"output", "sensitivity", "aerial"}},
		"three tubes":     {[]string{"--tubes", "6AQ5,6BA6,6BA6", "--rails", "250V", "--heaters", "6.3V"}, []string{"output", "sensitivity", "aerial"}},
		"push-pull, 230V": {[]string{"--tubes", "6V6GT, 6V6GT,EF89", "--rails", "300 V ± 10 %,150V", "--voltage", "230V"}, []string{"output", "sensitivity", "aerial"}},
		"two outputs":     {[]string{"--tubes", "6AQ5,6K6GT"}, []string{"output", "output2", "aerial"}},
		"remote alone":    {[]string{"--tubes", "6BA6"}, []string{"sensitivity", "aerial"}},
		"neither":         {[]string{"--tubes", "6SJ7,6BE6"}, []string{"sensitivity", "aerial"}},
		"series heaters":  {[]string{"--tubes", "50C5,12BA6"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			status, text, stderr := run("", append([]string{"new"}, c.args...)...)
			require.Equal(t, 0, status, stderr)
			p, err := plan.Read("new", []byte(text), catalog.Default())
			require.NoError(t, err)
			if c.points == nil {
				assert.True(t, p.SeriesHeaters())
				return
			}
			assert.False(t, p.SeriesHeaters())
			assert.Equal(t, c.points, p.Points.Names())
		})
	}
}

// The plan that new writes runs through check as it is: everything unknown is
// assumed with a reason, and what matters is to be measured first.
func TestStarterPlanRuns(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	path := filepath.Join(t.TempDir(), "plan.yaml")
	status, _, stderr := run("", "new", "--tubes", "6AQ5,6BA6,6BA6", "--rails", "250V", "--heaters", "6.3V", "-o", path)
	require.Equal(t, 0, status, stderr)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(text), "tube: 6AQ5")
	assert.Contains(t, string(text), "voltage: 250 V")
	status, stdout, stderr := run("", "check", path, "--format", "json")
	require.LessOrEqual(t, status, 1, stderr)
	var result struct {
		Verdict      string
		Assumed      []struct{ At, Value, Why string }
		MeasureFirst []struct{ At, Decides, Safe string } `json:"measure_first"`
	}
	require.NoError(t, json.Unmarshal([]byte(stdout), &result))
	assert.NotEmpty(t, result.Verdict)
	assert.Greater(t, len(result.Assumed), 30)
	for _, a := range result.Assumed {
		assert.NotEmpty(t, a.Value, a.At)
		assert.NotEmpty(t, a.Why, a.At)
	}
	assert.NotEmpty(t, result.MeasureFirst)
	assert.LessOrEqual(t, len(result.MeasureFirst), 7)
}
