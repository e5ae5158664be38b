package spread

import "math/rand/v2"

// Sample returns n points of the box as a Latin hypercube (McKay, Beckman and
// Conover 1979): along every input each of n equal slices is met exactly once.
// The same seed gives the same points.
func Sample(inputs []Input, n int, seed uint64) [][]float64 {
	random := rand.New(rand.NewPCG(seed, 0))
	points := make([][]float64, n)
	for j := range points {
		points[j] = make([]float64, len(inputs))
	}
	for i, in := range inputs {
		for j, slice := range random.Perm(n) {
			u := (float64(slice) + random.Float64()) / float64(n)
			points[j][i] = min(in.Low+u*(in.High-in.Low), in.High)
		}
	}
	return points
}
