package design_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/fitting"
	"mutewright/design/plan"
)

// carried are the wires of a design that carry something, each from end to end.
func carried(d *design.Design, what string) []string {
	var list []string
	for _, w := range d.Fitting.Wires {
		if w.Carries == what {
			list = append(list, w.From.Words+" – "+w.To.Words)
		}
	}
	return list
}

// onReceive energises the relay of a plan on receive.
var onReceive = []string{"relay.energised_on=receive", "control.mutes_when=opened"}

func TestAntennaGuardsAreWiredAndToldAsTheyAre(t *testing.T) {
	const larkmoor, fourPoles = "sound/larkmoor-seven", "relay.use=plugingold-4pdt-12v"
	const changeover, openShort = "muting_points.aerial.guard=changeover", "muting_points.aerial.guard=open and short"
	for _, c := range []struct {
		name     string
		settings []string
		cut      int
		wires    []string
		transmit string
		off      string
		guarded  map[string]string // fault → guarded
	}{
		{
			"short", nil, 0, []string{"antenna terminal A – K1b make", "K1b common – E903, lug at aerial"},
			"Muted; antenna shorted to chassis.", "Antenna NOT shorted.",
			map[string]string{"set off": "no", "key cable unplugged": "no", "key cable shorted to chassis": "yes", "K1b welded closed, on transmit": "yes"},
		},
		{
			"short, energised on receive", onReceive, 0, []string{"antenna terminal A – K1b break", "K1b common – E903, lug at aerial"},
			"Muted; antenna shorted to chassis.", "Antenna shorted to chassis.",
			map[string]string{"set off": "yes", "key cable unplugged": "yes", "key cable shorted to chassis": "no", "winding fuse open": "yes"},
		},
		{
			"changeover", []string{changeover}, 3,
			[]string{"antenna terminal A – K1b break", "K1b common – input lead at CUT 3", "K1b make – E903, lug at aerial"},
			"Muted; input moved to chassis.", "Input ON the antenna.",
			map[string]string{"set off": "no", "K1b welded to the antenna, on transmit": "no", "K1b welded to chassis, on transmit": "yes"},
		},
		{
			"changeover, energised on receive", append([]string{changeover}, onReceive...), 3,
			[]string{"antenna terminal A – K1b make", "K1b common – input lead at CUT 3", "K1b break – E903, lug at aerial"},
			"Muted; input moved to chassis.", "Input moved to chassis.",
			map[string]string{"set off": "yes", "winding fuse open": "yes", "key cable shorted to chassis": "no"},
		},
		{
			"open and short", []string{openShort, fourPoles}, 3,
			[]string{"antenna terminal A – K1b break", "K1b common – input lead at CUT 3", "input lead at CUT 3 – K1c make", "K1c common – E903, lug at aerial"},
			"Muted; antenna opened, input shorted.", "Input ON the antenna.",
			map[string]string{"set off": "no", "K1b welded closed, on transmit": "part", "K1c welded closed, on transmit": "yes"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			fit := workNominal(t, larkmoor, c.settings...)
			assert.Equal(t, c.wires, carried(fit, "antenna.aerial"))
			require.Len(t, fit.Fitting.Wiring.Guards, 1)
			assert.Equal(t, c.cut, fit.Fitting.Wiring.Guards[0].Cut)
			states := fit.Fitting.Wiring.Drive.Jack.States
			require.Len(t, states, 3)
			assert.Equal(t, c.transmit, states[1].Note)
			assert.Equal(t, c.off, states[2].Note)
			for name, want := range c.guarded {
				assert.Equal(t, want, faultNamed(t, fit, name).Guarded, name)
			}
		})
	}
}

func faultNamed(t *testing.T, d *design.Design, name string) fitting.FaultState {
	t.Helper()
	for _, f := range d.Fitting.Faults {
		if f.Name == name {
			return f
		}
	}
	require.Fail(t, "no row of that name", name)
	return fitting.FaultState{}
}

func TestBalancedInputIsCutInBothLegs(t *testing.T) {
	d := workNominal(t, "sound/larkmoor-seven", "muting_points.aerial.guard=changeover", "muting_points.aerial.legs=across", "relay.use=plugingold-4pdt-12v")
	guards := d.Fitting.Wiring.Guards
	require.Len(t, guards, 2)
	assert.Equal(t, []int{3, 4}, []int{guards[0].Cut, guards[1].Cut})
	assert.Equal(t, "antenna terminal A, other leg", guards[1].Joints[0].Words)
	assert.Len(t, carried(d, "antenna.aerial"), 6)
}

