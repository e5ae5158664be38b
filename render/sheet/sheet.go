// Package sheet composes the wiring sheet that is taped inside the cabinet: page
// 1 stands alone; the others give the work in its order, the parts, what was
// found and computed, and how to take it all out again.
//
// It only lays out: every number was computed before. Every place on a page is
// computed from measured words; blocks that do not fit go to a further page.
package sheet

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"
	"time"

	"mutewright/design"
	"mutewright/render/scene"
	"mutewright/render/wiring"
)

// A Paper is a size of paper, mm.
type Paper struct{ Width, Height float64 }

// The papers: A4 of ISO 216 and Letter of ANSI Y14.1.
var (
	A4     = Paper{210, 297}
	Letter = Paper{215.9, 279.4}
)

const margin = 10.0

func (p Paper) frame() scene.Rect {
	return scene.Rect{X: margin, Y: margin, W: p.Width - 2*margin, H: p.Height - 2*margin}
}

// ErrRefused says that no sheet may be drawn for this plan.
var ErrRefused = errors.New("no interface may be built on this set: its chassis is tied to the mains")

// A part of the document that others refer to by its sheet number.
type part uint8

const (
	drawingsPage part = iota
	wiresPage
	workPage
	partsPage
	findingsPage
	numbersPage
	plotsPage
	relaysPage
	removalPage
	parts
)

// A sheet is one document being composed.
type sheet struct {
	design *design.Design
	paper  Paper
	pages  []scene.Page
	starts [parts]int // the page on which a part starts, from 1; 0: not drawn
	known  [parts]int // the same, as the pages before it were told
	total  int        // number of pages, as the pages were told
	last   *flow      // the part before

	plots func() (design.Plots, error) // worked out beside the pages before them
	drawn []wiring.Block               // the diagram, laid out once; its first drawing is on sheet 1
	apart bool                         // the wire table has a sheet of its own

	ranked []*design.Ranking // the catalogue's relays on this plan, where they are wanted
}

// Compose lays the whole wiring sheet out, with a page for rankings of relays
// where there are any. The program is what made it, with its version. A refused
// design gives ErrRefused.
func Compose(d *design.Design, paper Paper, program string, ranked ...*design.Ranking) (scene.Document, error) {
	if d.Refused {
		return scene.Document{}, ErrRefused
	}
	plots := sync.OnceValues(d.Plots)
	go func() { _, _ = plots() }()
	// Pages name one another: they are composed again until what they were told
	// is what came about. Numbers hardly change a line's length, so two or three
	// rounds do.
	s := &sheet{design: d, paper: paper, plots: plots, total: 9, ranked: ranked}
	const rounds = 6
	for range rounds {
		told := s.known
		toldTotal := s.total
		s.pages, s.starts, s.last = nil, [parts]int{}, nil
		if err := s.compose(); err != nil {
			return scene.Document{}, err
		}
		if s.starts == told && len(s.pages) == toldTotal {
			break
		}
		s.known, s.total = s.starts, len(s.pages)
	}
	for i := range s.pages {
		s.pages[i].Items = printable(s.pages[i].Items)
	}
	return scene.Document{
		Title: d.Title, Subject: subject(d), Author: d.Head.DrawnBy, Program: program,
		Date: dated(d.Head.Date), Pages: s.pages,
	}, nil
}

func (s *sheet) compose() error {
	if err := s.front(); err != nil {
		return err
	}
	f := s.flowAfterFront()
	s.work(f)
	s.partsList()
	s.judgement()
	if err := s.pictures(); err != nil {
		return err
	}
	s.rankings()
	s.removal()
	return nil
}

func subject(d *design.Design) string {
	about := "Wiring sheet"
	if d.Head.Set != "" {
		about += " for " + d.Head.Set
	}
	return about + ", plan " + fingerprint(d.Fingerprint) + ", verdict " + d.Verdict.String()
}

// dated reads the plan's date where it is one; the document is undated where it
// is not.
func dated(text string) time.Time {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return time.Time{}
	}
	return t
}

