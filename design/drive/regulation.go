package drive

import (
	"math"
	"math/cmplx"
)

// A Regulation is one corner of a supply as its loads see it: solved at some
// loads, and followed between them. It tells many coils and droppers apart in no
// time; what is chosen with it is solved afterwards.
//
// A rectifier behaves alike where the product of load and reservoir is the same
// (Schade, Proc. IRE 1943: ωCR and the resistance in front over R are all that
// counts), so that the reservoir is scaled with the load, and only the ripple is
// scaled to the one that is fitted.
type Regulation struct {
	d        Drive
	released float64     // V
	loads    []regulated // rising ohms
}

// regulated is the supply at one load.
type regulated struct {
	ohms, log float64 // and its logarithm
	farads    float64
	volts     float64 // mean
	dip       float64 // mean less lowest instant
	ripple    float64 // peak to peak
	current   float64 // A rms of the winding
	total     float64 // A rms of the winding with the heaters
}

// perCycle is the load times the reservoir, in periods of the mains, at which a
// regulation is solved: the ripple of every rectifier is then some 5 %.
const perCycle = 20.0

// nearBase is about how much less a base resistor must be than the coil times
// [ForcedGain], for the voltage from base to emitter and its resistor's current.
const nearBase = 0.85

// Regulate solves the supply of a drive at loads in ohm, rising, at least four
// of them. Of the drive's coils only the first counts, for what its inductance
// does to the ripple.
func Regulate(d Drive, loads []float64) (Regulation, error) {
	r := Regulation{d: d}
	like := d.Coils[0]
	like.Dropper, like.Hold = 0, Hold{}
	perOhm := like.Henries / like.Ohms
	var solved Result
	var err error
	for _, ohms := range loads {
		at := d
		at.Warmth = AtTwenty
		like.Ohms, like.Henries = ohms, perOhm*ohms
		at.Coils = []Coil{like}
		if d.Hookup.Buffer() != NoBuffer {
			at.Buffer.Base = nearBase * ForcedGain * ohms
			at.Buffer.BaseEmitter = max(at.Buffer.BaseEmitter, at.Buffer.Base) // else it takes all there is
		}
		if d.Rectifier != None {
			at.Reservoir = perCycle / d.Winding.Hertz / ohms
		}
		if solved, err = solved.Near(at); err != nil {
			return Regulation{}, err
		}
		coil := solved.Coils[0]
		r.released = solved.Supply.Released
		r.loads = append(r.loads, regulated{
			ohms: ohms, log: math.Log(ohms), farads: at.Reservoir, volts: coil.Volts, dip: coil.Volts - coil.Least, ripple: solved.Supply.Ripple,
			current: solved.Winding.Current, total: solved.Winding.Total,
		})
	}
	return r, nil
}

// at is the supply at a load: a cubic through the four nearest loads on a
// logarithmic axis. The current goes on in proportion between them.
func (r Regulation) at(ohms float64) (between regulated) {
	ohms = min(max(ohms, r.loads[0].ohms), r.loads[len(r.loads)-1].ohms)
	n := 2
	for n < len(r.loads)-2 && r.loads[n].ohms < ohms {
		n++
	}
	four := r.loads[n-2 : n+2]
	at := math.Log(ohms)
	for i := range four {
		weight := 1.0
		for j := range four {
			if i != j {
				weight *= (at - four[j].log) / (four[i].log - four[j].log)
			}
		}
		l := &four[i]
		between.volts += weight * l.volts
		between.dip += weight * l.dip
		between.ripple += weight * l.ripple
		between.current += weight * l.current * l.ohms / ohms
		between.total += weight * l.total
	}
	between.ohms, between.farads = ohms, four[0].farads*four[0].ohms/ohms
	return between
}

// A Sketch is what a regulation says of coils on it, before they are solved.
// Margins are good to 5 %, the current of the winding to 20 %.
type Sketch struct {
	Coils    []CoilSketch
	Ripple   float64 // V peak to peak over mean, with that reservoir
	Current  float64 // A rms in the lead from winding or rail
	Total    float64 // A rms of the winding with the heaters
	Amps     float64 // A through all coils
	Released float64 // V of the supply, all coils released
}

// CoilSketch is the two margins of one coil, as in [CoilResult], and its current.
type CoilSketch struct{ Operate, Ceiling, Amps float64 }

// Sketch draws up what the coils of a drive do on the supply, with the drive's
// reservoir and at its warmth; the rest of it does not count.
func (r Regulation) Sketch(d Drive) Sketch {
	coils, farads := d.Coils, d.Reservoir
	s := Sketch{Coils: make([]CoilSketch, len(coils)), Released: r.released}
	ohms := make([]float64, len(coils))
	load := r.loads[len(r.loads)-1].ohms
	var supply regulated
	const rounds = 8 // each brings the load some ten times nearer
	for range rounds {
		supply = r.at(load)
		s.Amps = 0
		for i, c := range coils {
			ohms[i] = c.warm(d.Warmth, supply.volts, c.Dropper)
			s.Amps += supply.volts / (ohms[i] + c.Dropper)
		}
		load = supply.volts / s.Amps
	}
	scale := 1.0
	if r.d.Rectifier != None && farads > 0 {
		scale = supply.farads / farads
	}
	s.Current, s.Total, s.Ripple = supply.current, supply.total, scale*supply.ripple/supply.volts
	if r.d.Rectifier == None {
		s.Current = s.Amps
	}
	for i, c := range coils {
		// What of the ripple reaches the coil behind its dropper: |Z|/|Z + r|.
		z := complex(ohms[i], 2*math.Pi*r.d.Winding.Hertz*c.Henries)
		dip := scale * supply.dip * cmplx.Abs(z) / cmplx.Abs(z+complex(c.Dropper, 0))
		amps := supply.volts / (ohms[i] + c.Dropper)
		volts := amps * ohms[i]
		s.Coils[i] = CoilSketch{
			Operate: (volts - dip) / (c.Operate * c.Rated * ohms[i] / c.Ohms),
			Ceiling: c.permitted() / volts,
			Amps:    amps,
		}
	}
	return s
}
