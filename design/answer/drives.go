package answer

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

var rectifiers = map[string]drive.Rectifier{
	"none": drive.None, "half-wave": drive.HalfWave, "full-wave": drive.FullWave,
	"bridge": drive.Bridge, "doubler": drive.Doubler,
}

var clamps = map[string]drive.ClampKind{
	"none": drive.NoClamp, "diode": drive.DiodeClamp, "diode and zener": drive.DiodeAndZener,
}

var buffers = map[string]drive.BufferKind{"none": drive.NoBuffer, "pnp": drive.PNP, "npn": drive.NPN}

var senses = map[string]drive.Sense{
	"grounded": drive.Grounded, "opened": drive.Opened, "raised": drive.Raised,
}

// ruling says whether the relay's rectifier may stand on its supply.
func ruling(f *known.Facts, r *known.Relay) drive.Ruling {
	return drive.Legal(rectifiers[r.Rectifier], grounding(f, r))
}

// grounding is how the relay's supply stands to chassis.
func grounding(f *known.Facts, r *known.Relay) drive.Grounding {
	if r.Supply < 0 {
		return drive.KeyLine
	}
	s := &f.Supplies[r.Supply]
	if s.Rail {
		return drive.DirectRail
	}
	if s.Bias.Exists() && f.Box.Entry(s.Bias).High > 0 {
		return drive.Biased
	}
	switch s.Grounded {
	case "centre tap":
		return drive.CentreTap
	case "hum pot":
		return drive.HumPot
	case "floating":
		if s.Tap != "" {
			return drive.FloatingTap
		}
		return drive.Floating
	}
	return drive.OneSide
}

// hookup says whether the relay's coil circuit goes with the key line.
func hookup(f *known.Facts, r *known.Relay) drive.Fit {
	on := drive.OnTransmit
	if r.OnReceive {
		on = drive.OnReceive
	}
	return drive.Fits(drive.Wish{
		MutesWhen: senses[f.Control.MutesWhen], EnergisedOn: on, Buffer: buffers[r.Buffer],
		OnLine: r.Supply < 0, Line: line(f, f.Box.Nominal()), Supply: supplyVolts(f, r),
	})
}

// supplyVolts is what the coils' supply would be without losses, V.
func supplyVolts(f *known.Facts, r *known.Relay) float64 {
	if r.Supply < 0 {
		return nominal(f, f.Transmitter.Level)
	}
	s := &f.Supplies[r.Supply]
	volts := nominal(f, s.Volts)
	if s.Rail {
		return volts
	}
	peak := volts * math.Sqrt2 * drive.Share(rectifiers[r.Rectifier], grounding(f, r))
	switch r.Rectifier {
	case "doubler":
		return 2 * peak
	case "none":
		return 0
	}
	return peak
}

func line(f *known.Facts, x []float64) drive.Line {
	t := &f.Transmitter
	return drive.Line{
		Drop: t.Drop.Of(x), Leakage: t.Leakage.Of(x), Level: t.Level.Of(x),
		Source: t.Keying == "source", IdleLow: t.IdleLow,
	}
}