// page starts a page and returns it.
func (s *sheet) page(name, about string) *scene.Page {
	n := len(s.pages) + 1
	s.pages = append(s.pages, scene.Page{
		Name: fmt.Sprintf("%d %s", n, name), About: about,
		Width: s.paper.Width, Height: s.paper.Height, Frame: s.paper.frame(),
	})
	return &s.pages[n-1]
}

// on is the number of the sheet on which a part starts.
func (s *sheet) on(p part) string {
	if s.known[p] == 0 {
		return "2" // not told yet
	}
	return fmt.Sprint(s.known[p])
}

// Diagram is the wiring diagram on a page of its own, as long as it needs, with
// the hazard bar above it and the verdict under it.
func Diagram(d *design.Design, paper Paper) (scene.Page, error) {
	if d.Refused {
		return scene.Page{}, ErrRefused
	}
	w, width := d.Fitting.Wiring, paper.frame().W
	drawn, err := wiring.Layout(w, width, wiring.Options{})
	if err != nil {
		return scene.Page{}, err
	}
	if drawn.Level >= wiring.Bands { // height is free here: bands need not be compact
		long, err := wiring.Series(w, width, math.Inf(1), math.Inf(1), true)
		if err == nil && len(long) == 1 && long[0].Level < drawn.Level {
			drawn = long[0]
		}
	}
	p := alone(d, paper, block{height: drawn.Height, items: drawn.Items})
	p.Name, p.About = "Wiring diagram", "What is added, what is taken off, and what is live."
	return p, nil
}

// ErrUntimed says that there is nothing to draw in time.
var ErrUntimed = errors.New("no relay of this plan moves in every case: there is no timing to draw")

// Timing is the timing diagram of one transmission on a page of its own.
func Timing(d *design.Design, paper Paper) (scene.Page, error) {
	if d.Refused {
		return scene.Page{}, ErrRefused
	}
	plots, err := d.Plots()
	if err != nil {
		return scene.Page{}, err
	}
	if plots.Timing == nil {
		return scene.Page{}, ErrUntimed
	}
	width := paper.frame().W
	s := strip(plots.Timing)
	items, err := s.Draw(width - 2*inset)
	if err != nil {
		return scene.Page{}, fmt.Errorf("timing diagram: %w", err)
	}
	b := block{width: width, height: s.Height() + pitch + 1}
	b.put(items, inset, 0)
	b.words(at(inset, s.Height()+pitch), scene.Start, italic, stripCaption)
	p := alone(d, paper, b)
	p.Name, p.About = "Timing diagram", "One transmission: key, RF, coil, contacts, lifted node and depth in time."
	return p, nil
}

// alone is a page for one drawing: the hazard bar, the drawing, then title,
// verdict and creed.
func alone(d *design.Design, paper Paper, drawing block) scene.Page {
	width := paper.frame().W
	head := block{width: width, height: barBlock}
	head.hazardBar(d)
	foot := block{width: width}
	y := 4.4
	line := strings.Join(nonempty(d.Title, d.Head.Date, "plan "+fingerprint(d.Fingerprint), "verdict "+d.Verdict.String()), ", ")
	for _, l := range wrap(bold, line, width) {
		foot.words(at(0, y), scene.Start, bold, l)
		y += pitch
	}
	for _, l := range wrap(regular, creed, width) {
		foot.words(at(0, y), scene.Start, regular, l)
		y += pitch
	}
	foot.height = y - pitch + 1
	p := scene.Page{Width: paper.Width}
	y = margin
	for _, b := range []block{head, drawing, foot} {
		p.Add(scene.Shift(b.items, margin, y)...)
		y += b.height + 1
	}
	p.Items = printable(p.Items)
	p.Height = y + margin
	p.Frame = scene.Rect{X: margin, Y: margin, W: width, H: p.Height - 2*margin}
	return p
}

func nonempty(words ...string) []string {
	var list []string
	for _, w := range words {
		if w != "" {
			list = append(list, w)
		}
	}
	return list
}

// printable puts a question mark in place of every character of a plan's words
// that the face lacks. It is no wider than the box that was measured for it.
func printable(items []scene.Item) []scene.Item {
	for i, it := range items {
		t, ok := it.Shape.(scene.Text)
		if !ok {
			continue
		}
		t.Words = t.Font.Printable(t.Words)
		items[i].Shape = t
	}
	return items
}
