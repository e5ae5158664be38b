package wiring_test

import (
	"fmt"

	"mutewright/design/fitting"
)

// The fixtures are made by hand: their voltages, lengths and values are invented
// to fill the places, as a plan would.

// A kit makes joints, wires and parts of one fixture.
type kit struct{ joints map[string]*fitting.Joint }

func newKit() *kit { return &kit{joints: map[string]*fitting.Joint{}} }

func (k *kit) joint(id, label, words string, added bool) *fitting.Joint {
	if j, ok := k.joints[id]; ok {
		return j
	}
	j := &fitting.Joint{ID: id, Label: label, Words: words, Added: added}
	k.joints[id] = j
	return j
}

func (k *kit) set(words string) *fitting.Joint { return k.joint(words, words, words, false) }

func (k *kit) tag(n int) *fitting.Joint {
	l := fmt.Sprint(n)
	return k.joint("TS901-"+l, l, "TS901-"+l, true)
}

// lug is a lug of a relay by its number (EN 50005): "A1", "11", "12", "14".
func (k *kit) lug(relay, n string) *fitting.Joint {
	function, ok := map[byte]string{'1': "common", '2': "break", '4': "make"}[n[1]]
	words := fmt.Sprintf("%s%c %s", relay, 'a'+n[0]-'1', function)
	if n[0] == 'A' || !ok {
		function, words = n, relay+" coil "+n
	}
	return k.joint(words, function, words, true)
}

func (k *kit) earth(ref, where string) *fitting.Joint {
	return k.joint(ref, ref, ref+", lug at "+where, true)
}

// atCut is where a capacitor at the cut goes to chassis: no lug.
func (k *kit) atCut() *fitting.Joint {
	return k.joint("mute_line cut", "chassis", "chassis at the cut", false)
}

func (k *kit) jack(words string) fitting.Jack {
	j := fitting.Jack{
		Ref: "J901", Words: words,
		Tip:    k.joint("J901 tip", "tip", "J901 tip", true),
		Sleeve: k.joint("J901 sleeve", "sleeve", "J901 sleeve", true),
	}
	j.Ground = wire(j.Sleeve, k.earth("E901", "J901"), "BK")
	return j
}

func wire(from, to *fitting.Joint, colour string) *fitting.Wire {
	return &fitting.Wire{From: from, To: to, Colour: colour, Size: "0.5 mm²", Insulation: 300}
}

func reads(j *fitting.Joint, receive, muted float64) *fitting.Joint {
	j.Flag = volts(receive, muted)
	return j
}

func volts(receive, muted float64) *fitting.Flag {
	return &fitting.Flag{
		Receive: fitting.Level{Low: receive, Nominal: receive, High: receive},
		Muted:   fitting.Level{Low: muted, Nominal: muted, High: muted},
	}
}

func alternating(j *fitting.Joint, v float64) *fitting.Joint {
	l := fitting.Level{Low: v, Nominal: v, High: v, Alternating: true}
	j.Flag = &fitting.Flag{Receive: l, Muted: l}
	return j
}

func part(kind fitting.PartKind, ref, value, rating string, joints ...*fitting.Joint) *fitting.Part {
	return &fitting.Part{Ref: ref, Kind: kind, Value: value, Rating: rating, Joints: joints}
}

// lane joins joints, wires and parts to a lane.
func lane(things ...any) []fitting.Item {
	items := make([]fitting.Item, len(things))
	for i, t := range things {
		switch t := t.(type) {
		case *fitting.Joint:
			items[i].Joint = t
		case *fitting.Wire:
			items[i].Wire = t
		case *fitting.Part:
			items[i].Part = t
		default:
			panic(fmt.Sprintf("lane: %T", t))
		}
	}
	return items
}

func (k *kit) contact(relay, pole, common, throw string, breaks bool, words, earth, where string) fitting.Contact {
	c := fitting.Contact{
		Name: relay + pole, Relay: relay, Pole: pole, Break: breaks, Words: words,
		Common: k.lug(relay, common), Throw: k.lug(relay, throw),
	}
	if earth != "" {
		c.Lug = k.earth(earth, where)
		c.Ground = wire(c.Common, c.Lug, "BK")
	}
	return c
}

