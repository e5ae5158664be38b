package cli

func relaysVerb() *verb {
	return &verb{
		name:      "relays",
		arguments: "PLAN [RELAY...]",
		does:      "rank the relays of the catalogue for a plan, or put some side by side",
		least:     1, most: anyNumber,
		options: append([]string{"format"}, readsPlan...),
		formats: []string{"text", "json", "csv"},
		run:     relays,
	}
}

func relays(*call) (int, error) { return 0, errNotWritten }
