package drive

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/circuit"
)

// release lets a coil on a stiff 12 V rail go and finds the moment at which
// its current has fallen to a part of what it was. The inductance does not
// change, so that the closed form below is exact.
func release(t *testing.T, ohms, henries float64, clamp Clamp, part float64) float64 {
	t.Helper()
	const off = 2e-6
	c := circuit.New()
	d := Drive{Rail: Rail{Volts: 12}, Coils: []Coil{load(ohms)}}
	d.Coils[0].Clamp = clamp
	built, err := Build(c, d, 12, Keying{
		Made: true, Toggles: []circuit.Toggle{{At: off}},
		Relays: []Moving{{
			Ohms: ohms, Open: henries, Closed: henries,
			Operate: 0.75 * 12 / ohms, Release: part * 12 / ohms, Operated: true,
		}},
	})
	require.NoError(t, err)
	trace, err := c.Transient(20e-3, circuit.TransientOptions{})
	require.NoError(t, err)
	at, falls := trace.Event(built.Armatures[0], circuit.StartsReleasing, off)
	require.True(t, falls, "the armature never starts to release")
	return at - off
}

// square is a diode of 0.7 V whatever its current, as the release table takes
// it: its emission coefficient is so small that a decade of current is 6 mV.
// IS makes it 0.7 V at 10 mA.
var square = circuit.DiodeModel{IS: 10e-3 * math.Exp(-0.7/(0.1*0.0258649)), N: 0.1}

// The release table, computed from t = (L/R)·ln((I0 + Vc/R)/(Ih + Vc/R)) for
// a clamp of constant voltage Vc: 0.7 V, 12.7 V and 24.7 V. Our zener is not
// quite constant either: 60 mV a decade.
func TestReleaseThroughTheClamp(t *testing.T) {
	tests := []struct {
		name          string
		ohms, henries float64
		clamp         Clamp
		part          float64
		want          float64 // ms
	}{
		{"12 V 960 ohm, diode, to a tenth", 960, 1.63, Clamp{DiodeClamp, 0, square}, 0.1, 3.23},
		{"12 V 960 ohm, diode, to 0.3", 960, 1.63, Clamp{DiodeClamp, 0, square}, 0.3, 1.84},
		{"12 V 960 ohm, 12 V zener, to a tenth", 960, 1.63, Clamp{DiodeAndZener, 12, square}, 0.1, 0.98},
		{"12 V 960 ohm, 12 V zener, to 0.3", 960, 1.63, Clamp{DiodeAndZener, 12, square}, 0.3, 0.71},
		{"12 V 960 ohm, 24 V zener, to a tenth", 960, 1.63, Clamp{DiodeAndZener, 24, square}, 0.1, 0.59},
		{"12 V 960 ohm, 24 V zener, to 0.3", 960, 1.63, Clamp{DiodeAndZener, 24, square}, 0.3, 0.44},
		{"12 V 275 ohm, diode, to a tenth", 275, 2.29, Clamp{DiodeClamp, 0, square}, 0.1, 15.82},
		{"12 V 275 ohm, diode, to 0.3", 275, 2.29, Clamp{DiodeClamp, 0, square}, 0.3, 9.02},
		{"12 V 275 ohm, 12 V zener, to a tenth", 275, 2.29, Clamp{DiodeAndZener, 12, square}, 0.1, 4.79},
		{"12 V 275 ohm, 12 V zener, to 0.3", 275, 2.29, Clamp{DiodeAndZener, 12, square}, 0.3, 3.46},
		{"12 V 275 ohm, 24 V zener, to a tenth", 275, 2.29, Clamp{DiodeAndZener, 24, square}, 0.1, 2.90},
		{"12 V 275 ohm, 24 V zener, to 0.3", 275, 2.29, Clamp{DiodeAndZener, 24, square}, 0.3, 2.16},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := 1e3 * release(t, tt.ohms, tt.henries, tt.clamp, tt.part)
			assert.InDelta(t, tt.want, got, 0.05)
		})
	}
}

// A real diode drops less as the current dies away, so that it releases later
// than the table says: by a twentieth of the time at most.
func TestARealDiodeReleasesLater(t *testing.T) {
	table := release(t, 960, 1.63, Clamp{DiodeClamp, 0, square}, 0.1)
	real := release(t, 960, 1.63, Clamp{Kind: DiodeClamp}, 0.1)
	assert.Greater(t, real, table)
	assert.InEpsilon(t, table, real, 0.05)
}

// On its rated voltage the current of a coil rises as 1 − e^(−t·R/L) and falls
// through nothing at once.
func TestElectricalTimes(t *testing.T) {
	coil := Coil{Ohms: 960, Rated: 12, Operate: 0.8, Release: 0.1, Rise: 150, Limit: 105, Ambient: 20}
	rising := 0.85 / 960 * math.Log(1/(1-0.8)) // s
	tests := []struct {
		name    string
		clamp   Clamp
		release float64 // s
	}{
		{"none", Clamp{}, 1.63 / 960 * math.Log((12+Spark)/(1.2+Spark))},
		{"diode", Clamp{DiodeClamp, 0, square}, 3.23e-3},
		{"zener", Clamp{DiodeAndZener, 12, square}, 0.98e-3},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := ElectricalTimes(coil, 0.85, 1.63, tt.clamp)
			require.NoError(t, err)
			assert.InEpsilon(t, rising, got.Operate, 0.002)
			assert.InDelta(t, tt.release, got.Release, 0.02e-3)
		})
	}
	_, err := ElectricalTimes(Coil{Ohms: 960, Rated: 12, Operate: 0.8, Rise: 150, Limit: 105}, 0.85, 1.63, Clamp{})
	assert.Error(t, err, "release not known")
	_, err = ElectricalTimes(coil, 0, 1.63, Clamp{})
	assert.Error(t, err, "no inductance")
}

func TestTravel(t *testing.T) {
	assert.InDelta(t, 2.6e-3, Travel(4e-3, 1.4e-3), 1e-9)
	assert.InDelta(t, 0.8e-3, Travel(4e-3, 3.9e-3), 1e-9, "not under a fifth")
	assert.InDelta(t, 0.8e-3, Travel(4e-3, 6e-3), 1e-9, "electrical part longer than the whole")
}