func TestAntennaAloneIsNotSaidToMute(t *testing.T) {
	d := workNominal(t, "sound/skerrow-antenna")
	jack := d.Fitting.Wiring.Drive.Jack
	assert.Equal(t, "Ground the tip: the antenna is guarded.", jack.Title)
	assert.Equal(t, "Input moved to chassis.", jack.States[1].Note)
	for _, f := range d.Fitting.Faults {
		assert.Empty(t, f.Muted, f.Name)
	}
}

func TestWiresOfAReturnAreAsLongAsThePlansLead(t *testing.T) {
	d := workNominal(t, "sound/larkmoor-seven", "muting_points.output.count=2", "muting_points.output.cathodes=separate")
	longest := map[string]float64{}
	for _, w := range d.Fitting.Wires {
		longest[w.From.Words+" – "+w.To.Words] = w.Longest
	}
	assert.InDelta(t, 0.1, longest["chassis end of R31, second tube – K1a break"], 1e-9, "two wires share the way of 200 mm")
	assert.InDelta(t, 0.1, longest["chassis end of R31 – chassis end of R31, second tube"], 1e-9)
	assert.InDelta(t, 0.2, longest["wiper of the RF gain control – K1a break"], 1e-9)
}

func TestUnlikeCathodeResistorsAreNamed(t *testing.T) {
	d := workNominal(t, "sound/larkmoor-seven", "muting_points.sensitivity.stages.2.cathode_resistor=100 ohm")
	assert.Equal(t, []string{"68\u00a0Ω,", "100\u00a0Ω"}, d.Fitting.Wiring.Groups[0].Stubs[1].Resistor)
}

func TestRelaysAreNamedAsTheirQuantities(t *testing.T) {
	d := workNominal(t, "hurt/drive-together")
	refs := map[string]bool{}
	for _, p := range d.Fitting.Parts {
		refs[p.Ref] = true
	}
	for i, k := range d.Fitting.Relays {
		assert.Equal(t, []string{"K1", "K2"}[i], k)
		assert.True(t, refs[k], k)
	}
	assert.Equal(t, []string{"K1a", "K2a"}, d.Fitting.Wiring.Drive.Jack.Contacts)
}

func TestNobodyAsksAnAntennaHowDeepItMutes(t *testing.T) {
	assert.Nil(t, found(workNominal(t, "sound/skerrow-antenna"), "return.depth_unknown"))
	assert.NotNil(t, found(workNominal(t, "sound/skerrow-antenna", "wanted.depth=20 dB"), "return.depth_unknown"))
}

func TestALineThatIsRaisedIsNotSaidToClose(t *testing.T) {
	d := workNominal(t, "sound/larkmoor-seven", "control.mutes_when=raised", "relay.buffer=npn", "transmitter.keying.kind=source",
		"transmitter.keying.level=11 V .. 14 V", "transmitter.keying.idle=low")
	lines := strings.Join(d.Fitting.Wiring.Drive.Jack.Lines, " ")
	assert.Contains(t, lines, "The transmitter feeds")
	assert.NotContains(t, lines, "Closed")
}

// What a dead cable does, by thought: a line that shorts the base lets the coil
// go when it is shorted and holds it when it is open; every other line the other
// way round, and one that must rise does nothing in either.
func TestADeadCableForEachBuffer(t *testing.T) {
	source := []string{"control.mutes_when=raised", "transmitter.keying.kind=source", "transmitter.keying.level=12 V", "transmitter.keying.idle=low"}
	for _, c := range []struct {
		name               string
		settings           []string
		unplugged, shorted string // muted
	}{
		{"grounded, coil on the line", nil, "no", "yes"},
		{"grounded, pnp", []string{"relay.buffer=pnp"}, "no", "yes"},
		{"grounded, energised on receive, npn", []string{"relay.energised_on=receive", "relay.buffer=npn"}, "no", "yes"},
		{"opened, coil on the line", onReceive, "yes", "no"},
		{"opened, energised on receive, pnp", append([]string{"relay.buffer=pnp"}, onReceive...), "yes", "no"},
		{"opened, npn", []string{"control.mutes_when=opened", "relay.buffer=npn"}, "yes", "no"},
		{"raised, npn", append([]string{"relay.buffer=npn"}, source...), "no", "no"},
		{"raised, the line feeds the coil", append([]string{"relay.supply=control", "relay.rectifier=none"}, source...), "no", "no"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := workNominal(t, "sound/larkmoor-seven", c.settings...)
			for cable, want := range map[string]string{"key cable unplugged": c.unplugged, "key cable shorted to chassis": c.shorted} {
				row := faultNamed(t, d, cable)
				assert.Equal(t, want, row.Muted, cable)
				assert.Equal(t, want, row.Guarded, cable)
			}
			off := faultNamed(t, d, "set off")
			assert.Equal(t, "silent", off.Muted)
			assert.Equal(t, "released", off.Relay)
		})
	}
}

