package answer

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"mutewright/design/known"
	"mutewright/design/lifted"
	"mutewright/design/quantity"
	"mutewright/design/timing"
)

// bySolver is the source of what the circuit solver works out.
const bySolver = "computed by the circuit solver"

// lifts builds the networks of all returns at a point of the box. The tubes'
// laws do not depend on that point and are fitted once.
type lifts struct {
	facts *known.Facts
	laws  map[*known.Tube]lifted.Law
	rails []int // indices of the supplies that are DC rails

	shorts []int // indices of the audio points that a contact shorts

	used sync.Pool // of shops

	seen     func(x []float64, s *solved)                       // told of every point that is solved; nil: nobody is
	response func(r int, x []float64) (*timing.Response, error) // of return r; nil: solved each time
}

// rail is the position of a supply among the rails, 0 where it is none.
func (l *lifts) rail(supply int) int { return max(0, slices.Index(l.rails, supply)) }

// newLifts fits the law of every tube on a return.
func newLifts(f *known.Facts) (*lifts, error) {
	l := &lifts{facts: f, laws: map[*known.Tube]lifted.Law{}}
	for i := range f.Supplies {
		if f.Supplies[i].Rail {
			l.rails = append(l.rails, i)
		}
	}
	for i := range f.Points {
		p := &f.Points[i]
		switch p.Kind {
		case known.Output:
			if err := l.fit(&p.Tube, p.At+".tube", screenOf(f, p)); err != nil {
				return nil, err
			}
		case known.Gain:
			for k := range p.Stages {
				if err := l.fit(&p.Stages[k].Tube, stageAt(p, k), 0); err != nil {
					return nil, err
				}
			}
		}
	}
	return l, l.settle()
}

func stageAt(p *known.Point, stage int) string {
	return fmt.Sprintf("%s.stages.%d.tube", p.At, stage+1)
}

