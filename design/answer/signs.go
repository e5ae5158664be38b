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
// are found once, and each relay is asked at these corners only. Only what one
// relay's sheet leaves in doubt and another's does not is settled for each relay,
// by the supply's regulation.
type Signs struct {
	corners     []corner
	regulations []drive.Regulation // of the supply in each corner; see [Signs.Regulate]
}

// A corner is where every number stands, as driveInputs lists them.
type corner struct {
	places  []place
	margin  func(drive.Sketch) float64 // the margin that is least there; nil: none
	settled bool                       // what belongs to the relays alone matters and stands as it should
}

// A place is where a number stands in its doubt. One that has little say is free:
// it follows another corner where that asks for it, else it leans to its own side.
type place struct {
	free, leans bool
	share       float64 // 0 at the low end, 1 at the high end
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

// weak is the share of a result's doubt below which an input has little say in it.
const weak = 1e-3

// turning is the result in which the crest of a winding counts one way with a
// small load on the reservoirs and the other way with a large one: both are asked.
const turning = "drive.winding.current"

// FindSigns finds the signs on a drive whose circuit is legal. It should have a
// dropper, else what one does is not seen.
func FindSigns(f *known.Facts, c Circuit) (*Signs, error) {
	q := driveQuestion(f, c.Fit.Hookup, f.Box.Nominal())
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
		Inputs: inputs, Outputs: len(sides), Touches: touched(q.uses, f.Box), Behind: behind(f.Box), Budget: signBudget, Noise: 1e-6,
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
		size := map[int]float64{}
		for _, e := range out.Effects {
			size[e.Input] = e.Size
		}
		name := q.columns[s.column].name
		c := corner{places: make([]place, len(q.uses)), margin: marginOf(f, name)}
		crest := -1
		for k, id := range q.uses {
			c.places[k].free = true
			if !id.Exists() || size[id.Index()] == 0 {
				continue
			}
			in := inputs[id.Index()]
			share := (at[id.Index()] - in.Low) / (in.High - in.Low)
			inside := 0 < share && share < 1 // the result hardly changes there
			c.places[k] = place{free: inside || size[id.Index()] <= weak*(out.High-out.Low), leans: true, share: share}
			if supply := f.Relays[0].Supply; supply >= 0 && id == f.Supplies[supply].Crest {
				crest = k
			}
			c.settled = c.settled || c.margin == nil && !c.places[k].free && slices.Contains(settling(f), id)
		}
		if crest >= 0 && name == turning {
			other := c
			other.places = slices.Clone(c.places)
			c.places[crest], other.places[crest] = place{leans: true, share: 1}, place{leans: true}
			signs.add(other)
		}
		signs.add(c)
	}
	return signs, nil
}

// marginOf is the margin of a column in a sketch, nil where it is no margin.
func marginOf(f *known.Facts, name string) func(drive.Sketch) float64 {
	for i := range f.Relays {
		switch name {
		case driveStem(&f.Relays[i]) + ".coil.operate_margin":
			return func(s drive.Sketch) float64 { return s.Coils[i].Operate }
		case driveStem(&f.Relays[i]) + ".coil.ceiling_margin":
			return func(s drive.Sketch) float64 { return s.Coils[i].Ceiling }
		}
	}
	return nil
}

// add keeps a corner; one that contradicts none of those of another is the same.
func (s *Signs) add(c corner) {
	for i := range s.corners {
		have := &s.corners[i]
		agree := (c.margin == nil || have.margin == nil) && !(c.settled && have.margin != nil) && !(have.settled && c.margin != nil)
		for k := range c.places {
			agree = agree && (c.places[k].free || have.places[k].free || c.places[k].share == have.places[k].share)
		}
		if agree {
			for k := range c.places {
				if p := &have.places[k]; p.free && (!c.places[k].free || !p.leans) {
					*p = c.places[k]
				}
			}
			if have.margin == nil {
				have.margin = c.margin
			}
			have.settled = have.settled || c.settled
			return
		}
	}
	s.corners = append(s.corners, c)
}

// Regulate solves the supply of the drive in every corner at loads in ohm,
// rising; see [drive.Regulate].
func (s *Signs) Regulate(f *known.Facts, c Circuit, loads []float64) error {
	s.regulations = nil
	for _, d := range s.Drives(f, c) {
		r, err := drive.Regulate(d, loads)
		if err != nil {
			return err
		}
		s.regulations = append(s.regulations, r)
	}
	return nil
}

// Sketch draws up what the coils of a drive do on the supply in a corner; see
// [drive.Regulation].
func (s *Signs) Sketch(corner int, d drive.Drive) drive.Sketch {
	return s.regulations[corner].Sketch(d)
}

// points are the corners of a drive on the same supply, as points of its box.
func (s *Signs) points(f *known.Facts, hook drive.Hookup) [][]float64 {
	list := make([][]float64, 0, len(s.corners))
	for _, c := range s.corners {
		list = append(list, pointOf(f, c.places))
	}
	if s.regulations == nil {
		return list
	}
	for n, c := range s.corners {
		if c.margin != nil {
			s.settle(f, hook, n, list[n])
		}
	}
	return list
}

// settle moves what belongs to the relays alone, in a corner where a margin is
// least, to the end at which it is less: what one sheet leaves in doubt another
// gives, and a coil that its own heat limits fears other ends than one that its
// sheet limits.
func (s *Signs) settle(f *known.Facts, hook drive.Hookup, n int, x []float64) {
	for _, id := range settling(f) {
		if !id.Exists() || f.Box.Entry(id).Certain() {
			continue
		}
		at := func(v float64) float64 {
			x[id.Index()] = v
			return s.corners[n].margin(s.regulations[n].Sketch(driveAt(f, hook, x)))
		}
		e, was := f.Box.Entry(id), x[id.Index()]
		low, high := at(e.Low), at(e.High)
		switch {
		case low < high:
			x[id.Index()] = e.Low
		case high < low:
			x[id.Index()] = e.High
		default:
			x[id.Index()] = was
		}
	}
}

// settling are the numbers that belong to the relays alone.
func settling(f *known.Facts) []known.ID {
	ids := []known.ID{f.Soaked, f.Ambient}
	for i := range f.Relays {
		ids = append(ids, coilInputs(&f.Relays[i])...)
	}
	return ids
}

// pointOf is a corner as a point of the box.
func pointOf(f *known.Facts, places []place) []float64 {
	x := f.Box.Nominal()
	for k, id := range driveInputs(f) {
		if id.Exists() && places[k].leans {
			e := f.Box.Entry(id)
			x[id.Index()] = e.Low + places[k].share*(e.High-e.Low)
		}
	}
	return x
}

// Drives are the drives in the corners.
func (s *Signs) Drives(f *known.Facts, c Circuit) []drive.Drive {
	var list []drive.Drive
	for _, x := range s.points(f, c.Fit.Hookup) {
		list = append(list, driveAt(f, c.Fit.Hookup, x))
	}
	return list
}

// Ask answers about a drive in the corners: the bad end of every result.
func (s *Signs) Ask(f *known.Facts, c Circuit) (Set, error) {
	var set Set
	points := s.points(f, c.Fit.Hookup)
	if len(points) == 0 {
		return set, nil
	}
	err := driveQuestion(f, c.Fit.Hookup, points[0]).over(points, &set)
	return set, err
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
