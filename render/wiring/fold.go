package wiring

import (
	"slices"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

// A portion says how much of a drive a band shows.
type portion uint8

const (
	whole  portion = iota
	supply         // from the source to the joint at which the drive is folded
	load           // from there to the jack; further coils under it
)

const (
	kneeAt  = 7.0 // of the supply line on the left of the lower band
	foldGap = 9.0 // bus to the supply line: the foot of the bus lies between
)

// fold cuts a drive where its supply is made and what it feeds begins: at the
// joint behind the rectifier, which both portions show. It reports whether there
// is one.
func fold(d *fitting.Drive) (made, fed fitting.Drive, ok bool) {
	at := slices.IndexFunc(d.Lane, func(it fitting.Item) bool { return it.Wire != nil }) + 1
	reach := func(j *fitting.Joint) {
		at = max(at, slices.IndexFunc(d.Lane, func(it fitting.Item) bool { return j != nil && it.Joint == j }))
	}
	for _, s := range d.Shunts {
		reach(s.At)
	}
	if n := len(d.Second); n > 0 {
		reach(d.Second[n-1].Joint)
	}
	if d.Buffer != nil {
		reach(d.Buffer.PullFrom)
	}
	if d.Source.Kind == fitting.Line || at < 2 || at+2 >= len(d.Lane) {
		return made, fed, false
	}
	if p := d.Lane[at+1].Part; p != nil && p.Kind == fitting.Coil {
		return made, fed, false // a rail with nothing between it and the coil
	}
	made = fitting.Drive{
		Source: d.Source, Lane: d.Lane[:at+1], Second: d.Second, Return: d.Return, Bus: d.Bus, Shunts: d.Shunts,
	}
	fed = fitting.Drive{
		Source: d.Source, Lane: d.Lane[at:], Clamp: d.Clamp, Hold: d.Hold, Buffer: d.Buffer, More: d.More, Jack: d.Jack,
	}
	return made, fed, true
}

func canFold(d *fitting.Drive) bool {
	_, _, ok := fold(d)
	return ok
}

// knee reports whether the lane's item i is the joint of the fold in the lower
// band. Its box stands in the upper one; here the supply line bends into the
// lane, and whatever else the joint feeds starts from it.
func (b *driveBand) knee(i int) bool { return b.portion == load && i == 0 }

// kneeWidth is the length of the lane before its first element: room for the
// words of a resistor that rises from its middle.
func (b *driveBand) kneeWidth() float64 {
	if bf := b.Buffer; bf != nil && bf.BaseEmitter != nil && b.emitter() == b.Lane[0].Joint {
		return 2 * (upright(bf.BaseEmitter) + 2.4 + 1.6)
	}
	return 5
}

// lineAside is the distance of the fold's joint from the right edge: the supply
// line passes its shunt's words.
func (b *driveBand) lineAside(j *fitting.Joint) float64 {
	w, _ := boxSize(j)
	aside := 4.0
	for i, s := range b.Shunts {
		if s.At != j {
			continue
		}
		aside = max(aside, shuntReach(s.Part)-w/2+2)
		if i == 0 { // the bus tag stands under it
			aside = max(aside, 4.2+widest(scene.Bold, b.footWords())-w/2+2)
		}
	}
	return aside + 2
}

// supplyLine joins the two bands of a folded drive: from the joint's box round
// the end of the upper band to the knee of the lower one.
func (b *driveBand) supplyLine(up *driveBand) {
	j := b.Lane[0].Joint
	net := b.nets.of(j)
	n := len(up.row.items) - 1
	_, right := up.edges(n)
	turn := up.x1 - 2
	line := up.end
	x := b.x0 + kneeAt
	_, in := b.edges(0)
	b.at[j] = at(b.row.mid[0], b.yl)
	b.lead(net, at(right, up.yl), at(turn, up.yl), at(turn, line), at(x, line), at(x, b.yl))
	b.lead(net, at(x, b.yl), at(in, b.yl))
	b.words(at(x+2, line+pitch), scene.Start, scene.Bold, small, j.Words, "")
}
