package rule_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/rule"
)

var update = flag.Bool("update", false, "write the list of findings anew")

const list = "../../testdata/findings.txt"

// The list of findings is kept: an id that stands in it is never given to
// anything else, and one that is no longer raised stays in it, marked retired.
func TestFindingsKeepTheirIDs(t *testing.T) {
	const retired = "(retired)"
	var lines []string
	seen := map[string]bool{}
	for _, k := range rule.Kinds() {
		assert.False(t, seen[k.ID], "%s is declared twice", k.ID)
		assert.NotEmpty(t, k.Title, k.ID)
		assert.NotEmpty(t, k.Source, k.ID)
		seen[k.ID] = true
		lines = append(lines, fmt.Sprintf("%-26s %s; %s", k.ID, k.Title, k.Source))
	}
	text := strings.Join(lines, "\n") + "\n"
	if *update {
		require.Empty(t, os.Getenv("CI"), "goldens are not rewritten where CI is set")
		require.NoError(t, os.WriteFile(list, []byte(text), 0o644))
	}
	golden, err := os.ReadFile(list)
	require.NoError(t, err)
	for line := range strings.Lines(string(golden)) {
		id, rest, _ := strings.Cut(line, " ")
		if strings.Contains(rest, retired) {
			assert.False(t, seen[id], "%s was retired and is not used again", id)
			text += line
		}
	}
	assert.Equal(t, string(golden), text)
}
