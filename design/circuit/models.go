package circuit

import (
	"errors"
	"fmt"
	"math"
)

// DiodeModel is a junction without charge:
//
//	i = IS·(exp(v/(N·Vt)) − 1) − IBV·exp(−(v + BV)/(N·Vt))
//
// in series with RS.
type DiodeModel struct {
	IS  float64 // A, saturation current
	N   float64 // emission coefficient; 0 means 1
	RS  float64 // Ω, series resistance; 0 for none
	BV  float64 // V, breakdown voltage (positive); 0 for none
	IBV float64 // A, current at BV; 0 means 1 mA
}

func (m DiodeModel) emission() float64 {
	if m.N == 0 {
		return 1
	}
	return m.N
}

func (m DiodeModel) check() error {
	return errors.Join(positive("IS", m.IS), positive("N", m.emission()), notNegative("RS", m.RS),
		notNegative("BV", m.BV), notNegative("IBV", m.IBV))
}

// TransistorModel is the transport form of Ebers and Moll (1954) without
// charge and without the Early effect:
//
//	Ic = IS·(e^(Vbe/Vt) − e^(Vbc/Vt)) − IS/BR·(e^(Vbc/Vt) − 1)
//	Ib = IS/BF·(e^(Vbe/Vt) − 1) + IS/BR·(e^(Vbc/Vt) − 1)
//
// with all signs turned for a pnp.
type TransistorModel struct {
	PNP bool
	IS  float64 // A, transport saturation current
	BF  float64 // forward current gain
	BR  float64 // reverse current gain; 0 means 1
}

func (m TransistorModel) reverse() float64 {
	if m.BR == 0 {
		return 1
	}
	return m.BR
}

func (m TransistorModel) check() error {
	return errors.Join(positive("IS", m.IS), positive("BF", m.BF), positive("BR", m.reverse()))
}

// TubeModel is the law of a pentode or beam tube above the knee; see
// [TubeModel.Cathode].
type TubeModel struct {
	G          float64 // A/V^1.5, perveance
	MuA        float64 // screen amplification factor of the main part
	MuB        float64 // that of the remote part; used when S > 0
	S          float64 // share of the remote part, 0 ≤ S < 1
	PlateShare float64 // plate current over cathode current, 0..1; 0 means 1 (no screen current)
	Count      float64 // tubes in parallel; 0 means 1
}

func (t TubeModel) share() float64 {
	if t.PlateShare == 0 {
		return 1
	}
	return t.PlateShare
}

func (t TubeModel) count() float64 {
	if t.Count == 0 {
		return 1
	}
	return t.Count
}

func (t TubeModel) check() error {
	err := errors.Join(positive("G", t.G), positive("MuA", t.MuA), notNegative("S", t.S), positive("Count", t.count()))
	if t.S > 0 {
		err = errors.Join(err, positive("MuB", t.MuB))
	}
	if t.S >= 1 {
		err = errors.Join(err, fmt.Errorf("share S must be below 1, not %g", t.S))
	}
	if s := t.share(); !(s >= 0 && s <= 1) {
		err = errors.Join(err, fmt.Errorf("plate share must lie between 0 and 1, not %g", s))
	}
	return err
}

// Toggle is one working of a switch by time.
type Toggle struct {
	At     float64 // s
	Closed bool    // state from then on
}

// Switch is two resistances and what chooses between them: a table of times,
// or the contact of an [Armature].
type Switch struct {
	On, Off    float64  // Ω; 0 means 10 mΩ and 1 TΩ
	Closed     bool     // state before the first toggle, or with the armature released (a break contact)
	Times      []Toggle // in ascending order; must be empty when Armature is set
	Armature   string   // name of the armature that works it, or empty
	CloseDelay float64  // s from the armature's arrival until the contact is closed for good (bounce)
	OpenDelay  float64  // s from the armature's arrival until the contact is open
}

func (s Switch) on() float64 {
	if s.On == 0 {
		return 10e-3 // a clean contact and its leads
	}
	return s.On
}

func (s Switch) off() float64 {
	if s.Off == 0 {
		return 1e12 // the leakage every junction is given too
	}
	return s.Off
}

func (s Switch) check() error {
	err := errors.Join(positive("On", s.on()), positive("Off", s.off()),
		notNegative("CloseDelay", s.CloseDelay), notNegative("OpenDelay", s.OpenDelay))
	if s.Armature != "" && len(s.Times) > 0 {
		err = errors.Join(err, errors.New("a switch is worked by times or by an armature, not both"))
	}
	for i, t := range s.Times {
		if math.IsNaN(t.At) || math.IsInf(t.At, 0) || i > 0 && t.At <= s.Times[i-1].At {
			err = errors.Join(err, fmt.Errorf("toggle times must be finite and ascending, not %g", t.At))
		}
	}
	return err
}

// Armature is the moving part of a relay. At rest it starts to move when the
// magnitude of its coil's current reaches Operate while rising, and arrives
// OperateTravel later; operated it starts to fall back when the current
// falls to Release, and arrives ReleaseTravel later. A movement that has
// begun is completed. At arrival the inductance becomes Closed or Open with
// the flux linkage L·i kept, and the contacts follow after their delays.
type Armature struct {
	Coil                         string  // name of the inductor
	Operate, Release             float64 // A; Release below Operate
	OperateTravel, ReleaseTravel float64 // s
	Open, Closed                 float64 // H with the armature at rest and operated; 0 keeps the inductor's value
	Operated                     bool    // state at the start
}

// henries returns the inductance in one of the two states, 0 for the coil's own.
func (a *Armature) henries(operated bool) float64 {
	if operated {
		return a.Closed
	}
	return a.Open
}

func (a Armature) check() error {
	err := errors.Join(positive("Operate", a.Operate), notNegative("Release", a.Release),
		notNegative("OperateTravel", a.OperateTravel), notNegative("ReleaseTravel", a.ReleaseTravel),
		notNegative("Open", a.Open), notNegative("Closed", a.Closed))
	if a.Release >= a.Operate {
		err = errors.Join(err, fmt.Errorf("release current %g A must be below operate current %g A", a.Release, a.Operate))
	}
	return err
}
