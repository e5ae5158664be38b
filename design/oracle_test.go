package design_test

import (
	"flag"
	"fmt"
	"math"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/circuit"
	"mutewright/design/circuit/spice"
	"mutewright/design/drive"
	"mutewright/design/legal"
	"mutewright/design/plan"
	"mutewright/design/timing"
)

var _ = flag.Bool("update", false, "record the decks anew from ngspice")

// Ten of the legal plans at random as ngspice sees them: every lifted return, whose
// contact opens and closes, and the relay drives, whose coils are made and broken.
// The decks are written from the very networks that the answers come from.
func TestRandomPlansAgainstNgspice(t *testing.T) {
	if testing.Short() {
		t.Skip("ten plans worked out, and ngspice on each: some seconds")
	}
	const decks = 10
	for i, n := 0, 0; n < decks; i++ {
		require.Less(t, i, 5*decks, "of these plans too few move anything")
		p, err := plan.Read("random", []byte(legal.Plan(i)), catalog.Default())
		require.NoError(t, err)
		d, err := design.New(p, catalog.Default(), design.NominalOnly)
		require.NoError(t, err)
		in, err := d.Interface()
		require.NoError(t, err)
		if in == nil {
			continue
		}
		n++
		name := fmt.Sprintf("random-%02d", n)
		t.Run(name, func(t *testing.T) {
			title := fmt.Sprintf("legal plan %d at random: ", i)
			spice.CheckCircuit(t, oracle+name+"-returns.cir", returnsOf(title+"its lifted returns", in))
			spice.CheckCircuit(t, oracle+name+"-drive.cir", drivesOf(t, title+"its relay drive", in))
		})
	}
}

const (
	oracle = "../testdata/oracle/"
	digits = 6 // of the values in a deck: the same on every machine
)

// A course is a deck that is followed in time.
type course struct{ *spice.Deck }

func newCourse(title string, until, step float64) course {
	return course{&spice.Deck{
		Title: title, Circuit: circuit.New(), Digits: digits,
		Analysis: spice.Analysis{Kind: spice.Transient, Until: until, MaxStep: step},
	}}
}

// at takes a signal at some times, once.
func (c course) at(signal string, times ...float64) {
	if slices.ContainsFunc(c.Measures, func(m spice.Measure) bool { return m.Signal == signal }) {
		return
	}
	for k, s := range times {
		c.Measures = append(c.Measures, spice.Measure{Name: fmt.Sprintf("%s_%d", spice.Word(signal), k+1), Kind: "at", Signal: signal, At: s})
	}
}

// passes takes the instant at which a signal passes a level, to three digits.
func (c course) passes(signal, how string, level, after float64) {
	short, err := strconv.ParseFloat(strconv.FormatFloat(level, 'g', 3, 64), 64)
	if err != nil {
		panic(err)
	}
	c.Measures = append(c.Measures, spice.Measure{Name: spice.Word(signal) + "_" + how, Kind: how, Signal: signal, Level: short, From: after})
}

// volts is the signal of a node.
func (c course) volts(n circuit.Node) string { return "v(" + spice.Word(c.Circuit.NodeName(n)) + ")" }

// drivesOf is a deck of the drives of an interface, whose coils are made and
// broken, from reservoirs charged as they stand idle.
func drivesOf(t *testing.T, title string, in *timing.Interface) *spice.Deck {
	t.Helper()
	const makes, breaks = 5e-3, 60e-3
	c := newCourse(title, 0.16, 20e-6)
	for n, one := range in.Drives {
		one.Drive.Winding.Crest = math.Sqrt2 // flat tops have a deck of the drive
		steady, err := drive.Solve(one.Drive)
		require.NoError(t, err)
		idle := one.Drive.Hookup.Energises(drive.LineOpen) // the line is made while the coils are at rest
		k := drive.Keying{Prefix: fmt.Sprintf("d%d_", n+1), Made: idle, Toggles: []circuit.Toggle{{At: makes, Closed: !idle}, {At: breaks, Closed: idle}}}
		for i, r := range one.Relays {
			k.Relays = append(k.Relays, drive.Moving{Ohms: one.Drive.Coils[i].Ohms, Open: r.Open, Closed: r.Open})
		}
		// Rounded, for the deck is to be the same on every machine.
		built, err := drive.Build(c.Circuit, one.Drive, math.Round(100*steady.Supply.Released)/100, k)
		require.NoError(t, err)
		if one.Drive.Hookup.Buffer() != drive.NoBuffer {
			// While nothing conducts ngspice wants some leakage at the collector.
			c.Circuit.Resistor(k.Prefix+"stray", c.Circuit.Node(k.Prefix+"collector"), circuit.Chassis, 10e6)
		}
		if built.Supply != built.Line {
			c.at(c.volts(built.Supply), 4e-3, 20e-3, 55e-3)
		}
		for i, coil := range built.Coils {
			amps := steady.Coils[i].Amps
			name := "i(l_" + spice.Word(coil.Inductor) + ")"
			c.at(name, 55e-3)
			c.passes(name, "rises", 0.5*amps, makes)
			c.passes(name, "falls", 0.3*amps, breaks)
		}
	}
	return c.Deck
}

// returnsOf is a deck of the lifted returns of an interface, opened and closed.
func returnsOf(title string, in *timing.Interface) *spice.Deck {
	const opens, closes = 5e-3, 30e-3
	c := newCourse(title, 60e-3, 5e-6)
	times := []float64{4e-3, opens + 2e-3, 29e-3, closes + 5e-3}
	for k, lift := range in.Lifts {
		n := lift.Response.Build(c.Circuit, fmt.Sprintf("l%d_", k+1), circuit.Switch{
			Closed: true, Times: []circuit.Toggle{{At: opens}, {At: closes, Closed: true}},
		})
		for _, p := range n.Points { // a measured point has no stages, and is not modelled
			for _, s := range p.Stages {
				c.at(c.volts(n.Return), times[1:3]...)
				c.at(c.volts(s.Cathode), times...)
				c.at(c.volts(s.Screen), times...)
			}
		}
		for _, r := range n.Rails {
			c.at(c.volts(r), times[0], times[2])
		}
	}
	return c.Deck
}
