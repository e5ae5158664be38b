// Package legal writes legal plans at random, for the tests of other rooms: the same
// number gives the same plan.
package legal

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// legal writes one legal plan at random: any coil circuit of the two tables, one
// to three returns of one to four points, and what else the format can say. The
// plans have no doubt but what the usual tolerances bring.
type legal struct {
	*rand.Rand
	extra *rand.Rand // of what came to the plans later: the rest stays as it was
	strings.Builder

	poles    int // of the relays
	places   []string
	cathodes []string // points of the returns
}

func (g *legal) line(indent int, format string, args ...any) {
	fmt.Fprintf(g, strings.Repeat("  ", indent)+format+"\n", args...)
}

func (g *legal) pick(list ...string) string { return list[g.IntN(len(list))] }

func (g *legal) one(in int) bool { return g.IntN(in) == 0 }

// A circuit is a row of the two tables with the supplies that go with it.
type coilCircuit struct{ mutes, on, buffer string }

var lineCircuits = []coilCircuit{
	{"grounded", "transmit", "none"}, {"grounded", "transmit", "pnp"}, {"grounded", "receive", "npn"},
	{"opened", "transmit", "npn"}, {"opened", "receive", "none"}, {"opened", "receive", "pnp"},
	{"raised", "transmit", "control"}, {"raised", "transmit", "npn"}, {"raised", "receive", "pnp"},
}

// A feed is a supply with a rectifier that may stand on it and a coil that it
// pulls in, the supply's own keys as they stand in a plan.
type feedShape struct{ name, keys, rectifier, coil string }

const heaters = "kind: ac winding, crest: 1.414, resistance: 0.1 ohm, rated: 6 A, drawn: 3 A, "

var feedShapes = []feedShape{
	{"heaters", heaters + "voltage: 6.3 V, grounded: one side, at: {live: X2 tag 1, return: X2 tag 2}", "doubler", "12v"},
	{"heaters", heaters + "voltage: 6.3 V, grounded: one side", "half-wave", "6v"},
	{"heaters", heaters + "voltage: 12.6 V, grounded: centre tap, at: {live: X2 tag 1, tap: X2 tag 2, other: X2 tag 3}", "full-wave", "6v"},
	{"heaters", heaters + "voltage: 12.6 V, grounded: centre tap", "half-wave", "6v"},
	{"heaters", heaters + "voltage: 12.6 V, grounded: centre tap", "doubler", "12v"},
	{"heaters", heaters + "voltage: 6.3 V, grounded: floating", "bridge", "6v"},
	{"heaters", heaters + "voltage: 6.3 V, grounded: floating", "doubler", "12v"},
	{"heaters", heaters + "voltage: 6.3 V, grounded: floating", "half-wave", "6v"},
	{"heaters", heaters + "voltage: 12.6 V, grounded: floating, at: {live: pin 4, tap: pin 5, other: pin 6}", "full-wave", "6v"},
	{"accessory", "kind: dc rail, voltage: 13 V, unloaded: 14 V, resistance: 5 ohm, rated: 25 V", "none", "12v"},
	{"accessory", "kind: dc rail, voltage: 24 V, unloaded: 28 V, resistance: 20 ohm, rated: 50 V", "none", "12v"},
}

// plan writes the whole plan and gives its text.
func (g *legal) plan() string {
	line := lineCircuits[g.IntN(len(lineCircuits))]
	feed := feedShapes[g.IntN(len(feedShapes))]
	g.line(0, "plan: 1\ntitle: random")
	g.line(0, "receiver:")
	g.line(1, "name: random")
	g.line(1, "mains: {voltage: 120 V, frequency: 60 Hz, isolation: transformer, cord: three-wire}")
	g.line(1, "supplies:")
	g.line(2, "%s: {%s}", feed.name, feed.keys)
	if feed.name != "heaters" {
		g.line(2, "heaters: {%svoltage: 6.3 V, grounded: one side}", heaters)
	}
	g.line(2, "ht: {kind: dc rail, voltage: %d V, unloaded: 400 V, resistance: %d ohm, rated: 450 V, regulated: %v, at: {live: X5 tag 3}}",
		220+g.IntN(60), 100+g.IntN(400), g.one(6))
	g.line(2, "low: {kind: dc rail, voltage: %d V, unloaded: 260 V, resistance: 300 ohm, rated: 300 V}", 150+g.IntN(40))
	returns := 1 + g.IntN(3)
	g.standby(g.one(3))
	g.points(returns)
	g.returns(returns)
	g.relays(line, feed)
	g.line(0, "control: {jack: %s, mutes_when: %s}", g.pick("rear 3.5 mm jack", "rear terminals 7 and 8"), line.mutes)
	g.line(0, "transmitter:")
	if line.mutes == "raised" {
		level := "13 V"
		if line.on == "receive" { // must reach the supply
			level = "40 V"
		}
		g.line(1, "keying: {kind: source, level: %s, idle: low, rated: {voltage: 60 V, current: 500 mA}}", level)
	} else {
		g.line(1, "keying: {kind: contact, rated: {voltage: 60 V, current: 500 mA}}")
	}
	return g.String()
}

