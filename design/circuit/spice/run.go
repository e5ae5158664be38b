package spice

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"mutewright/design/circuit"
)

// wave is a signal in time.
type wave struct{ times, values []float64 }

// Solve runs the deck in the project's engine. It is for one goroutine at a time.
func (d *Deck) Solve() ([]Value, error) {
	a := d.Analysis
	switch a.Kind {
	case OperatingPoint, SmallSignals:
		return d.solvePoint()
	}
	var trace *circuit.Trace
	var err error
	if a.Kind == Periodic {
		trace, err = d.Circuit.Periodic(a.Period, circuit.TransientOptions{Over: d.course})
	} else {
		trace, err = d.Circuit.Transient(a.Until, circuit.TransientOptions{Cold: a.Cold, Over: d.course})
	}
	if err != nil {
		return nil, err
	}
	d.course = trace
	return d.measure(func(s string) (wave, error) {
		nodes, element, err := signal(s)
		if err != nil {
			return wave{}, err
		}
		if element != "" {
			return wave{trace.Times(), trace.Amps(element)}, nil
		}
		v := trace.Volts(d.Circuit.Node(nodes[0]))
		if len(nodes) == 2 {
			for i, minus := range trace.Volts(d.Circuit.Node(nodes[1])) {
				v[i] -= minus
			}
		}
		return wave{trace.Times(), v}, nil
	})
}

func (d *Deck) solvePoint() ([]Value, error) {
	rest := d.Circuit
	point, err := rest.OperatingPoint(circuit.Options{})
	if d.Analysis.Kind == OperatingPoint {
		if err != nil {
			return nil, err
		}
		return d.each(func(s string) (complex128, error) {
			nodes, element, err := signal(s)
			if err != nil {
				return 0, err
			}
			if element != "" {
				return complex(point.Amps(element), 0), nil
			}
			v := point.Volts(rest.Node(nodes[0]))
			if len(nodes) == 2 {
				v -= point.Volts(rest.Node(nodes[1]))
			}
			return complex(v, 0), nil
		})
	}
	if errors.Is(err, circuit.ErrFloating) || errors.Is(err, circuit.ErrLoop) {
		point, err = nil, nil // a linear network without a point of rest
	}
	if err != nil {
		return nil, err
	}
	phasors, err := rest.AC(point, d.Analysis.Hz)
	if err != nil {
		return nil, err
	}
	return d.each(func(s string) (complex128, error) {
		nodes, element, err := signal(s)
		if err != nil {
			return 0, err
		}
		if element != "" {
			return phasors.Amps(element), nil
		}
		v := phasors.Volts(rest.Node(nodes[0]))
		if len(nodes) == 2 {
			v -= phasors.Volts(rest.Node(nodes[1]))
		}
		return v, nil
	})
}

// each takes the measures of an operating point or of small signals.
func (d *Deck) each(value func(signal string) (complex128, error)) ([]Value, error) {
	var out []Value
	for _, m := range d.Measures {
		z, err := value(m.Signal)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m.Name, err)
		}
		var v float64
		switch {
		case m.Kind == "value" && d.Analysis.Kind == OperatingPoint:
			v = real(z)
		case m.Kind == "magnitude":
			v = cmplx.Abs(z)
		case m.Kind == "phase":
			v = cmplx.Phase(z) * 180 / math.Pi
		default:
			return nil, fmt.Errorf("%s: no %s in this analysis", m.Name, m.Kind)
		}
		out = append(out, Value{m.Name, v})
	}
	return out, nil
}

// measure takes the measures of signals in time.
func (d *Deck) measure(get func(signal string) (wave, error)) ([]Value, error) {
	var out []Value
	waves := map[string]wave{}
	for _, m := range d.Measures {
		w, known := waves[m.Signal]
		if !known {
			var err error
			if w, err = get(m.Signal); err != nil {
				return nil, fmt.Errorf("%s: %w", m.Name, err)
			}
			waves[m.Signal] = w
		}
		v, err := w.take(m)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m.Name, err)
		}
		out = append(out, Value{m.Name, v})
	}
	return out, nil
}

// take works out one measure.
func (w wave) take(m Measure) (float64, error) {
	switch m.Kind {
	case "at":
		return w.at(m.At), nil
	case "rises", "falls":
		return w.passage(m.Level, m.Kind == "rises", m.From)
	}
	if m.To > 0 {
		w = w.between(m.From, m.To)
	}
	if len(w.times) < 2 {
		return 0, fmt.Errorf("no instants between %g s and %g s", m.From, m.To)
	}
	least, most, sum, square := w.values[0], w.values[0], 0.0, 0.0
	for i := 1; i < len(w.times); i++ {
		a, b, h := w.values[i-1], w.values[i], w.times[i]-w.times[i-1]
		least, most = min(least, b), max(most, b)
		sum += h * (a + b) / 2
		square += h * (a*a + a*b + b*b) / 3
	}
	span := w.times[len(w.times)-1] - w.times[0]
	switch m.Kind {
	case "mean":
		return sum / span, nil
	case "rms":
		return math.Sqrt(square / span), nil
	case "least":
		return least, nil
	case "most":
		return most, nil
	case "swing":
		return most - least, nil
	}
	return 0, fmt.Errorf("no %s in this analysis", m.Kind)
}