func output(lift *fitting.Joint, cut int) fitting.Stub {
	return fitting.Stub{
		Kind: fitting.OutputCathode, Name: "output", Title: "output: 6AQ5", Rail: "ht", RailVolts: 250,
		Node: volts(12.4, 34.2), Resistor: []string{"240 Ω"}, Bypass: []string{"22 µF", "100 V"}, Polarised: true,
		Lift: lift, Cut: cut,
	}
}

func gain(lift *fitting.Joint, cut int) fitting.Stub {
	return fitting.Stub{
		Kind: fitting.GainControl, Name: "sensitivity", Title: "sensitivity: 2 × 6BA6", Rail: "ht", RailVolts: 250,
		Node: volts(1.1, 35), Resistor: []string{"68 Ω", "each"}, Control: "10 kΩ", Lift: lift, Cut: cut,
	}
}

// standby is one of the set's own standby controls.
func (k *kit) standby(left string, n int, grounded bool) fitting.Terminals {
	name := fmt.Sprintf("rear terminals %d and %d", 5+2*n, 6+2*n)
	t := fitting.Terminals{
		Name: name, Opens: "HT centre tap", Left: left, Grounded: grounded, Words: []string{"up to 363 V", "if the strap comes off"},
		Upper: k.joint(name+" one", "one tag", name+", one", false), Lower: k.joint(name+" other", "other tag", name+", other", false),
	}
	switch left {
	case "strapped":
		t.Strap = wire(t.Upper, t.Lower, "RD")
	case "removed":
		t.Words = nil
	}
	return t
}

func (k *kit) pulldown(node *fitting.Joint, ref, value, earth, where string) *fitting.Part {
	return part(fitting.Resistor, ref, value, "2 W", node, k.earth(earth, where))
}

// doubler is the drive of specimen A; fuse adds the winding's fuse.
func (k *kit) doubler(fuse bool) fitting.Drive {
	x1, x2 := alternating(k.set("X2 tag 1"), 6.3), k.set("X2 tag 2")
	j := k.jack("rear 3.5 mm jack")
	reads(j.Tip, 17.3, 0)
	n := 1
	first := lane(x1, wire(x1, k.tag(1), "GY"), k.tag(1))
	if fuse {
		first = append(first, lane(part(fitting.Fuse, "F901", "250 mA T", "", k.tag(1), k.tag(2)), k.tag(2))...)
		n = 2
	}
	in, mid, plus, drop := k.tag(n), k.tag(n+1), reads(k.tag(n+2), 17.3, 15.6), reads(k.tag(n+3), 17.3, 12.3)
	a1, a2, zero := k.lug("K1", "A1"), k.lug("K1", "A2"), k.tag(0)
	d := fitting.Drive{
		Source: fitting.Source{Kind: fitting.Winding, Name: "heaters", Words: []string{"6.3 V~ rms, one", "side grounded"}, Live: x1, Return: x2, Grounded: x2},
		Bus:    zero,
		Return: lane(x2, wire(x2, zero, "BK"), zero),
		Jack:   j,
	}
	d.Lane = append(first, lane(
		part(fitting.Electrolytic, "C901", "470 µF", "35 V", mid, in), mid,
		part(fitting.Diode, "D902", "1N4007", "", mid, plus), plus,
		part(fitting.Resistor, "R901", "180 Ω", "½ W", plus, drop), drop,
		wire(drop, a1, "VT"), a1, part(fitting.Coil, "K1", "12 V", "720 Ω", a1, a2), a2, wire(a2, j.Tip, "YE"), j.Tip)...)
	d.Shunts = []fitting.Shunt{
		{At: mid, Part: part(fitting.Diode, "D901", "1N4007", "", zero, mid)},
		{At: plus, Part: part(fitting.Electrolytic, "C902", "470 µF", "35 V", plus, zero)},
	}
	d.Clamp = []*fitting.Part{part(fitting.Diode, "D903", "1N4007", "", a2, a1)}
	return d
}

