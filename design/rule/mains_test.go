package rule_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/finding"
	"mutewright/design/plan"
	"mutewright/design/rule"
)

// workOut reads a plan below testdata/plans, with settings, and works out its
// mains side.
func workOut(t *testing.T, name string, settings ...string) *design.Design {
	t.Helper()
	file := filepath.Join("..", "..", "testdata", "plans", filepath.FromSlash(name)+".yaml")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	p, err := plan.Read(name, data, catalog.Default(), settings...)
	require.NoError(t, err)
	d, err := design.Mains(p, catalog.Default())
	require.NoError(t, err)
	return d
}

func raised(d *design.Design, id string) (finding.Finding, bool) {
	i := slices.IndexFunc(d.Findings, func(f finding.Finding) bool { return f.ID == id })
	if i < 0 {
		return finding.Finding{}, false
	}
	return d.Findings[i], true
}

const (
	lineCapacitors = "receiver.mains.line_capacitors"
	firstClass     = lineCapacitors + ".1.class"
)

// Every finding of the mains side: the plan that raises it, and the least change
// that silences it.
func TestMainsFindings(t *testing.T) {
	rows := []struct {
		id, plan string
		with     []string // laid over the plan before it raises
		severity finding.Severity
		at       string
		twin     string // the setting that makes the near twin
		says     string // a number or word that must stand in it
	}{
		{"mains.isolation", "hurt/mains-isolation", nil, finding.Danger, "receiver.mains.isolation",
			"receiver.mains.isolation=transformer", "66\u00a0mA"},
		{"mains.isolation", "hurt/series-heaters", []string{"receiver.mains.voltage=230 V"}, finding.Danger, "receiver.mains.isolation", "", "253\u00a0V"},

		{"mains.touch_current", "hurt/mains-touch-current", nil, finding.Danger, lineCapacitors,
			lineCapacitors + ".1.value=3.3 nF", "may not exceed 500\u00a0µA"},
		{"mains.touch_current", "hurt/mains-touch-current", []string{lineCapacitors + ".1.value=6.8 nF"}, finding.Caution, lineCapacitors,
			lineCapacitors + ".1.value=3.3 nF", "good up to 250\u00a0µA"},
		{"mains.touch_current", "hurt/mains-touch-current", []string{"receiver.mains.cord=three-wire"}, finding.Caution, lineCapacitors,
			lineCapacitors + ".1.value=6.8 nF", "750\u00a0µA"},
		{"mains.touch_current", "hurt/mains-touch-current", []string{"receiver.mains.cord=three-wire", lineCapacitors + ".1.value=47 nF"},
			finding.Caution, lineCapacitors, lineCapacitors + ".1.value=6.8 nF", "only while its earth is sound"},
		{"mains.touch_current", "hurt/mains-touch-current", []string{"receiver.mains.cord=three-wire", lineCapacitors + ".1.value=68 nF"},
			finding.Danger, lineCapacitors, lineCapacitors + ".1.value=6.8 nF", "3.5\u00a0mA"},
		{"mains.touch_current", "sound/mains-two-wire", []string{"receiver.mains.stray=5 nF .. 8 nF"}, finding.Caution, "receiver.mains.stray",
			"receiver.mains.stray=4 nF .. 5 nF", "two-wire"},
		{"mains.meter_undetermined", "sound/mains-meter-undetermined", nil, finding.Note, lineCapacitors,
			lineCapacitors + ".1.value=470 pF", "undetermined"},

		{"mains.capacitors_unknown", "sound/mains-capacitors-unknown", nil, finding.Caution, lineCapacitors,
			lineCapacitors + "=none", "10 to 50 nF"},
		{"mains.capacitor_class", "hurt/mains-capacitor-class", nil, finding.Fail, firstClass, firstClass + "=Y1", "1\u00a0nF from line"},
		{"mains.capacitor_class", "hurt/mains-capacitor-class", []string{"receiver.mains.cord=three-wire"}, finding.Caution, firstClass, firstClass + "=Y2", "no Y class"},
		{"mains.capacitor_single", "sound/mains-capacitor-single", nil, finding.Caution, firstClass, firstClass + "=Y1", "class Y2"},
		{"mains.capacitor_y4", "hurt/mains-capacitor-y4", nil, finding.Fail, firstClass, "receiver.mains.voltage=120 V", "150\u00a0V"},

		{"mains.no_fuse", "sound/mains-no-fuse", nil, finding.Caution, "receiver.mains.fuse",
			"receiver.mains.fuse={value: 750 mA, in: line}", "no fuse"},
		{"mains.fuse_unknown", "sound/mains-fuse-unknown", nil, finding.Caution, "receiver.mains.fuse",
			"receiver.mains.fuse={value: 750 mA, in: line}", "Nobody says"},
		{"mains.fuse_neutral", "sound/mains-fuse-neutral", nil, finding.Caution, "receiver.mains.fuse.in", "receiver.mains.fuse.in=line", "neutral"},
		{"mains.fuse_large", "sound/mains-fuse-large", nil, finding.Caution, "receiver.mains.fuse.value",
			"receiver.mains.fuse.value=1 A", "1.12\u00a0A for"}, // 1.125 A: 300 % of 45 W / 120 V
		{"mains.fuse_small", "sound/mains-fuse-small", nil, finding.Note, "receiver.mains.fuse.value",
			"receiver.mains.fuse.value=500 mA", "375\u00a0mA"},

		{"mains.switch_neutral", "sound/mains-switch-neutral", nil, finding.Caution, "receiver.mains.switch.in", "receiver.mains.switch.in=line", "neutral"},
		{"mains.switch_unknown", "sound/mains-switch-unknown", nil, finding.Note, "receiver.mains.switch.in", "receiver.mains.switch.in=line", "which conductor"},

		{"mains.earth_device", "hurt/mains-earth-device", nil, finding.Note, lineCapacitors, lineCapacitors + ".1.value=47 nF", "may trip"},
		{"mains.earth_device", "hurt/mains-earth-device", []string{lineCapacitors + ".1.value=150 nF"}, finding.Caution, lineCapacitors,
			lineCapacitors + ".1.value=47 nF", "must trip"},
		{"mains.earth_device", "hurt/mains-earth-device", []string{"receiver.mains.voltage=230 V", "receiver.mains.frequency=50 Hz", lineCapacitors + ".1.value=180 nF"},
			finding.Note, lineCapacitors, lineCapacitors + ".1.value=150 nF", "RCD 30 mA"},
		{"mains.two_wire", "sound/mains-two-wire", nil, finding.Caution, "receiver.mains.cord", "receiver.mains.cord=three-wire", "two wires"},
		{"mains.bonding", "sound/mains-two-wire", nil, finding.Caution, "control.jack", "receiver.mains.cord=three-wire", "unearthed"},
		{"mains.cord_work", "sound/mains-two-wire", nil, finding.Note, "receiver.mains.cord", "receiver.mains.cord=three-wire", "green-yellow"},

		{"mains.no_bleeder", "sound/mains-no-bleeder", nil, finding.Caution, "receiver.supplies.ht.bleeder", "receiver.supplies.ht.bleeder=150 kohm", "13 min"},
		{"mains.no_bleeder", "sound/mains-no-bleeder", []string{"receiver.supplies.ht.voltage=48 V", "receiver.supplies.ht.unloaded=58 V"},
			finding.Caution, "receiver.supplies.ht.bleeder", "receiver.supplies.ht.unloaded=54 V", "63.8\u00a0V"},
		{"mains.discharge", "sound/mains-discharge", nil, finding.Caution, "receiver.supplies.ht.bleeder", "receiver.supplies.ht.bleeder=680 kohm", "82"},
	}
	covered := map[string]bool{}
	for _, r := range rows {
		covered[r.id] = true
		t.Run(strings.Join(append([]string{r.id}, r.with...), " "), func(t *testing.T) {
			d := workOut(t, r.plan, r.with...)
			f, ok := raised(d, r.id)
			require.True(t, ok, "%s does not raise it", r.plan)
			assert.Equal(t, r.severity, f.Severity)
			assert.Equal(t, r.at, f.At)
			assert.Contains(t, f.Says, r.says)
			assert.NotEmpty(t, f.Do)
			assert.Contains(t, f.Source, "local codes and a qualified person decide")
			if len(r.with) == 0 {
				hurt := d.Verdict >= finding.Fail
				assert.Equal(t, strings.HasPrefix(r.plan, "hurt/"), hurt, "the folder says how the plan is judged, which is %s", d.Verdict)
			}
			if r.twin != "" {
				_, ok = raised(workOut(t, r.plan, append(slices.Clip(r.with), r.twin)...), r.id)
				assert.False(t, ok, "%s still raises it", r.twin)
			}
		})
	}
	for _, k := range rule.Kinds() {
		if strings.HasPrefix(k.ID, "mains.") {
			assert.True(t, covered[k.ID], "no plan raises %s", k.ID)
		}
	}
}

