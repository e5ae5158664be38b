package sheet

import "strings"

// partsList is the list of parts with the reason of each rating and where every
// lead goes.
func (s *sheet) partsList() {
	f := s.flow(partsPage, "Parts", "What to buy, why it is rated so, and which lead goes to which tag.")
	var rows [][]cell
	for _, e := range s.design.Fitting.Parts {
		value := []styled{{bold, e.Value}}
		if e.Rating != "" {
			value = append(value, styled{regular, e.Rating})
		}
		what := []styled{{regular, e.What}}
		var leads []styled
		for _, l := range e.Leads {
			leads = append(leads, styled{regular, l})
		}
		rows = append(rows, []cell{text(e.Ref), {words: what}, {words: value}, {words: leads}, text(e.Why)})
	}
	f.tabled("PARTS", "added to the set; reference letters of IEEE 315", []column{
		{head: "ref.", wide: 17, fixed: true, style: strong}, {head: "part", wide: 3, style: regular},
		{head: "value, rating", wide: 3.4, style: regular}, {head: "leads to", wide: 4.4, style: regular},
		{head: "why", wide: 5, style: italic},
	}, rows)
	if free := s.design.Fitting.Wiring.Spare; len(free) > 0 {
		f.space(2)
		f.say(regular, "Contacts that stay free: "+strings.Join(free, ", ")+".")
	}

	type kind struct{ colour, size string }
	var kinds []kind
	numbers := map[kind][]string{}
	grades := map[kind]float64{}
	for _, w := range s.design.Fitting.Wires {
		k := kind{w.Colour, w.Size}
		if numbers[k] == nil {
			kinds = append(kinds, k)
		}
		numbers[k] = append(numbers[k], number(w.Number))
		grades[k] = max(grades[k], w.Insulation)
	}
	var wires [][]cell
	for _, k := range kinds {
		wires = append(wires, []cell{
			text(k.colour + " " + colourNames[k.colour]), text(k.size),
			text(number(int(grades[k])) + "\u00a0V"), text(plural(len(numbers[k]), "wire") + " " + listed(numbers[k])),
		})
	}
	f.tabled("HOOK-UP WIRE", "colours of IEC 60757; lengths on "+s.wiresOn(), []column{
		{head: "colour", wide: 3, style: bold}, {head: "conductor", wide: 3, style: regular},
		{head: "insulation", wide: 3, style: regular}, {head: "for", wide: 9, style: regular},
	}, wires)
	s.chosen(f)
}

// chosen is what the program chose, and from what.
func (s *sheet) chosen(f *flow) {
	if len(s.design.Chosen) == 0 {
		return
	}
	var rows [][]cell
	for _, c := range s.design.Chosen {
		rows = append(rows, []cell{text(c.At), text(c.Value), text(c.Why)})
	}
	f.tabled("CHOSEN BY THE PROGRAM", "the plan left these open", []column{
		{head: "key of the plan", wide: 5, style: regular}, {head: "value", wide: 42, fixed: true, style: bold}, {head: "why", wide: 6, style: italic},
	}, rows)
}

// plural adds an s to a word unless there is one of it.
func plural(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}
