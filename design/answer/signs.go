package answer

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/spread"
)

// Signs say at which end of its doubt each number of a drive stands where the
// drive fares worst. They are signs of effect and the same for every relay on a
// supply with its rectifier: what weakens one coil weakens every coil. So they
// are found once, and each relay is asked at these corners only.
type Signs struct {
	corners [][]place // each as driveInputs lists the numbers
}

// A place is where a number stands in its doubt; free where it has no say.
type place struct {
	free  bool
	share float64 // 0 at the low end, 1 at the high end
}

// deciding are the results by which a drive is judged, and whether the bad end
// is the high one.
var deciding = []struct {
	tail string
	high bool
}{
	{".coil.operate_margin", false}, {".coil.ceiling_margin", false}, {".coil.release_margin", false},
	{"drive.winding.current", true}, {"drive.winding.load", true},
	{"drive.buffer.gain", true}, {"drive.buffer.off", true}, {"drive.buffer.voltage", true},
	{"control.open", true}, {"control.closed", true}, {"control.kick", true},
}

// signBudget suffices for every input alone and all corners; what rechecks would
// add is for the full worst case.
const signBudget = 40

// weak is the share of a result's doubt below which an input has no say in it.
const weak = 1e-3

// FindSigns finds the signs on a drive whose circuit is legal. It should have a
// dropper, else what one does is not seen.
func FindSigns(f *known.Facts, c Circuit) (*Signs, error) {
	q := driveQuestion(f, c.Fit.Hookup)
	type side struct {
		column int
		high   bool
	}
	var sides []side
	for i, column := range q.columns {
		for _, d := range deciding {
			if strings.HasSuffix(column.name, d.tail) {
				sides = append(sides, side{i, d.high})
			}
		}
	}
	inputs := inputsOf(f.Box)
	result, err := spread.Worst(spread.Problem{
		Inputs: inputs, Outputs: len(sides), Touches: touched(q.uses, f.Box), Budget: signBudget, Noise: 1e-6,
		Eval: func(x, out []float64) error {
			all := make([]float64, len(q.columns))
			if err := q.eval(x, all); err != nil {
				return err
			}
			for i, s := range sides {
				out[i] = all[s.column]
			}
			return nil
		},
	})
	if err != nil {
		return nil, fmt.Errorf("signs of the relay drive: %w", err)
	}
	signs := &Signs{}
	for i, s := range sides {
		out := result.Outputs[i]
		if !out.Exists() {
			continue
		}
		at := out.AtLow
		if s.high {
			at = out.AtHigh
		}
		strong := map[int]bool{}
		for _, e := range out.Effects {
			strong[e.Input] = e.Size > weak*(out.High-out.Low)
		}
		corner := make([]place, len(q.uses))
		for k, id := range q.uses {
			corner[k].free = true
			if id.Exists() && strong[id.Index()] {
				in := inputs[id.Index()]
				corner[k] = place{share: (at[id.Index()] - in.Low) / (in.High - in.Low)}
			}
		}
		signs.add(corner)
	}
	return signs, nil
}

// add keeps a corner; one that contradicts none of those of another is the same.
func (s *Signs) add(corner []place) {
	for _, have := range s.corners {
		agree := true
		for k := range corner {
			agree = agree && (corner[k].free || have[k].free || corner[k].share == have[k].share)
		}
		if agree {
			for k := range corner {
				if have[k].free {
					have[k] = corner[k]
				}
			}
			return
		}
	}
	s.corners = append(s.corners, corner)
}

// points are the corners as points of the box of a drive with the same supply.
func (s *Signs) points(f *known.Facts) [][]float64 {
	ids := driveInputs(f)
	list := make([][]float64, 0, len(s.corners))
	for _, corner := range s.corners {
		x := f.Box.Nominal()
		for k, p := range corner {
			if !p.free && ids[k].Exists() {
				e := f.Box.Entry(ids[k])
				x[ids[k].Index()] = e.Low + p.share*(e.High-e.Low)
			}
		}
		list = append(list, x)
	}
	return list
}

// Drives are the drives in the corners, each after an edit.
func (s *Signs) Drives(f *known.Facts, c Circuit) []drive.Drive {
	var list []drive.Drive
	for _, x := range s.points(f) {
		list = append(list, driveAt(f, c.Fit.Hookup, x))
	}
	return list
}

// over asks the question at some points only, and adds the ends that it finds.
// Nominal is the result at the first of them: nobody who asks so wants it.
func (q question) over(points [][]float64, into *Set) error {
	outs := make([][]float64, len(points))
	for i, x := range points {
		outs[i] = make([]float64, len(q.columns))
		if err := q.eval(x, outs[i]); err != nil {
			return fmt.Errorf("%s: %w", q.name, err)
		}
	}
	for k, c := range q.columns {
		found := Quantity{Name: c.name, Unit: c.unit, Nominal: math.NaN(), Low: math.Inf(1), High: math.Inf(-1), Working: Working{Formula: c.formula, Source: c.source}}
		for _, out := range outs {
			v := c.capped(out[k])
			if math.IsNaN(v) {
				continue
			}
			if math.IsNaN(found.Nominal) {
				found.Nominal = v
			}
			found.Low, found.High = math.Min(found.Low, v), math.Max(found.High, v)
		}
		if !math.IsNaN(found.Nominal) {
			into.Add(found)
		}
	}
	return nil
}

// sameBits is a key by the exact values of numbers.
func sameBits(values ...float64) string {
	b := make([]byte, 0, 8*len(values))
	for _, v := range values {
		u := math.Float64bits(v)
		for k := range 8 {
			b = append(b, byte(u>>(8*k)))
		}
	}
	return string(slices.Clip(b))
}
