package sheet

import (
	"fmt"
	"strings"

	"mutewright/render/scene"
	"mutewright/render/wiring"
)

const wiresShare = 123.0 / 190 // of the width, for the wire table; the jack has the rest but apart
const apart = 3.0

// front composes sheet 1: hazard, wiring, wires beside the jack, title. What does
// not fit gives way in the order of the fallbacks: rows and title block first,
// then the diagram's own steps, then the wire table and the jack, which go to a
// sheet of their own. A diagram that has no room even then is several drawings,
// each on a sheet.
func (s *sheet) front() error {
	frame := s.paper.frame()
	if err := s.draw(); err != nil {
		return err
	}
	drawn := s.drawn[0]
	p := s.page("Wiring", "How the muting interface is wired, what is live, and how the jack is used.")
	y := frame.Y
	place := func(items []scene.Item, x float64) { p.Add(scene.Shift(items, frame.X+x, y)...) }
	h := s.hazard(frame.W)
	place(h.items, 0)
	y += h.height + gap
	place(drawn.Items, 0)
	y += drawn.Height + gap
	left := frame.Bottom() - y

	height := titleHigh + creedHigh
	if s.apart {
		note := s.elsewhere(frame.W)
		if note.height+gap+height > left {
			height = titleLeast + creedHigh
		}
		place(note.items, 0)
	} else {
		var wires, jack block
		wires, jack, height = s.loosest(frame.W, left)
		place(wires.items, 0)
		place(jack.items, wires.width+apart)
	}
	y = frame.Bottom() - height
	t := s.titleBlock(frame.W, height, 1)
	place(t.items, 0)
	for i, b := range s.drawn[1:] {
		f := s.flow(drawingsPage, fmt.Sprintf("Wiring, drawing %d", i+2), "How the muting interface is wired, continued.")
		f.put(block{width: b.Width, height: b.Height, items: b.Items})
	}
	return nil
}

// loosest are the wire table and the jack, as high as one another, with the
// height of the title block that goes under them: the most comfortable rows that
// leave room for a full title block, then those for the least one.
func (s *sheet) loosest(width, left float64) (wires, jack block, titled float64) {
	for _, titled = range []float64{titleHigh + creedHigh, titleLeast + creedHigh} {
		for rows := range rowHeights {
			for _, tight := range []bool{false, true} {
				wires, jack = s.tables(width, rows, tight)
				if max(wires.height, jack.height)+gap+titled <= left+0.01 {
					wires, jack = s.level(wires, jack)
					return wires, jack, titled
				}
			}
		}
	}
	// The diagram was drawn so that the last of these fits.
	wires, jack = s.level(wires, jack)
	return wires, jack, titled
}

// draw lays the diagram out for the height that the tightest of the other blocks
// leave, once for all rounds. Where it then fits at no level, the wire table and
// the jack have to go elsewhere; where it still does not, it becomes several
// drawings, and they may come back.
func (s *sheet) draw() error {
	if s.drawn != nil {
		return nil
	}
	frame, w := s.paper.frame(), s.design.Fitting.Wiring
	fixed := frame.H - hazardHigh - 2*gap - titleLeast - creedHigh
	wires, jack := s.tables(frame.W, len(rowHeights)-1, true)
	beside := fixed - gap - max(wires.height, jack.height)
	alone := fixed - gap - s.elsewhere(frame.W).height

	for _, s.apart = range []bool{false, true} {
		high := beside
		if s.apart {
			high = alone
		}
		if drawn, err := wiring.Layout(w, frame.W, wiring.Options{Height: high}); err == nil {
			s.drawn = []wiring.Block{drawn}
			return nil
		}
	}
	further := s.room()
	var err error
	if s.drawn, err = wiring.Series(w, frame.W, beside, further, true); err == nil {
		s.apart = false
		return nil
	}
	if s.drawn, err = wiring.Series(w, frame.W, alone, further, false); err != nil {
		return fmt.Errorf("sheet 1: %w", err)
	}
	return nil
}

// tables are the wire table and the jack at one of the row heights.
func (s *sheet) tables(width float64, rows int, tight bool) (wires, jack block) {
	share := width * wiresShare
	f := &s.design.Fitting
	wires = wireTable(f.Wires, share, rowHeights[rows])
	jack = jackBlock(&f.Wiring.Drive.Jack, strings.Join(f.Relays, ", "), width-share-apart, tight)
	return wires, jack
}

// level makes the wire table and the jack beside it equally high and outlines
// them; what is free at the table's foot tells how the pulldowns are fixed.
func (s *sheet) level(wires, jack block) (block, block) {
	if refs := s.pulldowns(); len(refs) > 0 && jack.height-wires.height >= pitch-0.2 {
		each := ""
		if len(refs) > 1 {
			each = "each "
		}
		text := listed(refs) + ": " + each + "by its own leads from lug to chassis lug, before anything is cut."
		wires.words(at(inset, wires.height+pitch-1.4), scene.Start, italic, fitted(italic, text, wires.width-2*inset))
	}
	high := max(wires.height, jack.height)
	wires.height, jack.height = high, high
	wires.outline(medium)
	jack.outline(medium)
	return wires, jack
}

// elsewhere stands on sheet 1 in place of the wire table and the jack.
func (s *sheet) elsewhere(width float64) block {
	j := &s.design.Fitting.Wiring.Drive.Jack
	b := block{width: width, height: barHigh + pitch + 1.6}
	b.bar(0, "WIRES AND JACK: SHEET "+s.on(wiresPage), joined(j.Ref+",", j.Words))
	b.words(at(inset, barHigh+pitch+0.1), scene.Start, strong, fitted(strong, j.Title, width/2))
	b.words(at(width-inset, barHigh+pitch), scene.End, regular, "lengths, colours and the contacts in every state stand there")
	b.outline(medium)
	return b
}

// flowAfterFront starts the work: on a new page, or under the wire table and the
// jack where sheet 1 has no room for them.
func (s *sheet) flowAfterFront() *flow {
	if !s.apart {
		return s.flow(workPage, "The work in order", "What to do and to measure, step by step, with what each meter must show.")
	}
	f := s.flow(wiresPage, "Wires and jack; the work in order", "The wire table and the jack; what to do and to measure, step by step.")
	s.starts[workPage] = s.starts[wiresPage]
	wires, jack := s.tables(f.width(), 0, false)
	wires, jack = s.level(wires, jack)
	f.page.Add(scene.Shift(jack.items, f.s.paper.frame().X+wires.width+apart, f.y)...)
	f.put(wires)
	return f
}