// aerial shorts one antenna terminal.
func (k *kit) aerial(c fitting.Contact) fitting.Guard {
	t := k.set("antenna terminal")
	return fitting.Guard{
		Kind: fitting.ShortOne, Name: "aerial", Input: "50 Ω", Joints: []*fitting.Joint{t},
		Wires: []*fitting.Wire{wire(t, c.Throw, "WH")}, Contacts: []fitting.Contact{c}, Note: []string{"9 and 10 together", "40 mm at most"},
	}
}

func specimenA() fitting.Wiring { return newKit().specimenA(false) }

// ownStandby is a set that has standby controls of its own, one of each fate.
func ownStandby() fitting.Wiring {
	k := newKit()
	w := k.specimenA(false)
	for i, left := range []string{"strapped", "in use", "open", "removed"} {
		w.Standby = append(w.Standby, k.standby(left, i, i%2 == 0))
	}
	return w
}

func (k *kit) specimenA(fuse bool) fitting.Wiring {
	c := k.contact("K1", "a", "11", "12", true, "opens on transmit", "E902", "K1")
	r31, wiper := k.set("chassis end of R31"), k.set("wiper of the RF gain control")
	o, g := output(r31, 1), gain(wiper, 2)
	o.Bypass[1] = "25 V"
	o.Wire, g.Wire = wire(r31, c.Throw, "OG"), wire(wiper, c.Throw, "OG")
	return fitting.Wiring{
		Drive:    k.doubler(fuse),
		Groups:   []fitting.Group{{Name: "mute_line", Stubs: []fitting.Stub{o, g}, Node: volts(0, 34.3), Pulldown: k.pulldown(c.Throw, "R902", "10 kΩ", "E902", "K1"), Contact: c}},
		Guards:   []fitting.Guard{k.aerial(k.contact("K1", "b", "21", "24", false, "closes on transmit", "E903", "aerial"))},
		Spare:    []string{"K1a make", "K1b break"},
		Released: "on receive, and with the set off",
	}
}

func (k *kit) bridge(pnp bool) fitting.Drive {
	x1, x2 := k.set("X4 tag 1"), k.set("X4 tag 2")
	t1, t2, zero := k.tag(1), k.tag(2), k.tag(0)
	plus, t4, t5, t6, t7 := reads(k.tag(3), 14.9, 16.5), k.tag(4), k.tag(5), k.tag(6), k.tag(7)
	a1, a2 := k.lug("K1", "A1"), k.lug("K1", "A2")
	d := fitting.Drive{
		Source: fitting.Source{Kind: fitting.Winding, Name: "heaters 2", Words: []string{"12.6 V~ rms", "floating"}, Live: x1, Return: x2},
		Bus:    zero,
		Return: lane(x2, wire(x2, t2, "GY"), t2),
		Shunts: []fitting.Shunt{{At: plus, Part: part(fitting.Electrolytic, "C901", "1000 µF", "35 V", plus, zero)}},
		Clamp: []*fitting.Part{
			part(fitting.Zener, "D905", "12 V", "", a1, nil),
			part(fitting.Diode, "D906", "1N4007", "", a2, nil),
		},
	}
	head := lane(x1, wire(x1, t1, "GY"), t1, part(fitting.Bridge, "D901–904", "1N4007", "", t1, t2, plus, zero), plus)
	r901 := part(fitting.Resistor, "R901", "56 Ω", "½ W", plus, t4)
	coil := part(fitting.Coil, "K1", "12 V", "", a1, a2)
	if !pnp {
		d.Jack = k.jack("rear phono socket")
		reads(d.Jack.Tip, 16.5, 0)
		d.Lane = append(head, lane(r901, t4, wire(t4, a1, "VT"), a1, coil, a2, wire(a2, d.Jack.Tip, "YE"), d.Jack.Tip)...)
		return d
	}
	d.Jack = k.jack("ACC pin 3")
	reads(d.Jack.Tip, 0.4, 16.5)
	q := part(fitting.TransistorPNP, "Q901", "", "", t7, t5, t4)
	d.Lane = append(head, lane(r901, t4, q, t7, wire(t7, a1, "VT"), a1, coil, a2)...)
	d.Buffer = &fitting.Buffer{
		Transistor: q, Base: t5, BaseEmitter: part(fitting.Resistor, "R902", "10 kΩ", "", t5, t4),
		Upper:   lane(t5, part(fitting.Resistor, "R903", "2.2 kΩ", "", t5, t6), t6, wire(t6, d.Jack.Tip, "YE"), d.Jack.Tip),
		CoilEnd: lane(a2, wire(a2, k.earth("E902", "K1"), "BK"), k.earth("E902", "K1")),
	}
	return d
}

