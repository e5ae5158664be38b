package known

import (
	"fmt"
	"math"
	"regexp"
	"slices"

	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/plan"
)

// A usual value is what the trade would expect where a plan says nothing. Low
// and High are what it would not be surprised by.
type usual struct {
	nominal, low, high float64 // SI
	why                string
}

// usuals is the one table of usual values, by key path; a star stands for any
// name or number. All of it is common practice without a source unless the row
// says otherwise. What follows from other values (a cathode resistor from the
// tube's typical point) stands behind the table, one function for each.
var usuals = map[string]usual{
	"receiver.ambient":         {20, 15, 50, "air in a closed cabinet after an hour, from a cool room"},
	"receiver.mains.tolerance": {0.10, 0.10, 0.10, "supply voltage of public mains ±10 % (IEC 60038, from memory)"},
	"receiver.mains.power":     {60, 40, 100, "a table receiver of six to nine tubes"},
	"receiver.mains.stray":     {300e-12, 100e-12, 1e-9, "capacitance of a power transformer without screen"},

	"receiver.supplies.*.crest":       {1.4142, 1.35, 1.4142, "loaded transformers are flat-topped"},
	"receiver.supplies.*.bias":        {0, 0, 0, "heater windings are not biased as a rule: measure"},
	"receiver.supplies.*.capacitance": {40e-6, 16e-6, 100e-6, "filter capacitors of a table receiver together"},

	"muting_points.*.grid":                   {0, 0, 0, "cathode bias: the grid returns to chassis"},
	"muting_points.*.screen_resistor":        {0, 0, 0, "the screen of an output tube stands at the rail"},
	"muting_points.*.transformer.resistance": {250, 150, 500, "primary of a small output transformer"},
	"muting_points.*.transformer.inductance": {10, 5, 20, "primary of a small output transformer"},
	"muting_points.*.bypass.value":           {25e-6, 10e-6, 50e-6, "cathode bypass capacitor of an output tube"},
	"muting_points.*.bypass.rated":           {25, 25, 50, "cathode bypass capacitors were mostly made for 25 V"},

	"muting_points.*.frequency":           {455e3, 455e3, 470e3, "intermediate frequency"},
	"muting_points.*.control.value":       {10e3, 5e3, 20e3, "RF-gain control in a cathode return"},
	"muting_points.*.control.set_to":      {0, 0, 0, "full gain"},
	"muting_points.*.stages.*.bypass":     {10e-9, 5e-9, 100e-9, "cathode bypass of an IF stage"},
	"muting_points.*.bus_capacitor.rated": {400, 200, 400, "paper or film capacitor"},
	"muting_points.*.impedance":           {50, 50, 300, "coaxial feeder; older inputs were made for up to 300 Ω"},
	"muting_points.*.lowest":              {0.5e6, 0.5e6, 1.8e6, "low end of a general-coverage set"},
	"muting_points.*.highest":             {30e6, 14e6, 30e6, "high end of a general-coverage set"},
	"muting_points.*.lead":                {40e-3, 25e-3, 60e-3, "terminal to contact to chassis with the relay beside the terminal"},
	"muting_points.*.wire":                {0.6e-3, 0.5e-3, 0.8e-3, "hook-up wire"},
	"muting_points.*.withstand":           {0.1, 0.1, 1, "tube receivers take 0.1 to 1 W (from memory)"},
	"muting_points.*.source":              {220e3, 100e3, 470e3, "detector or plate load seen from the volume control"},
	"muting_points.*.load":                {500e3, 250e3, 1e6, "grid resistor or volume control"},
	"muting_points.*.open":                {0, -50, 50, "nobody has measured it yet"},
	"muting_points.*.closed":              {10e-3, 1e-3, 50e-3, "nobody has measured it yet"},
	"muting_points.*.capacitance":         {0.1e-6, 0, 0.5e-6, "nobody has measured it yet"},

	"returns.*.lead":            {200e-3, 100e-3, 300e-3, "from the cut to a relay on the same chassis"},
	"returns.*.capacitor.rated": {630, 630, 630, "film capacitor"},

	"relay.reservoir":                          {470e-6, 376e-6, 705e-6, "a usual reservoir for a small relay, electrolytic"},
	"relay.zener":                              {12, 11.4, 12.6, "a zener of about the coil's voltage"},
	"relay.hold.series":                        {100, 95, 105, "limits the charging current of the hold capacitor"},
	"relay.use.coil.temperature_rise":          {150, 100, 200, "coil of a small signal relay (second-hand)"},
	"relay.use.coil.limit":                     {105, 105, 105, "lowest of the usual coil limits (from memory)"},
	"relay.use.coil.release":                   {0.10, 0.10, 0.40, "must release at 10 %, lets go at 20 to 40 % (from memory)"},
	"relay.use.coil.operate":                   {0.75, 0.75, 0.80, "usual operate voltage of small relays"},
	"relay.use.contacts.rated.voltage":         {30, 30, 30, "the least that any relay is rated for"},
	"relay.use.contacts.rated.current":         {1, 1, 1, "a small relay"},
	"relay.use.contacts.resistance":            {0.1, 0.05, 0.2, "initial contact resistance, aged"},
	"relay.use.contacts.capacitance":           {1e-12, 0.5e-12, 2e-12, "open contact of a small relay"},
	"relay.use.contacts.inductance":            {15e-9, 10e-9, 20e-9, "lugs and blade of a small relay"},
	"relay.use.contacts.make":                  {2, 1, 2, "about the rated current"},
	"relay.use.contacts.least.voltage":         {5, 5, 5, "silver contacts want some volts"},
	"relay.use.contacts.least.current":         {5e-3, 5e-3, 5e-3, "silver contacts want some milliamperes"},
	"relay.use.insulation.open_contact":        {250, 250, 750, "the least of the usual classes, V rms for one minute"},
	"relay.use.insulation.coil_to_contact":     {1000, 1000, 1500, "usual for small relays, V rms for one minute"},
	"relay.use.insulation.between_poles":       {750, 750, 1000, "usual for small relays, V rms for one minute"},
	"relay.use.times.operate":                  {8e-3, 5e-3, 15e-3, "nothing is said: slower than most small relays"},
	"relay.use.times.release":                  {6e-3, 3e-3, 12e-3, "nothing is said: slower than most small relays"},
	"relay.use.times.bounce":                   {3e-3, 1e-3, 5e-3, "bounce of a small relay"},
	"wanted.depth":                             {60, 60, 60, "a transmitter beside the set is then as quiet as a distant station"},
	"transmitter.power":                        {100, 100, 100, "a usual transmitter"},
	"transmitter.keying.rated.voltage":         {30, 12, 30, "transistor key lines are rated 12 to 30 V (second-hand)"},
	"transmitter.keying.rated.current":         {50e-3, 50e-3, 200e-3, "transistor key lines take 50 to 200 mA (second-hand)"},
	"transmitter.keying.rated.voltage.contact": {30, 30, 30, "relay contacts of key lines are rated 30 V (second-hand)"},
	"transmitter.keying.rated.current.contact": {500e-3, 500e-3, 2, "relay contacts of key lines carry 0.5 to 2 A (second-hand)"},
	"transmitter.keying.drop.contact":          {0, 0, 0, "a contact drops nothing"},
	"transmitter.keying.leakage.contact":       {0, 0, 0, "an open contact leaks nothing"},
	"transmitter.keying.drop":                  {0.4, 0, 0.8, "a saturated transistor with its series resistor"},
	"transmitter.keying.leakage":               {0, 0, 10e-6, "an open transistor or its protection"},
	"transmitter.keying.level":                 {12, 11, 14, "a keyed supply of about 12 V"},
	"transmitter.key_to_rf":                    {10e-3, 2e-3, 45e-3, "2 to 45 ms by design (second-hand)"},
	"transmitter.rf_tail":                      {0, 0, 6e-3, "3 to 6 ms in some sets (second-hand)"},
	"transmitter.coupling":                     {-20, -30, -10, "separate antennas on one site: measure"},
	"transmitter.coupling.frequency":           {7e6, 3.5e6, 28e6, "a band in the middle of HF"},
	"transmitter.coupling.distance":            {30, 10, 50, "two antennas in one garden"},
	"receiver.supplies.*.resistance.rail":      {500, 200, 1500, "choke or resistor and transformer of a table receiver"},
	"receiver.supplies.*.resistance.winding":   {0.15, 0.08, 0.4, "heater winding of a table receiver"},
	"receiver.supplies.*.voltage.rail":         {250, 200, 300, "B+ of a table receiver"},
	"receiver.supplies.*.drawn":                {3, 2, 4, "heaters of a table receiver"},
	"muting_points.*.cathode_resistor":         {0, 0, 0, "a tube with fixed bias has its cathode at the return"},
	"relay.use.coil.temperature_rise.power":    {75, 60, 90, "coil of a power relay (second-hand)"},
	"relay.use.coil.temperature_rise.plug-in":  {45, 30, 60, "coil of a plug-in relay (second-hand)"},
	"receiver.supplies.*.voltage.winding":      {6.3, 6.0, 6.6, "heaters of 6.3 V tubes"},
	"receiver.mains.line_capacitors.*.value":   {10e-9, 5e-9, 50e-9, "old line-noise capacitors"},
	"muting_points.*.also_to_chassis.value":    {10e3, 5e3, 50e3, "a divider in the set"},
	"muting_points.*.bleeder.value":            {47e3, 22e3, 100e3, "a bleeder into a cathode bus"},
	"muting_points.*.screens.resistor":         {15e3, 10e3, 33e3, "a screen dropper for two or three stages"},
	"muting_points.*.screens.to_chassis":       {33e3, 15e3, 68e3, "lower half of a screen divider"},
	"muting_points.*.screens.capacitor.value":  {0.1e-6, 0.05e-6, 0.5e-6, "screen bypass"},
	"muting_points.*.screens.capacitor.rated":  {400, 200, 400, "paper or film capacitor"},
	"muting_points.*.bus_capacitor.value":      {0.1e-6, 0.05e-6, 0.5e-6, "bypass of a cathode bus"},
	"receiver.mains.fuse.value":                {1, 0.5, 2, "whatever was in the shop: look"},
	"returns.*.capacitor.series":               {100, 47, 220, "keeps the discharge through the closing contact small"},
	"returns.*.capacitor.value":                {10e-9, 8e-9, 12e-9, "keeps RF off the lead"},
	"relay.hold.value":                         {10e-6, 8e-6, 15e-6, "a start: the timing decides"},
	"relay.fuse":                               {0.5, 0.5, 0.5, "in the lead from a winding; chosen to carry twice its current"},
	"relay.use.coil.voltage":                   {12, 12, 12, "the usual small relay"},
	"relay.use.coil.resistance":                {720, 500, 1100, "a 12 V signal relay of 130 to 300 mW"},
	"returns.*.pulldown":                       {10e3, 9.5e3, 10.5e3, "about 10 kΩ usually serves"},
	"relay.buffer.base":                        {2.2e3, 2.09e3, 2.31e3, "chosen for a forced gain of 20"},
	"relay.buffer.base_emitter":                {10e3, 9.5e3, 10.5e3, "chosen so that leakage leaves at most 0.3 V"},
	"muting_points.*.tube.heater_cathode":      {90, 90, 90, "90 V peak unless the exact version is known: what older sheets give (from memory)"},
	"receiver.standby.*.voltage.cathode":       {50, 20, 150, "cathodes of tubes that are cut off by their own current"},
}

