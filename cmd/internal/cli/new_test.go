package cli_test

import (
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