func specimenB() fitting.Wiring {
	k := newKit()
	a := k.contact("K1", "a", "11", "14", false, "closes on receive", "E902", "K1")
	b := k.contact("K1", "b", "21", "24", false, "closes on receive", "E903", "K1")
	c := k.contact("K1", "c", "31", "32", true, "opens on receive", "", "")
	r44, wiper := k.set("R44, chassis end"), k.set("wiper, RF GAIN")
	o, g := output(r44, 1), gain(wiper, 2)
	o.Title, o.Rail, o.RailVolts, o.Node, o.Bypass, o.ToReturn = "output: 2 × 6V6GT", "main", 285, volts(19, 48), []string{"50 µF", "50 V"}, true
	o.Wire, g.Wire = wire(r44, a.Throw, "OG"), wire(wiper, b.Throw, "RD")
	g.Title, g.Rail, g.RailVolts, g.Node, g.Resistor, g.Control = "rf: 3 × 6SK7", "main", 285, volts(2.8, 88), []string{"220 Ω", "each"}, "15 kΩ"
	ae1, ae2 := k.set("AE 1"), k.set("AE 2")
	return fitting.Wiring{
		Drive: k.bridge(true),
		Groups: []fitting.Group{
			{Name: "audio", Stubs: []fitting.Stub{o}, Node: volts(0, 47), Pulldown: k.pulldown(a.Throw, "R904", "10 kΩ", "E902", "K1"), Contact: a},
			{Name: "gain", Stubs: []fitting.Stub{g}, Node: volts(0, 86), Pulldown: k.pulldown(b.Throw, "R905", "22 kΩ", "E903", "K1"), Contact: b},
		},
		Guards: []fitting.Guard{{
			Kind: fitting.ShortPair, Name: "aerial", Input: "300 Ω", Joints: []*fitting.Joint{ae1, ae2},
			Wires:    []*fitting.Wire{wire(ae1, c.Throw, "WH"), wire(c.Common, ae2, "PK")},
			Contacts: []fitting.Contact{c}, Note: []string{"11 and 12", "60 mm", "at most"},
		}},
		Spare:    []string{"K1a break", "K1b break", "K1c make"},
		Released: "muted, and with the set off",
	}
}

// outputAlone is one return on one pole.
func (k *kit) outputAlone() fitting.Group {
	c := k.contact("K1", "a", "11", "12", true, "opens on transmit", "E902", "K1")
	lift := k.set("R12, chassis end")
	o := output(lift, 1)
	o.Wire = wire(lift, c.Throw, "OG")
	return fitting.Group{Name: "audio", Stubs: []fitting.Stub{o}, Node: volts(0, 41), Pulldown: k.pulldown(c.Throw, "R902", "8.2 kΩ", "E902", "K1"), Contact: c}
}

func halfWave() fitting.Wiring { return halfWaveOf(newKit()) }

func halfWaveOf(k *kit) fitting.Wiring {
	x1, x2 := alternating(k.set("V7 pin 4"), 6.3), k.set("V7 pin 5")
	t1, t2, plus, zero := k.tag(1), k.tag(2), reads(k.tag(3), 8.7, 7.1), k.tag(0)
	a1, a2 := k.lug("K1", "A1"), k.lug("K1", "A2")
	j := k.jack("key socket on the rear apron")
	reads(j.Tip, 8.7, 0.2)
	return fitting.Wiring{
		Drive: fitting.Drive{
			Source: fitting.Source{Kind: fitting.Winding, Name: "heaters", Words: []string{"6.3 V~ rms, one", "side grounded"}, Live: x1, Return: x2, Grounded: x2},
			Bus:    zero, Jack: j,
			Lane: lane(x1, wire(x1, t1, "GY"), t1, part(fitting.Fuse, "F901", "315 mA T", "", t1, t2), t2,
				part(fitting.Diode, "D901", "1N4007", "", t2, plus), plus, wire(plus, a1, "VT"), a1,
				part(fitting.Coil, "K1", "6 V", "180 Ω", a1, a2), a2, wire(a2, j.Tip, "YE"), j.Tip),
			Return: lane(x2, wire(x2, zero, "BK"), zero),
			Shunts: []fitting.Shunt{{At: plus, Part: part(fitting.Electrolytic, "C901", "1000 µF", "25 V", plus, zero)}},
			Clamp:  []*fitting.Part{part(fitting.Diode, "D902", "1N4007", "", a2, a1)},
		},
		Groups: []fitting.Group{k.outputAlone()}, Spare: []string{"K1a make"}, Released: "on receive, and with the set off",
	}
}

