package cli

import (
	"cmp"
	"errors"
	"fmt"
	"strings"

	"mutewright/design"
	"mutewright/design/finding"
	physics "mutewright/design/mains"
	"mutewright/design/plan"
	"mutewright/design/quantity"
	"mutewright/render/report"
)

func mainsVerb() *verb {
	return &verb{
		name:      "mains",
		arguments: "[PLAN]",
		does:      "judge leakage, earthing, fuse and discharge, also from readings",
		more: `
With a plan: that part of check alone, and the steps of the test.

Backward from readings of the volts between chassis and earth on known loads,
without a plan or on the mains of one (--reading alone; a set without isolation
is judged by its plan only).

A reading near line voltage on a 10 Mohm meter decides nothing. Ohm check first,
then the loads. A reading may state its accuracy ("118 V ± 1 % on 10 Mohm"); 2 %
otherwise.`,
		examples: []example{
			{`mutewright mains plan.yaml`, "what to expect, and the steps of the test"},
			{`mutewright mains --voltage 120V --frequency 60Hz --reading "118 V on 10 Mohm" --reading "0.18 V on 1.5 kohm"`, "what readings say"},
			{`mutewright mains plan.yaml --reading "0.18 V on 1.5 kohm"`, "the same on the mains of a plan"},
		},
		most:    1,
		options: append([]string{"format", "voltage", "frequency", "reading", "cord"}, readsPlan...),
		formats: []string{"text", "json", "csv"},
		run:     mains,
	}
}

func mains(c *call) (int, error) {
	if len(c.args) == 0 {
		return backward(c)
	}
	if c.options.voltage != "" || c.options.frequency != "" || c.options.cord != "" {
		return 0, c.misuse(errors.New("the plan gives the mains; --voltage, --frequency and --cord stand in for one"))
	}
	p, err := c.plan(c.args[0])
	if err != nil {
		return 0, err
	}
	m := &p.Receiver.Mains
	if len(c.options.readings) > 0 && m.Isolation.Is != plan.NoIsolation {
		return c.infer(report.Backward{
			Volts: float64(m.Voltage.Is.Nominal), Hertz: float64(m.Frequency.Is.Nominal), Cord: cords[string(m.Cord.Is)],
		})
	}
	cat, err := c.catalogue()
	if err != nil {
		return 0, err
	}
	d, err := design.Mains(p, cat)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", c.args[0], err)
	}
	switch c.options.format {
	case "json":
		err = report.MainsJSON(&c.out, program, d)
	case "csv":
		err = report.QuantitiesCSV(&c.out, d.Quantities.All())
	default:
		err = report.Mains(c.text(), d)
	}
	return verdictStatus(d), err
}

// backward infers the leakage from readings on a mains of the command line.
func backward(c *call) (int, error) {
	if len(c.options.readings) == 0 {
		return 0, c.misuse(errors.New("PLAN or --reading is missing"))
	}
	if c.options.voltage == "" || c.options.frequency == "" {
		return 0, c.misuse(errors.New("--voltage and --frequency are missing"))
	}
	b := report.Backward{Cord: cords[cmp.Or(c.options.cord, usualCord)]}
	volts, err := parse[quantity.Volts](c, "voltage", c.options.voltage)
	if err != nil {
		return 0, err
	}
	hertz, err := parse[quantity.Hertz](c, "frequency", c.options.frequency)
	if err != nil {
		return 0, err
	}
	b.Volts, b.Hertz = float64(volts), float64(hertz)
	return c.infer(b)
}

// infer infers the leakage from the readings of the command line.
func (c *call) infer(b report.Backward) (int, error) {
	for _, text := range c.options.readings {
		r, err := parseReading(text)
		if err != nil {
			return 0, c.misuse(fmt.Errorf("--reading %q: %w", text, err))
		}
		b.Readings = append(b.Readings, r)
	}
	var err error
	if b.Inferred, err = physics.Infer(b.Volts, b.Hertz, b.Readings); err != nil {
		return 0, c.misuse(err)
	}
	switch c.options.format {
	case "json":
		err = b.JSON(&c.out, program)
	case "csv":
		err = report.QuantitiesCSV(&c.out, b.Quantities())
	default:
		err = b.Text(c.text())
	}
	if b.Verdict() >= finding.Fail {
		return judged, err
	}
	return done, err
}

// usualCord is judged by where nobody names a cord: it has the stricter limits.
const usualCord = "two-wire"

// cords are the values of --cord.
var cords = map[string]physics.Cord{physics.TwoWire.String(): physics.TwoWire, physics.ThreeWire.String(): physics.ThreeWire}

// usualAccuracy is what a meter is good for on AC when a reading does not say
// (common practice: 1 % and a few digits, or a needle's 2 to 3 %).
const usualAccuracy = 0.02

// parseReading reads "118 V on 10 Mohm", or "118 V ± 1 % on 10 Mohm".
func parseReading(text string) (physics.Reading, error) {
	volts, load, ok := strings.Cut(text, " on ")
	if !ok {
		return physics.Reading{}, errors.New("volts on a load are wanted, such as \"118 V on 10 Mohm\"")
	}
	v, err := quantity.ParseSpan[quantity.Volts](volts)
	if err != nil {
		return physics.Reading{}, err
	}
	ohms, err := quantity.Parse[quantity.Ohms](load)
	if err != nil {
		return physics.Reading{}, err
	}
	r := physics.Reading{Volts: float64(v.Nominal), Ohms: float64(ohms), Accuracy: usualAccuracy}
	if v.Low < v.High && v.Nominal > 0 {
		r.Accuracy = float64((v.High - v.Low) / (2 * v.Nominal))
	}
	return r, nil
}

// parse reads the value of an option.
func parse[Q quantity.Quantity](c *call, option, text string) (Q, error) {
	q, err := quantity.Parse[Q](text)
	if err != nil {
		return 0, c.misuse(fmt.Errorf("--%s: %w", option, err))
	}
	return q, nil
}
