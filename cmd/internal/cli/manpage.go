package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"mutewright/render/report"
)

// manPage writes the manual page in the macros of man(7).
func (c *call) manPage() {
	r := &roff{}
	r.macro("TH", "MUTEWRIGHT", "1", "", program)
	r.macro("SH", "NAME")
	r.text("mutewright - plan a muting interface for a vacuum-tube receiver and draw its wiring sheet")
	r.macro("SH", "SYNOPSIS")
	r.macro("B", "mutewright")
	r.text("VERB [arguments] [options]")
	r.macro("SH", "DESCRIPTION")
	r.paragraphs(purpose)
	r.macro("PP")
	r.text("PLAN is a file in YAML; - reads standard input. Options may stand anywhere; -- ends them.")
	r.macro("SH", "VERBS")
	for _, v := range verbs() {
		r.macro("SS", strings.TrimPrefix(v.synopsis(), "mutewright "))
		r.text(strings.ToUpper(v.does[:1]) + v.does[1:] + ".")
		if v.more != "" {
			r.macro("PP")
			r.paragraphs(v.more)
		}
		v.flags().VisitAll(r.option)
		for _, e := range v.examples {
			r.macro("PP")
			r.text("Example: " + e.says)
			r.macro("PP")
			r.macro("RS", "4")
			r.macro("nf")
			for _, line := range folded(e.line) {
				r.text(line)
			}
			r.macro("fi")
			r.macro("RE")
		}
	}
	r.macro("SH", "EXIT STATUS")
	r.paragraphs(statuses)
	r.macro("SH", "ENVIRONMENT")
	r.macro("TP")
	r.text("NO_COLOR")
	r.text("Where it is set and not empty, words of severity have no colour on a terminal either.")
	r.macro("SH", "WORDS OF THE TRADE")
	for _, w := range report.Words() {
		r.macro("TP")
		r.text(w.Word)
		r.text(w.Means)
	}
	r.macro("SH", "CAUTION")
	r.paragraphs(disclaimer)
	c.out.WriteString(r.b.String())
}

// roff collects lines of a manual page.
type roff struct{ b strings.Builder }

// macro writes a request with its arguments.
func (r *roff) macro(name string, arguments ...string) {
	r.b.WriteString("." + name)
	for _, a := range arguments {
		r.b.WriteString(` "` + strings.ReplaceAll(escapeRoff(a), `"`, `\(dq`) + `"`)
	}
	r.b.WriteString("\n")
}

// text writes a line of text; one that would start a request is guarded.
func (r *roff) text(line string) {
	line = escapeRoff(line)
	if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
		line = `\&` + line
	}
	r.b.WriteString(line + "\n")
}

// paragraphs writes paragraphs that blank lines part.
func (r *roff) paragraphs(text string) {
	for i, p := range strings.Split(strings.TrimSpace(text), "\n\n") {
		if i > 0 {
			r.macro("PP")
		}
		for line := range strings.Lines(p) {
			r.text(strings.TrimSpace(line))
		}
	}
}

// option writes one option and what it does.
func (r *roff) option(f *pflag.Flag) {
	argument, usage := pflag.UnquoteUsage(f)
	name := "--" + f.Name
	if f.Shorthand != "" {
		name = "-" + f.Shorthand + ", " + name
	}
	if argument != "" {
		name = fmt.Sprintf("%s %s", name, argument)
	}
	r.macro("TP")
	r.text(name)
	r.text(usage)
}

// escapeRoff guards what roff would read: backslashes, and hyphens that are to be
// typed as they stand.
func escapeRoff(text string) string {
	return strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
}
