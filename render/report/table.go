package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"
)

// A Table is rows under named columns.
type Table struct {
	Columns []Column
	Rows    [][]string
}

// A Column is one column of a table. Numbers stand right. The one column that
// wraps takes what is left of the width. A last column that goes below stands under
// its row, where the table is too wide for one line.
type Column struct {
	Head  string
	Right bool
	Wraps bool
	Below bool
}

// gap is what stands between two columns.
const gap = "  "

// Text writes the table as lines of at most 80 columns.
func (t Table) Text(w io.Writer) error {
	var p page
	p.table("", t)
	return p.writeTo(w)
}

// CSV writes the table by RFC 4180, the heads first, numbers and units as they
// stand.
func (t Table) CSV(w io.Writer) error {
	rows := make([][]string, 0, len(t.Rows)+1)
	heads := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		heads[i] = c.Head
	}
	rows = append(rows, heads)
	for _, row := range t.Rows {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = Harmless(cell)
		}
		rows = append(rows, safe)
	}
	if err := csv.NewWriter(w).WriteAll(rows); err != nil {
		return fmt.Errorf("write the table: %w", err)
	}
	return nil
}

// under is how far text under a row stands in from it.
const under = "    "

// table writes t behind indent. Heads are left out when all are empty.
func (p *page) table(indent string, t Table) {
	if last := len(t.Columns) - 1; t.Columns[last].Below && t.across() > p.columns()-width(indent) {
		p.stacked(indent, t, last)
		return
	}
	widths := t.widths(p.columns() - width(indent))
	heads, any := t.heads()
	if any {
		p.row(indent, t.Columns, widths, heads)
	}
	for _, row := range t.Rows {
		p.row(indent, t.Columns, widths, row)
	}
}

// stacked writes the last column of t under its rows.
func (p *page) stacked(indent string, t Table, last int) {
	upper := Table{Columns: t.Columns[:last]}
	for _, row := range t.Rows {
		upper.Rows = append(upper.Rows, row[:last])
	}
	widths := upper.widths(p.columns() - width(indent))
	heads, any := upper.heads()
	if any {
		p.row(indent, upper.Columns, widths, heads)
	}
	for i, row := range upper.Rows {
		p.row(indent, upper.Columns, widths, row)
		if text := t.Rows[i][last]; text != "" {
			p.paragraph(indent+under, indent+under, text)
		}
	}
}

// heads are the heads of the columns, and whether there are any.
func (t Table) heads() (heads []string, any bool) {
	heads = make([]string, len(t.Columns))
	for i, c := range t.Columns {
		heads[i] = c.Head
		any = any || c.Head != ""
	}
	return heads, any
}

// row writes one row on as many lines as its highest cell needs.
func (p *page) row(indent string, columns []Column, widths []int, row []string) {
	cells, high := make([][]string, len(row)), 1
	for i, cell := range row {
		cells[i] = wrap(Harmless(cell), widths[i], widths[i])
		high = max(high, len(cells[i]))
	}
	for l := range high {
		var line strings.Builder
		line.WriteString(indent)
		for i := range cells {
			text := ""
			if l < len(cells[i]) {
				text = cells[i][l]
			}
			pad := strings.Repeat(" ", widths[i]-width(text))
			if columns[i].Right {
				text = pad + text
			} else {
				text += pad
			}
			if i > 0 {
				line.WriteString(gap)
			}
			line.WriteString(text)
		}
		p.b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

// least is the narrowest that a wrapping column becomes.
const least = 16

// widths gives every column its widest cell. When that is too much, columns
// that wrap share what the others leave; when that is still too much, the
// widest column gives way until all fit.
func (t Table) widths(room int) []int {
	widths := t.widestCells()
	for over := t.across() - room; over > 0; over-- {
		i := t.widest(widths, func(i int) bool { return t.Columns[i].Wraps && widths[i] > least })
		if i < 0 {
			i = t.widest(widths, func(int) bool { return true })
		}
		if widths[i] == 1 {
			break
		}
		widths[i]--
	}
	return widths
}

// widestCells is the width of the widest cell of each column.
func (t Table) widestCells() []int {
	widths := make([]int, len(t.Columns))
	for i, c := range t.Columns {
		widths[i] = width(Harmless(c.Head))
		for _, row := range t.Rows {
			widths[i] = max(widths[i], width(Harmless(row[i])))
		}
	}
	return widths
}

// across is how wide the table is where nothing gives way.
func (t Table) across() int {
	sum := len(gap) * (len(t.Columns) - 1)
	for _, w := range t.widestCells() {
		sum += w
	}
	return sum
}

// widest returns the widest of the columns that may give way, or −1.
func (t Table) widest(widths []int, may func(int) bool) int {
	best := -1
	for i, w := range widths {
		if may(i) && (best < 0 || w > widths[best]) {
			best = i
		}
	}
	return best
}
