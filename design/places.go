package design

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"mutewright/design/answer"
	"mutewright/design/fitting"
	"mutewright/design/known"
)

// A Place is somewhere in the chassis where a voltage stands, with the highest
// it may reach in each state, V to chassis, without sign. A rail counts with its
// tubes still cold, since it stands there for half a minute in every state.
type Place struct {
	Where  string // "X5 tag 3 (ht)", "mute_line: 12, CUT 1, CUT 2"
	Kind   PlaceKind
	Return string // of a lifted node and a cathode: the return's name

	Receive, Muted, Unguarded float64 // Unguarded: muted with the pulldown missing

	// Of a rail.
	Point string // where to measure: "X5 tag 3"
}

// PlaceKind says what stands at a place.
type PlaceKind uint8

// The kinds of place.
const (
	RailPlace    PlaceKind = iota
	StandbyPlace           // the set's own standby terminals
	LiftedPlace
	CathodePlace
)

// Highest is the highest voltage in any state, V.
func (p Place) Highest() float64 { return max(p.Receive, p.Muted, p.Unguarded) }

// places lists where voltage stands: rails, the set's own standby terminals, lifted
// nodes, cathodes; of each kind the highest first.
func places(f *known.Facts, a *answer.Answers, fit *fitting.Fitting) []Place {
	var list []Place
	high := func(name string) float64 {
		q, _ := a.Get(name) // a missing name is 0 V: the node at chassis
		return math.Max(math.Abs(q.Low), math.Abs(q.High))
	}
	for i := range f.Supplies {
		s := &f.Supplies[i]
		if !s.Rail {
			continue
		}
		ratio := f.Box.Entry(f.Mains.Ratio).High
		if s.Regulated {
			ratio = 1
		}
		volts := 0.0
		for _, id := range []known.ID{s.Volts, s.Unloaded} {
			if id.Exists() {
				e := f.Box.Entry(id)
				volts = max(volts, math.Abs(e.Low)*ratio, math.Abs(e.High)*ratio)
			}
		}
		list = append(list, Place{
			Where: s.Live + " (" + s.Name + ")", Kind: RailPlace, Point: s.Live,
			Receive: volts, Muted: volts, Unguarded: volts,
		})
	}
	for i := range f.Standby {
		s := &f.Standby[i]
		volts := high(fmt.Sprintf("standby.%d.voltage", i+1))
		if volts == 0 || s.Return >= 0 { // those stand on a lifted node
			continue
		}
		list = append(list, Place{Where: s.Name, Kind: StandbyPlace, Receive: volts, Muted: volts, Unguarded: volts})
	}
	for i := range fit.Wiring.Groups {
		g := &fit.Wiring.Groups[i]
		stem := "return." + g.Name
		var cuts []string
		for _, s := range g.Stubs {
			cuts = append(cuts, fmt.Sprintf("CUT %d", s.Cut))
			for _, c := range s.Lifts {
				cuts = append(cuts, fmt.Sprintf("CUT %d", c.Cut))
			}
		}
		if n := len(cuts); n > 2 { // they are numbered one after another
			cuts = []string{cuts[0] + " to " + cuts[n-1]}
		}
		muted := max(high(stem+".muted"), high(stem+".muted_cold"))
		list = append(list, Place{
			Where: g.Name + ": " + g.Contact.Name + ", " + strings.Join(cuts, ", "), Kind: LiftedPlace, Return: g.Name,
			Muted: muted, Unguarded: max(muted, high(stem+".unguarded")),
		})
		for _, s := range g.Stubs {
			point := "point." + s.Name + ".cathode"
			if _, ok := a.Get(point + ".muted"); !ok {
				continue
			}
			where := s.Name + " cathode"
			if s.Kind == fitting.GainControl {
				where = s.Name + " cathodes"
			}
			muted := high(point + ".muted")
			list = append(list, Place{
				Where: where, Kind: CathodePlace, Return: g.Name,
				Receive: high(point + ".receive"), Muted: muted, Unguarded: max(muted, high(point+".unguarded")),
			})
		}
	}
	slices.SortStableFunc(list, func(a, b Place) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(b.Highest(), a.Highest()))
	})
	return list
}
