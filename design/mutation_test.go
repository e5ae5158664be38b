package design_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/finding"
	"mutewright/design/known"
	"mutewright/design/plan"
	"mutewright/design/quantity"
)

// Mutation: one thing is made wrong in a sound plan, everything else stays as it
// was built. Either the program says so, or there is a reason why it does no harm.

// A subject is a sound plan as it was built: what it left to the program is
// fixed, so that no other choice makes up for what an edit spoils.
type subject struct {
	name  string
	text  []byte
	built []string // settings
	facts *known.Facts
	due   map[string][]hazard // before any edit, by how it is looked at
}

// A change is one edit at one place of a plan.
type change struct {
	at       string // key path
	what     string // "10 times", "bridge"; "": the name of the edit says it all
	settings []string
	without  string // key of the relay that goes
	entries  string // a catalogue file with the changed part, under the name edited
}

// An edit is one way to make a plan wrong.
type edit struct {
	name string

	// places are the places of a plan where it can be made. Where there are none
	// the reason says why.
	places func(s *subject) (list []change, reason string)

	// bears are the findings that it bears on. Where all of them were looked at
	// and nothing is due, it does no harm.
	bears []string

	// mild says why it does no harm where one of them could not be looked at.
	mild func(f *known.Facts, c change) string

	doubt []string // how the key paths begin whose doubt counts; nil: all is nominal
	moves bool     // transients are needed
}

// scaled is a setting that multiplies the number at id.
func (s *subject) scaled(id known.ID, factor float64) change {
	e := s.facts.Box.Entry(id)
	return change{at: e.At, settings: []string{e.At + "=" + quantity.Plain(e.Nominal*factor, e.Unit)}}
}

// times makes a change of one number by several factors.
func (s *subject) times(id known.ID, factors map[string]float64) []change {
	var list []change
	if !id.Exists() {
		return nil
	}
	for what, factor := range factors {
		c := s.scaled(id, factor)
		c.what = what
		list = append(list, c)
	}
	slices.SortFunc(list, func(a, b change) int { return strings.Compare(a.what, b.what) })
	return list
}

// to sets a key to a word or value.
func to(path, value string) change { return change{at: path, settings: []string{path + "=" + value}} }

// ofRelays lists a change of every relay's data sheet: keys below use, in the
// plan's own notation. A relay of the catalogue gets an entry that differs in it.
func (s *subject) ofRelays(sheet func(r *known.Relay) (what string, keys map[string]string)) []change {
	var list []change
	for i := range s.facts.Relays {
		r := &s.facts.Relays[i]
		what, keys := sheet(r)
		if len(keys) == 0 {
			continue
		}
		c := change{at: r.At + ".use", what: what}
		names := make([]string, 0, len(keys))
		for k := range keys {
			names = append(names, k)
		}
		slices.Sort(names)
		if r.Name == "as written out" {
			for _, k := range names {
				c.settings = append(c.settings, r.At+".use."+k+"="+keys[k])
			}
			list = append(list, c)
			continue
		}
		blocks := map[string][]string{}
		for _, k := range names {
			block, key, _ := strings.Cut(k, ".")
			blocks[block] = append(blocks[block], key+": "+keys[k])
		}
		c.entries = "relays:\n  edited:\n    same_as: " + r.Name + "\n"
		for _, block := range []string{"coil", "contacts", "insulation", "times"} {
			if len(blocks[block]) > 0 {
				c.entries += "    " + block + ": {" + strings.Join(blocks[block], ", ") + "}\n"
			}
		}
		c.settings = []string{r.At + ".use=edited"}
		list = append(list, c)
	}
	return list
}

func (s *subject) plain(id known.ID, factor float64) string {
	e := s.facts.Box.Entry(id)
	return quantity.Plain(e.Nominal*factor, e.Unit)
}

// points lists a change of every point of a kind.
func (s *subject) points(kind known.PointKind, at func(p *known.Point) []change) []change {
	var list []change
	for i := range s.facts.Points {
		if p := &s.facts.Points[i]; p.Kind == kind {
			list = append(list, at(p)...)
		}
	}
	return list
}

func (s *subject) returns(at func(r *known.Return) []change) []change {
	var list []change
	for i := range s.facts.Returns {
		list = append(list, at(&s.facts.Returns[i])...)
	}
	return list
}

