package cli

func newVerb() *verb {
	return &verb{
		name:    "new",
		does:    "write a commented plan to start from",
		options: []string{"tubes", "rails", "heaters", "voltage", "frequency", "catalog", "output"},
		run:     newPlan,
	}
}

func newPlan(*call) (int, error) { return 0, errNotWritten }
