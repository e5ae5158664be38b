package wiring

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// The sizes of type, mm. Nothing on a sheet is smaller than small.
var (
	small  = scene.Points(8)
	needle = scene.Points(8.5)
	plain  = scene.Points(9)
)

const (
	pitch    = 3.6 // between base lines of small type
	boxHigh  = 4.4 // solder point of one line
	capHigh  = 4.8 // capsule of a wire
	bare     = 2.5 // least bare wire on each side of its capsule
	cellHigh = 4.5 // height of a flag's cell
	clear    = 1.2 // least distance between words side by side
)

// The pens. Weight tells what the job adds from what is in the set.
var (
	inSet  = scene.Pen{Ink: scene.Black, Width: 0.25}
	added  = scene.Pen{Ink: scene.Black, Width: 0.70}
	medium = scene.Pen{Ink: scene.Black, Width: 0.35}
	taken  = scene.Pen{Ink: scene.Black, Width: 0.45, Dash: scene.Dash{On: 0.6, Off: 0.7}}
	moves  = scene.Pen{Ink: scene.Black, Width: 0.35, Dash: scene.Dash{On: 1.6, Off: 1.1}}
	cross  = scene.Pen{Ink: scene.Black, Width: 0.90, Round: true}
)

type point = scene.Point

func at(x, y float64) point { return point{X: x, Y: y} }

// drawing collects items, and which wires it has drawn.
type drawing struct {
	items []scene.Item
	nets  nets
	drawn map[*fitting.Wire]int
	fault error // the first place that could not be drawn as meant
}

func (d *drawing) fail(format string, args ...any) {
	if d.fault == nil {
		d.fault = fmt.Errorf(format, args...)
	}
}

func (d *drawing) add(s scene.Shape, pen scene.Pen, fill scene.Ink, tag scene.Tag) {
	d.items = append(d.items, scene.Item{Shape: s, Pen: pen, Fill: fill, Tag: tag})
}

// line draws a conductor of a net.
func (d *drawing) line(net string, pen scene.Pen, points ...point) {
	d.add(scene.Polyline(points...), pen, scene.None, scene.Tag{Class: scene.Conductor, Nets: []string{net}})
}

// lead draws a part's own lead: a conductor without a capsule.
func (d *drawing) lead(net string, points ...point) { d.line(net, added, points...) }

// mark draws what only looks.
func (d *drawing) mark(s scene.Shape, pen scene.Pen, fill scene.Ink) {
	d.add(s, pen, fill, scene.Tag{})
}

// keepOut reserves room for the inside of a symbol.
func (d *drawing) keepOut(r scene.Rect, owner string, nets ...string) {
	d.add(r, scene.Pen{}, scene.None, scene.Tag{Class: scene.Body, Owner: owner, Nets: nets})
}

// words prints a line of text.
func (d *drawing) words(p point, anchor scene.Anchor, font scene.Font, size float64, text, owner string) {
	d.ink(p, anchor, font, size, text, owner, scene.Black)
}

func (d *drawing) ink(p point, anchor scene.Anchor, font scene.Font, size float64, text, owner string, ink scene.Ink) {
	if text == "" {
		return
	}
	d.add(scene.Text{At: p, Words: font.Printable(text), Font: font, Size: size, Anchor: anchor}, scene.Pen{}, ink,
		scene.Tag{Class: scene.Word, Owner: owner})
}

// lines prints small text one pitch apart; the first is bold when named.
func (d *drawing) lines(p point, anchor scene.Anchor, named bool, text ...string) {
	for i, t := range text {
		font := scene.Regular
		if named && i == 0 {
			font = scene.Bold
		}
		d.words(at(p.X, p.Y+float64(i)*pitch), anchor, font, small, t, "")
	}
}

// boxWide is the width of a solder point's words, mm; words of more than three
// such lines stand cut on a single one.
const boxWide = 26

// boxLines are the lines inside a solder point's box.
func boxLines(j *fitting.Joint) []string {
	if scene.Bold.Width(j.Label, small) > 3*boxWide {
		return []string{shortened(j.Label, 2*boxWide)}
	}
	return wrap(j.Label, boxWide, 3)
}