// A set on a sound earth with nothing to complain about is left in peace.
func TestSoundMainsRaiseNothing(t *testing.T) {
	assert.Empty(t, workOut(t, "sound/mains-earthed").Findings)
}

// Where the chassis is on the mains, that is all there is to say.
func TestIsolationSilencesTheRest(t *testing.T) {
	d := workOut(t, "hurt/mains-isolation")
	require.Len(t, d.Findings, 1)
	assert.True(t, d.Refused)
	assert.Contains(t, d.Findings[0].Do, "isolation transformer")
	assert.Contains(t, d.Findings[0].Do, "path from chassis through you")
}

// The capacitor that a finding recommends is silent about touch current: the
// largest values of the tiers, computed at mains +10 % and capacitor +20 %.
func TestRecommendedCapacitorMeetsItsTier(t *testing.T) {
	for _, c := range []struct {
		name     string
		settings []string
		largest  string
	}{
		{"120 V 60 Hz, two-wire", nil, "3.3\u00a0nF"},
		{"120 V 60 Hz, three-wire", []string{"receiver.mains.cord=three-wire"}, "6.8\u00a0nF"},
		{"230 V 50 Hz, two-wire", []string{"receiver.mains.voltage=230 V", "receiver.mains.frequency=50 Hz"}, "2.2\u00a0nF"},
		{"240 V 50 Hz, three-wire", []string{"receiver.mains.voltage=240 V", "receiver.mains.frequency=50 Hz", "receiver.mains.cord=three-wire"}, "4.7\u00a0nF"},
		{"100 V 50 Hz, two-wire", []string{"receiver.mains.voltage=100 V", "receiver.mains.frequency=50 Hz"}, "4.7\u00a0nF"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := workOut(t, "hurt/mains-touch-current", append(c.settings, lineCapacitors+".1.value=22 nF")...)
			f, ok := raised(d, "mains.touch_current")
			require.True(t, ok)
			assert.Contains(t, f.Do, c.largest)
			_, ok = raised(workOut(t, "hurt/mains-touch-current", append(c.settings, lineCapacitors+".1.value="+c.largest)...), "mains.touch_current")
			assert.False(t, ok)
		})
	}
}
