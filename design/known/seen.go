package known

import (
	"math"
	"strings"
)

// seen is, by key path with stars as in the table of usual values, between which
// values the trade sees a figure; of its absolute value where it may be negative.
// They are wider than what is taken where a plan says nothing, and narrower than
// what can be: a value outside is mostly a slip of a prefix or a decimal point. All
// of it is common practice without a source.
var seen = map[string][2]float64{
	"receiver.ambient":                       {-20, 85}, // °C
	"receiver.mains.voltage":                 {90, 260},
	"receiver.mains.frequency":               {45, 65},
	"receiver.mains.power":                   {10, 500},
	"receiver.mains.stray":                   {10e-12, 10e-9},
	"receiver.mains.fuse.value":              {0.05, 10},
	"receiver.mains.line_capacitors.*.value": {100e-12, 1e-6},

	"receiver.supplies.*.voltage.winding":    {1, 800},
	"receiver.supplies.*.resistance.winding": {1e-3, 1e3},
	"receiver.supplies.*.rated.winding":      {20e-3, 30},
	"receiver.supplies.*.crest":              {1.2, 1.5},
	"receiver.supplies.*.drawn":              {0, 25},
	"receiver.supplies.*.bias":               {0, 800},
	"receiver.supplies.*.voltage.rail":       {5, 800},
	"receiver.supplies.*.resistance.rail":    {0, 50e3},
	"receiver.supplies.*.unloaded":           {5, 1200},
	"receiver.supplies.*.capacitance":        {10e-9, 10e-3},
	"receiver.supplies.*.rated.rail":         {6, 2000},
	"receiver.supplies.*.bleeder":            {500, 10e6},
	"receiver.standby.*.voltage":             {0, 1200},

	"muting_points.*.grid":                   {0, 100},
	"muting_points.*.transformer.load":       {500, 50e3},
	"muting_points.*.transformer.resistance": {5, 5e3},
	"muting_points.*.transformer.inductance": {0.5, 200},
	"muting_points.*.transformer.full_output": {
		50e-3, 100},
	"muting_points.*.screen_resistor":       {0, 100e3},
	"muting_points.*.cathode_resistor":      {0, 5e3},
	"muting_points.*.bypass.value":          {100e-9, 5e-3},
	"muting_points.*.bypass.rated":          {3, 1000},
	"muting_points.*.also_to_chassis.value": {1, 10e6},
	"muting_points.*.tube.heater_cathode": {
		20, 1000},

	"muting_points.*.frequency":                 {10e3, 500e6},
	"muting_points.*.control.value":             {100, 1e6},
	"muting_points.*.control.set_to":            {0, 1e6},
	"muting_points.*.bleeder.value":             {1e3, 10e6},
	"muting_points.*.bus_capacitor.value":       {10e-12, 100e-6},
	"muting_points.*.bus_capacitor.rated":       {3, 2000},
	"muting_points.*.screens.resistor":          {10, 1e6},
	"muting_points.*.screens.to_chassis":        {1e3, 10e6},
	"muting_points.*.screens.capacitor.value":   {100e-12, 100e-6},
	"muting_points.*.screens.capacitor.rated":   {16, 2000},
	"muting_points.*.stages.*.cathode_resistor": {0, 10e3},
	"muting_points.*.stages.*.bypass":           {10e-12, 100e-6},
	"muting_points.*.stages.*.screen_resistor":  {0, 2e6},

	"muting_points.*.impedance":   {10, 2e3},
	"muting_points.*.lowest":      {10e3, 1e9},
	"muting_points.*.highest":     {10e3, 1e9},
	"muting_points.*.lead":        {2e-3, 2},
	"muting_points.*.wire":        {0.1e-3, 5e-3},
	"muting_points.*.withstand":   {1e-6, 200},
	"muting_points.*.source":      {10, 10e6},
	"muting_points.*.load":        {100, 10e6},
	"muting_points.*.open":        {0, 500},
	"muting_points.*.closed":      {0, 1},
	"muting_points.*.capacitance": {0, 100e-6},

	"returns.*.pulldown":         {10, 1e6},
	"returns.*.lead":             {2e-3, 5},
	"returns.*.capacitor.value":  {10e-12, 10e-6},
	"returns.*.capacitor.rated":  {16, 2000},
	"returns.*.capacitor.series": {0, 100e3},

	"relay.reservoir":   {1e-6, 100e-3},
	"relay.dropper":     {0, 100e3},
	"relay.zener":       {1, 200},
	"relay.fuse":        {10e-3, 10},
	"relay.hold.value":  {10e-9, 100e-3},
	"relay.hold.series": {0, 100e3},

	"relay.use.coil.voltage":               {1, 240},
	"relay.use.coil.resistance":            {1, 100e3},
	"relay.use.coil.operate":               {0.3, 0.95},
	"relay.use.coil.release":               {0.02, 0.8},
	"relay.use.coil.temperature_rise":      {5, 1000},
	"relay.use.coil.limit":                 {60, 250}, // °C
	"relay.use.coil.most.at_23":            {1, 5},
	"relay.use.coil.most.at_70":            {0.5, 5},
	"relay.use.coil.inductance.open":       {1e-3, 1000},
	"relay.use.coil.inductance.closed":     {1e-3, 1000},
	"relay.use.contacts.rated.voltage":     {1, 50e3},
	"relay.use.contacts.rated.current":     {1e-3, 100},
	"relay.use.contacts.rated.power":       {10e-3, 50e3},
	"relay.use.contacts.make":              {1e-3, 1000},
	"relay.use.contacts.resistance":        {0.1e-3, 10},
	"relay.use.contacts.capacitance":       {0, 100e-12},
	"relay.use.contacts.inductance":        {0, 1e-6},
	"relay.use.insulation.open_contact":    {20, 50e3},
	"relay.use.insulation.coil_to_contact": {20, 50e3},
	"relay.use.insulation.between_poles":   {20, 50e3},
	"relay.use.times.operate":              {50e-6, 0.2},
	"relay.use.times.release":              {50e-6, 0.2},
	"relay.use.times.bounce":               {0, 50e-3},

	"wanted.depth": {3, 100},

	"transmitter.power":                {1e-3, 10e3},
	"transmitter.keying.rated.voltage": {1, 1000},
	"transmitter.keying.rated.current": {100e-6, 20},
	"transmitter.keying.drop":          {0, 5},
	"transmitter.keying.leakage":       {0, 20e-3},
	"transmitter.keying.level":         {0.5, 60},
	"transmitter.key_to_rf":            {0, 2},
	"transmitter.rf_tail":              {0, 2},
	"transmitter.coupling":             {0, 120}, // dB down
	"transmitter.coupling.distance":    {0.3, 50e3},
	"transmitter.coupling.frequency":   {10e3, 3e9},
}