// boxSize is the width and height of a solder point's box; a place along a wire
// has none.
func boxSize(j *fitting.Joint) (w, h float64) {
	if j.Along {
		return 0, 0
	}
	return linesSize(boxLines(j))
}

func linesSize(lines []string) (w, h float64) {
	for _, l := range lines {
		w = max(w, scene.Bold.Width(l, small))
	}
	return max(5, w+2.2), boxHigh + pitch*float64(len(lines)-1)
}

// box draws a solder point around c and returns its outline.
func (d *drawing) box(j *fitting.Joint, c point) scene.Rect {
	w, _ := boxSize(j)
	return d.wideBox(j, c, w)
}

// wideBox draws a solder point that several leads reach from one side.
func (d *drawing) wideBox(j *fitting.Joint, c point, w float64) scene.Rect {
	return d.linedBox(j, c, w, boxLines(j))
}

func (d *drawing) linedBox(j *fitting.Joint, c point, w float64, lines []string) scene.Rect {
	if j.Along {
		return scene.Rect{X: c.X, Y: c.Y}
	}
	_, h := linesSize(lines)
	pen := inSet
	if j.Added {
		pen = added
	}
	r := scene.Rect{X: c.X - w/2, Y: c.Y - h/2, W: w, H: h}
	d.add(r, pen, scene.White, scene.Tag{Class: scene.Body, Owner: j.ID, Nets: []string{d.nets.of(j)}})
	for i, l := range lines {
		// The base line stands 3.2 below the top edge: capitals centred in 4.4.
		d.words(at(c.X, r.Y+3.2+float64(i)*pitch), scene.Middle, scene.Bold, small, l, j.ID)
	}
	return r
}

func number(w *fitting.Wire) string {
	if w.Number == 0 {
		return "?"
	}
	return fmt.Sprint(w.Number)
}

func capsuleWidth(w *fitting.Wire) float64 {
	return 3.2 + scene.Bold.Width(number(w), plain) + 0.9 + scene.Regular.Width(w.Colour, small)
}

// wireLength is the least straight run of a wire that carries its capsule.
func wireLength(w *fitting.Wire) float64 { return capsuleWidth(w) + 2*bare }

// wire draws an added wire along points, its capsule in the middle of the
// longest stretch; a horizontal stretch with room for it counts double, for it
// reads better there.
func (d *drawing) wire(w *fitting.Wire, points ...point) { d.wireAt(w, 0.5, points...) }

// wireAt draws a wire with its capsule in the middle of the longest stretch, or,
// where that is upright, a share of the way along it.
func (d *drawing) wireAt(w *fitting.Wire, share float64, points ...point) {
	best, longest := 0, -1.0
	for i := 1; i < len(points); i++ {
		dx := math.Abs(points[i].X - points[i-1].X)
		l := dx + math.Abs(points[i].Y-points[i-1].Y)
		if dx >= wireLength(w)-0.02 {
			l *= 2
		}
		if l > longest {
			best, longest = i, l
		}
	}
	p, q := points[best-1], points[best]
	if p.Y == q.Y {
		share = 0.5
	}
	c := at(p.X+(q.X-p.X)*share, p.Y+(q.Y-p.Y)*share)
	cw := capsuleWidth(w)
	half, run := cw/2, math.Abs(q.X-p.X)
	if p.X == q.X {
		half, run = capHigh/2, math.Abs(q.Y-p.Y)
	}
	// A vertical wire between two lugs may be as short as the pitch of the
	// contact rows leaves it.
	if p.X != q.X && run < cw+2*bare-0.02 || run < capHigh+2*0.6-0.02 {
		d.fail("wire %s from %s to %s: no room for its capsule", number(w), w.From.Words, w.To.Words)
	}
	net := d.nets.of(w.From)
	// edge is where the wire meets the capsule on the side of an end.
	edge := func(end point) point {
		l := math.Hypot(end.X-c.X, end.Y-c.Y)
		if l == 0 {
			return c
		}
		return at(c.X+(end.X-c.X)*half/l, c.Y+(end.Y-c.Y)*half/l)
	}
	owner := "wire " + number(w)
	for _, piece := range [][]point{append(slices.Clone(points[:best]), edge(p)), append([]point{edge(q)}, points[best:]...)} {
		d.add(scene.Polyline(piece...), added, scene.None, scene.Tag{Class: scene.Conductor, Owner: owner, Nets: []string{net}})
	}
	d.add(scene.Rect{X: c.X - cw/2, Y: c.Y - capHigh/2, W: cw, H: capHigh, Radius: capHigh / 2}, medium, scene.White,
		scene.Tag{Class: scene.Body, Owner: owner, Nets: []string{net}})
	d.words(at(c.X-cw/2+1.6, c.Y+1.15), scene.Start, scene.Bold, plain, number(w), owner)
	d.words(at(c.X+cw/2-1.6, c.Y+1.05), scene.End, scene.Regular, small, w.Colour, owner)
	d.drawn[w]++
}

