package design_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/rule"
)

// hasWorking demands of a result that it can say where it came from: a formula, its
// source, what went in and where each of that stands, and what makes its ends.
func hasWorking(t *testing.T, q answer.Quantity) {
	t.Helper()
	w := q.Working
	assert.NotEmpty(t, w.Formula, q.Name)
	assert.NotEmpty(t, w.Source, q.Name)
	assert.NotEmpty(t, w.Inputs, q.Name)
	for _, in := range w.Inputs {
		assert.NotEmpty(t, in.Value, "%s: %s", q.Name, in.At)
		switch in.Origin {
		case "plan":
			assert.True(t, in.Line > 0 || in.Setting > 0 || in.Value == "as given", "%s: nobody knows where %s stands", q.Name, in.At)
		case "assumed", "chosen", "catalogue", "usual spread":
			assert.True(t, in.Because != "" || strings.HasPrefix(in.Value, "serves "), "%s: nobody knows why %s is so", q.Name, in.At)
		default:
			assert.Fail(t, "an origin of no kind", "%s: %s: %s", q.Name, in.At, in.Origin)
		}
	}
}

// Every quantity of a plan that is worked out has its working. The long test of the
// sample demands it of all plans.
func TestEveryQuantityHasAWorking(t *testing.T) {
	for _, q := range work(t, "sound/larkmoor-seven").Quantities.All() {
		hasWorking(t, q)
	}
}

// What a result says of its ends is so: the corner gives the bound, and the values
// on the way are those of the same corner.
func TestAccountsAgreeWithTheResult(t *testing.T) {
	if testing.Short() {
		t.Skip("works every corner out again")
	}
	names := []string{"sound/larkmoor-seven", "sound/corrie-two-returns", "sound/velm-neun"}
	seen := map[string]bool{} // one of each kind of quantity is enough
	for _, name := range names {
		d := work(t, name)
		for _, q := range d.Quantities.All() {
			kind := q.Name[:strings.IndexByte(q.Name+".", '.')] + q.Name[strings.LastIndexByte(q.Name, '.')+1:]
			if seen[kind] {
				continue
			}
			seen[kind] = true
			e, err := d.Explain(q.Name)
			require.NoError(t, err, q.Name)
			require.NotNil(t, e.Quantity, q.Name)
			x := e.Quantity
			for _, s := range x.Steps {
				assert.False(t, math.IsInf(s.Nominal, 0) || math.IsInf(s.Low, 0) || math.IsInf(s.High, 0), "%s by %s", q.Name, s.Name)
				if other, ok := d.Quantities.Get(s.Name); ok && !math.IsNaN(s.Nominal) {
					assert.InDelta(t, other.Nominal, s.Nominal, 1e-6*other.Scale(), "%s by %s", q.Name, s.Name)
					for _, v := range []float64{s.Low, s.High} {
						assert.LessOrEqual(t, other.Low-v, 0.01*other.Scale(), "%s by %s", q.Name, s.Name)
						assert.LessOrEqual(t, v-other.High, 0.01*other.Scale(), "%s by %s", q.Name, s.Name)
					}
				}
			}
			if q.Low < q.Nominal && q.Working.LowBy == "" && q.Unit.Symbol() != "" && q.Working.Formula != "as given or chosen" {
				assert.NotEmpty(t, x.AtLow, q.Name)
			}
			for _, l := range x.Levers {
				assert.False(t, math.IsNaN(l.Result), "%s by %s", q.Name, l.At)
			}
		}
	}
}

