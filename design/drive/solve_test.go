package drive

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heaters is a stiff 6.3 V winding with one side at chassis.
func heaters(hertz float64) Winding {
	return Winding{Volts: 6.3, Crest: math.Sqrt2, Ohms: 0.3, Hertz: hertz, Drawn: 3.2, Rated: 4}
}

// load is a coil without anything that moves: a resistor.
func load(ohms float64) Coil {
	return Coil{Ohms: ohms, Rated: 12, Operate: 0.75, Release: 0.1, Ambient: 20, Rise: 150, Limit: 105, Clamp: Clamp{Kind: DiodeClamp}}
}

// signal is a coil of the signal class, 12 V, 140 mW.
func signal() Coil {
	c := load(1028)
	c.Henries = 1.8
	return c
}

// Small rectifiers from 6.3 V rms behind 0.3 ohm with a diode of the 1N4007
// class, solved with ngspice 42 (a general-purpose circuit simulator).
func TestSmallRectifiers(t *testing.T) {
	tests := []struct {
		rectifier    Rectifier
		grounding    Grounding
		farads, ohms float64
		hertz        float64
		mean, least  float64
		ripple       float64
	}{
		{HalfWave, OneSide, 470e-6, 257, 60, 7.64, 7.16, 0.94},
		{HalfWave, OneSide, 470e-6, 257, 50, 7.56, 7.01, 1.11},
		{HalfWave, OneSide, 1000e-6, 80, 60, 7.31, 6.65, 1.33},
		{HalfWave, OneSide, 1000e-6, 80, 50, 7.22, 6.44, 1.56},
		{Bridge, Floating, 470e-6, 178, 60, 7.03, 6.75, 0.55},
		{Bridge, Floating, 470e-6, 178, 50, 7.00, 6.66, 0.66},
		{Doubler, OneSide, 470e-6, 1028, 60, 15.54, 15.30, 0.48},
		{Doubler, OneSide, 470e-6, 1028, 50, 15.42, 15.13, 0.57},
		{Doubler, OneSide, 470e-6, 400, 60, 14.48, 13.91, 1.10},
		{Doubler, OneSide, 470e-6, 400, 50, 14.20, 13.53, 1.28},
	}
	for _, tt := range tests {
		t.Run(fmt.Sprint(tt.rectifier, tt.ohms, tt.hertz), func(t *testing.T) {
			w := heaters(tt.hertz)
			w.Grounding = tt.grounding
			r, err := Solve(Drive{
				Winding: w, Rectifier: tt.rectifier, Reservoir: tt.farads,
				Coils: []Coil{load(tt.ohms)}, Warmth: AtTwenty,
			})
			require.NoError(t, err)
			// 0.5 %, and half a unit of the last place of the table.
			assert.InDelta(t, tt.mean, r.Supply.Operated, 0.005*tt.mean)
			assert.InDelta(t, tt.least, r.Coils[0].Least, 0.005*tt.least)
			assert.InDelta(t, tt.ripple, r.Supply.Ripple, 0.005*tt.ripple+0.005)
			t.Logf("%+v", r)
		})
	}
}
