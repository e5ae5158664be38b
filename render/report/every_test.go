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

// fourthPlans works every fourth plan of some folders out at nominal values: enough
// for all that they say in words. The tests of the verbs take all of them.
func fourthPlans(t *testing.T, folders ...string) map[string]*design.Design {
	t.Helper()
	every := 4
	if testing.Short() {
		every = 16
	}
	all := map[string]*design.Design{}
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
			all[folder+"/"+filepath.Base(file)] = d
		}
	}
	return all
}

// No line of a report on a plan is wider than a terminal, and every quantity
// is said in words.
func TestReportsOnPlansFitATerminal(t *testing.T) {
	fits := func(name string, b *bytes.Buffer) {
		for line := range strings.Lines(b.String()) {
			assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), columns, "%s: %s", name, line)
		}
		b.Reset()
	}
	for name, d := range fourthPlans(t, "sound", "hurt", "stages") {
		var b bytes.Buffer
		require.NoError(t, Check(&b, d))
		fits(name, &b)
		require.NoError(t, WhyNames(&b, d))
		fits(name, &b)
		require.NoError(t, Mains(&b, OnlyMains(d)))
		fits(name, &b)
		for _, q := range d.Quantities.All() {
			_, known := lookUp(q.Name)
			assert.True(t, known, "%s of %s has no words", q.Name, name)
		}
	}
}
