package cli

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

// options are the values of all options of all verbs. An option means the same
// wherever it is taken.
type options struct {
	format, paper, output, catalog string
	set                            []string
	strict, timing, watch          bool
	pages, with, as                string

	tubes, rails, heaters, voltage, frequency, cord string
	readings                                        []string

	licences, words, man, candidates, schema, help, version bool
	completion                                              string
}

// flagSet declares every option of every verb; names stand in verb.options.
func (o *options) flagSet() *pflag.FlagSet {
	f := pflag.NewFlagSet("mutewright", pflag.ContinueOnError)
	f.SortFlags = false
	f.StringVar(&o.format, "format", "", "form of the `output`: text, json or csv")
	f.StringVarP(&o.output, "output", "o", "", "write to `FILE`; - is standard output")
	f.StringVar(&o.paper, "paper", "a4", "`size` of the paper: a4 or letter")
	f.StringVar(&o.pages, "pages", "", "write these `pages` only: 1 or 2-3")
	f.StringVar(&o.with, "with", "", "add a `page` that is not always wanted: relays")
	f.BoolVar(&o.strict, "strict", false, "exit with 1 when the verdict is fail or danger")
	f.BoolVar(&o.watch, "watch", false, "check again whenever the plan is saved, and mark what changed")
	f.BoolVar(&o.timing, "timing", false, "draw one transmission in time instead of the wiring")
	f.StringVar(&o.as, "as", "", "write one entry out as a `plan` does")
	f.StringVar(&o.catalog, "catalog", "", "look up relays and tubes in `FILE` too")
	f.StringArrayVar(&o.set, "set", nil, "override one value of the plan: `path=value`; may be repeated")
	f.StringVar(&o.tubes, "tubes", "", "tube `types`, output stage first: 6AQ5,6BA6,6BA6")
	f.StringVar(&o.rails, "rails", "", "B+ `voltages`, the main rail first: 250V")
	f.StringVar(&o.heaters, "heaters", "", "heater `voltage`: 6.3V")
	f.StringVar(&o.voltage, "voltage", "", "mains `voltage`: 120V")
	f.StringVar(&o.frequency, "frequency", "", "mains `frequency`: 60Hz")
	f.StringVar(&o.cord, "cord", "", "judge by the limits of this `cord`: two-wire, as usual, or three-wire")
	f.StringArrayVar(&o.readings, "reading", nil, "volts chassis to earth on a known `load`: \"118 V on 10 Mohm\"; may be repeated")
	f.BoolVar(&o.schema, "schema", false, "print the JSON Schema of a plan instead, for editors that check with one")
	f.BoolVar(&o.words, "words", false, "explain the words of the trade that the program uses")
	f.BoolVar(&o.man, "man", false, "print the man page")
	f.StringVar(&o.completion, "completion", "", "print the completion script of a `shell`: bash, zsh or fish")
	f.BoolVar(&o.candidates, "candidates", false, "print what may stand for the last of the words behind --")
	f.BoolVar(&o.licences, "licences", false, "print the licences of everything in the program")
	f.BoolVarP(&o.help, "help", "h", false, "print the help of a verb")
	f.BoolVar(&o.version, "version", false, "print the version")
	f.VisitAll(func(flag *pflag.Flag) {
		if _, list := flag.Value.(pflag.SliceValue); !list {
			flag.Value = &once{Value: flag.Value}
		}
	})
	return f
}

// A once is the value of an option that may be given only once.
type once struct {
	pflag.Value
	given bool
}

var errTwice = errors.New("given twice")

// Set takes the first value and refuses every further one.
func (o *once) Set(text string) error {
	if o.given {
		return errTwice
	}
	o.given = true
	return o.Value.Set(text)
}

