package rule

import (
	"fmt"
	"math"
	"slices"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/known"
	"mutewright/design/mains"
)

// mainsKind declares a finding of the mains side. Whatever its source says,
// others decide.
func mainsKind(id, title, source string) Kind {
	return kind("mains."+id, title, source+"; local codes and a qualified person decide")
}

const (
	touchTiers = "touch current: IEC 62368-1, IEC 60950-1, IEC 60335-1, UL 101 (second-hand)"
	yClasses   = "Y classes: IEC 60384-14 (second-hand)"
)

var (
	mainsIsolation = mainsKind("isolation", "No isolation from the mains", "touch limits: IEC 62368-1 ES1, IEC 60990 (second-hand)")
	mainsTouch     = mainsKind("touch_current", "Touch current over its tier", touchTiers)
	mainsMeter     = mainsKind("meter_undetermined", "A reading that will decide nothing", "shunted test: UL 101 (second-hand)")
	mainsUnlisted  = mainsKind("capacitors_unknown", "Line capacitors not looked for", touchTiers)
	mainsNoClass   = mainsKind("capacitor_class", "Line capacitor without a Y class", yClasses)
	mainsSingle    = mainsKind("capacitor_single", "Single capacitor on a two-wire set", yClasses)
	mainsY4        = mainsKind("capacitor_y4", "Y4 capacitor on more than 150 V", yClasses)
	mainsNoFuse    = mainsKind("no_fuse", "No fuse", "overcurrent protection of transformers: NEC 450.3(B) (second-hand)")
	mainsAnyFuse   = mainsKind("fuse_unknown", "Fuse not known", "overcurrent protection of transformers: NEC 450.3(B) (second-hand)")
	mainsWrongFuse = mainsKind("fuse_neutral", "Fuse in the neutral", "line, fuse, switch, primary; nothing in the neutral alone: common practice, NEC 240.22 (from memory)")
	mainsFuseLarge = mainsKind("fuse_large", "Fuse over its ceiling", "overcurrent protection of transformers: NEC 450.3(B) (second-hand)")
	mainsFuseSmall = mainsKind("fuse_small", "Fuse too small", "time-lag fuse of 125 to 200 % of the current, common practice")
	mainsSwitch    = mainsKind("switch_neutral", "Switch in the neutral", "line, fuse, switch, primary; nothing in the neutral alone: common practice, NEC 404.2 (from memory)")
	mainsAnySwitch = mainsKind("switch_unknown", "Switch not known", "common practice")
	mainsDevice    = mainsKind("earth_device", "Earth-fault breaker may trip", "GFCI class A: UL 943; RCD 30 mA: IEC 61008 (second-hand)")
	mainsTwoWire   = mainsKind("two_wire", "Chassis without an earth", touchTiers)
	mainsBonding   = mainsKind("bonding", "Key cable bonds an unearthed chassis", touchTiers)
	mainsCordWork  = mainsKind("cord_work", "When an earthed cord is fitted", "colours: IEC 60445 (second-hand); the rest common practice")
	mainsNoBleeder = mainsKind("no_bleeder", "Rail stays charged", "60 V DC: IEC 62368-1 ES1 (second-hand)")
	mainsDischarge = mainsKind("discharge", "Rail discharges slowly", "60 V DC: IEC 62368-1 ES1 (second-hand); a minute's wait: common practice")
)

const (
	mainsPath      = "receiver.mains."
	capacitorsPath = mainsPath + "line_capacitors"
)

// JudgeMains finds what there is to say about the mains side alone, worst first.
func JudgeMains(f *known.Facts, a *answer.Answers) []finding.Finding {
	b := &bench{Facts: f, Answers: a}
	judgeMains(b)
	finding.Sort(b.found)
	return b.found
}

