package contact

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Published limits of three classes of relay (data sheets, second-hand).
var (
	powerTen = Rating{Volts: 220, Amps: 10, Points: []Point{{30, 10}, {110, 0.3}, {220, 0.12}}}
	dil      = Rating{Volts: 110, Amps: 2, Points: []Point{{30, 2}, {110, 0.3}}}
	signal   = Rating{Volts: 220, Amps: 2, Watts: 60, Points: []Point{{30, 2}, {60, 0.5}, {220, 30.0 / 220}}}
)

func TestRatingAt(t *testing.T) {
	tests := []struct {
		name   string
		rating Rating
		volts  float64
		amps   float64
	}{
		{"10 A relay at its first point: 300 W", powerTen, 30, 10},
		{"below the first point", powerTen, 5, 10},
		{"at the second: 33 W, not 300", powerTen, 110, 33.0 / 110},
		{"at the last: 26 W", powerTen, 220, 26.4 / 220},
		{"beyond the last nothing", powerTen, 221, 0},
		{"polarity does not matter", powerTen, -110, 0.3},
		// Half way on logarithmic axes: the geometric mean of both.
		{"between the first two", powerTen, math.Sqrt(30 * 110), math.Sqrt(10 * 0.3)},
		{"between the last two", powerTen, math.Sqrt(110 * 220), math.Sqrt(0.3 * 0.12)},
		{"DIL relay: nothing at 220 V", dil, 220, 0},
		{"the 60 V point is lower than its own 60 W", signal, 60, 0.5},
		{"past the first point the line is lower than the power", signal, 32, 2 * math.Pow(30.0/32, 2)},
		{"power alone", Rating{Volts: 200, Amps: 0.5, Watts: 10}, 100, 0.1},
		{"power alone, low voltage: the current", Rating{Volts: 200, Amps: 0.5, Watts: 10}, 5, 0.5},
		{"power rule below a point that contradicts it", Rating{Amps: 2, Watts: 20, Points: []Point{{30, 2}, {100, 1}}}, 100, 0.2},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			amps, known := test.rating.At(test.volts)
			assert.True(t, known)
			assert.InDelta(t, test.amps, amps, 1e-9)
		})
	}
	_, known := Rating{Volts: 100}.At(10)
	assert.False(t, known, "no current was published")
	assert.Zero(t, Limit(nil, 10))
}

func TestMargin(t *testing.T) {
	ratio, ok := Margin(0.5, -0.05)
	assert.True(t, ok)
	assert.InDelta(t, 10, ratio, 1e-12)
	_, ok = Margin(0.5, 0)
	assert.False(t, ok)
}

// TestMakePeak holds the discharge against its textbook limits and against a
// step-by-step solution.
func TestMakePeak(t *testing.T) {
	tests := []struct {
		name                         string
		volts, farads, ohms, henries float64
		want                         float64
	}{
		{"no inductance: V/R", 100, 22e-6, 0.5, 0, 200},
		{"no resistance: V·√(C/L)", 100, 1e-6, 0, 1e-6, 100},
		{"critically damped: 2V/(eR)", 100, 1e-6, 2, 1e-6, 2 * 100 / (math.E * 2)},
		{"hardly any inductance", 100, 22e-6, 10, 1e-12, 10},
		{"nothing stored", 0, 22e-6, 0.1, 0, 0},
		{"no capacitor", 50, 0, 0.1, 0, 0},
		{"underdamped", -60, 10e-9, 1, 100e-9, stepped(60, 10e-9, 1, 100e-9)},
		{"overdamped", 60, 10e-6, 5, 10e-6, stepped(60, 10e-6, 5, 10e-6)},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := MakePeak(test.volts, test.farads, test.ohms, test.henries)
			assert.InDelta(t, test.want, got, 1e-4*test.want)
		})
	}
}

// stepped integrates L·di/dt = u − R·i, C·du/dt = −i by the midpoint rule.
func stepped(u, c, r, l float64) float64 {
	h := math.Sqrt(l*c) / 2000
	i, peak := 0.0, 0.0
	for range 20000 {
		im, um := i+h/2*(u-r*i)/l, u-h/2*i/c
		i, u = i+h*(um-r*im)/l, u-h*im/c
		peak = max(peak, i)
	}
	return peak
}

func TestRequirements(t *testing.T) {
	// 750 V rms stands 1061 V DC; a 345 V rail wants 690, an unguarded node of
	// 600 V wants 1200 across the open contact.
	have := Insulation{OpenContact: 750, CoilToContact: 1000}
	list := Requirements(have, -600, 345)
	require.Len(t, list, 3)
	assert.Equal(t, OpenContact, list[0].Place)
	assert.InDelta(t, 1060.66, list[0].Strength, 0.01)
	assert.Equal(t, 1200.0, list[0].Least)
	assert.Equal(t, 1200.0, list[0].Advised)
	assert.InDelta(t, 1414.21, list[1].Strength, 0.01)
	assert.Equal(t, 690.0, list[1].Least)
	assert.Equal(t, 1690.0, list[1].Advised)
	assert.False(t, list[2].Known)
	assert.Equal(t, 690.0, Requirements(have, 40, 345)[0].Least, "the rail where it is higher than the node")
}