func bridgeNone() fitting.Wiring {
	k := newKit()
	w := fitting.Wiring{Drive: k.bridge(false), Groups: []fitting.Group{k.outputAlone()}, Released: "on receive, and with the set off"}
	w.Guards = []fitting.Guard{k.aerial(k.contact("K1", "b", "21", "24", false, "closes on transmit", "E903", "aerial"))}
	return w
}

func rail() fitting.Wiring { return railOf(newKit()) }

func railOf(k *kit) fitting.Wiring {
	x := reads(k.set("accessory socket pin 6"), 24, 24)
	t1, t2 := k.tag(1), reads(k.tag(2), 24, 11.8)
	a1, a2 := k.lug("K1", "A1"), k.lug("K1", "A2")
	j := k.jack("rear terminals 7 and 8")
	reads(j.Tip, 24, 0)
	return fitting.Wiring{
		Drive: fitting.Drive{
			Source: fitting.Source{Kind: fitting.Rail, Name: "bias", Words: []string{"24 V DC"}, Live: x},
			Jack:   j,
			Lane: lane(x, wire(x, t1, "GY"), t1, part(fitting.Resistor, "R901", "680 Ω", "½ W", t1, t2), t2, wire(t2, a1, "VT"), a1,
				part(fitting.Coil, "K1", "12 V", "720 Ω", a1, a2), a2, wire(a2, j.Tip, "YE"), j.Tip),
			Clamp: []*fitting.Part{part(fitting.Diode, "D901", "1N4007", "", a2, a1)},
		},
		Groups: []fitting.Group{k.outputAlone()}, Released: "on receive, and with the set off",
	}
}

func npn() fitting.Wiring { return npnOf(newKit()) }

func npnOf(k *kit) fitting.Wiring {
	x1, x2 := alternating(k.set("X2 tag 1"), 6.3), k.set("X2 tag 2")
	t1, plus, zero := k.tag(1), reads(k.tag(2), 6.9, 8.6), k.tag(0)
	t3, t4, t5, t6 := k.tag(3), k.tag(4), k.tag(5), k.tag(6)
	a1, a2 := k.lug("K1", "A1"), k.lug("K1", "A2")
	j := k.jack("rear 3.5 mm jack")
	reads(j.Tip, 2.4, 0)
	q := part(fitting.TransistorNPN, "Q901", "", "", t3, t4, t5)
	e := k.earth("E903", "TS901")
	w := fitting.Wiring{
		Drive: fitting.Drive{
			Source: fitting.Source{Kind: fitting.Winding, Name: "heaters", Words: []string{"6.3 V~ rms, one", "side grounded"}, Live: x1, Return: x2, Grounded: x2},
			Bus:    zero, Jack: j,
			Lane: lane(x1, wire(x1, t1, "GY"), t1, part(fitting.Diode, "D901", "1N4007", "", t1, plus), plus,
				wire(plus, a1, "VT"), a1, part(fitting.Coil, "K1", "6 V", "180 Ω", a1, a2), a2, wire(a2, t3, "VT"), t3, q, t5),
			Return: lane(x2, wire(x2, zero, "BK"), zero),
			Shunts: []fitting.Shunt{{At: plus, Part: part(fitting.Electrolytic, "C901", "1000 µF", "25 V", plus, zero)}},
			Clamp:  []*fitting.Part{part(fitting.Diode, "D902", "1N4007", "", a2, a1)},
			Buffer: &fitting.Buffer{
				Transistor: q, Base: t4, BaseEmitter: part(fitting.Resistor, "R902", "10 kΩ", "", t4, t5),
				Pull: part(fitting.Resistor, "R901", "4.7 kΩ", "", plus, t4), PullFrom: plus,
				Upper:   lane(t4, part(fitting.Resistor, "R903", "1 kΩ", "", t4, t6), t6, wire(t6, j.Tip, "YE"), j.Tip),
				CoilEnd: lane(t5, wire(t5, e, "BK"), e),
			},
		},
		Released: "muted, and with the set off",
	}
	c := k.contact("K1", "a", "11", "14", false, "closes on receive", "E902", "K1")
	lift := k.set("R12, chassis end")
	o := output(lift, 1)
	o.Wire = wire(lift, c.Throw, "OG")
	w.Groups = []fitting.Group{{Name: "audio", Stubs: []fitting.Stub{o}, Node: volts(0, 41), Pulldown: k.pulldown(c.Throw, "R904", "8.2 kΩ", "E902", "K1"), Contact: c}}
	return w
}

