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
	Stubs         // the same, with stubs of the mechanical link at both its ends
)

func (l Level) String() string {
	return [...]string{"full", "without cathode volts of the gain stages", "compact", "in bands", "in bands, the link in stubs"}[l]
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
	for l := o.Least; l <= Stubs; l++ {
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

// A course is a way to lay the drive: in one lane or folded, the tip at the end
// of its lane or raised over it.
type course struct {
	folded, raised bool
	loose          int // further coils, from the last, that go on the next drawing
}

// courses are tried in this order.
var courses = []course{{}, {raised: true}, {folded: true}, {folded: true, raised: true}}

// possible reports whether a drive may take the course. Further coils hang under
// the lower band of a folded drive, unless the key line feeds them.
func (c course) possible(d *fitting.Drive) bool {
	if c.raised && !canRaise(d) {
		return false
	}
	if c.folded {
		return canFold(d)
	}
	return len(d.More) == 0 || !canFold(d)
}

// draw draws the diagram at a level with the first course of its drive that
// works. The error is the last course's.
func draw(w *fitting.Wiring, width float64, l Level) (Block, error) {
	var last error
	for _, c := range courses {
		if !c.possible(&w.Drive) {
			continue
		}
		b, err := drawCourse(w, width, l, c)
		if err == nil {
			return b, nil
		}
		last = err
	}
	return Block{}, last
}

func drawCourse(w *fitting.Wiring, width float64, l Level, c course) (Block, error) {
	d := &drawing{nets: netsOf(w), drawn: map[*fitting.Wire]int{}}
	a, err := d.drive(&w.Drive, width, c)
	if err != nil {
		return Block{}, err
	}
	end, moved, err := d.contacts(w, a, l)
	if err != nil {
		return Block{}, err
	}
	block := Block{Width: width, Height: d.legend(w, width, end), Level: l, Moved: moved}
	d.frame(w, "WIRING", width, block.Height)
	block.Items = d.items
	if err := errors.Join(block.audit(), d.count(w)); err != nil {
		return Block{}, err
	}
	return block, nil
}

// drive draws band A and returns the part of it that has the coils.
func (d *drawing) drive(dr *fitting.Drive, width float64, c course) (*driveBand, error) {
	x0, x1 := 1.0, width-1
	if !c.folded {
		a := newDriveBand(d, dr, x0, x1, headHigh, whole, c.raised)
		a.loose = c.loose
		if err := a.fit(); err != nil {
			return nil, err
		}
		return a, a.draw()
	}
	made, fed, ok := fold(dr)
	if !ok {
		return nil, errors.New("the drive has nowhere to fold")
	}
	up := newDriveBand(d, &made, x0, x1, headHigh, supply, false)
	if err := up.fit(); err != nil {
		return nil, err
	}
	if err := up.draw(); err != nil {
		return nil, err
	}
	down := newDriveBand(d, &fed, x0, x1, up.end, load, c.raised)
	down.loose = c.loose
	if err := down.fit(); err != nil {
		return nil, err
	}
	down.supplyLine(up)
	return down, down.draw()
}

// audit refuses a drawing with a clash.
func (b *Block) audit() error {
	page := scene.Page{Name: "wiring", Width: b.Width, Height: b.Height, Frame: scene.Rect{W: b.Width, H: b.Height}, Items: b.Items}
	if err := page.Check(); err != nil {
		return err
	}
	var faults []error
	for _, c := range page.Audit() {
		faults = append(faults, errors.New(c.String()))
	}
	return errors.Join(faults...)
}

// count refuses a diagram in which something could not be drawn as meant, or in
// which a wire is not drawn once.
func (d *drawing) count(w *fitting.Wiring) error {
	if d.fault != nil {
		return d.fault
	}
	var faults []error
	for _, wire := range w.Order() {
		if n := d.drawn[wire]; n != 1 {
			faults = append(faults, fmt.Errorf("wire %s from %s to %s is drawn %d times", number(wire), wire.From.Words, wire.To.Words, n))
		}
	}
	return errors.Join(faults...)
}

// frame draws the outline and the head bar, with the state the contacts are
// drawn in.
func (d *drawing) frame(w *fitting.Wiring, head string, width, height float64) {
	const owner = "head"
	d.add(scene.Rect{W: width, H: headHigh}, scene.Pen{}, scene.Black, scene.Tag{Class: scene.Ground, Owner: owner})
	d.ink(at(2, 3.75), scene.Start, scene.Bold, plain, head, owner, scene.White)
	if w.Released != "" {
		d.ink(at(width-2, 3.7), scene.End, scene.Regular, small, "contacts shown released: "+w.Released, owner, scene.White)
	}
	d.add(scene.Rect{W: width, H: height}, medium, scene.None, scene.Tag{Class: scene.Rule, Owner: "outline"})
}
