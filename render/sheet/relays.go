package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"mutewright/design"
	"mutewright/design/quantity"
	"mutewright/render/scene"
)

// enough is a margin under which stands a caution.
const enough = 1.1

// marginHeads are short names for the heads of a table.
var marginHeads = map[string]string{
	"operate": "pulls in", "ceiling": "permitted", "release": "lets go", "winding": "winding",
	"line_volts": "line volts", "line_amps": "line amps", "open_contact": "open", "closed_contact": "closed",
	"insulation": "insulation", "guard": "guard", "key_time": "in time", "tail_time": "holds",
}

// mostRanked is how many relays a sheet lists: who looks for one needs no more.
const mostRanked = 16

// rankings are the relays that were ranked for this plan, with their margins as
// bars, and what bars the others.
func (s *sheet) rankings() {
	if len(s.ranked) == 0 {
		return
	}
	f := s.flow(relaysPage, "Relays", "The relays of the catalogue on this plan, ranked, with their margins as bars on one scale.")
	for _, r := range s.ranked {
		f.ranking(r)
	}
}

// relaysHead is the head of relays that are ranked or stand side by side; a plan
// with one relay does not number it.
func relaysHead(how string, r *design.Ranking) string {
	head := "RELAYS, " + how
	if _, number, ok := strings.Cut(r.At, "."); ok {
		head += " FOR RELAY " + number
	}
	return head
}

func (f *flow) ranking(r *design.Ranking) {
	n := r.Serving()
	f.head(relaysHead("RANKED", r), fmt.Sprintf("%d of %d serve, worst case", n, len(r.Rows)), 20)
	if len(r.Serves) > 0 {
		f.say(regular, "It serves "+listed(r.Serves)+".")
	}
	if n > 0 {
		shown, wide := decisive(r.Rows[:n])
		f.say(italic, fmt.Sprintf("Every margin is a ratio: 1, the mark in each field, is the limit; a field ends at %g. Black: under 1; dark: under %g. They stand by their smallest margin.", design.MarginScale, enough))
		if slices.ContainsFunc(r.Rows[:n], func(row design.Row) bool { return !row.Fit() }) {
			f.say(italic, "Last stand those whose contacts are not fit for the dry circuit that they switch.")
		}
		if len(wide) > 0 {
			f.say(italic, "Over "+strconv.Itoa(int(widely))+" for all that serve, and not shown: "+listed(wide)+".")
		}
		columns := []column{{head: "relay", wide: wideDrive(r.Rows[:n]), fixed: true, style: bold}}
		for _, key := range shown {
			columns = append(columns, column{head: marginHeads[key], wide: 1, style: regular})
		}
		columns = append(columns, column{head: "load", wide: 12, fixed: true, right: true, style: regular}, column{head: "dry", wide: 7, fixed: true, style: regular})
		var rows [][]cell
		for _, row := range r.Rows[:min(n, mostRanked)] {
			cells := []cell{{words: []styled{{bold, row.Relay}, {regular, shortDrive(row.Setup)}}}}
			for _, key := range shown {
				cells = append(cells, marginCell(row, key))
			}
			dry := "no"
			if row.Dry {
				dry = "yes"
			}
			rows = append(rows, append(cells, text(loadOf(row)), text(dry)))
		}
		f.rows(columns, rows)
		if n > mostRanked {
			f.say(regular, fmt.Sprintf("%d more serve: %s.", n-mostRanked, listed(namesOf(r.Rows[mostRanked:n]))))
		}
	}
	f.barred(r)
}

// barred says what bars the other relays.
func (f *flow) barred(r *design.Ranking) {
	head := "WHAT BARS THE OTHERS"
	if r.Serving() == 0 {
		head = "WHAT BARS THEM"
	}
	var rows [][]cell
	for _, h := range r.Hurdles() {
		var names []string
		for _, row := range r.Rows[r.Serving():] {
			if !row.Latching && len(row.Findings) > 0 && row.Findings[0].ID == h.ID {
				names = append(names, row.Relay)
			}
		}
		rows = append(rows, []cell{text(strconv.Itoa(h.Relays)), {words: []styled{{bold, h.Title}, {regular, h.Do}}}, text(strings.Join(names, ", "))})
	}
	var latching []string
	for _, row := range r.Rows {
		if row.Latching {
			latching = append(latching, row.Relay)
		}
	}
	if len(latching) > 0 {
		rows = append(rows, []cell{text(strconv.Itoa(len(latching))), {words: []styled{{bold, "Relay keeps its place without current"}}}, text(strings.Join(latching, ", "))})
	}
	columns := []column{{wide: 7, fixed: true, right: true, style: bold}, {wide: 4, style: regular}, {wide: 5, style: regular}}
	f.head(head, "the first reason of each", f.start(columns, rows))
	f.rows(columns, rows)
}

func namesOf(rows []design.Row) []string {
	var names []string
	for _, r := range rows {
		names = append(names, r.Relay)
	}
	return names
}

// widely is a margin over which nobody compares.
const widely = 3.0

// decisive are the margins worth comparing, and the words of those that are wide
// for every row.
func decisive(rows []design.Row) (shown, wide []string) {
	for _, m := range design.MarginKinds(rows) {
		narrow := slices.ContainsFunc(rows, func(r design.Row) bool {
			v, ok := ratioOf(r, m.Key)
			return ok && v <= widely
		})
		if narrow {
			shown = append(shown, m.Key)
		} else {
			wide = append(wide, marginHeads[m.Key])
		}
	}
	return shown, wide
}