// Usual values that follow from others.

// heaterCurrent is what a winding gives, A, when the tubes that the plan names
// draw some of it: a receiver has two or three more, and lamps.
func heaterCurrent(named float64) usual {
	return usual{named + 0.9, named + 0.3, named + 1.8, "heaters of the tubes that the plan names, of two or three more, and lamps"}
}

// windingResistance is that of a winding of some volts and rated amperes; without
// a rating it is taken to be made for a fifth more than it gives.
func windingResistance(volts, rated, drawn float64) usual {
	const regulation = 0.08 // drop at the rated current, of small power transformers
	if rated == 0 {
		rated = 1.2 * drawn
	}
	r := regulation * volts / rated
	return usual{r, 0.6 * r, 1.6 * r, "8 % regulation of the winding at its rated current"}
}

// unloadedRail is what a rail rises to without its tubes: towards the crest of
// its winding, √2 less the losses that are left.
func unloadedRail(volts Entry, regulated bool) usual {
	if regulated {
		return usual{volts.Nominal, volts.Low, volts.High, "a regulated rail stays"}
	}
	return usual{1.38 * volts.Nominal, 1.2 * volts.Low, 1.45 * volts.High, "a capacitor-input supply without load rises towards the crest"}
}

// filterRatings are the voltages for which filter capacitors are made.
var filterRatings = []float64{150, 250, 350, 450, 500, 600}

