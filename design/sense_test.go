package design_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design"
	"mutewright/design/known"
	"mutewright/design/legal"
	"mutewright/design/plan"
)

// sensible is how many legal plans at random are asked whether they follow sense.
func sensible() int {
	if testing.Short() {
		return 2
	}
	return 16
}

// near is a part of a value that the solver's own tolerance may take.
const near = 1e-4

// A built plan at random: what it left to the program is fixed.
type built struct {
	text     string
	settings []string
	facts    *known.Facts
}

func buildRandom(t *testing.T, i int) built {
	t.Helper()
	b := built{text: legal.Plan(i)}
	d := b.work(t, design.NominalOnly, func(f *known.Facts) { b.facts = f })
	for _, c := range d.Chosen {
		if fixed.MatchString(c.At) {
			b.settings = append(b.settings, c.At+"="+c.Plain)
		}
	}
	return b
}

func (b built) work(t *testing.T, options ...design.Option) *design.Design {
	t.Helper()
	p, err := plan.Read("random", []byte(b.text), catalog.Default(), b.settings...)
	require.NoError(t, err, "%s", b.text)
	d, err := design.New(p, catalog.Default(), options...)
	require.NoError(t, err, "%s", b.text)
	return d
}

func (b built) with(settings ...string) built {
	b.settings = append(b.settings[:len(b.settings):len(b.settings)], settings...)
	return b
}

// set puts a number into the box.
func set(id func(f *known.Facts) known.ID, v float64) design.Option {
	return func(f *known.Facts) {
		e := &f.Box[id(f).Index()]
		e.Nominal, e.Low, e.High = v, v, v
	}
}

// rises says that a result never falls along a list of designs.
func rises(t *testing.T, name, words string, list ...*design.Design) {
	t.Helper()
	for i := range list[1:] {
		a, ok := list[i].Quantities.Get(name)
		b, too := list[i+1].Quantities.Get(name)
		if !assert.Equal(t, ok, too, name) || !ok {
			return
		}
		from, to := math.Abs(a.Nominal), math.Abs(b.Nominal)
		assert.GreaterOrEqual(t, to, from-near*max(from, 1e-3), "%s: %s", name, words)
	}
}

func TestResultsFollowSense(t *testing.T) {
	for i := range sensible() {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			t.Parallel()
			b := buildRandom(t, i)
			base := b.work(t, design.NominalOnly)

			for _, r := range b.facts.Returns {
				var list []*design.Design
				for _, ohms := range []string{"2.2 kohm", "10 kohm", "47 kohm"} {
					list = append(list, b.with("returns."+r.Name+".pulldown="+ohms).work(t, design.NominalOnly))
				}
				rises(t, "return."+r.Name+".muted", "more pulldown never lowers the muted voltage", list...)
			}

			air := func(f *known.Facts) known.ID { return f.Ambient }
			var hotter []*design.Design
			for _, celsius := range []float64{60, 40, 20} { // rising margin
				hotter = append(hotter, b.work(t, design.NominalOnly, set(air, celsius)))
			}
			for k := range b.facts.Relays {
				stem := "drive"
				if k > 0 {
					stem = fmt.Sprintf("drive.%d", k+1)
				}
				rises(t, stem+".coil.operate_margin", "a hotter coil never improves it", hotter...)
			}

			stronger := b.work(t, design.NominalOnly, func(f *known.Facts) {
				for k := range f.Relays {
					c := &f.Relays[k].Contacts
					for _, id := range []known.ID{c.Amps, c.Watts} {
						if id.Exists() {
							f.Box[id.Index()].Nominal *= 2
						}
					}
					for l := range c.Limits {
						c.Limits[l].Amps *= 2
					}
				}
			})
			mains := b.with("receiver.mains.voltage=240 V").work(t, design.NominalOnly)
			renamed := built{text: b.text}
			for _, s := range b.settings {
				renamed.settings = append(renamed.settings, strings.ReplaceAll(s, "line1", "silent"))
			}
			renamed.text = strings.ReplaceAll(renamed.text, "line1", "silent")
			other := renamed.work(t, design.NominalOnly)
			for _, q := range base.Quantities.All() {
				switch {
				case strings.HasPrefix(q.Name, "contact.") && strings.HasSuffix(q.Name, ".margin"):
					rises(t, q.Name, "a stronger contact never worsens it", base, stronger)
				case q.Name == "mains.touch_current":
					twice, _ := mains.Quantities.Get(q.Name)
					assert.InEpsilon(t, 2*q.Nominal, twice.Nominal, near, "the leakage goes with the mains")
				}
				same, ok := other.Quantities.Get(strings.ReplaceAll(q.Name, "line1", "silent"))
				if assert.True(t, ok, q.Name) {
					assert.Equal(t, q.Nominal, same.Nominal, "%s: a name changes no number", q.Name)
				}
			}
			assert.Equal(t, base.Verdict, other.Verdict)
		})
	}
}

// Doubt of the mains, twice as wide: no bound moves inwards.
func TestMoreDoubtNeverNarrows(t *testing.T) {
	for i := range sensible() / 4 {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			t.Parallel()
			b := buildRandom(t, i)
			doubt := func(share float64) *design.Design {
				return b.work(t, func(f *known.Facts) {
					for k := range f.Box {
						f.Box[k].Low, f.Box[k].High = f.Box[k].Nominal, f.Box[k].Nominal
					}
					f.Box[f.Mains.Ratio.Index()].Low, f.Box[f.Mains.Ratio.Index()].High = 1-share, 1+share
				})
			}
			narrow, wide := doubt(0.05), doubt(0.10)
			for _, q := range narrow.Quantities.All() {
				w, ok := wide.Quantities.Get(q.Name)
				if !ok || strings.Contains(q.Name, ".pulldown_") {
					continue // a window is a worst case itself: doubt closes it, at last to nothing
				}
				slack := 10 * near * max(math.Abs(q.Low), math.Abs(q.High))
				if strings.HasPrefix(q.Name, "timing.") {
					slack = max(slack, 20e-6) // s: instants are found between steps
				}
				assert.LessOrEqual(t, w.Low, q.Low+slack, q.Name)
				assert.GreaterOrEqual(t, w.High, q.High-slack, q.Name)
			}
		})
	}
}