func ratioOf(r design.Row, key string) (float64, bool) {
	for _, m := range r.Margins {
		if m.Key == key {
			return m.Ratio, true
		}
	}
	return 0, false
}

// written is a margin as it is printed.
func written(ratio float64) string {
	if ratio > 99 {
		return "over 99"
	}
	return strconv.FormatFloat(ratio, 'f', 2, 64)
}

func loadOf(r design.Row) string {
	if q, ok := r.Quantities.Get("drive.winding.load"); ok {
		return fmt.Sprintf("%.0f\u00a0%%", 100*q.High)
	}
	if q, ok := r.Quantities.Get("drive.winding.current"); ok {
		return quantity.Format(q.High, quantity.Current)
	}
	return "–"
}

// shortDrive is a drive in few words: "doubler, 220 µF, 300 Ω".
func shortDrive(s design.Setup) string {
	words := []string{s.Rectifier}
	if s.Rectifier == "none" {
		words = nil
	}
	if s.Reservoir > 0 {
		words = append(words, quantity.Format(s.Reservoir, quantity.Capacitance))
	}
	if s.Dropper() > 0 {
		words = append(words, quantity.Format(s.Dropper(), quantity.Resistance))
	}
	if s.Buffer != "none" {
		words = append(words, s.Buffer)
	}
	return strings.Join(words, ", ")
}

// wideDrive is the width of the column in which the drives of relays stand, mm: a
// buffer is one word more.
func wideDrive(rows []design.Row) float64 {
	if slices.ContainsFunc(rows, func(r design.Row) bool { return r.Setup.Buffer != "none" }) {
		return 41
	}
	return 33
}

const barThick = 1.8

// marginCell is a margin as a number over its bar.
func marginCell(r design.Row, key string) cell {
	ratio, ok := ratioOf(r, key)
	if !ok {
		return text("–")
	}
	return cell{words: []styled{{regular, written(ratio)}}, high: 7.0, draw: func(b *block, x, y, width float64) {
		b.margin(x, y+4.2, width, ratio)
	}}
}

// margin draws a bar with the mark of the limit, its upper left corner at x, y.
func (b *block) margin(x, y, width, ratio float64) {
	ink := scene.Grey
	switch {
	case ratio < 1:
		ink = scene.Black
	case ratio < enough:
		ink = scene.Dark
	}
	long := width * min(ratio, design.MarginScale) / design.MarginScale
	look := scene.Tag{}
	if ratio > design.MarginScale { // an arrow at its end
		const tip = barThick * 0.7
		b.add(scene.Polygon(at(x, y), at(x+long-tip, y), at(x+long, y+barThick/2), at(x+long-tip, y+barThick), at(x, y+barThick)), scene.Pen{Ink: scene.Black, Width: 0.12}, ink, look)
	} else {
		b.add(scene.Rect{X: x, Y: y, W: long, H: barThick}, scene.Pen{Ink: scene.Black, Width: 0.12}, ink, look)
	}
	limit := x + width/design.MarginScale
	b.add(scene.Polyline(at(limit, y-0.6), at(limit, y+barThick+0.6)), thin, scene.None, look)
}

// SideBySide is a picture of relays beside each other: every margin with a bar for
// each of them, on one scale.
func SideBySide(list []*design.Ranking, paper Paper) scene.Page {
	const value, line = 16.0, 4.0
	names := 42.0 // at least; as wide as the longest name
	for _, r := range list {
		for _, row := range r.Rows {
			names = max(names, inset+regular.width(row.Relay)+inset)
		}
	}
	width := paper.frame().W
	p := scene.Page{Name: "Relays side by side", About: "Margins of the relays that were compared, as bars on one scale.", Width: paper.Width}
	y := margin
	put := func(b block) {
		p.Add(scene.Shift(b.items, margin, y)...)
		y += b.height
	}
	paragraph := func(st style, words string) {
		for _, l := range wrap(st, words, width-2*inset) {
			b := block{width: width, height: st.size * 1.28}
			b.words(at(inset, st.size), scene.Start, st, l)
			put(b)
		}
	}
	for _, r := range list {
		head := block{width: width, height: barHigh + 1}
		head.bar(0, relaysHead("SIDE BY SIDE", r), "worst case; the mark is the limit, 1")
		put(head)
		paragraph(regular, r.Title+", plan "+fingerprint(r.Fingerprint))
		for _, row := range r.Rows {
			paragraph(regular, row.Relay+": "+row.Verdict.String()+"; "+shortDrive(row.Setup))
		}
		y += gap
		for _, m := range design.MarginKinds(r.Rows) {
			paragraph(bold, m.Words)
			for _, row := range r.Rows {
				ratio, ok := ratioOf(row, m.Key)
				if !ok {
					continue
				}
				b := block{width: width, height: line}
				b.words(at(inset, 3), scene.Start, regular, row.Relay)
				b.margin(names, 1.2, width-names-value-inset, ratio)
				b.words(at(width-inset, 3), scene.End, regular, written(ratio))
				put(b)
			}
			y += 1
		}
		y += gap
	}
	paragraph(italic, fmt.Sprintf("A bar ends at %g times the limit; black: under 1; dark: under %g.", design.MarginScale, enough))
	paragraph(regular, creed)
	p.Height = y + margin
	p.Frame = scene.Rect{X: margin, Y: margin, W: width, H: p.Height - 2*margin}
	p.Items = printable(p.Items)
	return p
}