// dot marks where lines of one net meet.
func (d *drawing) dot(c point, pen scene.Pen) {
	r := 0.6
	if pen == added {
		r = 0.9
	}
	d.mark(scene.Circle{Centre: c, Radius: r}, scene.Pen{}, scene.Black)
}

// chassis draws the sign of the chassis hanging from p: a bar 6 wide with three
// strokes.
func (d *drawing) chassis(p point, pen scene.Pen, net, owner string) {
	if pen == inSet {
		pen = medium
	}
	d.mark(scene.Polyline(at(p.X-3, p.Y), at(p.X+3, p.Y)), pen, scene.None)
	for _, dx := range []float64{-2.2, 0.2, 2.6} {
		d.mark(scene.Polyline(at(p.X+dx, p.Y), at(p.X+dx-1.6, p.Y+2.6)), pen, scene.None)
	}
	d.keepOut(scene.Rect{X: p.X - 3.8, Y: p.Y, W: 6.8, H: 2.6}, owner, net)
}

// arrow draws a filled head whose tip is at p, pointing along (dx, dy), one of
// which is zero.
func (d *drawing) arrow(p point, dx, dy, long, half float64) {
	b := at(p.X-dx*long, p.Y-dy*long)
	d.mark(scene.Polygon(p, at(b.X-dy*half, b.Y-dx*half), at(b.X+dy*half, b.Y+dx*half)), scene.Pen{}, scene.Black)
}

// axis maps a symbol's own coordinates, u along its leads and v across, to the
// paper around c.
type axis struct {
	c        point
	vertical bool
	turned   bool // u runs left or up
}

func (a axis) at(u, v float64) point {
	if a.turned {
		u, v = -u, -v
	}
	if a.vertical {
		return at(a.c.X-v, a.c.Y+u)
	}
	return at(a.c.X+u, a.c.Y+v)
}

func (a axis) rect(u, v float64) scene.Rect {
	if a.vertical {
		u, v = v, u
	}
	return scene.Rect{X: a.c.X - u, Y: a.c.Y - v, W: 2 * u, H: 2 * v}
}

// half is the half length of a two-lead symbol.
func half(k fitting.PartKind) float64 {
	switch k {
	case fitting.Capacitor, fitting.Electrolytic:
		return 0.9
	case fitting.Diode, fitting.Zener:
		return 2.2
	default:
		return 5
	}
}

// symbol draws a part with two leads; its first joint lies where u is negative.
func (d *drawing) symbol(p *fitting.Part, a axis) {
	d.twoLead(p.Kind, p.Ref, d.nets.ofAll(p.Joints), added, a)
}

