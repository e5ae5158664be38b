package sheet

import (
	"strings"

	"mutewright/render/scene"
)

// A flow fills pages from top to bottom. Every page has the hazard bar at its
// head and the title block at its foot; a section that goes on over the page
// repeats its heads.
type flow struct {
	s           *sheet
	name, about string
	page        *scene.Page
	y           float64
	section     string   // head of the section that is open
	table       []column // its columns, repeated after a break
	heads       bool
}

// flow starts a part of the document: on a page of its own, or under what the
// part before left of itself on an otherwise empty one.
func (s *sheet) flow(p part, name, about string) *flow {
	f := &flow{s: s, name: name, about: about}
	if before := s.last; before != nil && before.left() > 2.0/3*s.room() {
		f.page, f.y = before.page, before.y
		f.page.Name += "; " + lower(name)
		f.page.About += " " + about
	} else {
		f.open()
	}
	s.last = f
	s.starts[p] = len(s.pages)
	return f
}

const barBlock = 8.0 // hazard bar of a further sheet

func (f *flow) open() {
	frame := f.s.paper.frame()
	f.page = f.s.page(f.name, f.about)
	f.y = frame.Y
	b := block{width: frame.W, height: barBlock}
	b.hazardBar(f.s.design)
	f.put(b)
	t := f.s.titleBlock(frame.W, titleLeast+creedHigh, len(f.s.pages))
	f.page.Add(scene.Shift(t.items, frame.X, frame.Bottom()-t.height)...)
	f.y += gap
}

// put places a block at the current level.
func (f *flow) put(b block) {
	f.page.Add(scene.Shift(b.items, f.s.paper.frame().X, f.y)...)
	f.y += b.height
}

func (f *flow) width() float64 { return f.s.paper.frame().W }

// left is the height that is left on the page.
func (f *flow) left() float64 {
	return f.s.paper.frame().Bottom() - titleLeast - creedHigh - gap - f.y
}

// room is the height that a whole page has for the flow.
func (f *flow) room() float64 { return f.s.room() }

func (s *sheet) room() float64 {
	return s.paper.frame().H - barBlock - gap - titleLeast - creedHigh - gap
}

// need goes on to a further page unless so much height is left. The head of the
// open section and its table is repeated there.
func (f *flow) need(high float64) {
	if high <= f.left()+0.01 {
		return
	}
	f.open()
	if f.section != "" {
		f.bar(f.section, "continued")
		if f.table != nil {
			f.columnHeads()
		}
	}
}

func (f *flow) bar(head, remark string) {
	b := block{width: f.width(), height: barHigh + 1}
	b.bar(0, head, remark)
	f.put(b)
}

// head starts a section; so much of what follows stays with it.
func (f *flow) head(head, remark string, with float64) {
	f.section, f.table, f.heads = "", nil, false
	if top := f.s.paper.frame().Y + barBlock + gap; f.y > top+0.01 {
		f.y += gap
	}
	f.need(barHigh + 1 + with)
	f.section = head
	f.bar(head, remark)
}

// say prints a paragraph; a long one may break between its lines.
func (f *flow) say(st style, text string) { f.indented(st, text, inset) }

func (f *flow) indented(st style, text string, x float64) {
	f.table = nil
	line := st.size * 1.28
	lines := wrap(st, text, f.width()-x-inset)
	if len(lines) <= 4 {
		f.need(line * float64(len(lines)))
	}
	for _, l := range lines {
		f.need(line)
		b := block{width: f.width(), height: line}
		b.words(at(x, st.size), scene.Start, st, l)
		f.put(b)
	}
}

// task prints a step of the work behind a box to tick.
func (f *flow) task(text string) {
	f.table = nil
	lines := f.taskLines(text)
	f.need(taskPitch * float64(len(lines)))
	b := block{width: f.width(), height: taskPitch*float64(len(lines)) + 0.4}
	b.tickBox(inset, 3.1)
	for i, l := range lines {
		b.words(at(taskAt, 3.1+float64(i)*taskPitch), scene.Start, body, l)
	}
	f.put(b)
}

const taskAt, taskPitch = inset + 4.6, 4.0

func (f *flow) taskLines(text string) []string { return wrap(body, text, f.width()-taskAt-inset) }

// taskHigh is how high some steps of the work stand.
func (f *flow) taskHigh(texts ...string) float64 {
	high := 0.0
	for _, t := range texts {
		high += taskPitch*float64(len(f.taskLines(t))) + 0.4
	}
	return high
}

// bullet prints a sentence behind a dot.
func (f *flow) bullet(st style, text string) {
	f.table = nil
	x, line := inset+3.0, st.size*1.28
	lines := wrap(st, text, f.width()-x-inset)
	f.need(line * float64(len(lines)))
	b := block{width: f.width(), height: line * float64(len(lines))}
	b.words(at(inset, st.size), scene.Start, st, "•")
	for i, l := range lines {
		b.words(at(x, st.size+float64(i)*line), scene.Start, st, l)
	}
	f.put(b)
}

// titled prints the title of a step behind a box to tick.
func (f *flow) titled(text string) {
	f.table = nil
	f.need(4.2)
	b := block{width: f.width(), height: 4.2}
	b.tickBox(inset, 3.1)
	b.words(at(inset+4.6, 3.1), scene.Start, strong, fitted(strong, text, f.width()-2*inset-4.6))
	f.put(b)
}

// space leaves some height, unless the page has just begun.
func (f *flow) space(high float64) { f.y += high }

