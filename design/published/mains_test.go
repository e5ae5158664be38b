package published_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/mains"
)

const (
	es       = "IEC 62368-1 (2018)" + secondHand
	bodies   = "IEC 60990 (2016)" + secondHand
	tiersOf  = "IEC 62368-1 (2018), IEC 60950-1 (2005), IEC 60335-1 (2010), UL 101 (2002)" + secondHand
	yClass   = "IEC 60384-14 (2013), by Isc = 2π·f·C·E"
	necFuse  = "NEC 450.3(B) (2020)" + secondHand
	iecFuses = "IEC 60127 (2014)"
)

// limits holds what may be touched, by voltage and by current.
func limits(*testing.T) []row {
	var rows []row
	add := func(what, want, unit string, ours float64, source string) {
		rows = append(rows, row{what: what, want: want, unit: unit, ours: ours, source: source, mark: published})
	}
	add("touch limit of a direct voltage", "60", "V", mains.TouchDC, es)
	add("touch limit of an alternating voltage", "30", "V rms", mains.TouchRMS, es)
	add("touch limit of an alternating voltage, peak", "42.4", "V", mains.TouchPeak, es)
	add("caution above", "42.4", "V", mains.TouchCaution, "IEC 60335-1 (2010), IEC 60598-1 (2014)"+secondHand)
	add("a single fault may rise to", "120", "V", mains.FaultDC, es)
	for _, c := range []struct {
		what          string
		dc, rms, peak float64
		want          string
	}{
		{"60 V DC alone", 60, 0, 0, "1"},
		{"30 V rms of sine alone", 0, 30, 30 * math.Sqrt2, "1"},
		{"30 V DC and 15 V rms of sine", 30, 15, 15 * math.Sqrt2, "1"},
		{"45 V DC and 10.6 V peak in short pulses", 45, 3, 10.6, "1"},
		{"45 V DC and 15 V rms of sine", 45, 15, 15 * math.Sqrt2, "1.25"},
	} {
		rows = append(rows, row{what: "part of the touch limits: " + c.what, want: c.want, within: percent(0.1), ours: mains.Touch(c.dc, c.rms, c.peak),
			source: "Udc/60 + Uac/30, Udc/60 + Upk/42.4 of " + es, mark: published})
	}
	for _, c := range []struct {
		cord  mains.Cord
		name  string
		tiers []string
	}{{mains.TwoWire, "two-wire cord", []string{"0.25", "0.5"}}, {mains.ThreeWire, "three-wire cord, earth lifted", []string{"0.5", "0.75", "3.5"}}} {
		for i, tier := range mains.Tiers(c.cord) {
			add(fmt.Sprintf("touch current, %s, step %d", c.name, i+1), c.tiers[i], "mA rms", 1e3*tier.Most, tiersOf)
		}
	}
	return rows
}

// from is a set with one capacitor from the hot side.
func from(volts, hertz, farads float64) mains.Source {
	return mains.Source{Volts: volts, Hertz: hertz, Capacitors: []mains.Capacitor{{Farads: farads, From: mains.Line}}}
}

