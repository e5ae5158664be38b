package report

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Colour adds nothing but colour: without its sequences the text is the same, and
// what is coloured is a word of severity.
func TestColourNeverStandsAlone(t *testing.T) {
	var plain, coloured bytes.Buffer
	require.NoError(t, Check(&plain, sample()))
	require.NoError(t, Check(Colours{&coloured}, sample()))
	assert.NotContains(t, plain.String(), "\x1b")

	sequences := regexp.MustCompile(`\x1b\[[0-9;]*m`)
	assert.Equal(t, plain.String(), sequences.ReplaceAllString(coloured.String(), ""))
	words := regexp.MustCompile(`\x1b\[[1-9][0-9;]*m([^\x1b]*)\x1b\[0m`).FindAllStringSubmatch(coloured.String(), -1)
	require.Len(t, words, 1+len(sample().Findings), "the verdict and each finding")
	for _, w := range words {
		assert.Contains(t, []string{"good", "note", "caution", "fail", "danger"}, strings.ToLower(w[1]))
	}
}
