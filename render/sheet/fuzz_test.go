package sheet_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/document"
	"mutewright/design/known"
	"mutewright/design/plan"
	"mutewright/render/pdf"
	"mutewright/render/sheet"
)

// Whatever a plan says, its sheet is drawn and written, or refused.
func FuzzSheet(f *testing.F) {
	files, err := filepath.Glob(filepath.Join(plans, "*", "*.yaml"))
	require.NoError(f, err)
	for i, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(f, err)
		if i%32 == 0 || i%2 == 0 && !testing.Short() {
			f.Add(data, "returns.mute_line.pulldown=4k7")
		}
	}
	f.Fuzz(func(t *testing.T, data []byte, setting string) {
		p, err := plan.Read("plan.yaml", data, catalog.Default(), setting)
		if err != nil {
			t.Skip()
		}
		for i := range p.Relays.Items { // a choice tries all relays: seconds
			if r := &p.Relays.Items[i]; r.Use.State == document.Choose || r.Rectifier.State == document.Choose {
				t.Skip()
			}
		}
		d, err := design.New(p, catalog.Default(), certain)
		if err != nil {
			t.Skip()
		}
		pages, err := sheet.Compose(d, sheet.A4, program)
		if errors.Is(err, sheet.ErrRefused) || errors.Is(err, sheet.ErrUntimed) {
			t.Skip()
		}
		require.NoError(t, err)
		var out bytes.Buffer
		require.NoError(t, pdf.Write(&out, pages))
		require.NotZero(t, out.Len())
	})
}

// certain takes the doubt out of a plan, for speed; its transients stay.
func certain(f *known.Facts) {
	for i := range f.Box {
		f.Box[i].Low, f.Box[i].High = f.Box[i].Nominal, f.Box[i].Nominal
	}
}
