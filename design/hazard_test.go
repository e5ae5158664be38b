package design_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/finding"
	"mutewright/design/plan"
)

const plans = "../testdata/plans"

// work reads a plan of testdata with settings laid over it and works it out.
func work(t *testing.T, name string, settings ...string) *design.Design {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(plans, name+".yaml"))
	require.NoError(t, err)
	p, err := plan.Read(name, data, catalog.Default(), settings...)
	require.NoError(t, err)
	d, err := design.New(p, catalog.Default())
	require.NoError(t, err)
	return d
}

// found is the finding of that id, nil where there is none.
func found(d *design.Design, id string) *finding.Finding {
	for i := range d.Findings {
		if d.Findings[i].ID == id {
			return &d.Findings[i]
		}
	}
	return nil
}

// Every hurt plan raises its finding at its key path, and the repair, in the
// plan's own notation, takes it away.
func TestHurtPlansRaiseTheirFindingAndRepairTakesItAway(t *testing.T) {
	if testing.Short() {
		t.Skip("works many plans out")
	}
	t.Parallel()
	const (
		fail   = finding.Fail
		danger = finding.Danger
	)
	for _, c := range []struct {
		plan     string
		id, at   string
		severity finding.Severity
		repair   []string
	}{
		{"drive-rectifier", "drive.rectifier", "relay.rectifier", fail, []string{"relay.rectifier=doubler"}},
		{"drive-bias", "drive.bias", "receiver.supplies.heaters.bias", danger, []string{"receiver.supplies.heaters.bias=0 V"}},
		{"drive-fuse", "drive.fuse", "relay.fuse", fail, []string{"relay.fuse=choose"}},
		{"drive-operate", "drive.operate", "relay.dropper", fail, []string{"relay.dropper=choose"}},
		{"drive-ceiling", "drive.ceiling", "relay.dropper", fail, []string{"relay.use=signal-dpdt-12v", "relay.dropper=choose"}},
		{"drive-clamp", "drive.clamp", "relay.clamp", fail, []string{"relay.clamp=diode"}},
		{"control-voltage", "control.voltage", "transmitter.keying.rated.voltage", fail, []string{"transmitter.keying.rated.voltage=30 V"}},
		{"control-current", "control.current", "transmitter.keying.rated.current", fail, []string{"transmitter.keying.rated.current=100 mA"}},
		{"return-bypass", "return.bypass", "muting_points.output.bypass.rated", fail, []string{"muting_points.output.bypass.rated=100 V"}},
		{"return-heater-cathode", "return.heater_cathode", "returns.mute_line.pulldown", fail, []string{"returns.mute_line.pulldown=10 kohm"}},
		{"contact-poles", "contact.poles", "relay.use", fail, []string{"relay.use=signal-dpdt-12v"}},
		{"contact-form", "contact.form", "relay.use", fail, []string{"relay.use=signal-dpdt-12v"}},
		{"return-touch", "return.touch", "returns.mute_line.reachable", danger, []string{"returns.mute_line.reachable=false"}},
		{"return-path-past-lift", "return.path_past_lift", "muting_points.output.also_to_chassis", fail, []string{"muting_points.output.also_to_chassis=none"}},
		{"return-far-end", "return.path_past_lift", "muting_points.gain.control.far_end", fail, []string{"muting_points.gain.control.far_end=lifted"}},
		{"return-converter", "return.converter", "muting_points.gain.stages.1.tube", fail, []string{"muting_points.gain.stages.1.tube=6SK7"}},
		{"larkmoor-as-found", "return.depth", "wanted.depth", fail, []string{"muting_points.output.bypass.rated=100 V"}},
		{"glenside-bleeder", "return.unguarded", "returns.gain_line.pulldown", fail, []string{"muting_points.gain.bleeder=none"}},
	} {
		t.Run(c.plan+" "+c.id, func(t *testing.T) {
			t.Parallel()
			f := found(work(t, "hurt/"+c.plan), c.id)
			if assert.NotNil(t, f, "the plan does not raise it") {
				assert.Equal(t, c.at, f.At)
				assert.Equal(t, c.severity, f.Severity)
				assert.NotEmpty(t, f.Do)
				assert.NotEmpty(t, f.Source)
			}
			if f := found(work(t, "hurt/"+c.plan, c.repair...), c.id); f != nil {
				assert.Less(t, f.Severity, c.severity, "still there after the repair: %s", f.Says)
			}
		})
	}
}

// Sound plans have a verdict that lets the work begin.
func TestSoundPlansAreGoodOrCaution(t *testing.T) {
	if testing.Short() {
		t.Skip("works many plans out")
	}
	t.Parallel()
	files, err := filepath.Glob(filepath.Join(plans, "sound", "*.yaml"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := "sound/" + filepath.Base(file[:len(file)-len(".yaml")])
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := work(t, name)
			for _, f := range d.Findings {
				assert.LessOrEqual(t, f.Severity, finding.Caution, "%s at %s: %s", f.ID, f.At, f.Says)
			}
		})
	}
}
