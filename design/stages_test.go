package design_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design"
	"mutewright/design/finding"
)

// One set at three stages of knowledge, with the same parts fitted: every result
// is known better at each stage, fewer verdicts are open, less is left to
// measure and to assume, and once it is measured the verdict lets the work begin.
func TestStagesOfKnowledge(t *testing.T) {
	if testing.Short() {
		t.Skip("works several plans out")
	}
	t.Parallel()
	names := []string{"stages/1-types", "stages/2-schematic", "stages/3-measured"}
	last := work(t, names[2])
	require.LessOrEqual(t, last.Verdict, finding.Caution)
	fitted := settled(last)
	var before *design.Design
	for _, name := range names {
		now := work(t, name, fitted...)
		if before != nil {
			for _, q := range now.Quantities.All() {
				was, ok := before.Quantities.Get(q.Name)
				// The schematic shows a line capacitor that nobody knew of, and it was replaced.
				if !ok || strings.HasPrefix(q.Name, "mains.") {
					continue
				}
				assert.LessOrEqual(t, q.High-q.Low, 1.01*(was.High-was.Low)+1e-9*abs(q.Nominal), "%s: %s is known less well than before", name, q.Name)
			}
			assert.Less(t, open(now), open(before), "%s: verdicts that are open", name)
			assert.LessOrEqual(t, len(now.Measure), len(before.Measure), "%s: to measure first", name)
			assert.Less(t, len(now.Assumed), len(before.Assumed), "%s: assumed", name)
		}
		before = now
	}
	assert.Less(t, len(last.Measure), 7)
}

// open counts the limits that lie inside the doubt of their result.
func open(d *design.Design) (n int) {
	for _, l := range d.Limits {
		if l.Low < l.Limit && l.Limit < l.High {
			n++
		}
	}
	return n
}
