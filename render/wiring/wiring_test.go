package wiring_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/render/pdf"
	"mutewright/render/scene"
	"mutewright/render/wiring"
)

var papers = []struct {
	name          string
	width, height float64
}{{"a4", 210, 297}, {"letter", 215.9, 279.4}}

func TestFixtures(t *testing.T) {
	for _, f := range fixtures {
		for _, p := range papers {
			t.Run(f.name+"/"+p.name, func(t *testing.T) {
				w := f.make()
				w.Number()
				b, err := wiring.Layout(w, p.width-20, wiring.Options{})
				require.NoError(t, err)
				t.Logf("%v, %.1f mm high", b.Level, b.Height)
				if dir := os.Getenv("WIRING_PDF"); dir != "" {
					page := scene.Page{Name: f.name, Width: p.width, Height: b.Height + 20, Frame: scene.Rect{X: 10, Y: 10, W: b.Width, H: b.Height}, Items: scene.Shift(b.Items, 10, 10)}
					out, err := os.Create(filepath.Join(dir, f.name+"-"+p.name+".pdf"))
					require.NoError(t, err)
					require.NoError(t, pdf.Write(out, scene.Document{Title: f.name, Pages: []scene.Page{page}}))
					require.NoError(t, out.Close())
				}
			})
		}
	}
}