// standby writes the controls that the set has: a front switch in the return or
// not, and often terminals of its own.
func (g *legal) standby(front bool) {
	var list []string
	if front {
		list = append(list, "{name: front STANDBY, opens: cathode return, return: line1, left: in use}")
	}
	pick := func(list ...string) string { return list[g.extra.IntN(len(list))] }
	for _, name := range []string{"rear terminals 5 and 6", "phone jack"} {
		if g.extra.IntN(3) > 0 {
			continue
		}
		list = append(list, fmt.Sprintf("{name: %s, opens: %s, voltage: %d V, reachable: %v, left: %s}", name,
			pick("cathode return", "b plus", "ht centre tap", "screens", "oscillator"), 40+10*g.extra.IntN(30), g.extra.IntN(2) == 0,
			pick("in use", "strapped", "open", "removed")))
	}
	if len(list) > 0 {
		g.line(1, "standby: [%s]", strings.Join(list, ", "))
	}
}

func (g *legal) points(returns int) {
	g.line(0, "muting_points:")
	for r := range returns {
		points := 1 + g.IntN(4)
		if returns > 1 {
			points = 1 + g.IntN(2)
		}
		var names []string
		for k := range points {
			name := fmt.Sprintf("p%d%d", r+1, k+1)
			names = append(names, name)
			g.line(1, "%s:", name)
			g.line(2, "lift: %s %d", g.pick("chassis end of R", "wiper of the gain control", "tag on X", "cathode end of R31 at the second tag strip"), 10*r+k)
			switch n := g.IntN(8); {
			case n < 4:
				g.output()
			case n < 7:
				g.gain()
			default:
				g.line(2, "kind: measured\n    open: %d V\n    closed: %d mA", -40+g.IntN(80), 1+g.IntN(20))
			}
		}
		g.cathodes = append(g.cathodes, "["+strings.Join(names, ", ")+"]")
		g.place(fmt.Sprintf("line%d", r+1), 1)
	}
	if !g.one(4) {
		legs, guard := g.pick("one", "across", "each"), g.pick("short", "short", "changeover", "open and short")
		g.line(1, "aerial: {kind: antenna, lift: antenna terminal A, legs: %s, guard: %s, impedance: %s}", legs, guard, g.pick("50 ohm", "300 ohm"))
		poles := 1
		if legs == "each" || guard == "open and short" || guard == "changeover" && legs != "one" {
			poles = 2
		}
		g.place("aerial", poles)
	}
	if g.one(4) {
		g.line(1, "volume: {kind: audio short, lift: wiper of the volume control}")
		g.place("volume", 1)
	}
}

func (g *legal) place(name string, poles int) {
	g.places = append(g.places, fmt.Sprint(name, " ", poles))
	g.poles += poles
}

func (g *legal) output() {
	tube := g.pick("6AQ5", "6V6GT", "6BQ5", "6K6GT")
	g.line(2, "kind: output cathode\n    tube: %s\n    supply: ht", tube)
	resistor := 180 + g.IntN(300)
	if g.one(3) {
		cathodes := g.pick("shared", "separate")
		g.line(2, "count: 2\n    cathodes: %s", cathodes)
		if cathodes == "shared" {
			resistor /= 2
		}
	}
	if g.one(5) {
		g.line(2, "grid: -15 V\n    cathode_resistor: 10 ohm")
	} else {
		g.line(2, "cathode_resistor: %d ohm", resistor)
	}
	switch g.IntN(3) {
	case 0:
		g.line(2, "bypass: none")
	case 1:
		g.line(2, "bypass: {value: 25 uF, rated: 160 V, returned_to: return}")
	default:
		g.line(2, "bypass: {value: 25 uF, rated: 160 V, returned_to: chassis}")
	}
	if g.one(3) {
		g.line(2, "screen_resistor: %d ohm", 100*(1+g.IntN(20)))
	}
	g.path()
}

func (g *legal) path() {
	if g.one(5) {
		g.line(2, "also_to_chassis: {value: %d kohm, what: tone divider}", 100+g.IntN(300))
	}
}

