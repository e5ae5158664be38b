package spice

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// record is what stands in NAME.json beside a deck.
type record struct {
	Deck    string  `json:"deck"`
	Ngspice string  `json:"ngspice"`
	Values  []Value `json:"values"`
}

// updating reports whether the test was run with -update.
func updating(t *testing.T) bool {
	f := flag.Lookup("update")
	if f == nil || f.Value.String() != "true" {
		return false
	}
	require.NotEqual(t, "true", os.Getenv("CI"), "records are not made anew in CI")
	return true
}

// CheckFolder checks every deck in a folder whose name matches the pattern,
// each in a test of its own. There must be one.
func CheckFolder(t *testing.T, folder, pattern string) {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(folder, pattern))
	require.NoError(t, err)
	require.NotEmpty(t, paths, "no deck matches %s in %s", pattern, folder)
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".cir"), func(t *testing.T) { Check(t, path) })
	}
}

// CheckCircuit checks a circuit made by a test: the deck it writes must be
// the one in the file, and pass [Check]. With -update the deck is written.
func CheckCircuit(t *testing.T, path string, d *Deck) {
	t.Helper()
	var text bytes.Buffer
	require.NoError(t, d.Write(&text))
	if updating(t) {
		require.NoError(t, os.WriteFile(path, text.Bytes(), 0o644))
	}
	kept, err := os.ReadFile(path)
	require.NoError(t, err, "run with -update to write the deck")
	require.Equal(t, string(kept), text.String(), "the circuit has changed; run with -update and read the difference")
	Check(t, path)
}

// Check runs one deck in the engine and compares with its record, and where
// ngspice is installed with ngspice.
func Check(t *testing.T, path string) {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	deck, err := Read(bytes.NewReader(text))
	require.NoError(t, err, path)
	require.NotEmpty(t, deck.Measures, "%s compares nothing", path)
	folder := filepath.Dir(path)
	if strings.Contains(string(text), Library) {
		library, err := os.ReadFile(filepath.Join(folder, Library))
		require.NoError(t, err)
		require.Equal(t, pentode, string(library), "%s is not the law of the engine", Library)
	}
	ours, err := deck.Solve()
	require.NoError(t, err, path)

	kept := recordOf(path)
	var live []Value
	var version string
	if Installed() {
		live, version, err = deck.Ngspice(string(text), folder)
		require.NoError(t, err, path)
		compare(t, deck, "the engine", ours, "ngspice", live)
	}
	if updating(t) {
		require.NotEmpty(t, live, "ngspice is needed to record")
		writeRecord(t, kept, record{filepath.Base(path), version, live})
	}
	var r record
	data, err := os.ReadFile(kept)
	require.NoError(t, err, "run with -update where ngspice is installed")
	require.NoError(t, json.Unmarshal(data, &r), kept)
	compare(t, deck, "the engine", ours, "the record", r.Values)
	if live != nil && !updating(t) {
		compare(t, deck, "ngspice", live, "the record", r.Values)
	}
}

// Recorded returns what ngspice gave for a deck, by the names of its measures.
func Recorded(t *testing.T, path string) map[string]float64 {
	t.Helper()
	data, err := os.ReadFile(recordOf(path))
	require.NoError(t, err)
	var r record
	require.NoError(t, json.Unmarshal(data, &r), path)
	values := map[string]float64{}
	for _, v := range r.Values {
		values[v.Name] = v.Value
	}
	return values
}

// recordOf is the path of a deck's record.
func recordOf(path string) string { return strings.TrimSuffix(path, ".cir") + ".json" }

// writeRecord keeps six significant digits: ngspice's last ones differ from
// machine to machine.
func writeRecord(t *testing.T, path string, r record) {
	t.Helper()
	for i, v := range r.Values {
		short, err := strconv.ParseFloat(strconv.FormatFloat(v.Value, 'g', 6, 64), 64)
		require.NoError(t, err)
		r.Values[i].Value = short
	}
	data, err := json.MarshalIndent(r, "", "  ")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, append(data, '\n'), 0o644))
}

func compare(t *testing.T, d *Deck, nameA string, a []Value, nameB string, b []Value) {
	t.Helper()
	require.Len(t, b, len(a), "%s and %s do not hold the same values", nameA, nameB)
	for i, m := range d.Measures {
		require.Equal(t, m.Name, a[i].Name)
		require.Equal(t, m.Name, b[i].Name)
		t.Logf("%-10s %s %.6g, %s %.6g (%+.3f %%)", m.Name, nameA, a[i].Value, nameB, b[i].Value, 100*(a[i].Value/b[i].Value-1))
		assert.InDelta(t, b[i].Value, a[i].Value, m.tolerance(b[i].Value), "%s: %s against %s", m.Name, nameA, nameB)

	}
}
