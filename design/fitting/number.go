package fitting

import (
	"cmp"
	"slices"
)

// Order lists the added wires as a reader of the diagram meets them, which is
// also their order in the wire table: the drive from left to right, upper before
// lower; the jack's sleeve; then each return from left to right, its points
// before its chassis wire; antennas and audio points; straps of standby terminals.
func (w *Wiring) Order() []*Wire {
	var wires []*Wire
	add := func(more ...*Wire) {
		for _, m := range more {
			if m != nil && !slices.Contains(wires, m) {
				wires = append(wires, m)
			}
		}
	}
	add(w.Drive.order()...)
	add(w.Drive.Jack.Ground)
	for i := range w.Groups {
		g := &w.Groups[i]
		for _, s := range g.Stubs {
			add(s.Wire)
			for _, c := range s.Lifts {
				add(c.Wire)
			}
		}
		add(g.Contact.Ground)
	}
	for i := range w.Guards {
		add(w.Guards[i].Wires...)
		for _, c := range w.Guards[i].Contacts {
			add(c.Ground)
		}
	}
	for i := range w.Standby {
		add(w.Standby[i].Strap)
	}
	return wires
}

// Number gives the wires their numbers from 1 in Order, and returns them.
func (w *Wiring) Number() []*Wire {
	wires := w.Order()
	for i := range wires {
		wires[i].Number = i + 1
	}
	return wires
}

// order sorts the drive's wires by the column of their left end, counted along
// the lane, then from the top lane to the bottom one.
func (d *Drive) order() []*Wire {
	type spot struct {
		wire      *Wire
		col, tier int
	}
	const upper, lane, second, bus = 0, 1, 2, 3
	var spots []spot
	column := func(j *Joint) int {
		return max(0, slices.IndexFunc(d.Lane, func(it Item) bool { return it.Joint != nil && it.Joint == j }))
	}
	run := func(items []Item, col, tier int) {
		begin := -1 // the joint at which the wire begins, before what sits in its run
		for i, it := range items {
			switch {
			case it.Joint != nil && !it.Joint.Along:
				begin = i
			case it.Wire != nil:
				spots = append(spots, spot{it.Wire, col + begin + 1, tier})
			}
		}
	}
	run(d.Lane, 0, lane)
	run(d.Second, 0, second)
	run(d.Return, 0, bus)
	if b := d.Buffer; b != nil {
		at := slices.IndexFunc(d.Lane, func(it Item) bool { return it.Part != nil && it.Part == b.Transistor })
		run(b.Upper, max(0, at), upper)
		if len(b.CoilEnd) > 0 {
			run(b.CoilEnd, column(b.CoilEnd[0].Joint), second)
		}
	}
	for _, m := range d.More {
		run(m.Items, column(m.From)+1, upper)
	}
	slices.SortStableFunc(spots, func(a, b spot) int {
		return cmp.Or(cmp.Compare(a.col, b.col), cmp.Compare(a.tier, b.tier))
	})
	wires := make([]*Wire, len(spots))
	for i, s := range spots {
		wires[i] = s.wire
	}
	return wires
}
