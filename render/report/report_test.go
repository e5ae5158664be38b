package report

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/fitting"
	"mutewright/design/mains"
	"mutewright/design/quantity"
)

// sample is a design with something in every part of it. The numbers are
// invented; what is tested is how they are written.
func sample() *design.Design {
	d := &design.Design{
		Title:       "Remote standby for the Larkmoor Seven",
		Fingerprint: "3f2a9c61d8e04b7590aa1be2c4d6f80713579bdf02468ace13579bdf02468ace",
		Head:        design.Head{Set: "Larkmoor Seven", DrawnBy: "bench 2", Date: "2026-03-14"},
		Findings: []finding.Finding{
			{
				ID: "return.bypass", Severity: finding.Fail, At: "muting_points.output.bypass.rated",
				Says: "The cathode bypass capacitor rated 25\u00a0V would see up to 61.3\u00a0V when muted, because the lifted node rises with the cathode while the capacitor stays on chassis.",
				Do:   "Fit one rated 100\u00a0V or more.", Source: "common practice",
			},
			{
				ID: "timing.mute", Severity: finding.Caution, At: "transmitter.key_to_rf",
				Says: "You will hear the first 12\u00a0ms of your own signal.",
				Do:   "Return the bypass capacitor to the lifted node.", Source: "computed",
			},
		},
		Chosen: []design.Chosen{
			{At: "relay.dropper", Value: "100\u00a0Ω", Plain: "100 ohm", Why: "largest smaller one of the two coil margins, 1.18"},
			{At: "returns.mute_line.pulldown", Value: "10\u00a0kΩ", Plain: "10 kohm", Why: "inside the window by 1.5 on both sides"},
		},
		Assumed: []design.Assumed{{
			At: "muting_points.output.transformer.load", Value: "5\u00a0kΩ", Plain: "5 kohm",
			Why: "usual for a 6AQ5 at 250\u00a0V",
		}},
		Measure: []design.Measure{{At: "muting_points.output.cathode_resistor", Decides: "return.heater_cathode", Safe: "below 430 ohm"}},
		Fitting: fitting.Fitting{
			Parts: []fitting.Entry{{Ref: "K1", What: "relay", Value: "12\u00a0V, 720\u00a0Ω", Rating: "2\u00a0A, 220\u00a0V", Why: "two poles needed"}},
			Wires: []fitting.Wire{{
				Number: 1, From: &fitting.Joint{Words: "chassis end of R31"}, To: &fitting.Joint{Words: "K1a common"},
				Colour: "OG", Size: "0.5\u00a0mm²", Insulation: 300, Carries: "return.mute_line",
			}},
			Readings: []fitting.Reading{
				{ID: "M1", State: "unplugged", Between: []string{"K1a common", "chassis"}, Meter: "ohms", Unit: "Ω", Low: 0, High: 0.2, Why: "the contact, released, carries the return"},
				{ID: "M2", State: "muted", Between: []string{"K1a common", "chassis"}, Meter: "DC V, 10\u00a0MΩ", Unit: "V", Control: "fully clockwise", Low: 11.52, High: 33.04, Why: "the lifted node"},
			},
		},
	}
	for _, q := range []answer.Quantity{
		{
			Name: "drive.coil.operate_margin", Unit: quantity.Proportion, Nominal: 1.41421356, Low: 1.18049, High: 1.62,
			Working: answer.Working{
				Formula: "lowest instant of the coil voltage ÷ (operate × coil voltage × R(T) ÷ R(20\u00a0°C))",
				Source:  "computed by the circuit solver",
				Inputs: []answer.Input{
					{At: "receiver.supplies.heaters.voltage", Value: "6.3\u00a0V", Origin: "plan"},
					{At: "relay.dropper", Value: "100\u00a0Ω", Origin: "chosen", Because: "largest smaller margin"},
				},
				Doubts: []answer.Effect{
					{At: "receiver.ambient", Low: 1.45, High: 1.37},
					{At: "receiver.mains.tolerance", Low: 1.25, High: 1.58},
				},
			},
		},
		{Name: "drive.coil.power", Unit: quantity.Power, Nominal: 0.2003456, Low: 0.2003456, High: 0.2003456},
		{Name: "return.mute_line.muted", Unit: quantity.Voltage, Nominal: 18.2, Low: 11.5234567, High: 33.0412345},
		{Name: "mains.touch_current", Unit: quantity.Current, Nominal: 0.000113, Low: math.Copysign(0, -1), High: 0.000141},
	} {
		d.Quantities.Add(q)
	}
	d.Verdict = finding.Verdict(d.Findings)
	return d
}

// backward holds what 10 nF from the hot side of 120 V, 60 Hz put on two loads
// by V = E·R/√(R² + X²), X = 1/(2πfC).
func backward(t *testing.T) Backward {
	t.Helper()
	b := Backward{Volts: 120, Hertz: 60}
	x := 1 / (2 * math.Pi * b.Hertz * 10e-9)
	for _, r := range []float64{250e3, 1500} {
		b.Readings = append(b.Readings, mains.Reading{Volts: b.Volts * r / math.Hypot(r, x), Ohms: r, Accuracy: 0.02})
	}
	var err error
	b.Inferred, err = mains.Infer(b.Volts, b.Hertz, b.Readings)
	require.NoError(t, err)
	return b
}

