package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

func helpVerb() *verb {
	return &verb{
		name:      "help",
		arguments: "[VERB]",
		does:      "explain the program or one verb; --licences prints the licences of what is in it",
		most:      1,
		options:   []string{"licences"},
		run:       help,
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
	switch {
	case c.options.licences:
		return done, c.licences()
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

// overview lists the verbs.
func (c *call) overview() {
	fmt.Fprint(&c.out, `mutewright plans a muting interface for a vacuum-tube receiver before the set is opened,
and draws the wiring sheet for it.

usage: mutewright VERB [arguments] [options]

`)
	for _, v := range verbs() {
		fmt.Fprintf(&c.out, "  %-8s %s\n", v.name, v.does)
	}
	fmt.Fprint(&c.out, `
PLAN is a file in YAML; - reads standard input. Options may stand anywhere; -- ends them.
mutewright help VERB explains a verb. --version prints the version.

Exit status: 0 done (check, mains: the verdict is good or caution); 1 fail or danger, refused, or
nothing serves; 2 command line, plan or catalogue file wrong; 3 reading, writing or solving failed;
130 interrupted.

The program computes and warns. It certifies nothing: local codes and a person licensed for such
work decide.
`)
}

// explain prints the help of one verb.
func (c *call) explain(v *verb) {
	fmt.Fprintf(&c.out, "%s: %s\n\nusage: %s\n", v.name, v.does, v.synopsis())
	if v.more != "" {
		fmt.Fprintf(&c.out, "\n%s\n", strings.TrimSpace(v.more))
	}
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
	if taken.HasFlags() {
		fmt.Fprintf(&c.out, "\noptions:\n%s", taken.FlagUsagesWrapped(100))
	}
}
