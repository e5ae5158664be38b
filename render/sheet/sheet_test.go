package sheet_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/plan"
	"mutewright/render/pdf"
	"mutewright/render/scene"
	"mutewright/render/sheet"
)

const program = "mutewright test"

var papers = []struct {
	name  string
	paper sheet.Paper
}{{"a4", sheet.A4}, {"letter", sheet.Letter}}

// designed works a plan of testdata out: "sound/larkmoor-seven".
func designed(t testing.TB, name string) *design.Design {
	t.Helper()
	file := filepath.Join("..", "..", "testdata", "plans", filepath.FromSlash(name)+".yaml")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	p, err := plan.Read(file, data, catalog.Default())
	require.NoError(t, err)
	d, err := design.New(p, catalog.Default())
	require.NoError(t, err)
	return d
}

// readable are all plans that the reader accepts.
func readable(t *testing.T) []string {
	t.Helper()
	var names []string
	for _, kind := range []string{"sound", "hurt"} {
		files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "plans", kind, "*.yaml"))
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, f := range files {
			names = append(names, kind+"/"+strings.TrimSuffix(filepath.Base(f), ".yaml"))
		}
	}
	return names
}

func TestEveryPageOfEveryPlan(t *testing.T) {
	for _, name := range readable(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := designed(t, name)
			for _, p := range papers {
				document, err := sheet.Compose(d, p.paper, program)
				if d.Refused {
					assert.ErrorIs(t, err, sheet.ErrRefused)
					continue
				}
				require.NoError(t, err, p.name)
				for _, page := range document.Pages {
					checkPage(t, page)
				}
				if dir := os.Getenv("SHEET_PDF"); dir != "" {
					var out bytes.Buffer
					require.NoError(t, pdf.Write(&out, document))
					name := strings.ReplaceAll(name, "/", "-") + "-" + p.name + ".pdf"
					require.NoError(t, os.WriteFile(filepath.Join(dir, name), out.Bytes(), 0o644))
				}
			}
		})
	}
}

// checkPage holds a page against what every page must be.
func checkPage(t *testing.T, page scene.Page) {
	t.Helper()
	assert.NoError(t, page.Check(), page.Name)
	for _, c := range page.Audit() {
		t.Errorf("%s: %s", page.Name, c)
	}
	const least = 8 * 25.4 / 72 // 8 pt
	for _, it := range page.Items {
		if words, ok := it.Shape.(scene.Text); ok {
			assert.GreaterOrEqualf(t, words.Size, least-1e-9, "%s: %q", page.Name, words.Words)
		}
	}
	assert.NotEmpty(t, page.Name)
	assert.NotEmpty(t, page.About, page.Name)
}