func threePoints() fitting.Wiring {
	k := newKit()
	w := k.specimenA(false)
	g := &w.Groups[0]
	osc := k.set("R7, chassis end")
	s := output(osc, 3)
	s.Name, s.Title, s.Node, s.Resistor, s.Bypass, s.Polarised = "driver", "driver: 6C4", volts(4.1, 33), []string{"1.2 kΩ"}, nil, false
	// Two wires end on the lug; the third goes on from its neighbour.
	s.Wire = wire(osc, g.Stubs[1].Lift, "OG")
	g.Stubs = append(g.Stubs, s)
	w.Guards = nil
	w.Spare = append(w.Spare, "K1d")
	return w
}

func balanced() fitting.Wiring {
	k := newKit()
	w := k.specimenA(true)
	c := k.contact("K1", "c", "31", "34", false, "closes on transmit", "", "")
	b := k.contact("K1", "b", "21", "22", true, "opens on transmit", "E903", "K1")
	g := &w.Groups[0]
	second := fitting.Group{Name: "rf_line", Stubs: g.Stubs[1:], Node: volts(0, 120), Pulldown: k.pulldown(b.Throw, "R903", "33 kΩ", "E903", "K1"), Contact: b}
	second.Stubs[0].Wire = wire(second.Stubs[0].Lift, b.Throw, "RD")
	g.Stubs = g.Stubs[:1:1]
	w.Groups = append(w.Groups, second)
	t1, t2 := k.set("A1 of the antenna strip"), k.set("A2 of the antenna strip")
	w.Guards = []fitting.Guard{{
		Kind: fitting.ShortPair, Name: "aerial", Input: "300 Ω", Joints: []*fitting.Joint{t1, t2},
		Wires:    []*fitting.Wire{wire(t1, c.Throw, "WH"), wire(c.Common, t2, "PK")},
		Contacts: []fitting.Contact{c}, Note: []string{"60 mm", "at most"},
	}}
	w.Spare = nil
	return w
}

func fullWave() fitting.Wiring { return fullWaveOf(newKit()) }

func fullWaveOf(k *kit) fitting.Wiring {
	x1, tap, x3 := alternating(k.set("X2 tag 1"), 6.3), k.set("X2 tag 2"), k.set("X2 tag 3")
	t1, t2, plus, zero := k.tag(1), k.tag(2), reads(k.tag(3), 8.1, 7.4), k.tag(0)
	t4 := reads(k.tag(4), 8.1, 6)
	a1, a2 := k.lug("K1", "A1"), k.lug("K1", "A2")
	j := k.jack("rear 3.5 mm jack")
	reads(j.Tip, 8.1, 0)
	return fitting.Wiring{
		Drive: fitting.Drive{
			Source: fitting.Source{Kind: fitting.Tapped, Name: "heaters", Words: []string{"12.6 V~ rms"}, Live: x1, Return: tap, Other: x3, Grounded: tap},
			Bus:    zero, Jack: j,
			Lane: lane(x1, wire(x1, t1, "GY"), t1, part(fitting.Diode, "D901", "1N4007", "", t1, plus), plus,
				part(fitting.Resistor, "R901", "33 Ω", "½ W", plus, t4), t4, wire(t4, a1, "VT"), a1,
				part(fitting.Coil, "K1", "6 V", "180 Ω", a1, a2), a2, wire(a2, j.Tip, "YE"), j.Tip),
			Second: lane(x3, wire(x3, t2, "GY"), t2, part(fitting.Diode, "D902", "1N4007", "", t2, plus), plus),
			Return: lane(tap, wire(tap, zero, "BK"), zero),
			Shunts: []fitting.Shunt{{At: plus, Part: part(fitting.Electrolytic, "C901", "1000 µF", "25 V", plus, zero)}},
			Clamp:  []*fitting.Part{part(fitting.Diode, "D903", "1N4007", "", a2, a1)},
			Hold:   []*fitting.Part{part(fitting.Resistor, "R903", "100 Ω", "", a1, nil), part(fitting.Electrolytic, "C902", "10 µF", "35 V", nil, a2)},
		},
		Groups: []fitting.Group{k.outputAlone()}, Released: "on receive, and with the set off",
	}
}