// judgeMains judges the mains side of the set.
func judgeMains(b *bench) {
	if b.Refused {
		b.judgeIsolation()
		return
	}
	b.judgeTouch()
	b.judgeLineCapacitors()
	b.judgeMainsFuse()
	b.judgeSwitch()
	b.judgeEarth()
	b.judgeDischarge()
}

func (b *bench) judgeIsolation() {
	e, i := b.highOf("mains.meter_reading"), b.highOf("mains.touch_current")
	b.raise(mainsIsolation, finding.Danger, mainsPath+"isolation",
		fmt.Sprintf("The heaters of this set are in series across the mains and its chassis is one of the mains conductors: depending on plug and switch it stands at up to %s, and drives up to %s through 2 kΩ; nothing that a person or another set touches may be joined to it.", volts(e), amps(i)),
		"Connect nothing, neither jack nor antenna, earth or grounded cord, and design no interface for it; work on it only behind an isolation transformer of at least its power: that alone takes away the path from chassis through you or the transmitter to earth.")
}

// leakPath is the key path of what leaks: the capacitors, else the stray.
func (b *bench) leakPath() string {
	if len(b.Facts.Mains.Capacitors) > 0 {
		return capacitorsPath
	}
	return mainsPath + "stray"
}

// mainsHigh is the highest voltage of the mains, V rms.
func (b *bench) mainsHigh() float64 {
	return b.most(b.Facts.Mains.Voltage) * b.most(b.Facts.Mains.Ratio)
}

func (b *bench) judgeTouch() {
	current, shunt := b.highOf("mains.touch_current"), b.highOf("mains.shunt_reading")
	j := mains.Judge(b.Answers.Mains.Cord, current)
	if severity := ofClass[j.Class]; severity != finding.Good {
		says := fmt.Sprintf("Without an earth up to %s can flow from the chassis through whoever touches it (worst with %s); %s.", amps(current), b.worstState(), TouchWords(b.Answers.Mains.Cord, j))
		b.raise(mainsTouch, severity, b.leakPath(), says, b.lowerLeak())
	}
	if reading := b.highOf("mains.meter_reading"); over(reading, answer.NearMains*b.mainsHigh()) {
		b.raise(mainsMeter, finding.Note, b.leakPath(),
			fmt.Sprintf("On a 10 MΩ meter the unearthed chassis may read up to %s, nearly the mains: undetermined, because 2 nF, 0.2 µF and a dead short read alike.", volts(reading)),
			fmt.Sprintf("Ohm check first, then read on 1.5 kΩ with 0.15 µF across it: at most %s is to be expected, and 0.75 V is 0.5 mA.", volts(shunt)))
	}
}

var ofClass = map[mains.Class]finding.Severity{
	mains.Good: finding.Good, mains.Caution: finding.Caution, mains.Danger: finding.Danger,
}

// TouchWords say what a touch current on a cord is held against: its tier.
func TouchWords(c mains.Cord, j mains.Judgement) string {
	good, cord := amps(mains.Tiers(c)[0].Most), "a "+c.String()+" set"
	switch {
	case j.Class == mains.Good:
		return fmt.Sprintf("%s is good up to %s", cord, good)
	case j.Class == mains.Danger:
		return fmt.Sprintf("%s may not exceed %s", cord, amps(j.Tier.Most))
	case j.Tier.SoundEarth:
		return fmt.Sprintf("%s is good up to %s, and up to %s only while its earth is sound", cord, good, amps(j.Tier.Most))
	}
	return fmt.Sprintf("%s is good up to %s and may not exceed %s", cord, good, amps(j.Tier.Most))
}

// worstState names the state of plug and switch in which the shunt reads most.
func (b *bench) worstState() string {
	words, most := "", -1.0
	for _, s := range answer.OutletStates {
		if v := b.highOf("mains." + s.Name + ".shunt"); over(v, most) {
			words, most = s.Words, v
		}
	}
	return words
}