func (g *legal) gain() {
	g.line(2, "kind: rf gain\n    supply: ht")
	wiring, far := "rheostat", g.pick("lifted", "lifted", "chassis", "free")
	if g.one(5) {
		wiring, far = "divider", "lifted"
	}
	track := g.pick("5 kohm", "10 kohm", "25 kohm")
	if far == "chassis" {
		track = "500 kohm"
	}
	g.line(2, "control: {value: %s, set_to: 0 ohm, wiring: %s, far_end: %s}", track, wiring, far)
	if wiring == "divider" || g.one(4) {
		g.line(2, "bleeder: {supply: %s, value: %d kohm}", g.pick("ht", "low"), 47+g.IntN(100))
	}
	if g.one(4) {
		g.line(2, "bus_capacitor: {value: 100 nF, rated: 400 V}")
	}
	g.path()
	shared := g.one(3)
	if shared {
		g.line(2, "screens: {supply: %s, resistor: 15 kohm, to_chassis: %s, capacitor: {value: 100 nF, rated: 400 V}}", g.pick("ht", "low"), g.pick("none", "47 kohm"))
	}
	g.line(2, "stages:")
	for k := range 1 + g.IntN(3) {
		screen := fmt.Sprintf(", screen_resistor: %d kohm", 15+g.IntN(40))
		if shared && (k == 0 || g.one(2)) {
			screen = ""
		}
		g.line(3, "- {tube: %s, cathode_resistor: %d ohm, bypass: 10 nF, meter: %v%s}", g.pick("6BA6", "6SK7", "6AU6"), 68+g.IntN(200), g.one(6), screen)
	}
}

func (g *legal) returns(n int) {
	g.line(0, "returns:")
	for r := range n {
		capacitor := g.pick("choose", "none", "{value: 22 nF, rated: 630 V, series: 470 ohm}")
		g.line(1, "line%d: {points: %s, pulldown: %s, lead: %d mm, capacitor: %s}", r+1, g.cathodes[r],
			g.pick("choose", "choose", "10 kohm", "22 kohm", "6.8 kohm"), 50+g.IntN(200), capacitor)
	}
}

// relays shares the places out over relays of two poles, or takes one of four.
func (g *legal) relays(line coilCircuit, feed feedShape) {
	head := func(r int) {
		supply, rectifier, buffer, coil := feed.name, feed.rectifier, line.buffer, feed.coil
		if buffer == "control" {
			supply, rectifier, buffer, coil = "control", "none", "none", "12v"
		}
		use := "signal-dpdt-" + coil
		if g.poles <= 4 && g.poles > 2 && coil == "12v" && r == 0 && g.one(2) {
			use = "plugin-4pdt-12v"
			g.places = []string{strings.Join(g.places, " ")}
		}
		g.line(1, "- use: %s", use)
		if r == 0 {
			g.line(2, "energised_on: %s\n    supply: %s\n    rectifier: %s\n    buffer: %s", line.on, supply, rectifier, buffer)
			if supply != "control" {
				if feed.name == "heaters" {
					g.line(2, "reservoir: 1000 uF")
				} else if g.one(3) {
					g.line(2, "reservoir: 100 uF\n    fuse: 500 mA")
				}
			}
		}
		g.line(2, "dropper: %s", g.pick("choose", "none", "47 ohm"))
		g.line(2, "clamp: %s", g.pick("diode", "diode", "diode and zener"))
		if g.one(5) {
			g.line(2, "hold: {value: 47 uF, series: 47 ohm}")
		}
		if g.one(5) {
			g.line(2, "pins: {coil: [1, 16], poles: [[4, 6, 8], [13, 11, 9]]}")
		}
	}
	g.line(0, "relay:")
	var serves []string
	free, r := 0, 0
	flush := func() {
		if len(serves) > 0 {
			g.line(2, "serves: [%s]", strings.Join(serves, ", "))
		}
		serves = nil
	}
	for len(g.places) > 0 {
		var name string
		var poles int
		fmt.Sscan(g.places[0], &name, &poles)
		if poles > free {
			flush()
			before := len(g.places)
			head(r)
			free = 2
			if len(g.places) < before { // one relay of four poles for all
				for i, word := range strings.Fields(g.places[0]) {
					if i%2 == 0 {
						serves = append(serves, word)
					}
				}
				flush()
				return
			}
			r++
		}
		serves = append(serves, name)
		free -= poles
		g.places = g.places[1:]
	}
	flush()
}

// Plan is the text of legal plan i; the same i gives the same plan.
func Plan(i int) string {
	g := &legal{Rand: rand.New(rand.NewPCG(1908, uint64(i))), extra: rand.New(rand.NewPCG(1951, uint64(i)))}
	return g.plan()
}