// driveAt builds the drive of a plan at a point of the box: all coils stand on
// the first relay's supply and hang on one key line.
func driveAt(f *known.Facts, hook drive.Hookup, x []float64) drive.Drive {
	r := &f.Relays[0]
	d := drive.Drive{
		Rectifier: rectifiers[r.Rectifier], Reservoir: r.Reservoir.Of(x), Fuse: r.FuseOhms.Of(x),
		Hookup: hook, Line: line(f, x),
		Buffer: drive.Buffer{Base: r.Base.Of(x), BaseEmitter: r.BaseEmitter.Of(x)},
	}
	for i := range f.Relays {
		d.Coils = append(d.Coils, coilAt(f, &f.Relays[i], x))
	}
	if f.Soaked.Of(x) < 0.5 { // just keyed; else it has taken up its own heat
		d.Warmth = drive.Fresh
	}
	if r.Supply < 0 {
		d.Rail = drive.Rail{Volts: f.Transmitter.Level.Of(x)}
		return d
	}
	s := &f.Supplies[r.Supply]
	ratio := f.Mains.Ratio.Of(x)
	if s.Rail {
		if s.Regulated {
			ratio = 1
		}
		d.Rail = drive.Rail{Volts: s.Volts.Of(x) * ratio, Ohms: s.Resistance.Of(x)}
		return d
	}
	d.Winding = drive.Winding{
		Volts: s.Volts.Of(x) * ratio, Crest: s.Crest.Of(x), Ohms: s.Resistance.Of(x),
		Hertz: f.Mains.Frequency.Of(x), Grounding: grounding(f, r),
		Drawn: s.Drawn.Of(x) * ratio, Rated: s.Rated.Of(x),
	}
	return d
}

// coilAt is the relay's coil at a point of the box.
func coilAt(f *known.Facts, r *known.Relay, x []float64) drive.Coil {
	c := &r.Coil
	return drive.Coil{
		Ohms: c.Ohms.Of(x), Rated: c.Rated.Of(x), Operate: c.Operate.Of(x), Release: c.MustLet.Of(x),
		Ambient: f.Ambient.Of(x), Rise: c.Rise.Of(x), Limit: c.Limit.Of(x),
		MostAt23: c.At23.Of(x), MostAt70: c.At70.Of(x), Henries: c.Closed.Of(x),
		Dropper: r.Dropper.Of(x),
		Clamp:   drive.Clamp{Kind: clamps[r.Clamp], Zener: r.Zener.Of(x)},
		Hold:    drive.Hold{Farads: r.Hold.Of(x), Ohms: r.HoldOhms.Of(x)},
	}
}

// driveInputs lists every number that the drive is built from.
func driveInputs(f *known.Facts) []known.ID {
	t, r := &f.Transmitter, &f.Relays[0]
	ids := []known.ID{
		f.Mains.Ratio, f.Mains.Frequency, f.Ambient, f.Soaked,
		t.Drop, t.Leakage, t.Level,
		r.Reservoir, r.FuseOhms, r.Base, r.BaseEmitter,
	}
	for i := range f.Relays {
		ids = append(ids, coilInputs(&f.Relays[i])...)
	}
	if r.Supply >= 0 {
		s := &f.Supplies[r.Supply]
		ids = append(ids, s.Volts, s.Crest, s.Resistance, s.Drawn, s.Rated)
	}
	return ids
}

// coilInputs lists every number that a coil is built from.
func coilInputs(r *known.Relay) []known.ID {
	c := &r.Coil
	return []known.ID{r.Dropper, r.Zener, r.Hold, r.HoldOhms,
		c.Rated, c.Ohms, c.Operate, c.MustLet, c.Rise, c.Limit, c.At23, c.At70, c.Closed}
}

// driveBudget is how many drives are solved for one worst case. The signs of the
// effects take two each for some dozen uncertain inputs, the corners a dozen
// more; rechecks get the rest.
const driveBudget = 55

