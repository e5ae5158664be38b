// Package wiring draws a fitting as the wiring diagram of sheet 1: above, the
// drive from its source to the key line; below, what the contacts do, one column
// for every return and antenna; between them the mechanical link.
//
// Weight says what the job adds; a box is a solder point, a capsule a wire. Every
// place is computed from measured words: nothing is shrunk and nothing overlaps.
// Where a diagram does not fit, it falls back in steps, which Level names.
package wiring

import (
	"errors"
	"fmt"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// A Level is a step of giving way when the diagram does not fit; each includes
// those before it.
type Level uint8

// The levels.
const (
	Full    Level = iota
	NoFlags       // volts at the cathodes of gain stages go to sheet 2
	Compact       // stubs without tubes
	Bands         // compact; returns and antennas in bands under one another
)

func (l Level) String() string {
	return [...]string{"full", "without cathode volts of the gain stages", "compact", "in bands"}[l]
}

// Options bound the diagram.
type Options struct {
	Height float64 // most height of the block, mm; 0: any
	Least  Level   // do not try the levels before this one
}

// A Block is a finished part of a page, its top left corner at 0, 0. Move it with
// scene.Shift.
type Block struct {
	Width, Height float64
	Items         []scene.Item
	Level         Level
	// Moved names what a level left out and sheet 2 must show: "volts at the
	// cathode of sensitivity".
	Moved []string
}

const headHigh = 5.2

// Layout draws the wiring block, width mm wide, with the first level that fits the
// width and the height and passes the audit. The error of a diagram that fits at
// no level says what the first and the last ran into.
func Layout(w fitting.Wiring, width float64, o Options) (Block, error) {
	var first, last error
	for l := o.Least; l <= Bands; l++ {
		b, err := draw(&w, width, l)
		if err == nil && o.Height > 0 && b.Height > o.Height+0.01 {
			err = fmt.Errorf("%.1f mm high, %.1f mm at most", b.Height, o.Height)
		}
		if err == nil {
			return b, nil
		}
		if first == nil {
			first = err
		}
		last = err
	}
	return Block{}, fmt.Errorf("the wiring diagram fits at no level; at the first: %w; at the last: %w", first, last)
}

func draw(w *fitting.Wiring, width float64, l Level) (Block, error) {
	d := &drawing{nets: netsOf(w), drawn: map[*fitting.Wire]int{}}
	a := newDriveBand(d, &w.Drive, width, false)
	err := a.fit()
	if err != nil && canRaise(&w.Drive) {
		a = newDriveBand(d, &w.Drive, width, true)
		err = a.fit()
	}
	if err != nil {
		return Block{}, err
	}
	if err := a.draw(); err != nil {
		return Block{}, err
	}
	end, moved, err := d.contacts(w, a, l)
	if err != nil {
		return Block{}, err
	}
	block := Block{Width: width, Height: d.legend(w, width, end), Level: l, Moved: moved}
	d.frame(w, width, block.Height)
	block.Items = d.items
	if err := d.check(w, block); err != nil {
		return Block{}, err
	}
	return block, nil
}

// check refuses a diagram with a clash, or with a wire that is not drawn once.
func (d *drawing) check(w *fitting.Wiring, b Block) error {
	if d.fault != nil {
		return d.fault
	}
	var faults []error
	for _, wire := range w.Order() {
		if n := d.drawn[wire]; n != 1 {
			faults = append(faults, fmt.Errorf("wire %s from %s to %s is drawn %d times", number(wire), wire.From.Words, wire.To.Words, n))
		}
	}
	page := scene.Page{Name: "wiring", Width: b.Width, Height: b.Height, Frame: scene.Rect{W: b.Width, H: b.Height}, Items: b.Items}
	if err := page.Check(); err != nil {
		return err
	}
	for _, c := range page.Audit() {
		faults = append(faults, errors.New(c.String()))
	}
	return errors.Join(faults...)
}

// frame draws the outline and the head bar, with the state the contacts are
// drawn in.
func (d *drawing) frame(w *fitting.Wiring, width, height float64) {
	const owner = "head"
	d.add(scene.Rect{W: width, H: headHigh}, scene.Pen{}, scene.Black, scene.Tag{Class: scene.Ground, Owner: owner})
	d.ink(at(2, 3.75), scene.Start, scene.Bold, plain, "WIRING", owner, scene.White)
	if w.Released != "" {
		d.ink(at(width-2, 3.7), scene.End, scene.Regular, small, "contacts shown released: "+w.Released, owner, scene.White)
	}
	d.add(scene.Rect{W: width, H: height}, medium, scene.None, scene.Tag{Class: scene.Rule, Owner: "outline"})
}
