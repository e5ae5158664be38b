package pdf_test

import (
	"bytes"
	"compress/zlib"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/render/pdf"
	"mutewright/render/scene"
)

func document() scene.Document {
	text := func(x, y float64, words string, f scene.Font) scene.Item {
		return scene.Item{Shape: scene.Text{At: scene.Point{X: x, Y: y}, Words: words, Font: f, Size: scene.Points(9)}, Fill: scene.Black}
	}
	black := scene.Pen{Ink: scene.Black, Width: 0.7}
	return scene.Document{
		Title: "Prüfung: 10 kΩ", Program: "mutewright test", Date: time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC),
		Pages: []scene.Page{{
			Name: "1 Wiring", Width: 210, Height: 297, Frame: scene.Rect{X: 10, Y: 10, W: 190, H: 277},
			Items: []scene.Item{
				text(20, 20, "10 kΩ ± 5 % → 470 µF", scene.Regular),
				text(20, 30, "X2 tag 1", scene.Bold),
				text(20, 40, "at most", scene.Italic),
				{Shape: scene.Rect{X: 20, Y: 50, W: 30, H: 5, Radius: 2.5}, Pen: black, Fill: scene.White},
				{Shape: scene.Circle{Centre: scene.Point{X: 80, Y: 60}, Radius: 5}, Pen: black},
				{Shape: scene.ArcOf(scene.Point{X: 100, Y: 60}, 4, 30, 300), Pen: scene.Pen{Ink: scene.Black, Width: 0.35, Dash: scene.Dash{On: 1, Off: 1}}},
			},
		}},
	}
}

func TestSameDocumentSameBytes(t *testing.T) {
	var first, second bytes.Buffer
	require.NoError(t, pdf.Write(&first, document()))
	require.NoError(t, pdf.Write(&second, document()))
	assert.Equal(t, first.Bytes(), second.Bytes())
	assert.True(t, bytes.HasPrefix(first.Bytes(), []byte("%PDF-1.3")))
	assert.Contains(t, first.String(), "/CreationDate (D:20260314000000)")
}

func TestRefusesWhatCannotBePrinted(t *testing.T) {
	for _, c := range []struct {
		name string
		item scene.Item
		says string
	}{
		{"no number", scene.Item{Shape: scene.Rect{X: math.NaN()}}, "NaN"},
		{"infinite", scene.Item{Shape: scene.Circle{Radius: math.Inf(1)}}, "+Inf"},
		{"missing glyph", scene.Item{Shape: scene.Text{Words: "☐ done", Size: 3}, Fill: scene.Black}, "lacks \"☐\""},
		{"broken text", scene.Item{Shape: scene.Text{Words: "a\xff", Size: 3}, Fill: scene.Black}, "UTF-8"},
		{"beyond the basic plane", scene.Item{Shape: scene.Text{Words: "𝄞", Size: 3}, Fill: scene.Black}, "lacks"},
		{"no start", scene.Item{Shape: scene.Path{{Kind: scene.Line}}}, "move"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := document()
			d.Pages[0].Items = append(d.Pages[0].Items, c.item)
			var out bytes.Buffer
			err := pdf.Write(&out, d)
			assert.ErrorContains(t, err, c.says)
			assert.Zero(t, out.Len())
		})
	}
}

// The items of a row read as one line: one span of marked content with its words.
func TestRowReadsAsOneLine(t *testing.T) {
	d := document()
	for i := range d.Pages[0].Items[:2] {
		d.Pages[0].Items[i].Row = "10 kΩ\tX2"
	}
	var with, without bytes.Buffer
	require.NoError(t, pdf.Write(&with, d))
	require.NoError(t, pdf.Write(&without, document()))
	assert.Greater(t, with.Len(), without.Len())
	streams := inflated(t, with.Bytes())
	assert.Equal(t, 1, strings.Count(streams, "/Span <</ActualText <FEFF003100300020006B03A9000900580032>>> BDC"))
	assert.Equal(t, 1, strings.Count(streams, "EMC"))
}

// inflated are the page streams of a file.
func inflated(t *testing.T, file []byte) string {
	t.Helper()
	var out strings.Builder
	for _, part := range bytes.Split(file, []byte("stream\n"))[1:] {
		r, err := zlib.NewReader(bytes.NewReader(part))
		if err != nil {
			continue // not a compressed stream
		}
		text, _ := io.ReadAll(r) // what follows the stream is no part of it
		out.Write(text)
	}
	return out.String()
}