// leakage holds the tables of touch current and of what meters read.
func leakage(t *testing.T) []row {
	leak := func(s mains.Source, meters ...float64) mains.Leak {
		l, err := mains.Leakage(s, meters...)
		require.NoError(t, err)
		return l
	}
	var rows []row
	add := func(what, want, unit string, w within, ours float64, source string) {
		rows = append(rows, row{what: what, want: want, unit: unit, within: w, ours: ours, source: source, mark: computed})
	}
	for _, table := range []struct {
		volts, hertz float64
		rows         [][6]string // capacitor; Isc mA, V on the shunt, V on 10 MΩ, 1 MΩ, 250 kΩ
	}{
		{120, 60, [][6]string{
			{"100 pF", ".0045", ".0068", "42.3", "4.5", "1.1"},
			{"1 nF", ".0452", ".0676", "116.0", "42.3", "11.3"},
			{"4.7 nF", ".2126", ".3177", "119.8", "104.5", "48.6"},
			{"10 nF", ".4524", ".6758", "120.0", "116.0", "82.3"},
			{"22 nF", ".9953", "1.486", "120.0", "119.1", "108.1"},
			{"47 nF", "2.126", "3.170", "120.0", "119.8", "117.1"},
			{"100 nF", "4.524", "6.719", "120.0", "119.9", "119.3"},
		}},
		{230, 50, [][6]string{
			{"100 pF", ".0072", ".0108", "68.9", "7.2", "1.8"},
			{"1 nF", ".0723", ".1081", "219.2", "68.9", "18.0"},
			{"4.7 nF", ".3396", ".5081", "229.5", "190.4", "79.6"},
			{"10 nF", ".7226", "1.081", "229.9", "219.2", "142.1"},
			{"22 nF", "1.590", "2.377", "230.0", "228.6", "199.1"},
			{"47 nF", "3.396", "5.072", "230.0", "229.5", "222.0"},
			{"100 nF", "7.226", "10.76", "230.0", "229.9", "228.2"},
		}},
	} {
		for _, r := range table.rows {
			l := leak(from(table.volts, table.hertz, farads(t, r[0])), mains.DigitalOhms, mains.OneMegOhms, 250e3)
			at := fmt.Sprintf("%g V %g Hz, %s from line: ", table.volts, table.hertz, r[0])
			add(at+"short-circuit current", r[1], "mA", percent(0.2), 1e3*l.Earth.Value, "Isc = 2π·f·C·E")
			add(at+"on 1.5 kΩ with 0.15 µF", r[2], "V", percent(0.2), l.Shunt.Value, "network of UL 101 (2002)")
			for i, meter := range []string{"10 MΩ", "1 MΩ", "250 kΩ"} {
				add(at+"on "+meter, r[3+i], "V", percent(0.2), l.Meters[i].Reading.Value, "V = E·R/√(R² + Xc²)")
			}
		}
	}
	for i, r := range rows {
		if r.what == "230 V 50 Hz, 22 nF from line: on 1 MΩ" {
			rows[i].why = "A slip of the table: E·R/√(R² + Xc²) with Xc = 144.7 kΩ is 227.6 V. Its other cells follow the formula."
		}
	}
	// A capacitor so large that the whole mains stands on the load, or so small
	// that its current does not depend on it.
	stiff, weak60, weak50 := leak(from(100, 60, 1)), leak(from(100, 60, 1e-12)), leak(from(100, 50, 1e-12))
	add("IEC 60990 figure 4 at 60 Hz: impedance", "1985.7", "Ω", asPrinted, 100/stiff.Network.Value, bodies)
	add("1.5 kΩ with 0.15 µF at 60 Hz: impedance", "1494.6", "Ω", asPrinted, weak60.Shunt.Value/weak60.Earth.Value, "network of UL 101 (2002)")
	add("1.5 kΩ with 0.15 µF at 50 Hz: impedance", "1496.3", "Ω", asPrinted, weak50.Shunt.Value/weak50.Earth.Value, "network of UL 101 (2002)")
	for _, c := range []struct{ volts, milliamps, watts string }{{"120", "80", "9.6"}, {"230", "153", "35"}} {
		short := mains.ShuntOnShort(parse(t, c.volts))
		add("1.5 kΩ on a dead short at "+c.volts+" V: current", c.milliamps, "mA", plus(0.5), 1e3*short.Amps, "Ohm's law")
		add("1.5 kΩ on a dead short at "+c.volts+" V: power", c.watts, "W", plus(0.5), short.Watts, "Ohm's law")
	}
	return rows
}

