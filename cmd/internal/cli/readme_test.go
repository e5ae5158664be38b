package cli_test

import (
	"bytes"
	"flag"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/cmd/internal/cli"
)

// What the README shows is what the program does: the plan is the shipped file,
// and under every "$ mutewright …" stands what it prints. With -update the
// README is written anew. A command may end in "| head -N".
func TestReadmeShowsWhatTheProgramDoes(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	t.Chdir(module)
	data, err := os.ReadFile("README.md")
	require.NoError(t, err)
	want := refresh(t, string(data))
	if updating(t) {
		require.NoError(t, os.WriteFile("README.md", []byte(want), 0o644))
		return
	}
	assert.Equal(t, want, string(data), "stale: go test ./cmd/internal/cli -run Readme -update")
}

// updating tells whether -update was given, which is refused in CI.
func updating(t *testing.T) bool {
	f := flag.Lookup("update")
	if f == nil || f.Value.String() != "true" {
		return false
	}
	require.Empty(t, os.Getenv("CI"), "-update is refused when CI is set")
	return true
}

// refresh writes the plan behind its mark and the output below its command.
func refresh(t *testing.T, readme string) string {
	var out strings.Builder
	lines := strings.Split(readme, "\n")
	skip := func(i int) int { // to the end of a fenced block
		for lines[i] != "```" {
			i++
		}
		return i
	}
	for i := 0; i < len(lines); i++ {
		line := lines[i]
		out.WriteString(line)
		if i < len(lines)-1 {
			out.WriteByte('\n')
		}
		if file, ok := strings.CutPrefix(line, "<!-- plan "); ok {
			plan, err := os.ReadFile(strings.TrimSuffix(file, " -->"))
			require.NoError(t, err)
			out.WriteString("```yaml\n" + string(plan))
			i = skip(i) - 1
		}
		if command, ok := strings.CutPrefix(line, "$ mutewright "); ok {
			var stdout, stderr bytes.Buffer
			command, first, _ := strings.Cut(command, " | head -")
			cli.Main(strings.Fields(command), strings.NewReader(""), &stdout, &stderr)
			printed := strings.SplitAfter(stdout.String()+stderr.String(), "\n")
			if n, err := strconv.Atoi(first); err == nil {
				printed = printed[:min(n, len(printed))]
			}
			out.WriteString(strings.Join(printed, ""))
			i = skip(i) - 1
		}
	}
	return out.String()
}

// The lines that some sets need are lines that a plan may have: each is read where
// the table says, beside the others of its set ("…").
func TestLinesThatSomeSetsNeedAreRead(t *testing.T) {
	t.Chdir(module)
	data, err := os.ReadFile("README.md")
	require.NoError(t, err)
	_, section, found := strings.Cut(string(data), "\n## Lines that some sets need\n")
	require.True(t, found)
	section, _, _ = strings.Cut(section, "\n## ")
	var overrides []string
	read := func() {
		if len(overrides) == 0 {
			return
		}
		args := append([]string{"mains", "testdata/plans/sound/larkmoor-seven.yaml"}, overrides...)
		status, _, stderr := run("", args...)
		assert.Equal(t, 0, status, "%v: %s", overrides, stderr)
	}
	rows := 0
	for line := range strings.Lines(section) {
		cells := strings.Split(strings.TrimSpace(line), " | ")
		if len(cells) != 3 || !strings.Contains(cells[1], "`") {
			continue
		}
		rows++
		if !strings.HasPrefix(cells[0], "| …") {
			read()
			overrides = nil
		}
		key := strings.Split(cells[1], "`")
		value := strings.Split(cells[2], "`")
		require.Greater(t, len(value), 1, line)
		overrides = append(overrides, "--set", key[1]+"="+value[1])
	}
	read()
	assert.GreaterOrEqual(t, rows, 15)
}