func TestBackwardFindsTheCapacitor(t *testing.T) {
	q := backward(t).Quantities()
	require.Len(t, q, 3)
	assert.Equal(t, "mains.touch_current", q[0].Name)
	assert.InEpsilon(t, 120*2*math.Pi*60*10e-9, q[0].Nominal, 0.001, "short-circuit current 2πfCE, on 1.5 kΩ 0.003 % less")
	assert.InEpsilon(t, 120, q[1].Nominal, 0.001)
	assert.InEpsilon(t, 10e-9, q[2].Nominal, 0.001)
	for _, q := range q {
		assert.LessOrEqual(t, q.Low, q.Nominal)
		assert.LessOrEqual(t, q.Nominal, q.High)
	}
	assert.Equal(t, finding.Caution, backward(t).Verdict())
}

func TestEveryReasonHasWords(t *testing.T) {
	seen := map[string]bool{}
	for r := mains.NoReading; r <= mains.AboveMains; r++ {
		words := undecided(r, 120)
		assert.NotEmpty(t, words)
		assert.False(t, seen[words], words)
		seen[words] = true
	}
}

// golden compares with a file below testdata, or rewrites it with UPDATE=1;
// CI never rewrites.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if os.Getenv("UPDATE") == "1" && os.Getenv("CI") != "true" {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, got, 0o644))
		t.Logf("%s rewritten", file)
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

func TestReportsAreAsRecorded(t *testing.T) {
	a, b := sample(), sample()
	b.Title = "The same with a 100 V bypass"
	b.Findings = b.Findings[1:]
	b.Verdict = finding.Verdict(b.Findings)
	b.Chosen = slices.Clone(a.Chosen)
	b.Chosen[0].Plain = "120 ohm"
	b.Quantities = answer.Set{}
	for _, q := range a.Quantities.All()[:3] {
		if q.Name == "return.mute_line.muted" {
			q.Nominal, q.High = 17.1, 31.4
		}
		b.Quantities.Add(q)
	}
	b.Quantities.Add(answer.Quantity{Name: "depth", Unit: quantity.Level, Nominal: 64, Low: 55, High: 73})

	for name, write := range map[string]func(*bytes.Buffer) error{
		"check.txt":     func(w *bytes.Buffer) error { return Check(w, a) },
		"check.json":    func(w *bytes.Buffer) error { return CheckJSON(w, "mutewright 0.0.0", a) },
		"check.csv":     func(w *bytes.Buffer) error { return QuantitiesCSV(w, a.Quantities.All()) },
		"why.txt":       func(w *bytes.Buffer) error { return Why(w, a, "drive.coil.operate_margin") },
		"why.json":      func(w *bytes.Buffer) error { return WhyJSON(w, "mutewright 0.0.0", a, "drive.coil.operate_margin") },
		"finding.txt":   func(w *bytes.Buffer) error { return Why(w, a, "return.bypass") },
		"chosen.txt":    func(w *bytes.Buffer) error { return Why(w, a, "relay.dropper") },
		"compare.txt":   func(w *bytes.Buffer) error { return Compare(w, a, b) },
		"compare.json":  func(w *bytes.Buffer) error { return CompareJSON(w, "mutewright 0.0.0", a, b) },
		"compare.csv":   func(w *bytes.Buffer) error { return CompareCSV(w, a, b) },
		"mains.txt":     func(w *bytes.Buffer) error { return Mains(w, OnlyMains(a)) },
		"backward.txt":  func(w *bytes.Buffer) error { return backward(t).Text(w) },
		"backward.json": func(w *bytes.Buffer) error { return backward(t).JSON(w, "mutewright 0.0.0") },
		"mains.json":    func(w *bytes.Buffer) error { return MainsJSON(w, "mutewright 0.0.0", OnlyMains(a)) },
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, write(&b))
			golden(t, name, b.Bytes())
			if strings.HasSuffix(name, ".txt") {
				for line := range strings.Lines(b.String()) {
					assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), columns, line)
				}
			}
		})
	}
}

// The keys and their order are the contract of the plan format.
func TestResultHasTheKeysOfTheContractInOrder(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, CheckJSON(&b, "mutewright 0.0.0", sample()))
	assert.Equal(t, []string{
		"result", "program", "title", "plan_sha256", "verdict", "quantities", "findings",
		"chosen", "assumed", "measure_first", "parts", "wires", "readings",
	}, keys(t, b.Bytes()))
}

// keys returns the keys of a JSON object in their order.
func keys(t *testing.T, object []byte) []string {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(object))
	_, err := d.Token()
	require.NoError(t, err)
	var names []string
	for d.More() {
		key, err := d.Token()
		require.NoError(t, err)
		names = append(names, key.(string))
		var value json.RawMessage
		require.NoError(t, d.Decode(&value))
	}
	return names
}

