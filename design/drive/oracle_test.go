package drive

import (
	"flag"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/circuit"
	"mutewright/design/circuit/spice"
)

var _ = flag.Bool("update", false, "record the decks anew from ngspice")

const oracle = "../../testdata/oracle/drive-"

// Every rectifier on every winding it may stand on, with a warm coil, against
// ngspice. The decks are written from the very networks that Solve solves.
func TestRectifiersAgainstNgspice(t *testing.T) {
	if testing.Short() {
		t.Skip("solves many circuits one after another")
	}
	tests := []struct {
		name   string
		ohms   float64
		change func(*Drive)
	}{
		{"half-wave-one-side", 1250, func(d *Drive) { d.Rectifier = HalfWave }},
		{"half-wave-centre-tap", 300, func(d *Drive) { d.Rectifier, d.Winding.Grounding = HalfWave, CentreTap }},
		{"full-wave-centre-tap", 100, func(d *Drive) { d.Rectifier, d.Winding.Grounding = FullWave, CentreTap }},
		{"bridge-floating", 250, func(d *Drive) { d.Rectifier, d.Winding.Grounding = Bridge, Floating }},
		{"doubler-one-side", 1180, func(d *Drive) { d.Coils[0].Dropper = 220 }},
		{"doubler-centre-tap", 400, func(d *Drive) { d.Winding.Grounding = CentreTap }},
		{"doubler-fused", 1180, func(d *Drive) { d.Fuse = 1.2 }},
		{"doubler-flat-top", 1180, func(d *Drive) { d.Winding.Crest = 1.35 }},
		{"doubler-pnp", 1180, func(d *Drive) {
			d.Hookup, d.Buffer, d.Line.Drop = LinePullsBase, Buffer{Base: 15e3, BaseEmitter: 10e3}, 0.4
		}},
		{"doubler-npn", 1180, func(d *Drive) { d.Hookup, d.Buffer = LineShortsBase, Buffer{Base: 15e3} }},
		{"doubler-hold", 1180, func(d *Drive) { d.Coils[0].Hold = Hold{10e-6, 100} }},
		{"half-wave-floating", 1250, quick(HalfWave, Floating)},
		{"half-wave-floating-tap", 1250, quick(HalfWave, FloatingTap)},
		{"full-wave-floating-tap", 300, quick(FullWave, FloatingTap)},
		{"bridge-floating-tap", 250, quick(Bridge, FloatingTap)},
		{"doubler-floating", 1180, quick(Doubler, Floating)},
		{"doubler-floating-tap", 1180, quick(Doubler, FloatingTap)},
	}
	made := map[string]bool{}
	for _, tt := range tests {
		made[tt.name] = true
	}
	for on := range groundings {
		for _, r := range Legal(None, on).Fits {
			if r != None {
				assert.Contains(t, made, rectifierWords[r]+"-"+groundingWords[on], "every legal pair has its deck")
			}
		}
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := larkmoor()
			tt.change(&d)
			require.NoError(t, d.check())
			var s state
			s.key(circuit.New(), d, []float64{tt.ohms})
			if d.Rectifier == Bridge {
				// While no diode conducts only leakage holds a floating winding; ngspice wants some more of it.
				s.Resistor("stray", s.cold, circuit.Chassis, 10e6)
			}
			coil := "v(" + s.NodeName(s.coils[0].High)
			if low := s.coils[0].Low; low != circuit.Chassis {
				coil += "," + s.NodeName(low)
			}
			coil += ")"
			deck := &spice.Deck{
				Title: "relay coil on a heater winding: " + tt.name, Circuit: s.Circuit,
				// More than six time constants of the reservoirs.
				Analysis: spice.Analysis{Kind: spice.Periodic, Period: 1 / d.Winding.Hertz, Until: d.Reservoir / 470e-6 * 180 / d.Winding.Hertz, MaxStep: 20e-6},
				Measures: []spice.Measure{
					{Name: "supply", Kind: "mean", Signal: "v(plus)"},
					{Name: "ripple", Kind: "swing", Signal: "v(plus)", Within: 0.005},
					{Name: "coil", Kind: "mean", Signal: coil},
					{Name: "least", Kind: "least", Signal: coil},
					// The current is measured as the fall across winding and fuse.
					{Name: "winding", Kind: "rms", Signal: "v(hot,a)", Within: 0.01},
					{Name: "peak", Kind: "most", Signal: "v(hot,a)", Within: 0.01},
				},
			}
			spice.CheckCircuit(t, oracle+tt.name+".cir", deck)
		})
	}
}

var (
	rectifierWords = map[Rectifier]string{HalfWave: "half-wave", FullWave: "full-wave", Bridge: "bridge", Doubler: "doubler"}
	groundingWords = map[Grounding]string{OneSide: "one-side", CentreTap: "centre-tap", Floating: "floating", FloatingTap: "floating-tap"}
)