func TestLoads(t *testing.T) {
	tests := []struct {
		name  string
		least Load
		dry   bool
	}{
		{"gold-clad signal contact", Load{10e-3, 10e-6}, true},
		{"RF contact, current not given", Load{0.1e-3, 0}, true},
		{"nothing published", Load{}, false},
		{"DIL", Load{0.1, 1e-3}, false},
		{"reed", Load{1, 1e-3}, false},
		{"power", Load{5, 0.1}, false},
	}
	for _, test := range tests {
		assert.Equal(t, test.dry, test.least.DryRated(), test.name)
	}

	ratio, ok := Load{50, 0.05}.Over(Load{5, 0.1})
	assert.True(t, ok)
	assert.InDelta(t, 0.5, ratio, 1e-12, "a power contact with 50 mA")
	_, ok = Load{50, 0.05}.Over(Load{})
	assert.False(t, ok)

	assert.True(t, Load{30, 0.05}.KeepsGold())
	assert.False(t, Load{31, 0.001}.KeepsGold())
	assert.False(t, Load{-12, -0.06}.KeepsGold())
}

func TestAssign(t *testing.T) {
	cut := func(name string) Demand { return Demand{Name: name, Throw: Break} }
	short := func(name string) Demand { return Demand{Name: name, Throw: Make, Dry: true} }
	tests := []struct {
		name    string
		demands []Demand
		relays  []Relay
		want    string // letter=demand …
		refused []Refusal
		spare   []int
	}{
		{
			name:    "return and antenna on one changeover relay",
			demands: []Demand{cut("mute_line"), short("aerial")},
			relays:  []Relay{{Form: C, Poles: 2}},
			want:    "K1a=mute_line K1b=aerial", spare: []int{0},
		},
		{
			name:    "returns come first whatever the plan's order",
			demands: []Demand{short("aerial"), cut("gain"), cut("output")},
			relays:  []Relay{{Form: C, Poles: 4}},
			want:    "K1a=gain K1b=output K1c=aerial", spare: []int{1},
		},
		{
			name:    "two relays by what they serve",
			demands: []Demand{cut("mute_line"), short("aerial")},
			relays:  []Relay{{Form: C, Poles: 2, Serves: []string{"aerial"}}, {Form: B, Poles: 1, Serves: []string{"mute_line"}}},
			want:    "K1a=aerial K2a=mute_line", spare: []int{1, 0},
		},
		{
			name:    "a dry point looks for a dry contact, a return leaves it alone",
			demands: []Demand{cut("mute_line"), short("aerial")},
			relays:  []Relay{{Form: C, Poles: 2, Dry: true}, {Form: C, Poles: 2}},
			want:    "K1a=aerial K2a=mute_line", spare: []int{1, 1},
		},
		{
			name:    "too few poles",
			demands: []Demand{cut("one"), cut("two"), short("aerial")},
			relays:  []Relay{{Form: C, Poles: 2}},
			want:    "K1a=one K1b=two", refused: []Refusal{{2, TooFewPoles}}, spare: []int{0},
		},
		{
			name:    "a reed that makes cannot open a return at rest",
			demands: []Demand{cut("mute_line"), short("aerial")},
			relays:  []Relay{{Form: A, Poles: 1}},
			want:    "K1a=aerial", refused: []Refusal{{0, WrongForm}}, spare: []int{0},
		},
		{
			name:    "nobody serves it",
			demands: []Demand{cut("mute_line"), short("aerial")},
			relays:  []Relay{{Form: C, Poles: 2, Serves: []string{"mute_line"}}},
			want:    "K1a=mute_line", refused: []Refusal{{1, NotServed}}, spare: []int{1},
		},
		{
			name:    "changeover wants a form C pole",
			demands: []Demand{{Name: "aerial", Throw: Both, Dry: true}},
			relays:  []Relay{{Form: A, Poles: 2}, {Form: C, Poles: 1}},
			want:    "K2a=aerial", spare: []int{2, 0},
		},
		{
			name:    "two antenna legs",
			demands: []Demand{short("aerial"), short("aerial")},
			relays:  []Relay{{Form: A, Poles: 2}},
			want:    "K1a=aerial K1b=aerial", spare: []int{0},
		},
		{
			name:    "no relay",
			demands: []Demand{cut("mute_line")},
			refused: []Refusal{{0, NotServed}},
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := Assign(test.demands, test.relays)
			text := ""
			for n, c := range got.Contacts {
				if n > 0 {
					text += " "
				}
				text += c.Letter + "=" + test.demands[c.Demand].Name
			}
			assert.Equal(t, test.want, text)
			assert.Equal(t, test.refused, got.Refusals)
			assert.Equal(t, test.spare, got.Spare)
		})
	}
}

func ExampleRating_At() {
	relay := Rating{Volts: 220, Amps: 10, Points: []Point{{30, 10}, {110, 0.3}, {220, 0.12}}}
	amps, _ := relay.At(60)
	fmt.Printf("a 10 A contact may break %.2f A at 60 V\n", amps)
	// Output: a 10 A contact may break 1.54 A at 60 V
}
