package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestColourIsShownOnTerminalsOnly(t *testing.T) {
	device, err := os.OpenFile(os.DevNull, os.O_WRONLY, 0) // a character device, as a terminal is
	require.NoError(t, err)
	defer device.Close()
	file, err := os.Create(filepath.Join(t.TempDir(), "out"))
	require.NoError(t, err)
	defer file.Close()

	t.Setenv("NO_COLOR", "")
	assert.True(t, showsColour(device))
	assert.False(t, showsColour(file))
	assert.False(t, showsColour(&bytes.Buffer{}))
	t.Setenv("NO_COLOR", "1")
	assert.False(t, showsColour(device))
}
