package report

import (
	"io"
	"strconv"

	"mutewright/design/answer"
)

// QuantitiesCSV writes quantities in the order in which they were asked, in SI
// units without prefix, six significant digits.
func QuantitiesCSV(w io.Writer, all []answer.Quantity) error {
	var n numbers
	t := Table{Columns: []Column{{Head: "quantity"}, {Head: "unit"}, {Head: "nominal"}, {Head: "low"}, {Head: "high"}}}
	for _, q := range all {
		t.Rows = append(t.Rows, []string{q.Name, code(q.Unit), n.text(q.Name, q.Nominal), n.text(q.Name, q.Low), n.text(q.Name, q.High)})
	}
	if n.err != nil {
		return n.err
	}
	return t.CSV(w)
}

// text is a number as CSV holds it.
func (n *numbers) text(name string, v float64) string {
	return strconv.FormatFloat(n.six(name, v), 'g', -1, 64)
}
