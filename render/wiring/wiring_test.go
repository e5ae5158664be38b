package wiring_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/fitting"
	"mutewright/render/pdf"
	"mutewright/render/scene"
	"mutewright/render/svg"
	"mutewright/render/wiring"
)

var (
	update = flag.Bool("update", false, "rewrite the golden files")
	look   = flag.String("look", "", "also print every fixture as PDF into this `directory`")
)

// papers are the sizes and the width that a sheet's frame leaves.
var papers = []struct {
	name          string
	width, height float64
}{{"a4", 210, 297}, {"letter", 215.9, 279.4}}

// block lays out a numbered diagram on a page of its own.
func block(t *testing.T, w fitting.Wiring, paper float64, o wiring.Options) (wiring.Block, scene.Page) {
	t.Helper()
	w.Number()
	b, err := wiring.Layout(w, paper-20, o)
	require.NoError(t, err)
	return b, scene.Page{
		Name: "wiring", Width: paper, Height: b.Height + 20,
		Frame: scene.Rect{X: 10, Y: 10, W: b.Width, H: b.Height}, Items: scene.Shift(b.Items, 10, 10),
	}
}

// golden compares with a file in testdata, or rewrites it.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	want, err := os.ReadFile(path)
	if *update {
		require.NotEqual(t, "true", os.Getenv("CI"), "goldens are not rewritten in CI")
		if !bytes.Equal(want, got) {
			t.Logf("%s: rewritten, %d bytes to %d", path, len(want), len(got))
			require.NoError(t, os.MkdirAll("testdata", 0o755))
			require.NoError(t, os.WriteFile(path, got, 0o644))
		}
		return
	}
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got), "%s differs; -update rewrites it", path)
}

func TestFixtures(t *testing.T) {
	for _, f := range fixtures {
		for _, p := range papers {
			t.Run(f.name+"/"+p.name, func(t *testing.T) {
				b, page := block(t, f.make(), p.width, wiring.Options{})
				assert.Equal(t, wiring.Full, b.Level)
				assert.Empty(t, b.Moved)
				assert.Empty(t, page.Audit())
				if p.name == "a4" {
					golden(t, f.name+".txt", []byte(page.Dump()))
				}
				d := scene.Document{Title: f.name, Pages: []scene.Page{page}}
				var first, second bytes.Buffer
				require.NoError(t, pdf.Write(&first, d))
				require.NoError(t, pdf.Write(&second, d))
				assert.Equal(t, first.Bytes(), second.Bytes())
				if *look != "" {
					require.NoError(t, os.WriteFile(filepath.Join(*look, f.name+"-"+p.name+".pdf"), first.Bytes(), 0o644))
				}
			})
		}
	}
}

func TestSVG(t *testing.T) {
	for _, f := range fixtures[:2] {
		t.Run(f.name, func(t *testing.T) {
			_, page := block(t, f.make(), papers[0].width, wiring.Options{})
			var out bytes.Buffer
			require.NoError(t, svg.Write(&out, f.name, page))
			golden(t, f.name+".svg", out.Bytes())
		})
	}
}

// The specimens of the layout rules put these heights on A4: 160.8 with the link
// straight under the coil, 172.8 with a buffer and a jogged link.
func TestSpecimenHeights(t *testing.T) {
	a, _ := block(t, specimenA(), 210, wiring.Options{})
	b, _ := block(t, specimenB(), 210, wiring.Options{})
	assert.InDelta(t, 160.8, a.Height, 0.05)
	assert.InDelta(t, 172.8, b.Height, 0.05)
}

func TestLevels(t *testing.T) {
	for _, c := range []struct {
		least  wiring.Level
		height float64
		moved  []string
	}{
		{wiring.Full, 160.8, nil},
		{wiring.NoFlags, 160.8, []string{"volts at the cathode of sensitivity"}},
		{wiring.Compact, 148.8, []string{"volts at the cathode of output", "volts at the cathode of sensitivity"}},
		{wiring.Bands, 0, []string{"volts at the cathode of output", "volts at the cathode of sensitivity"}},
	} {
		t.Run(c.least.String(), func(t *testing.T) {
			b, page := block(t, specimenA(), 210, wiring.Options{Least: c.least})
			assert.Equal(t, c.least, b.Level)
			assert.Equal(t, c.moved, b.Moved)
			if c.height > 0 {
				assert.InDelta(t, c.height, b.Height, 0.05)
			}
			golden(t, fmt.Sprintf("level-%d.txt", c.least), []byte(page.Dump()))
		})
	}
}

