package design_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/quantity"
)

// What a remedy of the timing is said to buy, the plan that takes it gets, worst
// case and all. The dropper stands as it was chosen without.
func TestRemediesKeepTheirPromise(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out twice")
	}
	t.Parallel()
	tests := []struct {
		name, plan string
		settings   []string
		finding    string
		words      string // of the remedy, before what it buys
		take       []string
	}{
		{"hold capacitor", "hurt/timing-tail-margin", []string{"relay.dropper=160 ohm"}, "timing.tail_margin",
			"a hold capacitor of 47 µF with 47 Ω across the coil", []string{"relay.hold={value: 47 uF, series: 47 ohm}"}},
		{"bypass to the lifted node", "hurt/timing-tail-margin", []string{"relay.dropper=160 ohm", "returns.mute_line.pulldown=68 kohm"}, "timing.mute_margin",
			"the output bypass with its lower end on the lifted return", []string{"muting_points.output.bypass.returned_to=return"}},
		{"zener", "hurt/timing-key-margin", []string{"relay.dropper=160 ohm", "relay.energised_on=receive", "control.mutes_when=opened"}, "timing.key_margin",
			"a zener of 12 V in series with the clamp diode", []string{"relay.clamp=diode and zener", "relay.zener=12 V"}},
		{"delay", "hurt/timing-key-margin", []string{"relay.dropper=160 ohm"}, "timing.key_margin",
			"RF 5.7 ms later, by the transmitter's own delay", []string{"transmitter.key_to_rf=7.7 ms"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			before := work(t, tt.plan, tt.settings...)
			f := found(before, tt.finding)
			require.NotNil(t, f)
			bought := regexp.MustCompile(regexp.QuoteMeta(tt.words) + ` \(buys ([^,;]*)`).FindStringSubmatch(strings.ReplaceAll(f.Do, "\u00a0", " "))
			require.NotNil(t, bought, f.Do)
			promised, err := quantity.Parse[quantity.Seconds](bought[1])
			require.NoError(t, err)
			after := work(t, tt.plan, append(tt.settings, tt.take...)...)
			was, _ := before.Quantities.Get(tt.finding)
			is, ok := after.Quantities.Get(tt.finding)
			require.True(t, ok)
			assert.InDelta(t, float64(promised), is.Low-was.Low, 0.01*float64(promised), "from %g to %g", was.Low, is.Low)
		})
	}
}
