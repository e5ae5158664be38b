package cli_test

import (
	"encoding/json"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
)

// plans returns the plans of a folder below testdata/plans.
func plans(t *testing.T, folder string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(module, "testdata", "plans", folder, "*.yaml"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	return files
}

// statusOf is the exit status that goes with a verdict.
var statusOf = map[string]int{"good": 0, "caution": 0, "fail": 1, "danger": 1}

func TestEveryPlanIsReported(t *testing.T) {
	for folder, verdicts := range map[string][]string{
		"sound": {"good", "caution"},
		"hurt":  {"fail", "danger"},
	} {
		files := plans(t, folder)
		if testing.Short() {
			files = files[:2]
		}
		for i, file := range files {
			t.Run(filepath.Base(file), func(t *testing.T) {
				t.Parallel()
				assert.Contains(t, verdicts, checkText(t, file))
				if i%3 == 0 { // the same once more, as its contract wants it
					assert.Contains(t, verdicts, checkResult(t, file))
				}
			})
		}
	}
}

func TestTextOfACheck(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	file := filepath.Join(module, "testdata", "plans", "sound", "larkmoor-seven.yaml")
	status, text, stderr := run("", "check", file)
	require.Empty(t, stderr)
	assert.Equal(t, 0, status)
	assert.Regexp(t, "^(GOOD|CAUTION): Remote standby for the Larkmoor Seven\n", text)
	assert.Regexp(t, "certifies\\s+nothing\\.\n$", text)
	fitsATerminal(t, text)
	_, again, _ := run("", "check", file)
	assert.Equal(t, text, again, "same input, same bytes")
}

// fitsATerminal holds the lines of a report against the width of a terminal.
func fitsATerminal(t *testing.T, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), 80, line)
	}
}

// tries are the settings that a remedy tries.
var tries = regexp.MustCompile(`--set\s+([^\s()]+=[^\s()]+)`)

// checkText reads the verdict of a report, whose lines fit a terminal. What its
// remedies try with --set are lines that the plan may have.
func checkText(t *testing.T, file string) string {
	status, text, stderr := run("", "check", file)
	require.Empty(t, stderr)
	fitsATerminal(t, text)
	for _, found := range tries.FindAllStringSubmatch(text, -1) {
		status, _, stderr := run("", "mains", file, "--set", found[1])
		assert.Less(t, status, 2, "%s %s: %s", file, found[1], stderr)
	}
	verdict, _, _ := strings.Cut(strings.ToLower(text), ":")
	assert.Equal(t, statusOf[verdict], status)
	return verdict
}

// checkResult holds the JSON of a plan against the contract and returns the
// verdict.
func checkResult(t *testing.T, file string) string {
	status, text, stderr := run("", "check", file, "--format=json")
	require.Empty(t, stderr)
	var result struct {
		Result                  int
		Program, Title, Verdict string
		SHA256                  string `json:"plan_sha256"`
		Quantities              map[string]struct {
			Unit               string
			Low, Nominal, High float64
		}
		Findings []struct{ ID, Severity, At, Says, Do, Source string }
	}
	require.NoError(t, json.Unmarshal([]byte(text), &result))
	assert.Equal(t, statusOf[result.Verdict], status)
	assert.Equal(t, 1, result.Result)
	assert.Equal(t, "mutewright 0.1.0", result.Program)
	assert.Len(t, result.SHA256, 64)
	units := strings.Fields("V A ohm F H W s Hz °C dB 1")
	for name, q := range result.Quantities {
		assert.Contains(t, units, q.Unit, name)
		assert.LessOrEqual(t, q.Low, q.Nominal, name)
		assert.LessOrEqual(t, q.Nominal, q.High, name)
	}
	for _, f := range result.Findings {
		for _, text := range []string{f.ID, f.At, f.Says, f.Do, f.Source} {
			assert.NotEmpty(t, text, f.ID)
		}
	}
	return result.Verdict
}

