package published_test

import (
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/finding"
	mainsroom "mutewright/design/mains"
	"mutewright/design/plan"
)

// worked is a plan of testdata, worked out with everything nominal.
func worked(t *testing.T, path string) *design.Design {
	t.Helper()
	text, err := os.ReadFile("../../testdata/plans/" + path)
	require.NoError(t, err)
	p, err := plan.Read(path, text, catalog.Default())
	require.NoError(t, err)
	d, err := design.New(p, catalog.Default(), design.NominalOnly)
	require.NoError(t, err)
	return d
}

// trade is what the trade knows and no book is named for.
func trade(t *testing.T) []row {
	var rows []row
	add := func(what, want, unit string, w within, ours float64) {
		rows = append(rows, row{what: what, want: want, unit: unit, within: w, ours: ours, mark: practice})
	}
	larkmoor := worked(t, "sound/larkmoor-seven.yaml")
	nominal := func(d *design.Design, name string) float64 {
		q, ok := d.Quantities.Get(name)
		require.True(t, ok, name)
		return q.Nominal
	}
	add("doubler from a 6.3 V heater winding with one side grounded: idle line", "12..18", "V", asPrinted, nominal(larkmoor, "control.open"))
	add("pulldown of a common output and gain return: about 10 kΩ", "10", "kΩ", percent(1), nominal(larkmoor, "return.mute_line.pulldown")/1e3)
	add("the node on it: well inside the touch limit", "0..45", "V", asPrinted, nominal(larkmoor, "return.mute_line.muted"))

	for _, name := range []string{"6V6GT", "6AQ5"} {
		points, _ := figures(catalog.Default().Tube(name).Fitted())
		p := points[0]
		add("cathode resistor of one "+name+": a few hundred ohms, 270 Ω typical", "270", "Ω", percent(15), -p.Grid/(p.PlateCurrent+p.ScreenCurrent))
	}

	live := worked(t, "hurt/standby-live.yaml")
	add("standby terminals of a classical set: over 300 V", "300..500", "V", asPrinted, nominal(live, "standby.1.voltage"))
	flagged := slices.ContainsFunc(live.Findings, func(f finding.Finding) bool { return f.ID == "standby.live" && f.Severity == finding.Danger })
	add("and flagged as a danger within reach: 1 is yes", "1", "", asPrinted, map[bool]float64{true: 1}[flagged])

	reads := func(s mainsroom.Source) float64 {
		l, err := mainsroom.Leakage(s, mainsroom.DigitalOhms)
		require.NoError(t, err)
		return l.Meters[0].Reading.Value
	}
	add("unearthed 120 V set, noise capacitor of 10 nF, on 10 MΩ", "115..125", "V", asPrinted, reads(from(120, 60, 10e-9)))
	add("unearthed 120 V set, noise capacitor of 50 nF, on 10 MΩ", "115..125", "V", asPrinted, reads(from(120, 60, 50e-9)))
	add("the capacitor cut loose, 50 pF of stray, on 10 MΩ", "20..60", "V", asPrinted, reads(mainsroom.Source{Volts: 120, Hertz: 60, Stray: 50e-12}))
	add("the capacitor cut loose, 150 pF of stray, on 10 MΩ", "20..60", "V", asPrinted, reads(mainsroom.Source{Volts: 120, Hertz: 60, Stray: 150e-12}))
	earthed := from(120, 60, 50e-9)
	earthed.Bond = 0.2
	l, err := mainsroom.Leakage(earthed)
	require.NoError(t, err)
	add("50 nF after an earthed cord of 0.2 Ω", "0..1", "V", asPrinted, l.Bonded.Value)
	return rows
}

// unanswered are published figures that nothing of ours can be held against.
var unanswered = []string{
	"Release times measured on relays (290 Ω coil: none 1.5, RC 2.3, diode 14 ms; automotive 12 V: diode 6.7, with 12 V zener 2.6 ms; signal class: none 2, diode 4 ms): inductance, let-go current and travel of those coils were not given.",
	"Kick of an unclamped 12 V coil, 1000 to 1500 V: an unclamped coil fails any line here, and gets no number.",
	"IEC 62368-1 limits of a charged capacitor on a pin by its capacitance, and of single pulses by their width: a node within reach is held to 60 V here whatever hangs on it.",
	"Withstand of receiver inputs (30 V, 0 to +10 dBm, 0.1 to 1 W) and the times of transmitters' key lines: they are inputs of a plan, not results.",
	"Converters (6BE6, 6SA7): no law is fitted to them; a converter among the stages is a finding.",
}
