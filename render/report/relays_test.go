package report

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/quantity"
)

// ranking holds three relays with invented numbers: one that serves, one that
// does not, one that latches.
func ranking() *design.Ranking {
	row := func(relay string, verdict finding.Severity, operate float64, load float64) design.Row {
		r := design.Row{
			Relay: relay, What: "relay of a class", Verdict: verdict, HasDrive: true, Dry: true, Spare: 1,
			Setup: design.Setup{
				Relay: relay, Rectifier: "doubler", Buffer: "none", Clamp: "diode",
				Reservoir: 470e-6, Fuse: 0.315, Droppers: []float64{160},
			},
			Margins: []design.Margin{
				{Key: "operate", Words: "pulls in", Ratio: operate},
				{Key: "release", Words: "lets go", Ratio: 1200},
			},
		}
		for _, q := range []answer.Quantity{
			{Name: "drive.coil.operate_margin", Unit: quantity.Proportion, Low: operate, Nominal: operate, High: operate},
			{Name: "drive.winding.load", Unit: quantity.Proportion, Low: load, Nominal: load, High: load},
			{Name: "drive.coil.voltage", Unit: quantity.Voltage, Low: 11, Nominal: 12, High: 13},
		} {
			r.Quantities.Add(q)
		}
		return r
	}
	weak := row("weak-dpdt-12v", finding.Fail, 0.8, 0.7)
	weak.Findings = []finding.Finding{{
		ID: "drive.operate", Severity: finding.Fail, At: "relay.dropper",
		Says: "The coil gets 80\u00a0% of the voltage it needs to pull in.", Do: "Take a coil of lower voltage.",
	}}
	latching := row("latching-dpdt-12v", finding.Caution, 1.3, 0.75)
	latching.Latching = true
	return &design.Ranking{
		Title: "Remote standby for the Larkmoor Seven", Fingerprint: strings.Repeat("0f", 32), At: "relay",
		Serves: []string{"mute_line", "aerial"},
		Rows:   []design.Row{row("signal-dpdt-12v", finding.Caution, 1.0625, 0.8), weak, latching},
	}
}

func TestRankingsAreAsRecorded(t *testing.T) {
	for name, write := range map[string]func(*bytes.Buffer) error{
		"relays.txt":  func(w *bytes.Buffer) error { return Relays(w, []*design.Ranking{ranking()}, nil) },
		"relays.csv":  func(w *bytes.Buffer) error { return RelaysCSV(w, []*design.Ranking{ranking()}) },
		"relays.json": func(w *bytes.Buffer) error { return RelaysJSON(w, []*design.Ranking{ranking()}, nil) },
		"side.txt":    func(w *bytes.Buffer) error { return SideBySide(w, "Larkmoor Seven", ranking().Rows[:2]) },
		"nothing.txt": func(w *bytes.Buffer) error {
			r := ranking()
			r.Rows = r.Rows[1:]
			return Relays(w, []*design.Ranking{r}, []design.Opening{
				{Words: "a separate supply of 12 V DC", Settings: []string{"relay.supply=separate"}, Serving: 3, Relays: []string{"signal-dpdt-12v"}, Smallest: 1.25},
				{Words: "two relays, one for audio, one for aerial", Relays: []string{"a-12v", "b-6v"}, Section: "relay:\n  - use: a-12v\n    serves:\n      - audio\n  - use: b-6v\n    serves:\n      - aerial\n", Smallest: 1.1},
				{Words: "the relay energised on receive with a buffer, npn"},
			})
		},
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, write(&b))
			golden(t, name, b.Bytes())
			if strings.HasSuffix(name, ".txt") {
				for line := range strings.Lines(b.String()) {
					assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), wideColumns, line)
				}
			}
		})
	}
}

func TestBarsStandOnOneScale(t *testing.T) {
	for name, c := range map[string]struct {
		ratio float64
		want  string
	}{
		"none":         {0, strings.Repeat(" ", 14) + "|"},
		"under":        {0.5, "========      |"},
		"on the limit": {1, strings.Repeat("=", 14) + "|"},
		"over":         {2, strings.Repeat("=", 14) + "|" + strings.Repeat("=", 15)},
		"off scale":    {12, strings.Repeat("=", 14) + "|" + strings.Repeat("=", 15) + ">"},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, bar(c.ratio)) })
	}
}

func TestTheBetterEndIsMarked(t *testing.T) {
	rows := ranking().Rows
	assert.Equal(t, []int{2}, better("drive.coil.operate_margin", rows), "more is better")
	assert.Equal(t, []int{1}, better("drive.winding.load", rows), "less is better")
	assert.Empty(t, better("drive.coil.voltage", rows), "neither way is better")
	assert.Empty(t, better("drive.winding.load", rows[:1]), "nothing to compare with")
}
