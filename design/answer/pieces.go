package answer

import "slices"

// pieces say what of a return is worked out at a point of the box, beside how it
// receives.
type pieces uint8

const (
	whenOpen      pieces = 1 << iota // the contact open, tubes hot and cold, and the depth
	whenUnguarded                    // the pulldown missing as well
	forDepth                         // the depth alone

	onReceive pieces = 0
)

// A need is what a result is read from: pieces of one return, or of all.
type need struct {
	r  int // which return
	of pieces
}

// everyReturn is the return of a need that takes them all, and what the shorts at
// audio points add.
const everyReturn = -1

func (n need) has(r int) bool { return n.r == everyReturn || n.r == r }

// covers tells whether all of another need is in this one.
func (n need) covers(m need) bool { return (n.r == everyReturn || n.r == m.r) && n.of&m.of == m.of }

// get reads one result from what was solved at x.
type get = func(s *solved, x []float64) float64

// A reader reads results of the returns at points of the box. Results of one need
// are one part of the work: they come together and cost nothing of the others.
//
// Everything about open returns is one part. Where a set is silenced least hides
// behind the caps of its stages; what raises a voltage or a current leads there as
// well, and with points of its own only the depth of a set was found 2 dB too good.
type reader struct {
	lifts *lifts
	gets  []get
	parts []int  // of each result
	needs []need // of each part
}

func (r *reader) add(n need, g get) {
	if n.of&whenOpen != 0 {
		n.r = everyReturn
	}
	part := slices.Index(r.needs, n)
	if part < 0 {
		part = len(r.needs)
		r.needs = append(r.needs, n)
	}
	r.gets, r.parts = append(r.gets, g), append(r.parts, part)
}

// eval reads everything at x.
func (r *reader) eval(x, out []float64) error {
	return r.read(x, need{everyReturn, whenOpen | whenUnguarded}, out, func(int) bool { return true })
}

// part reads the results of one part at x and leaves the others as they are.
func (r *reader) part(x []float64, part int, out []float64) error {
	return r.read(x, r.needs[part], out, func(i int) bool { return r.parts[i] == part })
}

func (r *reader) read(x []float64, n need, out []float64, wanted func(i int) bool) error {
	s, err := r.lifts.solve(x, n)
	if err != nil {
		return err
	}
	if r.lifts.seen != nil {
		r.lifts.seen(x, s)
	}
	for i, get := range r.gets {
		if wanted(i) {
			out[i] = get(s, x)
		}
	}
	return nil
}
