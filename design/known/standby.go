package known

import (
	"fmt"
	"slices"

	"mutewright/design/document"
	"mutewright/design/plan"
	"mutewright/design/quantity"
)

// Standby is a standby control, or a pair of terminals, that the set already has.
type Standby struct {
	At        string // key path: "receiver.standby.1"
	Name      string
	Opens     string // cathode return, b plus, ht centre tap, screens, oscillator
	Return    int    // index into Returns of the return that it opens too; -1: none
	Volts     ID     // across its open terminals; does not exist where the lifted node gives it
	Reachable bool
	Left      string // in use, strapped, open, removed
}

// Grounded tells whether one of its terminals is chassis while it is closed:
// such terminals are only live when they are open.
func (s *Standby) Grounded() bool {
	return s.Opens == string(plan.OpensCathodeReturn) || s.Opens == string(plan.OpensCentreTap)
}

func (b *builder) standby(p *plan.Plan) {
	list := &p.Receiver.Standby
	if !list.Given() && list.State != document.None {
		b.nothing(list.Path, "none is stated: look for terminals and switches that the set already has")
	}
	for i := range list.Items {
		from := &list.Items[i]
		s := Standby{
			At: from.Path, Return: -1,
			Name:      text(from.Name, fmt.Sprintf("standby control %d", i+1)),
			Opens:     word(b, from.Opens, plan.OpensBPlus, "the commonest: look where its wires go"),
			Reachable: flag(b, from.Reachable, "nobody says that it comes out to a terminal: look"),
			Left:      word(b, from.Left, plan.LeftInUse, "it stays as it is"),
		}
		if from.Return.Given() {
			s.Return = slices.IndexFunc(b.Returns, func(r Return) bool { return r.Name == from.Return.Is })
			if s.Opens != string(plan.OpensCathodeReturn) {
				b.unused(from.Return.Path, "what it opens is no cathode return")
				s.Return = -1
			}
		}
		if s.Return < 0 || from.Voltage.Given() {
			s.Volts = takeOr(b, from.Voltage, exact, func() usual { return openTerminals(b.Facts, &s) })
			b.positive(s.Volts, "its sign says nothing about the danger")
		}
		b.Standby = append(b.Standby, s)
	}
}

// Unused is a key of the plan that has no meaning where it stands.
type Unused struct{ At, Because string }

func (b *builder) unused(at, because string) { b.Unused = append(b.Unused, Unused{at, because}) }

// Mended is a value that cannot be as the plan gives it, and what was taken so
// that the rest could be worked out.
type Mended struct{ At, Says, Taken string }

// positive turns a number that the plan gives below zero over.
func (b *builder) positive(id ID, because string) {
	if !id.Exists() {
		return
	}
	e := &b.Box[id.Index()]
	if e.Low >= 0 {
		return
	}
	b.Mended = append(b.Mended, Mended{
		At:    e.At,
		Says:  fmt.Sprintf("%s is below zero here; %s", quantity.Format(e.Nominal, e.Unit), because),
		Taken: quantity.Format(max(e.Nominal, -e.Nominal), e.Unit),
	})
	if e.High <= 0 {
		e.Nominal, e.Low, e.High = -e.Nominal, -e.High, -e.Low
		return
	}
	e.Low, e.High = 0, max(e.High, -e.Low) // a range through zero: either sign counts
	e.Nominal = max(e.Nominal, -e.Nominal)
}
