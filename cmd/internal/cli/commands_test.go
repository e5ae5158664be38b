package cli_test

import (
	"bytes"
	"errors"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/cmd/internal/cli"
)

var update = flag.Bool("update", false, "rewrite the expected outputs of the command cases")

// A case is a folder below testdata/commands:
//
//	args      one argument a line; PLANS/ stands for testdata/plans/
//	stdin     optional
//	stdout, stderr, status  what must come out; a missing file is empty, or 0
//	written   files that the command must have written, a name a line; no others
//
// Any other file is there for the command to read. The command runs in a copy.
const cases = "testdata/commands"

func TestCommands(t *testing.T) {
	require.False(t, *update && os.Getenv("CI") == "true", "CI does not rewrite what it should check")
	root, err := filepath.Abs(module)
	require.NoError(t, err)
	folders, err := filepath.Glob(filepath.Join(root, cases, "*"))
	require.NoError(t, err)
	require.NotEmpty(t, folders)
	if testing.Short() {
		folders = folders[:4] // many work a plan out
	}
	for _, folder := range folders {
		t.Run(filepath.Base(folder), func(t *testing.T) { runCase(t, root, folder) })
	}
}

func runCase(t *testing.T, root, folder string) {
	work := t.TempDir()
	require.NoError(t, os.CopyFS(work, os.DirFS(folder)))
	t.Chdir(work)

	plans := filepath.Join(root, "testdata", "plans") + string(filepath.Separator)
	var args []string
	for line := range strings.Lines(content(t, folder, "args")) {
		args = append(args, strings.ReplaceAll(strings.TrimSuffix(line, "\n"), "PLANS/", plans))
	}
	var stdout, stderr bytes.Buffer
	status := cli.Main(args, strings.NewReader(content(t, folder, "stdin")), &stdout, &stderr)

	for name, got := range map[string]string{
		"stdout": stdout.String(),
		"stderr": stderr.String(),
		"status": strconv.Itoa(status) + "\n",
	} {
		got = strings.ReplaceAll(got, plans, "PLANS/")
		if *update {
			rewrite(t, filepath.Join(folder, name), got)
		}
		want := content(t, folder, name)
		if name == "status" && want == "" {
			want = "0\n"
		}
		assert.Equal(t, want, got, name)
	}
	assert.ElementsMatch(t, strings.Fields(content(t, folder, "written")), written(t, folder, work))
}

// written returns the names of the files in work that the case did not bring.
func written(t *testing.T, folder, work string) []string {
	t.Helper()
	entries, err := os.ReadDir(work)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		if _, err := os.Stat(filepath.Join(folder, e.Name())); errors.Is(err, fs.ErrNotExist) {
			names = append(names, e.Name())
		}
	}
	return names
}

// content is the content of a file of a case; a missing one is empty.
func content(t *testing.T, folder, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(folder, name))
	if !errors.Is(err, fs.ErrNotExist) {
		require.NoError(t, err)
	}
	return string(data)
}

// rewrite puts a new expected output in place; what is usual has no file.
func rewrite(t *testing.T, file, got string) {
	t.Helper()
	if old, err := os.ReadFile(file); err != nil || string(old) != got {
		t.Logf("%s now holds:\n%s", file, got)
	}
	if got == "" || filepath.Base(file) == "status" && got == "0\n" {
		if err := os.Remove(file); !errors.Is(err, fs.ErrNotExist) {
			require.NoError(t, err)
		}
		return
	}
	require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
}
