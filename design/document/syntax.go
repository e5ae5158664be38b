package document

import (
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"
)

var yamlError = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)

// hints say in a technician's words what the YAML reader stumbled over.
var hints = []struct{ says, what, wanted string }{
	{"mapping values are not allowed", `a second ": " where a value goes on`, `quote a text that holds ": "`},
	{"did not find expected ',' or", "a list or block in brackets does not end", `close it; quote a text that holds " #", ": ", a comma or a bracket`},
	{"did not find expected key", "no key where one belongs", "wanted the same indent as the keys above, and quotes closed"},
	{"did not find expected '-'", "no dash where the next element of the list belongs", "wanted the same indent as the dashes above"},
	{"could not find expected ':'", "a key without colon", "wanted key: value"},
	{"cannot start any token", "a character that cannot start a value", "quote the text; indent with spaces, not tabs"},
	{"unexpected end of stream", "a quote is not closed", "close it"},
	{"control characters are not allowed", "a control character", "wanted plain text"},
}

// syntax reports an error of the YAML reader, which knows the line at best,
// and shows the lines around it.
func (d *Document) syntax(err error, lines []string) {
	line, says := where(err)
	line = min(max(line, 1), len(lines))
	if strings.HasPrefix(says, "did not find expected key") || strings.HasPrefix(says, "did not find expected '-'") {
		line = stumble(lines, line, says)
	}
	p := Problem{Line: line, What: "not YAML: " + says, Wanted: "see the lines below"}
	for _, h := range hints {
		if strings.Contains(says, h.says) {
			p.What, p.Wanted = h.what, h.wanted
			break
		}
	}
	for n := max(line-1, 1); n <= min(line+1, len(lines)); n++ {
		mark := " "
		if n == line {
			mark = ">"
		}
		p.Around = append(p.Around, strings.TrimRight(fmt.Sprintf("%s %4d | %s", mark, n, visible(lines[n-1])), " "))
	}
	d.problems = append(d.problems, p)
}

// where takes the line, 1 where there is none, and the words out of an error.
func where(err error) (line int, says string) {
	m := yamlError.FindStringSubmatch(err.Error())
	if m == nil {
		return 1, err.Error()
	}
	line, says = 1, m[2]
	if n, err := strconv.Atoi(m[1]); err == nil {
		line = n
		// The reader counts from 0 where its grammar fails, from 1 where its
		// scanner does.
		if strings.HasPrefix(says, "did not find") {
			line++
		}
	}
	return line, says
}

// stumble returns the line on which a block breaks off, where the error names
// the line on which the block starts: the shortest file that fails alike ends
// there.
func stumble(lines []string, from int, says string) int {
	n := sort.Search(len(lines)-from, func(i int) bool {
		var out yaml.Node
		err := yaml.Unmarshal([]byte(strings.Join(lines[:from+i], "\n")+"\n"), &out)
		if err == nil {
			return false
		}
		_, same := where(err)
		return same == says
	})
	return from + n
}

// visible makes a line of a file safe to show: no character that moves or
// turns what a terminal shows, and no more than fits.
func visible(line string) string {
	const width = 100
	r := []rune(line)
	if len(r) > width {
		r = append(r[:width:width], '…')
	}
	for i, c := range r {
		if c == '\t' {
			r[i] = ' '
		} else if !unicode.IsPrint(c) {
			r[i] = '\ufffd'
		}
	}
	return string(r)
}