// parse takes the command line apart: options may stand anywhere, everything
// behind -- is an argument, and so is a lone -.
func (c *call) parse(args []string) error {
	flags := c.options.flagSet()
	if err := flags.Parse(args); err != nil {
		c.verb = firstVerb(args)
		return c.misuse(c.inOurWords(flags, err))
	}
	words := flags.Args()
	switch {
	case c.options.version:
		c.verb = versionVerb()
		return nil
	case len(args) == 0:
		c.verb = firstHourVerb()
		return nil
	case c.options.help && len(words) == 0:
		words = []string{"help"}
	}
	if err := c.choose(words); err != nil {
		return err
	}
	if c.options.help && c.verb.name != "help" {
		c.args = []string{c.verb.name}
		c.verb = helpVerb()
		return nil
	}
	return c.allowed(flags)
}

// allowed refuses options that the verb does not take, and values that no
// option has.
func (c *call) allowed(flags *pflag.FlagSet) error {
	var err error
	flags.Visit(func(f *pflag.Flag) {
		if err == nil && f.Name != "help" && !slices.Contains(c.verb.options, f.Name) {
			err = c.misuse(fmt.Errorf("option %s does not belong here", dashed(f)))
		}
	})
	if err != nil {
		return err
	}
	switch {
	case c.options.format == "" && len(c.verb.formats) > 0:
		c.options.format = c.verb.formats[0]
	case c.options.format != "" && !slices.Contains(c.verb.formats, c.options.format):
		return c.misuse(fmt.Errorf("--format %s is not written here; choose %s", c.options.format, strings.Join(c.verb.formats, ", ")))
	}
	for _, o := range []struct {
		name, value string
		known       []string
	}{
		{"paper", c.options.paper, []string{"a4", "letter"}},
		{"as", c.options.as, []string{"", "plan"}},
		{"with", c.options.with, []string{"", "relays"}},
		{"completion", c.options.completion, []string{"", "bash", "zsh", "fish"}},
		{"cord", cmp.Or(c.options.cord, usualCord), []string{"two-wire", "three-wire"}},
	} {
		if !slices.Contains(o.known, o.value) {
			return c.misuse(fmt.Errorf("--%s %s is not known; choose %s", o.name, o.value, strings.Join(slices.DeleteFunc(o.known, func(word string) bool { return word == "" }), " or ")))
		}
	}
	return nil
}

// inOurWords says what pflag found wrong.
func (c *call) inOurWords(flags *pflag.FlagSet, err error) error {
	var (
		unknown *pflag.NotExistError
		bare    *pflag.ValueRequiredError
		value   *pflag.InvalidValueError
		syntax  *pflag.InvalidSyntaxError
	)
	switch {
	case errors.As(err, &unknown):
		return unknownOption(flags, c.verb, unknown)
	case errors.As(err, &bare):
		return fmt.Errorf("%s needs a value", dashed(bare.GetFlag()))
	case errors.As(err, &value) && errors.Is(err, errTwice):
		return fmt.Errorf("%s is given twice", dashed(value.GetFlag()))
	case errors.As(err, &value):
		return fmt.Errorf("%s cannot be %q", dashed(value.GetFlag()), value.GetValue())
	case errors.As(err, &syntax):
		return fmt.Errorf("%s is no option", syntax.GetSpecifiedFlag())
	}
	return err
}

// unknownOption names the option that looks most like the unknown one among
// those of the verb.
func unknownOption(flags *pflag.FlagSet, v *verb, unknown *pflag.NotExistError) error {
	if unknown.GetSpecifiedShortnames() != "" {
		return fmt.Errorf("unknown option -%s", unknown.GetSpecifiedName())
	}
	var names []string
	flags.VisitAll(func(f *pflag.Flag) {
		if v == nil || f.Name == "help" || slices.Contains(v.options, f.Name) {
			names = append(names, "--"+f.Name)
		}
	})
	typed := "--" + unknown.GetSpecifiedName()
	return fmt.Errorf("unknown option %s%s", typed, nearest(typed, names))
}

// dashed is an option as it is typed: "-o", "--paper".
func dashed(f *pflag.Flag) string {
	if f.Shorthand != "" {
		return "-" + f.Shorthand
	}
	return "--" + f.Name
}

// firstVerb returns the first verb among the arguments of a command line that
// could not be parsed, or nil.
func firstVerb(args []string) *verb {
	for _, a := range args {
		if v := findVerb(a); v != nil {
			return v
		}
	}
	return nil
}
