package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"mutewright/render/report"
)

func helpVerb() *verb {
	return &verb{
		name:      "help",
		arguments: "[VERB]",
		does:      "explain the program or one verb, as text or as a man page",
		more: `
--completion writes what a shell needs to complete verbs, options, the names of
plans' quantities and of the catalogue. For bash: put its output into a file and
source that from ~/.bashrc. For zsh: the same from ~/.zshrc, behind compinit.
For fish: save it as ~/.config/fish/completions/mutewright.fish.`,
		examples: []example{
			{`mutewright help check`, "one verb"},
			{`mutewright help --words`, "words of the trade, as this program uses them"},
			{`mutewright help --man -o mutewright.1`, "the man page, for man -l mutewright.1"},
			{`mutewright help --completion bash -o mutewright.bash`, "completion for bash; source mutewright.bash"},
		},
		most:    anyNumber,
		options: []string{"words", "man", "completion", "candidates", "licences", "output"},
		run:     help,
	}
}

// versionVerb answers --version.
func versionVerb() *verb {
	return &verb{name: "version", run: func(c *call) (int, error) {
		fmt.Fprintln(&c.out, program)
		return done, nil
	}}
}

func help(c *call) (int, error) {
	switch o := &c.options; {
	case o.candidates:
		return done, c.candidates()
	case len(c.args) > 1:
		return 0, c.misuse(fmt.Errorf("unexpected argument %q", c.args[1]))
	case o.licences:
		return done, c.licences()
	case o.words:
		return done, report.Glossary(&c.out)
	case o.man:
		c.manPage()
		return done, nil
	case o.completion != "":
		return done, c.completion()
	case len(c.args) == 0:
		c.overview()
		return done, nil
	}
	v := findVerb(c.args[0])
	if v == nil {
		return 0, c.misuse(fmt.Errorf("unknown verb %q%s", c.args[0], nearest(c.args[0], verbNames())))
	}
	c.explain(v)
	return done, nil
}

// What the program is for, and what it is not.
const (
	purpose = `mutewright plans a muting interface for a vacuum-tube receiver before the set is
opened: a relay, keyed by the transmitter, that lifts cathode returns and shorts
the antenna input. It sizes the parts, warns of what can hurt, says what to
measure, and draws the wiring sheet that is taped inside the cabinet.
`
	disclaimer = `It computes and warns. It certifies nothing: local codes and a person licensed
for such work decide, and a tube set can kill with its plug out.
`
)

// firstHourVerb answers a command line without a verb.
func firstHourVerb() *verb {
	return &verb{name: "first hour", run: func(c *call) (int, error) {
		fmt.Fprint(&c.out, purpose, `
A first hour:
  mutewright new -o plan.yaml              a plan to fill in, with comments
  mutewright check plan.yaml               what is wrong, chosen and to measure
  mutewright sheet plan.yaml -o sheet.pdf  the wiring sheet

mutewright help lists all verbs; mutewright help VERB explains one.
`, disclaimer)
		return done, nil
	}}
}

// overview lists the verbs.
func (c *call) overview() {
	fmt.Fprint(&c.out, purpose, `
usage: mutewright VERB [arguments] [options]

`)
	for _, v := range verbs() {
		fmt.Fprintf(&c.out, "  %-8s %s\n", v.name, v.does)
	}
	fmt.Fprint(&c.out, `
PLAN is a file in YAML; - reads standard input. Options may stand anywhere; --
ends them. mutewright help VERB explains a verb, with examples. --version prints
the version.

`, statuses, `
`, disclaimer)
}

// statuses are the exit statuses in words.
const statuses = `Exit status: 0 done (check, mains: the verdict is good or caution); 1 fail or
danger, refused, or nothing serves; 2 command line, plan or catalogue file
wrong; 3 reading, writing or solving failed; 130 interrupted.
`

// explain prints the help of one verb.
func (c *call) explain(v *verb) {
	fmt.Fprintf(&c.out, "%s: %s\n\nusage: %s\n", v.name, v.does, v.synopsis())
	if v.more != "" {
		fmt.Fprintf(&c.out, "\n%s\n", strings.TrimSpace(v.more))
	}
	if len(v.examples) > 0 {
		fmt.Fprint(&c.out, "\nexamples:\n")
	}
	for _, e := range v.examples {
		fmt.Fprintf(&c.out, "  # %s\n  %s\n", e.says, strings.Join(folded(e.line), "\n  "))
	}
	if taken := v.flags(); taken.HasFlags() {
		fmt.Fprintf(&c.out, "\noptions:\n%s", taken.FlagUsagesWrapped(textColumns))
	}
}

// textColumns is how wide help is at most.
const textColumns = 80

// folded breaks a command line that is too long before an option, as a shell reads
// it on.
func folded(line string) []string {
	const room = textColumns - len("  ") - len(` \`)
	var lines []string
	for len(line) > room {
		at := strings.LastIndex(line[:room], " --")
		if at <= 0 {
			break
		}
		lines, line = append(lines, line[:at]+` \`), "   "+line[at:]
	}
	return append(lines, line)
}

// flags are the options that a verb takes.
func (v *verb) flags() *pflag.FlagSet {
	var o options
	all, taken := o.flagSet(), pflag.NewFlagSet(v.name, pflag.ContinueOnError)
	taken.SortFlags = false
	all.VisitAll(func(f *pflag.Flag) {
		if slices.Contains(v.options, f.Name) {
			if f.Name == "format" {
				f.Usage = "`form` of the output: " + strings.Join(v.formats, ", ")
			}
			taken.AddFlag(f)
		}
	})
	return taken
}