// driveQuestion asks about the drive: its supply, winding and diodes, each
// relay's coil, the buffer, and the key line that carries them all. home is the
// point beside which the others lie.
func driveQuestion(f *known.Facts, hook drive.Hookup, home []float64) question {
	first := &f.Relays[0]
	near := &nearby{drive: func(x []float64) drive.Drive { return driveAt(f, hook, x) }, home: home}
	q := question{name: "relay drive", uses: driveInputs(f), budget: driveBudget}
	var read []func(d drive.Result) float64
	add := func(name string, unit quantity.Unit, formula string, get func(d drive.Result) float64) {
		q.columns = append(q.columns, column{name: name, unit: unit, formula: formula, source: bySolver})
		read = append(read, get)
	}
	ac := first.Supply >= 0 && !f.Supplies[first.Supply].Rail
	add("drive.supply.released", quantity.Voltage, "mean reservoir voltage, coils released, 10 MΩ meter and the line's leakage",
		func(d drive.Result) float64 { return d.Supply.Released })
	add("drive.supply.operated", quantity.Voltage, "mean reservoir voltage, all coils operated",
		func(d drive.Result) float64 { return d.Supply.Operated })
	if ac {
		add("drive.supply.ripple", quantity.Voltage, "peak to peak, all coils operated",
			func(d drive.Result) float64 { return d.Supply.Ripple })
	}
	for i := range f.Relays {
		addCoil(add, i, &f.Relays[i])
	}
	if ac {
		add("drive.winding.current", quantity.Current, "rms of the drive's own current",
			func(d drive.Result) float64 { return d.Winding.Current })
		if f.Supplies[first.Supply].Rated.Exists() {
			add("drive.winding.load", quantity.Proportion, "rms of heaters and drive together over the winding's rating",
				func(d drive.Result) float64 { return d.Winding.Load })
		}
		add("drive.diode.peak", quantity.Current, "repetitive peak of the worst rectifier diode",
			func(d drive.Result) float64 { return d.Diode.Peak })
		add("drive.diode.reverse", quantity.Voltage, "highest reverse voltage of the worst rectifier diode",
			func(d drive.Result) float64 { return d.Diode.Reverse })
	}
	if hook.Buffer() != drive.NoBuffer {
		add("drive.buffer.gain", quantity.Proportion, "collector over base current, operated",
			func(d drive.Result) float64 { return d.Buffer.Gain })
		add("drive.buffer.off", quantity.Voltage, "from base to emitter, released, with the line's leakage",
			func(d drive.Result) float64 { return d.Buffer.Off })
		add("drive.buffer.voltage", quantity.Voltage, "highest from collector to emitter: supply + clamp",
			func(d drive.Result) float64 { return within(d.Buffer.Volts, d.Buffer.Clamped) })
	}
	add("control.open", quantity.Voltage, "on the key line, transmitter unplugged",
		func(d drive.Result) float64 { return d.Line.Open })
	add("control.closed", quantity.Current, "in the key line, closed, with its own drop",
		func(d drive.Result) float64 { return d.Line.Closed })
	add("control.kick", quantity.Voltage, "highest on the key line at let-go: supply + clamp",
		func(d drive.Result) float64 { return within(d.Line.Kick, d.Line.Clamped) })
	if slices.ContainsFunc(f.Relays, func(r known.Relay) bool { return r.Hold.Exists() }) {
		add(inrush(hook), quantity.Current, "coil supply over dropper and series resistor, as the empty hold capacitors begin to charge",
			func(d drive.Result) float64 { return d.Inrush })
	}

	q.steps = func(x []float64) ([]detail, error) { return driveDetails(f, hook, x) }
	q.eval = func(x, out []float64) error {
		result, err := near.solve(x)
		if err != nil {
			return err
		}
		for i, get := range read {
			out[i] = get(result)
		}
		return nil
	}
	return q
}

// inrush is the name of what charges the hold capacitors: the line does, or the
// transistor.
func inrush(hook drive.Hookup) string {
	if hook.Buffer() == drive.NoBuffer {
		return "control.inrush"
	}
	return "drive.buffer.inrush"
}

// nearby solves a drive at points of the box, from its state at home on.
// It may be used from several goroutines.
type nearby struct {
	drive func(x []float64) drive.Drive
	home  []float64

	once sync.Once
	at   drive.Result
	err  error
}

func (n *nearby) solve(x []float64) (drive.Result, error) {
	n.once.Do(func() { n.at, n.err = drive.Solve(n.drive(n.home)) })
	switch {
	case slices.Equal(x, n.home):
		return n.at, n.err
	case n.err != nil:
		return drive.Solve(n.drive(x))
	}
	return n.at.Near(n.drive(x))
}

