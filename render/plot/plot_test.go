package plot

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/render/scene"
)

func plainly(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }

func TestTicks(t *testing.T) {
	for name, c := range map[string]struct {
		axis Axis
		most int
		want []float64
	}{
		"linear":       {Axis{From: 0, To: 10}, 6, []float64{0, 2, 4, 6, 8, 10}},
		"below zero":   {Axis{From: -5, To: 5}, 3, []float64{-5, 0, 5}},
		"not at ends":  {Axis{From: 0.85, To: 1.15}, 7, []float64{0.85, 0.9, 0.95, 1, 1.05, 1.1, 1.15}},
		"small":        {Axis{From: 0, To: 0.003}, 4, []float64{0, 0.001, 0.002, 0.003}},
		"decades":      {Axis{From: 1e3, To: 1e5, Log: true}, 12, []float64{1e3, 2e3, 5e3, 1e4, 2e4, 5e4, 1e5}},
		"many decades": {Axis{From: 1, To: 1e6, Log: true}, 8, []float64{1, 10, 100, 1e3, 1e4, 1e5, 1e6}},
	} {
		t.Run(name, func(t *testing.T) {
			got := c.axis.ticks(c.most)
			require.Len(t, got, len(c.want), "%v", got)
			for i := range got {
				assert.InDelta(t, c.want[i], got[i], 1e-9*math.Abs(c.want[i])+1e-12)
			}
		})
	}
}

func TestNice(t *testing.T) {
	for _, c := range []struct{ low, high, from, to float64 }{
		{0, 58, 0, 80}, {-3, 58, -20, 80}, {0, 0, 0, 1.2}, {0, 0.0137, 0, 0.015},
	} {
		from, to := Nice(c.low, c.high)
		assert.InDelta(t, c.from, from, 1e-9, "%v", c)
		assert.InDelta(t, c.to, to, 1e-9, "%v", c)
		assert.LessOrEqual(t, from, c.low)
		assert.Greater(t, to, c.high)
	}
}

func TestInside(t *testing.T) {
	for name, c := range map[string]struct {
		p, q, from, to [2]float64
		ok             bool
	}{
		"within":   {[2]float64{0.2, 0.2}, [2]float64{0.8, 0.4}, [2]float64{0.2, 0.2}, [2]float64{0.8, 0.4}, true},
		"through":  {[2]float64{-1, 0.5}, [2]float64{2, 0.5}, [2]float64{0, 0.5}, [2]float64{1, 0.5}, true},
		"past":     {[2]float64{-1, 2}, [2]float64{2, 2}, [2]float64{}, [2]float64{}, false},
		"out over": {[2]float64{0.5, 0.5}, [2]float64{0.5, 1.5}, [2]float64{0.5, 0.5}, [2]float64{0.5, 1}, true},
	} {
		t.Run(name, func(t *testing.T) {
			from, to, ok := inside(c.p, c.q)
			require.Equal(t, c.ok, ok)
			if ok {
				assert.InDeltaSlice(t, c.from[:], from[:], 1e-12)
				assert.InDeltaSlice(t, c.to[:], to[:], 1e-12)
			}
		})
	}
}

// sample is a chart with everything on it.
func sample() Chart {
	var x, y, z []float64
	for i := range 50 {
		v := math.Pow(10, 3+2*float64(i)/49)
		x = append(x, v)
		y = append(y, 60*v/(v+5e3))
		z = append(z, 20*math.Log10(v/200))
	}
	y[10] = math.NaN()
	return Chart{
		X: Axis{Label: "ohms", Format: plainly, From: 1e3, To: 1e5, Log: true}, Y: Axis{Label: "volts", Format: plainly, From: 0, To: 60},
		Second: &Axis{Label: "dB", Format: plainly, From: 0, To: 60},
		Curves: []Curve{{Name: "voltage", X: x, Y: y}, {Name: "depth", X: x, Y: z, Line: Dashed, Right: true}},
		Shades: []Shade{{1e2, 2e3}, {5e4, 1e6}}, Levels: []Level{{At: 40, Words: "wanted", Right: true}, {At: 90, Words: "outside"}},
		Marks: []Mark{{X: 1e4, Y: 40, Words: "10 k"}},
	}
}

