package design_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/legal"
	"mutewright/design/plan"
)

// A pulldown that the program chose never puts a voltage above a rating in
// force, worst case and over the whole travel of the control; a window that is
// empty names both limits that cross and what reopens it.
func TestChosenPulldownKeepsEveryRating(t *testing.T) {
	if testing.Short() {
		t.Skip("works many plans out")
	}
	t.Parallel()
	onNode := []string{"return.heater_cathode", "return.bypass", "return.bus_capacitor"}
	for _, folder := range []string{"sound", "hurt"} {
		files, err := filepath.Glob(filepath.Join(plans, folder, "*.yaml"))
		require.NoError(t, err)
		for _, file := range files {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			if !strings.Contains(string(data), "pulldown: choose") {
				continue
			}
			t.Run(filepath.Base(file), func(t *testing.T) {
				t.Parallel()
				d := work(t, folder+"/"+strings.TrimSuffix(filepath.Base(file), ".yaml"))
				if f := found(d, "return.window"); f != nil {
					if !strings.Contains(f.Says, "at every resistance") { // no pulldown mends it: one limit, nothing crosses
						assert.Contains(t, f.Says, "needs at least")
						assert.Contains(t, f.Says, "allows at most")
					}
					assert.Contains(t, strings.ToLower(f.Do), "change ")
					return // nothing was chosen: the safe side is drawn, and said to fail
				}
				for _, l := range d.Limits {
					for _, id := range onNode {
						if l.Finding == id && !assumes(d, id) {
							assert.LessOrEqual(t, l.Worst(), l.Limit*1.001, "%s: %s", l.Name, l.Words)
						}
					}
				}
			})
		}
	}
}

// assumes tells whether the rating behind a finding was left out of the plan: an
// assumed capacitor rating does not hold the pulldown down.
func assumes(d *design.Design, id string) bool {
	for _, a := range d.Assumed {
		if id == "return.bypass" && strings.HasSuffix(a.At, ".bypass.rated") ||
			id == "return.bus_capacitor" && strings.HasSuffix(a.At, ".bus_capacitor.rated") {
			return true
		}
	}
	return false
}

// What is chosen is named by a key path of the plan, with a value that the plan
// accepts there; and what a fuse adds to the winding, for which it has no key, is
// among what was assumed.
func TestChosenIsWhatAPlanMaySay(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"sound/larkmoor-seven", "hurt/drive-buffer-off", "stages/0-required"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := workNominal(t, name)
			seen := map[string]bool{}
			for _, c := range d.Chosen {
				assert.False(t, seen[c.At], "%s is chosen twice", c.At)
				seen[c.At] = true
				read(t, name, c.At+"="+c.Plain)
			}
			if seen["relay.fuse"] {
				assert.True(t, slices.ContainsFunc(d.Assumed, func(a design.Assumed) bool {
					return a.At == "relay.fuse" && strings.HasSuffix(a.Plain, "ohm")
				}), "the cold resistance of the fuse is assumed")
			}
		})
	}
}

// Where a rating is exceeded at every pulldown, the check says that none mends it
// and shows the usual value: a tiny one would hide the other findings.
func TestNoPulldownMendsARatingExceededWithTheContactClosed(t *testing.T) {
	t.Parallel()
	d := work(t, "hurt/return-window")
	f := found(d, "return.window")
	require.NotNil(t, f)
	assert.Contains(t, f.Says, "at every resistance")
	assert.Contains(t, f.Do, "no pulldown mends this")
	assert.NotContains(t, f.Says, "0\u00a0Ω")
	bypass := found(d, "return.bypass")
	require.NotNil(t, bypass)
	assert.Contains(t, bypass.Do, "at least 50\u00a0V", "what serves with a pulldown that mutes")
	for _, c := range d.Chosen {
		if c.At == "returns.mute_line.pulldown" {
			assert.Equal(t, "10\u00a0kΩ", c.Value)
		}
	}
}