// mainsSide holds what is chosen or judged on the mains side.
func mainsSide(t *testing.T) []row {
	var rows []row
	add := func(what, want, unit string, w within, ours float64, source string, m mark) {
		rows = append(rows, row{what: what, want: want, unit: unit, within: w, ours: ours, source: source, mark: m})
	}
	for _, c := range []struct{ milliamps, at120, at230 string }{
		{"0.25", "3.3", "2.2"}, {"0.5", "6.8", "4.7"}, {"0.75", "10", "6.8"}, {"3.5", "47", "33"},
	} {
		for _, m := range []struct {
			name         string
			volts, hertz float64
			want         string
		}{{"120 V 60 Hz", 120, 60, c.at120}, {"230 V 50 Hz", 230, 50, c.at230}} {
			largest, err := mains.LargestY(mains.Source{Volts: m.volts, Hertz: m.hertz}, mains.Line, parse(t, c.milliamps)/1e3)
			require.NoError(t, err)
			add("largest Y capacitor for "+c.milliamps+" mA at "+m.name, m.want, "nF", asPrinted, 1e9*largest, yClass, computed)
		}
	}
	devices := mains.Devices()
	require.Len(t, devices, 2)
	for i, c := range []struct {
		volts, hertz  float64
		holds, trips  string // mA
		holdsC, tripC string // nF
		source        string
	}{
		{120, 60, "4", "6", "88", "133", "UL 943 (2016)"},
		{230, 50, "15", "30", "208", "415", "IEC 61008 (2010)"},
	} {
		d := devices[i]
		add(d.Name+" never trips below", c.holds, "mA", asPrinted, 1e3*d.Holds, c.source+secondHand, published)
		add(d.Name+" always trips at", c.trips, "mA", asPrinted, 1e3*d.Trips, c.source+secondHand, published)
		at := fmt.Sprintf("%s, %g V %g Hz, earthed: ", d.Name, c.volts, c.hertz)
		add(at+"capacitance that it bears", c.holdsC, "nF", plus(0.5), 1e9*mains.EarthFarads(d.Holds, c.volts, c.hertz), c.source+", C = I/(2π·f·E)", computed)
		add(at+"capacitance that trips it", c.tripC, "nF", plus(0.5), 1e9*mains.EarthFarads(d.Trips, c.volts, c.hertz), c.source+", C = I/(2π·f·E)", computed)
	}
	for _, c := range []struct {
		watts, volts float64
		list         mains.FuseList
		name, want   string
	}{
		{60, 120, mains.FusesIEC(), iecFuses, "0.8"},
		{60, 120, mains.FusesNorthAmerican(), "North American list, from memory", "0.75..1"},
		{60, 230, mains.FusesIEC(), iecFuses, "0.4"},
		{100, 120, mains.FusesIEC(), iecFuses, "1.25"},
		{100, 230, mains.FusesIEC(), iecFuses, "0.63..0.8"},
		{250, 120, mains.FusesIEC(), iecFuses, "3.15"},
	} {
		pick, ok := mains.ChooseFuse(c.watts/c.volts, c.list)
		require.True(t, ok)
		add(fmt.Sprintf("fuse for %g VA at %g V, %s", c.watts, c.volts, c.name), c.want, "A", asPrinted, pick, necFuse+"; "+c.name, computed)
	}
	add("fuse ceiling below 2 A", "300", "%", asPrinted, 100*mains.FuseCeiling(0.5)/0.5, necFuse, published)
	add("fuse ceiling from 2 A", "167", "%", asPrinted, 100*mains.FuseCeiling(250.0/120)/(250.0/120), necFuse, published)

	cold := mains.OhmThresholds(120)
	add("ohm check, no path above", "5", "MΩ", asPrinted, cold.Clear/1e6, "published cold check, 1 to 5.2 MΩ or infinite"+secondHand, published)
	add("ohm check, find it below that, down to", "1", "MΩ", asPrinted, cold.Bleeder/1e6, "published cold check, 1 to 5.2 MΩ or infinite"+secondHand, published)
	add("ohm check, 0.5 mA at 120 V", "240", "kΩ", asPrinted, cold.Touch/1e3, "E/0.5 mA", computed)
	add("ohm check, 0.5 mA at 230 V", "460", "kΩ", asPrinted, mains.OhmThresholds(230).Touch/1e3, "E/0.5 mA", computed)
	add("insulation at 500 V, earthed set", "1", "MΩ", asPrinted, mains.InsulationTest(mains.ThreeWire).Least/1e6, "insulation resistance at 500 V DC"+secondHand, published)
	add("insulation at 500 V, double-insulated set", "2", "MΩ", asPrinted, mains.InsulationTest(mains.TwoWire).Least/1e6, "insulation resistance at 500 V DC"+secondHand, published)
	add("earth bond without the cord", "0.1", "Ω", asPrinted, mains.BondMost(0, 0.75e-6), "earth bond test"+secondHand, published)

	discharge := func(r mains.Rail) mains.Discharge {
		d, err := mains.Discharging(r)
		require.NoError(t, err)
		return d
	}
	const decay = "t = R·C·ln(V0/V)"
	bleeder := discharge(mains.Rail{Volts: 350, Farads: 40e-6, Bleeder: 100e3}).Bleeder
	add("350 V, 40 µF, 100 kΩ: to 60 V", "7.1", "s", asPrinted, bleeder.To60, decay, computed)
	add("350 V, 40 µF, 100 kΩ: to 30 V", "9.8", "s", asPrinted, bleeder.To30, decay, computed)
	add("350 V, 40 µF, 100 kΩ: power at first", "1.23", "W", asPrinted, bleeder.Watts, "V²/R", computed)
	meter := discharge(mains.Rail{Volts: 350, Farads: 80e-6, Meter: 10e6}).Meter
	add("350 V, 80 µF, only a 10 MΩ meter: to 60 V", "23", "min", plus(0.6), meter.To60/60, decay, computed)
	for _, c := range []struct{ tube, want string }{{"6K6GT", "90"}, {"EL84", "100"}} {
		tube := catalog.Default().Tube(c.tube)
		require.NotNil(t, tube)
		m, source := published, "tube manual"+secondHand
		if c.tube == "6K6GT" {
			m, source = memory, "tube manuals of the time"
		}
		add("heater to cathode of "+c.tube, c.want, "V", asPrinted, float64(tube.HeaterCathode.Is.Nominal), source, m)
	}
	return rows
}
