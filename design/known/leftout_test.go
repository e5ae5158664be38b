package known_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/known"
	"mutewright/design/plan"
)

// A line of the full plan.
type line struct {
	text   string
	indent int
	path   string // "receiver.mains.fuse.value"
}

// fullPlan reads testdata/full.yaml line by line; it has one key a line.
func fullPlan(t *testing.T) []line {
	t.Helper()
	data, err := os.ReadFile("testdata/full.yaml")
	require.NoError(t, err)
	type level struct {
		indent, items int
		key           string
	}
	var lines []line
	var levels []level
	for text := range strings.Lines(string(data)) {
		text = strings.TrimRight(text, "\n")
		trimmed := strings.TrimLeft(text, " ")
		l := line{text: text, indent: len(text) - len(trimmed)}
		if strings.HasPrefix(trimmed, "#") {
			continue
		}
		for len(levels) > 0 && levels[len(levels)-1].indent >= l.indent {
			levels = levels[:len(levels)-1]
		}
		key, _, _ := strings.Cut(trimmed, ":")
		if trimmed == "-" {
			parent := &levels[len(levels)-1]
			parent.items++
			key = string(rune('0' + parent.items))
		}
		levels = append(levels, level{indent: l.indent, key: key})
		var keys []string
		for _, level := range levels {
			keys = append(keys, level.key)
		}
		l.path = strings.Join(keys, ".")
		lines = append(lines, l)
	}
	return lines
}

// without is the plan with one key gone, and all that stands below it; or with
// another value in its place. A block of which nothing is left goes too.
func without(lines []line, path, instead string) string {
	if instead == "" && alone(lines, path) {
		path = path[:strings.LastIndex(path, ".")]
	}
	var kept []string
	for _, l := range lines {
		switch {
		case l.path == path && instead != "":
			key, _, _ := strings.Cut(l.text, ":")
			kept = append(kept, key+": "+instead)
		case l.path != path && !strings.HasPrefix(l.path, path+"."):
			kept = append(kept, l.text)
		}
	}
	return strings.Join(kept, "\n") + "\n"
}

// alone tells whether a key is the only one in its block.
func alone(lines []line, path string) bool {
	stem := path[:strings.LastIndex(path, ".")+1]
	if stem == "" {
		return false
	}
	for _, l := range lines {
		if l.path != path && strings.HasPrefix(l.path, stem) && !strings.HasPrefix(l.path, path+".") {
			return false
		}
	}
	return true
}

// required are the keys that a plan must have, and the names that other keys of
// this plan refer to.
func required(path string) bool {
	for _, must := range []string{
		"plan", "title", "receiver", "receiver.name", "receiver.mains", "receiver.mains.voltage",
		"receiver.mains.frequency", "receiver.mains.isolation", "receiver.mains.cord",
		"receiver.supplies", "receiver.supplies.heaters", "receiver.supplies.ht",
		"muting_points", "returns", "returns.audio_line", "returns.gain_line",
		"transmitter", "transmitter.keying", "transmitter.keying.kind",
	} {
		if path == must {
			return true
		}
	}
	if rest, ok := strings.CutPrefix(path, "muting_points."); ok {
		_, key, deep := strings.Cut(rest, ".")
		return !deep || key == "kind" || key == "lift"
	}
	return false
}

// words are keys that only carry words for the drawing; what stands for them is
// plain from the sheet.
func words(path string) bool {
	for _, end := range []string{
		"drawn_by", "date", "chassis", ".at", ".at.live", ".at.return", ".what", ".role", ".jack", ".pins",
		".pins.coil", ".pins.poles", "transmitter.name", "receiver.standby.1.name", "receiver.standby.2.name",
	} {
		if strings.HasSuffix(path, end) && path != "receiver.mains.fuse.value" {
			return true
		}
	}
	return false
}

// unspoken says why a key may be left out without a word under assumed.
var unspoken = map[string]string{
	"receiver.standby.1":                       "one of several: it is not known to be missing",
	"receiver.standby.2":                       "one of several: it is not known to be missing",
	"receiver.standby.2.return":                "then no return is opened by it",
	"receiver.mains.line_capacitors.1":         "one of several: it is not known to be missing",
	"muting_points.sensitivity.stages.1":       "one of several: it is not known to be missing",
	"muting_points.sensitivity.stages.2":       "one of several: it is not known to be missing",
	"returns.gain_line.capacitor.series":       "there is none unless the plan says so",
	"relay.1":                                  "one of several: it is not known to be missing",
	"relay.2":                                  "one of several: it is not known to be missing",
	"relay.1.serves":                           "what no other relay serves",
	"relay.2.serves":                           "what no other relay serves",
	"returns.audio_line.points":                "points that no return names share one",
	"returns.gain_line.points":                 "points that no return names share one",
	"receiver.supplies.heaters.rated":          "a finding says that it is not known; nothing is taken for it",
	"relay.1.use.coil.most":                    "a data sheet need not give it; the limit of temperature stands",
	"relay.1.use.coil.most.at_23":              "a data sheet need not give it; the limit of temperature stands",
	"relay.1.use.coil.most.at_70":              "a data sheet need not give it; the limit of temperature stands",
	"relay.1.use.contacts.dc_limits":           "the rating stands",
	"relay.1.use.contacts.rated.power":         "voltage and current stand",
	"relay.1.use.contacts.rated.voltage":       "the published limits stand",
	"relay.1.use.contacts.rated.current":       "the published limits stand",
	"relay.1.use.contacts.rated":               "the published limits stand",
	"muting_points.sensitivity.screens.supply": "",
}