// driveDetails are what stands between the numbers of a drive and its results.
func driveDetails(f *known.Facts, hook drive.Hookup, x []float64) ([]detail, error) {
	d := driveAt(f, hook, x)
	result, err := drive.Solve(d)
	if err != nil {
		return nil, err
	}
	var list []detail
	if w := d.Winding; w.Volts > 0 {
		list = append(list,
			detail{"drive.supply", "crest of the winding, end to end, no load of the drive", quantity.Voltage, w.Volts * w.Crest},
			detail{"drive.winding.load", "rms of heaters and drive together", quantity.Current, result.Winding.Total})
	} else {
		list = append(list, detail{"drive.supply", "rail that feeds the coils", quantity.Voltage, d.Rail.Volts})
	}
	for i := range f.Relays {
		stem, c, r := driveStem(&f.Relays[i])+".coil.", d.Coils[i], result.Coils[i]
		list = append(list,
			detail{stem, "coil temperature taken", quantity.Temperature, r.Celsius},
			detail{stem, "coil resistance at that temperature", quantity.Resistance, r.Ohms},
			detail{stem + "operate_margin", "voltage that pulls it in, warm", quantity.Voltage, c.Operate * c.Rated * r.Ohms / c.Ohms},
			detail{stem + "ceiling_margin", "voltage permitted in that heat", quantity.Voltage, r.Permitted},
			detail{stem + "release_margin", "voltage that must let it go", quantity.Voltage, c.Release * c.Rated},
			detail{stem + "release_margin", "left on it by the open line's leakage", quantity.Voltage, r.Residual})
	}
	if hook.Buffer() != drive.NoBuffer {
		list = append(list, detail{"drive.buffer.gain", "base current", quantity.Current, result.Buffer.Base})
	}
	return list, nil
}

// addCoil adds the columns of one relay's coil.
func addCoil(add func(string, quantity.Unit, string, func(drive.Result) float64), i int, r *known.Relay) {
	stem := driveStem(r)
	add(stem+".coil.voltage", quantity.Voltage, "mean over the operated coil",
		func(d drive.Result) float64 { return d.Coils[i].Volts })
	add(stem+".coil.voltage_least", quantity.Voltage, "lowest instant over the operated coil",
		func(d drive.Result) float64 { return d.Coils[i].Least })
	add(stem+".coil.current", quantity.Current, "mean through the operated coil",
		func(d drive.Result) float64 { return d.Coils[i].Amps })
	add(stem+".coil.power", quantity.Power, "mean in the operated coil",
		func(d drive.Result) float64 { return d.Coils[i].Watts })
	add(stem+".coil.operate_margin", quantity.Proportion, "lowest instant over operate share × rated voltage × R(T)/R(20 °C); nominal: coil and air at 20\u00a0°C",
		func(d drive.Result) float64 { return d.Coils[i].Operate })
	add(stem+".coil.ceiling_margin", quantity.Proportion, "permitted over mean coil voltage; permitted is the lower of √((limit−ambient)/rise·R(limit)) and the data sheet's most on its straight line, all in the same corner; nominal: coil and air at 20\u00a0°C",
		func(d drive.Result) float64 { return d.Coils[i].Ceiling })
	add(stem+".coil.release_margin", quantity.Proportion, "must-release voltage over what the open line's leakage leaves on the coil",
		func(d drive.Result) float64 {
			m, ok := d.Coils[i].Release()
			return within(m, ok)
		})
	if r.Dropper.Exists() {
		add(stem+".dropper.power", quantity.Power, "mean in the dropper, coil operated",
			func(d drive.Result) float64 { return d.Coils[i].Dropper })
	}
}

// driveStem begins the names of a relay's drive: "drive" for the first.
func driveStem(r *known.Relay) string {
	if r.Index > 1 {
		return fmt.Sprintf("drive.%d", r.Index)
	}
	return "drive"
}
