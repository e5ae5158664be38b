package sheet_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/finding"
	"mutewright/design/plan"
	"mutewright/render/pdf"
	"mutewright/render/scene"
	"mutewright/render/sheet"
	"mutewright/render/svg"
)

const program = "mutewright test"

var update = flag.Bool("update", false, "rewrite the goldens and the pictures of the README")

var papers = []struct {
	name  string
	paper sheet.Paper
}{{"a4", sheet.A4}, {"letter", sheet.Letter}}

var plans = filepath.Join("..", "..", "testdata", "plans")

// designed is a plan of testdata worked out, once for all tests:
// "sound/larkmoor-seven".
func designed(t testing.TB, name string) *design.Design {
	t.Helper()
	once, _ := designs.LoadOrStore(name, sync.OnceValues(func() (*design.Design, error) { return workOut(name) }))
	d, err := once.(func() (*design.Design, error))()
	require.NoError(t, err)
	return d
}

var designs sync.Map // from the name to func() (*design.Design, error)

// workOut works a plan of testdata out anew.
func workOut(name string) (*design.Design, error) {
	file := filepath.Join(plans, filepath.FromSlash(name)+".yaml")
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	p, err := plan.Read(file, data, catalog.Default())
	if err != nil {
		return nil, err
	}
	return design.New(p, catalog.Default())
}

func composed(t testing.TB, name string, paper sheet.Paper) scene.Document {
	t.Helper()
	document, err := sheet.Compose(designed(t, name), paper, program)
	require.NoError(t, err)
	return document
}

// readable are all plans that the reader accepts.
func readable(t *testing.T) []string {
	t.Helper()
	var names []string
	for _, kind := range []string{"sound", "hurt"} {
		files, err := filepath.Glob(filepath.Join(plans, kind, "*.yaml"))
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, f := range files {
			names = append(names, kind+"/"+strings.TrimSuffix(filepath.Base(f), ".yaml"))
		}
	}
	return names
}

// TestEveryPageOfEveryPlan composes all plans on both papers. With SHEET_PDF
// naming a directory the sheets are written there, to be looked at.
func TestEveryPageOfEveryPlan(t *testing.T) {
	if testing.Short() {
		t.Skip("works every plan out")
	}
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
				checkFull(t, document)
				checkVerdict(t, d, document)
				checkWires(t, d, document)
				if dir := os.Getenv("SHEET_PDF"); dir != "" {
					var out bytes.Buffer
					require.NoError(t, pdf.Write(&out, document))
					file := strings.ReplaceAll(name, "/", "-") + "-" + p.name + ".pdf"
					require.NoError(t, os.WriteFile(filepath.Join(dir, file), out.Bytes(), 0o644))
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
	for _, words := range texts(page) {
		assert.GreaterOrEqualf(t, words.Size, least-1e-9, "%s: %q", page.Name, words.Words)
	}
	assert.NotEmpty(t, page.Name)
	assert.NotEmpty(t, page.About, page.Name)
	assert.Contains(t, joined(page), "a licensed person decide", page.Name)
}

// checkFull finds pages before the last that are nearly empty.
func checkFull(t *testing.T, document scene.Document) {
	t.Helper()
	for _, page := range document.Pages[:len(document.Pages)-1] {
		const title = 20 // the title block of a further sheet, with what keeps off it
		low := 0.0
		for _, it := range page.Items {
			if b := it.Shape.Bounds().Bottom(); b < page.Frame.Bottom()-title {
				low = max(low, b)
			}
		}
		assert.Greaterf(t, low, page.Frame.Y+page.Frame.H/4, "%s is nearly empty", page.Name)
	}
}

func texts(page scene.Page) []scene.Text {
	var list []scene.Text
	for _, it := range page.Items {
		if words, ok := it.Shape.(scene.Text); ok {
			list = append(list, words)
		}
	}
	return list
}

// joined is a page's words in reading order.
func joined(page scene.Page) string {
	var list []string
	for _, w := range texts(page) {
		list = append(list, w.Words)
	}
	return strings.Join(list, " ")
}

// checkVerdict holds the verdict against what page 1 says of it.
func checkVerdict(t *testing.T, d *design.Design, document scene.Document) {
	t.Helper()
	first := joined(document.Pages[0])
	if d.Verdict < finding.Fail {
		assert.NotContains(t, first, "NOT READY")
	} else {
		assert.Contains(t, first, "NOT READY")
	}
	word := strings.Fields(first)[0]
	if d.Verdict == finding.Danger {
		assert.Equal(t, "DANGER", word)
	} else {
		assert.Equal(t, "WARNING", word, "a rail over 60 V stands in each of these sets")
	}
	last := fmt.Sprintf("%d of %d", len(document.Pages), len(document.Pages))
	assert.Contains(t, joined(document.Pages[len(document.Pages)-1]), last)
}

// checkWires finds every wire in the table, its words in reading order.
func checkWires(t *testing.T, d *design.Design, document scene.Document) {
	t.Helper()
	table := ""
	for _, p := range document.Pages {
		table += joined(p) + " "
	}
	at := 0
	for _, w := range d.Fitting.Wires {
		// Long ends are wrapped: their first word tells.
		row := fmt.Sprintf("%d %s", w.Number, strings.Fields(w.From.Words)[0])
		found := strings.Index(table[at:], row)
		if assert.GreaterOrEqualf(t, found, 0, "no row %q behind the last one", row) {
			at += found
		}
	}
}

func TestRefused(t *testing.T) {
	d := designed(t, "hurt/series-heaters")
	_, err := sheet.Compose(d, sheet.A4, program)
	require.ErrorIs(t, err, sheet.ErrRefused)
	_, err = sheet.Diagram(d, sheet.A4)
	assert.ErrorIs(t, err, sheet.ErrRefused)
	_, err = sheet.Timing(d, sheet.A4)
	assert.ErrorIs(t, err, sheet.ErrRefused)
}

func TestDiagramsStandAlone(t *testing.T) {
	d := designed(t, "sound/tarnbeck-alone")
	for name, draw := range map[string]func(*design.Design, sheet.Paper) (scene.Page, error){
		"wiring": sheet.Diagram, "timing": sheet.Timing,
	} {
		for _, p := range papers {
			t.Run(name+"/"+p.name, func(t *testing.T) {
				page, err := draw(d, p.paper)
				require.NoError(t, err)
				checkPage(t, page)
				assert.Contains(t, joined(page), "verdict")
				assert.InDelta(t, p.paper.Width, page.Width, 1e-9)
			})
		}
	}
}

func TestNothingToTime(t *testing.T) {
	// Its coil may not pull in: no time is promised.
	_, err := sheet.Timing(designed(t, "hurt/drive-operate"), sheet.A4)
	assert.ErrorIs(t, err, sheet.ErrUntimed)
}

// golden compares text with a file, or rewrites the file.
func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		require.NotEqual(t, "true", os.Getenv("CI"), "goldens are not rewritten by CI")
		old, err := os.ReadFile(file)
		if err == nil && string(old) == got {
			return
		}
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
		t.Logf("%s rewritten: %d bytes, before %d", file, len(got), len(old))
		return
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	if string(want) == got {
		return
	}
	w, g := strings.Split(string(want), "\n"), strings.Split(got, "\n")
	for i := range min(len(w), len(g)) {
		if w[i] != g[i] {
			t.Fatalf("%s is stale at line %d:\n%.300s\nis now\n%.300s\n(go test ./render/sheet -update rewrites it)", file, i+1, w[i], g[i])
		}
	}
	t.Fatalf("%s is stale: %d lines, now %d (go test ./render/sheet -update rewrites it)", file, len(w), len(g))
}

