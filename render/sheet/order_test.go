package sheet_test

import (
	"bytes"
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/render/pdf"
	"mutewright/render/scene"
	"mutewright/render/sheet"
)

// Whoever copies the wire table from the PDF, or has it read out, gets it row by
// row: every wire with both ends, in the order of their numbers.
func TestWireTableReadsInOrder(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not installed")
	}
	for _, name := range []string{"sound/larkmoor-seven", "sound/pendrake-high-voltage"} {
		d := designed(t, name)
		var want []string
		for _, w := range d.Fitting.Wires {
			want = append(want, fmt.Sprintf("%d; %s; %s", w.Number, w.From.Words, w.To.Words))
		}
		for _, p := range papers {
			document, err := sheet.Compose(d, p.paper, program)
			require.NoError(t, err)
			var file bytes.Buffer
			require.NoError(t, pdf.Write(&file, document))
			read := exec.Command(reader, "-", "-")
			read.Stdin = &file
			text, err := read.Output()
			require.NoError(t, err)
			var rows []string
			for _, line := range strings.Split(string(text), "\n") {
				if cells := strings.Split(line, "\t"); len(cells) == 7 && cells[0] != "WIRE" {
					rows = append(rows, strings.Join(cells[:3], "; "))
				}
			}
			assert.Equal(t, want, rows, "%s on %s", name, p.name)
		}
	}
}

// Readings are numbered in the order of the work, and stand on the pages so.
func TestReadingsStandInOrder(t *testing.T) {
	d := designed(t, "sound/larkmoor-seven")
	var want []string
	for i, r := range d.Fitting.Readings {
		require.Equal(t, fmt.Sprintf("M%d", i+1), r.ID)
		want = append(want, r.ID)
	}
	document, err := sheet.Compose(d, sheet.A4, program)
	require.NoError(t, err)
	var got []string
	for i := range document.Pages {
		for _, item := range document.Pages[i].Items {
			text, ok := item.Shape.(scene.Text)
			if !ok {
				continue
			}
			words := strings.Fields(text.Words)
			if len(words) == 0 {
				continue
			}
			if id := strings.Trim(words[0], ",:"); slices.Contains(want, id) && !slices.Contains(got, id) {
				got = append(got, id)
			}
		}
	}
	assert.Equal(t, want, got)
}