func (s *subject) rails(at func(r *known.Supply, path string) []change) []change {
	var list []change
	for i := range s.facts.Supplies {
		if r := &s.facts.Supplies[i]; r.Rail {
			list = append(list, at(r, "receiver.supplies."+r.Name)...)
		}
	}
	return list
}

// winding is the winding that feeds the coils, with its key path.
func (s *subject) winding() (w *known.Supply, path string) {
	r := &s.facts.Relays[0]
	if r.Supply < 0 || s.facts.Supplies[r.Supply].Rail {
		return nil, ""
	}
	w = &s.facts.Supplies[r.Supply]
	return w, "receiver.supplies." + w.Name
}

// one is an edit of one place, the same in every plan.
func one(c change) func(*subject) ([]change, string) {
	return func(*subject) ([]change, string) { return []change{c}, "" }
}

// some gives the reason where a list is empty.
func some(list []change, reason string) ([]change, string) {
	if len(list) == 0 {
		return nil, reason
	}
	return list, ""
}

// Reasons why an edit has no place in a plan.
const (
	noReturn  = "no chassis return is lifted"
	noOutput  = "no output stage is lifted"
	noGain    = "no gain control is lifted"
	noAntenna = "no antenna input is guarded"
	noWinding = "no winding feeds the coils"
	noRail    = "no rail stands in the plan"
	noBypass  = "no output stage has a bypass capacitor"
	noSheet   = "nothing is known of it"
)

var rectifiers = []string{"none", "half-wave", "full-wave", "bridge", "doubler"}

// supplied begins the key paths of the mains and of the air in the cabinet, whose
// ranges every coil meets.
var supplied = []string{"receiver.mains.tolerance", "receiver.ambient"}

// driving begins the key paths of what decides how a coil is driven.
var driving = []string{"receiver.mains", "receiver.ambient", "receiver.supplies", "relay", "transmitter.keying"}

var coilMargins = []string{"drive.operate", "drive.ceiling"}