// filterRating is that of the capacitors on a rail: they were chosen to stand it
// with the tubes cold at nominal mains, mostly with one step in hand.
func filterRating(unloaded float64) usual {
	i := slices.IndexFunc(filterRatings, func(v float64) bool { return v >= unloaded })
	if i < 0 {
		i = len(filterRatings) - 1
	}
	next := min(i+1, len(filterRatings)-1)
	return usual{filterRatings[next], filterRatings[i], filterRatings[next], "filter capacitors stand the rail with the tubes cold, mostly with one step in hand"}
}

// selfBias is the cathode resistor that puts count tubes at their typical point.
func selfBias(t *Tube, count float64) usual {
	p := t.Points[0]
	r := catalog.E12.Nearest(math.Abs(p.Grid) / ((p.PlateCurrent + p.ScreenCurrent) * count))
	return usual{r, 0.7 * r, 1.5 * r, "puts the tube at its typical point"}
}

// reflectedLoad is what an output transformer shows the plate, or two plates.
func reflectedLoad(t *Tube, count int) usual {
	p := t.Points[0]
	r := float64(count) * catalog.E12.Nearest(0.9*p.Plate/p.PlateCurrent)
	return usual{r, 0.6 * r, 1.6 * r, "about the plate voltage over the plate current, from plate to plate"}
}

