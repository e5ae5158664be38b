package document

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// A Problem is one thing that is wrong with a file or with a setting.
type Problem struct {
	Line, Column int    // 0 where not known
	Setting      int    // N of --set N; 0 for the file
	Path         string // key path; "" where there is none
	What         string // what is wrong
	Wanted       string // what was expected
	Around       []string
}

// Problems are all that is wrong with one file, in the order of its lines,
// settings after them.
type Problems struct {
	File string // as typed
	List []Problem
}

// Error writes one problem a line: FILE:LINE:COLUMN: key.path: what is wrong;
// what was expected. A syntax error has no column and shows the lines around.
func (p *Problems) Error() string {
	var b strings.Builder
	for i, problem := range p.List {
		if i > 0 {
			b.WriteByte('\n')
		}
		problem.write(&b, p.File)
	}
	return b.String()
}

func (p Problem) write(b *strings.Builder, file string) {
	switch {
	case p.Setting > 0:
		fmt.Fprintf(b, "--set %d: ", p.Setting)
	case p.Column > 0:
		fmt.Fprintf(b, "%s:%d:%d: ", file, p.Line, p.Column)
	case p.Line > 0:
		fmt.Fprintf(b, "%s:%d: ", file, p.Line)
	default:
		fmt.Fprintf(b, "%s: ", file)
	}
	if p.Path != "" {
		b.WriteString(p.Path + ": ")
	}
	b.WriteString(p.What)
	if p.Wanted != "" {
		b.WriteString("; " + p.Wanted)
	}
	for _, line := range p.Around {
		b.WriteString("\n" + line)
	}
}

func (p *Problems) sort() {
	slices.SortStableFunc(p.List, func(a, b Problem) int {
		return cmp.Or(
			cmp.Compare(a.Setting, b.Setting),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column),
			strings.Compare(a.Path, b.Path),
			strings.Compare(a.What, b.What),
		)
	})
}
