package design

import (
	"slices"
	"strings"

	"mutewright/design/answer"
	"mutewright/design/finding"
)

// An Explanation is everything a design knows under one name: a quantity, the id of
// a finding, or the key path of a value that was chosen or assumed. What does not
// exist under the name is empty.
type Explanation struct {
	Quantity *Explained
	Findings []ExplainedFinding
	Chosen   []Chosen
	Assumed  []Assumed
}

// Found tells whether the name stands for anything.
func (e Explanation) Found() bool {
	return e.Quantity != nil || e.Findings != nil || e.Chosen != nil || e.Assumed != nil
}

// Explained is a result with how it came about and what it is held against.
type Explained struct {
	answer.Account
	Limits []Limit
}

// An ExplainedFinding is a finding with the results that it is about.
type ExplainedFinding struct {
	finding.Finding
	About   []Explained
	Measure []Measure // what to measure before it is settled
}

// mostAbout is how many results a finding is explained by; more is a list that
// nobody reads.
const mostAbout = 3

// Explain finds what a name stands for. The error is a failure to solve.
func (d *Design) Explain(name string) (Explanation, error) {
	var e Explanation
	if q, ok := d.Quantities.Get(name); ok {
		x, err := d.explained(q)
		if err != nil {
			return e, err
		}
		e.Quantity = &x
	}
	for _, f := range d.Findings {
		if f.ID != name {
			continue
		}
		x := ExplainedFinding{Finding: f}
		for _, q := range d.about(f) {
			one, err := d.explained(q)
			if err != nil {
				return e, err
			}
			x.About = append(x.About, one)
		}
		for _, m := range d.Measure {
			if m.Decides == f.ID {
				x.Measure = append(x.Measure, m)
			}
		}
		e.Findings = append(e.Findings, x)
	}
	for _, c := range d.Chosen {
		if c.At == name {
			e.Chosen = append(e.Chosen, c)
		}
	}
	for _, a := range d.Assumed {
		if a.At == name {
			e.Assumed = append(e.Assumed, a)
		}
	}
	return e, nil
}

// Unasked says in words why a quantity that plans can have was not worked out for
// this one, "" where nothing is known of it.
func (d *Design) Unasked(name string) string {
	switch {
	case !strings.HasPrefix(name, "timing.") || d.Refused:
		return ""
	case d.answers.Timings.Still:
		return "in some corner a relay does not move"
	}
	return d.answers.Unmoved(d.facts)
}

