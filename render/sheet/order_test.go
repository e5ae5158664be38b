package sheet_test

import (
	"bytes"
	"fmt"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/render/pdf"
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