func (d *drawing) twoLead(k fitting.PartKind, owner string, nets []string, pen scene.Pen, a axis) {
	switch k {
	case fitting.Capacitor, fitting.Electrolytic:
		for _, u := range []float64{-0.9, 0.9} {
			d.mark(scene.Polyline(a.at(u, -3.5), a.at(u, 3.5)), pen, scene.None)
		}
		body := a.rect(0.9, 3.5)
		d.keepOut(body, owner, nets...)
		if k == fitting.Electrolytic {
			// The plus stands beside the first plate, on the left of a vertical
			// lead and above a horizontal one.
			m := a.at(-2.9, 0)
			if a.vertical {
				m.X = a.c.X - 2.6
			} else {
				m.Y = a.c.Y - 2.4
			}
			d.mark(scene.Polyline(at(m.X-0.9, m.Y), at(m.X+0.9, m.Y)), medium, scene.None)
			d.mark(scene.Polyline(at(m.X, m.Y-0.9), at(m.X, m.Y+0.9)), medium, scene.None)
			d.keepOut(scene.Rect{X: m.X - 1, Y: m.Y - 1, W: 2, H: 2}, owner)
		}
	case fitting.Diode, fitting.Zener:
		d.mark(scene.Polygon(a.at(-2.2, -2.5), a.at(-2.2, 2.5), a.at(2.2, 0)), scene.Pen{Ink: scene.Black, Width: 0.5, Round: true}, scene.Black)
		bar := []point{a.at(2.2, -2.5), a.at(2.2, 2.5)}
		if k == fitting.Zener {
			bar = append([]point{a.at(0.9, -2.5)}, bar...)
		}
		d.mark(scene.Polyline(bar...), pen, scene.None)
		d.keepOut(a.rect(2.2, 2.5), owner, nets...)
	case fitting.Coil:
		d.add(a.rect(5, 3.2), pen, scene.White, scene.Tag{Class: scene.Body, Owner: owner, Nets: append(nets, "link "+owner)})
	case fitting.Fuse:
		// IEC 60617: the wire runs through.
		d.add(a.rect(5, 1.8), pen, scene.White, scene.Tag{Class: scene.Body, Owner: owner, Nets: nets})
		d.mark(scene.Polyline(a.at(-5, 0), a.at(5, 0)), medium, scene.None)
	default:
		d.add(a.rect(5, 1.8), pen, scene.White, scene.Tag{Class: scene.Body, Owner: owner, Nets: nets})
	}
}

// setResistor draws a resistor of the set, a little shorter than an added one.
func (d *drawing) setResistor(c point, vertical bool, owner string, nets ...string) {
	a := axis{c: c, vertical: vertical}
	d.add(a.rect(4.5, 1.8), inSet, scene.White, scene.Tag{Class: scene.Body, Owner: owner, Nets: nets})
}

// values are the words under or beside an added part: its value, its rating,
// and what the fitting adds. Value and rating share a line where they are short.
func values(p *fitting.Part) []string {
	short := scene.Regular.Width(p.Value+"  "+p.Rating, small) <= 15.5
	if p.Value != "" && p.Rating != "" && short && p.Kind != fitting.Capacitor && p.Kind != fitting.Electrolytic {
		return append([]string{p.Value + "  " + p.Rating}, p.Words...)
	}
	return stacked(p)
}

// stacked are the same, each on a line of its own: beside an upright part, where
// the lane is short of length.
func stacked(p *fitting.Part) []string {
	var l []string
	for _, t := range []string{p.Value, p.Rating} {
		if t != "" {
			l = append(l, t)
		}
	}
	return append(l, p.Words...)
}

// widest is the length of the longest of some small words.
func widest(f scene.Font, text ...string) float64 {
	w := 0.0
	for _, t := range text {
		w = max(w, f.Width(t, small))
	}
	return w
}

// wrap breaks text at blanks into lines of small bold type no wider than width,
// at most so many, the last taking what is left. A line of twice the width and
// more is cut short: the whole text stands in the table of wires.
func wrap(text string, width float64, most int) []string {
	var lines []string
	for _, word := range strings.Fields(text) {
		if n := len(lines); n > 0 && (n == most || scene.Bold.Width(lines[n-1]+" "+word, small) <= width) {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	if len(lines) == 0 {
		lines = []string{""}
	}
	for i, l := range lines {
		lines[i] = shortened(l, 2*width)
	}
	return lines
}

// shortened is a line of small bold type no wider than width, an ellipsis for what
// had no room.
func shortened(line string, width float64) string {
	if scene.Bold.Width(line, small) <= width {
		return line
	}
	r := []rune(line)
	for len(r) > 1 && scene.Bold.Width(string(r)+"…", small) > width {
		r = r[:len(r)-1]
	}
	return strings.TrimRight(string(r), " ") + "…"
}
