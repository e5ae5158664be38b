// Package published_test holds the figures that others have published against
// what this program makes of them: one table, a row a figure, and the page
// testdata/published.txt that lists every row with today's deviation.
package published_test

import (
	"bytes"
	"cmp"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the page of published values anew")

const page = "../../testdata/published.txt"

// A mark says how far a published figure can be trusted.
type mark string

const (
	published mark = "published"       // in print, taken second-hand
	computed  mark = "computed"        // by others or beforehand, from the formula or circuit that the source names
	memory    mark = "from memory"     // not checked
	practice  mark = "common practice" // what the trade knows; no source
)

// A row is one published figure and ours.
type row struct {
	what   string
	want   string // as printed, "0.3817", or a range, "12..18"
	unit   string
	within within
	ours   float64 // in that unit
	source string  // title and year; none of common practice
	mark   mark
	why    string // a row that is outside, or among the worst, is explained
}

// within is what ours may differ by: the largest of its parts and half a unit of
// the last digit printed.
type within struct{ percent, plus float64 }

// asPrinted allows for the rounding of the figure and no more.
var asPrinted = within{}

func percent(p float64) within { return within{percent: p} }

func plus(v float64) within { return within{plus: v} }

// ends are the published figure, twice, or the ends of its range.
func (r row) ends() (low, high float64) {
	from, to, ranged := strings.Cut(r.want, "..")
	low, err := strconv.ParseFloat(strings.TrimSpace(from), 64)
	if err != nil {
		panic(fmt.Sprintf("%s: %v", r.what, err))
	}
	if !ranged {
		return low, low
	}
	if high, err = strconv.ParseFloat(strings.TrimSpace(to), 64); err != nil || high < low {
		panic(fmt.Sprintf("%s: %q is no range", r.what, r.want))
	}
	return low, high
}

// off is how far ours lies from the published figure, or beyond its range.
func (r row) off() float64 {
	low, high := r.ends()
	switch {
	case r.ours < low:
		return r.ours - low
	case r.ours > high:
		return r.ours - high
	}
	return 0
}

// deviation is off in parts of the published figure; what is published as 0 has none.
func (r row) deviation() float64 {
	low, high := r.ends()
	size := math.Abs(low)
	if r.ours > high {
		size = math.Abs(high)
	}
	if size == 0 {
		return 0
	}
	return math.Abs(r.off()) / size
}

// outside reports whether ours differs by more than it may.
func (r row) outside() bool {
	low, high := r.ends()
	allowed := max(r.within.plus, r.within.percent/100*max(math.Abs(low), math.Abs(high)), lastDigit(r.want)/2)
	return math.Abs(r.off()) > allowed*(1+1e-9)
}

// lastDigit is a unit of the last digit of a number as printed: 0.001 of
// "0.317"; 0 of a range and of a whole number, whose last digits may be exact.
func lastDigit(text string) float64 {
	if _, decimals, ok := strings.Cut(text, "."); ok && !strings.Contains(text, "..") {
		return math.Pow10(-len(decimals))
	}
	return 0
}

// A family is the rows that belong together.
type family struct {
	title string
	rows  func(t *testing.T) []row
}

// The one table.
var families = []family{
	{"Tubes: operating points, remote cut-off and tails", tubes},
	{"Rectifiers", rectifiers},
	{"Copper, coils and contacts", relays},
	{"Lifted returns", returns},
	{"Wire, antenna and coupling", radio},
	{"Limits of touch", limits},
	{"Touch current and meters", leakage},
	{"Capacitors, earth-fault breakers, fuses, checks", mainsSide},
	{"Preferred values and letter codes", notation},
	{"Common practice", trade},
}

// titled is a row with the title of its family.
type titled struct {
	family string
	row
}

// worst gives the three rows that deviate most, of those that are asked for.
func worst(rows []titled, asked func(titled) bool) []titled {
	var list []titled
	for _, r := range rows {
		if asked(r) {
			list = append(list, r)
		}
	}
	slices.SortStableFunc(list, func(a, b titled) int { return cmp.Compare(b.deviation(), a.deviation()) })
	return list[:min(3, len(list))]
}

func all(titled) bool { return true }

func noTube(r titled) bool { return r.family != families[0].title }

// Every published figure is within its tolerance of ours, or says why not; the
// worst are explained; and the page lists them all as they are today.
func TestPublishedValues(t *testing.T) {
	var rows []titled
	for _, f := range families {
		list := f.rows(t)
		require.NotEmpty(t, list, f.title)
		for _, r := range list {
			rows = append(rows, titled{f.title, r})
		}
	}
	explained := append(worst(rows, all), worst(rows, noTube)...)
	isWorst := func(r titled) bool {
		return slices.ContainsFunc(explained, func(w titled) bool { return w.what == r.what })
	}
	seen := map[string]bool{}
	for _, r := range rows {
		assert.False(t, seen[r.what], "%s stands twice", r.what)
		seen[r.what] = true
		assert.False(t, math.IsNaN(r.ours) || math.IsInf(r.ours, 0), r.what)
		assert.Contains(t, []mark{published, computed, memory, practice}, r.mark, r.what)
		assert.Equal(t, r.mark == practice, r.source == "", "%s: common practice has no source, everything else has one", r.what)
		switch {
		case r.outside():
			assert.NotEmpty(t, r.why, "%s: published %s %s, ours %.6g", r.what, r.want, r.unit, r.ours)
		case isWorst(r):
			assert.NotEmpty(t, r.why, "%s is among the worst: published %s %s, ours %.6g", r.what, r.want, r.unit, r.ours)
		default:
			assert.Empty(t, r.why, "%s is explained and needs no explanation: ours %.6g", r.what, r.ours)
		}
	}
	if t.Failed() {
		return
	}
	var text bytes.Buffer
	write(&text, rows)
	if *update {
		require.NotEqual(t, "true", os.Getenv("CI"), "the page is not made anew in CI")
		require.NoError(t, os.WriteFile(page, text.Bytes(), 0o644))
	}
	kept, err := os.ReadFile(page)
	require.NoError(t, err, "run with -update to write it")
	assert.Equal(t, string(kept), text.String(), "run with -update and read what has changed")
}

// write writes the page.
func write(w *bytes.Buffer, rows []titled) {
	count := map[mark]int{}
	var outside []titled
	for _, r := range rows {
		count[r.mark]++
		if r.outside() {
			outside = append(outside, r)
		}
	}
	slices.SortStableFunc(outside, func(a, b titled) int { return cmp.Compare(b.deviation(), a.deviation()) })
	fmt.Fprintf(w, `Published values and what this program makes of them
Written by the test of design/published; none is hidden.

%d values: %d published (taken second-hand: neither standards nor manuals were opened; years name an edition and
are from memory), %d computed by others or beforehand from what the source names, %d from memory, %d of common
practice, which have no source. "within" is what ours may differ by; where nothing stands, half a unit of the last
digit printed. %d values are outside and marked with an asterisk.
`, len(rows), count[published], count[computed], count[memory], count[practice], len(outside))
	heading := func(s string) { fmt.Fprintf(w, "\n%s\n%s\n", s, strings.Repeat("=", len([]rune(s)))) }
	explain := func(list []titled) {
		first := map[string]int{}
		for i, r := range list {
			fmt.Fprintf(w, "\n%d. %s: %s %s, ours %s %s (%s)\n", i+1, r.what, r.want, r.unit, number(r.ours), r.unit, percentage(r.row))
			why := r.why
			if n, ok := first[why]; ok {
				why = fmt.Sprintf("As %d.", n)
			} else {
				first[why] = i + 1
			}
			for _, l := range wrap(why, 108) {
				fmt.Fprintf(w, "   %s\n", l)
			}
		}
	}
	heading("The three worst")
	explain(worst(rows, all))
	heading("The three worst that are no tube")
	explain(worst(rows, noTube))
	heading("All that is outside, worst first")
	explain(outside)
	heading("Published, and answered by nothing here")
	for _, l := range unanswered {
		for i, l := range wrap(l, 108) {
			fmt.Fprintf(w, "%s%s\n", []string{"- ", "  "}[min(i, 1)], l)
		}
	}
	for _, f := range families {
		heading(f.title)
		fmt.Fprintf(w, "  %-62s %12s %12s %-6s %9s %8s  %-15s %s\n", "what", "published", "ours", "", "deviates", "within", "mark", "source")
		for _, r := range rows {
			if r.family == f.title {
				line := fmt.Sprintf("%s %-62s %12s %12s %-6s %9s %8s  %-15s %s", star(r.outside()), r.what, r.want, number(r.ours), r.unit,
					percentage(r.row), r.within.text(r.unit), r.mark, r.source)
				fmt.Fprintln(w, strings.TrimRight(line, " "))
			}
		}
	}
}

func star(outside bool) string {
	if outside {
		return "*"
	}
	return " "
}

// number writes four digits, which are the same on every machine.
func number(v float64) string { return strconv.FormatFloat(rounded(v, 4), 'g', -1, 64) }

// rounded keeps some significant digits.
func rounded(v float64, digits int) float64 {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	if err != nil {
		panic(err)
	}
	return short
}

// percentage writes how much more or less ours is than the published figure.
func percentage(r row) string {
	d := math.Round(1000*r.deviation()) / 10
	switch {
	case d == 0:
		return "0"
	case math.Abs(r.ours) < math.Abs(r.ours-r.off()):
		d = -d
	}
	return fmt.Sprintf("%+.1f %%", d)
}

// text writes a tolerance.
func (w within) text(unit string) string {
	switch {
	case w.percent > 0:
		return fmt.Sprintf("%g %%", w.percent)
	case w.plus > 0:
		return strings.TrimSpace(fmt.Sprintf("%g %s", w.plus, unit))
	}
	return ""
}

// wrap breaks text at spaces into lines of so many characters.
func wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && len([]rune(line))+1+len([]rune(word)) > width {
			lines = append(lines, line)
			line = ""
		}
		line = strings.TrimSpace(line + " " + word)
	}
	return append(lines, line)
}
