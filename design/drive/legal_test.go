package drive

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestLegal(t *testing.T) {
	tests := []struct {
		name      string
		rectifier Rectifier
		on        Grounding
		bar       Bar
		remedy    Remedy
		fits      []Rectifier
	}{
		{"doubler on one side", Doubler, OneSide, Free, NoRemedy, []Rectifier{HalfWave, Doubler}},
		{"half-wave on one side", HalfWave, OneSide, Free, NoRemedy, []Rectifier{HalfWave, Doubler}},
		{"bridge on one side", Bridge, OneSide, ShortsWinding, OtherRectifier, []Rectifier{HalfWave, Doubler}},
		{"full-wave on one side", FullWave, OneSide, NoTap, OtherRectifier, []Rectifier{HalfWave, Doubler}},
		{"coil straight on the winding", None, OneSide, NeedsRectifier, OtherRectifier, []Rectifier{HalfWave, Doubler}},
		{"bridge on a centre tap", Bridge, CentreTap, ShortsWinding, OtherRectifier, []Rectifier{HalfWave, FullWave, Doubler}},
		{"full-wave on a centre tap", FullWave, CentreTap, Free, NoRemedy, []Rectifier{HalfWave, FullWave, Doubler}},
		{"doubler from one end", Doubler, CentreTap, Free, NoRemedy, []Rectifier{HalfWave, FullWave, Doubler}},
		{"doubler on a hum pot", Doubler, HumPot, UnbalancesPot, GroundOneSide, nil},
		{"half-wave on a hum pot", HalfWave, HumPot, UnbalancesPot, GroundOneSide, nil},
		{"bridge floating", Bridge, Floating, Free, NoRemedy, []Rectifier{HalfWave, Bridge, Doubler}},
		{"full-wave floating without tap", FullWave, Floating, NoTap, OtherRectifier, []Rectifier{HalfWave, Bridge, Doubler}},
		{"full-wave floating with tap", FullWave, FloatingTap, Free, NoRemedy, []Rectifier{HalfWave, FullWave, Bridge, Doubler}},
		{"doubler on a biased winding", Doubler, Biased, OnBias, OtherSupply, nil},
		{"bridge on a rectifier's filament", Bridge, RectifierFilament, OnHighVoltage, OtherSupply, nil},
		{"rail", None, DirectRail, Free, NoRemedy, []Rectifier{None}},
		{"bridge on a rail", Bridge, DirectRail, NeedsNoRectifier, WithoutRectifier, []Rectifier{None}},
		{"line", None, KeyLine, Free, NoRemedy, []Rectifier{None}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := Legal(tt.rectifier, tt.on)
			assert.Equal(t, Ruling{tt.bar, tt.fits, tt.remedy}, got)
			assert.Equal(t, tt.bar == Free, got.OK())
		})
	}
}

func TestShareOfTheWinding(t *testing.T) {
	assert.Equal(t, 1.0, Share(Doubler, OneSide))
	assert.Equal(t, 0.5, Share(Doubler, CentreTap))
	assert.Equal(t, 0.5, Share(HalfWave, CentreTap))
	assert.Equal(t, 0.5, Share(FullWave, CentreTap))
	assert.Equal(t, 0.5, Share(FullWave, FloatingTap))
	assert.Equal(t, 1.0, Share(HalfWave, FloatingTap))
	assert.Equal(t, 1.0, Share(Bridge, Floating))
}
