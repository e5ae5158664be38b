package wiring_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"mutewright/design/fitting"
	"mutewright/render/wiring"
)

// random makes a diagram that a legal plan could ask for: any drive, one to three
// returns of one to four points, and up to two antennas or audio points.
func random(r *rand.Rand) fitting.Wiring {
	k := newKit()
	pick := func(s ...string) string { return s[r.IntN(len(s))] }
	var w fitting.Wiring
	switch r.IntN(9) {
	case 0, 1:
		w.Drive = k.doubler(r.IntN(2) == 0)
	case 2:
		w.Drive = k.bridge(true)
	case 3:
		w.Drive = k.bridge(false)
	case 4:
		w = halfWaveOf(k)
	case 5:
		w = railOf(k)
	case 6:
		w = npnOf(k)
	case 7:
		w = fullWaveOf(k)
	case 8:
		w = keyLineOf(k)
	}
	w.Groups, w.Guards = nil, nil
	w.Released = pick("on receive, and with the set off", "muted, and with the set off")
	w.Spare = []string{"K1a make", "K1b break"}
	transmit := r.IntN(2) == 0
	pole, ref, cut := 0, 910, 0
	next := func(short bool, earth string) fitting.Contact {
		pole++
		breaks := transmit != short
		throw := fmt.Sprintf("%d4", pole)
		words := "closes on "
		if breaks {
			throw = fmt.Sprintf("%d2", pole)
			words = "opens on "
		}
		return k.contact("K1", string(rune('a'+pole-1)), fmt.Sprintf("%d1", pole), throw, breaks, words+pick("receive", "transmit"), earth, "K1")
	}
	lifts := []string{"chassis end of R%d", "wiper, RF GAIN %d", "T%d", "cathode end of R%d at the second tag strip", "tag %d of X7"}
	groups := 1 + r.IntN(3)
	points := 1 + r.IntN(4)
	if groups > 1 {
		points = 1 + r.IntN(2)
	}
	for i := range groups {
		c := next(false, fmt.Sprintf("E9%02d", 2+i))
		g := fitting.Group{Name: pick("mute_line", "audio", "gain", "rf_and_if_cathode_return"), Contact: c, Node: volts(0, float64(20+r.IntN(250)))}
		colour := []string{"OG", "RD", "OG"}[i]
		var boxes []*fitting.Joint
		for range points {
			cut++
			boxes = append(boxes, k.set(fmt.Sprintf(lifts[r.IntN(len(lifts))], cut)))
		}
		for n, box := range boxes {
			s := output(box, cut-points+n+1)
			if r.IntN(2) == 0 {
				s = gain(box, cut-points+n+1)
				s.Divider = r.IntN(3) == 0
				if r.IntN(4) == 0 {
					s.Extra = []string{"bleeder 47 kΩ from ht"}
				}
			} else {
				switch r.IntN(3) {
				case 0:
					s.Bypass = nil
				case 1:
					s.ToReturn = true
				}
			}
			// The middle one or two go to the lug, or their inner neighbours' boxes.
			to := c.Throw
			lo, hi := (points-1)/2, points/2
			switch {
			case points == 3 && n == 2:
				to = boxes[1] // the lug has two wires already
			case points == 4 && n < lo:
				to = boxes[n+1]
			case points == 4 && n > hi:
				to = boxes[n-1]
			}
			s.Wire = wire(box, to, colour)
			g.Stubs = append(g.Stubs, s)
		}
		if r.IntN(5) > 0 {
			ref++
			g.Pulldown = k.pulldown(c.Throw, fmt.Sprintf("R%d", ref), pick("10 kΩ", "8.2 kΩ", "470 Ω"), fmt.Sprintf("E9%02d", 2+i), "K1")
		}
		if r.IntN(5) == 0 {
			ref++
			g.Capacitor = part(fitting.Capacitor, fmt.Sprintf("C%d", ref), "10 nF", "630 V", boxes[0], k.joint(g.Name+" cut", "chassis", "chassis at the cut", false))
		}
		w.Groups = append(w.Groups, g)
	}
	for i := range r.IntN(3) {
		name := []string{"aerial", "aux"}[i]
		t := k.set(pick("antenna terminal", "AE", "A1 of the strip") + []string{"", " 2"}[i])
		var g fitting.Guard
		switch kind := r.IntN(5); {
		case kind == 0:
			c := next(true, "E930")
			g = fitting.Guard{Kind: fitting.AudioShort, Input: "500 kΩ", Joints: []*fitting.Joint{t}, Wires: []*fitting.Wire{wire(t, c.Throw, "WH")}, Contacts: []fitting.Contact{c}}
		case kind == 1 && i == 1:
			c := next(true, "")
			t2 := k.set("AE far leg")
			g = fitting.Guard{Kind: fitting.ShortPair, Input: "300 Ω", Joints: []*fitting.Joint{t, t2}, Wires: []*fitting.Wire{wire(t, c.Throw, "WH"), wire(c.Common, t2, "PK")}, Contacts: []fitting.Contact{c}}
		case kind == 2 && i == 1:
			c := next(true, "")
			c.Break, c.Words = transmit, "changes over on transmit"
			c.Throw, c.Other, c.Lug = k.lug("K1", "92"), k.lug("K1", "94"), k.earth("E931", "aerial")
			in := k.set("input lead")
			g = fitting.Guard{Kind: fitting.Changeover, Input: "50 Ω", Joints: []*fitting.Joint{t, in}, Cut: cut + 1,
				Wires: []*fitting.Wire{wire(t, c.Throw, "WH"), wire(c.Common, in, "PK"), wire(c.Other, c.Lug, "BK")}, Contacts: []fitting.Contact{c}}
		default:
			c := next(true, "E932")
			g = fitting.Guard{Kind: fitting.ShortOne, Input: "50 Ω", Joints: []*fitting.Joint{t}, Wires: []*fitting.Wire{wire(t, c.Throw, "WH")}, Contacts: []fitting.Contact{c}}
		}
		g.Name, g.Note = name, []string{"both together", "40 mm at most"}
		w.Guards = append(w.Guards, g)
	}
	for i := range max(0, r.IntN(4)-1) {
		w.Standby = append(w.Standby, k.standby(pick("in use", "strapped", "open", "removed"), i, r.IntN(2) == 0))
	}
	return w
}

// Five hundred diagrams of unlike shape: each fits on both papers at some level,
// and the audit finds nothing.
func TestRandomDiagrams(t *testing.T) {
	r := rand.New(rand.NewPCG(1908, 62368))
	levels := map[wiring.Level]int{}
	for i := range 500 {
		w := random(r)
		w.Number()
		for _, p := range papers {
			b, err := wiring.Layout(w, p.width-20, wiring.Options{})
			if assert.NoError(t, err, "diagram %d on %s", i, p.name) {
				levels[b.Level]++
			}
		}
	}
	assert.NotZero(t, levels[wiring.Full])
	assert.NotZero(t, levels[wiring.Compact])
	assert.NotZero(t, levels[wiring.Bands])
}