// From an empty window the safe side is drawn. A path past the lift that spoils every
// pulldown that would serve is found all the same.
func TestSafeSideOfAnEmptyWindowHidesNoPath(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	t.Parallel()
	with := func(path string) *design.Design {
		return work(t, "hurt/return-path-past-lift", "wanted.depth=25 dB", "muting_points.output.also_to_chassis.value="+path,
			"muting_points.output.bypass.rated=35 V", "muting_points.output.bypass.returned_to=chassis")
	}
	d := with("42 kohm")
	require.NotNil(t, found(d, "return.window"), "the bypass allows less than the depth asks for")
	assert.True(t, slices.ContainsFunc(d.Chosen, func(c design.Chosen) bool {
		return c.At == "returns.mute_line.pulldown" && c.Plain == "6.2 kohm"
	}), "against what is drawn, 5 × 6.2 kohm, the path would pass")
	f := found(d, "return.path_past_lift")
	require.NotNil(t, f)
	assert.Contains(t, f.Says, "that would serve")
	assert.Nil(t, found(with("200 kohm"), "return.path_past_lift"), "a path that spoils nothing")
}

// The least that would serve is the lower end of an empty window.
func TestUsablePulldown(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 10e3, answer.Window{Least: 5e3, Most: 20e3}.Usable(10e3), 0, "an open window: what is drawn")
	assert.InDelta(t, 12e3, answer.Window{Least: 12e3, Most: 3e3}.Usable(3e3), 0)
	assert.InDelta(t, 10e3, answer.Window{Least: 100e3, Most: 3e3}.Usable(3e3), 0, "no resistance reaches the depth: the usual one")
	assert.InDelta(t, 10e3, answer.Window{Least: 12e3}.Usable(10e3), 0, "a rating exceeded at every resistance")
}

// The heat of a pulldown has a corner of its own, and a highest value in the middle:
// what is chosen between the ends stays cool.
func TestChosenPulldownStaysCool(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	d := work(t, "../trials/dunmere-eight", "muting_points.sensitivity.control.value=9.6 kohm ± 2 %", "wanted.depth=40 dB")
	assert.Nil(t, found(d, "return.window"))
	power, ok := d.Quantities.Get("return.mute_line.pulldown_power")
	require.True(t, ok)
	assert.LessOrEqual(t, power.High, 1.0, "half of 2 W")
}

// widePlans is how many plans of wide doubt are worked out.
func widePlans() int {
	if testing.Short() {
		return 1
	}
	return 6
}

// widened is a legal plan at random of which little is known: every pulldown is
// left to the program, and each of the numbers that bear on the lifted node is
// left as it is, given in a wide range or not known at all.
func widened(i int) string {
	random := rand.New(rand.NewPCG(uint64(i), 11))
	text := regexp.MustCompile(`pulldown: [^,]+,`).ReplaceAllString(legal.Plan(i), "pulldown: choose,")
	loose := regexp.MustCompile(`\b(voltage|unloaded|value|cathode_resistor|screen_resistor|resistor|bypass|rated): ([0-9.]+) ([a-zA-Z]+)`)
	var lines []string
	inSet := false // between receiver and transmitter: a supply, a point
	for _, line := range strings.Split(text, "\n") {
		if line != "" && line[0] != ' ' {
			inSet = strings.HasPrefix(line, "receiver:") || strings.HasPrefix(line, "muting_points:")
		}
		if inSet && !strings.Contains(line, "mains:") && !strings.Contains(line, "heaters:") && !strings.Contains(line, "accessory:") {
			line = loose.ReplaceAllStringFunc(line, func(found string) string {
				part := loose.FindStringSubmatch(found)
				switch random.IntN(6) {
				case 0:
					return part[1] + ": unknown"
				case 1, 2:
					n, _ := strconv.ParseFloat(part[2], 64)
					return fmt.Sprintf("%s: %.4g %s .. %.4g %s", part[1], n*(1-0.3*random.Float64()), part[3], n*(1+0.3*random.Float64()), part[3])
				}
				return found
			})
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}

// However little is known, a pulldown that the program chose from an open window
// keeps every rating in force, worst case and over the whole travel of the control.
func TestPulldownChosenInWideDoubt(t *testing.T) {
	t.Parallel()
	onNode := []string{"return.heater_cathode", "return.bypass", "return.bus_capacitor", "return.pulldown_power"}
	for i := range widePlans() {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			t.Parallel()
			text := widened(i)
			p, err := plan.Read("wide", []byte(text), catalog.Default())
			require.NoError(t, err, "%s", text)
			d, err := design.New(p, catalog.Default())
			require.NoError(t, err, "%s", text)
			if found(d, "return.window") != nil {
				return
			}
			for _, l := range d.Limits {
				if slices.Contains(onNode, l.Finding) && !assumes(d, l.Finding) {
					assert.LessOrEqual(t, l.Worst(), l.Limit*1.001, "%s: %s\n%s", l.Name, l.Words, text)
				}
			}
		})
	}
}