// The numbers on the way make the result by the formula that is told, at both of its
// ends: what does not is no way to it.
func TestNumbersOnTheWayMakeTheResult(t *testing.T) {
	if testing.Short() {
		t.Skip("works plans out one after another")
	}
	d := work(t, "sound/larkmoor-seven")
	for _, c := range []struct {
		name  string
		of    func(v []float64) float64
		steps int
	}{
		{"mains.discharge", func(v []float64) float64 { return v[1] * math.Log(v[0]/60) }, 2},
		{"mains.discharge_30", func(v []float64) float64 { return v[1] * math.Log(v[0]/30) }, 2},
		{"mains.discharge_tool", func(v []float64) float64 { return v[1] * math.Log(v[0]/30) }, 2},
		{"mains.discharge_meter", func(v []float64) float64 { return v[1] * math.Log(v[0]/60) }, 2},
		{"mains.earth_leak", func(v []float64) float64 { return v[0] / v[3] }, 4},
		{"mains.meter_reading", func(v []float64) float64 { return v[0] * 10e6 / math.Hypot(10e6, v[3]) }, 4},
		{"return.mute_line.current", func(v []float64) float64 { return v[0] + v[1] }, 2},
		{"return.mute_line.pulldown_power", func(v []float64) float64 { return v[0] * v[0] / v[1] }, 2},
		{"drive.coil.operate_margin", func(v []float64) float64 { return v[3] / v[2] }, 4},
		{"drive.coil.ceiling_margin", func(v []float64) float64 { return v[2] / v[3] }, 4},
		{"point.output.heater_cathode", func(v []float64) float64 { return v[2] - v[1] + v[0] }, 4},
		{"contact.K1a.margin", func(v []float64) float64 { return v[0] / v[1] }, 3},
		{"timing.key_margin", func(v []float64) float64 { return 15e-3 - max(v[3], v[4]) }, 5},
		{"timing.tail_margin", func(v []float64) float64 { return v[3] }, 4},
		{"timing.mute_margin", func(v []float64) float64 { return 15e-3 - v[3] }, 4},
		{"return.mute_line.muted_cold", nil, 0},
		{"return.mute_line.unguarded", nil, 0},
		{"mains.turned_on.digital", nil, 0},
		{"drive.coil.temperature", nil, 0},
	} {
		e, err := d.Explain(c.name)
		require.NoError(t, err, c.name)
		require.NotNil(t, e.Quantity, c.name)
		steps := e.Quantity.Steps
		if !assert.Len(t, steps, c.steps, c.name) || c.steps == 0 {
			continue
		}
		var low, nominal, high []float64
		for _, s := range steps {
			low, nominal, high = append(low, s.Low), append(nominal, s.Nominal), append(high, s.High)
		}
		q, _ := d.Quantities.Get(c.name)
		assert.InEpsilon(t, q.Low, c.of(low), 0.02, c.name)
		assert.InEpsilon(t, q.Nominal, c.of(nominal), 0.02, c.name)
		assert.InEpsilon(t, q.High, c.of(high), 0.02, c.name)
	}
}

// A lever is the same as a plan with that value.
func TestALeverIsThePlanWithThatValue(t *testing.T) {
	const name, at = "drive.coil.current", "receiver.supplies.heaters.voltage"
	nominal := workNominal(t, "sound/larkmoor-seven")
	e, err := nominal.Explain(name)
	require.NoError(t, err)
	i := slices.IndexFunc(e.Quantity.Levers, func(l answer.Lever) bool { return l.At == at })
	require.GreaterOrEqual(t, i, 0)
	settings := []string{at + "=6.93 V"}
	for _, c := range nominal.Chosen { // what was chosen for 6.3 V stays
		if strings.HasPrefix(c.At, "relay.") {
			settings = append(settings, c.At+"="+c.Plain)
		}
	}
	d := workNominal(t, "sound/larkmoor-seven", settings...)
	q, ok := d.Quantities.Get(name)
	require.True(t, ok)
	assert.InEpsilon(t, q.Nominal, e.Quantity.Levers[i].Result, 1e-3)
}

// byWordsAlone are the kinds of findings that hang on no number of the result: on
// words of the plan, on places, or on figures of parts.
var byWordsAlone = strings.Fields(`antenna.band antenna.coupling antenna.near_field antenna.unguarded
	contact.form contact.least_load contact.serves drive.bias drive.circuit drive.clamp drive.latching drive.rectifier drive.together
	mains.capacitor_class mains.capacitor_y4 mains.cord_work mains.fuse_neutral mains.switch_neutral
	plan.reversed plan.unused plan.unusual return.antenna_control return.back_bias return.converter return.depth_unknown return.lead
	standby.open standby.series timing.set_off`)

// Every kind of finding says which results it is about, or hangs on none.
func TestEveryFindingIsExplained(t *testing.T) {
	for _, k := range rule.Kinds() {
		assert.NotEqual(t, slices.Contains(byWordsAlone, k.ID), design.Reads(k.ID), k.ID)
	}
	for _, r := range raisings {
		if r.severity == finding.Note || r.whole || slices.Contains(byWordsAlone, r.id) || testing.Short() && r.id > "contact" {
			continue
		}
		d := workNominal(t, r.plan)
		e, err := d.Explain(r.id)
		require.NoError(t, err, r.id)
		if assert.NotEmpty(t, e.Findings, r.id) {
			assert.NotEmpty(t, e.Findings[0].About, "%s of %s", r.id, r.plan)
		}
	}
}

func TestUnknownNamesStandForNothing(t *testing.T) {
	e, err := workNominal(t, "sound/tarnbeck-alone").Explain("drive.coil.volts")
	require.NoError(t, err)
	assert.False(t, e.Found())
}
