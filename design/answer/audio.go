package answer

import (
	"fmt"
	"math"

	"mutewright/design/antenna"
	"mutewright/design/known"
)

// Audio band over which a short is judged, Hz.
const (
	audioLowest  = 100.0
	audioHighest = 5000.0
)

// Leads of an audio short: 200 mm of hook-up wire (common practice); at audio
// frequencies they hardly count.
const (
	audioLead = 0.2
	audioWire = 0.6e-3
)

// audioShorts are the audio points that a contact serves, as indices of points.
func audioShorts(f *known.Facts, poles *Poles) []int {
	var list []int
	for i := range f.Points {
		if f.Points[i].Kind == known.Audio && len(poles.Serving(f.Points[i].Name)) > 0 {
			list = append(list, i)
		}
	}
	return list
}

// audioInputs lists every number that the shorts are built from.
func audioInputs(f *known.Facts) []known.ID {
	var ids []known.ID
	for i := range f.Points {
		if p := &f.Points[i]; p.Kind == known.Audio {
			ids = append(ids, p.Source, p.Into)
		}
	}
	if len(ids) > 0 {
		for i := range f.Relays {
			c := &f.Relays[i].Contacts
			ids = append(ids, c.Resistance, c.Inductance, c.Capacitance)
		}
	}
	return ids
}

// audioDepth is what the short at audio point i takes off, dB, a stage's cap at
// most, at a point of the box.
func audioDepth(f *known.Facts, i int, x []float64) (float64, error) {
	p := &f.Points[i]
	c := contactsOf(f, p.Name)
	if c == nil {
		return 0, nil
	}
	r, err := antenna.SolveAudio(antenna.Audio{
		Source: p.Source.Of(x), Load: p.Into.Of(x), Lowest: audioLowest, Highest: audioHighest,
		Lead: audioLead, Wire: audioWire,
		Contact: antenna.Contact{Ohms: c.Resistance.Of(x), Henries: c.Inductance.Of(x), Farads: c.Capacitance.Of(x)},
	})
	if err != nil {
		return 0, fmt.Errorf("audio short %s: %w", p.Name, err)
	}
	return math.Min(r.Attenuation.Value, mostStage), nil
}

// contactsOf are the contacts of the relay that serves a place; nil: none does.
func contactsOf(f *known.Facts, place string) *known.Contacts {
	for i := range f.Relays {
		for _, s := range f.Relays[i].Serves {
			if s == place {
				return &f.Relays[i].Contacts
			}
		}
	}
	return nil
}
