package sheet

import (
	"math"

	"mutewright/render/scene"
)

// electricity draws ISO 7010 W012, "Warning; Electricity", as a path: triangle w
// wide with its upper left corner at x, y. It returns its height.
func (b *block) electricity(x, y, w float64) float64 {
	h := w * math.Sqrt(3) / 2
	cx := x + w/2
	tag := scene.Tag{Class: scene.Body, Owner: "W012"}
	ornament := scene.Tag{}
	// The rounded corners are the pen's: half its width all round.
	pen := w * 0.075
	in := pen / 2
	corner := func(shrink float64) []point {
		// A line shrink inside each edge: the corners move along the bisectors.
		return []point{
			at(cx, y+2*shrink), at(x+w-shrink*math.Sqrt(3), y+h-shrink), at(x+shrink*math.Sqrt(3), y+h-shrink),
		}
	}
	b.add(scene.Polygon(corner(in)...), scene.Pen{Ink: scene.Black, Width: pen, Round: true}, scene.Black, tag)
	b.add(scene.Polygon(corner(w*0.118)...), scene.Pen{Ink: scene.White, Width: w * 0.03, Round: true}, scene.White, ornament)
	// The bolt, in shares of the width from the middle of the base line upwards.
	bolt := [][2]float64{
		{0.052, 0.575}, {-0.105, 0.335}, {0.005, 0.375}, {-0.037, 0.195}, {-0.083, 0.217},
		{-0.026, 0.085}, {0.072, 0.178}, {0.021, 0.185}, {0.095, 0.455}, {-0.013, 0.412}, {0.112, 0.560},
	}
	points := make([]point, len(bolt))
	for i, p := range bolt {
		points[i] = at(cx+p[0]*w, y+h-p[1]*w)
	}
	b.add(scene.Polygon(points...), scene.Pen{}, scene.Black, ornament)
	return h
}

// alert draws the safety alert sign of ANSI Z535.4 on black: a white triangle
// with a black exclamation mark, h high, its upper left corner at x, y. It
// returns its width.
func (b *block) alert(x, y, h float64, owner string) float64 {
	w := h * 2 / math.Sqrt(3)
	tag := scene.Tag{Class: scene.Body, Owner: owner}
	cx := x + w/2
	b.add(scene.Polygon(at(cx, y), at(x+w, y+h), at(x, y+h)), scene.Pen{Ink: scene.White, Width: 0.5, Round: true}, scene.White, tag)
	mark := scene.Tag{}
	b.add(scene.Polygon(at(cx-0.075*h, y+0.36*h), at(cx+0.075*h, y+0.36*h), at(cx+0.035*h, y+0.70*h), at(cx-0.035*h, y+0.70*h)), scene.Pen{Ink: scene.Black, Width: 0.15, Round: true}, scene.Black, mark)
	b.add(scene.Circle{Centre: at(cx, y+0.83*h), Radius: 0.065 * h}, scene.Pen{}, scene.Black, mark)
	return w
}
