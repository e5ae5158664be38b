package wiring

import (
	"fmt"
	"slices"

	"mutewright/design/fitting"
)

// A row is a lane of boxes and elements in turn. The boxes keep their width; the
// elements between them grow: each to its least length, further where words
// would meet, and all by an equal share of what is then left.
type row struct {
	items  []fitting.Item
	width  []float64 // of each item
	labels []label
	apart  []apart
	mid    []float64 // centre of each item, once fitted
}

// rowOf measures items without their words.
func rowOf(items []fitting.Item) row {
	r := row{items: items}
	for _, it := range items {
		r.width = append(r.width, least(it))
	}
	return r
}

// least is the least length of an item in a row.
func least(it fitting.Item) float64 {
	switch {
	case it.Joint != nil:
		w, _ := boxSize(it.Joint)
		return w
	case it.Wire != nil:
		return wireLength(it.Wire)
	default:
		return leastPart(it.Part)
	}
}

// A label is room around an item that others' labels may not enter. Its x is
// from the item's centre, its y from anywhere, the same for all labels of the
// row. An item one past the last stands still on the right: its x is on the paper.
type label struct {
	item           int
	x0, x1, y0, y1 float64
}

// apart keeps the centres of two items a least distance from one another.
type apart struct {
	i, j int
	by   float64
}

func (r *row) element(i int) bool { return r.items[i].Joint == nil }

func (r *row) place(left float64) float64 {
	r.mid = make([]float64, len(r.items))
	x := left
	for i, w := range r.width {
		r.mid[i] = x + w/2
		x += w
	}
	return x
}

// stretch lengthens the elements from item i to item j by more altogether. It
// reports whether there was one.
func (r *row) stretch(i, j int, more float64) bool {
	var between []int
	for k := max(i, 0); k <= min(j, len(r.items)-1); k++ {
		if r.element(k) {
			between = append(between, k)
		}
	}
	for _, k := range between {
		r.width[k] += more / float64(len(between))
	}
	return len(between) > 0
}

// fit places the row between two edges. What stands still on the right may pull
// the row's right end in.
func (r *row) fit(left, right float64) error {
	// Every round lengthens something or ends; lengths only grow, and the row is
	// given up once it is too long.
	for range 400 {
		end := r.place(left)
		if end > right+0.01 {
			return fmt.Errorf("the row from %s is %.1f mm too long", r.name(), end-right)
		}
		if r.repair(left) {
			continue
		}
		short := slices.Clone(r.width)
		for range 20 {
			r.share(right - end)
			r.place(left)
			over := r.over()
			if over < 0.01 {
				return nil
			}
			copy(r.width, short)
			if right -= over; end > right+0.01 {
				return fmt.Errorf("the row from %s meets what stands around the jack", r.name())
			}
		}
		break
	}
	return fmt.Errorf("the row from %s does not settle", r.name())
}

// share gives every element an equal share of the slack.
func (r *row) share(slack float64) {
	n := 0
	for i := range r.items {
		if r.element(i) {
			n++
		}
	}
	for i := range r.items {
		if r.element(i) {
			r.width[i] += slack / float64(n)
		}
	}
}

// over is how far labels reach into what stands still on the right.
func (r *row) over() float64 {
	most := 0.0
	for _, b := range r.labels {
		if b.item < len(r.items) {
			continue
		}
		for _, a := range r.labels {
			if a.item < len(r.items) && a.meets(b) {
				most = max(most, r.mid[a.item]+a.x1+clear-b.x0)
			}
		}
	}
	return most
}

// meets reports whether two labels stand at the same height.
func (a label) meets(b label) bool { return a.y1 > b.y0+0.05 && b.y1 > a.y0+0.05 }

func (r *row) repair(left float64) bool {
	moved := false
	for _, a := range r.apart {
		if short := a.by - (r.mid[a.j] - r.mid[a.i]); short > 0.01 && r.stretch(a.i, a.j, short) {
			r.place(left)
			moved = true
		}
	}
	for i, a := range r.labels {
		for _, b := range r.labels[i+1:] {
			a, b := a, b
			if b.item < a.item {
				a, b = b, a
			}
			if b.item == len(r.items) || a.item == b.item || !a.meets(b) {
				continue
			}
			short := r.mid[a.item] + a.x1 + clear - (r.mid[b.item] + b.x0)
			if short > 0.01 && r.stretch(a.item, b.item, short) {
				r.place(left)
				moved = true
			}
		}
	}
	return moved
}

// name is the first joint's, for errors.
func (r *row) name() string {
	for _, it := range r.items {
		if it.Joint != nil {
			return it.Joint.Words
		}
	}
	return "?"
}