var edits = []edit{
	{name: "remove the pulldown", bears: []string{"return.no_pulldown"},
		places: func(s *subject) ([]change, string) {
			return some(s.returns(func(r *known.Return) []change { return []change{to("returns."+r.Name+".pulldown", "none")} }), noReturn)
		}},
	{name: "raise the pulldown", bears: []string{"return.window"}, mild: measuredOnly,
		places: func(s *subject) ([]change, string) {
			return some(s.returns(func(r *known.Return) []change {
				return s.times(r.Pulldown, map[string]float64{"10 times": 10, "100 times": 100})
			}), noReturn)
		}},
	{name: "lower the pulldown", bears: []string{"return.window"}, mild: measuredOnly,
		places: func(s *subject) ([]change, string) {
			return some(s.returns(func(r *known.Return) []change {
				return s.times(r.Pulldown, map[string]float64{"to a hundredth": 0.01})
			}), noReturn)
		}},
	{name: "swap the rectifier", bears: append([]string{"drive.rectifier"}, coilMargins...),
		places: func(s *subject) ([]change, string) {
			var list []change
			if w, _ := s.winding(); w != nil {
				for _, word := range rectifiers {
					if word != s.facts.Relays[0].Rectifier {
						c := to(s.facts.Relays[0].At+".rectifier", word)
						c.what = word
						list = append(list, c)
					}
				}
			}
			return some(list, noWinding)
		}},
	{name: "remove the clamp", bears: []string{"drive.clamp"},
		places: func(s *subject) ([]change, string) {
			var list []change
			for i := range s.facts.Relays {
				c := to(s.facts.Relays[i].At+".clamp", "none")
				c.without = "zener"
				list = append(list, c)
			}
			return list, ""
		}},
	{name: "zener of 60 V", bears: []string{"control.kick"}, mild: buffered,
		places: func(s *subject) ([]change, string) {
			var list []change
			for i := range s.facts.Relays {
				at := s.facts.Relays[i].At
				list = append(list, change{at: at + ".zener", settings: []string{at + ".clamp=diode and zener", at + ".zener=60 V"}})
			}
			return list, ""
		}},
	{name: "remove the winding's fuse", bears: []string{"drive.fuse"},
		places: func(s *subject) ([]change, string) {
			if w, _ := s.winding(); w != nil {
				return []change{to(s.facts.Relays[0].At+".fuse", "none")}, ""
			}
			return nil, noWinding
		}},
	{name: "another reservoir", bears: coilMargins,
		places: func(s *subject) ([]change, string) {
			return some(s.times(s.facts.Relays[0].Reservoir, map[string]float64{"half": 0.5, "double": 2}), "the supply has no reservoir of its own")
		}},
	{name: "another dropper", bears: coilMargins, doubt: supplied,
		places: func(s *subject) ([]change, string) {
			var list []change
			for i := range s.facts.Relays {
				r := &s.facts.Relays[i]
				list = append(list, s.times(r.Dropper, map[string]float64{"none": 0, "5 times": 5})...)
			}
			return some(list, "there is no dropper")
		}},
	{name: "mains off by 25 %", bears: coilMargins, doubt: supplied,
		places: one(to("receiver.mains.tolerance", "25 %"))},
	{name: "air of 90 °C", bears: coilMargins, doubt: supplied,
		places: one(to("receiver.ambient", "20 °C .. 90 °C"))},
	{name: "another coil voltage", bears: coilMargins,
		places: func(s *subject) ([]change, string) {
			var list []change
			for what, factor := range map[string]float64{"half": 0.5, "double": 2} {
				list = append(list, s.ofRelays(func(r *known.Relay) (string, map[string]string) {
					return what, map[string]string{"coil.voltage": s.plain(r.Coil.Rated, factor)}
				})...)
			}
			slices.SortStableFunc(list, func(a, b change) int { return strings.Compare(a.what, b.what) })
			return list, ""
		}},
	{name: "contacts for a tenth", bears: []string{"contact.limit"}, mild: dryOnly,
		places: func(s *subject) ([]change, string) {
			return s.ofRelays(func(r *known.Relay) (string, map[string]string) {
				keys := map[string]string{}
				if r.Contacts.Volts.Exists() {
					keys["contacts.rated"] = "{voltage: " + s.plain(r.Contacts.Volts, 0.1) + ", current: " + s.plain(r.Contacts.Amps, 0.1)
					if r.Contacts.Watts.Exists() {
						keys["contacts.rated"] += ", power: " + s.plain(r.Contacts.Watts, 0.1)
					}
					keys["contacts.rated"] += "}"
				}
				var limits []string
				for _, l := range r.Contacts.Limits {
					limits = append(limits, fmt.Sprintf("%g V %g A", 0.1*l.Volts, 0.1*l.Amps))
				}
				if len(limits) > 0 {
					keys["contacts.dc_limits"] = "[" + strings.Join(limits, ", ") + "]"
				}
				return "", keys
			}), ""
		}},
	{name: "one pole less", bears: []string{"contact.poles"},
		places: func(s *subject) ([]change, string) {
			return some(s.ofRelays(func(r *known.Relay) (string, map[string]string) {
				if r.Contacts.Poles < 2 {
					return "", nil
				}
				return "", map[string]string{"contacts.poles": fmt.Sprint(r.Contacts.Poles - 1)}
			}), "a relay has one pole at least")
		}},
	{name: "contacts of one form", bears: []string{"contact.form"},
		places: func(s *subject) ([]change, string) {
			var list []change
			for _, form := range []string{"A", "B"} {
				list = append(list, s.ofRelays(func(r *known.Relay) (string, map[string]string) {
					if r.Contacts.Form == form {
						return "", nil
					}
					return "form " + form, map[string]string{"contacts.form": form}
				})...)
			}
			return list, ""
		}},
	{name: "insulation of a tenth", bears: []string{"contact.insulation_open", "contact.insulation_coil"},
		mild: func(f *known.Facts, _ change) string {
			if !slices.ContainsFunc(f.Supplies, func(s known.Supply) bool { return s.Rail }) {
				return noRail
			}
			return ""
		},
		places: func(s *subject) ([]change, string) {
			return s.ofRelays(func(r *known.Relay) (string, map[string]string) {
				c := &r.Contacts
				keys := map[string]string{}
				for key, id := range map[string]known.ID{"open_contact": c.OpenVolts, "coil_to_contact": c.CoilVolts, "between_poles": c.PoleVolts} {
					if id.Exists() {
						keys["insulation."+key] = s.plain(id, 0.1)
					}
				}
				return "", keys
			}), ""
		}},
	{name: "least load times 1000", bears: []string{"contact.least_load"},
		places: func(s *subject) ([]change, string) {
			return s.ofRelays(func(r *known.Relay) (string, map[string]string) {
				return "", map[string]string{"contacts.least": s.plain(r.Contacts.LeastVolts, 1000) + " " + s.plain(r.Contacts.LeastAmps, 1000)}
			}), ""
		}},
	{name: "make current of a hundredth", bears: []string{"contact.make"},
		mild: func(f *known.Facts, _ change) string {
			for _, r := range f.Returns {
				if r.Capacitor.Exists() {
					return ""
				}
			}
			return "no contact closes on a capacitor"
		},
		places: func(s *subject) ([]change, string) {
			return s.ofRelays(func(r *known.Relay) (string, map[string]string) {
				id := r.Contacts.Make
				if !id.Exists() {
					id = r.Contacts.Amps
				}
				return "", map[string]string{"contacts.make": s.plain(id, 0.01)}
			}), ""
		}},
	{name: "antenna lead times 20", bears: []string{"antenna.residual"},
		places: func(s *subject) ([]change, string) {
			return some(s.points(known.Antenna, func(p *known.Point) []change { return []change{s.scaled(p.Lead, 20)} }), noAntenna)
		}},
	{name: "return lead times 20", bears: []string{"return.lead"},
		mild: func(f *known.Facts, c change) string {
			for i, r := range f.Returns {
				if c.at != "returns."+r.Name+".lead" {
					continue
				}
				if !slices.ContainsFunc(f.Returns[i].Points, func(p int) bool { return f.Points[p].Kind == known.Gain }) {
					return "the lead carries no RF"
				}
				if r.Capacitor.Exists() {
					return "a capacitor stands at the cut"
				}
			}
			return ""
		},
		places: func(s *subject) ([]change, string) {
			return some(s.returns(func(r *known.Return) []change { return []change{s.scaled(r.Lead, 20)} }), noReturn)
		}},
	{name: "guard removed", bears: []string{"antenna.unguarded"},
		places: func(s *subject) ([]change, string) {
			return some(s.points(known.Antenna, func(p *known.Point) []change {
				return []change{to(p.At, "{kind: audio short, lift: wiper of the volume control}")}
			}), noAntenna)
		}},
	{name: "withstand of a thousandth", bears: []string{"antenna.residual"},
		places: func(s *subject) ([]change, string) {
			return some(s.points(known.Antenna, func(p *known.Point) []change { return []change{s.scaled(p.Withstand, 1e-3)} }), noAntenna)
		}},
	{name: "bypass rated a fifth", bears: []string{"return.bypass"},
		places: func(s *subject) ([]change, string) {
			return some(s.points(known.Output, func(p *known.Point) []change {
				if !p.Bypass.Value.Exists() {
					return nil
				}
				return []change{s.scaled(p.Bypass.Rated, 0.2)}
			}), noBypass)
		}},
	{name: "bypass moved", bears: []string{"return.bypass", "return.depth", "return.click"}, moves: true,
		places: func(s *subject) ([]change, string) {
			return some(s.points(known.Output, func(p *known.Point) []change {
				if !p.Bypass.Value.Exists() {
					return nil
				}
				other := "return"
				if p.Bypass.ToReturn {
					other = "chassis"
				}
				c := to(p.At+".bypass.returned_to", other)
				c.what = "to " + other
				return []change{c}
			}), noBypass)
		}},
	{name: "bleeder from B+", bears: []string{"return.unguarded", "return.pulldown_power"},
		places: func(s *subject) ([]change, string) {
			return some(s.points(known.Gain, func(p *known.Point) []change {
				return []change{to(p.At+".bleeder", "{supply: "+s.facts.Supplies[p.Supply].Name+", value: 47 kohm}")}
			}), noGain)
		}},
	{name: "far end of the control on chassis", bears: []string{"return.path_past_lift"},
		places: func(s *subject) ([]change, string) {
			return some(s.points(known.Gain, func(p *known.Point) []change { return []change{to(p.At+".control.far_end", "chassis")} }), noGain)
		}},
	{name: "path past the lift", bears: []string{"return.path_past_lift"},
		places: func(s *subject) ([]change, string) {
			path := func(p *known.Point) []change {
				return []change{to(p.At+".also_to_chassis", "{value: 1 kohm, what: tone divider}")}
			}
			return some(append(s.points(known.Output, path), s.points(known.Gain, path)...), noReturn)
		}},
	{name: "converter among the stages", bears: []string{"return.converter"},
		places: func(s *subject) ([]change, string) {
			return some(s.points(known.Gain, func(p *known.Point) []change {
				var list []change
				for k := range p.Stages {
					list = append(list, to(fmt.Sprintf("%s.stages.%d.tube", p.At, k+1), "6SA7"))
				}
				return list
			}), noGain)
		}},
	{name: "heater to cathode a fifth", bears: []string{"return.heater_cathode"},
		places: func(s *subject) ([]change, string) {
			tube := func(at string, t *known.Tube) change {
				return change{
					at: at, settings: []string{at + "=edited"},
					entries: "tubes:\n  edited: {same_as: " + t.Name + ", heater_cathode: " + s.plain(t.HeaterCathode, 0.2) + "}\n",
				}
			}
			list := s.points(known.Output, func(p *known.Point) []change { return []change{tube(p.At+".tube", &p.Tube)} })
			return some(append(list, s.points(known.Gain, func(p *known.Point) []change {
				var list []change
				for k := range p.Stages {
					list = append(list, tube(fmt.Sprintf("%s.stages.%d.tube", p.At, k+1), &p.Stages[k].Tube))
				}
				return list
			})...), "no tube is lifted")
		}},
	{name: "rail 100 V higher", bears: []string{"return.rail_capacitor"}, mild: unloaded,
		places: func(s *subject) ([]change, string) {
			return some(s.rails(func(r *known.Supply, path string) []change {
				up := func(id known.ID) string {
					e := s.facts.Box.Entry(id)
					return quantity.Plain(e.Nominal+100, e.Unit)
				}
				return []change{{at: path + ".voltage", settings: []string{path + ".voltage=" + up(r.Volts), path + ".unloaded=" + up(r.Unloaded)}}}
			}), noRail)
		}},
	{name: "rail rated half", bears: []string{"return.rail_capacitor", "plan.reversed"}, mild: unloaded,
		places: func(s *subject) ([]change, string) {
			return some(s.rails(func(r *known.Supply, path string) []change {
				if !r.CapRated.Exists() {
					return nil
				}
				return []change{s.scaled(r.CapRated, 0.5)}
			}), noRail)
		}},
	{name: "winding biased 50 V", bears: []string{"drive.bias"},
		places: func(s *subject) ([]change, string) {
			if w, path := s.winding(); w != nil {
				return []change{to(path+".bias", "50 V")}, ""
			}
			return nil, noWinding
		}},
	{name: "winding grounded otherwise", bears: append([]string{"drive.rectifier"}, coilMargins...),
		places: func(s *subject) ([]change, string) {
			w, path := s.winding()
			if w == nil {
				return nil, noWinding
			}
			var list []change
			for _, word := range []string{"one side", "centre tap", "hum pot", "floating"} {
				if word != w.Grounded {
					c := to(path+".grounded", word)
					c.what = word
					list = append(list, c)
				}
			}
			return list, ""
		}},
	{name: "winding rated a fifth", bears: []string{"drive.winding_load"},
		places: func(s *subject) ([]change, string) {
			w, _ := s.winding()
			switch {
			case w == nil:
				return nil, noWinding
			case !w.Rated.Exists():
				return nil, "nobody says what the winding may give"
			}
			return []change{s.scaled(w.Rated, 0.2)}, ""
		}},
	{name: "key line of a tenth of the volts", bears: []string{"control.voltage"},
		places: func(s *subject) ([]change, string) { return []change{s.scaled(s.facts.Transmitter.LineVolts, 0.1)}, "" }},
	{name: "key line of a tenth of the amperes", bears: []string{"control.current"},
		places: func(s *subject) ([]change, string) { return []change{s.scaled(s.facts.Transmitter.LineAmps, 0.1)}, "" }},
	{name: "leakage of 5 mA", bears: []string{"drive.release", "drive.buffer_off", "drive.operate"}, doubt: driving,
		mild: func(f *known.Facts, _ change) string {
			if f.Relays[0].Buffer == "npn" {
				return "the leakage feeds no base, and what it takes from the supply leaves the coil's margin as grave as it was"
			}
			return ""
		},
		places: one(to("transmitter.keying.leakage", "5 mA"))},
	{name: "RF with the key", bears: []string{"timing.key_margin"}, moves: true, places: one(to("transmitter.key_to_rf", "0 ms"))},
	{name: "RF tail of 20 ms", bears: []string{"timing.tail_margin"}, mild: unshorted, moves: true, places: one(to("transmitter.rf_tail", "20 ms"))},
	{name: "two-wire cord", bears: []string{"mains.two_wire"}, places: one(to("receiver.mains.cord", "two-wire"))},
	{name: "capacitor without a class", bears: []string{"mains.capacitor_class"},
		places: one(to("receiver.mains.line_capacitors", "[{value: 0.1 uF, from: line, class: none}]"))},
	{name: "no fuse", bears: []string{"mains.no_fuse"}, places: one(to("receiver.mains.fuse", "none"))},
	{name: "no isolation", bears: []string{"mains.isolation"}, places: one(to("receiver.mains.isolation", "none"))},
	{name: "node within reach", bears: []string{"return.touch"}, mild: measuredOnly, doubt: []string{"receiver", "muting_points", "returns"},
		places: func(s *subject) ([]change, string) {
			return some(s.returns(func(r *known.Return) []change { return []change{to("returns."+r.Name+".reachable", "true")} }), noReturn)
		}},
	{name: "live standby terminals", bears: []string{"standby.live"},
		places: one(to("receiver.standby", "[{name: rear terminals 5 and 6, opens: ht centre tap, voltage: 330 V, reachable: true, left: strapped}]"))},
}

