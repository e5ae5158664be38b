package known

import "strings"

// Reached lists the rows of the table of usual values that some facts made use of.
func Reached(f *Facts) []string {
	var rows []string
	note := func(at, because string) {
		at = starred(at)
		for key, row := range usuals {
			if row.why == because && (key == at || strings.HasPrefix(key, at+".")) {
				rows = append(rows, key)
			}
		}
	}
	for _, e := range f.Box {
		if e.Origin == Assumed {
			note(e.At, e.Because)
		}
	}
	for _, a := range f.Assumed {
		note(a.At, a.Because)
	}
	return rows
}

// Rows lists the keys of the table of usual values with their reasons.
func Rows() map[string]string {
	rows := map[string]string{}
	for key, row := range usuals {
		rows[key] = row.why
	}
	return rows
}

// HasRange tells whether the number at a key path is held against what the trade
// sees.
func (f *Facts) HasRange(path string) bool {
	_, ok := f.seenAt(path)
	return ok
}

// Ranges lists what the trade sees, by key path.
func Ranges() map[string][2]float64 { return seen }

// Usuals lists the usual values, nominal, low and high.
func Usuals() map[string][3]float64 {
	rows := map[string][3]float64{}
	for key, row := range usuals {
		rows[key] = [3]float64{row.nominal, row.low, row.high}
	}
	return rows
}