// audited holds a drawing against the rules of every page.
func audited(t *testing.T, items []scene.Item, w, h float64) {
	t.Helper()
	page := scene.Page{Name: "plot", About: "a plot", Width: w + 20, Height: h + 20, Frame: scene.Rect{X: -5, Y: -5, W: w + 10, H: h + 10}, Items: items}
	require.NoError(t, page.Check())
	for _, c := range page.Audit() {
		t.Error(c)
	}
}

func TestChart(t *testing.T) {
	items, err := sample().Draw(180, 70)
	require.NoError(t, err)
	audited(t, items, 180, 70)
	for _, it := range items {
		if words, ok := it.Shape.(scene.Text); ok {
			assert.NotEqual(t, "outside", words.Words, "a level that is not on the axis bears no words")
		}
	}
}

func TestChartsThatCannotBeDrawn(t *testing.T) {
	for name, spoil := range map[string]func(*Chart){
		"no extent":      func(c *Chart) { c.X.To = c.X.From },
		"not a number":   func(c *Chart) { c.Y.To = math.NaN() },
		"log from zero":  func(c *Chart) { c.X.From = 0 },
		"no unit":        func(c *Chart) { c.Second.Format = nil },
		"unequal curves": func(c *Chart) { c.Curves[0].Y = c.Curves[0].Y[1:] },
	} {
		t.Run(name, func(t *testing.T) {
			c := sample()
			spoil(&c)
			_, err := c.Draw(180, 70)
			assert.Error(t, err)
		})
	}
}

func TestStrip(t *testing.T) {
	s := Strip{
		X: Axis{Label: "time", Format: plainly, From: -1, To: 50},
		Lanes: []Lane{
			{Label: "key", Bars: []Bar{{0, 0, 40}}},
			{Label: "contact", Bars: []Bar{{-5, -5, 3}, {43, 46, 60}}},
			{Label: "coil", Y: Axis{Format: plainly, From: 0, To: 20}, Curve: []Curve{{X: []float64{-1, 0, 5, 40, 50}, Y: []float64{0, 0, 15, 15, 0}}}},
		},
		Shades: []Shade{{15, 40}},
		Lines:  []Instant{{20, "muted"}, {20.5, "hidden by its neighbour"}, {80, "outside"}},
		Spans:  []Span{{3, 15, "12 before"}, {20, 15, "-5"}, {40, 43, "3 past the end of it all"}},
	}
	items, err := s.Draw(186)
	require.NoError(t, err)
	audited(t, items, 186, s.Height())
	for _, it := range items {
		assert.LessOrEqual(t, it.Shape.Bounds().Bottom(), s.Height()+0.01)
	}
	s.Lanes[2].Curve[0].Y = nil
	_, err = s.Draw(186)
	assert.Error(t, err)
}

func TestSplit(t *testing.T) {
	s := Strip{X: Axis{Label: "time", Format: plainly, From: 0, To: 1}, Spans: []Span{{0, 1, "all"}}}
	for range 9 {
		s.Lanes = append(s.Lanes, Lane{Label: "state", Bars: []Bar{{0, 0, 1}}})
	}
	require.Len(t, s.Split(s.Height()), 1)
	parts := s.Split(s.Height() / 2)
	require.Greater(t, len(parts), 1)
	lanes := 0
	for i, p := range parts {
		assert.LessOrEqual(t, p.Height(), s.Height()/2)
		assert.Equal(t, i == len(parts)-1, len(p.Spans) > 0, "the last bears the spans")
		lanes += len(p.Lanes)
	}
	assert.Equal(t, len(s.Lanes), lanes)
	assert.Len(t, s.Split(1), 9, "a lane to each at worst")
}