func TestManyCutsAreNamedInShort(t *testing.T) {
	d := workNominal(t, "sound/larkmoor-seven", "muting_points.output.count=2", "muting_points.output.cathodes=separate")
	var where []string
	for _, p := range d.Places {
		where = append(where, p.Where)
	}
	assert.Contains(t, where, "mute_line: K1a, CUT 1 to CUT 3")
}

func TestOnlyTheWindingInUseIsToKeepItsVolts(t *testing.T) {
	source := []string{"control.mutes_when=raised", "transmitter.keying.kind=source", "transmitter.keying.level=12 V", "transmitter.keying.idle=low", "relay.supply=control", "relay.rectifier=none"}
	keeps := func(settings ...string) (words []string) {
		for _, r := range workNominal(t, "sound/larkmoor-seven", settings...).Fitting.Readings {
			if strings.Contains(r.Why, "must stay") {
				words = append(words, r.Why)
			}
		}
		return words
	}
	assert.Equal(t, []string{"heaters, before and after the drive is added: at least 6\u00a0V must stay"}, keeps())
	assert.Empty(t, keeps(source...))
}

// Coils that the key line feeds have each a dropper of their own between A1 and
// the line; the next coil hangs where the line's voltage still is.
func TestCoilsOnTheKeyLineKeepTheirDroppers(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(plans, "sound", "larkmoor-seven.yaml"))
	require.NoError(t, err)
	head, rest, ok := strings.Cut(string(data), "\nrelay:\n")
	require.True(t, ok)
	_, rest, ok = strings.Cut(rest, "\nwanted:")
	require.True(t, ok)
	relay := "  - {use: signal-dpdt-12v, serves: [%s], energised_on: transmit, supply: control, dropper: %s, clamp: diode, hold: {value: 22 uF, series: 47 ohm}}\n"
	text := head + "\nrelay:\n" + fmt.Sprintf(relay, "mute_line", "22 ohm") + fmt.Sprintf(relay, "aerial", "33 ohm") +
		"\ncontrol: {jack: rear 3.5 mm jack, mutes_when: raised}\n\nwanted:" +
		strings.Replace(rest, "{kind: contact,", "{kind: source, level: 13.8 V, idle: open,", 1)
	p, err := plan.Read("line", []byte(text), catalog.Default())
	require.NoError(t, err)
	d, err := design.New(p, catalog.Default(), design.NominalOnly)
	require.NoError(t, err)

	assert.Equal(t, []string{"E902, lug at K1 – K1 coil A2", "K1 coil A1 – TS901-1"}, carried(d, "drive.coil.current"))
	assert.Equal(t, []string{"K1 coil A2 – K2 coil A2", "K2 coil A1 – TS901-3", "TS901-4 – J901 tip"}, carried(d, "drive.2.coil.current"))
	// What stands across a coil stands as the lane comes to its lugs: A2 first.
	for _, hold := range [][]*fitting.Part{d.Fitting.Wiring.Drive.Hold, d.Fitting.Wiring.Drive.More[0].Hold} {
		require.Len(t, hold, 2)
		assert.Equal(t, fitting.Electrolytic, hold[0].Kind)
		assert.Equal(t, "A2", hold[0].Joints[1].Label, "minus")
		assert.Equal(t, "A1", hold[1].Joints[0].Label)
	}
	var droppers []string
	for _, part := range d.Fitting.Parts {
		if strings.HasSuffix(part.Value, "2\u00a0Ω") || strings.HasSuffix(part.Value, "33\u00a0Ω") {
			droppers = append(droppers, part.Value)
		}
	}
	assert.Equal(t, []string{"22\u00a0Ω", "33\u00a0Ω"}, droppers)
}