// A column is one column of a table: its head, its width in shares of what the
// fixed ones leave (or in mm when fixed), and how its words are set.
type column struct {
	head  string
	wide  float64
	fixed bool
	right bool
	style style
}

// A cell is what stands in one row under one column: words, or a drawing.
type cell struct {
	words []styled // lines are wrapped; an empty style is the column's
	draw  func(b *block, x, y, width float64)
	high  float64 // of the drawing
}

func text(words string) cell { return cell{words: []styled{{text: words}}} }

// blank is an empty cell with a line to write on.
func blank() cell {
	return cell{high: 5.6, draw: func(b *block, x, y, width float64) {
		b.rule(thin, at(x, y+4.0), at(x+width, y+4.0))
	}}
}

// widths are the left edges and widths of columns.
func (f *flow) widths(columns []column) (x, w []float64) {
	const between = 2.0
	fixed, shares := 0.0, 0.0
	for _, c := range columns {
		if c.fixed {
			fixed += c.wide
		} else {
			shares += c.wide
		}
	}
	left := f.width() - 2*inset - between*float64(len(columns)-1) - fixed
	at := inset
	for _, c := range columns {
		wide := c.wide
		if !c.fixed {
			wide = left * c.wide / shares
		}
		x, w = append(x, at), append(w, wide)
		at += wide + between
	}
	return x, w
}

func (f *flow) columnHeads() {
	if b, ok := f.headRow(f.table); ok {
		f.put(b)
	}
}

// headRow is the row of a table's heads; a table may have none.
func (f *flow) headRow(columns []column) (block, bool) {
	x, w := f.widths(columns)
	lines := 0
	for i, c := range columns {
		lines = max(lines, len(wrap(italic, c.head, w[i])))
	}
	if lines == 0 {
		return block{}, false
	}
	b := block{width: f.width(), height: 4.6 + float64(lines-1)*pitch}
	for i, c := range columns {
		head := wrap(italic, c.head, w[i])
		for k, l := range head {
			// The last lines stand side by side, on the rule.
			y := 3 + float64(lines-len(head)+k)*pitch
			if c.right {
				b.words(at(x[i]+w[i], y), scene.End, italic, l)
			} else {
				b.words(at(x[i], y), scene.Start, italic, l)
			}
		}
	}
	b.rule(thin, at(inset, b.height-0.4), at(f.width()-inset, b.height-0.4))
	return b, true
}

// tabled starts a section with a table.
func (f *flow) tabled(head, remark string, columns []column, rows [][]cell) {
	f.head(head, remark, f.kept(columns, rows))
	f.rows(columns, rows)
}

// kept is the height of what of a table stays with the head of its section: all
// of a short one, else its start.
func (f *flow) kept(columns []column, rows [][]cell) float64 {
	if whole := f.first(len(rows), columns, rows); whole <= f.room()/5 {
		return whole
	}
	return f.start(columns, rows)
}

// start is the height of a table's heads and its first two rows, which stay
// together.
func (f *flow) start(columns []column, rows [][]cell) float64 { return f.first(2, columns, rows) }

// first is the height of a table's heads and its first n rows.
func (f *flow) first(n int, columns []column, rows [][]cell) float64 {
	x, w := f.widths(columns)
	head, _ := f.headRow(columns)
	high := head.height
	for _, row := range rows[:min(n, len(rows))] {
		high += f.row(columns, row, x, w).height
	}
	return high
}

// rows prints a table; a row never breaks over a page, and neither the first nor
// the last stands alone on one.
func (f *flow) rows(columns []column, rows [][]cell) { f.noted(columns, rows, "") }

// noted prints a table with a note under it, which stays with its last rows.
func (f *flow) noted(columns []column, rows [][]cell, note string) {
	x, w := f.widths(columns)
	f.table = columns
	for n, row := range rows {
		b := f.row(columns, row, x, w)
		if n == 0 {
			if high := f.start(columns, rows); f.left() < high {
				f.need(high) // repeats the heads
			} else {
				f.columnHeads()
			}
		} else {
			high := b.height
			if n == len(rows)-2 {
				high += f.row(columns, rows[n+1], x, w).height
			}
			if n >= len(rows)-2 {
				high += f.measured(italic, note, inset)
			}
			f.need(high)
		}
		f.put(b)
	}
	f.table = nil
	if note != "" {
		f.say(italic, note)
	}
}

func (f *flow) row(columns []column, row []cell, x, w []float64) block {
	const top = 3.1
	b := block{width: f.width()}
	high := 0.0
	for i, c := range row {
		if c.draw != nil {
			c.draw(&b, x[i], 0, w[i])
			high = max(high, c.high)
		}
		y := top
		for _, words := range c.words {
			st := words.style
			if st == (style{}) {
				st = columns[i].style
			}
			for _, l := range wrap(st, words.text, w[i]) {
				if columns[i].right {
					b.words(at(x[i]+w[i], y), scene.End, st, l)
				} else {
					b.words(at(x[i], y), scene.Start, st, l)
				}
				y += pitch
			}
		}
		high = max(high, y-pitch+1.1)
	}
	b.height = high + 0.2
	b.rule(hair, at(inset, b.height-0.05), at(b.width-inset, b.height-0.05))
	return b
}

// measured is how high a paragraph of small words would stand.
func (f *flow) measured(st style, text string, x float64) float64 {
	return st.size * 1.28 * float64(len(wrap(st, text, f.width()-x-inset)))
}

func joined(words ...string) string { return strings.Join(nonempty(words...), " ") }
