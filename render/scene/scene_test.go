package scene_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/render/scene"
)

func TestWidthIsTheFacesOwn(t *testing.T) {
	for _, f := range scene.Fonts {
		for _, figure := range "0123456789" {
			assert.InDelta(t, f.Width("0", 1), f.Width(string(figure), 1), 1e-9, "%v: figures stand in columns", f)
		}
	}
	assert.Zero(t, scene.Regular.Width("", 3))
	one := scene.Bold.Width("X2 tag 1", 1)
	assert.InDelta(t, 2.822*one, scene.Bold.Width("X2 tag 1", 2.822), 1e-9)
	assert.InDelta(t, one, scene.Bold.Width("X2 ", 1)+scene.Bold.Width("tag 1", 1), 1e-9, "no kerning")
}

func TestFacesCarryTheSheetsCharacters(t *testing.T) {
	for _, f := range scene.Fonts {
		assert.Empty(t, f.Missing("Ω µ ± ° → − ≤ ≥ ½ ¼ ² × – ’ ~\u00a0é"), "%v", f)
		assert.Equal(t, []rune("☐✓"), f.Missing("☐ done ✓ ☐"), "%v", f)
	}
}

func TestBytesAreACopy(t *testing.T) {
	b := scene.Regular.Bytes()
	b[0] ^= 0xff
	assert.NotEqual(t, b[0], scene.Regular.Bytes()[0])
}

func TestPoints(t *testing.T) {
	assert.InDelta(t, 25.4, scene.Points(72), 1e-12)
	assert.InDelta(t, 2.822, scene.Points(8), 0.0005)
}

func TestAnchors(t *testing.T) {
	text := scene.Text{At: scene.Point{X: 50, Y: 20}, Words: "receive", Size: 4}
	w := text.Font.Width(text.Words, text.Size)
	for anchor, left := range map[scene.Anchor]float64{scene.Start: 50, scene.Middle: 50 - w/2, scene.End: 50 - w} {
		text.Anchor = anchor
		assert.InDelta(t, left, text.Left(), 1e-9)
		b := text.Bounds()
		assert.InDelta(t, left+w, b.Right(), 1e-9)
		assert.InDelta(t, 20-0.74*4, b.Y, 1e-9)
		assert.InDelta(t, 20+0.21*4, b.Bottom(), 1e-9)
	}
}

func TestCubicsFollowTheirArc(t *testing.T) {
	for _, sweep := range []float64{360, 180, -180, 90, 296.8, 10} {
		arc := scene.ArcOf(scene.Point{X: 3, Y: 4}, 5, 31.6, sweep)[1]
		from := arc.First()
		for _, c := range arc.Cubics() {
			// The middle of a cubic Bézier curve is (p + 3a + 3b + q) / 8.
			x := (from.X + 3*c[0].X + 3*c[1].X + c[2].X) / 8
			y := (from.Y + 3*c[0].Y + 3*c[1].Y + c[2].Y) / 8
			assert.InDelta(t, 5, math.Hypot(x-3, y-4), 5*3e-4, "sweep %v", sweep)
			from = c[2]
		}
		assert.InDelta(t, arc.Last().X, from.X, 1e-9)
		assert.InDelta(t, arc.Last().Y, from.Y, 1e-9)
	}
}

func TestCheck(t *testing.T) {
	for _, c := range []struct {
		name string
		item scene.Item
		says string // empty: sound
	}{
		{"sound", scene.Item{Shape: scene.Text{Words: "10 kΩ", Size: 3}, Fill: scene.Black}, ""},
		{"no shape", scene.Item{}, "no shape"},
		{"not a number", scene.Item{Shape: scene.Circle{Radius: math.NaN()}}, "NaN"},
		{"pen without number", scene.Item{Shape: scene.Circle{Radius: 1}, Pen: scene.Pen{Width: math.Inf(1)}}, "+Inf"},
		{"broken text", scene.Item{Shape: scene.Text{Words: "\xc3", Size: 3}}, "UTF-8"},
		{"missing glyph", scene.Item{Shape: scene.Text{Words: "⏚", Size: 3}}, `the regular face lacks "⏚"`},
		{"empty path", scene.Item{Shape: scene.Path{}}, "move"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := scene.Page{Name: "p", Width: 10, Height: 10, Items: []scene.Item{c.item}}.Check()
			if c.says == "" {
				assert.NoError(t, err)
				return
			}
			assert.ErrorContains(t, err, c.says)
		})
	}
	assert.ErrorContains(t, scene.Page{Width: 10}.Check(), "height")
}

// The pieces the audit's cases are made of.
func word(x, y float64, words, owner string) scene.Item {
	return scene.Item{Shape: scene.Text{At: scene.Point{X: x, Y: y}, Words: words, Size: 3}, Fill: scene.Black, Tag: scene.Tag{Class: scene.Word, Owner: owner}}
}

func line(net string, class scene.Class, x0, y0, x1, y1 float64) scene.Item {
	return scene.Item{Shape: scene.Polyline(scene.Point{X: x0, Y: y0}, scene.Point{X: x1, Y: y1}), Tag: scene.Tag{Class: class, Nets: []string{net}}}
}

func body(x, y, w, h float64, owner string, nets ...string) scene.Item {
	return scene.Item{Shape: scene.Rect{X: x, Y: y, W: w, H: h}, Tag: scene.Tag{Class: scene.Body, Owner: owner, Nets: nets}}
}

