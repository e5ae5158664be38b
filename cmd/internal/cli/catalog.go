package cli

func catalogVerb() *verb {
	return &verb{
		name:      "catalog",
		arguments: "[NAME...]",
		does:      "list the tubes and relays that plans may name, with their figures and sources",
		most:      anyNumber,
		options:   []string{"format", "catalog", "output"},
		formats:   []string{"text", "json", "csv"},
		run:       listCatalog,
	}
}

func listCatalog(*call) (int, error) { return 0, errNotWritten }
