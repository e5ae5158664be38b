package drive

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Figures of IEC 60028 (1925) as relay data books work them out (second-hand):
// resistance or voltage at one temperature from that at another.
func TestCopper(t *testing.T) {
	tests := []struct {
		name             string
		from, at         float64 // value and its temperature in °C
		to, want, within float64 // temperature in °C, value, half of its last place
	}{
		{"320 ohm from 25 to 125 °C", 320, 25, 125, 443.3, 0.05},
		{"16 V from 25 to 85 °C", 16, 25, 85, 19.7, 0.05},
		{"16 V from 25 to 100 °C", 16, 25, 100, 20.6, 0.05},
		{"16 V from 25 to -25 °C", 16, 25, -25, 12.9, 0.05},
		{"90 ohm from 20 to 85 °C", 90, 20, 85, 113.0, 0.05},
		{"6.5 V from 20 to 85 °C", 6.5, 20, 85, 8.16, 0.005},
		{"9.6 V from 20 to 72.5 °C", 9.6, 20, 72.5, 11.58, 0.005},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.InDelta(t, tt.want, tt.from*Copper(tt.to)/Copper(tt.at), tt.within)
			assert.InDelta(t, tt.to, Celsius(Copper(tt.to)), 1e-9)
		})
	}
}

// The temperature of a coil on a stiff supply is the root of a quadratic:
// with x = R/R20, a = (234.5 + ambient)/254.5 and b = K·V²/(254.5·R20),
// x = a + b/x, so x = (a + √(a² + 4b))/2.
func TestCoilInItsOwnHeat(t *testing.T) {
	tests := []struct {
		name  string
		coil  Coil
		volts float64
	}{
		{"140 mW at rated voltage", Coil{Ohms: 1028, Ambient: 50, Rise: 150}, 12},
		{"140 mW at 130 %", Coil{Ohms: 1028, Ambient: 50, Rise: 150}, 15.6},
		{"0.9 W plug-in", Coil{Ohms: 160, Ambient: 40, Rise: 45}, 12},
		{"a coil that would burn", Coil{Ohms: 64, Ambient: 70, Rise: 150}, 12},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a := (234.5 + tt.coil.Ambient) / 254.5
			b := tt.coil.Rise * tt.volts * tt.volts / (254.5 * tt.coil.Ohms)
			want := (a + math.Sqrt(a*a+4*b)) / 2 * tt.coil.Ohms
			assert.InEpsilon(t, want, tt.coil.warm(Settled, tt.volts, 0), 2e-6)
		})
	}
	cold := Coil{Ohms: 1000, Ambient: -5, Rise: 150}
	assert.InDelta(t, 1000*Copper(-5), cold.warm(Fresh, 12, 0), 1e-9, "just keyed")
	assert.InDelta(t, 1000, cold.warm(AtTwenty, 12, 0), 1e-9, "nominal")
}

func TestPermittedVoltage(t *testing.T) {
	coil := Coil{Ohms: 1028, Rated: 12, Ambient: 50, Rise: 150, Limit: 105}
	tests := []struct {
		name           string
		ambient        float64
		most23, most70 float64
		want           float64
	}{
		// (105 − 50)/150 = 0.3667 W into 1028·339.5/254.5 = 1371.3 ohm
		{"by heat", 50, 0, 0, 22.424},
		{"by the data sheet at 23 °C", 23, 1.7, 1.3, 20.4},
		{"half way", 46.5, 1.7, 1.3, 18},
		{"by the data sheet at 70 °C", 70, 1.7, 1.3, 15.6},
		{"beyond, by heat", 104, 1.7, 1.3, 3.0236},
		{"no more below 23 °C", 0, 1.7, 1.3, 20.4},
		{"hotter than its limit", 110, 0, 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			coil.Ambient, coil.MostAt23, coil.MostAt70 = tt.ambient, tt.most23, tt.most70
			assert.InDelta(t, tt.want, coil.permitted(), 0.0005)
		})
	}
}
