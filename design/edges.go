package design

import (
	"mutewright/design/answer"
	"mutewright/design/known"
	"mutewright/design/mains"
	"mutewright/design/rule"
	"mutewright/design/timing"
)

// An edge is where a result makes a finding appear, vanish or change its
// severity.
type edge struct {
	answer.Quantity
	limit   float64
	least   bool // the finding is there below the limit; else above it
	finding string
	words   string // what the result is, told apart from others of the finding
	grave   bool   // a fail or a danger beyond it; else a caution

	rating known.ID // the number of the plan that the limit is, where it is one
	share  float64  // of that number
}

// open tells whether the edge lies inside the doubt of the result, so that a
// measurement could decide it.
func (e edge) open() bool { return e.Low < e.limit && e.limit < e.High }

// edges lists those that the limits have, and those of findings that are held
// against no rating.
func edges(f *known.Facts, a *answer.Answers, limits []Limit) []edge {
	var list []edge
	for _, l := range limits {
		e := edge{Quantity: l.Quantity, limit: l.Limit, least: l.Least, finding: l.Finding, words: l.Words, grave: true, rating: l.rating, share: 1}
		soft := e
		soft.grave = false
		switch {
		case l.Finding == "":
			continue
		case l.Finding == "mains.touch_current":
			tiers := mains.Tiers(a.Mains.Cord)
			e.limit = tiers[len(tiers)-1].Most
		case l.Finding == "return.depth":
			e.limit = l.Limit / 2 // under half of what is wanted it is a fail
		case l.Finding == "return.touch":
			soft.limit = rule.NearVolts
		case l.Finding == "timing.mute_margin":
			list = append(list, soft)
			continue
		case l.Finding == "timing.key_margin", l.Finding == "timing.tail_margin":
			soft.limit = timing.Enough
		case l.Finding == "drive.winding_load":
			soft.limit = l.Limit / rule.Enough
		case l.Finding == "contact.limit":
			soft.limit = l.Limit / rule.Used
		case l.Least:
			soft.limit = l.Limit * rule.Enough
		default:
			soft.limit, soft.share = l.Limit*rule.Used, rule.Used
		}
		list = append(list, e, soft)
	}
	add := func(name, words string, limit float64, least bool, finding string) {
		if q, ok := a.Get(name); ok {
			list = append(list, edge{Quantity: q, limit: limit, least: least, finding: finding, words: words})
		}
	}
	for _, r := range f.Returns {
		if !r.Reachable {
			add("return."+r.Name+".muted", r.Name+", muted", rule.HotVolts, false, "return.hot")
		}
	}
	for i := range f.Points {
		p := &f.Points[i]
		add("point."+p.Name+".grid.receive", "grids of "+p.Name+" on receive", rule.GridCurrent, false, "return.grid_current")
		add("point."+p.Name+".knee.receive", "plates of "+p.Name+" on receive", rule.KneeShare, true, "return.knee")
		add("antenna."+p.Name+".receive_loss", p.Name+" on receive", rule.ReceiveLoss, false, "antenna.receive_loss")
	}
	return list
}
