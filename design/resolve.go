package design

import (
	"fmt"

	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/plan"
	"mutewright/design/quantity"
)

// resolve takes the top row of the ranking where a plan leaves a relay or its
// rectifier to the program: choose. It returns the plan with everything chosen
// in it, and says what and why.
func resolve(p *plan.Plan, cat *catalog.Catalog) (*plan.Plan, []Chosen, error) {
	if p.SeriesHeaters() {
		return p, nil, nil
	}
	var list []Chosen
	for block := range relayBlocks(p) {
		blocks := relayBlocks(p)
		own := &blocks[block]
		free := own.Use.State == document.Choose
		if !free && !(block == 0 && own.Rectifier.State == document.Choose) {
			continue
		}
		relays := cat.Relays()
		if !free {
			relays = []*catalog.Relay{theirs(own, cat)}
		}
		b := newBench(p, cat, block, openKeys(blocks, block, false))
		r, err := b.serving(relays)
		if err == nil && len(r.Rows) == 0 { // then what comes nearest
			r, err = b.rank(relays, func() {})
		}
		if err != nil {
			return nil, nil, fmt.Errorf("choice of the relay: %w", err)
		}
		top := r.Rows[0]
		p, top.Setup = top.Setup.take(p, find(relays, top.Relay))
		list = append(list, r.because(top, len(relays), free)...)
	}
	return p, list, nil
}

// theirs is the relay that a block names, writes out or, where it says nothing,
// would usually have.
func theirs(block *plan.Relay, cat *catalog.Catalog) *catalog.Relay {
	if block.Use.Given() {
		entry := block.Use.Is
		if entry.Name == "" {
			entry.Name = block.Use.Named
		}
		return &entry
	}
	return cat.Relay(usualRelay)
}

// usualRelay is taken where a plan names none.
const usualRelay = "signal-dpdt-12v"

func find(relays []*catalog.Relay, name string) *catalog.Relay {
	for _, r := range relays {
		if nameOf(r) == name {
			return r
		}
	}
	return relays[0]
}

// barring says what stands in the way of most relays.
func (r *Ranking) barring() string {
	h := r.Hurdles()
	if len(h) == 0 {
		return "all that are left latch"
	}
	return fmt.Sprintf("in the way of most: %s (%s)", h[0].Title, h[0].ID)
}

// because says what was taken of the first row, and why it was of so many relays.
func (r *Ranking) because(row Row, of int, free bool) []Chosen {
	least, _ := row.Least()
	fares := fmt.Sprintf("smallest margin %.2f (%s)", least.Ratio, least.Words)
	var list []Chosen
	for _, s := range row.Setup.settings() {
		c := Chosen{At: row.Setup.at[s.block] + "." + s.key, Value: s.value, Plain: s.value}
		switch s.key {
		case keyUse:
			if !free {
				continue
			}
			switch n := r.Serving(); {
			case n == 0:
				c.Why = fmt.Sprintf("none of %d serves; this one comes nearest: %s; %s", of, fares, r.barring())
			case n == 1:
				c.Why = fmt.Sprintf("the only one of %d that serves: %s", of, fares)
			default:
				c.Why = fmt.Sprintf("first of the %d of %d that serve: %s; the next is %s", n, of, fares, r.Rows[1].Relay)
			}
		case keyRectifier:
			c.Why = "gives this relay the best of what its supply allows: " + fares
		case keyReservoir:
			c.Why = "the smallest that leaves little ripple and nearly the best margins"
		case keyBuffer:
			c.Why = "goes with the key line"
			if s.value == "none" {
				c.Why = "the key line switches the coil itself"
			}
		case keyFuse:
			c.Why = "at least twice the current in its lead, with a cold resistance that the coil does not feel"
		case keyDropper:
			o, _ := row.Quantities.Get(driveStem(s.block) + ".coil.operate_margin")
			m, _ := row.Quantities.Get(driveStem(s.block) + ".coil.ceiling_margin")
			c.Why = fmt.Sprintf("worst case: operate margin %.2f, ceiling margin %.2f", o.Low, m.Low)
		}
		c.Value = shown(s)
		list = append(list, c)
	}
	return list
}

// shown is a setting's value as people read it: "470 µF".
func shown(s setting) string {
	u, ok := map[string]quantity.Unit{
		keyReservoir: quantity.Capacitance, keyFuse: quantity.Current, keyDropper: quantity.Resistance,
	}[s.key]
	if !ok {
		return s.value
	}
	v, err := quantity.ParseIn(s.value, u)
	if err != nil { // none
		return s.value
	}
	return quantity.Format(v, u)
}