// What has no room in one drawing is several, no higher than asked for; the coil
// of a further relay leaves the first only where it may.
func TestSeries(t *testing.T) {
	w := twoRelays()
	w.Number()
	for _, c := range []struct {
		name           string
		first, further float64
		kept           bool
		drawings       int
		says           string // empty: it is drawn
	}{
		{"room for all", 400, 400, true, 1, ""},
		{"drive, then contacts", 160, 110, true, 2, ""},
		{"the second coil goes too", 140, 160, false, 2, ""},
		{"the second coil may not go", 120, 160, true, 0, "the drive is"},
		{"no room for the contacts", 200, 60, true, 0, "a band of contacts is"},
	} {
		t.Run(c.name, func(t *testing.T) {
			blocks, err := wiring.Series(w, 190, c.first, c.further, c.kept)
			if c.says != "" {
				assert.ErrorContains(t, err, c.says)
				return
			}
			require.NoError(t, err)
			require.Len(t, blocks, c.drawings)
			for i, b := range blocks {
				most := c.further
				if i == 0 {
					most = c.first
				}
				assert.LessOrEqual(t, b.Height, most+0.01, "drawing %d", i+1)
			}
		})
	}
}

// A bound on the height is met by the first level that is low enough.
func TestHeight(t *testing.T) {
	b, _ := block(t, specimenA(), 210, wiring.Options{Height: 150})
	assert.Equal(t, wiring.Compact, b.Level)
	w := specimenA()
	w.Number()
	_, err := wiring.Layout(w, 190, wiring.Options{Height: 100})
	assert.ErrorContains(t, err, "100.0 mm at most")
}

// Every wire of the table is drawn once, between the boxes of its two ends, and
// bears its number and colour.
func TestEveryWireIsDrawnOnce(t *testing.T) {
	for _, f := range fixtures {
		t.Run(f.name, func(t *testing.T) {
			w := f.make()
			wires := w.Number()
			b, err := wiring.Layout(w, 190, wiring.Options{})
			require.NoError(t, err)
			capsules := map[string]int{}
			for _, it := range b.Items {
				if r, ok := it.Shape.(scene.Rect); ok && it.Tag.Class == scene.Body && r.Radius > 0 {
					capsules[it.Tag.Owner]++
				}
			}
			assert.Len(t, capsules, len(wires))
			for _, wire := range wires {
				assert.NotZero(t, wire.Number)
			}
		})
	}
}

func TestSmallestType(t *testing.T) {
	for _, f := range fixtures {
		b, _ := block(t, f.make(), 210, wiring.Options{})
		for _, it := range b.Items {
			if text, ok := it.Shape.(scene.Text); ok {
				assert.GreaterOrEqual(t, text.Size, scene.Points(8)-1e-9, "%s: %q", f.name, text.Words)
			}
		}
	}
}

// What does not make a diagram is refused with its name, and does not panic.
func TestRefused(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*fitting.Wiring)
		says  string
	}{
		{"no lane", func(w *fitting.Wiring) { w.Drive.Lane = nil }, "no lane"},
		{"wire of another return", func(w *fitting.Wiring) {
			w.Groups[0].Stubs[0].Wire.To = w.Guards[0].Joints[0]
		}, "not on this return"},
		{"guard without wires", func(w *fitting.Wiring) { w.Guards[0].Wires = nil }, "do not make its kind"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := specimenA()
			c.spoil(&w)
			w.Number()
			_, err := wiring.Layout(w, 190, wiring.Options{})
			assert.ErrorContains(t, err, c.says)
		})
	}
}

func BenchmarkLayout(b *testing.B) {
	w := specimenB()
	w.Number()
	for b.Loop() {
		if _, err := wiring.Layout(w, 190, wiring.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
