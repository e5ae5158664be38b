package sheet_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/plan"
	"mutewright/render/pdf"
	"mutewright/render/scene"
	"mutewright/render/sheet"
)

// Texts of a plan may be 200 characters long, one word, and of a script that the
// faces lack: the sheet is drawn all the same, nothing of it beyond the paper, and
// what has no glyph stands as a mark that is seen.
func TestLongAndForeignNamesAreDrawn(t *testing.T) {
	if testing.Short() {
		t.Skip("draws sheets of many pages")
	}
	t.Parallel()
	const most = 200
	var (
		sentence = strings.Repeat("chassis end of R31 at the second tag strip, left of the choke, ", 4)[:most-1]
		word     = strings.Repeat("Querstrebe", 20)
		foreign  = strings.Repeat("☐漢é😀⏚", 40)
	)
	require.Equal(t, most, utf8.RuneCountInString(foreign))
	data, err := os.ReadFile(filepath.Join(plans, "sound", "larkmoor-seven.yaml"))
	require.NoError(t, err)
	keys := []string{
		"title", "drawn_by", "receiver.name", "receiver.chassis", "receiver.supplies.heaters.at.live", "receiver.supplies.heaters.at.return",
		"muting_points.output.lift", "muting_points.sensitivity.lift", "muting_points.aerial.lift", "muting_points.sensitivity.stages.1.role",
		"control.jack", "transmitter.name",
	}
	for name, text := range map[string]string{"sentence": sentence, "word": word, "foreign": foreign} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var settings []string
			for _, k := range keys {
				settings = append(settings, k+"="+text)
			}
			p, err := plan.Read("plan.yaml", data, catalog.Default(), settings...)
			require.NoError(t, err)
			d, err := design.New(p, catalog.Default(), certain)
			require.NoError(t, err)
			document, err := sheet.Compose(d, sheet.A4, program)
			require.NoError(t, err)
			marked := false
			for _, page := range document.Pages {
				paper := scene.Rect{W: page.Width, H: page.Height}
				for _, item := range page.Items {
					words, ok := item.Shape.(scene.Text)
					if !ok {
						continue
					}
					assert.Empty(t, words.Font.Missing(words.Words), words.Words)
					marked = marked || strings.Contains(words.Words, "?")
					box := words.Bounds()
					assert.True(t, box.X >= paper.X && box.X+box.W <= paper.W, "beyond the paper: %s", words.Words)
				}
			}
			if name == "foreign" {
				assert.True(t, marked)
			}
			var out bytes.Buffer
			require.NoError(t, pdf.Write(&out, document))
		})
	}
}
