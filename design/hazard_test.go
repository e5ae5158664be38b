package design_test

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/finding"
	"mutewright/design/plan"
	"mutewright/design/rule"
)

const plans = "../testdata/plans"

// read reads a plan of testdata with settings laid over it.
func read(t *testing.T, name string, settings ...string) *plan.Plan {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(plans, name+".yaml"))
	require.NoError(t, err)
	p, err := plan.Read(name, data, catalog.Default(), settings...)
	require.NoError(t, err)
	return p
}

// work reads a plan and works it out, worst case and all.
func work(t *testing.T, name string, settings ...string) *design.Design {
	t.Helper()
	return worked(t, name, settings)
}

// before are the designs of plans as they stand: many tests look at the same.
var before sync.Map // asked → func() (*design.Design, error)

type asked struct {
	name    string
	nominal bool
}

func worked(t *testing.T, name string, settings []string, how ...design.Option) *design.Design {
	t.Helper()
	p := read(t, name, settings...)
	make := func() (*design.Design, error) { return design.New(p, catalog.Default(), how...) }
	if len(settings) == 0 {
		once, _ := before.LoadOrStore(asked{name, len(how) > 0}, sync.OnceValues(make))
		make = once.(func() (*design.Design, error))
	}
	d, err := make()
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

// workNominal works a plan of testdata out without its doubt.
func workNominal(t *testing.T, name string, settings ...string) *design.Design {
	t.Helper()
	return worked(t, name, settings, design.NominalOnly)
}

// raising says which plan raises a finding, at which key path and how bad, and
// the settings, in the plan's own notation, that make its near twin, which does
// not. whole asks for the worst case and the transients; the others show at
// nominal values already.
type raising struct {
	id, plan, at string
	severity     finding.Severity
	twin         []string
	whole        bool
}

var raisings = []raising{
	{"antenna.band", "sound/antenna-band", "muting_points.aerial.lowest", finding.Caution, []string{"muting_points.aerial.lowest=1.8 MHz", "muting_points.aerial.highest=7.3 MHz"}, false},
	{"antenna.common_mode", "sound/antenna-common-mode", "muting_points.aerial.legs", finding.Caution, []string{"muting_points.aerial.legs=each", "relay.use=plugingold-4pdt-12v"}, false},
	{"antenna.contact_current", "hurt/antenna-contact-current", "relay.use", finding.Fail, []string{"transmitter.coupling=-30 dB"}, false},
	{"antenna.coupling", "hurt/antenna-coupling", "transmitter.coupling", finding.Fail, []string{"transmitter.coupling=-30 dB"}, false},
	{"antenna.near_field", "sound/antenna-near-field", "transmitter.coupling", finding.Caution, []string{"transmitter.coupling.distance=300 m"}, false},
	{"antenna.receive_loss", "sound/antenna-receive-loss", "muting_points.aerial.guard", finding.Caution, []string{"relay.use.contacts.capacitance=1 pF"}, false},
	{"antenna.residual", "hurt/antenna-residual", "muting_points.aerial.guard", finding.Fail, []string{"muting_points.aerial.lead=15 mm", "muting_points.aerial.highest=7.3 MHz"}, false},
	{"antenna.unguarded", "sound/antenna-unguarded", "muting_points", finding.Note, []string{"muting_points.aerial.kind=antenna", "muting_points.aerial.lift=terminal A"}, false},
	{"contact.form", "hurt/contact-form", "relay.use", finding.Fail, []string{"relay.use=signal-dpdt-12v"}, false},
	{"contact.gold", "sound/contact-gold", "relay.use", finding.Note, []string{"muting_points.output.tube=6AK6", "muting_points.output.cathode_resistor=560 ohm", "returns.mute_line.pulldown=3.3 kohm"}, false},
	{"contact.insulation_coil", "hurt/contact-insulation-coil", "relay.use", finding.Fail, []string{"relay.use=power-spdt-12v"}, false},
	{"contact.insulation_open", "hurt/contact-insulation-open", "relay.use", finding.Fail, []string{"relay.use=hvreed-spst-no-12v", "relay.energised_on=receive", "control.mutes_when=opened"}, false},
	{"contact.insulation_poles", "hurt/contact-insulation-poles", "relay.use", finding.Fail, []string{"relay.use=power-spdt-12v"}, false},
	{"contact.least_load", "sound/contact-least-load", "relay.use", finding.Caution, []string{"relay.use=signal-dpdt-12v"}, false},
	{"contact.limit", "hurt/contact-limit", "relay.use", finding.Fail, []string{"relay.use=signal-dpdt-12v"}, false},
	{"contact.make", "hurt/contact-make", "returns.mute_line.capacitor", finding.Fail, []string{"returns.mute_line.capacitor.series=100 ohm"}, false},
	{"contact.poles", "hurt/contact-poles", "relay.use", finding.Fail, []string{"relay.use=signal-dpdt-12v"}, false},
	{"contact.serves", "hurt/contact-serves", "relay.serves", finding.Fail, []string{"relay.serves.2=aerial"}, false},
	{"control.current", "hurt/control-current", "transmitter.keying.rated.current", finding.Fail, []string{"transmitter.keying.rated.current=100 mA"}, false},
	{"control.kick", "hurt/control-kick", "relay.clamp", finding.Fail, []string{"relay.zener=3.3 V"}, false},
	{"control.touch", "hurt/control-touch", "relay.supply", finding.Danger, []string{"relay.supply=heaters", "relay.rectifier=doubler", "relay.use=signal-dpdt-12v"}, false},
	{"control.voltage", "hurt/control-voltage", "transmitter.keying.rated.voltage", finding.Fail, []string{"transmitter.keying.rated.voltage=30 V"}, false},
	{"drive.bias", "hurt/drive-bias", "receiver.supplies.heaters.bias", finding.Danger, []string{"receiver.supplies.heaters.bias=0 V"}, false},
	{"drive.buffer_gain", "hurt/drive-buffer-gain", "relay.buffer", finding.Fail, []string{"transmitter.keying.level=5 V"}, false},
	{"drive.buffer_off", "hurt/drive-buffer-off", "transmitter.keying.leakage", finding.Fail, []string{"transmitter.keying.leakage=10 uA"}, false},
	{"drive.buffer_off", "hurt/drive-buffer-drop", "transmitter.keying.drop", finding.Fail, []string{"transmitter.keying.drop=0.1 V"}, false},
	{"drive.ceiling", "hurt/drive-ceiling", "relay.dropper", finding.Fail, []string{"relay.use=signal-dpdt-12v", "relay.dropper=choose", "receiver.mains.tolerance=3 %"}, true},
	{"drive.circuit", "hurt/drive-circuit", "relay.buffer", finding.Fail, []string{"relay.buffer=none"}, false},
	{"drive.clamp", "hurt/drive-clamp", "relay.clamp", finding.Fail, []string{"relay.clamp=diode"}, false},
	{"drive.core", "sound/drive-core", "relay.rectifier", finding.Note, []string{"relay.rectifier=doubler", "relay.use=signal-dpdt-12v"}, false},
	{"drive.fuse", "hurt/drive-fuse", "relay.fuse", finding.Fail, []string{"relay.fuse=choose"}, false},
	{"drive.fuse", "hurt/control-touch", "relay.fuse", finding.Caution, []string{"relay.fuse=100 mA"}, false},
	{"drive.fuse", "hurt/drive-buffer-gain", "relay.fuse", finding.Fail, []string{"relay.fuse=100 mA"}, false},
	{"drive.hash", "sound/drive-hash", "relay.energised_on", finding.Note, []string{"relay.energised_on=transmit", "control.mutes_when=grounded"}, false},
	{"drive.heater_offset", "sound/drive-heater-offset", "receiver.supplies.heaters.grounded", finding.Note, []string{"relay.rectifier=half-wave"}, false},
	{"drive.high_rail", "hurt/drive-high-rail", "relay.supply", finding.Danger, []string{"relay.supply=heaters", "relay.rectifier=doubler"}, false},
	{"drive.hold_inrush", "hurt/drive-hold-inrush", "relay.hold.series", finding.Fail, []string{"relay.hold.series=100 ohm"}, false},
	{"drive.latching", "hurt/drive-latching", "relay.use", finding.Fail, []string{"relay.use=signal-dpdt-12v"}, false},
	{"drive.operate", "hurt/drive-operate", "relay.dropper", finding.Fail, []string{"relay.dropper=choose", "receiver.mains.tolerance=3 %"}, true},
	{"drive.rectifier", "hurt/drive-rectifier", "relay.rectifier", finding.Fail, []string{"relay.rectifier=doubler"}, false},
	{"drive.release", "hurt/drive-release", "transmitter.keying.leakage", finding.Fail, []string{"transmitter.keying.leakage=10 uA"}, false},
	{"drive.together", "hurt/drive-together", "relay.2.rectifier", finding.Fail, []string{"relay.2.rectifier=doubler"}, false},
	{"drive.transistor", "hurt/drive-transistor", "relay.buffer", finding.Fail, []string{"relay.supply=heaters", "relay.rectifier=doubler"}, false},
	{"drive.winding_load", "hurt/drive-winding-load", "receiver.supplies.heaters.rated", finding.Fail, []string{"receiver.supplies.heaters.rated=5 A"}, false},
	{"drive.winding_rating", "sound/drive-winding-rating", "receiver.supplies.heaters.rated", finding.Note, []string{"receiver.supplies.heaters.rated=5 A"}, false},
	{"plan.reversed", "hurt/plan-reversed", "receiver.supplies.ht.voltage", finding.Fail, []string{"receiver.supplies.ht.voltage=250 V"}, false},
	{"plan.unused", "sound/plan-unused", "muting_points.output.cathodes", finding.Caution, []string{"muting_points.output.count=2"}, false},
	{"plan.unusual", "sound/plan-unusual", "muting_points.aerial.wire", finding.Caution, []string{"muting_points.aerial.wire=0.6 mm"}, false},
	{"return.antenna_control", "hurt/return-antenna-control", "muting_points.gain.control.wiring", finding.Danger, []string{"muting_points.gain.control.wiring=rheostat"}, false},
	{"return.back_bias", "sound/return-back-bias", "muting_points.output.grid", finding.Note, []string{"muting_points.output.grid=0 V", "muting_points.output.cathode_resistor=240 ohm"}, false},
	{"return.bus_capacitor", "hurt/return-bus-capacitor", "muting_points.gain.bus_capacitor.rated", finding.Fail, []string{"muting_points.gain.bus_capacitor.rated=400 V"}, false},
	{"return.bypass", "hurt/return-bypass", "muting_points.output.bypass.rated", finding.Fail, []string{"muting_points.output.bypass.rated=100 V"}, true},
	{"return.click", "sound/return-click", "muting_points.output.transformer", finding.Caution, []string{"muting_points.output.bypass.returned_to=chassis"}, true},
	{"return.converter", "hurt/return-converter", "muting_points.gain.stages.1.tube", finding.Fail, []string{"muting_points.gain.stages.1.tube=6SK7"}, false},
	{"return.cut_capacitor", "hurt/return-cut-capacitor", "returns.mute_line.capacitor.rated", finding.Fail, []string{"returns.mute_line.capacitor.rated=400 V"}, false},
	{"return.depth", "hurt/larkmoor-as-found", "wanted.depth", finding.Fail, []string{"muting_points.output.bypass.rated=100 V"}, true},
	{"return.depth_over", "sound/return-depth-over", "wanted.depth", finding.Note, []string{"muting_points.gain.stages.2.tube=6AU6", "muting_points.output.bypass.returned_to=chassis", "returns.mute_line.pulldown=100 ohm"}, false},
	{"return.depth_unknown", "sound/return-depth-unknown", "wanted.depth", finding.Caution, nil, false},
	{"return.grid_current", "sound/return-grid-current", "muting_points.output", finding.Caution, []string{"muting_points.output.cathode_resistor=240 ohm"}, false},
	{"return.heater_cathode", "hurt/return-heater-cathode", "returns.mute_line.pulldown", finding.Fail, []string{"returns.mute_line.pulldown=4.7 kohm", "muting_points.gain.stages.1.tube=6BA6"}, true},
	{"return.hot", "sound/return-hot", "returns.mute_line.pulldown", finding.Caution, []string{"returns.mute_line.pulldown=8.2 kohm"}, true},
	{"return.knee", "sound/return-knee", "muting_points.output", finding.Caution, []string{"muting_points.output.transformer.resistance=250 ohm"}, false},
	{"return.lead", "sound/return-lead", "returns.mute_line.capacitor", finding.Caution, []string{"returns.mute_line.lead=80 mm"}, false},
	{"return.loudspeaker", "sound/return-loudspeaker", "muting_points.output.transformer.load", finding.Note, nil, false},
	{"return.meter", "sound/return-meter", "muting_points.gain.stages.2.meter", finding.Caution, []string{"muting_points.gain.stages.2.meter=false"}, false},
	{"return.no_pulldown", "hurt/return-no-pulldown", "returns.mute_line.pulldown", finding.Fail, []string{"returns.mute_line.pulldown=10 kohm"}, false},
	{"return.path_past_lift", "hurt/return-far-end", "muting_points.gain.control.far_end", finding.Fail, []string{"muting_points.gain.control.far_end=lifted"}, false},
	{"return.path_past_lift", "hurt/return-path-past-lift", "muting_points.output.also_to_chassis", finding.Fail, []string{"muting_points.output.also_to_chassis=none"}, false},
	{"return.pulldown_power", "hurt/return-pulldown-power", "returns.mute_line.pulldown", finding.Fail, []string{"muting_points.gain.bleeder=none"}, false},
	{"return.rail_capacitor", "hurt/return-rail-capacitor", "receiver.supplies.ht.rated", finding.Fail, []string{"receiver.supplies.ht.rated=450 V"}, false},
	{"return.regulator", "sound/return-regulator", "receiver.supplies.reg.regulated", finding.Caution, []string{"receiver.supplies.reg.regulated=false"}, false},
	{"return.screen_capacitor", "hurt/return-screen-capacitor", "muting_points.gain.screens.capacitor.rated", finding.Fail, []string{"muting_points.gain.screens.capacitor.rated=450 V"}, false},
	{"return.touch", "hurt/return-touch", "returns.mute_line.reachable", finding.Danger, []string{"returns.mute_line.reachable=false"}, true},
	{"return.unguarded", "hurt/glenside-bleeder", "returns.gain_line.pulldown", finding.Fail, []string{"muting_points.gain.bleeder=none"}, false},
	{"return.unguarded", "hurt/return-unguarded", "returns.mute_line.pulldown", finding.Fail, []string{"muting_points.gain.bleeder=none"}, false},
	{"return.window", "hurt/return-window", "returns.mute_line.pulldown", finding.Fail, []string{"wanted.depth=10 dB", "muting_points.output.bypass.rated=160 V"}, false},
	{"standby.connector", "hurt/standby-connector", "control.jack", finding.Danger, []string{"control.jack=rear 3.5 mm jack"}, false},
	{"standby.live", "hurt/standby-live", "receiver.standby.1.reachable", finding.Danger, []string{"receiver.standby.1.left=removed"}, false},
	{"standby.open", "hurt/standby-open", "receiver.standby.1.left", finding.Fail, []string{"receiver.standby.1.left=in use"}, false},
	{"standby.series", "sound/standby-series", "receiver.standby.1.left", finding.Note, []string{"receiver.standby.1.left=removed"}, false},
	{"timing.key_margin", "hurt/timing-key-margin", "transmitter.key_to_rf", finding.Fail, []string{"transmitter.key_to_rf=60 ms"}, true},
	{"timing.mute_margin", "sound/timing-mute-margin", "transmitter.key_to_rf", finding.Caution, []string{"transmitter.key_to_rf=300 ms"}, true},
	{"timing.never_muted", "hurt/timing-never-muted", "wanted.depth", finding.Caution, []string{"returns.mute_line.pulldown=68 kohm"}, true},
	{"timing.set_off", "sound/timing-set-off", "relay.energised_on", finding.Note, []string{"relay.energised_on=receive", "control.mutes_when=opened"}, false},
	{"timing.tail_margin", "hurt/timing-tail-margin", "transmitter.rf_tail", finding.Fail, []string{"transmitter.rf_tail=0 ms"}, true},
}

// Every plan raises its finding at its key path, and the near twin is silent.
func TestPlansRaiseTheirFindingsAndTwinsAreSilent(t *testing.T) {
	if testing.Short() {
		t.Skip("works many plans out")
	}
	t.Parallel()
	for _, c := range raisings {
		t.Run(c.id+" "+c.plan, func(t *testing.T) {
			t.Parallel()
			out := workNominal
			if c.whole {
				out = work
			}
			f := found(out(t, c.plan), c.id)
			if assert.NotNil(t, f, "the plan does not raise it") {
				assert.Equal(t, c.at, f.At)
				assert.Equal(t, c.severity, f.Severity)
				for _, text := range []string{f.Title, f.Says, f.Do, f.Source} {
					assert.NotEmpty(t, text)
				}
			}
			if len(c.twin) == 0 {
				return
			}
			if f := found(out(t, c.plan, c.twin...), c.id); f != nil {
				t.Errorf("the twin raises it too: %s at %s: %s", f.Severity, f.At, f.Says)
			}
		})
	}
}

// There is no kind of finding that no plan raises; those of the mains side have a
// table of their own beside their rules.
func TestEveryKindOfFindingIsRaised(t *testing.T) {
	t.Parallel()
	has := map[string]bool{}
	for _, c := range raisings {
		has[c.id] = true
		if strings.HasPrefix(c.plan, "sound/") {
			assert.LessOrEqual(t, c.severity, finding.Caution, "%s: a sound plan raises nothing worse", c.plan)
		}
	}
	var missing []string
	for _, k := range rule.Kinds() {
		if !has[k.ID] && !strings.HasPrefix(k.ID, "mains.") {
			missing = append(missing, k.ID)
		}
	}
	assert.Empty(t, missing)
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
