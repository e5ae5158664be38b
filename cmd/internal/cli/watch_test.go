package cli_test

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/cmd/internal/cli"
)

// A pipe hands on whatever is written to it.
type pipe chan string

func (p pipe) Write(b []byte) (int, error) {
	p <- string(b)
	return len(b), nil
}

// A watched plan is printed again when it is saved, with what changed; a broken one
// between two saves is told and does not end it; an interrupt does.
func TestWatch(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(module, "testdata", "plans", "sound", "tarnbeck-alone.yaml"))
	require.NoError(t, err)
	text := string(data)
	require.Contains(t, text, "frequency: 60 Hz")
	plan := filepath.Join(t.TempDir(), "plan.yaml")
	// save is how editors save: a new file beside the old one, renamed onto it.
	save := func(text string) {
		t.Helper()
		require.NoError(t, os.WriteFile(plan+".new", []byte(text), 0o644))
		require.NoError(t, os.Rename(plan+".new", plan))
	}
	save(text)
	stdout, stderr, ended := make(pipe, 10), make(pipe, 100), make(chan int)
	go func() { ended <- cli.Main([]string{"check", plan, "--watch"}, strings.NewReader(""), stdout, stderr) }()

	first := <-stdout
	assert.Contains(t, first, "Watching "+plan)
	assert.NotContains(t, first, "Changed since")

	save(strings.Replace(text, "frequency: 60 Hz", "frequency: 60", 1))
	assert.Contains(t, <-stderr, "receiver.mains.frequency: no unit")

	save(strings.Replace(text, "frequency: 60 Hz", "frequency: 50 Hz", 1))
	second := <-stdout
	assert.Contains(t, second, "Changed since the last time\n")
	assert.Regexp(t, `drive\.supply\.ripple: was [^,]*V[^,]*, now\s`, second)
	fitsATerminal(t, second[:strings.Index(second, "\nWatching")])

	require.NoError(t, syscall.Kill(os.Getpid(), syscall.SIGINT))
	assert.Equal(t, 130, <-ended)
}

func TestWatchNeedsAFile(t *testing.T) {
	for _, args := range [][]string{{"check", "-", "--watch"}, {"check", "x.yaml", "--watch", "-o", "y"}, {"check", "x.yaml", "--watch", "--format", "json"}} {
		status, stdout, stderr := run("", args...)
		assert.Equal(t, 2, status)
		assert.Empty(t, stdout)
		assert.Contains(t, stderr, "--watch")
	}
}
