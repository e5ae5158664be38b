// Package svg prints a page as SVG.
//
// Words are drawn as outlines of their glyphs, each glyph once in the file's
// definitions: a viewer's own fonts would be wider or narrower than those the
// page was measured with, and then words run into lines. What outlines take
// away is given back as labels: every line of words carries its text, and the
// page its title and description.
package svg

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"strings"

	"mutewright/render/scene"
)

// Write prints one page. A page that fails scene's Check is refused and nothing
// is written. The same page gives the same bytes.
func Write(w io.Writer, title string, p scene.Page) error {
	if err := p.Check(); err != nil {
		return fmt.Errorf("print %q: %w", title, err)
	}
	var out bytes.Buffer
	b := bufio.NewWriter(&out)
	num := scene.Number
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" aria-labelledby="t d">`+"\n",
		num(p.Width), num(p.Height), num(p.Width), num(p.Height))
	fmt.Fprintf(b, "<title id=\"t\">%s</title>\n<desc id=\"d\">%s</desc>\n", escape(title), escape(strings.TrimSpace(p.Name+". "+p.About)))
	glyphs, err := define(b, p)
	if err != nil {
		return fmt.Errorf("print %q: %w", title, err)
	}
	fmt.Fprintf(b, "<rect width=\"%s\" height=\"%s\" fill=\"#fff\"/>\n", num(p.Width), num(p.Height))
	for _, it := range p.Items {
		draw(b, it, glyphs)
	}
	b.WriteString("</svg>\n")
	b.Flush()
	if _, err := w.Write(out.Bytes()); err != nil {
		return fmt.Errorf("print %q: %w", title, err)
	}
	return nil
}

// A glyph is one character of one face; its id names it in the file.
type glyph struct {
	face scene.Font
	char rune
}

func (g glyph) id() string { return fmt.Sprintf("%c%x", g.face.String()[0], g.char) }

type outline struct {
	advance float64 // em
	blank   bool
}

// define writes the outlines of the page's characters in the order of their
// first use. Their unit is the em.
func define(b *bufio.Writer, p scene.Page) (map[glyph]outline, error) {
	seen := map[glyph]outline{}
	b.WriteString("<defs>\n")
	for _, it := range p.Items {
		t, ok := it.Shape.(scene.Text)
		if !ok || it.Fill == scene.None {
			continue
		}
		for _, r := range t.Words {
			g := glyph{t.Font, r}
			if _, ok := seen[g]; ok {
				continue
			}
			segments, advance, err := t.Font.Outline(r)
			if err != nil {
				return nil, err
			}
			seen[g] = outline{advance: advance, blank: len(segments) == 0}
			if len(segments) == 0 {
				continue
			}
			fmt.Fprintf(b, `<path id="%s" d="`, g.id())
			// sfnt gives 26.6 fixed point at one font unit per pixel.
			xy := func(x, y int32) string {
				return fmt.Sprintf("%d %d", (x+32)>>6, (y+32)>>6)
			}
			for i, s := range segments {
				op := [...]string{"M", "L", "Q", "C"}[s.Op]
				n := [...]int{1, 1, 2, 3}[s.Op]
				if i > 0 && op == "M" {
					b.WriteByte('Z')
				}
				b.WriteString(op)
				for j := range n {
					if j > 0 {
						b.WriteByte(' ')
					}
					b.WriteString(xy(int32(s.Args[j].X), int32(s.Args[j].Y)))
				}
			}
			b.WriteString("Z\"/>\n")
		}
	}
	b.WriteString("</defs>\n")
	return seen, nil
}

func draw(b *bufio.Writer, it scene.Item, glyphs map[glyph]outline) {
	if t, ok := it.Shape.(scene.Text); ok {
		text(b, t, it.Fill, glyphs)
		return
	}
	style := ` fill="none"`
	if it.Fill != scene.None {
		style = fmt.Sprintf(` fill="%s"`, colour(it.Fill))
	}
	if it.Pen.Ink != scene.None && it.Pen.Width > 0 {
		style += fmt.Sprintf(` stroke="%s" stroke-width="%s"`, colour(it.Pen.Ink), scene.Number(it.Pen.Width))
		if it.Pen.Dash != (scene.Dash{}) {
			style += fmt.Sprintf(` stroke-dasharray="%s %s"`, scene.Number(it.Pen.Dash.On), scene.Number(it.Pen.Dash.Off))
		}
		if it.Pen.Round {
			style += ` stroke-linecap="round" stroke-linejoin="round"`
		}
	} else if it.Fill == scene.None {
		return
	}
	num := scene.Number
	switch s := it.Shape.(type) {
	case scene.Rect:
		round := ""
		if s.Radius > 0 {
			round = fmt.Sprintf(` rx="%s"`, num(s.Radius))
		}
		fmt.Fprintf(b, `<rect x="%s" y="%s" width="%s" height="%s"%s%s/>`+"\n", num(s.X), num(s.Y), num(s.W), num(s.H), round, style)
	case scene.Circle:
		fmt.Fprintf(b, `<circle cx="%s" cy="%s" r="%s"%s/>`+"\n", num(s.Centre.X), num(s.Centre.Y), num(s.Radius), style)
	case scene.Path:
		fmt.Fprintf(b, `<path d="%s"%s/>`+"\n", commands(s), style)
	}
}

func commands(p scene.Path) string {
	var d []string
	num := scene.Number
	for _, s := range p {
		switch s.Kind {
		case scene.Move:
			d = append(d, "M"+num(s.To.X)+" "+num(s.To.Y))
		case scene.Line:
			d = append(d, "L"+num(s.To.X)+" "+num(s.To.Y))
		case scene.Arc:
			for _, c := range s.Cubics() {
				d = append(d, "C"+num(c[0].X)+" "+num(c[0].Y)+" "+num(c[1].X)+" "+num(c[1].Y)+" "+num(c[2].X)+" "+num(c[2].Y))
			}
		case scene.Close:
			d = append(d, "Z")
		}
	}
	return strings.Join(d, "")
}

// text places the outlines of a line's characters side by side, in font units
// under one scale.
func text(b *bufio.Writer, t scene.Text, ink scene.Ink, glyphs map[glyph]outline) {
	if ink == scene.None || t.Words == "" {
		return
	}
	units := t.Font.UnitsPerEm()
	fmt.Fprintf(b, `<g role="text" aria-label="%s" fill="%s" transform="translate(%s %s) scale(%.6f)">`,
		escape(t.Words), colour(ink), scene.Number(t.Left()), scene.Number(t.At.Y), t.Size/units)
	x := 0.0
	for _, r := range t.Words {
		g := glyph{t.Font, r}
		if !glyphs[g].blank {
			at := ""
			if x > 0 {
				at = fmt.Sprintf(` x="%.0f"`, x)
			}
			fmt.Fprintf(b, `<use href="#%s"%s/>`, g.id(), at)
		}
		x += glyphs[g].advance * units
	}
	b.WriteString("</g>\n")
}

func colour(i scene.Ink) string {
	l := i.Level()
	return fmt.Sprintf("#%02x%02x%02x", l, l, l)
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

func escape(s string) string { return escaper.Replace(s) }
