package timing

import "sort"

// A curve is a course in time by straight lines. Before its first instant it
// stands at its first value, after its last at its last.
type curve struct {
	times  []float64 // s, ascending
	values []float64
}

func (c *curve) append(shift float64, times, values []float64) {
	for i, t := range times {
		c.times = append(c.times, t+shift)
		c.values = append(c.values, values[i])
	}
}

func (c curve) last() float64 { return c.values[len(c.values)-1] }

// at is the value at a time.
func (c curve) at(t float64) float64 {
	i := sort.SearchFloat64s(c.times, t)
	switch {
	case i == 0:
		return c.values[0]
	case i == len(c.times):
		return c.last()
	}
	f := (t - c.times[i-1]) / (c.times[i] - c.times[i-1])
	return c.values[i-1] + f*(c.values[i]-c.values[i-1])
}

// shifted is the course begun later.
func (c curve) shifted(by float64) curve {
	var s curve
	s.append(by, c.times, c.values)
	return s
}

// sum adds courses.
func sum(parts []curve) curve {
	var s curve
	for _, p := range parts {
		s.times = append(s.times, p.times...)
	}
	sort.Float64s(s.times)
	s.values = make([]float64, len(s.times))
	for i, t := range s.times {
		for _, p := range parts {
			s.values[i] += p.at(t)
		}
	}
	return s
}

// stays is the instant from which the course is at or above a level for good,
// or at or below it where above is false; not ok where it is not in the end.
func (c curve) stays(level float64, above bool) (t float64, ok bool) {
	good := func(v float64) bool { return v == level || (v > level) == above }
	i := len(c.values) - 1
	if i < 0 || !good(c.values[i]) {
		return 0, false
	}
	for i > 0 && good(c.values[i-1]) {
		i--
	}
	if i == 0 {
		return c.times[0], true
	}
	a, b := c.values[i-1], c.values[i]
	return c.times[i-1] + (c.times[i]-c.times[i-1])*(level-a)/(b-a), true
}

// step is a jump that begins at an instant and takes a nanosecond.
func step(at, from, to float64) curve {
	return curve{times: []float64{at, at + 1e-9}, values: []float64{from, to}}
}