// fullOutput is what an output stage gives at its typical point: 35 to 47 % of
// what its plates take, a pair up to half as much again.
func fullOutput(t *Tube, count int) usual {
	p := t.Points[0]
	watts := float64(count) * p.Plate * p.PlateCurrent
	high := 0.47
	if count == 2 {
		high *= 1.5
	}
	return usual{0.4 * watts, 0.35 * watts, high * watts, "about 40 % of what the plate takes at its typical point"}
}

// screenDropper is the resistor that drops a rail to the screen voltage of the
// typical point by the screen current there.
func screenDropper(t *Tube, rail float64) usual {
	p := t.Points[0]
	drop := rail - p.Screen
	if drop <= 0 || p.ScreenCurrent <= 0 {
		return usual{0, 0, 0, "the screen stands at the rail"}
	}
	r := catalog.E12.Nearest(drop / p.ScreenCurrent)
	return usual{r, 0.6 * r, 1.5 * r, "drops the rail to the typical screen voltage"}
}

// usualScreenShare is a pentode's screen current over its plate current, where a
// tube that is written out does not say it.
const usualScreenShare = 0.12

// timeConstant is the usual L/R of a coil with the armature open and closed, s
// (computed from the inductances of the published families).
var timeConstant = map[catalog.RelayClass][2]float64{
	catalog.SignalClass: {0.9e-3, 1.75e-3},
	catalog.ReedClass:   {0.5e-3, 0.5e-3}, // no iron moves: from memory
	catalog.PowerClass:  {4.2e-3, 8.3e-3},
	catalog.PlugInClass: {4.2e-3, 8.3e-3},
}

// coilInductance is that of a coil with some L/R.
func coilInductance(tau, ohms float64) usual {
	l := tau * ohms
	return usual{l, 0.7 * l, 1.3 * l, "L/R of coils of this class, computed from published families"}
}

// coilRise is the heat of a coil by its class.
func coilRise(class document.Value[catalog.RelayClass], path string) usual {
	if class.Given() && (class.Is == catalog.PowerClass || class.Is == catalog.PlugInClass) {
		path += "." + string(class.Is)
	}
	return usualFor(path)
}

// openTerminals is what stands on open standby terminals of which nobody says it:
// the first rail without load, or the cathodes of tubes that cut themselves off.
func openTerminals(f *Facts, s *Standby) usual {
	if s.Opens == string(plan.OpensCathodeReturn) {
		return usualFor(s.At + ".voltage.cathode")
	}
	rail := f.Supplies[slices.IndexFunc(f.Supplies, func(s Supply) bool { return s.Rail })]
	e := f.Box.Entry(rail.Unloaded)
	return usual{e.Nominal, e.Low, e.High, "the rail without load stands there"}
}

var element = regexp.MustCompile(`^(muting_points|returns|receiver\.supplies|receiver\.standby|receiver\.mains\.line_capacitors)\.[^.]+`)
var stageTube = regexp.MustCompile(`\.stages\.\d+\.tube\b`) // the same as any tube
var stage = regexp.MustCompile(`\.stages\.\d+`)
var relayNumber = regexp.MustCompile(`^relay\.\d+`)

// starred is a key path as the table has it.
func starred(path string) string {
	key := element.ReplaceAllString(path, "$1.*")
	key = stageTube.ReplaceAllString(key, ".tube")
	key = stage.ReplaceAllString(key, ".stages.*")
	return relayNumber.ReplaceAllString(key, "relay")
}

// usualFor looks a key path up in the table. It panics where there is no row:
// every key that may be left out has one.
func usualFor(path string) usual {
	key := starred(path)
	u, ok := usuals[key]
	if !ok {
		panic(fmt.Sprintf("known: no usual value for %s (%s)", path, key))
	}
	return u
}