func TestGoldenFirstPage(t *testing.T) {
	golden(t, filepath.Join("testdata", "larkmoor-seven-page1.txt"), composed(t, "sound/larkmoor-seven", sheet.A4).Pages[0].Dump())
}

// TestReadmePictures keeps the pictures of the README what the program draws.
func TestReadmePictures(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "readme")
	for _, picture := range []struct {
		file, plan, page string
	}{
		{"larkmoor-seven-page1.svg", "sound/larkmoor-seven", "Wiring"},
		{"tarnbeck-alone-page1.svg", "sound/tarnbeck-alone", "Wiring"},
		{"larkmoor-seven-plots.svg", "sound/larkmoor-seven", "Plots"},
	} {
		t.Run(picture.file, func(t *testing.T) {
			document := composed(t, picture.plan, sheet.A4)
			for _, page := range document.Pages {
				if !strings.HasSuffix(page.Name, picture.page) {
					continue
				}
				var out bytes.Buffer
				require.NoError(t, svg.Write(&out, document.Title, page))
				golden(t, filepath.Join(dir, picture.file), out.String())
				return
			}
			t.Fatalf("no page %s", picture.page)
		})
	}
}

const child = "SHEET_CHILD" // names the file that the other process writes

func printed(t *testing.T) []byte {
	t.Helper()
	d, err := workOut("sound/tarnbeck-alone")
	require.NoError(t, err)
	document, err := sheet.Compose(d, sheet.A4, program)
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, pdf.Write(&out, document))
	return out.Bytes()
}

func TestSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("works a plan out three times")
	}
	if file := os.Getenv(child); file != "" {
		require.NoError(t, os.WriteFile(file, printed(t), 0o600))
		return
	}
	first := printed(t)
	assert.True(t, bytes.Equal(first, printed(t)), "twice in one process")

	file := filepath.Join(t.TempDir(), "sheet.pdf")
	other := exec.Command(os.Args[0], "-test.run=^TestSameBytes$")
	other.Env = append(os.Environ(), child+"="+file)
	out, err := other.CombinedOutput()
	require.NoError(t, err, "%s", out)
	third, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(first, third), "in another process")
}

func BenchmarkCompose(b *testing.B) {
	d := designed(b, "sound/larkmoor-seven")
	for b.Loop() {
		document, err := sheet.Compose(d, sheet.A4, program)
		require.NoError(b, err)
		require.NoError(b, pdf.Write(&bytes.Buffer{}, document))
	}
}
