package design

import (
	"math"
	"slices"

	"mutewright/design/answer"
	"mutewright/design/contact"
	"mutewright/design/known"
)

// MarginScale is where the scale ends on which margins are drawn as bars, in text
// and as a picture: so many times the limit. What is longer ends in an arrow.
const MarginScale = 2.0

// A Margin is how far something is from its limit, as a ratio: 1 stands on the
// limit, under 1 is over it. So all margins of a relay stand on one scale.
type Margin struct {
	Key   string // "operate"
	Words string // "pulls in"
	Ratio float64
}

// The margins of a relay in the order of the work, with what they compare.
var marginWords = []struct{ key, words string }{
	{"operate", "pulls in: least voltage over what it needs, warm"},
	{"ceiling", "permitted over highest coil voltage"},
	{"release", "lets go: must-release over what leakage leaves"},
	{"winding", "rating of the winding over its load"},
	{"line_volts", "key line's rating over its highest voltage"},
	{"line_amps", "key line's rating over its current"},
	{"open_contact", "open contact: strength over twice the highest voltage"},
	{"closed_contact", "closed contact: current it may break over what it breaks"},
	{"insulation", "coil and poles: strength over twice the highest rail"},
	{"guard", "what the input withstands over what still reaches it"},
	{"key_time", "key to RF over the time until guarded"},
	{"tail_time", "time the guard stays over the RF tail"},
}

// margins are the ratios of one relay's block, those that exist.
func margins(f *known.Facts, a *answer.Answers, block int) []Margin {
	found := map[string]float64{}
	note := func(key string, ratio float64, exists bool) {
		if !exists || math.IsNaN(ratio) {
			return
		}
		if had, ok := found[key]; !ok || ratio < had {
			found[key] = ratio
		}
	}
	low := func(name string) (float64, bool) { q, ok := a.Get(name); return q.Low, ok }
	high := func(name string) (float64, bool) { q, ok := a.Get(name); return q.High, ok }
	over := func(limit known.ID, name string) (float64, bool) {
		v, ok := high(name)
		if !ok || !limit.Exists() || v <= 0 {
			return 0, false
		}
		return f.Box.Entry(limit).Low / v, true
	}
	take := func(key string, ratio float64, ok bool) { note(key, ratio, ok) }

	stem := driveStem(block)
	for _, key := range []string{"operate", "ceiling", "release"} {
		v, ok := low(stem + ".coil." + key + "_margin")
		take(key, v, ok)
	}
	if load, ok := high("drive.winding.load"); ok && load > 0 {
		take("winding", 1/load, true)
	}
	t := &f.Transmitter
	for _, name := range []string{"control.open", "control.kick"} {
		v, ok := over(t.LineVolts, name)
		take("line_volts", v, ok)
	}
	v, ok := over(t.LineAmps, "control.closed")
	take("line_amps", v, ok)

	for _, p := range a.Poles.Used {
		if p.Relay == block {
			v, ok := low("contact." + p.Letter + ".margin")
			take("closed_contact", v, ok)
		}
	}
	for _, q := range a.Insulation(f, block) {
		if !q.Known || q.Least <= 0 || q.Place == contact.BetweenPoles && f.Relays[block].Contacts.Poles < 2 {
			continue
		}
		key := "insulation"
		if q.Place == contact.OpenContact {
			key = "open_contact"
		}
		take(key, q.Strength/q.Least, true)
	}
	for i := range f.Points {
		p := &f.Points[i]
		if p.Kind == known.Antenna && len(a.Poles.Serving(p.Name)) > 0 && a.Poles.Serving(p.Name)[0].Relay == block {
			v, ok := over(p.Withstand, "antenna."+p.Name+".residual")
			take("guard", v, ok)
		}
	}
	if m, ok := low("timing.key_margin"); ok {
		toRF := f.Box.Entry(t.KeyToRF).Low
		take("key_time", toRF/(toRF-m), true)
	}
	if m, ok := low("timing.tail_margin"); ok {
		if tail := f.Box.Entry(t.Tail).High; tail > 0 {
			take("tail_time", (m+tail)/tail, true)
		}
	}
	var list []Margin
	for _, w := range marginWords {
		if ratio, ok := found[w.key]; ok {
			list = append(list, Margin{w.key, w.words, ratio})
		}
	}
	return list
}

// MarginKinds are the margins that any of the rows has, in their order.
func MarginKinds(rows []Row) []Margin {
	var kinds []Margin
	for _, r := range rows {
		for _, m := range r.Margins {
			if !slices.ContainsFunc(kinds, func(k Margin) bool { return k.Key == m.Key }) {
				kinds = append(kinds, m)
			}
		}
	}
	return kinds
}