func measuredOnly(f *known.Facts, _ change) string {
	for i := range f.Points {
		if k := f.Points[i].Kind; k == known.Output || k == known.Gain {
			return ""
		}
	}
	return "only a measured line is lifted, which no pulldown changes"
}

func buffered(f *known.Facts, _ change) string {
	if f.Relays[0].Buffer != "none" {
		return "a transistor stands between the coil and the line"
	}
	return ""
}

func dryOnly(f *known.Facts, c change) string {
	for i := range f.Relays {
		r := &f.Relays[i]
		if r.At+".use" != c.at {
			continue
		}
		for _, ret := range f.Returns {
			if slices.Contains(r.Serves, ret.Name) {
				return ""
			}
		}
	}
	return "its contacts break no current"
}

func unloaded(f *known.Facts, c change) string {
	if measuredOnly(f, c) != "" {
		return "no stage that loads the rail is lifted"
	}
	return ""
}

func unshorted(f *known.Facts, _ change) string {
	for i := range f.Points {
		if k := f.Points[i].Kind; k == known.Antenna || k == known.Audio {
			return ""
		}
	}
	return "no short guards an input that the tail could reach"
}

// doubts tells whether the doubt of what stands at a key path counts.
func (e edit) doubts(at string) bool {
	return slices.ContainsFunc(e.doubt, func(begins string) bool { return strings.HasPrefix(at, begins) })
}