// An Unusual value is one that the plan gives outside of what the trade sees.
type Unusual struct {
	Entry
	From, To float64 // of the absolute value
}

// Unusual lists what the plan gives outside of what the trade sees, each once.
func (f *Facts) Unusual() []Unusual {
	var list []Unusual
	told := map[string]bool{}
	for _, e := range f.Box {
		between, ok := f.seenAt(e.At)
		if e.Origin != Given || told[e.At] || !ok {
			continue
		}
		low, high := math.Abs(e.Nominal), math.Abs(e.Nominal)
		if e.At == "receiver.ambient" {
			low, high = f.AmbientLow, f.AmbientHigh // a true range; its nominal is fixed
		}
		if low < between[0] || high > between[1] {
			told[e.At] = true
			list = append(list, Unusual{e, between[0], between[1]})
		}
	}
	return list
}

// seenAt looks a key path up in the table; windings and rails have rows of their
// own for the keys that both have.
func (f *Facts) seenAt(path string) (between [2]float64, ok bool) {
	key := starred(path)
	if between, ok = seen[key]; ok {
		return between, true
	}
	for i := range f.Supplies {
		s := &f.Supplies[i]
		if !strings.HasPrefix(path, "receiver.supplies."+s.Name+".") {
			continue
		}
		if s.Rail {
			key += ".rail"
		} else {
			key += ".winding"
		}
		break
	}
	between, ok = seen[key]
	return between, ok
}
