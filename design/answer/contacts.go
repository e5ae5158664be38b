package answer

import (
	"math"

	"mutewright/design/contact"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// A Pole is a pole of a relay that serves a return or a point.
type Pole struct {
	Letter string // "K1a"
	Serves string // name of the return, or of the antenna or audio point
	Relay  int    // index of the relay
	Number int    // of the pole on its relay, from 0
	Throw  contact.Throw
	Dry    bool
}

// A Refusal is a return or point that got no pole.
type Refusal struct {
	Serves string
	Throw  contact.Throw
	Reason contact.Reason
}

// Poles is which pole serves what.
type Poles struct {
	Used     []Pole
	Refusals []Refusal
	Spare    []int // poles left of each relay
}

// Serving returns the poles that serve a return or a point.
func (p *Poles) Serving(name string) []Pole {
	var list []Pole
	for _, u := range p.Used {
		if u.Serves == name {
			list = append(list, u)
		}
	}
	return list
}

// assign gives the returns, then the antenna and audio points their poles.
func assign(f *known.Facts) Poles {
	var demands []contact.Demand
	onReceive := func(name string) bool {
		for i := range f.Relays {
			for _, s := range f.Relays[i].Serves {
				if s == name {
					return f.Relays[i].OnReceive
				}
			}
		}
		return len(f.Relays) > 0 && f.Relays[0].OnReceive
	}
	// A return opens and a short closes when the set mutes.
	want := func(name string, opens bool) contact.Throw {
		if opens == onReceive(name) {
			return contact.Make
		}
		return contact.Break
	}
	for _, r := range f.Returns {
		demands = append(demands, contact.Demand{Name: r.Name, Throw: want(r.Name, true)})
	}
	for i := range f.Points {
		p := &f.Points[i]
		switch {
		case p.Kind == known.Audio, p.Kind == known.Antenna && p.Guard == "short":
			demands = append(demands, contact.Demand{Name: p.Name, Throw: want(p.Name, false), Dry: true})
			if p.Kind == known.Antenna && p.Legs == "each" {
				demands = append(demands, demands[len(demands)-1])
			}
		case p.Kind == known.Antenna && p.Guard == "changeover":
			demands = append(demands, contact.Demand{Name: p.Name, Throw: contact.Both, Dry: true})
			if p.Legs != "one" {
				demands = append(demands, demands[len(demands)-1])
			}
		case p.Kind == known.Antenna: // open and short
			demands = append(demands,
				contact.Demand{Name: p.Name, Throw: want(p.Name, true), Dry: true},
				contact.Demand{Name: p.Name, Throw: want(p.Name, false), Dry: true})
		}
	}
	relays := make([]contact.Relay, len(f.Relays))
	for i := range f.Relays {
		c := &f.Relays[i].Contacts
		relays[i] = contact.Relay{
			Form: contact.Form(c.Form[0]), Poles: c.Poles, Serves: f.Relays[i].Serves,
			Dry: contact.Load{Volts: nominal(f, c.LeastVolts), Amps: nominal(f, c.LeastAmps)}.DryRated(),
		}
	}
	got := contact.Assign(demands, relays)
	var poles Poles
	poles.Spare = got.Spare
	for _, c := range got.Contacts {
		d := demands[c.Demand]
		poles.Used = append(poles.Used, Pole{
			Letter: c.Letter, Serves: d.Name, Relay: c.Relay, Number: c.Pole, Throw: c.Throw, Dry: d.Dry,
		})
	}
	for _, r := range got.Refusals {
		d := demands[r.Demand]
		poles.Refusals = append(poles.Refusals, Refusal{Serves: d.Name, Throw: d.Throw, Reason: r.Reason})
	}
	return poles
}

func nominal(f *known.Facts, id known.ID) float64 {
	if !id.Exists() {
		return 0
	}
	return f.Box.Entry(id).Nominal
}

// rating is what the relay's data sheet lets a contact break.
func rating(c *known.Contacts, x []float64) contact.Rating {
	r := contact.Rating{Volts: c.Volts.Of(x), Amps: c.Amps.Of(x), Watts: c.Watts.Of(x)}
	for _, l := range c.Limits {
		r.Points = append(r.Points, contact.Point{Volts: l.Volts, Amps: l.Amps})
	}
	return r
}

// addContact adds the columns of the contact in return r.
func addContact(add adder, f *known.Facts, r int, p Pole) {
	stem := "contact." + p.Letter
	c := &f.Relays[p.Relay].Contacts
	open := func(s *solved) float64 { return math.Abs(s.muted[r].Highest.Node) }
	limit := func(s *solved, x []float64) float64 {
		// Tubes may still be cold when it opens.
		amps, known := rating(c, x).At(math.Max(open(s), math.Abs(s.cold[r].Node)))
		return within(amps, known)
	}
	add(whenOpen, stem+".open", quantity.Voltage, "across the open contact, muted", func(s *solved, _ []float64) float64 { return open(s) })
	add(whenUnguarded, stem+".unguarded", quantity.Voltage, "across the open contact with the pulldown missing",
		func(s *solved, _ []float64) float64 { return math.Abs(s.unguarded[r].Node) })
	add(onReceive, stem+".closed", quantity.Current, "through the closed contact on receive",
		func(s *solved, _ []float64) float64 { return math.Abs(s.receive[r].Contact) })
	add(whenOpen, stem+".limit", quantity.Current, "DC that the contact may break at that voltage: log–log between the published points, the lower of that and of the power rule", limit)
	add(whenOpen, stem+".margin", quantity.Proportion, "current allowed over current broken",
		func(s *solved, x []float64) float64 {
			m, ok := contact.Margin(limit(s, x), math.Abs(s.receive[r].Contact))
			return within(m, ok)
		})
}
