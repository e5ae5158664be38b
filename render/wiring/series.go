package wiring

import (
	"errors"
	"fmt"

	"mutewright/design/fitting"
)

// Series lays the diagram out as several drawings, for a sheet that has no room
// for it in one: the drive in the first, first mm high at most, with as many
// bands of contacts as fit under it; the others in drawings of at most further
// mm. Each relay's link is a stub at both its ends. It takes the level that
// needs the fewest drawings, the first of those that need as few. Where the coils
// are kept, none of them may leave the first drawing.
func Series(w fitting.Wiring, width, first, further float64, kept bool) ([]Block, error) {
	var best []Block
	var last error
	most := len(w.Drive.More)
	if kept {
		most = 0
	}
	for _, c := range courses {
		if !c.possible(&w.Drive) {
			continue
		}
		for c.loose = 0; c.loose <= most && best == nil; c.loose++ {
			for l := Full; l <= Bands; l++ {
				blocks, err := series(&w, width, first, further, l, c)
				switch {
				case err != nil:
					last = err
				case best == nil || len(blocks) < len(best):
					best = blocks
				}
			}
		}
	}
	if best == nil {
		return nil, fmt.Errorf("the wiring diagram does not fit on several sheets: %w", last)
	}
	return best, nil
}

func series(w *fitting.Wiring, width, first, further float64, l Level, c course) ([]Block, error) {
	drawn := map[*fitting.Wire]int{}
	d := &drawing{nets: netsOf(w), drawn: drawn}
	a, err := d.drive(&w.Drive, width, c)
	if err != nil {
		return nil, err
	}
	d.coilStubs(a)
	lo, hi := a.x0+2, a.x1-2
	bands, err := inBands(units(w, l), l, hi-lo)
	if err != nil {
		return nil, err
	}
	legend := (&drawing{}).legend(w, width, 0)
	var drawings []*drawing
	var ends []float64
	var moved [][]string
	add := func(d *drawing, end float64) {
		drawings, ends, moved = append(drawings, d), append(ends, end), append(moved, nil)
	}
	add(d, a.end)
	limit := first
	if a.end+legend > limit+0.01 {
		return nil, fmt.Errorf("the drive is %.1f mm high, %.1f mm at most", a.end+legend, limit)
	}
	more := w.Drive.More
	for i := range more[len(more)-c.loose:] {
		m := &more[len(more)-c.loose+i]
		n := len(drawings) - 1
		if n == 0 || ends[n]+looseHigh(m)+legend > limit+0.01 {
			limit = further
			add(&drawing{nets: d.nets, drawn: drawn}, headHigh+2)
			n++
		}
		ends[n] = drawings[n].looseRung(m, a.x0, a.x1, ends[n])
	}
	for _, us := range bands {
		n := len(drawings) - 1
		y := ends[n]
		if n > 0 || y > a.end {
			y += 2
		}
		if rowsOf(us, y, l).end+legend > limit+0.01 {
			limit, y = further, headHigh+5
			add(&drawing{nets: d.nets, drawn: drawn}, y)
			n++
		}
		r := rowsOf(us, y, l)
		if r.end+legend > limit+0.01 {
			return nil, fmt.Errorf("a band of contacts is %.1f mm high, %.1f mm at most", r.end+legend, limit)
		}
		put(cellsOf(us, l), lo, hi)
		moved[n] = append(moved[n], drawings[n].band(us, r, l)...)
		drawings[n].detached(us, r)
		ends[n] = r.end
	}
	for i := range w.Standby {
		n := len(drawings) - 1
		if ends[n]+standbyHigh+legend > limit+0.01 {
			limit = further
			add(&drawing{nets: d.nets, drawn: drawn}, headHigh+2)
			n++
		}
		ends[n] = drawings[n].standbys(w.Standby[i:i+1], ends[n], lo, hi)
	}
	var blocks []Block
	for i, d := range drawings {
		b := Block{Width: width, Height: d.legend(w, width, ends[i]), Level: l, Moved: moved[i]}
		head := "WIRING"
		if len(drawings) > 1 {
			head += fmt.Sprintf(", DRAWING %d OF %d", i+1, len(drawings))
		}
		if i+1 < len(drawings) {
			head += ": CONTINUED ON THE NEXT SHEET"
		}
		d.frame(w, head, width, b.Height)
		b.Items = d.items
		if err := errors.Join(d.fault, b.audit()); err != nil {
			return nil, err
		}
		blocks = append(blocks, b)
	}
	return blocks, d.count(w)
}
