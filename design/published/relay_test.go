package published_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/design/circuit"
	"mutewright/design/contact"
	"mutewright/design/drive"
	"mutewright/design/timing"
)

const (
	copperLaw = "IEC 60028 (1925)"
	closed    = "t = (L/R)·ln((I0 + Vc/R)/(Ih + Vc/R))"
)

// relays holds copper, the release of coils and the limits of contacts.
func relays(t *testing.T) []row {
	rows := append(copper(), release(t)...)
	plugIn := []contact.Point{{Volts: 30, Amps: 10}, {Volts: 110, Amps: 0.3}, {Volts: 220, Amps: 0.12}}
	for _, c := range []struct {
		volts float64
		want  string
	}{{30, "300"}, {110, "33"}, {220, "26"}} {
		rows = append(rows, row{what: fmt.Sprintf("10 A contact: power that it breaks at %g V DC", c.volts), want: c.want, unit: "W", within: plus(0.5),
			ours: c.volts * contact.Limit(plugIn, c.volts), source: "limits of data sheets" + secondHand, mark: computed})
	}
	return rows
}

// copper is R(T)/R20 = (234.5 + T)/254.5, as relay data books work it out.
func copper() []row {
	var rows []row
	for _, c := range []struct {
		from, at float64 // value and its temperature in °C
		unit     string
		to       float64
		want     string
		mark     mark
	}{
		{320, 25, "Ω", 125, "443.3", published},
		{16, 25, "V", 85, "19.7", published},
		{16, 25, "V", 100, "20.6", published},
		{16, 25, "V", -25, "12.9", published},
		{90, 20, "Ω", 85, "113.0", computed},
		{6.5, 20, "V", 85, "8.16", computed},
		{9.6, 20, "V", 72.5, "11.58", computed},
	} {
		rows = append(rows, row{what: fmt.Sprintf("copper: %g %s at %g °C, at %g °C", c.from, c.unit, c.at, c.to), want: c.want, unit: c.unit,
			ours: c.from * drive.Copper(c.to) / drive.Copper(c.at), source: copperLaw + ", as relay data books work it out", mark: c.mark})
	}
	return rows
}

// release is the time from the opened key to the armature's first movement,
// through key, coil and clamp.
func release(t *testing.T) []row {
	// A diode of 0.7 V at 10 mA that hardly depends on its current.
	square := circuit.DiodeModel{IS: 10e-3 * math.Exp(-0.7/(0.1*0.0258649)), N: 0.1}
	released := func(volts, ohms, henries, letGo float64, clamp drive.Clamp, hold drive.Hold) float64 {
		c := coil(ohms)
		c.Operate, c.Clamp, c.Hold = 0.8, clamp, hold
		s, err := timing.Solve(timing.Interface{
			Drives: []timing.Drive{{
				Drive:  drive.Drive{Rail: drive.Rail{Volts: volts}, Warmth: drive.AtTwenty, Coils: []drive.Coil{c}},
				Relays: []timing.Relay{{Open: henries, Closed: henries, LetGo: letGo}},
			}},
			Guards:      []timing.Guard{{}},
			Transmitter: timing.Transmitter{KeyToRF: 15e-3},
		})
		require.NoError(t, err)
		return s.Released
	}
	var rows []row
	for _, c := range []struct {
		ohms, henries float64
		want          [2][3]string // ms; let go at 0.1 and 0.3 of the current; diode, 12 V, 24 V zener
	}{
		{960, 1.63, [2][3]string{{"3.23", "0.98", "0.59"}, {"1.84", "0.71", "0.44"}}},
		{275, 2.29, [2][3]string{{"15.82", "4.79", "2.90"}, {"9.02", "3.46", "2.16"}}},
	} {
		for i, letGo := range []float64{0.1, 0.3} {
			for k, clamp := range []struct {
				name string
				drive.Clamp
			}{
				{"diode", drive.Clamp{Kind: drive.DiodeClamp, Diode: square}},
				{"12 V zener", drive.Clamp{Kind: drive.DiodeAndZener, Zener: 12, Diode: square}},
				{"24 V zener", drive.Clamp{Kind: drive.DiodeAndZener, Zener: 24, Diode: square}},
			} {
				rows = append(rows, row{what: fmt.Sprintf("release: 12 V, %g Ω, %g H, to %g of the current, %s", c.ohms, c.henries, letGo, clamp.name),
					want: c.want[i][k], unit: "ms", within: plus(0.05), ours: 1e3 * released(12, c.ohms, c.henries, letGo, clamp.Clamp, drive.Hold{}),
					source: closed, mark: computed})
			}
		}
	}
	diode := drive.Clamp{Kind: drive.DiodeClamp}
	return append(rows, row{what: "release keyed on the AC side: 470 µF, 1028 Ω, 15.7 to 1.2 V", want: "1.24", unit: "s", within: percent(0.5),
		ours: released(15.7, 1028, 1.8, 0.1, diode, drive.Hold{Farads: 470e-6}), source: "t = R·C·ln(V0/V)", mark: computed})
}
