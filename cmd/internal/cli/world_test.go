package cli_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// process is the program in a process of its own.
func process(args ...string) *exec.Cmd {
	c := exec.Command(os.Args[0], args...)
	c.Env = append(os.Environ(), asProgram+"=1")
	return c
}

// status is how a process ended; -1 by a signal.
func status(t *testing.T, err error) int {
	t.Helper()
	if err == nil {
		return 0
	}
	var exit *exec.ExitError
	require.ErrorAs(t, err, &exit)
	return exit.ExitCode()
}

// The program speaks to no network, and reads of the world no more than what it
// says: files, and whether the owner of a terminal wants no colour.
// The one clock paces the progress on stderr.
func TestTheProgramKeepsToItself(t *testing.T) {
	clocks := map[string]bool{"cmd/internal/cli/relays.go": true}
	read := regexp.MustCompile(`os\.(?:Getenv|LookupEnv)\("([^"]+)"\)|os\.Environ`)
	files := map[string]bool{}
	for _, a := range arrows(t) {
		if a.room == "design/circuit/spice" {
			continue // of the tests: it runs another program
		}
		files[a.file] = true
		assert.False(t, a.imports == "net" || strings.HasPrefix(a.imports, "net/") || a.imports == "os/exec" || a.imports == "plugin", "%s imports %s", a.file, a.imports)
	}
	require.NotEmpty(t, files)
	for file := range files {
		text, err := os.ReadFile(filepath.Join(module, file))
		require.NoError(t, err)
		assert.True(t, clocks[file] || !regexp.MustCompile(`time\.(Now|Since)`).Match(text), "%s reads the clock", file)
		for _, m := range read.FindAllStringSubmatch(string(text), -1) {
			assert.Equal(t, "NO_COLOR", m[1], file)
		}
	}
}

// A device that takes nothing more: the status and a message say so.
func TestFullDeviceEndsWithThree(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("no /dev/full here")
	}
	defer full.Close()
	var stderr bytes.Buffer
	c := process("help")
	c.Stdout, c.Stderr = full, &stderr
	assert.Equal(t, 3, status(t, c.Run()))
	assert.Equal(t, "mutewright: write standard output: no space left on device\n", stderr.String())

	out, err := process("catalog", "EL84", "-o", "/dev/full").CombinedOutput()
	assert.Equal(t, 3, status(t, err))
	assert.Contains(t, string(out), "write /dev/full: no space left on device")
}

// A standard output that was closed before the program began: nothing can be
// written there, and nobody believes that it was.
func TestClosedStandardOutputEndsWithThree(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("told apart from /dev/null on Linux only")
	}
	run := func(to string) (string, error) {
		c := exec.Command("sh", "-c", `exec "$0" help `+to, os.Args[0])
		c.Env = append(os.Environ(), asProgram+"=1")
		out, err := c.CombinedOutput()
		return string(out), err
	}
	out, err := run(">&-")
	assert.Equal(t, 3, status(t, err))
	assert.Equal(t, "mutewright: write standard output: it is closed\n", out)

	out, err = run(">/dev/null")
	assert.Equal(t, 0, status(t, err))
	assert.Empty(t, out)
}

// A disk that is full: what stood there stays whole, and nothing is left beside it.
func TestFullDiskLeavesTheOldFileWhole(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=8k"); err != nil {
		t.Skipf("no file system can be mounted here: %v", err)
	}
	defer func() { assert.NoError(t, syscall.Unmount(dir, 0)) }()
	file := filepath.Join(dir, "old.txt")
	require.NoError(t, os.WriteFile(file, bytes.Repeat([]byte("old\n"), 1024), 0o644)) // half of it
	ended, stdout, stderr := run("", "help", "--licences", "-o", file)
	assert.Equal(t, 3, ended)
	assert.Empty(t, stdout)
	assert.Contains(t, stderr, "no space left on device")
	got, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, strings.Repeat("old\n", 1024), string(got))
	list, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, list, 1, "left behind")
}

// A file that may not be read.
func TestUnreadableInputEndsWithThree(t *testing.T) {
	file := filepath.Join(t.TempDir(), "plan.yaml")
	require.NoError(t, os.WriteFile(file, []byte("plan: 1\n"), 0))
	if _, err := os.ReadFile(file); err == nil {
		t.Skip("whoever runs this may read everything")
	}
	ended, stdout, stderr := run("", "check", file)
	assert.Equal(t, 3, ended)
	assert.Empty(t, stdout)
	assert.Contains(t, stderr, "permission denied")
}

// An interrupt while relays are ranked, a work of seconds.
func TestInterruptedRankingEndsWith130(t *testing.T) {
	plan, err := os.ReadFile(filepath.Join(module, "testdata", "plans", "sound", "pendrake-high-voltage.yaml"))
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "out.txt")
	c := process("relays", "-", "-o", file)
	in, err := c.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	// More than a pipe holds: once it is written, the program is up and reads.
	_, err = in.Write(append(plan, strings.Repeat("# nothing\n", 1<<15)...))
	require.NoError(t, err)
	require.NoError(t, in.Close())
	require.NoError(t, c.Process.Signal(os.Interrupt))
	assert.Equal(t, 130, status(t, c.Wait()))
	assert.NoFileExists(t, file)
}
