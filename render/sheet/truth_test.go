package sheet_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/plan"
	"mutewright/render/scene"
	"mutewright/render/sheet"
)

// atNominal composes the sheet of a plan without its doubt, with settings laid
// over it.
func atNominal(t *testing.T, name string, settings ...string) scene.Document {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(plans, filepath.FromSlash(name)+".yaml"))
	require.NoError(t, err)
	p, err := plan.Read(name, data, catalog.Default(), settings...)
	require.NoError(t, err)
	d, err := design.New(p, catalog.Default(), design.NominalOnly)
	require.NoError(t, err)
	document, err := sheet.Compose(d, sheet.A4, program)
	require.NoError(t, err)
	return document
}

// pagesWith are the names of the pages on which words stand, without their
// numbers.
func pagesWith(document scene.Document, words string) []string {
	var names []string
	for _, p := range document.Pages {
		if strings.Contains(joined(p), words) {
			_, name, _ := strings.Cut(p.Name, " ")
			names = append(names, name)
		}
	}
	return names
}

func TestTheCutOfAnAntennaLeadStandsWhereItIsNeeded(t *testing.T) {
	document := atNominal(t, "sound/skerrow-antenna")
	assert.Equal(t, []string{"Wiring", "The work in order", "To take it out again"}, pagesWith(document, "CUT 1"))
	assert.Contains(t, pagesWith(document, "take the lead to the input off this terminal"), "The work in order")
	assert.Contains(t, pagesWith(document, "input lead at CUT 1"), "To take it out again")
}

func TestAnAntennaAloneHasNoWordOfMuting(t *testing.T) {
	document := atNominal(t, "sound/skerrow-antenna")
	for _, words := range []string{"pulldown", "receiver mutes", "Muted", "CUT 2"} {
		assert.Empty(t, pagesWith(document, words), words)
	}
	assert.Contains(t, joined(document.Pages[0]), "the antenna is guarded")
}

func TestACautionStandsOnPageOne(t *testing.T) {
	document := atNominal(t, "sound/larkmoor-seven")
	assert.Regexp(t, `CAUTION: \d+ cautions?, see sheet \d+`, joined(document.Pages[0]))
}

// The diagram and the hazard block of one page say the same volts.
func TestStandbyTerminalsHaveOneVoltageOnPageOne(t *testing.T) {
	for _, name := range []string{"hurt/standby-live", "hurt/standby-open"} {
		d := designed(t, name)
		document, err := sheet.Compose(d, sheet.A4, program)
		require.NoError(t, err)
		require.NotEmpty(t, d.Fitting.Wiring.Standby)
		told, ok := strings.CutPrefix(d.Fitting.Wiring.Standby[0].Words[0], "up to ")
		require.True(t, ok)
		cells := 0
		for _, item := range document.Pages[0].Items {
			if text, ok := item.Shape.(scene.Text); ok && text.Words == told {
				cells++
			}
		}
		assert.Equal(t, 3, cells, "%s: %s on receive, muted and with the pulldown open", name, told)
	}
}
