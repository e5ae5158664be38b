package cli

import (
	"embed"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"mutewright/catalog"
	"mutewright/design"
)

//go:embed completion
var completionScripts embed.FS

// completion writes the script of a shell. All three ask the program for
// candidates, so that none knows a verb or an option by itself.
func (c *call) completion() error {
	text, err := completionScripts.ReadFile("completion/" + c.options.completion)
	if err != nil {
		return fmt.Errorf("read the script of %s: %w", c.options.completion, err)
	}
	c.out.Write(text)
	return nil
}

// candidates prints what may stand for the last of the words of a command line, a
// line each: those that begin with it. Nothing means: any file.
func (c *call) candidates() error {
	words := c.args
	if len(words) == 0 {
		words = []string{""}
	}
	last := words[len(words)-1]
	for _, word := range c.standing(words[:len(words)-1], last) {
		if strings.HasPrefix(word, last) {
			fmt.Fprintln(&c.out, word)
		}
	}
	return nil
}

// standing lists what may follow the words before it.
func (c *call) standing(before []string, last string) []string {
	verb, arguments, open := c.taken(before)
	switch {
	case open != nil:
		return c.values(verb, open.Name)
	case strings.HasPrefix(last, "-"):
		return dashes(verb)
	case verb == nil:
		return verbNames()
	}
	switch n := len(arguments); {
	case verb.name == "help" && n == 0:
		return verbNames()
	case verb.name == "catalog":
		if n == 0 {
			return append(slices.Clone(catalog.Kinds), itemNames("")...)
		}
		return itemNames(kindNamed(arguments[0]))
	case verb.name == "why" && n == 1:
		return c.explainable(arguments[0])
	case verb.name == "relays" && n > 0:
		return relayNames(catalog.Default())
	}
	return nil
}

// taken takes the words before apart: the verb, its arguments, and the option that
// still waits for its value.
func (c *call) taken(before []string) (verb *verb, arguments []string, open *pflag.Flag) {
	flags := new(options).flagSet()
	for _, word := range before {
		switch {
		case open != nil:
			open = nil
		case strings.HasPrefix(word, "-") && word != "-":
			name, _, given := strings.Cut(strings.TrimLeft(word, "-"), "=")
			f := flags.Lookup(name)
			if f == nil && len(name) == 1 {
				f = flags.ShorthandLookup(name)
			}
			if f != nil && !given && f.Value.Type() != "bool" {
				open = f
			}
		case verb == nil:
			verb = findVerb(word)
		default:
			arguments = append(arguments, word)
		}
	}
	return verb, arguments, open
}

// values are the words that an option takes; nothing where it takes any, or a file.
func (c *call) values(v *verb, option string) []string {
	switch option {
	case "format":
		if v != nil {
			return v.formats
		}
	case "paper":
		return []string{"a4", "letter"}
	case "with":
		return []string{"relays"}
	case "as":
		return []string{"plan"}
	case "cord":
		return []string{"two-wire", "three-wire"}
	case "completion":
		return []string{"bash", "zsh", "fish"}
	case "tubes":
		return tubeNames(catalog.Default())
	}
	return nil
}

// dashes are the options of a verb, or those that stand without one.
func dashes(v *verb) []string {
	list := []string{"--help", "--version"}
	if v != nil {
		v.flags().VisitAll(func(f *pflag.Flag) {
			if f.Name != "candidates" {
				list = append(list, "--"+f.Name)
			}
		})
	}
	return list
}

// itemNames are the names in the catalogue, of one kind or of all, that are one
// word to a shell.
func itemNames(kind string) []string {
	var names []string
	for _, i := range catalog.Default().Items() {
		if kind == "" || kind == i.Kind {
			names = append(append(names, i.Name), i.Also...)
		}
	}
	return slices.DeleteFunc(names, func(name string) bool { return strings.Contains(name, " ") })
}

// explainable are the names that can be asked about in a plan, without its doubt,
// which takes most of the time. A plan that cannot be read has none.
func (c *call) explainable(file string) []string {
	p, err := c.plan(file)
	if err != nil {
		return nil
	}
	d, err := design.New(p, catalog.Default(), design.NominalOnly)
	if err != nil {
		return nil
	}
	return d.Names()
}
