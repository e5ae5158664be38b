package plan

import (
	"mutewright/catalog"
	"mutewright/design/document"
)

// resolver looks up every name in a plan, and reports those that name nothing.
type resolver struct {
	doc  *document.Document
	plan *Plan
	in   *catalog.Catalog
}

func (p *Plan) resolve(d *document.Document, in *catalog.Catalog) {
	r := resolver{d, p, in}
	r.points()
	r.returns()
	r.standby()
	r.relays()
}

func (r *resolver) points() {
	for i := range r.plan.Points.Items {
		p := &r.plan.Points.Items[i]
		switch p.Kind.Is {
		case OutputCathode:
			r.tube(&p.Output.Tube)
			r.supply(p.Output.Supply)
		case RFGain:
			r.supply(p.Gain.Supply)
			r.supply(p.Gain.Bleeder.Supply)
			r.supply(p.Gain.Screens.Supply)
			for j := range p.Gain.Stages.Items {
				r.tube(&p.Gain.Stages.Items[j].Tube)
			}
		}
	}
}

func (r *resolver) tube(ref *document.Reference[catalog.Tube]) {
	lookUp(r.doc, ref, "tube", r.in.Tube, r.in.NearestTube)
}

// lookUp puts what a name stands for into a reference.
func lookUp[T any](d *document.Document, ref *document.Reference[T], what string, find func(string) *T, nearest func(string) string) {
	if !ref.Given() || ref.Named == "" {
		return
	}
	if found := find(ref.Named); found != nil {
		ref.Is = *found
		return
	}
	d.Report(ref.Source, "no "+what+" "+document.Quote(ref.Named)+" in the catalogue",
		"the nearest is "+nearest(ref.Named)+"; or write its figures out")
}

// supply reports a name that no supply has. Where the plan lists no supplies
// at all, one that is only named is a supply of which nothing is known.
func (r *resolver) supply(name Text) {
	if !name.Given() {
		return
	}
	supplies := &r.plan.Receiver.Supplies
	if supplies.Find(name.Is) != nil {
		return
	}
	if supplies.Given() {
		r.unknown(name, "supply", supplies.Names())
		return
	}
	var s Supply
	r.doc.Lay(&s, supplies.Path+"."+name.Is)
	supplies.Add(name.Is, s)
}

func (r *resolver) unknown(name Text, what string, names []string) {
	wanted := "none is listed"
	if len(names) > 0 {
		wanted = "wanted " + document.OneOf(names)
	}
	r.doc.Report(name.Source, "no "+what+" "+document.Quote(name.Is), wanted)
}

func (r *resolver) returns() {
	first := map[string]string{} // point to the return it is in
	for i := range r.plan.Returns.Items {
		ret := &r.plan.Returns.Items[i]
		if ret.Points.Given() && len(ret.Points.Items) == 0 {
			r.doc.Report(ret.Points.Source, "no points in this return", "wanted at least one point, or the key left out")
		}
		for _, name := range ret.Points.Items {
			if !name.Given() {
				continue
			}
			point := r.plan.Points.Find(name.Is)
			other, twice := first[name.Is]
			switch {
			case point == nil:
				r.unknown(name, "muting point", r.plan.Points.Names())
			case point.Kind.Given() && !point.Kind.Is.Lifted():
				r.doc.Report(name.Source, name.Is+" is of kind "+string(point.Kind.Is)+", which lifts no return",
					"wanted points whose return is cut")
			case twice:
				r.doc.Report(name.Source, "point "+name.Is+" named twice", "it is in "+other+" already")
			default:
				first[name.Is] = ret.Name()
			}
		}
	}
}

func (r *resolver) standby() {
	for i := range r.plan.Receiver.Standby.Items {
		name := r.plan.Receiver.Standby.Items[i].Return
		if name.Given() && r.plan.Returns.Given() && r.plan.Returns.Find(name.Is) == nil {
			r.unknown(name, "return", r.plan.Returns.Names())
		}
	}
}

func (r *resolver) relays() {
	first := map[string]string{} // what is served to the relay that serves it
	for i := range r.plan.Relays.Items {
		relay := &r.plan.Relays.Items[i]
		lookUp(r.doc, &relay.Use, "relay", r.in.Relay, r.in.NearestRelay)
		if relay.Use.Given() && relay.Use.Named == "" {
			relay.Use.Is.Check(r.doc)
		}
		if relay.Supply.Is != FromControl {
			r.supply(relay.Supply)
		}
		for _, name := range relay.Serves.Items {
			if !name.Given() {
				continue
			}
			other, twice := first[name.Is]
			holder := r.holder(name.Is)
			switch {
			case r.plan.Returns.Find(name.Is) == nil && r.plan.Points.Find(name.Is) == nil:
				if r.plan.Returns.Given() {
					r.unknown(name, "return or point", append(r.plan.Returns.Names(), r.plan.Points.Names()...))
				}
			case holder != "":
				r.doc.Report(name.Source, "point "+name.Is+" shares a return", "name the return: "+holder)
			case twice:
				r.doc.Report(name.Source, name.Is+" is served twice", other+" serves it already")
			default:
				first[name.Is] = relay.Path
			}
		}
	}
}

// holder returns the return that a point is in; "" where it stands alone, or
// where a return has its name.
func (r *resolver) holder(point string) string {
	if r.plan.Returns.Find(point) != nil {
		return ""
	}
	for i := range r.plan.Returns.Items {
		for _, name := range r.plan.Returns.Items[i].Points.Items {
			if name.Given() && name.Is == point {
				return r.plan.Returns.Names()[i]
			}
		}
	}
	return ""
}