// settle fits sharp cut-off stages anew whose tube has several points: to the one
// nearest the screen voltage, to cathode, at which the first law has them receive.
// A remote cut-off tube has one law for all its rows.
func (l *lifts) settle() error {
	f := l.facts
	for r := range f.Returns {
		var receive *lifted.State
		for k, i := range f.Returns[r].Points {
			p := &f.Points[i]
			for n := range p.Stages {
				t := &p.Stages[n].Tube
				if len(t.Points) == 1 || len(t.Tail) > 0 {
					continue
				}
				if receive == nil {
					ret, err := lifted.Solve(l.network(r, f.Box.Nominal(), nil))
					if err != nil {
						return fmt.Errorf("return %s: %w", f.Returns[r].Name, err)
					}
					state := ret.Receive()
					receive = &state
				}
				at := receive.Points[k].Stages[n]
				if err := l.fit(t, stageAt(p, n), at.Screen-at.Cathode); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// screenOf is the working screen voltage of an output tube.
func screenOf(f *known.Facts, p *known.Point) float64 {
	return f.Box.Entry(f.Supplies[p.Supply].Volts).Nominal
}

func (l *lifts) fit(t *known.Tube, at string, screen float64) error {
	points := make([]lifted.Published, len(t.Points))
	for i, p := range t.Points {
		points[i] = lifted.Published{
			Plate: p.Plate, Screen: p.Screen, Grid: p.Grid,
			PlateCurrent: p.PlateCurrent, ScreenCurrent: p.ScreenCurrent, Gm: p.Gm,
		}
	}
	tail := make([]lifted.Remote, len(t.Tail))
	for i, r := range t.Tail {
		tail[i] = lifted.Remote{Screen: r.Screen, Grid: r.Grid, Gm: r.Gm, OfCathode: r.OfCathode}
	}
	fitted, err := lifted.Fit(points, tail, screen)
	if err != nil {
		return fmt.Errorf("%s %s: %w", at, t.Name, err)
	}
	l.laws[t] = fitted.Law
	return nil
}

// law is the tube's law at a point of the box.
func (l *lifts) law(t *known.Tube, x []float64) lifted.Law {
	law := l.laws[t]
	law.G *= t.Emission.Of(x)
	law.Doubt = t.Doubt.Of(x)
	return law
}

// network builds return r at x. shed is what the other returns take off each rail.
func (l *lifts) network(r int, x []float64, shed []float64) lifted.Network {
	f := l.facts
	ret := &f.Returns[r]
	ratio := f.Mains.Ratio.Of(x)
	n := lifted.Network{
		Pulldown:  ret.Pulldown.Of(x),
		Contact:   contactOhms(f, ret.Name, x),
		Capacitor: lifted.Capacitor{Farads: ret.Capacitor.Of(x), Series: ret.Series.Of(x)},
		Lead:      ret.Lead.Of(x) * henriesPerMetre,
		Heater:    heater(f, x),
	}
	for k, i := range l.rails {
		s := &f.Supplies[i]
		scale := ratio
		if s.Regulated {
			scale = 1
		}
		rail := lifted.Rail{
			Volts: s.Volts.Of(x) * scale, Unloaded: math.Max(s.Unloaded.Of(x), s.Volts.Of(x)) * scale,
			Resistance: s.Resistance.Of(x), Capacitance: s.Capacitance.Of(x),
			Regulated: s.Regulated,
		}
		if shed != nil {
			rail.Shed = shed[k]
		}
		n.Rails = append(n.Rails, rail)
	}
	for _, i := range ret.Points {
		n.Points = append(n.Points, l.point(&f.Points[i], x))
	}
	return n
}

// henriesPerMetre of a single wire some distance from the chassis: 1 µH/m
// within a factor of 1.5 for any wire and height met in a set (common practice,
// no source); it counts at signal frequency only.
const henriesPerMetre = 1e-6

// heater is the winding that the cathodes see: the first winding of the plan.
func heater(f *known.Facts, x []float64) lifted.Heater {
	for _, s := range f.Supplies {
		if s.Rail {
			continue
		}
		peak := s.Volts.Of(x) * f.Mains.Ratio.Of(x) * s.Crest.Of(x)
		if s.Grounded == "centre tap" || s.Grounded == "hum pot" {
			peak /= 2
		}
		return lifted.Heater{Bias: s.Bias.Of(x), Peak: peak}
	}
	return lifted.Heater{}
}

func (l *lifts) point(p *known.Point, x []float64) lifted.Point {
	switch p.Kind {
	case known.Output:
		to := lifted.ToChassis
		if p.Bypass.ToReturn {
			to = lifted.ToReturn
		}
		return lifted.Output{
			Tube: l.law(&p.Tube, x), Count: p.Count, Separate: p.Separate, Rail: l.rail(p.Supply), Grid: p.Grid.Of(x),
			Transformer: lifted.Transformer{
				Load: p.Load.Of(x), Resistance: p.Primary.Of(x),
				Inductance: p.Inductance.Of(x), FullOutput: p.FullOutput.Of(x),
			},
			ScreenResistor: p.ScreenResistor.Of(x), CathodeResistor: p.CathodeResistor.Of(x),
			Bypass: p.Bypass.Value.Of(x), BypassTo: to, Path: p.Path.Of(x),
		}
	case known.Gain:
		g := lifted.Gain{
			Rail: l.rail(p.Supply), Frequency: p.Frequency.Of(x),
			Control: lifted.Control{
				Value: p.Track.Of(x), SetTo: math.Min(p.SetTo.Of(x), p.Track.Of(x)),
				Wiring: wirings[p.Wiring], Far: farEnds[p.FarEnd],
			},
			Bleeder:      l.feed(p.Bleeder, x),
			BusCapacitor: p.BusCapacitor.Value.Of(x),
			Path:         p.Path.Of(x),
			Screens:      l.feed(p.Screens, x),
		}
		for k := range p.Stages {
			s := &p.Stages[k]
			g.Stages = append(g.Stages, lifted.Stage{
				Tube: l.law(&s.Tube, x), CathodeResistor: s.CathodeResistor.Of(x),
				Bypass: s.Bypass.Of(x), ScreenResistor: s.ScreenResistor.Of(x), SharedScreen: s.Shared,
			})
		}
		return g
	default:
		return lifted.Measured{Open: p.Open.Of(x), Closed: p.Closed.Of(x), Capacitance: p.Capacitance.Of(x)}
	}
}

var wirings = map[string]lifted.Wiring{
	"rheostat": lifted.Rheostat, "divider": lifted.Divider, "antenna and cathode": lifted.AntennaAndCathode,
}

var farEnds = map[string]lifted.FarEnd{
	"lifted": lifted.FarLifted, "chassis": lifted.FarChassis, "free": lifted.FarFree,
}

func (l *lifts) feed(f known.Feed, x []float64) lifted.Feed {
	return lifted.Feed{
		Rail: l.rail(f.Supply), Ohms: f.Ohms.Of(x), ToChassis: f.ToChassis.Of(x), Capacitor: f.Capacitor.Value.Of(x),
	}
}

// contactOhms is the closed resistance of the contact that serves a place.
func contactOhms(f *known.Facts, place string, x []float64) float64 {
	if r := f.Serving(place); r != nil {
		return r.Contacts.Resistance.Of(x)
	}
	return 0
}

// solved is what is wanted of the returns of a plan at one point of the box.
type solved struct {
	want      need
	receive   []lifted.State
	muted     []lifted.Muted
	cold      []lifted.State
	unguarded []lifted.Unguarded
	depth     []lifted.Depth
	audio     []float64 // dB that the short at each audio point adds
	total     float64   // dB
}

// shops are those of n returns, perhaps used before.
func (l *lifts) shops(n int) *[]lifted.Shop {
	if s, ok := l.used.Get().(*[]lifted.Shop); ok && len(*s) == n {
		return s
	}
	s := make([]lifted.Shop, n)
	return &s
}

// solve answers what is wanted of the returns at x.
func (l *lifts) solve(x []float64, want need) (*solved, error) {
	f := l.facts
	n := len(f.Returns)
	s := &solved{
		want: want, receive: make([]lifted.State, n), muted: make([]lifted.Muted, n), cold: make([]lifted.State, n),
		unguarded: make([]lifted.Unguarded, n), depth: make([]lifted.Depth, n), audio: make([]float64, len(f.Points)),
	}
	used := l.shops(n)
	defer l.used.Put(used)
	shops := *used
	returns := make([]*lifted.Return, n)
	for r := range f.Returns {
		if !want.has(r) && want.of == onReceive {
			continue
		}
		ret, err := shops[r].Solve(l.network(r, x, nil))
		if err != nil {
			return nil, fmt.Errorf("return %s: %w", f.Returns[r].Name, err)
		}
		returns[r], s.receive[r] = ret, ret.Receive()
	}
	for r := range f.Returns {
		if !want.has(r) {
			continue
		}
		ret := returns[r]
		if n > 1 { // the other returns, muted, leave their current on the rail
			ret = ret.Relieved(l.shed(r, s.receive))
		}
		if err := s.open(r, shops[r].Open(ret)); err != nil {
			return nil, fmt.Errorf("return %s: %w", f.Returns[r].Name, err)
		}
	}
	if want.r != everyReturn {
		return s, nil
	}
	for r := range f.Returns {
		for k, p := range s.depth[r].Points {
			s.total += p.Total + l.depthDoubt(&f.Points[f.Returns[r].Points[k]], p, x)
		}
	}
	for _, i := range l.shorts {
		d, err := audioDepth(f, i, x)
		if err != nil {
			return nil, err
		}
		s.audio[i] = d
		s.total += d
	}
	s.total = math.Max(s.total, 0)
	return s, nil
}

// open works out what is wanted of a return with its contact open.
func (s *solved) open(r int, o *lifted.Opened) (err error) {
	if s.want.of&(whenOpen|forDepth) != 0 {
		if s.depth[r], err = o.Depth(); err != nil {
			return err
		}
	}
	if s.want.of&whenOpen != 0 {
		if s.muted[r], err = o.Muted(); err != nil {
			return err
		}
		if s.cold[r], err = o.Cold(); err != nil {
			return err
		}
	}
	if s.want.of&whenUnguarded != 0 {
		s.unguarded[r], err = o.Unguarded()
	}
	return err
}

// shed is what all returns but r take off each rail once they are muted, A; they
// are given as they receive.
func (l *lifts) shed(r int, receive []lifted.State) []float64 {
	shed := make([]float64, len(l.rails))
	for other := range receive {
		for i, rail := range receive[other].Rails {
			if other != r {
				shed[i] += rail.Drawn
			}
		}
	}
	return shed
}

// MutedReturn is return r in the nominal case, as it stands when all returns are
// muted.
func (a *Answers) MutedReturn(f *known.Facts, r int) (lifted.Network, error) {
	l, err := newLifts(f)
	if err != nil {
		return lifted.Network{}, err
	}
	return l.muted(r, f.Box.Nominal())
}

// muted builds return r at x as it is when all returns are muted.
func (l *lifts) muted(r int, x []float64) (lifted.Network, error) {
	receive := make([]lifted.State, len(l.facts.Returns))
	for other := range receive {
		if other == r {
			continue
		}
		ret, err := lifted.Solve(l.network(other, x, nil))
		if err != nil {
			return lifted.Network{}, fmt.Errorf("return %s: %w", l.facts.Returns[other].Name, err)
		}
		receive[other] = ret.Receive()
	}
	return l.network(r, x, l.shed(r, receive)), nil
}

// mostDepth is where the depth of a set ends, dB: beyond it leakage past the
// stages decides (common practice, no source).
const mostDepth = 100

// depthDoubt is the sum of the doubts of a point's stages at x, dB.
func (l *lifts) depthDoubt(p *known.Point, d lifted.PointDepth, x []float64) float64 {
	var sum float64
	doubt := func(t *known.Tube, stage int) {
		if stage < len(d.Stages) {
			// A stage can neither be louder muted than on receive by its doubt
			// alone nor count for more than its cap.
			off := t.DepthDoubt.Of(x)
			sum += math.Min(math.Max(d.Stages[stage].Total+off, 0), mostStage) - d.Stages[stage].Total
		}
	}
	if p.Kind == known.Output {
		doubt(&p.Tube, 0)
	}
	for k := range p.Stages {
		doubt(&p.Stages[k].Tube, k)
	}
	return sum
}

// mostStage is what one stage counts for at most, dB.
const mostStage = 60

// mostPoint is what the stages of a point count for at most, dB.
func mostPoint(p *known.Point) float64 { return mostStage * float64(max(1, len(p.Stages))) }

// mostSet is what all that mutes the set counts for at most, dB.
func (l *lifts) mostSet() float64 {
	var sum float64
	add := func(i int) {
		if p := &l.facts.Points[i]; p.Kind != known.Measured {
			sum += mostPoint(p)
		}
	}
	for r := range l.facts.Returns {
		for _, i := range l.facts.Returns[r].Points {
			add(i)
		}
	}
	for _, i := range l.shorts {
		add(i)
	}
	return math.Min(sum, mostDepth)
}

// returnsQuestion asks about every return, its points and the contact in it.
func returnsQuestion(l *lifts, poles *Poles, windows map[string]Window) question {
	f := l.facts
	l.shorts = audioShorts(f, poles)
	q := question{name: "lifted returns", uses: append(liftedInputs(f), audioInputs(f)...)}
	read := &reader{lifts: l}
	of := func(r int) adder {
		return func(of pieces, name string, unit quantity.Unit, formula string, get get) *column {
			q.columns = append(q.columns, column{name: name, unit: unit, formula: formula, source: bySolver})
			read.add(need{r, of}, get)
			return &q.columns[len(q.columns)-1]
		}
	}
	for r := range f.Returns {
		addReturn(of(r), l, r, windows[f.Returns[r].Name])
		for k, i := range f.Returns[r].Points {
			addPoint(of(r), l, r, k, &f.Points[i])
		}
		for _, c := range poles.Serving(f.Returns[r].Name) {
			addContact(of(r), f, r, c)
		}
	}
	add := of(everyReturn)
	for _, i := range l.shorts {
		add(onReceive, "point."+f.Points[i].Name+".depth", quantity.Level, "least over 100 Hz to 5 kHz, 20·log10|1 + (Rs∥Rl)/Zs|; a stage counts for 60 dB at most",
			func(s *solved, _ []float64) float64 { return s.audio[i] }).cap = mostPoint(&f.Points[i])
	}
	if hasDepth(f) || len(l.shorts) > 0 {
		add(whenOpen, "depth", quantity.Level, "sum over the stages of the signal path of 20·log10(gm′ receive / gm′ muted), gm′ = gm/|1 + gm·Z|; a stage counts for 60 dB at most, the set for 100",
			func(s *solved, _ []float64) float64 { return s.total }).cap = l.mostSet()
	}
	q.steps = l.details
	q.eval, q.part, q.parts = read.eval, read.part, read.parts
	return q
}

// details are what stands between the numbers of the returns and their results: the
// fitted laws of the tubes, and every stage on receive and muted.
func (l *lifts) details(x []float64) ([]detail, error) {
	s, err := l.solve(x, need{everyReturn, whenOpen})
	if err != nil {
		return nil, err
	}
	var list []detail
	add := func(of, words string, unit quantity.Unit, value float64) {
		list = append(list, detail{of, words, unit, value})
	}
	for r := range l.facts.Returns {
		n := l.network(r, x, nil)
		for k, i := range l.facts.Returns[r].Points {
			p := &l.facts.Points[i]
			stem := "point." + p.Name
			if p.Kind != known.Measured {
				add(stem+".heater_cathode", "heater's peak to chassis", quantity.Voltage, n.Heater.Peak)
				add(stem+".heater_cathode", "DC of the heater winding", quantity.Voltage, n.Heater.Bias)
			}
			for stage := range s.depth[r].Points[k].Stages {
				name, t := p.Name, &p.Tube
				if p.Kind == known.Gain {
					name, t = fmt.Sprintf("%s, stage %d", p.Name, stage+1), &p.Stages[stage].Tube
				}
				name += ", " + t.Name
				law := l.law(t, x)
				receive, muted := s.receive[r].Points[k].Stages[stage], s.muted[r].Set.Points[k].Stages[stage]
				for _, of := range []string{stem + ".cathode.", stem + ".current."} {
					for _, in := range []struct {
						state string
						lifted.StageState
					}{{"receive", receive}, {"muted", muted}} {
						add(of+in.state, name+": G of its law, in mA/V^1.5", quantity.Proportion, 1e3*law.G)
						add(of+in.state, name+": µ to the screen by its law", quantity.Proportion, law.MuA)
						add(of+in.state, name+": grid to cathode, "+in.state, quantity.Voltage, in.Grid)
						add(of+in.state, name+": screen to cathode, "+in.state, quantity.Voltage, in.Screen-in.Cathode)
					}
				}
				deep := s.depth[r].Points[k].Stages[stage]
				for _, of := range []string{stem + ".depth", "depth"} {
					add(of, name+": effective gm, receive", quantity.Transconductance, deep.Receive)
					add(of, name+": effective gm, muted", quantity.Transconductance, deep.Muted)
					add(of, name+": depth, counted to 60\u00a0dB, before its doubt", quantity.Level, deep.Total)
				}
			}
		}
	}
	return list, nil
}

func hasDepth(f *known.Facts) bool {
	for _, r := range f.Returns {
		for _, i := range r.Points {
			if f.Points[i].Kind != known.Measured {
				return true
			}
		}
	}
	return false
}

// adder adds one column to a question, says what of a return it reads, and returns
// it, good until the next.
type adder func(of pieces, name string, unit quantity.Unit, formula string, get get) *column

func addReturn(add adder, l *lifts, r int, w Window) {
	f := l.facts
	ret := &f.Returns[r]
	stem := "return." + ret.Name
	if ret.Pulldown.Exists() && !(ret.ChoosePulldown && w.Empty()) {
		add(onReceive, stem+".pulldown", quantity.Resistance, "from lifted node to chassis",
			func(_ *solved, x []float64) float64 { return ret.Pulldown.Of(x) })
		add(whenOpen, stem+".pulldown_power", quantity.Power, "V²/R muted, worst over the travel of the control",
			func(s *solved, _ []float64) float64 { return s.muted[r].Power })
	}
	add(onReceive, stem+".current", quantity.Current, "through the closed contact on receive",
		func(s *solved, _ []float64) float64 { return math.Abs(s.receive[r].Contact) })
	add(whenOpen, stem+".muted", quantity.Voltage, "lifted node to chassis, contact open, worst over the travel of the control",
		func(s *solved, _ []float64) float64 { return s.muted[r].Highest.Node })
	add(whenOpen, stem+".muted_cold", quantity.Voltage, "lifted node, contact open, tubes still cold and every rail unloaded",
		func(s *solved, _ []float64) float64 { return s.cold[r].Node })
	if bus := busPoint(f, r); bus >= 0 {
		add(whenOpen, stem+".bus", quantity.Voltage, "highest cathode bus, contact open, over the travel of the control",
			func(s *solved, _ []float64) float64 { return s.muted[r].Highest.Points[bus].Bus })
		add(whenOpen, stem+".bus_cold", quantity.Voltage, "cathode bus, contact open, tubes still cold and every rail unloaded",
			func(s *solved, _ []float64) float64 { return s.cold[r].Points[bus].Bus })
		add(whenOpen, stem+".muted_full_gain", quantity.Voltage, "lifted node, contact open, control at full gain",
			func(s *solved, _ []float64) float64 { return s.muted[r].Full.Node })
		add(whenOpen, stem+".muted_least_gain", quantity.Voltage, "lifted node, contact open, control at least gain",
			func(s *solved, _ []float64) float64 { return s.muted[r].Least.Node })
		add(whenOpen, stem+".bus_full_gain", quantity.Voltage, "cathode bus, contact open, control at full gain",
			func(s *solved, _ []float64) float64 { return s.muted[r].Full.Points[bus].Bus })
		add(whenOpen, stem+".bus_least_gain", quantity.Voltage, "cathode bus, contact open, control at least gain",
			func(s *solved, _ []float64) float64 { return s.muted[r].Least.Points[bus].Bus })
	}
	add(whenUnguarded, stem+".unguarded", quantity.Voltage, "lifted node with the pulldown missing and a 10 MΩ meter on it, the higher of hot and cold tubes",
		func(s *solved, _ []float64) float64 { return s.unguarded[r].Node })
	for k, i := range l.rails {
		if drawsFrom(f, r, i) {
			add(whenOpen, stem+".rail."+f.Supplies[i].Name, quantity.Voltage, "the rail, contact open: it rises as its stages are cut off",
				func(s *solved, _ []float64) float64 { return s.muted[r].Highest.Rails[k].Volts })
			if f.Supplies[i].Regulated {
				add(whenOpen, stem+".rail."+f.Supplies[i].Name+".extra", quantity.Current, "what the stages leave to the regulator, contact open",
					func(s *solved, _ []float64) float64 { return s.muted[r].Extra[k] })
			}
		}
	}
}

// busPoint is the first gain point of a return, as an index into its points.
func busPoint(f *known.Facts, r int) int {
	for k, i := range f.Returns[r].Points {
		if f.Points[i].Kind == known.Gain {
			return k
		}
	}
	return -1
}

// drawsFrom tells whether a point of the return draws from the supply.
func drawsFrom(f *known.Facts, r, supply int) bool {
	for _, i := range f.Returns[r].Points {
		p := &f.Points[i]
		if p.Kind == known.Measured {
			continue
		}
		if p.Supply == supply || p.Screens.Ohms.Exists() && p.Screens.Supply == supply || p.Bleeder.Ohms.Exists() && p.Bleeder.Supply == supply {
			return true
		}
	}
	return false
}

func addPoint(add adder, l *lifts, r, k int, p *known.Point) {
	stem := "point." + p.Name
	if p.Kind == known.Measured {
		return
	}
	// The worst stage speaks for the point.
	most := func(of func(s *solved) lifted.PointState, get func(lifted.StageState) float64) func(*solved, []float64) float64 {
		return func(s *solved, _ []float64) float64 {
			var worst float64
			for _, stage := range of(s).Stages {
				if v := get(stage); math.Abs(v) > math.Abs(worst) {
					worst = v
				}
			}
			return worst
		}
	}
	receive := func(s *solved) lifted.PointState { return s.receive[r].Points[k] }
	muted := func(s *solved) lifted.PointState { return s.muted[r].Highest.Points[k] }
	cathode := func(t lifted.StageState) float64 { return t.Cathode }
	screen := func(t lifted.StageState) float64 { return t.Screen }
	add(onReceive, stem+".cathode.receive", quantity.Voltage, "highest cathode to chassis, contact closed", most(receive, cathode))
	add(whenOpen, stem+".cathode.muted", quantity.Voltage, "highest cathode to chassis, contact open, worst over the travel of the control", most(muted, cathode))
	if f := l.facts; f.Returns[r].Pulldown.Exists() {
		hot := func(s *solved) lifted.PointState { return s.unguarded[r].Hot.Points[k] }
		bare := func(s *solved) lifted.PointState { return s.unguarded[r].Cold.Points[k] }
		add(whenUnguarded, stem+".cathode.unguarded", quantity.Voltage, "highest cathode to chassis with the pulldown missing, the higher of hot and cold tubes",
			func(s *solved, x []float64) float64 {
				return math.Max(most(hot, cathode)(s, x), most(bare, cathode)(s, x))
			})
	}
	add(onReceive, stem+".screen.receive", quantity.Voltage, "highest screen to chassis, contact closed", most(receive, screen))
	add(whenOpen, stem+".screen.muted", quantity.Voltage, "highest screen to chassis, contact open", most(muted, screen))
	add(onReceive, stem+".grid.receive", quantity.Voltage, "highest grid to cathode, contact closed",
		func(s *solved, _ []float64) float64 {
			return highest(receive(s), func(t lifted.StageState) float64 { return t.Grid })
		})
	add(onReceive, stem+".knee.receive", quantity.Proportion, "lowest of plate over screen, both to the cathode, contact closed",
		func(s *solved, _ []float64) float64 {
			return -highest(receive(s), func(t lifted.StageState) float64 { return -(t.Plate - t.Cathode) / (t.Screen - t.Cathode) })
		})
	add(onReceive, stem+".current.receive", quantity.Current, "cathode current of all its tubes, contact closed",
		func(s *solved, _ []float64) float64 { return receive(s).Current })
	add(whenOpen, stem+".current.muted", quantity.Current, "cathode current of all its tubes, contact open, control as set",
		func(s *solved, _ []float64) float64 { return s.muted[r].Set.Points[k].Current })
	cold := func(s *solved) lifted.PointState { return s.cold[r].Points[k] }
	stress := func(t lifted.StageState) float64 { return t.HeaterCathode }
	add(whenOpen, stem+".heater_cathode", quantity.Voltage, "|cathode − heater bias| + heater peak, muted, tubes hot or cold",
		func(s *solved, x []float64) float64 {
			return math.Max(most(muted, stress)(s, x), most(cold, stress)(s, x))
		})
	if hasBypass(p) {
		add(whenOpen, stem+".bypass", quantity.Voltage, "highest voltage on the cathode bypass capacitor: on receive, muted, or muted with cold tubes",
			func(s *solved, x []float64) float64 {
				get := func(t lifted.StageState) float64 { return math.Abs(t.Bypass) }
				return math.Max(most(receive, get)(s, x), math.Max(most(muted, get)(s, x), most(cold, get)(s, x)))
			})
	}
	add(whenOpen, stem+".depth", quantity.Level, "sum over its stages of 20·log10(gm′ receive / gm′ muted), gm′ = gm/|1 + gm·Z|; a stage counts for 60 dB at most",
		func(s *solved, x []float64) float64 {
			d := s.depth[r].Points[k]
			return d.Total + l.depthDoubt(p, d, x)
		}).cap = mostPoint(p)
	if p.Kind != known.Gain {
		return
	}
	for stage := range p.Stages {
		stem := fmt.Sprintf("%s.%d", stem, stage+1)
		one := func(of func(s *solved) lifted.PointState, get func(lifted.StageState) float64) func(*solved, []float64) float64 {
			return func(s *solved, _ []float64) float64 { return get(of(s).Stages[stage]) }
		}
		current := func(t lifted.StageState) float64 { return t.Current }
		set := func(s *solved) lifted.PointState { return s.muted[r].Set.Points[k] }
		add(onReceive, stem+".cathode.receive", quantity.Voltage, "cathode to chassis, contact closed", one(receive, cathode))
		add(whenOpen, stem+".cathode.muted", quantity.Voltage, "cathode to chassis, contact open, worst over the travel of the control", one(muted, cathode))
		add(onReceive, stem+".screen.receive", quantity.Voltage, "screen to chassis, contact closed", one(receive, screen))
		add(whenOpen, stem+".screen.muted", quantity.Voltage, "screen to chassis, contact open", one(muted, screen))
		add(onReceive, stem+".current.receive", quantity.Current, "cathode current, contact closed", one(receive, current))
		add(whenOpen, stem+".current.muted", quantity.Current, "cathode current, contact open, control as set", one(set, current))
	}
}

// highest is the highest of a figure over the stages of a point.
func highest(p lifted.PointState, get func(lifted.StageState) float64) float64 {
	v := math.Inf(-1)
	for _, stage := range p.Stages {
		v = math.Max(v, get(stage))
	}
	return v
}

func hasBypass(p *known.Point) bool {
	if p.Bypass.Value.Exists() {
		return true
	}
	for _, s := range p.Stages {
		if s.Bypass.Exists() {
			return true
		}
	}
	return false
}

// liftedInputs lists every number that a lifted network is built from.
func liftedInputs(f *known.Facts) []known.ID {
	ids := []known.ID{f.Mains.Ratio}
	for _, s := range f.Supplies {
		ids = append(ids, s.Volts, s.Resistance, s.Unloaded, s.Bias)
		if !s.Rail {
			ids = append(ids, s.Crest)
		}
	}
	tube := func(t *known.Tube) { ids = append(ids, t.Emission, t.Doubt, t.DepthDoubt) }
	for r := range f.Returns {
		ret := &f.Returns[r]
		ids = append(ids, ret.Pulldown, ret.Capacitor, ret.Series, ret.Lead)
		for _, i := range ret.Points {
			p := &f.Points[i]
			ids = append(ids, p.Grid, p.Load, p.Primary, p.Inductance, p.ScreenResistor, p.CathodeResistor,
				p.Bypass.Value, p.Path, p.Frequency, p.Track, p.SetTo, p.Bleeder.Ohms, p.Bleeder.ToChassis,
				p.BusCapacitor.Value, p.Screens.Ohms, p.Screens.ToChassis, p.Screens.Capacitor.Value,
				p.Open, p.Closed, p.Capacitance)
			if p.Kind == known.Output {
				tube(&p.Tube)
			}
			for k := range p.Stages {
				s := &p.Stages[k]
				ids = append(ids, s.CathodeResistor, s.Bypass, s.ScreenResistor)
				tube(&s.Tube)
			}
		}
	}
	for i := range f.Relays {
		c := f.Relays[i].Contacts
		ids = append(ids, c.Resistance, c.Volts, c.Amps, c.Watts)
	}
	return ids
}
