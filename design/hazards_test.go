package design_test

import (
	"flag"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/finding"
)

const hazardPage = "../testdata/hazards.txt"

var updateHazards = flag.Bool("update-hazards", false, "write the page of hazards anew")

// hazards holds what came of all edits against the page that is kept, and says
// how much was caught.
func hazards(t *testing.T, all []outcome) {
	t.Helper()
	page := pageOf(all)
	if *updateHazards {
		require.NotEqual(t, "true", os.Getenv("CI"), "a page that nobody has read is not accepted")
		require.NoError(t, os.WriteFile(hazardPage, []byte(page), 0o644))
	}
	want, err := os.ReadFile(hazardPage)
	require.NoError(t, err)
	assert.Equal(t, string(want), page, "stale: read what changed, then go test ./design -run TestEveryHazardIsCaught -update-hazards")
}

// A group is the places of one edit of which the same came.
type group struct {
	words string
	plans []string
}

// pageOf writes, for each edit, what came of it and in which plans.
func pageOf(all []outcome) string {
	var groups map[string]*group
	var order []string
	put := func(words, plan string) {
		g := groups[words]
		if g == nil {
			g = &group{words: words}
			groups[words] = g
			order = append(order, words)
		}
		g.plans = append(g.plans, plan)
	}
	var count struct{ caught, harmless, absent int }
	worst := map[finding.Severity]int{}
	plans := map[string]bool{}
	var body strings.Builder
	for _, e := range edits {
		groups, order = map[string]*group{}, nil
		for _, o := range all {
			plans[o.plan] = true
			if o.edit != e.name {
				continue
			}
			what := ""
			if o.what != "" {
				what = o.what + ": "
			}
			switch {
			case o.absent != "":
				count.absent++
				put("has no place: "+o.absent, o.plan)
			case o.harmless != "":
				count.harmless++
				put(what+"harmless: "+o.harmless, o.plan)
			default:
				count.caught++
				worst[o.caught[0].severity]++
				var words []string
				for _, h := range o.caught {
					h.at = anywhere(h.at)
					if w := h.String(); !slices.Contains(words, w) {
						words = append(words, w)
					}
				}
				put(what+strings.Join(words, "; "), o.plan)
			}
		}
		slices.Sort(order)
		fmt.Fprintf(&body, "\n%s\n", e.name)
		for _, words := range order {
			g := groups[words]
			wrap(&body, "  ", "    ", fmt.Sprintf("%d × %s", len(g.plans), g.words))
			wrap(&body, "      ", "      ", counted(g.plans))
		}
	}
	var b strings.Builder
	wrap(&b, "", "", "Every sound plan is built as it stands and made wrong in one way at one place. What the program has to find is worked out once more from "+
		"limits, ratings and results, by another judge than the rules; it is caught where the program finds it with the same id, severity and key path. "+
		"Only what was not due before the edit counts. Values stand at their nominal; where doubt decides what an edit does, the doubt of that counts. A plan that is named with a number has that many places.")
	fmt.Fprintf(&b, "\n%d plans, %d edits, %d places: %d caught (%d danger, %d fail, %d caution, %d note), %d harmless; %d times an edit has no place in a plan.\n",
		len(plans), len(edits), count.caught+count.harmless, count.caught,
		worst[finding.Danger], worst[finding.Fail], worst[finding.Caution], worst[finding.Note], count.harmless, count.absent)
	return b.String() + body.String()
}

// anywhere stars the names and numbers of a key path.
func anywhere(path string) string {
	path = regexp.MustCompile(`^(muting_points|returns|receiver\.supplies)\.\w+`).ReplaceAllString(path, "$1.*")
	return regexp.MustCompile(`\.\d+`).ReplaceAllString(path, ".*")
}

// counted lists names, each once, with how often it stands where that is more.
func counted(names []string) string {
	var list []string
	for i := 0; i < len(names); {
		n := 1
		for i+n < len(names) && names[i+n] == names[i] {
			n++
		}
		word := names[i]
		if n > 1 {
			word += fmt.Sprintf(" (%d)", n)
		}
		list = append(list, word)
		i += n
	}
	return strings.Join(list, ", ")
}

// wrap writes text in lines of 100 columns.
func wrap(b *strings.Builder, first, rest, text string) {
	line := first
	for word := range strings.FieldsSeq(text) {
		if len([]rune(line))+len([]rune(word)) >= 100 {
			fmt.Fprintln(b, strings.TrimRight(line, " "))
			line = rest
		}
		line += word + " "
	}
	fmt.Fprintln(b, strings.TrimRight(line, " "))
}
