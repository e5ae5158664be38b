// Package pdf prints a document as PDF. It is the only room that knows gofpdf.
//
// The same document gives the same bytes: the catalogue is sorted, the dates are
// the document's, and every face is a fresh copy, since gofpdf writes into the
// bytes it is given. Words stay words, in embedded subsets of their faces.
package pdf

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf16"

	"github.com/jung-kurt/gofpdf"

	"mutewright/render/scene"
)

// epoch stands in for the date of an undated document.
var epoch = time.Date(2000, time.January, 1, 0, 0, 0, 0, time.UTC)

// A Printer has loaded the faces that most documents use. It prints one document.
type Printer struct {
	f      *gofpdf.Fpdf
	loaded []scene.Font
}

// Load makes a printer ready, which takes a while that a caller may have to spare.
func Load() *Printer {
	p := &Printer{f: gofpdf.NewCustom(&gofpdf.InitType{OrientationStr: "P", UnitStr: "mm"})}
	p.load(scene.Regular)
	p.load(scene.Bold)
	p.load(scene.Italic)
	return p
}

func (p *Printer) load(face scene.Font) {
	p.f.AddUTF8FontFromBytes(face.String(), "", face.Bytes())
	p.loaded = append(p.loaded, face)
}

// Write prints the document. A page that fails scene's Check is refused and
// nothing is written.
func Write(w io.Writer, d scene.Document) error {
	p := &Printer{f: gofpdf.NewCustom(&gofpdf.InitType{OrientationStr: "P", UnitStr: "mm"})}
	return p.Write(w, d)
}

// Write is [Write] with the printer's faces; what is loaded and not used is left
// out, by printing without it.
func (p *Printer) Write(w io.Writer, d scene.Document) error {
	if len(d.Pages) == 0 {
		return fmt.Errorf("print %q: no pages", d.Title)
	}
	for _, page := range d.Pages {
		if err := page.Check(); err != nil {
			return fmt.Errorf("print %q: %w", d.Title, err)
		}
	}
	for _, face := range p.loaded {
		if !uses(d, face) {
			return Write(w, d)
		}
	}
	for _, face := range scene.Fonts {
		if uses(d, face) && !slices.Contains(p.loaded, face) {
			p.load(face)
		}
	}
	date := d.Date
	if date.IsZero() {
		date = epoch
	}
	f := p.f
	f.SetCatalogSort(true)
	f.SetCreationDate(date)
	f.SetModificationDate(date)
	f.SetTitle(d.Title, true)
	f.SetSubject(d.Subject, true)
	f.SetAuthor(d.Author, true)
	f.SetCreator(d.Program, true)
	f.SetProducer(d.Program, true)
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	f.SetDisplayMode("fullpage", "single")
	for _, page := range d.Pages {
		f.AddPageFormat("P", size(page))
		f.Bookmark(page.Name, 0, 0)
		for i, it := range page.Items {
			if it.Row != "" && (i == 0 || page.Items[i-1].Row != it.Row) {
				f.RawWriteStr("/Span <</ActualText <" + utf16Hex(it.Row) + ">>> BDC")
			}
			draw(f, it)
			if it.Row != "" && (i+1 == len(page.Items) || page.Items[i+1].Row != it.Row) {
				f.RawWriteStr("EMC")
			}
		}
	}
	// Into memory first: a half-written file must not reach the caller's.
	var out bytes.Buffer
	if err := f.Output(&out); err != nil {
		return fmt.Errorf("print %q: %w", d.Title, err)
	}
	if _, err := w.Write(out.Bytes()); err != nil {
		return fmt.Errorf("print %q: %w", d.Title, err)
	}
	return nil
}

func size(p scene.Page) gofpdf.SizeType { return gofpdf.SizeType{Wd: p.Width, Ht: p.Height} }

// uses reports whether any words of the document are in the face.
func uses(d scene.Document, face scene.Font) bool {
	for _, p := range d.Pages {
		for _, it := range p.Items {
			if t, ok := it.Shape.(scene.Text); ok && t.Font == face && t.Words != "" {
				return true
			}
		}
	}
	return false
}

// utf16Hex is a text string of PDF, in hexadecimal, with its byte order mark.
func utf16Hex(text string) string {
	bytes := []byte{0xFE, 0xFF}
	for _, u := range utf16.Encode([]rune(text)) {
		bytes = binary.BigEndian.AppendUint16(bytes, u)
	}
	return strings.ToUpper(hex.EncodeToString(bytes))
}

func draw(f *gofpdf.Fpdf, it scene.Item) {
	if t, ok := it.Shape.(scene.Text); ok {
		if t.Words == "" || it.Fill == scene.None {
			return
		}
		g := it.Fill.Level()
		f.SetTextColor(g, g, g)
		f.SetFont(t.Font.String(), "", 0)
		f.SetFontUnitSize(t.Size)
		f.Text(t.Left(), t.At.Y, t.Words)
		return
	}
	how := ""
	if it.Fill != scene.None {
		g := it.Fill.Level()
		f.SetFillColor(g, g, g)
		how = "F"
	}
	if it.Pen.Ink != scene.None && it.Pen.Width > 0 {
		g := it.Pen.Ink.Level()
		f.SetDrawColor(g, g, g)
		f.SetLineWidth(it.Pen.Width)
		var dash []float64
		if it.Pen.Dash != (scene.Dash{}) {
			dash = []float64{it.Pen.Dash.On, it.Pen.Dash.Off}
		}
		f.SetDashPattern(dash, 0)
		ends, corners := "butt", "miter"
		if it.Pen.Round {
			ends, corners = "round", "round"
		}
		f.SetLineCapStyle(ends)
		f.SetLineJoinStyle(corners)
		how += "D"
	}
	if how == "" {
		return
	}
	trace(f, scene.PathOf(it.Shape))
	f.DrawPath(how)
}

func trace(f *gofpdf.Fpdf, p scene.Path) {
	for _, s := range p {
		switch s.Kind {
		case scene.Move:
			f.MoveTo(s.To.X, s.To.Y)
		case scene.Line:
			f.LineTo(s.To.X, s.To.Y)
		case scene.Arc:
			for _, c := range s.Cubics() {
				f.CurveBezierCubicTo(c[0].X, c[0].Y, c[1].X, c[1].Y, c[2].X, c[2].Y)
			}
		case scene.Close:
			f.ClosePath()
		}
	}
}
