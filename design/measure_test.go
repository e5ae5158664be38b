package design_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design"
	"mutewright/design/finding"
	"mutewright/design/rule"
)

// worstOf is the gravest severity at which a finding stands, Good where it does not.
func worstOf(d *design.Design, id string) finding.Severity {
	worst := finding.Good
	for _, f := range d.Findings {
		if f.ID == id {
			worst = max(worst, f.Severity)
		}
	}
	return worst
}

// A reading is what a line of measure first asks for: a number that is to stand
// below or above a value.
type reading struct {
	at, unit string
	value    float64
	below    bool
}

// readingsOf takes a line apart: "below 8.6 kohm, with … above 71 kohm".
func readingsOf(t *testing.T, m design.Measure) []reading {
	t.Helper()
	var list []reading
	for i, part := range strings.Split(m.At+" "+m.Safe, ", with ") {
		words := strings.Fields(part)
		if len(words) == 3 { // a number without a unit
			words = append(words, "")
		}
		require.Len(t, words, 4, "part %d of %q", i+1, m.Safe)
		value, err := strconv.ParseFloat(words[2], 64)
		require.NoError(t, err)
		require.Contains(t, []string{"below", "above"}, words[1])
		list = append(list, reading{at: words[0], unit: words[3], value: value, below: words[1] == "below"})
	}
	return list
}

// set says that the number was measured a little on one side of its value.
func (r reading) set(safe bool) string {
	off := 1e-3
	if r.below == safe {
		off = -off
	}
	v := r.value + off*abs(r.value)
	return fmt.Sprintf("%s=%.6g %s .. %.6g %s", r.at, v, r.unit, v, r.unit)
}

func abs(v float64) float64 { return max(v, -v) }

// What is to be measured first decides: on the safe side of what a line says its
// finding is gone or less grave than on the other side, whatever all else may
// be; and the finding is there while nothing is known.
func TestMeasuringFirstDecides(t *testing.T) {
	if testing.Short() {
		t.Skip("works many plans out")
	}
	t.Parallel()
	checked := make(chan int, 100)
	plans := []string{
		"stages/1-types", "stages/2-schematic", "sound/corrie-two-returns", "hurt/larkmoor-as-found", "hurt/glenside-bleeder",
	}
	t.Run("plans", func(t *testing.T) {
		for _, name := range plans {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				d := work(t, name)
				assert.LessOrEqual(t, len(d.Measure), 7)
				keep := settled(d)
				for _, m := range d.Measure {
					if strings.HasPrefix(m.Safe, "none, or ") { // not a number of the box
						continue
					}
					var safe, unsafe []string
					for _, r := range readingsOf(t, m) {
						safe, unsafe = append(safe, r.set(true)), append(unsafe, r.set(false))
					}
					now := worstOf(d, m.Decides)
					good := worstOf(work(t, name, append(safe, keep...)...), m.Decides)
					bad := worstOf(work(t, name, append(unsafe, keep...)...), m.Decides)
					assert.Greater(t, now, finding.Good, "%s is not there although %s", m.Decides, m.At)
					assert.Less(t, good, now, "%s: %s on its safe side, %s", m.Decides, m.At, m.Safe)
					assert.GreaterOrEqual(t, bad, good, "%s: %s beyond %s", m.Decides, m.At, m.Safe)
					checked <- 1
				}
			})
		}
	})
	assert.GreaterOrEqual(t, len(checked), 8, "cases")
}

// Lines that ask for contrary readings of one number say so, and no others do.
func TestContraryReadingsAreTold(t *testing.T) {
	if testing.Short() {
		t.Skip("works several plans out")
	}
	t.Parallel()
	contrary := func(a, b reading) bool {
		low, high := a, b
		if a.below {
			low, high = b, a
		}
		return a.at == b.at && a.below != b.below && low.value >= high.value
	}
	told := 0
	for _, name := range []string{"stages/0-required", "stages/2-schematic", "stages/3-measured", "sound/corrie-two-returns", "hurt/return-heater-cathode"} {
		d := work(t, name)
		for _, m := range d.Measure {
			if strings.HasPrefix(m.Safe, "none, or ") { // not a number of the box
				continue
			}
			want := ""
			for _, o := range d.Measure {
				if want != "" || strings.HasPrefix(o.Safe, "none, or ") {
					continue
				}
				for _, a := range readingsOf(t, m) {
					for _, b := range readingsOf(t, o) {
						if contrary(a, b) {
							want = o.Decides
						}
					}
				}
			}
			assert.Equal(t, want, m.Contrary, "%s: %s %s", name, m.At, m.Safe)
			if want != "" {
				told++
			}
		}
	}
	assert.GreaterOrEqual(t, told, 6)
}

// settled gives what the program chose as the plan would, so that a measurement
// changes nothing else.
func settled(d *design.Design) []string {
	var list []string
	for _, c := range d.Chosen {
		switch {
		case strings.HasSuffix(c.At, ".pulldown"), strings.HasSuffix(c.At, ".dropper"), strings.HasSuffix(c.At, ".fuse"), strings.HasSuffix(c.At, ".rectifier"), strings.HasSuffix(c.At, ".use"):
			list = append(list, c.At+"="+c.Plain)
		}
	}
	return list
}

// Every finding that a limit or a line of measure first names is one that there is.
func TestLimitsNameFindings(t *testing.T) {
	if testing.Short() {
		t.Skip("works several plans out")
	}
	t.Parallel()
	ids := map[string]bool{"": true}
	for _, k := range rule.Kinds() {
		ids[k.ID] = true
	}
	for _, name := range []string{"sound/corrie-two-returns", "sound/larkmoor-seven", "hurt/return-touch", "hurt/glenside-bleeder"} {
		d := work(t, name)
		for _, l := range d.Limits {
			assert.True(t, ids[l.Finding], "%s names %q", l.Name, l.Finding)
		}
		for _, m := range d.Measure {
			assert.True(t, ids[m.Decides], "%s decides %q", m.At, m.Decides)
		}
	}
}
