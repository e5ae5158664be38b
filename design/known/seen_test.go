package known_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/known"
	"mutewright/design/plan"
)

// facts reads a plan and fills it in.
func facts(t *testing.T, text string, settings ...string) *known.Facts {
	t.Helper()
	p, err := plan.Read("plan.yaml", []byte(text), catalog.Default(), settings...)
	require.NoError(t, err)
	return known.From(p, catalog.Default())
}

// Every number that a plan may give is held against what the trade sees, but for
// the points of a tube that it writes out and the least load of a contact, which
// classes spread over six orders of magnitude.
func TestEveryNumberOfAPlanHasARangeThatIsUsual(t *testing.T) {
	var text strings.Builder
	for _, l := range fullPlan(t) {
		text.WriteString(l.text + "\n")
	}
	f := facts(t, text.String())
	assert.Empty(t, f.Unusual())
	for _, e := range f.Box {
		if e.Origin == known.Given && !strings.HasSuffix(e.At, ".contacts.least") {
			assert.True(t, f.HasRange(e.At), e.At)
		}
	}
}

// What is taken where a plan says nothing is usual itself.
func TestUsualValuesAreUsual(t *testing.T) {
	ranges := known.Ranges()
	for key, u := range known.Usuals() {
		between, ok := ranges[key]
		if !ok {
			continue // a row for one kind of a thing: its range is that of the thing
		}
		for _, v := range u {
			v = math.Abs(v)
			if key == "muting_points.*.open" {
				continue // nobody knows it: through zero
			}
			assert.True(t, between[0] <= v && v <= between[1], "%s: %g is not within %v", key, v, between)
		}
	}
	for key, between := range ranges {
		assert.Less(t, between[0], between[1], key)
	}
}

func TestUnusualValuesAreNoticed(t *testing.T) {
	const least = `plan: 1
title: Least
receiver: {name: Set, mains: {voltage: 120 V, frequency: 60 Hz, isolation: transformer, cord: three-wire},
  supplies: {heaters: {kind: ac winding, voltage: 6.3 V}, ht: {kind: dc rail, voltage: 250 V}}}
muting_points:
  output: {kind: output cathode, lift: R31}
  gain: {kind: rf gain, lift: wiper, stages: [{tube: 6BA6}]}
  aerial: {kind: antenna, lift: terminal A}
returns: {line: {points: [output, gain], pulldown: 10 kohm}}
transmitter: {keying: {kind: contact}}
`
	require.Empty(t, facts(t, least).Unusual())
	for _, c := range []struct{ at, slip, right string }{
		{"muting_points.output.cathode_resistor", "1 Mohm", "270 ohm"},
		{"receiver.supplies.ht.voltage", "5 kV", "250 V"},
		{"receiver.supplies.ht.rated", "45 kV", "450 V"},
		{"receiver.supplies.ht.resistance", "500 kohm", "500 ohm"},
		{"receiver.supplies.heaters.resistance", "150 kohm", "150 mohm"},
		{"receiver.supplies.heaters.rated", "4 mA", "4 A"},
		{"receiver.supplies.heaters.crest", "2.8", "1.4"},
		{"receiver.ambient", "20 °C .. 450 °C", "20 °C .. 45 °C"},
		{"receiver.mains.frequency", "50 kHz", "50 Hz"},
		{"receiver.mains.stray", "300 uF", "300 pF"},
		{"muting_points.output.bypass.value", "22 pF", "22 uF"},
		{"muting_points.output.transformer.load", "5 ohm", "5 kohm"},
		{"muting_points.gain.stages.1.bypass", "10 mF", "10 nF"},
		{"muting_points.gain.stages.1.cathode_resistor", "68 kohm", "68 ohm"},
		{"muting_points.aerial.lead", "25 m", "25 mm"},
		{"muting_points.aerial.lowest", "1.8 kHz", "1.8 MHz"},
		{"muting_points.aerial.withstand", "100 kW", "100 mW"},
		{"returns.line.pulldown", "10 Mohm", "10 kohm"},
		{"returns.line.lead", "200 m", "200 mm"},
		{"relay.reservoir", "470 pF", "470 uF"},
		{"relay.use.coil.resistance", "1 Mohm", "1 kohm"},
		{"relay.use.times.operate", "4 s", "4 ms"},
		{"transmitter.power", "100 MW", "100 W"},
		{"transmitter.key_to_rf", "15 s", "15 ms"},
		{"transmitter.keying.leakage", "1 A", "1 uA"},
		{"wanted.depth", "600 dB", "60 dB"},
	} {
		t.Run(c.at, func(t *testing.T) {
			list := facts(t, least, c.at+"="+c.slip).Unusual()
			if assert.Len(t, list, 1) {
				assert.Equal(t, c.at, list[0].At)
			}
			assert.Empty(t, facts(t, least, c.at+"="+c.right).Unusual(), "its twin")
		})
	}
}

// Plans that are good, and those that are bad in another way, have nothing unusual.
func TestPlansHaveNothingUnusualButWhatIsMeant(t *testing.T) {
	files, err := filepath.Glob("../../testdata/plans/*/*.yaml")
	require.NoError(t, err)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		p, err := plan.Read(file, data, catalog.Default())
		if err != nil {
			continue // a broken one
		}
		for _, u := range known.From(p, catalog.Default()).Unusual() {
			assert.Equal(t, "plan-unusual.yaml", filepath.Base(file), "%s: %g", u.At, u.Nominal)
		}
	}
}
