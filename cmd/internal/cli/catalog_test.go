package cli_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/plan"
)

// larkmoor is a sound plan.
var larkmoor = filepath.Join(module, "testdata", "plans", "sound", "larkmoor-seven.yaml")

// pasted is a plan with what the catalogue writes out in place of one of its lines,
// behind the line's indent.
func pasted(t *testing.T, text, line, kind, name string) string {
	t.Helper()
	status, out, stderr := run("", "catalog", kind, name, "--as", "plan")
	require.Equal(t, 0, status, stderr)
	before, after, found := strings.Cut(text, line+"\n")
	require.True(t, found, line)
	indent := before[strings.LastIndexByte(before, '\n')+1:]
	return strings.TrimSuffix(before, indent) + indent + strings.ReplaceAll(strings.TrimSuffix(out, "\n"), "\n", "\n"+indent) + "\n" + after
}

func larkmoorText(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile(larkmoor)
	require.NoError(t, err)
	return string(data)
}

// Every relay and tube that the catalogue writes out is read back as the same
// figures.
func TestWhatIsPastedIsTheSameEntry(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	cat, text := catalog.Default(), larkmoorText(t)
	for _, r := range cat.Relays() {
		p, err := plan.Read("pasted", []byte(pasted(t, text, "use: signal-dpdt-12v", "relay", r.Name)), cat)
		if assert.NoError(t, err, r.Name) {
			assert.Equal(t, document.Write(r, ""), document.Write(&p.Relays.Items[0].Use.Is, ""), r.Name)
		}
	}
	for _, tube := range cat.Tubes() {
		p, err := plan.Read("pasted", []byte(pasted(t, text, "tube: 6AQ5", "tube", tube.Name.Is)), cat)
		if assert.NoError(t, err, tube.Name.Is) {
			assert.Equal(t, document.Write(tube, ""), document.Write(&p.Points.Items[0].Output.Tube.Is, ""), tube.Name.Is)
		}
	}
}

// A plan that writes its relay and its tube out is the same plan.
func TestAPastedEntryGivesTheSameResult(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	text := larkmoorText(t)
	whole := pasted(t, pasted(t, text, "use: signal-dpdt-12v", "relay", "signal-dpdt-12v"), "tube: 6AQ5", "tube", "6AQ5")
	var results [2]struct {
		Quantities map[string]struct{ Low, Nominal, High float64 }
		Findings   []struct{ ID, Severity string }
		Chosen     map[string]string
	}
	for i, plan := range []string{text, whole} {
		status, out, stderr := run(plan, "check", "-", "--format", "json")
		require.Equal(t, 0, status, stderr)
		require.NoError(t, json.Unmarshal([]byte(out), &results[i]))
	}
	assert.Equal(t, results[0].Findings, results[1].Findings)
	assert.Equal(t, results[0].Chosen, results[1].Chosen)
	for name, q := range results[0].Quantities {
		got, ok := results[1].Quantities[name]
		require.True(t, ok, name)
		// Figures are written to six digits.
		assert.InDelta(t, q.Nominal, got.Nominal, 1e-4*max(q.Nominal, -q.Nominal), name)
		assert.InDelta(t, q.Low, got.Low, 1e-4*max(q.High-q.Low, q.High, -q.Low), name)
		assert.InDelta(t, q.High, got.High, 1e-4*max(q.High-q.Low, q.High, -q.Low), name)
	}
	assert.Len(t, results[1].Quantities, len(results[0].Quantities))
}

// Every entry of the catalogue is listed with its sources, whatever picks it.
func TestCatalogPicks(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		has  []string
		not  string
	}{
		"kinds":             {[]string{"catalog"}, []string{"tube", "relay", "wire", "colour"}, "mark"},
		"kind":              {[]string{"catalog", "relays"}, []string{"signal-dpdt-12v", "hvreed-spst-no-5v"}, "6AQ5"},
		"words":             {[]string{"catalog", "relay", "reed", "5V"}, []string{"reed-spst-no-5v"}, "signal-dpdt-12v"},
		"words of any kind": {[]string{"catalog", "schottky"}, []string{"1N5817"}, "1N4007"},
		"by mark":           {[]string{"catalog", "wire", "memory"}, []string{"0.5 mm²"}, "1N4007"},
		"by name":           {[]string{"catalog", "el84"}, []string{"tube 6BQ5, also EL84", "heater_cathode", "second-hand"}, "6AQ5"},
		"two names":         {[]string{"catalog", "BK", "1N4007"}, []string{"colour BK", "diode 1N4007"}, "1N4001"},
	} {
		t.Run(name, func(t *testing.T) {
			status, out, stderr := run("", c.args...)
			require.Equal(t, 0, status, stderr)
			for _, has := range c.has {
				assert.Contains(t, out, has)
			}
			assert.NotContains(t, out, c.not)
			fitsATerminal(t, out)
		})
	}
	for _, item := range catalog.Default().Items() {
		for _, f := range item.Figures {
			assert.NotEmpty(t, f.Value, "%s %s", item.Name, f.Path)
			if f.Mark == "" {
				assert.Contains(t, "use class latching note aside", f.Path[strings.LastIndexByte(f.Path, '.')+1:], item.Name)
			}
		}
	}
}
