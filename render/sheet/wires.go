package sheet

import (
	"fmt"
	"math"
	"strings"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// colourNames are the names of the letter codes of IEC 60757.
var colourNames = map[string]string{
	"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue",
	"VT": "violet", "GY": "grey", "WH": "white", "PK": "pink", "TQ": "turquoise", "GNYE": "green-yellow",
}

// rowHeights are the wire table's row heights, the most comfortable first. Up to
// 1.5 times the size of their words, readers of PDF keep rows in their order.
var rowHeights = []float64{4.2, 4.0, 3.8}

// wireTable is the table of the added wires, width mm wide (123 on A4).
func wireTable(wires []fitting.Wire, width, rowHigh float64) block {
	b := block{width: width}
	extra := width - 123 // of a wider paper: half for each end's words
	number, from, to, colour := 2.0, 12.0, 51.5+extra/2, 81.5+extra
	size, grade, long := 103.5+extra, 111.8+extra, 121+extra

	const owner = "head WIRE"
	b.owner = owner
	b.ground(scene.Rect{W: width, H: barHigh}, owner)
	b.inked(at(number, 3.75), scene.Start, strong, scene.White, owner, "WIRE")
	for _, h := range []struct {
		x      float64
		anchor scene.Anchor
		words  string
	}{{from, scene.Start, "from"}, {to, scene.Start, "to"}, {colour, scene.Start, "colour"}, {size, scene.End, "mm²"}, {grade, scene.End, "volts"}, {long, scene.End, "≤\u00a0mm"}} {
		b.inked(at(h.x, 3.7), h.anchor, regular, scene.White, owner, h.words)
	}
	b.row(0, "WIRE", "from", "to", "colour", "mm²", "volts", "≤\u00a0mm")
	y := barHigh
	for _, w := range wires {
		ends := [2][]string{wrap(regular, w.From.Words, to-from-1.5), wrap(regular, w.To.Words, colour-to-1.5)}
		lines := max(len(ends[0]), len(ends[1]))
		base := y + rowHigh - 1.15
		first := len(b.items)
		b.words(at(number, base), scene.Start, strong, fmt.Sprint(w.Number))
		for k, x := range []float64{from, to} {
			for i, l := range ends[k] {
				b.words(at(x, base+float64(i)*pitch), scene.Start, regular, l)
			}
		}
		named := strings.TrimSpace(w.Colour + " " + colourNames[w.Colour])
		volts := fmt.Sprintf("%.0f", w.Insulation)
		b.words(at(colour, base), scene.Start, regular, named)
		b.words(at(size, base), scene.End, regular, gauge(w.Size))
		b.words(at(grade, base), scene.End, regular, volts)
		b.words(at(long, base), scene.End, regular, longest(w.Longest))
		b.row(first, fmt.Sprint(w.Number), w.From.Words, w.To.Words, named, gauge(w.Size), volts, longest(w.Longest))
		y += rowHigh + float64(lines-1)*pitch
		b.rule(hair, at(number, y), at(width-number, y))
	}
	b.height = y + 1.2
	return b
}

// longest is the longest length permitted, m, in whole millimetres; a dash where
// nothing hangs on it: as short as it goes.
func longest(m float64) string {
	if m <= 0 {
		return "–"
	}
	return fmt.Sprintf("%.0f", math.Floor(m*1000+1e-6))
}

// gauge is a conductor as the column of mm² shows it: the number of its area,
// or a diameter with its sign.
func gauge(size string) string {
	if area, ok := strings.CutSuffix(size, "mm²"); ok {
		return strings.TrimSpace(area)
	}
	if diameter, ok := strings.CutSuffix(size, "mm"); ok {
		return "ø\u00a0" + strings.Trim(diameter, " \u00a0")
	}
	return size
}
