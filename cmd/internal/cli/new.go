package cli

import (
	"fmt"
	"strconv"
	"strings"
	"text/template"

	_ "embed" // the template of the starter plan

	"mutewright/catalog"
	"mutewright/design/plan"
	"mutewright/design/quantity"
)

//go:embed starter.yaml.tmpl
var starterText string

var starterPlan = template.Must(template.New("starter").Parse(starterText))

func newVerb() *verb {
	return &verb{
		name: "new",
		does: "write a commented plan to start from",
		more: `
What is known may be given; the rest is left unknown, and the plan can be
checked at once. check lists what it assumed for each unknown and what to
measure first; write what you find into the plan and check again. A voltage may
be a range.

Output types become output stages (two of one type a push-pull pair),
remote-cutoff types the stages under the gain control; others are left alone. A
type of series-heater sets makes the plan one of isolation: none.`,
		examples: []example{
			{`mutewright new -o first.yaml`, "a plan in which nothing is known yet"},
			{`mutewright new --tubes 6AQ5,6BA6,6BA6 --rails 250V --heaters 6.3V -o first.yaml`, "with the tubes, B+ and heaters"},
			{`mutewright new --voltage 230V --tubes EL84,EF89 --rails "220V .. 270V,150V"`, "230 V mains, a range, a second rail"},
			{`mutewright new --schema -o plan.schema.json`, "the JSON Schema of plans (draft 2020-12)"},
		},
		options: []string{"schema", "tubes", "rails", "heaters", "voltage", "frequency", "catalog", "output"},
		run:     newPlan,
	}
}

// unknown is how a plan says that a value is not known.
const unknown = "unknown"

// A starter is what the template of a new plan needs.
type starter struct {
	Remarks            []string
	Voltage, Frequency string
	Isolation          string
	Heaters            string
	Rails              []namedRail
	Rail               string // name of the main one
	Outputs            []outputStage
	Stages             []string // tubes under the gain control
	Points             string   // of the one return
}

type namedRail struct{ Name, Voltage string }

type outputStage struct {
	Name, Tube string
	Count      int
}

func newPlan(c *call) (int, error) {
	if c.options.schema {
		schema, err := plan.Schema()
		c.out.Write(schema)
		return done, err
	}
	s := starter{Isolation: "transformer"}
	for _, fill := range []func(*call) error{s.mains, s.supplies, s.tubes} {
		if err := fill(c); err != nil {
			return 0, err
		}
	}
	s.points()
	return done, starterPlan.Execute(&c.out, s)
}

// value reads an option's value and writes it in the notation of plans.
func value[Q quantity.Quantity](c *call, option, text string) (string, error) {
	span, err := quantity.ParseSpan[Q](text)
	if err != nil {
		return "", c.misuse(fmt.Errorf("--%s: %w", option, err))
	}
	var q Q
	if span.Low == span.High {
		return quantity.Plain(float64(span.Nominal), q.Unit()), nil
	}
	return quantity.Plain(float64(span.Low), q.Unit()) + " .. " + quantity.Plain(float64(span.High), q.Unit()), nil
}

// mains fills in voltage and frequency. Nobody can work without them, so the
// commonest stand there when they are not given: 120 V, and 50 Hz from 150 V up.
func (s *starter) mains(c *call) (err error) {
	text := c.options.voltage
	if text == "" {
		text = "120 V"
		s.Remarks = append(s.Remarks, "The mains voltage was not given: 120 V is a guess.")
	}
	if s.Voltage, err = value[quantity.Volts](c, "voltage", text); err != nil {
		return err
	}
	text = c.options.frequency
	if text == "" {
		text = "60 Hz"
		if span, err := quantity.ParseSpan[quantity.Volts](s.Voltage); err == nil && span.Nominal > 150 {
			text = "50 Hz"
		}
	}
	s.Frequency, err = value[quantity.Hertz](c, "frequency", text)
	return err
}

// supplies fills in the heater winding and the rails: ht, ht2, ht3 …
func (s *starter) supplies(c *call) (err error) {
	s.Heaters, s.Rail = unknown, "ht"
	if c.options.heaters != "" {
		if s.Heaters, err = value[quantity.Volts](c, "heaters", c.options.heaters); err != nil {
			return err
		}
	}
	if c.options.rails == "" {
		s.Rails = []namedRail{{"ht", unknown}}
		return nil
	}
	for i, text := range strings.Split(c.options.rails, ",") {
		volts, err := value[quantity.Volts](c, "rails", text)
		if err != nil {
			return err
		}
		s.Rails = append(s.Rails, namedRail{numbered("ht", i), volts})
	}
	return nil
}

// numbered is the name of the i-th thing of a kind: ht, ht2, ht3 …
func numbered(name string, i int) string {
	if i == 0 {
		return name
	}
	return name + strconv.Itoa(i+1)
}

// tubes sorts the types by what the catalogue says they are made for.
func (s *starter) tubes(c *call) error {
	if c.options.tubes == "" {
		s.Outputs = []outputStage{{"output", unknown, 1}}
		s.Stages = []string{unknown}
		return nil
	}
	cat, err := c.catalogue()
	if err != nil {
		return err
	}
	for typed := range strings.SplitSeq(c.options.tubes, ",") {
		typed = strings.TrimSpace(typed)
		tube := cat.Tube(typed)
		if tube == nil {
			return c.misuse(fmt.Errorf("--tubes: unknown type %q%s", typed, nearest(typed, tubeNames(cat))))
		}
		s.tube(typed, tube.Use.Is)
	}
	if len(s.Outputs)+len(s.Stages) == 0 {
		s.Stages = []string{unknown}
	}
	return nil
}

// tube puts one type where its use belongs.
func (s *starter) tube(name string, use catalog.TubeUse) {
	switch use {
	case catalog.SeriesString:
		s.Isolation = "none"
		s.Remarks = append(s.Remarks, name+" is a type of series-heater sets: isolation is none until you have seen otherwise.")
		s.output(name)
	case catalog.Output:
		s.output(name)
	case catalog.RemoteCutoff:
		s.Stages = append(s.Stages, name)
	default:
		s.Remarks = append(s.Remarks, name+" ("+string(use)+") is left alone: only stages under the gain control are listed.")
	}
}

// output adds an output tube; a second one of its type makes a push-pull pair.
func (s *starter) output(name string) {
	for i, o := range s.Outputs {
		if o.Tube == name && o.Count == 1 {
			s.Outputs[i].Count = 2
			return
		}
	}
	s.Outputs = append(s.Outputs, outputStage{numbered("output", len(s.Outputs)), name, 1})
}

// points lists what the one return serves.
func (s *starter) points() {
	var names []string
	for _, o := range s.Outputs {
		names = append(names, o.Name)
	}
	if len(s.Stages) > 0 {
		names = append(names, "sensitivity")
	}
	s.Points = strings.Join(names, ", ")
}