// lowerLeak says what brings the touch current down.
func (b *bench) lowerLeak() string {
	if len(b.Facts.Mains.Capacitors) == 0 {
		return "Measure the capacitance from the primary to chassis with the set unplugged, and write it into the plan; so much is more than a sound transformer has."
	}
	largest, ok := b.Get("mains.largest_y")
	if !ok {
		return "Take the capacitors out " + try(capacitorsPath, "none") + ": the stray of the windings alone fills the tier."
	}
	return fmt.Sprintf("Take out what joins the mains to chassis %s, or fit in its place one capacitor of %s at most, %s.", try(capacitorsPath, "none"), farads(largest.Nominal), b.classWords())
}

// classWords say which class may join a conductor to chassis.
func (b *bench) classWords() string {
	if b.Facts.Mains.TwoWire {
		return "class Y1, or two of class Y2 in series that come to it"
	}
	return "class Y1 or Y2"
}

func (b *bench) judgeLineCapacitors() {
	m := &b.Facts.Mains
	if b.leftOut(capacitorsPath) {
		b.raise(mainsUnlisted, finding.Caution, capacitorsPath,
			"The plan does not say whether a capacitor joins a mains conductor to chassis, and only stray is counted; an old one of 10 to 50 nF drives half a milliampere to several.",
			"Look for one where the cord enters and at the switch, lift one end, measure it, and write it into the plan, or none.")
	}
	for i, c := range m.Capacitors {
		at := fmt.Sprintf("%s.%d.class", capacitorsPath, i+1)
		what := fmt.Sprintf("%s from %s to chassis", farads(b.number(c.Value)), c.From)
		switch c.Class {
		case "none":
			severity := finding.Caution
			if m.TwoWire {
				severity = finding.Fail
			}
			b.raise(mainsNoClass, severity, at,
				fmt.Sprintf("The capacitor of %s has no Y class: when it fails, it fails to a short and the chassis stands at the mains.", what),
				b.lowerLeak())
			continue
		case "Y4":
			if v := b.most(m.Voltage); over(v, y4Volts) {
				b.raise(mainsY4, finding.Fail, at,
					fmt.Sprintf("The capacitor of %s is of class Y4, made for mains under %s; this is %s.", what, volts(y4Volts), volts(v)),
					fmt.Sprintf("Fit one of %s %s.", b.classWords(), try(at, "Y1")))
			}
		}
		if m.TwoWire && c.Class != "Y1" {
			b.raise(mainsSingle, finding.Caution, at,
				fmt.Sprintf("The capacitor of %s is of class %s, and nothing but it stands between the mains and a metal chassis without an earth.", what, c.Class),
				fmt.Sprintf("Fit %s %s; if these are two in series already, leave them.", b.classWords(), try(at, "Y1")))
		}
	}
}

// y4Volts is the mains under which class Y4 is made for, V rms (IEC 60384-14).
const y4Volts = 150

// leftOut tells whether the plan says nothing at a key path whose absence was
// taken for none.
func (b *bench) leftOut(at string) bool {
	return slices.ContainsFunc(b.Assumed, func(a known.Assumption) bool { return a.At == at })
}

// fuseWords name the fuse that belongs in the set.
func (b *bench) fuseWords() string {
	list := b.Answers.Mains.Fuses
	q, ok := b.Get("mains.fuse")
	if !ok {
		return "a time-lag fuse by the current on the set's plate"
	}
	text := fmt.Sprintf("a time-lag fuse of %s (%s; ", amps(q.Nominal), list.Standard)
	if list.Opens {
		return text + "an IEC fuse of the same figure carries more)"
	}
	return text + "a UL fuse of the same figure carries less)"
}

// tryFuse tries the fuse that belongs in the set; "" where nobody knows which.
func (b *bench) tryFuse() string {
	q, ok := b.Get("mains.fuse")
	if !ok {
		return ""
	}
	pairs := []string{mainsPath + "fuse.value", amps(q.Nominal)}
	if !b.Facts.Mains.Fused {
		pairs = append(pairs, mainsPath+"fuse.in", "line")
	}
	return " " + try(pairs...)
}

