package svg_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/render/scene"
	"mutewright/render/svg"
)

func page(items ...scene.Item) scene.Page {
	return scene.Page{Name: "1 Wiring", About: "The drive and the returns.", Width: 100, Height: 50, Items: items}
}

func text(words string) scene.Item {
	return scene.Item{Shape: scene.Text{At: scene.Point{X: 10, Y: 20}, Words: words, Size: 4}, Fill: scene.Black}
}

func TestWrite(t *testing.T) {
	black := scene.Pen{Ink: scene.Black, Width: 0.7}
	var out bytes.Buffer
	require.NoError(t, svg.Write(&out, `"Standby" <Larkmoor & sons>`, page(
		text("Ω≤ΩA"),
		scene.Item{Shape: scene.Rect{X: 1, Y: 2, W: 3, H: 4, Radius: 1}, Pen: black, Fill: scene.White},
		scene.Item{Shape: scene.Circle{Centre: scene.Point{X: 5, Y: 6}, Radius: 2}, Fill: scene.Black},
		scene.Item{Shape: scene.Polyline(scene.Point{X: 1, Y: 1}, scene.Point{X: 9, Y: 1}), Pen: scene.Pen{Ink: scene.Black, Width: 0.35, Dash: scene.Dash{On: 0.6, Off: 0.8}, Round: true}},
		scene.Item{Shape: scene.Rect{W: 5, H: 5}}, // a keep-out: no ink
	)))
	s := out.String()
	assert.Contains(t, s, "<title id=\"t\">&quot;Standby&quot; &lt;Larkmoor &amp; sons&gt;</title>")
	assert.Contains(t, s, "1 Wiring. The drive and the returns.")
	assert.Contains(t, s, `aria-label="Ω≤ΩA"`)
	assert.Equal(t, 3, strings.Count(s, "<path id="), "each glyph is defined once")
	assert.Equal(t, 4, strings.Count(s, "<use "), "and used for each character")
	assert.Contains(t, s, `<rect x="1" y="2" width="3" height="4" rx="1" fill="#ffffff" stroke="#000000" stroke-width="0.7"/>`)
	assert.Contains(t, s, `<circle cx="5" cy="6" r="2" fill="#000000"/>`)
	assert.Contains(t, s, `<path d="M1 1L9 1" fill="none" stroke="#000000" stroke-width="0.35" stroke-dasharray="0.6 0.8" stroke-linecap="round" stroke-linejoin="round"/>`)
	assert.Equal(t, 2, strings.Count(s, "<rect"), "paper and one rectangle; nothing without ink")

	d := xml.NewDecoder(&out)
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err, "well formed")
	}
}

func TestSamePageSameBytes(t *testing.T) {
	var a, b bytes.Buffer
	require.NoError(t, svg.Write(&a, "t", page(text("12.3 V"))))
	require.NoError(t, svg.Write(&b, "t", page(text("12.3 V"))))
	assert.Equal(t, a.Bytes(), b.Bytes())
}

func TestRefusesWhatCannotBePrinted(t *testing.T) {
	var out bytes.Buffer
	assert.ErrorContains(t, svg.Write(&out, "t", page(text("☐"))), "lacks")
	assert.ErrorContains(t, svg.Write(&out, "t", page(scene.Item{Shape: scene.Rect{X: math.NaN()}})), "NaN")
	assert.Zero(t, out.Len())
}
