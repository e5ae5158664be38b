package sheet_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/plan"
	"mutewright/render/sheet"
)

// allWords are the words of a whole sheet, in reading order.
func allWords(t *testing.T, name string, settings ...string) string {
	t.Helper()
	data, err := os.ReadFile("../../testdata/plans/" + name + ".yaml")
	require.NoError(t, err)
	p, err := plan.Read(name, data, catalog.Default(), settings...)
	require.NoError(t, err)
	d, err := design.New(p, catalog.Default(), design.NominalOnly)
	require.NoError(t, err)
	document, err := sheet.Compose(d, sheet.A4, "test")
	require.NoError(t, err)
	var pages []string
	for _, page := range document.Pages {
		pages = append(pages, joined(page))
	}
	return strings.Join(pages, " ")
}

// What the set has beside what is lifted is part of the work, and of taking it out.
func TestTheWorkNamesWhatTheSetHas(t *testing.T) {
	removed := allWords(t, "hurt/standby-live", "receiver.standby.1.left=removed")
	assert.Contains(t, removed, "Take both leads off rear terminals 5 and 6")
	assert.Contains(t, removed, "Put rear terminals 5 and 6 back as it was")
	strapped := allWords(t, "hurt/standby-live", "receiver.standby.1.left=strapped")
	assert.Regexp(t, `Strap rear terminals 5 and 6 with wire (\d+), insulated,`, strapped)
	assert.Regexp(t, `or leave it strapped by wire \d+: it opens`, strapped)
	assert.Regexp(t, `strapped; up to \d+ V if the strap comes off`, strapped) // in the diagram
	assert.Contains(t, removed, "taken off, its leads joined and insulated")
	inUse := allWords(t, "sound/standby-series")
	assert.NotContains(t, inUse, "Strap front-panel STANDBY")
	assert.NotContains(t, inUse, "Put front-panel STANDBY back")

	const bypass = "muting_points.output.bypass.returned_to="
	assert.Contains(t, allWords(t, "sound/larkmoor-seven", bypass+"chassis"), "stays with its minus on chassis: where that end shares the tag of CUT 1")
	assert.Contains(t, allWords(t, "sound/larkmoor-seven", bypass+"return"), "stands with its minus at “chassis end of R31”, with what was lifted")
}