func TestAudit(t *testing.T) {
	for _, c := range []struct {
		name  string
		items []scene.Item
		finds string // empty: nothing
	}{
		{"words apart", []scene.Item{word(10, 10, "R901", ""), word(10, 14, "180 Ω", "")}, ""},
		{"words on words", []scene.Item{word(10, 10, "R901", ""), word(12, 11, "180 Ω", "")}, "words on words"},
		{"words in their box", []scene.Item{body(9, 6, 20, 6, "X2 tag 1"), word(10, 10, "X2 tag 1", "X2 tag 1")}, ""},
		{"words wider than their box", []scene.Item{body(9, 6, 5, 6, "X2 tag 1"), word(10, 10, "X2 tag 1", "X2 tag 1")}, "words on a body"},
		{"words in a foreign box", []scene.Item{body(9, 6, 20, 6, "X2 tag 2"), word(10, 10, "X2 tag 1", "X2 tag 1")}, "words on a body"},
		{"line through words", []scene.Item{word(10, 10, "R901", ""), line("a", scene.Conductor, 5, 9, 30, 9)}, "line through words"},
		{"line under words", []scene.Item{word(10, 10, "R901", ""), line("a", scene.Conductor, 5, 12, 30, 12)}, ""},
		{"line ends at its terminal", []scene.Item{body(20, 8, 5, 4, "1", "a"), line("a", scene.Conductor, 5, 10, 20, 10)}, ""},
		{"line runs through its terminal", []scene.Item{body(20, 8, 5, 4, "1", "a"), line("a", scene.Conductor, 5, 10, 40, 10)}, "line through a body"},
		{"line ends in a foreign body", []scene.Item{body(20, 8, 5, 4, "1", "b"), line("a", scene.Conductor, 5, 10, 21, 10)}, "line through a body"},
		{"one net may meet", []scene.Item{line("a", scene.Conductor, 5, 10, 40, 10), line("a", scene.Conductor, 20, 10, 20, 30)}, ""},
		{"two nets cross", []scene.Item{line("a", scene.Conductor, 5, 10, 40, 10), line("b", scene.Conductor, 20, 5, 20, 30)}, "lines too close"},
		{"two nets within 0.6", []scene.Item{line("a", scene.Conductor, 5, 10, 40, 10), line("b", scene.Conductor, 5, 10.5, 40, 10.5)}, "lines too close"},
		{"two nets at 0.6", []scene.Item{line("a", scene.Conductor, 5, 10, 40, 10), line("b", scene.Conductor, 5, 10.6, 40, 10.6)}, ""},
		{"the link crosses a wire", []scene.Item{line("a", scene.Conductor, 5, 10, 40, 10), line("link K1", scene.Link, 20, 5, 20, 30)}, "lines too close"},
		{"bodies meet", []scene.Item{body(5, 5, 10, 10, "C901"), body(14, 5, 10, 10, "C902")}, "bodies meet"},
		{"parts of one body", []scene.Item{body(5, 5, 10, 10, "C901"), body(14, 5, 10, 10, "C901")}, ""},
		{"a rule through words", []scene.Item{word(10, 10, "R901", ""), line("", scene.Rule, 0, 9, 50, 9)}, "line through words"},
		{"outside", []scene.Item{word(95, 10, "far right", "")}, "outside the frame"},
		{"ornaments lie anywhere", []scene.Item{word(10, 10, "R901", ""), {Shape: scene.Circle{Centre: scene.Point{X: 11, Y: 9}, Radius: 2}}}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := scene.Page{Width: 100, Height: 50, Frame: scene.Rect{W: 100, H: 50}, Items: c.items}
			found := page.Audit()
			if c.finds == "" {
				assert.Empty(t, found)
				return
			}
			require.Len(t, found, 1)
			assert.Equal(t, c.finds, found[0].What)
		})
	}
}

func TestShift(t *testing.T) {
	items := []scene.Item{
		word(10, 10, "a", ""), body(1, 2, 3, 4, ""), {Shape: scene.ArcOf(scene.Point{X: 5, Y: 5}, 2, 0, 90)}, {Shape: scene.Circle{Radius: 1}},
	}
	for i, moved := range scene.Shift(items, 7, -3) {
		was, is := items[i].Shape.Bounds(), moved.Shape.Bounds()
		assert.InDelta(t, was.X+7, is.X, 1e-9)
		assert.InDelta(t, was.Y-3, is.Y, 1e-9)
		assert.InDelta(t, was.W, is.W, 1e-9)
		assert.InDelta(t, was.H, is.H, 1e-9)
	}
}

func TestDump(t *testing.T) {
	page := scene.Page{Name: "1", Width: 210, Height: 297, Frame: scene.Rect{X: 10, Y: 10, W: 190, H: 277}, Items: []scene.Item{
		{Shape: scene.Polyline(scene.Point{X: 1, Y: 2}, scene.Point{X: 3.14159, Y: -0.0001}), Pen: scene.Pen{Ink: scene.Black, Width: 0.35, Dash: scene.Dash{On: 1.6, Off: 1.1}}, Tag: scene.Tag{Class: scene.Link, Nets: []string{"link K1"}}},
		{Shape: scene.Rect{X: 1, Y: 1, W: 4, H: 2, Radius: 1}, Fill: scene.White},
		word(10, 20, "tip", "J901 tip"),
	}}
	assert.Equal(t, `page "1" 210 × 297 frame 10,10 190 × 277
path move 1,2 line 3.14,0 pen black 0.35 dash 1.6/1.1 [link: link K1]
rect 1,1 4 × 2 r 1 fill white
text 10,20 regular "tip" 3 fill black [word J901 tip]
`, page.Dump())
}
