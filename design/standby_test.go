package design_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/finding"
)

// Terminals of the set stand at what the plan says at nominal mains: at 105 % of
// it 58 V are over the 60 V of the touch limit, and 57 V are not.
func TestStandbyTerminalsFollowTheMains(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		volts string
		want  finding.Severity
		high  float64
	}{{"58 V", finding.Danger, 60.9}, {"57 V", finding.Caution, 59.85}} {
		d := work(t, "hurt/standby-live", "receiver.standby.1.voltage="+tt.volts)
		q, ok := d.Quantities.Get("standby.1.voltage")
		require.True(t, ok)
		assert.InDelta(t, tt.high, q.High, 1e-9)
		f := found(d, "standby.live")
		require.NotNil(t, f)
		assert.Equal(t, tt.want, f.Severity, f.Says)
	}
}