func TestEmptyDesignHasEmptyListsNotNull(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, CheckJSON(&b, "p", &design.Design{}))
	assert.NotContains(t, b.String(), "null")
	require.NoError(t, Check(&b, &design.Design{}))
}

func TestNoNumberIsRefused(t *testing.T) {
	for name, v := range map[string]float64{"not a number": math.NaN(), "infinite": math.Inf(1)} {
		t.Run(name, func(t *testing.T) {
			d := &design.Design{}
			d.Quantities.Add(answer.Quantity{Name: "depth", Unit: quantity.Level, High: v})
			var b bytes.Buffer
			for _, err := range []error{
				CheckJSON(&b, "p", d),
				QuantitiesCSV(&b, d.Quantities.All()),
				WhyJSON(&b, "p", d, "depth"),
				CompareJSON(&b, "p", d, d),
			} {
				assert.ErrorContains(t, err, "depth has no value")
			}
			assert.Empty(t, b.String(), "nothing is written before all is known")
		})
	}
}

func TestHarmlessWritesOutWhatATerminalWouldObey(t *testing.T) {
	for name, c := range map[string]struct{ in, want string }{
		"plain":           {"R31, 240 Ω ± 5 % – “ok”", "R31, 240 Ω ± 5 % – “ok”"},
		"escape sequence": {"\x1b[2Jgone", `\u001b[2Jgone`},
		"C1 control":      {"a\u009bb", `a\u009bb`},
		"direction":       {"a\u202eb\u2066", `a\u202eb\u2066`},
		"broken":          {"a\xffb", `a\xffb`},
		"line break":      {"a\nb\tc", "a b c"},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, Harmless(c.in)) })
	}
}

func TestJSONHoldsNothingThatATerminalWouldObey(t *testing.T) {
	d := sample()
	d.Title = "a\u202eb\u009bc\U000e0041"
	var b bytes.Buffer
	require.NoError(t, CheckJSON(&b, "p", d))
	assert.False(t, strings.ContainsFunc(b.String(), func(r rune) bool { return r != '\n' && harmful(r) }))
	var back struct{ Title string }
	require.NoError(t, json.Unmarshal(b.Bytes(), &back))
	assert.Equal(t, d.Title, back.Title)
}

func TestWrap(t *testing.T) {
	for name, c := range map[string]struct {
		text        string
		first, rest int
		want        []string
	}{
		"fits":              {"one two", 10, 10, []string{"one two"}},
		"breaks":            {"one two three", 8, 8, []string{"one two", "three"}},
		"first is narrower": {"one two three", 3, 9, []string{"one", "two three"}},
		"no-break space":    {"at 250\u00a0V", 6, 6, []string{"at", "250\u00a0V"}},
		"long word":         {"abcdefgh", 3, 3, []string{"abc", "def", "gh"}},
		"key path":          {"returns.mute_line.pulldown", 20, 20, []string{"returns.mute_line.", "pulldown"}},
		"nothing":           {"", 5, 5, []string{""}},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, wrap(c.text, c.first, c.rest)) })
	}
}

func TestTableKeepsToTheWidth(t *testing.T) {
	long := strings.Repeat("word ", 60)
	table := Table{
		Columns: []Column{{Head: "a"}, {Head: "b", Right: true}, {Head: "c", Wraps: true}},
		Rows:    [][]string{{strings.Repeat("x", 40), "1.5", long}, {"y", "22", strings.Repeat("z", 150)}},
	}
	var b bytes.Buffer
	require.NoError(t, table.Text(&b))
	for line := range strings.Lines(b.String()) {
		assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), columns)
	}
	assert.Equal(t, 60, strings.Count(b.String(), "word"))
	assert.Equal(t, 150, strings.Count(b.String(), "z"))
}

func TestNearest(t *testing.T) {
	names := []string{"check", "sheet", "relays", "drive.coil.voltage", "drive.coil.power"}
	for name, c := range map[string]struct {
		typed string
		want  []string
	}{
		"swapped":        {"chekc", []string{"check"}},
		"dropped":        {"shet", []string{"sheet"}},
		"part of a name": {"coil.voltage", []string{"drive.coil.voltage"}},
		"far":            {"xyzzy", nil},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, Nearest(c.typed, names, 2)) })
	}
}

func TestUnknownNameNamesTheNearest(t *testing.T) {
	err := Why(&bytes.Buffer{}, sample(), "drive.coil.powr")
	var unknown *UnknownName
	require.ErrorAs(t, err, &unknown)
	assert.Equal(t, "drive.coil.power", unknown.Near[0])
}

func TestEveryTermIsFoundByItsOwnPattern(t *testing.T) {
	seen := map[string]bool{}
	for _, want := range terms {
		assert.False(t, seen[want.pattern], want.pattern)
		seen[want.pattern] = true
		got, ok := lookUp(strings.ReplaceAll(want.pattern, "*", "mute_line"))
		assert.True(t, ok)
		assert.Equal(t, want, got)
	}
	stage, ok := lookUp("point.sensitivity.2.cathode.muted")
	assert.True(t, ok)
	assert.False(t, stage.decisive)
}
