package cli_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The trials of a first hour: what an owner and a bench said of an invented set, and
// the plan that someone made of it with the README alone. Each passes and has a
// sheet. A story that nobody has tried yet has no plan.
func TestTrialsPassAndHaveSheets(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	plans, err := filepath.Glob(filepath.Join(module, "testdata", "trials", "*.yaml"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(plans), 2)
	for _, plan := range plans {
		t.Run(filepath.Base(plan), func(t *testing.T) {
			t.Parallel()
			assert.FileExists(t, strings.TrimSuffix(plan, ".yaml")+".md")
			assert.Contains(t, []string{"good", "caution"}, checkText(t, plan))
			sheet := filepath.Join(t.TempDir(), "sheet.pdf")
			status, _, stderr := run("", "sheet", plan, "--strict", "-o", sheet)
			assert.Equal(t, 0, status, stderr)
			pages, err := os.ReadFile(sheet)
			require.NoError(t, err)
			assert.True(t, strings.HasPrefix(string(pages), "%PDF-"))
		})
	}
}

// The commands of the README's first hour run, in its order, in an empty directory.
func TestTheFirstHourOfTheReadmeRuns(t *testing.T) {
	if testing.Short() {
		t.Skip("works a plan of unknowns out many times")
	}
	text, err := os.ReadFile(filepath.Join(module, "README.md"))
	require.NoError(t, err)
	_, hour, found := strings.Cut(string(text), "\n## A first hour\n")
	require.True(t, found)
	hour, _, _ = strings.Cut(hour, "\n## ")
	t.Chdir(t.TempDir())
	ran := 0
	for line := range strings.Lines(hour) {
		command, ok := strings.CutPrefix(line, "    ")
		if !ok {
			continue
		}
		args := words(strings.TrimSpace(command))
		if args[0] == "cp" {
			data, err := os.ReadFile(args[1])
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(args[2], data, 0o644))
			continue
		}
		require.Equal(t, "mutewright", args[0])
		status, _, stderr := run("", args[1:]...)
		assert.LessOrEqual(t, status, 1, line) // a plan full of unknowns may fail
		assert.Empty(t, stderr, line)
		ran++
	}
	assert.GreaterOrEqual(t, ran, 7)
	written, err := os.ReadFile("sheet.pdf")
	require.NoError(t, err)
	assert.NotEmpty(t, written)
}