func (b *bench) judgeMainsFuse() {
	m := &b.Facts.Mains
	const order = " in the line: line, fuse, switch, primary."
	if !m.Fused {
		b.raise(mainsNoFuse, finding.Caution, mainsPath+"fuse",
			"The set has no fuse: a transformer or rectifier that fails burns until the fuse of the house opens.",
			"Fit "+b.fuseWords()+order+b.tryFuse())
		return
	}
	if m.FuseIn == "neutral" {
		b.raise(mainsWrongFuse, finding.Caution, mainsPath+"fuse.in",
			"The fuse stands in the neutral: once it has opened, the set is dead and all of it still at the line.",
			"Move it"+order+" "+try(mainsPath+"fuse.in", "line"))
	}
	fuse := b.Box.Entry(m.Fuse)
	if fuse.Origin == known.Assumed {
		b.raise(mainsAnyFuse, finding.Caution, mainsPath+"fuse",
			"Nobody says what fuse the set has, if it has one.",
			"Look; it should be "+b.fuseWords()+order+b.tryFuse())
		return
	}
	primary, _ := b.Get("mains.primary_current")
	switch {
	case mains.JudgeFuse(fuse.High, primary.Low) == mains.FuseLarge:
		b.raise(mainsFuseLarge, finding.Caution, mainsPath+"fuse.value",
			fmt.Sprintf("A fuse of %s is over the ceiling of %s for a primary of %s: the transformer burns first.", amps(fuse.High), amps(mains.FuseCeiling(primary.Low)), amps(primary.Low)),
			"Fit "+b.fuseWords()+"."+b.tryFuse())
	case mains.JudgeFuse(fuse.Low, primary.High) == mains.FuseSmall:
		b.raise(mainsFuseSmall, finding.Note, mainsPath+"fuse.value",
			fmt.Sprintf("A fuse of %s tires on a primary of %s and opens at switching on.", amps(fuse.Low), amps(primary.High)),
			"Fit "+b.fuseWords()+"."+b.tryFuse())
	}
}

func (b *bench) judgeSwitch() {
	switch b.Facts.Mains.SwitchIn {
	case "neutral":
		b.raise(mainsSwitch, finding.Caution, mainsPath+"switch.in",
			"The switch opens the neutral: switched off, the primary and all that hangs on it stays at the line.",
			"Move it into the line behind the fuse "+try(mainsPath+"switch.in", "line")+", or fit one that opens both "+try(mainsPath+"switch.in", "both")+".")
	case "unknown":
		b.raise(mainsAnySwitch, finding.Note, mainsPath+"switch.in",
			"Nobody says which conductor the switch opens; the worst of the three is taken.",
			"Find it with the ohmmeter, unplugged: the prong that loses the primary when the switch opens is the switched one; then say so (receiver.mains.switch.in).")
	}
}

