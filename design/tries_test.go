package design_test

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design"
	"mutewright/design/finding"
)

// tried are the options of one remedy: what stands between its brackets.
var tried = regexp.MustCompile(`--set [^()]*`)

// The options that a remedy names take its finding away, or make it less grave, with
// what was chosen before or with what is chosen anew. The timing's have a test of their own, with the worst case.
func TestWhatRemediesTryMends(t *testing.T) {
	if testing.Short() {
		t.Skip("works many plans out")
	}
	t.Parallel()
	mended := map[string]bool{}
	for _, folder := range []string{"sound", "hurt"} {
		files, err := filepath.Glob(filepath.Join(plans, folder, "*.yaml"))
		require.NoError(t, err)
		for _, file := range files {
			name := folder + "/" + strings.TrimSuffix(filepath.Base(file), ".yaml")
			d := workNominal(t, name)
			for _, f := range d.Findings {
				if mended[f.ID] || strings.HasPrefix(f.ID, "timing.") {
					continue
				}
				for _, options := range tried.FindAllString(strings.ReplaceAll(f.Do, "\u00a0", " "), -1) {
					settings := strings.Split(strings.TrimPrefix(options, "--set "), " --set ")
					anew := severityAt(workNominal(t, name, settings...), f.ID, f.At)
					kept := severityAt(workNominal(t, name, append(settled(d), settings...)...), f.ID, f.At)
					assert.Less(t, min(anew, kept), f.Severity, "%s: %s at %s with %v", name, f.ID, f.At, settings)
					mended[f.ID] = true
				}
			}
		}
	}
	assert.GreaterOrEqual(t, len(mended), 25, "%v", mended)
}

// severityAt is how grave a finding is at a key path, Good where it is not there.
func severityAt(d *design.Design, id, at string) finding.Severity {
	for _, f := range d.Findings {
		if f.ID == id && f.At == at {
			return f.Severity
		}
	}
	return finding.Good
}
