package design

import (
	"fmt"
	"slices"

	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/plan"
	"mutewright/design/quantity"
)

// A Setup is a relay with what feeds it, as a plan would say it.
type Setup struct {
	Relay     string
	Rectifier string    // "none" on a rail
	Buffer    string    // "none", "pnp", "npn"
	Clamp     string    // "diode"
	Reservoir float64   // F, each; 0: none
	Fuse      float64   // A; 0: none
	Droppers  []float64 // ohm, of every relay of the plan; 0: none

	block int
	at    []string // key paths of the plan's relays: "relay", or "relay.1"
	taken []string // the keys that the setup sets; the others stay as the plan has them
}

// Dropper is the resistor in series with the relay's own coil, ohm; 0: none.
func (s Setup) Dropper() float64 { return s.Droppers[s.block] }

// The keys of a setup, below a relay's block.
const (
	keyUse       = "use"
	keyRectifier = "rectifier"
	keyReservoir = "reservoir"
	keyDropper   = "dropper"
	keyClamp     = "clamp"
	keyBuffer    = "buffer"
	keyFuse      = "fuse"
)

// A setting is one value of a setup: where a plan keeps it, and how it says it.
type setting struct {
	block int
	key   string
	value string
}

// settings lists what the setup says, in the order of a plan.
func (s Setup) settings() []setting {
	list := []setting{{s.block, keyUse, s.Relay}}
	measure := func(v float64, u quantity.Unit) string {
		if v == 0 {
			return "none"
		}
		return quantity.Plain(v, u)
	}
	for _, one := range []setting{
		{0, keyRectifier, s.Rectifier},
		{0, keyReservoir, measure(s.Reservoir, quantity.Capacitance)},
		{s.block, keyClamp, s.Clamp},
		{0, keyBuffer, s.Buffer},
		{0, keyFuse, measure(s.Fuse, quantity.Current)},
	} {
		if slices.Contains(s.taken, one.key) && !(one.key == keyReservoir && s.Reservoir == 0) {
			list = append(list, one)
		}
	}
	for i, ohms := range s.Droppers {
		if slices.Contains(s.taken, dropperOf(i)) {
			list = append(list, setting{i, keyDropper, measure(ohms, quantity.Resistance)})
		}
	}
	return list
}

// dropperOf is the key under which the dropper of a block is taken.
func dropperOf(block int) string { return fmt.Sprint(keyDropper, block+1) }

// Settings is the setup as options of --set.
func (s Setup) Settings() []string {
	var list []string
	for _, one := range s.settings() {
		list = append(list, s.at[one.block]+"."+one.key+"="+one.value)
	}
	return list
}

// lay is the plan with the setup in it.
func (s Setup) lay(p *plan.Plan, entry *catalog.Relay) *plan.Plan {
	with := *p
	with.Relays.Items = slices.Clone(relayBlocks(p))
	own, first := &with.Relays.Items[s.block], &with.Relays.Items[0]
	own.Use.State, own.Use.Named, own.Use.Is = document.Given, s.Relay, *entry
	for _, key := range s.taken {
		switch key {
		case keyRectifier:
			give(&first.Rectifier.Source, &first.Rectifier.Is, plan.Rectifier(s.Rectifier), false)
		case keyReservoir:
			if s.Reservoir > 0 {
				give(&first.Reservoir.Source, &first.Reservoir.Is, quantity.Exactly(quantity.Farads(s.Reservoir)), false)
			}
		case keyClamp:
			give(&own.Clamp.Source, &own.Clamp.Is, plan.Clamp(s.Clamp), false)
		case keyBuffer:
			give(&first.Buffer.Source, &first.Buffer.Is, plan.Buffer(s.Buffer), false)
		case keyFuse:
			give(&first.Fuse.Source, &first.Fuse.Is, quantity.Exactly(quantity.Amps(s.Fuse)), s.Fuse == 0)
		}
	}
	for i, ohms := range s.Droppers {
		if slices.Contains(s.taken, dropperOf(i)) {
			d := &with.Relays.Items[i].Dropper
			give(&d.Source, &d.Is, quantity.Exactly(quantity.Ohms(ohms)), ohms == 0)
		}
	}
	return &with
}

// take is the plan with the setup in it for good: droppers of relays that are
// still to be chosen stay open, as they were only guessed for another relay.
func (s Setup) take(p *plan.Plan, entry *catalog.Relay) (*plan.Plan, Setup) {
	blocks := relayBlocks(p)
	s.taken = slices.DeleteFunc(slices.Clone(s.taken), func(key string) bool {
		for i := range blocks {
			if i != s.block && key == dropperOf(i) && blocks[i].Use.State == document.Choose {
				return true
			}
		}
		return false
	})
	return s.lay(p, entry), s
}

// give puts a value, or the word none, in the place of a key.
func give[T any](at *document.Source, is *T, value T, none bool) {
	at.State, *is = document.Given, value
	if none {
		at.State = document.None
	}
}

// relayBlocks are the relays of a plan; one of which nothing is known where it
// leaves them out.
func relayBlocks(p *plan.Plan) []plan.Relay {
	if len(p.Relays.Items) > 0 {
		return p.Relays.Items
	}
	r := plan.Relay{}
	new(document.Document).Lay(&r, "relay")
	return []plan.Relay{r}
}