// judgeEarth judges what follows from a chassis with or without an earth.
func (b *bench) judgeEarth() {
	leak, device := b.highOf("mains.earth_leak"), b.Answers.Mains.Device
	if trip := device.At(leak); trip != mains.Holds {
		severity, words := finding.Note, "may trip"
		if trip == mains.MustTrip {
			severity, words = finding.Caution, "must trip"
		}
		b.raise(mainsDevice, severity, b.leakPath(),
			fmt.Sprintf("Once the chassis is earthed, up to %s run in the earth wire: a %s %s (holds up to %s, trips from %s).", amps(leak), device.Name, words, amps(device.Holds), amps(device.Trips)),
			"Lower the capacitance to chassis ("+b.leakPath()+"); never take the earth off to keep the breaker in.")
	}
	if !b.Facts.Mains.TwoWire {
		return
	}
	b.raise(mainsTwoWire, finding.Caution, mainsPath+"cord",
		"The cord has two wires: nothing holds the chassis at earth, and all that leaks or fails stands on it.",
		"Fit a three-wire cord once the ohm check and the insulation test allow it "+try(mainsPath+"cord", "three-wire")+".")
	if len(b.Relays) > 0 {
		b.raise(mainsBonding, finding.Caution, "control.jack",
			fmt.Sprintf("The key cable's sleeve or a bonding braid ties this unearthed chassis to an earthed station: up to %s run in it, or through whoever holds its end when it comes off.", amps(b.highOf("mains.touch_current"))),
			fmt.Sprintf("First the shunted test from the jack's sleeve to the station's earth, at most %s on 1.5 kΩ, then the cable, and the cable before the plug.", volts(b.Answers.Mains.Good*mains.ShuntOhms)))
	}
	b.raise(mainsCordWork, finding.Note, mainsPath+"cord",
		"Colours mislead: old cords mark neither conductor, and in American tube sets green and green-yellow are heater leads too.",
		"Trace each lead with the ohmmeter (brown, blue, green-yellow; in North America black, white, green); fit a strain relief, and leave the earth lead longest, on a screw of its own.")
}

// slow is a discharge longer than what people wait before they reach in, s
// (common practice).
const slow = 60

func (b *bench) judgeDischarge() {
	for _, r := range b.Answers.Mains.Rails {
		s := &b.Supplies[r.Supply]
		at := "receiver.supplies." + s.Name + ".bleeder"
		tool := fmt.Sprintf("discharge it through %s of %s or more (%s to 30 V), then short it, then measure again: part of the charge comes back",
			ohms(answer.ToolOhms), watts(answer.ToolWatts), seconds(r.Tool.High))
		switch {
		case !r.Bled:
			b.raise(mainsNoBleeder, finding.Caution, at,
				fmt.Sprintf("No bleeder is known on %s: after switching off with cold tubes it keeps up to %s on %s; only a 10 MΩ meter on it takes up to %s to 60 V.",
					s.Name, volts(b.railHigh(s)), farads(b.number(s.Capacitance)), minutes(r.Meter.High)),
				fmt.Sprintf("Fit a bleeder; %s brings it to 60 V within a minute %s. Never trust the meter's own load: %s.", ohms(b.bleederFor(s)), try(at, ohms(b.bleederFor(s))), tool))
		case over(r.To60.High, slow):
			b.raise(mainsDischarge, finding.Caution, at,
				fmt.Sprintf("Its bleeder takes up to %s to bring %s from %s to 60 V, and %s to 30 V.", minutes(r.To60.High), s.Name, volts(b.railHigh(s)), minutes(r.To30.High)),
				fmt.Sprintf("Wait that long with the meter on it, or %s. A bleeder of %s brings it to 60 V within a minute %s.", tool, ohms(b.bleederFor(s)), try(at, ohms(b.bleederFor(s)))))
		}
	}
}

// bleederFor is the bleeder of the E12 series that empties a rail in the time that
// people wait, ohm: t = R·C·ln(V/60 V).
func (b *bench) bleederFor(s *known.Supply) float64 {
	return catalog.E12.AtMost(slow / (b.most(s.Capacitance) * math.Log(b.railHigh(s)/mains.TouchDC)) / bleederSpare)
}

// bleederSpare leaves room for the bleeder's own tolerance.
const bleederSpare = 1.1

// railHigh is the highest voltage a rail keeps, V DC.
func (b *bench) railHigh(s *known.Supply) float64 {
	v := max(b.most(s.Unloaded), -b.least(s.Unloaded))
	if s.Regulated {
		return v
	}
	return v * b.most(b.Facts.Mains.Ratio)
}

// minutes writes a time that people wait.
func minutes(v float64) string {
	if v < 2*60 {
		return seconds(v)
	}
	return fmt.Sprintf("%.0f min", v/60)
}
