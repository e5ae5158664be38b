package circuit

import (
	"fmt"
	"math"
	"slices"
)

// OperatingPoint solves the network at rest: capacitors open, inductors
// short, sources at their value at time 0, switches and armatures as they
// stand then. An armature whose coil carries its operate current is
// operated, one whose coil carries less than its release current is not.
//
// Newton's method is tried from the guess, then with a conductance from
// every node to chassis that is taken away by and by (g-min stepping), then
// with the sources raised from zero (source stepping).
func (c *Circuit) OperatingPoint(o Options) (*Point, error) {
	s, err := c.prepare(true)
	if err != nil {
		return nil, err
	}
	if err := s.restAt(0, o); err != nil {
		return nil, err
	}
	return s.point(), nil
}

func (s *solver) point() *Point {
	s.write(0)
	store := make(shelf, len(s.record)+len(s.vj))
	p := &Point{circuit: s.c, lay: s.lay, record: store.take(len(s.record)), closed: slices.Clone(s.closed),
		vj: store.take(len(s.vj)), tubes: slices.Clone(s.v), operated: make([]bool, len(s.c.armatures))}
	copy(p.record, s.record)
	copy(p.vj, s.vj)
	for i := range s.c.armatures {
		p.operated[i] = s.armature[i].operated
	}
	return p
}

// restAt finds the operating point with the sources as at time t, and with
// the armatures where their coil currents hold them.
func (s *solver) restAt(t float64, o Options) *Error {
	if o.Guess != nil && len(o.Guess.record) == s.lay.width {
		copy(s.x, o.Guess.record[:s.n])
		copy(s.vj, o.Guess.vj)
	} else {
		s.guessJunctions()
	}
	// Each armature may move once each way; more is a buzzer.
	for range 2*len(s.c.armatures) + 1 {
		if err := s.rest(t, o); err != nil {
			return err
		}
		moved := -1
		for i := range s.c.armatures {
			a := &s.c.armatures[i]
			amps := math.Abs(s.x[s.lay.inductors+a.coil])
			if now := s.armature[i].operated; !now && amps >= a.spec.Operate || now && amps <= a.spec.Release {
				s.place(i, !now)
				moved = i
			}
		}
		if moved < 0 {
			s.accept(atRest)
			return nil
		}
		if len(s.c.armatures) == 0 {
			break
		}
	}
	return &Error{Stage: StageOperating, Time: t, Element: s.c.armatures[0].name,
		Err: fmt.Errorf("%w: a relay that opens its own coil has no state of rest", ErrConvergence)}
}

// guessJunctions lets forward junctions conduct, from where Newton's method
// turns the blocked ones off at once.
func (s *solver) guessJunctions() {
	for i := range s.c.diodes {
		s.vj[i] = s.c.diodes[i].law.critical
	}
	for i := range s.c.transistors {
		k := len(s.c.diodes) + 2*i
		s.vj[k], s.vj[k+1] = s.c.transistors[i].junction.critical, 0
	}
}

// rest is Newton's method with its two rescues.
func (s *solver) rest(t float64, o Options) *Error {
	most := o.MaxIterations
	if most == 0 {
		most = 100
	}
	s.assemble(atRest, 0, t)
	culprit, err := s.newton(most, restTolerance)
	if err == nil {
		return nil
	}
	if s.linear {
		return s.blame(StageOperating, t, culprit, err)
	}
	if s.gminStepping(t, most) {
		return nil
	}
	culprit, err = s.sourceStepping(t, most)
	if err != nil {
		return s.blame(StageSource, t, culprit, err)
	}
	return nil
}

// gminStepping solves with 10 mS from every node to chassis, then with ever
// less, and at last with none. The factor becomes smaller where it is hard.
func (s *solver) gminStepping(t float64, most int) bool {
	defer func() { s.gmin = 0 }()
	clear(s.x)
	s.guessJunctions()
	g, factor := 1e-2, 10.0
	x, vj := slices.Clone(s.x), slices.Clone(s.vj)
	good := math.Inf(1)
	for tries := 0; tries < 60; tries++ {
		s.gmin = g
		s.assemble(atRest, 0, t)
		if _, err := s.newton(most, restTolerance); err != nil {
			if math.IsInf(good, 1) || factor < 1.05 {
				return false
			}
			factor = math.Sqrt(factor)
			g = good / factor
			copy(s.x, x)
			copy(s.vj, vj)
			continue
		}
		copy(x, s.x)
		copy(vj, s.vj)
		good = g
		if g < 1e-13 { // below the leak of a junction it changes nothing
			s.gmin = 0
			s.assemble(atRest, 0, t)
			_, err := s.newton(most, restTolerance)
			return err == nil
		}
		g /= factor
	}
	return false
}

// sourceStepping raises all sources together from zero.
func (s *solver) sourceStepping(t float64, most int) (culprit int, err error) {
	defer func() { s.scale = 1 }()
	clear(s.x)
	clear(s.vj)
	x, vj := slices.Clone(s.x), slices.Clone(s.vj)
	done, step := 0.0, 0.1
	for done < 1 {
		s.scale = min(1, done+step)
		s.assemble(atRest, 0, t)
		culprit, err = s.newton(most, restTolerance)
		if err != nil {
			if step /= 4; step < 1e-5 {
				return culprit, err
			}
			copy(s.x, x)
			copy(s.vj, vj)
			continue
		}
		copy(x, s.x)
		copy(vj, s.vj)
		done = s.scale
		step = min(2*step, 0.25)
	}
	return 0, nil
}