// quiet works a plan out without doubt and without its transients, unless the edit
// needs more. It keeps the facts.
func quiet(e edit, keep **known.Facts) design.Option {
	return func(f *known.Facts) {
		*keep = f
		if !e.moves && e.doubt == nil {
			design.NominalOnly(f)
			return
		}
		for i := range f.Box {
			if n := &f.Box[i]; !e.doubts(n.At) {
				n.Low, n.High = n.Nominal, n.Nominal
			}
		}
	}
}

// build works a sound plan out and fixes what it left open.
func build(t *testing.T, name string) *subject {
	t.Helper()
	s := &subject{name: name}
	var err error
	s.text, err = os.ReadFile(filepath.Join(plans, name+".yaml"))
	require.NoError(t, err)
	p, err := plan.Read(name, s.text, catalog.Default())
	require.NoError(t, err)
	d, err := design.New(p, catalog.Default(), quiet(edit{}, &s.facts))
	require.NoError(t, err)
	for _, c := range d.Chosen {
		if fixed.MatchString(c.At) {
			s.built = append(s.built, c.At+"="+c.Plain)
		}
	}
	first, _ := due(s.facts, &d.Quantities, d.Windows(), catalog.Default())
	s.due = map[string][]hazard{edit{}.looks(): first}
	return s
}