func twoRelays() fitting.Wiring {
	k := newKit()
	w := k.specimenA(false)
	var drop *fitting.Joint
	for _, it := range w.Drive.Lane {
		if it.Joint != nil && it.Joint.ID == "TS901-4" {
			drop = it.Joint
		}
	}
	b1, b2, tip := k.lug("K2", "A1"), k.lug("K2", "A2"), k.lug("K1", "A2")
	w.Drive.More = []fitting.Branch{{
		From: drop, To: tip,
		Items: lane(wire(drop, b1, "VT"), b1, part(fitting.Coil, "K2", "12 V", "1 kΩ", b1, b2), b2, wire(b2, tip, "YE")),
		Clamp: []*fitting.Part{part(fitting.Diode, "D904", "1N4007", "", b2, b1)},
	}}
	w.Guards[0] = k.aerial(k.contact("K2", "a", "11", "14", false, "closes on transmit", "E903", "aerial"))
	w.Spare = []string{"K2a break", "K1a make"}
	return w
}

func audioShort() fitting.Wiring {
	k := newKit()
	w := k.specimenA(false)
	c := k.contact("K1", "a", "11", "14", false, "closes on transmit", "E902", "K1")
	t := k.set("wiper of the volume control")
	w.Groups = nil
	w.Guards = append([]fitting.Guard{{
		Kind: fitting.AudioShort, Name: "volume", Input: "500 kΩ", Joints: []*fitting.Joint{t},
		Wires: []*fitting.Wire{wire(t, c.Throw, "WH")}, Contacts: []fitting.Contact{c}, Note: []string{"screened wire"},
	}}, w.Guards...)
	w.Spare = []string{"K1a break"}
	return w
}

func changeover() fitting.Wiring {
	k := newKit()
	w := k.specimenA(true)
	c := k.contact("K1", "b", "21", "22", true, "moves on transmit", "", "")
	c.Other, c.Lug = k.lug("K1", "24"), k.earth("E903", "aerial")
	in := k.set("input lead")
	t := k.set("antenna terminal")
	w.Guards = []fitting.Guard{{
		Kind: fitting.Changeover, Name: "aerial", Input: "50 Ω", Joints: []*fitting.Joint{t, in}, Cut: 3,
		Wires:    []*fitting.Wire{wire(t, c.Throw, "WH"), wire(c.Common, in, "PK"), wire(c.Other, c.Lug, "BK")},
		Contacts: []fitting.Contact{c}, Note: []string{"50 mm at most"},
	}}
	w.Groups = []fitting.Group{k.outputAlone()}
	return w
}

func openShort() fitting.Wiring {
	k := newKit()
	w := k.specimenA(false)
	a := k.contact("K1", "a", "11", "12", true, "opens on transmit", "", "")
	b := k.contact("K1", "b", "21", "24", false, "closes on transmit", "E902", "aerial")
	t, in := k.set("antenna terminal"), k.set("input lead")
	w.Groups = nil
	w.Guards = []fitting.Guard{{
		Kind: fitting.OpenShort, Name: "aerial", Input: "50 Ω", Joints: []*fitting.Joint{t, in}, Cut: 1,
		Wires:    []*fitting.Wire{wire(t, a.Throw, "WH"), wire(a.Common, in, "PK"), wire(in, b.Throw, "WH")},
		Contacts: []fitting.Contact{a, b}, Note: []string{"50 mm at most"},
	}}
	return w
}