// Every key that is not required may be left out or be unknown. The plan is
// read, everything in it gets a number, and each use of a usual value is listed
// with its reason.
func TestEveryOptionalKeyMayBeLeftOutOrUnknown(t *testing.T) {
	lines := fullPlan(t)
	cat := catalog.Default()
	for _, l := range lines {
		if required(l.path) {
			continue
		}
		for _, instead := range []string{"", "unknown"} {
			name := l.path + " left out"
			if instead != "" {
				name = l.path + " unknown"
				if strings.HasSuffix(l.text, "-") {
					continue
				}
			}
			t.Run(name, func(t *testing.T) {
				p, err := plan.Read("full.yaml", []byte(without(lines, l.path, instead)), cat)
				require.NoError(t, err)
				f := known.From(p, cat)
				for _, e := range f.Box {
					if e.Origin == known.Assumed {
						assert.NotEmpty(t, e.Because, e.At)
					}
				}
				for _, a := range f.Assumed {
					assert.NotEmpty(t, a.Because, a.At)
					assert.NotEmpty(t, a.Value, a.At)
				}
				if !words(l.path) && unspoken[l.path] == "" {
					assert.True(t, assumes(f, l.path), "not listed under assumed")
				}
			})
		}
	}
}

// assumes tells whether something is listed for a key, or for what stands below it.
func assumes(f *known.Facts, path string) bool {
	at := func(at string) bool { return at == path || strings.HasPrefix(at, path+".") }
	for _, e := range f.Box {
		if e.Origin == known.Assumed && at(e.At) {
			return true
		}
	}
	for _, a := range f.Assumed {
		if at(a.At) {
			return true
		}
	}
	return false
}

// usualCases are plans that between them leave out everything there is, each in
// a place where the full plan has something else.
var usualCases = map[string]string{
	"nothing but what is required": `
muting_points: {output: {kind: output cathode, lift: here}, gain: {kind: rf gain, lift: there}, aerial: {kind: antenna, lift: terminal}}
transmitter: {keying: {kind: contact}}`,
	"fixed bias and blocks of which nothing is known": `
muting_points:
  output: {kind: output cathode, grid: -19 V, also_to_chassis: unknown, lift: here}
  gain: {kind: rf gain, bleeder: unknown, bus_capacitor: unknown, screens: {to_chassis: unknown, capacitor: unknown}, lift: there}
returns: {mute_line: {points: [output, gain], capacitor: {series: unknown}}}
relay: {clamp: diode and zener, hold: unknown, buffer: pnp}
transmitter: {keying: {kind: open drain}, coupling: {distance: unknown, frequency: 7 MHz}}`,
	"a source, and a relay of which nothing is known": `
muting_points: {line: {kind: measured, lift: here}, volume: {kind: audio short, lift: there}}
relay: {use: {coil: {operate: 75 %}}}
transmitter: {keying: {kind: source}, coupling: {distance: 30 m}}`,
	"relays of other classes, and a tube written out without its rating": `
muting_points:
  output: {kind: output cathode, lift: here, tube: {points: [{screen: 250 V, grid: -12 V, plate_current: 40 mA, gm: 4 mA/V}]}}
  gain: {kind: rf gain, lift: there, stages: [{tube: {points: [{screen: 100 V, grid: -1 V, plate_current: 10 mA, gm: 4 mA/V}]}}]}
relay: [{use: heavy}, {use: socketed}]
transmitter: {keying: {kind: contact}}`,
	"a standby switch in a cathode return": `
muting_points: {output: {kind: output cathode, lift: here}}
transmitter: {keying: {kind: contact}}`,
}

// Every row of the table is made use of by some plan, and says why.
func TestEveryUsualValueIsReachedAndSaysWhy(t *testing.T) {
	const head = "plan: 1\ntitle: Usual\nreceiver: {name: A set, %s, mains: {voltage: 230 V, frequency: 50 Hz, isolation: transformer, cord: two-wire%s}}\n"
	cat, err := catalog.Load("mine.yaml", []byte("relays: {heavy: {class: power, coil: {voltage: 12 V, resistance: 275 ohm}, contacts: {form: C, poles: 1}}, socketed: {class: plug-in, coil: {voltage: 12 V, resistance: 160 ohm}, contacts: {form: C, poles: 2}}}\n"))
	require.NoError(t, err)
	reached := map[string]bool{}
	read := func(text string) {
		p, err := plan.Read("usual.yaml", []byte(text), cat)
		require.NoError(t, err, text)
		for _, row := range known.Reached(known.From(p, cat)) {
			reached[row] = true
		}
	}
	for _, text := range usualCases {
		for _, rest := range []string{"standby: none", "standby: [{opens: cathode return}], supplies: {heaters: {kind: ac winding, drawn: 0 A}, ht: {kind: dc rail}}"} {
			read(fmt.Sprintf(head, rest, ", line_capacitors: [{from: line}]") + text)
		}
	}
	lines := fullPlan(t)
	for _, l := range lines {
		if !required(l.path) {
			read(without(lines, l.path, ""))
		}
	}
	for row, why := range known.Rows() {
		assert.True(t, reached[row], "no plan makes use of the row %s", row)
		assert.Greater(t, len(why), 5, row)
	}
}