// looks is how an edit asks to have a plan looked at.
func (e edit) looks() string { return fmt.Sprint(e.moves, e.doubt) }

// before is what is due of the plan as it was built, looked at as an edit asks.
func (s *subject) before(t *testing.T, e edit) []hazard {
	t.Helper()
	if list, ok := s.due[e.looks()]; ok {
		return list
	}
	p, err := plan.Read(s.name, s.text, catalog.Default(), s.built...)
	require.NoError(t, err)
	var f *known.Facts
	d, err := design.New(p, catalog.Default(), quiet(e, &f))
	require.NoError(t, err)
	list, _ := due(f, &d.Quantities, d.Windows(), catalog.Default())
	s.due[e.looks()] = list
	return list
}

var fixed = regexp.MustCompile(`^(relay(\.\d)?\.(use|rectifier|reservoir|buffer|fuse|dropper)|returns\.\w+\.pulldown)$`)

// An outcome is what came of one edit at one place.
type outcome struct {
	edit, what, plan string
	caught           []hazard
	harmless         string // why
	absent           string // why it has no place
}

// make makes the change and holds what the program finds against what is due.
func (s *subject) make(t *testing.T, e edit, c change) outcome {
	t.Helper()
	words := fmt.Sprintf("%s: %s %s at %s", s.name, e.name, c.what, c.at)
	cat, text := catalog.Default(), s.text
	var err error
	if c.entries != "" {
		cat, err = catalog.Load("edited", []byte(c.entries))
		require.NoError(t, err, words)
	}
	if c.without != "" {
		text = regexp.MustCompile(`(?m)^ +`+c.without+`: .*\n`).ReplaceAll(text, nil)
	}
	p, err := plan.Read(s.name, text, cat, slices.Concat(s.built, c.settings)...)
	require.NoError(t, err, words)
	var f *known.Facts
	d, err := design.New(p, cat, quiet(e, &f))
	require.NoError(t, err, words)

	o := outcome{edit: e.name, what: c.what, plan: strings.TrimPrefix(s.name, "sound/")}
	expected, looked := due(f, &d.Quantities, d.Windows(), cat)
	before := s.before(t, e)
	for _, h := range expected {
		if slices.Contains(before, h) || slices.Contains(o.caught, h) {
			continue // it was so before
		}
		o.caught = append(o.caught, h)
		found := slices.ContainsFunc(d.Findings, func(f finding.Finding) bool { return (hazard{f.ID, f.At, f.Severity}) == h })
		assert.True(t, found, "%s: not caught: %v", words, h)
	}
	if len(o.caught) > 0 {
		return o
	}
	if e.mild != nil {
		o.harmless = e.mild(f, c)
	}
	if o.harmless == "" {
		for _, id := range e.bears {
			assert.True(t, looked[id], "%s: nothing to look at for %s, and no reason why it does no harm", words, id)
		}
		o.harmless = "within its limit: " + strings.Join(e.bears, ", ")
		var already []string
		for _, h := range before {
			if slices.Contains(e.bears, h.id) {
				already = append(already, h.id)
			}
		}
		if len(already) > 0 {
			o.harmless = "due before the edit already: " + strings.Join(slices.Compact(already), ", ")
		}
	}
	return o
}

// Each sound plan, each edit: caught with the right id and severity at the right
// place, or harmless for a reason. testdata/hazards.txt is what came of them.
func TestEveryHazardIsCaught(t *testing.T) {
	if testing.Short() {
		t.Skip("works many plans out")
	}
	names := planNames(t, "sound")
	results := make([][]outcome, len(names))
	t.Run("plans", func(t *testing.T) {
		for i, name := range names {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				s := build(t, name)
				for _, e := range edits {
					list, reason := e.places(s)
					for _, c := range list {
						results[i] = append(results[i], s.make(t, e, c))
					}
					if len(list) == 0 {
						require.NotEmpty(t, reason)
						results[i] = append(results[i], outcome{edit: e.name, plan: strings.TrimPrefix(name, "sound/"), absent: reason})
					}
				}
			})
		}
	})
	hazards(t, slices.Concat(results...))
}