// bare takes the clamp away.
func bare(d *Drive) { d.Coils[0].Clamp = Clamp{} }

// quick is a rectifier on a winding with a reservoir that is soon in balance.
func quick(r Rectifier, on Grounding) func(*Drive) {
	return func(d *Drive) { d.Rectifier, d.Winding.Grounding, d.Reservoir = r, on, 94e-6 }
}

// A coil made and broken by its key line, on a rail and on a doubler, hot and
// cold, with each clamp, against ngspice.
func TestKeyingAgainstNgspice(t *testing.T) {
	if testing.Short() {
		t.Skip("solves many circuits one after another")
	}
	tests := []struct {
		name   string
		ohms   float64
		change func(*Drive)
	}{
		{"key-diode-cold", 1028, func(*Drive) {}},
		{"key-diode-hot", 1300, func(*Drive) {}},
		{"key-zener-cold", 1028, func(d *Drive) { d.Coils[0].Clamp = Clamp{Kind: DiodeAndZener, Zener: 12} }},
		{"key-zener-hot", 1300, func(d *Drive) { d.Coils[0].Clamp = Clamp{Kind: DiodeAndZener, Zener: 12} }},
		{"key-none-cold", 1028, bare},
		{"key-none-hot", 1300, bare},
		{"key-hold", 1180, func(d *Drive) { d.Coils[0].Hold = Hold{4.7e-6, 100} }},
		{"key-hold-diode-cold", 1028, func(d *Drive) { d.Coils[0].Hold = Hold{4.7e-6, 100} }},
		{"key-hold-none-cold", 1028, func(d *Drive) { d.Coils[0].Hold = Hold{4.7e-6, 100}; bare(d) }},
		{"key-hold-none-hot", 1300, func(d *Drive) { d.Coils[0].Hold = Hold{4.7e-6, 100}; bare(d) }},
		{"key-hold-diode-hot", 1300, func(d *Drive) { d.Coils[0].Hold = Hold{4.7e-6, 100} }},
		{"key-hold-zener-cold", 1028, func(d *Drive) {
			d.Coils[0].Hold, d.Coils[0].Clamp = Hold{4.7e-6, 100}, Clamp{Kind: DiodeAndZener, Zener: 12}
		}},
		{"key-hold-zener-hot", 1300, func(d *Drive) {
			d.Coils[0].Hold, d.Coils[0].Clamp = Hold{4.7e-6, 100}, Clamp{Kind: DiodeAndZener, Zener: 12}
		}},
		{"key-dropper", 1180, func(d *Drive) { d.Coils[0].Dropper = 220 }},
		{"key-pnp", 1180, func(d *Drive) { d.Hookup, d.Buffer = LinePullsBase, Buffer{Base: 15e3, BaseEmitter: 10e3} }},
		{"key-npn-source", 1180, func(d *Drive) {
			d.Hookup, d.Buffer, d.Line = LineFeedsBase, Buffer{Base: 6.8e3, BaseEmitter: 10e3}, Line{Source: true, Level: 5, Leakage: 5e-6}
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := larkmoor()
			tt.change(&d)
			c := circuit.New()
			built, err := Build(c, d, 17, Keying{
				Toggles: []circuit.Toggle{{At: 5e-3, Closed: true}, {At: 35e-3}},
				Relays:  []Moving{{Ohms: tt.ohms, Open: 1.5, Closed: 1.5}},
			})
			require.NoError(t, err)
			if d.Coils[0].Clamp.Kind == NoClamp {
				// What a coil rings with when nothing takes its current: its winding and the open contact.
				c.Capacitor("winding", built.Coils[0].High, built.Coils[0].Low, 1e-9)
				c.Resistor("losses", built.Coils[0].High, built.Coils[0].Low, 100e3)
			}
			coil := "i(l_" + built.Coils[0].Inductor + ")"
			line := "v(" + c.NodeName(built.Line) + ")"
			deck := &spice.Deck{
				Title: "relay coil keyed: " + tt.name, Circuit: c,
				Analysis: spice.Analysis{Kind: spice.Transient, Until: 60e-3, MaxStep: 2e-6},
				Measures: []spice.Measure{
					{Name: "idle", Kind: "at", Signal: "v(plus)", At: 4.5e-3},
					{Name: "operates", Kind: "rises", Signal: coil, Level: 0.75 * 12 / 1028, From: 5e-3},
					{Name: "steady", Kind: "at", Signal: coil, At: 34e-3},
					{Name: "lets-go", Kind: "falls", Signal: coil, Level: 0.1 * 12 / 1028, From: 35e-3},
					{Name: "kick", Kind: "most", Signal: line},
				},
			}
			spice.CheckCircuit(t, oracle+tt.name+".cir", deck)
		})
	}
}
