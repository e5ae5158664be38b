package cli_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// module is the root of the repository as seen from here.
const module = "../../.."

// rooms is the table of who may know whom: data goes one way. A package that
// has no row here, or an import that its row lacks, fails the test.
var rooms = map[string]string{
	"design/quantity":      "",
	"design/finding":       "",
	"design/beside":        "", // pieces of work on all processors
	"design/circuit":       "",
	"design/spread":        "design/beside",
	"design/contact":       "",
	"design/circuit/spice": "design/circuit", // netlists of the tests
	"design/legal":         "",               // plans at random, for the tests
	"render/scene":         "",
	"design/document":      "design/quantity",
	"catalog":              "design/document design/quantity",
	"design/plan":          "catalog design/document design/quantity",
	"design/known":         "catalog design/document design/plan design/quantity", // the plan's values are those of document
	"design/lifted":        "design/circuit",
	"design/drive":         "design/beside design/circuit",
	"design/antenna":       "design/circuit",
	"design/mains":         "design/circuit",
	"design/timing":        "design/beside design/circuit design/drive design/lifted",
	"design/answer":        "design/antenna design/beside design/contact design/drive design/known design/lifted design/mains design/quantity design/spread design/timing",
	"design/rule":          "catalog design/answer design/antenna design/contact design/drive design/finding design/known design/mains design/plan design/quantity design/timing", // puts the reasons that physics gives as types into words
	"design/fitting":       "catalog design/answer design/contact design/known design/plan design/quantity",
	"design":               "catalog design/answer design/antenna design/beside design/circuit design/contact design/document design/drive design/finding design/fitting design/known design/lifted design/mains design/plan design/quantity design/rule design/spread design/timing",
	"render/pdf":           "render/scene",
	"render/svg":           "render/scene",
	"render/plot":          "render/scene",
	"render/wiring":        "design/fitting design/quantity render/scene",
	"render/sheet":         "design design/answer design/finding design/fitting design/quantity render/plot render/scene render/wiring",
	"render/report":        "design design/answer design/finding design/fitting design/mains design/quantity design/rule",
	"cmd/internal/cli":     "catalog design design/beside design/finding design/mains design/plan design/quantity render/pdf render/report render/scene render/sheet render/svg render/wiring", // scene: a document of one page
	"cmd/mutewright":       "cmd/internal/cli",
}

// guests are the modules from outside and the rooms that may let them in.
var guests = map[string]string{
	"gopkg.in/yaml.v3":                         "design/document",
	"github.com/jung-kurt/gofpdf":              "render/pdf",
	"github.com/stretchr/testify/assert":       "design/circuit/spice",
	"github.com/stretchr/testify/require":      "design/circuit/spice",
	"github.com/spf13/pflag":                   "cmd/internal/cli",
	"golang.org/x/image/font/sfnt":             "render/scene",
	"golang.org/x/image/font":                  "render/scene",
	"golang.org/x/image/math/fixed":            "render/scene",
	"golang.org/x/image/font/gofont/gobold":    "render/scene render/pdf",
	"golang.org/x/image/font/gofont/goitalic":  "render/scene render/pdf",
	"golang.org/x/image/font/gofont/gomono":    "render/scene render/pdf",
	"golang.org/x/image/font/gofont/goregular": "render/scene render/pdf",
}

// An arrow is one import, seen in a file that is no test.
type arrow struct{ file, room, imports string }

// arrows reads the imports of every file of the repository.
func arrows(t *testing.T) []arrow {
	t.Helper()
	var list []arrow
	err := filepath.WalkDir(module, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && name != module):
			return fs.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		file, err := filepath.Rel(module, name)
		if err != nil {
			return err
		}
		syntax, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		file = filepath.ToSlash(file)
		for _, spec := range syntax.Imports {
			imports, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			list = append(list, arrow{file, path.Dir(file), imports})
		}
		return nil
	})
	require.NoError(t, err)
	require.NotEmpty(t, list)
	return list
}

func TestImportsFollowTheTable(t *testing.T) {
	for _, a := range arrows(t) {
		row, known := rooms[a.room]
		if !assert.Truef(t, known, "%s: %s is no room of the table", a.file, a.room) {
			continue
		}
		ours, isOurs := strings.CutPrefix(a.imports, "mutewright/")
		first, _, _ := strings.Cut(a.imports, "/")
		switch {
		case isOurs:
			assert.Containsf(t, strings.Fields(row), ours, "%s: %s may not import %s", a.file, a.room, ours)
		case strings.Contains(first, "."):
			assert.Containsf(t, strings.Fields(guests[a.imports]), a.room, "%s: %s may not import %s", a.file, a.room, a.imports)
		}
	}
}

func TestTableRunsOneWay(t *testing.T) {
	state := map[string]int{} // 1: being walked, 2: done
	var walk func(room string, way []string)
	walk = func(room string, way []string) {
		require.NotEqualf(t, 1, state[room], "a circle: %v", append(way, room))
		if state[room] == 2 {
			return
		}
		state[room] = 1
		for _, next := range strings.Fields(rooms[room]) {
			_, known := rooms[next]
			require.Truef(t, known, "%s names %s, which has no row", room, next)
			walk(next, append(slices.Clone(way), room))
		}
		state[room] = 2
	}
	for room := range rooms {
		walk(room, nil)
	}
}

func TestTopLevelIsFixed(t *testing.T) {
	entries, err := os.ReadDir(module)
	require.NoError(t, err)
	// The last is what people build; sheets and pictures of them are theirs as well.
	allowed := strings.Fields("cmd design render catalog testdata README.md DEVELOPERS.md go.mod go.sum mutewright")
	for _, e := range entries {
		made := slices.Contains([]string{".pdf", ".png", ".svg"}, filepath.Ext(e.Name()))
		if !made && !strings.HasPrefix(e.Name(), ".") {
			assert.Contains(t, allowed, e.Name())
		}
	}
}
