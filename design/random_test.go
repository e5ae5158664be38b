package design_test

import (
	"flag"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/fitting"
	"mutewright/design/legal"
	"mutewright/design/plan"
	"mutewright/render/scene"
	"mutewright/render/sheet"
	"mutewright/render/wiring"
)

var everySheet = flag.Bool("every-sheet", false, "compose and audit the sheets of all plans at random, not of every tenth")

// randomPlans is how many of the legal plans at random are worked out.
func randomPlans() int {
	if testing.Short() {
		return 8
	}
	return 500
}

// Every legal plan at random is worked out, agrees with a small solution of its
// own, has its sheet on both papers without
// a complaint of the audit, and has every wire of its table drawn once, between
// the two ends that the table names.
func TestRandomLegalPlans(t *testing.T) {
	t.Parallel()
	for i := range randomPlans() {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			t.Parallel()
			text := legal.Plan(i)
			p, err := plan.Read("random", []byte(text), catalog.Default())
			require.NoError(t, err, "%s", text)
			d, err := design.New(p, catalog.Default(), design.NominalOnly)
			require.NoError(t, err, "%s", text)
			_, ok := d.Quantities.Get("drive.coil.voltage")
			assert.True(t, ok, "the drive of a legal plan is computed\n%s", text)
			agreesWithBisection(t, d)
			wires := d.Fitting.Wiring.Number()
			for _, paper := range []sheet.Paper{sheet.A4, sheet.Letter} {
				width := paper.Width - 20
				b, err := wiring.Layout(d.Fitting.Wiring, width, wiring.Options{})
				require.NoError(t, err, "%s", text)
				checkEnds(t, wires, b.Items)
				if *everySheet || i%10 == 0 { // the whole sheet takes longer than the plan
					document, err := sheet.Compose(d, paper, "mutewright test")
					require.NoError(t, err, "%s", text)
					for _, page := range document.Pages {
						require.NoError(t, page.Check(), page.Name)
						assert.Empty(t, page.Audit(), page.Name)
					}
				}
				// What hazard, title and notes leave of sheet 1 and of a further sheet.
				blocks, err := wiring.Series(d.Fitting.Wiring, width, paper.Height-86.5, paper.Height-50, false)
				require.NoError(t, err, "%s", text)
				var items []scene.Item
				for k, b := range blocks {
					items = append(items, scene.Shift(b.Items, 0, 300*float64(k))...)
				}
				checkEnds(t, wires, items)
			}
		})
	}
}

// checkEnds follows every wire of a drawing from its capsule to both ends: to the
// boxes that the table names, straight or along a part's lead.
func checkEnds(t *testing.T, wires []*fitting.Wire, items []scene.Item) {
	t.Helper()
	for _, w := range wires {
		owner := fmt.Sprint("wire ", w.Number)
		var capsules []scene.Rect
		var ends []scene.Point
		for _, it := range items {
			switch s := it.Shape.(type) {
			case scene.Rect:
				if it.Tag.Owner == owner {
					capsules = append(capsules, s)
				}
			case scene.Path:
				if it.Tag.Owner == owner {
					line := s.Flatten()[0]
					ends = append(ends, line[0], line[len(line)-1])
				}
			}
		}
		if !assert.Len(t, capsules, 1, owner) || !assert.Len(t, ends, 4, owner) {
			continue
		}
		assert.True(t, touches(ends[1], capsules[0]) && touches(ends[2], capsules[0]), "%s does not go through its capsule", owner)
		straight := reaches(items, ends[0], w.From) && reaches(items, ends[3], w.To)
		assert.True(t, straight || reaches(items, ends[0], w.To) && reaches(items, ends[3], w.From),
			"%s ends at %v and %v, not at %s and %s", owner, ends[0], ends[3], w.From.ID, w.To.ID)
	}
}

const hair = 0.06 // mm; lines meet boxes within half the width of a stroke

func touches(p scene.Point, r scene.Rect) bool {
	return r.Grown(hair).Holds(scene.Rect{X: p.X, Y: p.Y})
}

// reaches reports whether a point lies on a joint's box, or on leads that come
// to it.
func reaches(items []scene.Item, p scene.Point, j *fitting.Joint) bool {
	seen := map[int]bool{}
	var from func(p scene.Point) bool
	from = func(p scene.Point) bool {
		for _, it := range items {
			if r, ok := it.Shape.(scene.Rect); ok && it.Tag.Class == scene.Body && touches(p, r) &&
				(it.Tag.Owner == j.ID || strings.HasPrefix(it.Tag.Owner, "copy of "+j.ID+" ")) {
				return true
			}
		}
		for i, it := range items {
			path, ok := it.Shape.(scene.Path)
			if !ok || seen[i] || it.Tag.Class != scene.Conductor || it.Tag.Owner != "" {
				continue
			}
			line := path.Flatten()[0]
			if !on(p, line) {
				continue
			}
			seen[i] = true
			for _, q := range line {
				if from(q) {
					return true
				}
			}
		}
		return false
	}
	return from(p)
}

// on reports whether a point lies on a line of upright and level stretches.
func on(p scene.Point, line []scene.Point) bool {
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		if touches(p, scene.Rect{X: min(a.X, b.X), Y: min(a.Y, b.Y), W: max(a.X, b.X) - min(a.X, b.X), H: max(a.Y, b.Y) - min(a.Y, b.Y)}) {
			return true
		}
	}
	return false
}