func TestWhySaysWhyATimeIsMissing(t *testing.T) {
	file := filepath.Join(module, "testdata", "plans", "hurt", "drive-operate.yaml")
	status, text, stderr := run("", "why", file, "timing.tail_margin")
	assert.Equal(t, 2, status)
	assert.Empty(t, text)
	assert.Contains(t, stderr, "\"timing.tail_margin\" is not worked out for this plan: K1 may not pull in\n")
}

func TestWhy(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	file := filepath.Join(module, "testdata", "plans", "sound", "larkmoor-seven.yaml")
	for name, want := range map[string]string{
		"drive.coil.operate_margin": "From\n",
		"relay.dropper":             "(chosen)",
	} {
		status, text, stderr := run("", "why", file, name)
		assert.Equal(t, 0, status, stderr)
		assert.True(t, strings.HasPrefix(text, name+" = "), text)
		assert.Contains(t, text, want)
	}
	status, stdout, stderr := run("", "why", file, "drive.coil.volts")
	assert.Equal(t, 2, status)
	assert.Empty(t, stdout)
	assert.Contains(t, stderr, "nearest: drive.coil.voltage")
}

func TestRelaysAreRanked(t *testing.T) {
	file := filepath.Join(module, "testdata", "plans", "sound", "larkmoor-seven.yaml")
	status, text, _ := run("", "relays", file, "--format=json") // stderr may tell of progress
	assert.Equal(t, 0, status)
	var result struct {
		Result int
		Relays []struct {
			Relay, Verdict string
			Margins        map[string]float64
			Drive          map[string]string
			Reasons        []string
		}
	}
	require.NoError(t, json.Unmarshal([]byte(text), &result))
	assert.Equal(t, 1, result.Result)
	require.Len(t, result.Relays, len(catalog.Default().Relays()))
	for i, r := range result.Relays {
		serves := statusOf[r.Verdict] == 0
		assert.NotEmpty(t, r.Drive, r.Relay)
		if !serves {
			assert.NotEmpty(t, r.Reasons, r.Relay)
		}
		latching := strings.HasPrefix(r.Relay, "latching-")
		if i > 0 && serves && !latching {
			assert.Zero(t, statusOf[result.Relays[i-1].Verdict], "%s serves but stands below one that does not", r.Relay)
		}
	}
}

// A finding that bears the name of its quantity is told with its remedy, then the
// quantity is worked out.
func TestWhyOfAFindingThatIsAlsoAQuantity(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	file := filepath.Join(module, "testdata", "plans", "hurt", "timing-tail-margin.yaml")
	status, text, stderr := run("", "why", file, "timing.tail_margin")
	assert.Equal(t, 0, status, stderr)
	found, working, both := strings.Cut(text, "\ntiming.tail_margin = ")
	assert.True(t, both)
	assert.Contains(t, found, "Do: ")
	assert.Contains(t, working, "On the way\n")
}

func TestCompareWithItselfFindsNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	file := filepath.Join(module, "testdata", "plans", "sound", "larkmoor-seven.yaml")
	status, text, stderr := run("", "compare", file, file)
	assert.Equal(t, 0, status)
	assert.Empty(t, stderr)
	assert.Contains(t, text, "Findings only in A: none\n")
	assert.Contains(t, text, "Findings only in B: none\n")
	assert.Contains(t, text, "\n0 quantities differ")
}

func TestBrokenPlansAreRefused(t *testing.T) {
	for _, file := range plans(t, "broken") {
		t.Run(filepath.Base(file), func(t *testing.T) {
			for _, verb := range []string{"check", "mains"} {
				status, stdout, stderr := run("", verb, file)
				assert.Equal(t, 2, status)
				assert.Empty(t, stdout)
				assert.True(t, strings.HasPrefix(stderr, file+":"), stderr)
			}
		})
	}
}
