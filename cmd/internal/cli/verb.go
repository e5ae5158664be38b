package cli

import (
	"errors"
	"fmt"
	"strings"

	"mutewright/render/report"
)

// A verb is one thing the program can be asked to do.
type verb struct {
	name        string
	arguments   string // as in its usage line: "PLAN NAME"
	does        string // one line
	more        string // further paragraphs of its help
	examples    []example
	least, most int // how many arguments
	options     []string
	formats     []string // of --format, the first being usual
	run         func(*call) (status int, err error)
}

// anyNumber is the most of a verb that takes as many arguments as there are.
const anyNumber = 1 << 16

// verbs in the order of the work; help shows them so.
func verbs() []*verb {
	return []*verb{
		newVerb(), checkVerb(), sheetVerb(), diagramVerb(), relaysVerb(),
		mainsVerb(), whyVerb(), compareVerb(), catalogVerb(), helpVerb(),
	}
}

// findVerb returns the verb of that name, or nil.
func findVerb(name string) *verb {
	for _, v := range verbs() {
		if v.name == name {
			return v
		}
	}
	return nil
}

func verbNames() []string {
	var names []string
	for _, v := range verbs() {
		names = append(names, v.name)
	}
	return names
}

// synopsis is the usage line of a verb.
func (v *verb) synopsis() string {
	line := "mutewright " + v.name
	if v.arguments != "" {
		line += " " + v.arguments
	}
	return line + " [options]"
}

// misuse is a mistake on the command line: status 2, with the usage line of
// the verb where there is one.
func (c *call) misuse(err error) error {
	t := &trouble{status: wrong, err: err, usage: c.verb}
	if c.verb == nil {
		t.hint = "mutewright help lists the verbs"
	} else {
		t.err = fmt.Errorf("%s: %w", c.verb.name, err)
	}
	return t
}

// choose finds the verb on the command line and checks what stands behind it.
func (c *call) choose(words []string) error {
	if len(words) == 0 {
		return c.misuse(errors.New("no verb given"))
	}
	c.verb = findVerb(words[0])
	if c.verb == nil {
		return c.misuse(fmt.Errorf("unknown verb %q%s", words[0], nearest(words[0], verbNames())))
	}
	c.args = words[1:]
	switch n := len(c.args); {
	case c.options.help:
	case n < c.verb.least:
		return c.misuse(fmt.Errorf("%s is missing", c.missingArgument()))
	case n > c.verb.most:
		return c.misuse(fmt.Errorf("unexpected argument %q", c.args[c.verb.most]))
	}
	return nil
}

// missingArgument names the first argument that was not given.
func (c *call) missingArgument() string {
	return strings.Fields(c.verb.arguments)[len(c.args)]
}

// nearest is the tail of a message about an unknown name: "; nearest: check".
func nearest(typed string, names []string) string {
	near := report.Nearest(typed, names, 1)
	if len(near) == 0 {
		return ""
	}
	return "; nearest: " + near[0]
}

// An example is a command line that shows what a verb does; a test runs it. In it
// plan.yaml and before.yaml are plans that are there.
type example struct{ line, says string }
