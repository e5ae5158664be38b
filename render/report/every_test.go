package report

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/plan"
)

// A worked is a plan with its design.
type worked struct {
	name string
	*design.Design
}

// workedPlans works the plans of some folders out at nominal values: enough for all
// that they say in words.
func workedPlans(t *testing.T, folders ...string) []worked {
	t.Helper()
	every := 1
	if testing.Short() {
		every = 16
	}
	var all []worked
	for _, folder := range folders {
		files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "plans", folder, "*.yaml"))
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for i, file := range files {
			if i%every > 0 {
				continue
			}
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			p, err := plan.Read(file, data, catalog.Default())
			require.NoError(t, err)
			d, err := design.New(p, catalog.Default(), design.NominalOnly)
			require.NoError(t, err, file)
			all = append(all, worked{folder + "/" + filepath.Base(file), d})
		}
	}
	return all
}

// No line of a report on a plan is wider than a terminal: the check, the list of
// what can be explained, each kind of finding explained, the mains side, and two
// plans side by side. Every quantity is said in words.
func TestReportsOnPlansFitATerminal(t *testing.T) {
	fits := func(name string, b *bytes.Buffer) {
		for line := range strings.Lines(b.String()) {
			assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), columns, "%s: %s", name, line)
		}
		b.Reset()
	}
	explained := map[string]bool{}
	all := workedPlans(t, "sound", "hurt", "stages")
	for i, d := range all {
		var b bytes.Buffer
		require.NoError(t, Check(&b, d.Design))
		fits(d.name, &b)
		require.NoError(t, WhyNames(&b, d.Design))
		fits(d.name, &b)
		require.NoError(t, Mains(&b, OnlyMains(d.Design)))
		fits(d.name, &b)
		for _, q := range d.Quantities.All() {
			_, known := lookUp(q.Name)
			assert.True(t, known, "%s of %s has no words", q.Name, d.name)
		}
		for _, f := range d.Findings {
			if explained[f.ID] {
				continue
			}
			explained[f.ID] = true
			require.NoError(t, Why(&b, d.Design, f.ID), f.ID)
			assert.Contains(t, b.String(), "Source: ", f.ID)
			fits(d.name+" "+f.ID, &b)
		}
		if i >= 12 && i%12 == 0 {
			require.NoError(t, Compare(&b, all[i-12].Design, d.Design))
			fits(d.name, &b)
		}
	}
	if !testing.Short() {
		assert.Greater(t, len(explained), 60)
	}
}