// Names are all names that can be explained, each once: findings, worst first,
// quantities in the order of the work, then key paths.
func (d *Design) Names() []string {
	var names []string
	add := func(name string) {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, f := range d.Findings {
		add(f.ID)
	}
	for _, q := range d.Quantities.All() {
		add(q.Name)
	}
	for _, c := range d.Chosen {
		add(c.At)
	}
	for _, a := range d.Assumed {
		add(a.At)
	}
	return names
}

func (d *Design) explained(q answer.Quantity) (Explained, error) {
	x := Explained{Account: answer.Account{Quantity: q}}
	if d.answers != nil {
		var err error
		if x.Account, err = d.answers.Account(d.facts, q.Name); err != nil {
			return x, err
		}
	}
	for _, l := range d.Limits {
		if l.Name == q.Name {
			x.Limits = append(x.Limits, l)
		}
	}
	return x, nil
}

// about are the results that a finding is about: those whose limit it is, else
// those that its kind reads. Of several alike those of the place it names.
func (d *Design) about(f finding.Finding) []answer.Quantity {
	var list []answer.Quantity
	for _, l := range d.Limits {
		if l.Finding == f.ID && l.broken(f.Severity) {
			list = append(list, l.Quantity)
		}
	}
	if list == nil {
		for _, q := range d.Quantities.All() {
			if slices.ContainsFunc(reads[f.ID], func(pattern string) bool { return fits(pattern, q.Name) }) {
				list = append(list, q)
			}
		}
	}
	named := slices.DeleteFunc(slices.Clone(list), func(q answer.Quantity) bool {
		return !slices.ContainsFunc(strings.Split(q.Name, "."), func(part string) bool {
			return len(part) > 1 && slices.Contains(strings.Split(f.At, ".")[1:], part)
		})
	})
	if len(named) > 0 {
		list = named
	}
	return list[:min(mostAbout, len(list))]
}

// broken tells whether a limit can have raised a finding: it is near enough to its
// result. A note says something of any.
func (l Limit) broken(s finding.Severity) bool {
	if s <= finding.Note {
		return true
	}
	const near = 0.75 // cautions begin at 80 % of a rating and at 1.1 times a limit
	if l.Least {
		return l.Low <= l.Limit || l.Limit > 0 && l.Limit/l.Low >= near
	}
	return l.Worst() >= near*l.Limit
}

// fits tells whether a name is of a pattern, in which a star stands for one part.
func fits(pattern, name string) bool {
	p, n := strings.Split(pattern, "."), strings.Split(name, ".")
	if len(p) != len(n) {
		return false
	}
	for i := range p {
		if p[i] != "*" && p[i] != n[i] {
			return false
		}
	}
	return true
}

// reads says which results a kind of finding looks at, where no [Limit] does.
var reads = map[string][]string{
	"antenna.common_mode":      {"antenna.*.common_mode"},
	"antenna.contact_current":  {"antenna.*.contact_current"},
	"antenna.receive_loss":     {"antenna.*.receive_loss"},
	"antenna.residual":         {"antenna.*.residual"},
	"contact.gold":             {"contact.*.open", "contact.*.closed"},
	"contact.insulation_coil":  {"contact.*.unguarded", "return.*.rail.*"},
	"contact.insulation_open":  {"contact.*.unguarded"},
	"contact.insulation_poles": {"contact.*.unguarded", "return.*.rail.*"},
	"contact.limit":            {"contact.*.margin"},
	"contact.make":             {"contact.*.open"},
	"contact.poles":            {"contact.spare"},
	"control.current":          {"control.closed"},
	"drive.hold_inrush":        {"control.inrush", "drive.buffer.inrush"},
	"control.kick":             {"control.kick"},
	"control.touch":            {"control.open", "control.kick"},
	"control.voltage":          {"control.open"},
	"drive.buffer_gain":        {"drive.buffer.gain"},
	"drive.buffer_off":         {"drive.buffer.off"},
	"drive.ceiling":            {"drive.coil.ceiling_margin", "drive.*.coil.ceiling_margin"},
	"drive.core":               {"drive.coil.current"},
	"drive.fuse":               {"drive.winding.current", "drive.coil.current"},
	"drive.hash":               {"drive.diode.peak"},
	"drive.heater_offset":      {"drive.supply.operated"},
	"drive.high_rail":          {"control.open"},
	"drive.operate":            {"drive.coil.operate_margin", "drive.*.coil.operate_margin"},
	"drive.release":            {"drive.coil.release_margin", "drive.*.coil.release_margin"},
	"drive.transistor":         {"drive.buffer.voltage"},
	"drive.winding_load":       {"drive.winding.load"},
	"drive.winding_rating":     {"drive.winding.current"},
	"mains.bonding":            {"mains.touch_current"},
	"mains.capacitor_single":   {"mains.touch_current"},
	"mains.capacitors_unknown": {"mains.largest_y"},
	"mains.discharge":          {"mains.discharge"},
	"mains.earth_device":       {"mains.earth_leak"},
	"mains.fuse_large":         {"mains.primary_current", "mains.fuse"},
	"mains.fuse_small":         {"mains.primary_current", "mains.fuse"},
	"mains.fuse_unknown":       {"mains.fuse"},
	"mains.isolation":          {"mains.touch_current"},
	"mains.meter_undetermined": {"mains.meter_reading", "mains.shunt_reading"},
	"mains.no_bleeder":         {"mains.discharge_tool", "mains.discharge_meter"},
	"mains.no_fuse":            {"mains.fuse"},
	"mains.switch_unknown":     {"mains.touch_current"},
	"mains.touch_current":      {"mains.touch_current"},
	"mains.two_wire":           {"mains.touch_current", "mains.shunt_reading"},
	"return.bus_capacitor":     {"return.*.bus"},
	"return.bypass":            {"point.*.bypass"},
	"return.click":             {"point.*.click"},
	"return.cut_capacitor":     {"return.*.muted"},
	"return.depth":             {"depth"},
	"return.depth_over":        {"depth"},
	"return.grid_current":      {"point.*.grid.receive"},
	"return.heater_cathode":    {"point.*.heater_cathode"},
	"return.hot":               {"return.*.muted", "return.*.muted_cold"},
	"return.knee":              {"point.*.knee.receive"},
	"return.loudspeaker":       {"point.*.plate_peak"},
	"return.meter":             {"point.*.current.muted"},
	"return.no_pulldown":       {"return.*.unguarded", "return.*.muted"},
	"return.path_past_lift":    {"return.*.muted", "return.*.pulldown"},
	"return.pulldown_power":    {"return.*.pulldown_power"},
	"return.rail_capacitor":    {"return.*.rail.*"},
	"return.regulator":         {"return.*.rail.*.extra"},
	"return.screen_capacitor":  {"point.*.screen.muted"},
	"return.touch":             {"return.*.muted"},
	"return.unguarded":         {"return.*.unguarded"},
	"return.window":            {"return.*.muted", "depth"},
	"standby.connector":        {"standby.*.voltage"},
	"standby.live":             {"standby.*.voltage"},
	"timing.key_margin":        {"timing.key_margin"},
	"timing.mute_margin":       {"timing.mute_margin"},
	"timing.never_muted":       {"depth"},
	"timing.tail_margin":       {"timing.tail_margin"},
}