func eachLeg() fitting.Wiring {
	k := newKit()
	w := k.specimenA(false)
	a := k.contact("K1", "b", "21", "24", false, "closes on transmit", "E903", "aerial")
	b := k.contact("K1", "c", "31", "34", false, "closes on transmit", "E904", "aerial")
	t1, t2 := k.set("AE 1"), k.set("AE 2")
	w.Groups = []fitting.Group{k.outputAlone()}
	w.Guards = []fitting.Guard{{
		Kind: fitting.ShortEach, Name: "aerial", Input: "300 Ω", Joints: []*fitting.Joint{t1, t2},
		Wires:    []*fitting.Wire{wire(t1, a.Throw, "WH"), wire(t2, b.Throw, "PK")},
		Contacts: []fitting.Contact{a, b}, Note: []string{"60 mm", "at most"},
	}}
	return w
}

func keyLine() fitting.Wiring { return keyLineOf(newKit()) }

func keyLineOf(k *kit) fitting.Wiring {
	e, a1, a2 := k.earth("E903", "K1"), k.lug("K1", "A1"), k.lug("K1", "A2")
	t1 := k.tag(1)
	j := k.jack("rear 3.5 mm jack")
	reads(j.Tip, 0, 13.2)
	return fitting.Wiring{
		Drive: fitting.Drive{
			Source: fitting.Source{Kind: fitting.Line, Live: e}, Jack: j,
			Lane: lane(e, wire(e, a2, "BK"), a2, part(fitting.Coil, "K1", "12 V", "720 Ω", a2, a1), a1, wire(a1, t1, "VT"), t1,
				part(fitting.Resistor, "R901", "47 Ω", "½ W", t1, k.tag(2)), k.tag(2), wire(k.tag(2), j.Tip, "YE"), j.Tip),
			Clamp: []*fitting.Part{part(fitting.Diode, "D901", "1N4007", "", a2, a1)},
		},
		Groups: []fitting.Group{k.outputAlone()}, Released: "on receive, and with the set off",
	}
}

func capacitorAtCut() fitting.Wiring {
	k := newKit()
	w := k.specimenA(false)
	g := &w.Groups[0]
	g.Capacitor = part(fitting.Capacitor, "C903", "10 nF", "630 V", g.Stubs[0].Lift, k.atCut())
	g.Stubs[1].Divider = true
	g.Stubs[1].Extra = []string{"bleeder 47 kΩ from ht"}
	w.Guards = nil
	return w
}

// seriesAtCut has a resistor before the capacitor, and both without a lug.
func seriesAtCut() fitting.Wiring {
	k := newKit()
	w := k.specimenA(false)
	g := &w.Groups[0]
	between := &fitting.Joint{ID: "free lead of C903", Added: true}
	g.Series = part(fitting.Resistor, "R903", "150 Ω", "½ W", g.Stubs[0].Lift, between)
	g.Capacitor = part(fitting.Capacitor, "C903", "10 nF", "630 V", between, k.atCut())
	w.Guards = nil
	return w
}

// fixtures are the diagrams that every test draws.
var fixtures = []struct {
	name string
	make func() fitting.Wiring
}{
	{"specimen-a", specimenA},
	{"specimen-b", specimenB},
	{"specimen-a-with-fuse", func() fitting.Wiring { return newKit().specimenA(true) }},
	{"half-wave", halfWave},
	{"bridge", bridgeNone},
	{"rail", rail},
	{"npn", npn},
	{"three-points", threePoints},
	{"two-returns-balanced", balanced},
	{"full-wave-with-hold", fullWave},
	{"two-relays", twoRelays},
	{"audio-short", audioShort},
	{"own-standby", ownStandby},
	{"changeover", changeover},
	{"open-and-short", openShort},
	{"each-leg", eachLeg},
	{"key-line", keyLine},
	{"capacitor-at-cut", capacitorAtCut},
	{"series-at-cut", seriesAtCut},
}
