package fitting_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/fitting"
	"mutewright/design/known"
	"mutewright/design/plan"
)

// mainsTest is the mains test of a small plan with settings laid over it.
func mainsTest(t *testing.T, settings ...string) fitting.Fitting {
	t.Helper()
	const name = "../../testdata/plans/sound/mains-two-wire.yaml"
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	p, err := plan.Read(name, data, catalog.Default(), settings...)
	require.NoError(t, err)
	f := known.From(p, catalog.Default())
	a, err := answer.AskMains(f)
	require.NoError(t, err)
	return fitting.MainsOnly(f, a)
}

func titles(steps []fitting.Step) []string {
	var list []string
	for _, s := range steps {
		list = append(list, s.Title)
	}
	return list
}

func find(t *testing.T, fit fitting.Fitting, title string) fitting.Step {
	t.Helper()
	for _, s := range append(fit.Mains.Before, fit.Mains.After...) {
		if strings.HasPrefix(s.Title, title) {
			return s
		}
	}
	require.Fail(t, "no step "+title)
	return fitting.Step{}
}

// Ohms before any volts, volts before the cord, all of it before the cable.
func TestMainsStepsStandInWorkingOrder(t *testing.T) {
	fit := mainsTest(t)
	assert.Equal(t, []string{
		"Unplugged and discharged",
		"Ohm check: unplugged, switch on, each prong of the plug to chassis",
		"Insulation test at 500\u00a0V DC",
		"Chassis to the outlet's earth, chassis not earthed, in four states",
		"When the two-wire cord gives way to an earthed one",
	}, titles(fit.Mains.Before))
	assert.Equal(t, []string{
		"Earthed, plugged in, switched on: chassis to the outlet's earth",
		"Jack to the station's earth, before the key cable goes on",
	}, titles(fit.Mains.After))
	var of int
	for _, s := range append(fit.Mains.Before, fit.Mains.After...) {
		assert.NotEmpty(t, s.Do, s.Title)
		for _, r := range s.Readings {
			assert.Equal(t, r, fit.Readings[of], "readings stand in the order of their steps")
			assert.Equal(t, "mains", r.State)
			assert.LessOrEqual(t, r.Low, r.High)
			assert.NotEmpty(t, r.Why)
			of++
		}
	}
	assert.Len(t, fit.Readings, of)
}

// The table of the ohm check holds the plan's own thresholds: 240 kΩ at 120 V,
// 460 kΩ at 230 V (0.5 mA, computed), 1 and 5 MΩ (published, second-hand).
func TestOhmCheckHoldsThePlansThresholds(t *testing.T) {
	for _, c := range []struct{ voltage, touch string }{{"120 V", "240\u00a0kΩ"}, {"230 V", "460\u00a0kΩ"}} {
		t.Run(c.voltage, func(t *testing.T) {
			s := find(t, mainsTest(t, "receiver.mains.voltage="+c.voltage), "Ohm check")
			var reads []string
			for _, d := range s.Decide {
				reads = append(reads, d.Reads)
				assert.NotEmpty(t, d.Means)
				assert.NotEmpty(t, d.Do)
			}
			assert.Equal(t, []string{
				"both above 5\u00a0MΩ", "1\u00a0MΩ … 5\u00a0MΩ", c.touch + " … 1\u00a0MΩ", "below " + c.touch,
				"near 0 (up to 300\u00a0Ω) from one prong", "low from both alike",
			}, reads)
			require.Len(t, s.Readings, 2)
			assert.InDelta(t, 5e6, s.Readings[0].Low, 1)
		})
	}
}

func TestMainsStepsFollowTheCord(t *testing.T) {
	two, three := mainsTest(t), mainsTest(t, "receiver.mains.cord=three-wire")
	least := func(fit fitting.Fitting) float64 { return find(t, fit, "Insulation").Readings[0].Low }
	assert.InDelta(t, 2e6, least(two), 1)
	assert.InDelta(t, 1e6, least(three), 1)

	jack := find(t, two, "Jack")
	require.Len(t, jack.Readings, 2)
	assert.InDelta(t, 0.375, jack.Readings[1].High, 1e-9, "0.25 mA on 1.5 kΩ")
	jack = find(t, three, "Jack")
	require.Len(t, jack.Readings, 1)
	assert.InDelta(t, 1, jack.Readings[0].High, 1e-9)

	assert.Contains(t, strings.Join(find(t, two, "When the two-wire").Do, " "), "green-yellow are heater leads")
	assert.InDelta(t, 0.146, find(t, three, "Earth of the").Readings[0].High, 0.001, "0.1 Ω and 2 m of 0.75 mm²")
	assert.Contains(t, strings.Join(find(t, three, "Chassis to the outlet's").Do, " "), "closed again at once")
}

func TestFourStatesOnThreeMetersAndTheShunt(t *testing.T) {
	s := find(t, mainsTest(t), "Chassis to the outlet's")
	assert.Len(t, s.Readings, len(answer.OutletStates)*len(answer.ChassisLoads))
}

func TestDischargeWarnsOfTheMeterAlone(t *testing.T) {
	s := find(t, mainsTest(t, "receiver.supplies.ht.bleeder=none"), "Unplugged")
	text := strings.Join(s.Do, " ")
	assert.Contains(t, text, "only the meter on it takes up to 13 min")
	assert.Contains(t, text, "4.7\u00a0kΩ")
	assert.Contains(t, text, "measure again")
	assert.Contains(t, text, "less than 10\u00a0V")
	require.Len(t, s.Readings, 1)
	assert.InDelta(t, fitting.DeadVolts, s.Readings[0].High, 1e-9)
}

// The wait is reckoned, to 60 V; the meter decides, at 10 V.
func TestDischargeIsReckonedThenMeasured(t *testing.T) {
	text := strings.Join(find(t, mainsTest(t), "Unplugged").Do, " ")
	assert.Regexp(t, `to 60.V within .* by calculation`, text)
	assert.Contains(t, text, "Go on only when the meter shows less than 10\u00a0V")
}

// A chassis on the mains: the ohm check finds it, and nothing is joined to it.
func TestRefusedSetHasTheOhmCheckOnly(t *testing.T) {
	fit := mainsTest(t, "receiver.mains.isolation=none")
	assert.Empty(t, fit.Mains.After)
	require.Len(t, fit.Readings, 1)
	assert.InDelta(t, 300, fit.Readings[0].High, 1e-9)
	assert.NotEmpty(t, find(t, fit, "Isolation transformer").Do)
}
