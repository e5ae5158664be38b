package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/fitting"
	"mutewright/render/scene"
)

func TestWrapKeepsToItsWidth(t *testing.T) {
	for name, text := range map[string]string{
		"words":       "the quick brown fox jumps over the lazy dog and on",
		"a long word": "muting_points.sensitivity.stages.2.cathode_resistor",
		"no break":    "250\u00a0V\u00a0±\u00a010\u00a0%",
		"no blanks":   "Donaudampfschifffahrtselektrizitätenhauptbetriebswerk",
	} {
		t.Run(name, func(t *testing.T) {
			const width = 30.0
			var all string
			for _, l := range wrap(regular, text, width) {
				assert.LessOrEqual(t, regular.width(l), width, l)
				all += l
			}
			assert.Equal(t, len([]rune(all)), len([]rune(text))-blanksLost(text, all), "nothing is lost but blanks")
		})
	}
}

func blanksLost(before, after string) int {
	count := func(s string) (n int) {
		for _, r := range s {
			if r == ' ' {
				n++
			}
		}
		return n
	}
	return count(before) - count(after)
}

func TestLongWordsBreakAtTheirMarks(t *testing.T) {
	lines := wrap(regular, "receiver.supplies.heaters.resistance", 30)
	require.Greater(t, len(lines), 1)
	assert.Equal(t, byte('.'), lines[0][len(lines[0])-1])
}

func TestFitted(t *testing.T) {
	assert.Equal(t, "short", fitted(regular, "short", 30))
	long := fitted(regular, "far too long for such a narrow place", 30)
	assert.LessOrEqual(t, regular.width(long), 30.0)
	assert.Contains(t, long, "…")
}

func TestRounding(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{{0, "0\u00a0V"}, {-0.00001, "0\u00a0V"}, {60.00001, "60\u00a0V"}, {60.2, "61\u00a0V"}, {379.5, "380\u00a0V"}} {
		assert.Equal(t, c.want, fitting.WholeVolts(c.v))
	}
	for _, c := range []struct {
		v    float64
		want string
	}{{0.4, "5\u00a0s"}, {25.56, "30\u00a0s"}, {95, "95\u00a0s"}, {131, "140\u00a0s"}, {301, "6\u00a0min"}, {1106, "19\u00a0min"}} {
		assert.Equal(t, c.want, seconds(c.v))
	}
}

func TestFingerprint(t *testing.T) {
	assert.Equal(t, "7C1E-40B9-D2A6", fingerprint("7c1e40b9d2a6ff00112233"))
	assert.Equal(t, "7C", fingerprint("7c"))
}

func TestGauge(t *testing.T) {
	for size, want := range map[string]string{"0.5\u00a0mm²": "0.5", "0.5 mm²": "0.5", "0.6 mm": "ø\u00a00.6", "0.6\u00a0mm": "ø\u00a00.6", "": ""} {
		assert.Equal(t, want, gauge(size), size)
	}
}

func TestSentence(t *testing.T) {
	heads := []string{"11–12", "21–24", "31–32"}
	assert.Equal(t, "closed 11–12, 31–32; open 21–24.", sentence(heads, []string{"closed", "open", "closed"}))
	assert.Equal(t, "open 11–12.", sentence(heads[:1], []string{"open"}))
}

func TestTitlesInSentences(t *testing.T) {
	for title, want := range map[string]string{
		"No fuse": "no fuse", "GFCI or RCD trips": "GFCI or RCD trips", "": "", "Capacitor without a Y class": "capacitor without a Y class",
	} {
		assert.Equal(t, want, lower(title))
	}
}

func TestGridOf(t *testing.T) {
	reading := func(place, meter string) fitting.Reading {
		return fitting.Reading{Between: []string{place, "earth"}, Meter: meter, Unit: "V"}
	}
	full := []fitting.Reading{reading("a", "x"), reading("a", "y"), reading("b", "x"), reading("b", "y")}
	g, ok := gridOf(full)
	require.True(t, ok)
	assert.Equal(t, []string{"a to earth", "b to earth"}, g.places)
	assert.Equal(t, []string{"x", "y"}, g.meters)
	for name, list := range map[string][]fitting.Reading{
		"a hole": full[:3], "one place": full[:2], "twice": append(full[:3:3], full[2]), "none": nil,
	} {
		_, ok := gridOf(list)
		assert.False(t, ok, name)
	}
}

func TestCharactersThatTheFaceLacks(t *testing.T) {
	items := printable([]scene.Item{{Shape: scene.Text{Words: "Sender 東 Ω"}, Fill: scene.Black}})
	assert.Equal(t, "Sender ? Ω", items[0].Shape.(scene.Text).Words)
	for _, f := range scene.Fonts {
		// The box in its place was measured: what is printed must not be wider.
		assert.LessOrEqual(t, f.Width("?", 1), f.Width("東", 1)+1e-9, f.String())
	}
}