func (w wave) at(t float64) float64 {
	for i := 1; i < len(w.times); i++ {
		if w.times[i] >= t && w.times[i] > w.times[i-1] {
			f := (t - w.times[i-1]) / (w.times[i] - w.times[i-1])
			return w.values[i-1] + f*(w.values[i]-w.values[i-1])
		}
	}
	return w.values[len(w.values)-1]
}

func (w wave) passage(level float64, rising bool, after float64) (float64, error) {
	for i := 1; i < len(w.times); i++ {
		a, b := w.values[i-1]-level, w.values[i]-level
		if !rising {
			a, b = -a, -b
		}
		if a < 0 && b >= 0 {
			if t := w.times[i-1] + (w.times[i]-w.times[i-1])*a/(a-b); t >= after {
				return t, nil
			}
		}
	}
	return 0, fmt.Errorf("%g is not passed", level)
}

// between cuts a wave to a window, with interpolated ends.
func (w wave) between(from, to float64) wave {
	cut := wave{[]float64{from}, []float64{w.at(from)}}
	for i, t := range w.times {
		if t > from && t < to {
			cut.times, cut.values = append(cut.times, t), append(cut.values, w.values[i])
		}
	}
	return wave{append(cut.times, to), append(cut.values, w.at(to))}
}

// Installed reports whether ngspice can be run.
func Installed() bool {
	_, err := exec.LookPath("ngspice")
	return err == nil
}

var versionForm = regexp.MustCompile(`ngspice-\d+(\.\d+)*`)

// Ngspice runs a deck's text in ngspice, in the folder of the deck for the
// sake of its library, and returns the measures and ngspice's version.
func (d *Deck) Ngspice(text, folder string) (values []Value, version string, err error) {
	work, err := os.MkdirTemp("", "deck")
	if err != nil {
		return nil, "", err
	}
	defer os.RemoveAll(work)
	data := filepath.Join(work, "data.txt")
	index := map[string]int{}
	var signals []string
	for _, m := range d.Measures {
		if _, known := index[m.Signal]; !known {
			index[m.Signal] = len(signals)
			signals = append(signals, m.Signal)
		}
	}
	control := "\n.control\nset numdgt=14\nset wr_singlescale\nrun\nwrdata " + data + " " + strings.Join(expressions(signals), " ") + "\nversion\nquit\n.endc\n.end\n"
	body := regexp.MustCompile(`(?mi)^\.end\s*$`).ReplaceAllString(text, "")
	deck := filepath.Join(work, "deck.cir")
	if err := os.WriteFile(deck, []byte(body+control), 0o600); err != nil {
		return nil, "", err
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	cmd := exec.CommandContext(ctx, "ngspice", "-b", deck)
	cmd.Dir = folder
	log, runErr := cmd.CombinedOutput()
	version = versionForm.FindString(string(log))
	columns, err := readColumns(data)
	if err != nil {
		return nil, version, fmt.Errorf("ngspice gave nothing (%v): %w\n%s", runErr, err, log)
	}
	values, err = d.fromColumns(columns, index)
	if err != nil {
		err = fmt.Errorf("%w\n%s", err, log)
	}
	return values, version, err
}

// patience is how long ngspice may take over a deck; its step can shrink
// without end where a node hangs on leakage alone.
const patience = 3 * time.Minute

// expressions writes signals as ngspice computes them.
func expressions(signals []string) []string {
	out := make([]string, len(signals))
	for i, s := range signals {
		out[i] = s
		if nodes, _, _ := signal(s); len(nodes) == 2 {
			out[i] = fmt.Sprintf("v(%s)-v(%s)", nodes[0], nodes[1])
		}
	}
	return out
}

// fromColumns takes the measures from what wrdata wrote: the scale, then a
// column a signal, or real and imaginary part of each.
func (d *Deck) fromColumns(columns [][]float64, index map[string]int) ([]Value, error) {
	column := func(i int) ([]float64, error) {
		if i >= len(columns) || len(columns[i]) == 0 {
			return nil, errors.New("ngspice left out a signal")
		}
		return columns[i], nil
	}
	switch d.Analysis.Kind {
	case OperatingPoint:
		return d.each(func(s string) (complex128, error) {
			v, err := column(1 + index[s])
			if err != nil {
				return 0, err
			}
			return complex(v[0], 0), nil
		})
	case SmallSignals:
		return d.each(func(s string) (complex128, error) {
			re, err := column(1 + 2*index[s])
			if err != nil {
				return 0, err
			}
			im, err := column(2 + 2*index[s])
			if err != nil {
				return 0, err
			}
			return complex(re[0], im[0]), nil
		})
	}
	if times := columns[0]; times[len(times)-1] < d.Analysis.Until*(1-1e-6) {
		return nil, fmt.Errorf("ngspice gave up at %g s", times[len(times)-1])
	}
	return d.measure(func(s string) (wave, error) {
		v, err := column(1 + index[s])
		if err != nil {
			return wave{}, err
		}
		w := wave{columns[0], v}
		if d.Analysis.Kind == Periodic {
			end := w.times[len(w.times)-1]
			w = w.between(end-d.Analysis.Period, end)
		}
		return w, nil
	})
}

func readColumns(path string) ([][]float64, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var columns [][]float64
	for row := range bytes.Lines(text) {
		for i, f := range bytes.Fields(row) {
			v, err := strconv.ParseFloat(string(f), 64)
			if err != nil {
				return nil, fmt.Errorf("ngspice wrote %q", f)
			}
			if i == len(columns) {
				columns = append(columns, nil)
			}
			columns[i] = append(columns[i], v)
		}
	}
	return columns, nil
}
