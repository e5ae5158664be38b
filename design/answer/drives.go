package answer

import (
	"fmt"
	"slices"
	"strings"

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
	var volts float64
	if r.Supply >= 0 {
		volts = f.Box.Entry(f.Supplies[r.Supply].Volts).Nominal
		switch r.Rectifier {
		case "doubler":
			volts *= 2 * 1.414
		case "half-wave", "full-wave", "bridge":
			volts *= 1.414
		}
	}
	on := drive.OnTransmit
	if r.OnReceive {
		on = drive.OnReceive
	}
	return drive.Fits(drive.Wish{
		MutesWhen: senses[f.Control.MutesWhen], EnergisedOn: on, Buffer: buffers[r.Buffer],
		OnLine: r.Supply < 0, Line: line(f, f.Box.Nominal()), Supply: volts,
	})
}

func line(f *known.Facts, x []float64) drive.Line {
	t := &f.Transmitter
	return drive.Line{
		Drop: t.Drop.Of(x), Leakage: t.Leakage.Of(x), Level: t.Level.Of(x),
		Source: t.Keying == "source", IdleLow: t.IdleLow,
	}
}

// driveAt builds the drive of a relay at a point of the box.
func driveAt(f *known.Facts, r *known.Relay, hook drive.Hookup, x []float64) drive.Drive {
	d := drive.Drive{
		Rectifier: rectifiers[r.Rectifier], Reservoir: r.Reservoir.Of(x), Fuse: r.FuseOhms.Of(x),
		Hookup: hook, Line: line(f, x),
		Buffer: drive.Buffer{Base: r.Base.Of(x), BaseEmitter: r.BaseEmitter.Of(x)},
		Coils:  []drive.Coil{coilAt(f, r, x)},
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

// driveInputs lists every number that a drive is built from.
func driveInputs(f *known.Facts, r *known.Relay) []known.ID {
	t, c := &f.Transmitter, &r.Coil
	ids := []known.ID{
		f.Mains.Ratio, f.Mains.Frequency, f.Ambient, f.Soaked,
		t.Drop, t.Leakage, t.Level,
		r.Reservoir, r.Dropper, r.Zener, r.FuseOhms, r.Hold, r.HoldOhms, r.Base, r.BaseEmitter,
		c.Rated, c.Ohms, c.Operate, c.MustLet, c.Rise, c.Limit, c.At23, c.At70, c.Closed,
	}
	if r.Supply >= 0 {
		s := &f.Supplies[r.Supply]
		ids = append(ids, s.Volts, s.Crest, s.Resistance, s.Drawn, s.Rated)
	}
	return ids
}

// driveBudget is how many drives are solved for one worst case. The signs of the
// effects take two each for some dozen uncertain inputs; the corners and their
// rechecks get the rest.
const driveBudget = 100

// heatBudget is enough for a result that only rises or falls with each input.
const heatBudget = 40

// driveQuestion asks about the drive of one relay; stem is "drive" for the
// first.
func driveQuestion(f *known.Facts, r *known.Relay, hook drive.Hookup) question {
	stem := driveStem(r)
	control := strings.Replace(stem, "drive", "control", 1)
	q := question{name: "relay drive", uses: driveInputs(f, r), budget: driveBudget}
	var read []func(d drive.Result) float64
	add := func(name string, unit quantity.Unit, formula string, get func(d drive.Result) float64) {
		q.columns = append(q.columns, column{name: name, unit: unit, formula: formula, source: bySolver})
		read = append(read, get)
	}
	ac := r.Supply >= 0 && !f.Supplies[r.Supply].Rail
	add(stem+".supply.released", quantity.Voltage, "mean reservoir voltage, coil released, 10 MΩ meter and the line's leakage",
		func(d drive.Result) float64 { return d.Supply.Released })
	add(stem+".supply.operated", quantity.Voltage, "mean reservoir voltage, coil operated",
		func(d drive.Result) float64 { return d.Supply.Operated })
	if ac {
		add(stem+".supply.ripple", quantity.Voltage, "peak to peak, coil operated",
			func(d drive.Result) float64 { return d.Supply.Ripple })
	}
	add(stem+".coil.voltage", quantity.Voltage, "mean over the operated coil",
		func(d drive.Result) float64 { return d.Coils[0].Volts })
	add(stem+".coil.voltage_least", quantity.Voltage, "lowest instant over the operated coil",
		func(d drive.Result) float64 { return d.Coils[0].Least })
	add(stem+".coil.current", quantity.Current, "mean through the operated coil",
		func(d drive.Result) float64 { return d.Coils[0].Amps })
	add(stem+".coil.power", quantity.Power, "mean in the operated coil",
		func(d drive.Result) float64 { return d.Coils[0].Watts })
	add(stem+".coil.operate_margin", quantity.Proportion, "lowest instant over operate share × rated voltage × R(T)/R(20 °C)",
		func(d drive.Result) float64 { return d.Coils[0].Operate })
	add(stem+".coil.ceiling_margin", quantity.Proportion, "permitted over mean coil voltage; permitted is the lower of √((limit−ambient)/rise·R(limit)) and the data sheet's most on its straight line",
		func(d drive.Result) float64 { return d.Coils[0].Ceiling })
	add(stem+".coil.release_margin", quantity.Proportion, "must-release voltage over what the open line's leakage leaves on the coil",
		func(d drive.Result) float64 {
			m, ok := d.Coils[0].Release()
			return within(m, ok)
		})
	if r.Dropper.Exists() {
		add(stem+".dropper.power", quantity.Power, "mean in the dropper, coil operated",
			func(d drive.Result) float64 { return d.Coils[0].Dropper })
	}
	if ac {
		add(stem+".winding.current", quantity.Current, "rms of the drive's own current",
			func(d drive.Result) float64 { return d.Winding.Current })
		if f.Supplies[r.Supply].Rated.Exists() {
			add(stem+".winding.load", quantity.Proportion, "rms of heaters and drive together over the winding's rating",
				func(d drive.Result) float64 { return d.Winding.Load })
		}
		add(stem+".diode.peak", quantity.Current, "repetitive peak of the worst rectifier diode",
			func(d drive.Result) float64 { return d.Diode.Peak })
		add(stem+".diode.reverse", quantity.Voltage, "highest reverse voltage of the worst rectifier diode",
			func(d drive.Result) float64 { return d.Diode.Reverse })
	}
	add(control+".open", quantity.Voltage, "on the key line, transmitter unplugged",
		func(d drive.Result) float64 { return d.Line.Open })
	add(control+".closed", quantity.Current, "in the key line, closed, with its own drop",
		func(d drive.Result) float64 { return d.Line.Closed })
	add(control+".kick", quantity.Voltage, "highest on the key line at let-go: supply + clamp",
		func(d drive.Result) float64 { return within(d.Line.Kick, d.Line.Clamped) })

	q.eval = func(x, out []float64) error {
		d := driveAt(f, r, hook, x)
		result, err := drive.Solve(d)
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

// heatQuestion asks for the temperature of a settled coil. Its nominal is mid
// ambient, unlike that of the other results, which take the coil at 20 °C.
func heatQuestion(f *known.Facts, r *known.Relay, hook drive.Hookup) (question, known.Box) {
	box := slices.Clone(f.Box)
	e := &box[f.Ambient.Index()]
	e.Low, e.High = f.AmbientLow, f.AmbientHigh
	e.Nominal = (e.Low + e.High) / 2
	return question{
		name: "coil temperature", uses: driveInputs(f, r), budget: heatBudget,
		columns: []column{{
			name: driveStem(r) + ".coil.temperature", unit: quantity.Temperature,
			formula: "T = ambient + K/W·V²/R(T), R(T) = R20·(234.5 + T)/254.5 (IEC 60028), at mid ambient",
			source:  bySolver,
		}},
		eval: func(x, out []float64) error {
			d := driveAt(f, r, hook, x)
			d.Warmth = drive.Settled
			result, err := drive.Solve(d)
			if err == nil {
				out[0] = result.Coils[0].Celsius
			}
			return err
		},
	}, box
}

// driveStem begins the names of a relay's drive: "drive" for the first.
func driveStem(r *known.Relay) string {
	if r.Index > 1 {
		return fmt.Sprintf("drive.%d", r.Index)
	}
	return "drive"
}
