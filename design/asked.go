package design

import (
	"slices"
	"strings"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/document"
	"mutewright/design/known"
	"mutewright/design/plan"
)

// Ask works some relays of the catalogue out on a plan, as [Rank] does, but each
// over its whole doubt: a row's quantities have their low, nominal and high. Rows
// stand in the order in which the relays were named.
func Ask(p *plan.Plan, cat *catalog.Catalog, names []string, progress func(done, all int)) ([]*Ranking, error) {
	if known.From(p, cat).Refused {
		return []*Ranking{{Title: p.Title.Is, Fingerprint: p.SHA256, Refused: true}}, nil
	}
	var relays []*catalog.Relay
	for _, name := range names {
		relays = append(relays, cat.Relay(name))
	}
	blocks := relayBlocks(p)
	wanted := wantedBlocks(blocks)
	done, all := 0, len(wanted)*len(relays)
	var list []*Ranking
	for _, block := range wanted {
		r, err := rank(p, cat, block, relays, openKeys(blocks, block, true), func() {})
		if err != nil {
			return nil, err
		}
		slices.SortFunc(r.Rows, func(a, b Row) int { return slices.Index(names, a.Relay) - slices.Index(names, b.Relay) })
		for i := range r.Rows {
			row := &r.Rows[i]
			if row.HasDrive {
				if err := row.complete(p, cat); err != nil {
					return nil, err
				}
			}
			done++
			if progress != nil {
				progress(done, all)
			}
		}
		list = append(list, r)
		if top := slices.MinFunc(r.Rows, compareRows); len(wanted) > 1 && blocks[block].Use.State == document.Choose {
			p, _ = top.Setup.take(p, cat.Relay(top.Relay))
			blocks = relayBlocks(p)
		}
	}
	return list, nil
}

// complete puts the whole worst case in the place of the bad ends.
func (r *Row) complete(p *plan.Plan, cat *catalog.Catalog) error {
	d, err := New(r.Setup.lay(p, cat.Relay(r.Relay)), cat)
	if err != nil {
		return err
	}
	r.Quantities = answer.Set{}
	for _, q := range d.Quantities.All() {
		if slices.Contains(relayFamilies, q.Name[:max(0, strings.IndexByte(q.Name, '.'))]) {
			r.Quantities.Add(q)
		}
	}
	r.Margins = margins(d.facts, d.answers, r.Setup.block)
	return nil
}

// relayFamilies are the quantities on which a relay has a say.
var relayFamilies = []string{"drive", "control", "contact", "antenna", "timing"}
