package rule

import (
	"fmt"
	"math"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/drive"
	"mutewright/design/finding"
	"mutewright/design/known"
)

var (
	driveRectifier  = kind("drive.rectifier", "Rectifier does not go with the winding", "common practice")
	driveBias       = kind("drive.bias", "Winding stands above chassis", "common practice")
	driveCircuit    = kind("drive.circuit", "Coil circuit does not go with the key line", "common practice")
	driveClamp      = kind("drive.clamp", "Coil without a clamp", "an unclamped 12 V coil kicks to 1000–1500 V (published measurements, second-hand)")
	driveFuse       = kind("drive.fuse", "Lead to the drive without a fuse", "computed by the circuit solver")
	driveOperate    = kind("drive.operate", "Coil may not pull in", "operate voltage at the coil's temperature, copper law of IEC 60028")
	driveCeiling    = kind("drive.ceiling", "Coil over its permitted voltage", "data sheets of the class; copper law of IEC 60028")
	driveRelease    = kind("drive.release", "Coil may not let go", "must-release voltage of the data sheet")
	driveWinding    = kind("drive.winding_load", "Winding overloaded", "sum of currents within the rating, common practice")
	driveUnknown    = kind("drive.winding_rating", "Rating of the winding is not known", "common practice")
	driveCore       = kind("drive.core", "Direct current in the transformer's core", "common practice")
	driveHash       = kind("drive.hash", "Rectifier switches while the set receives", "common practice")
	driveHum        = kind("drive.heater_offset", "Bridge lifts a floating winding", "common practice")
	driveTogether   = kind("drive.together", "Relays that cannot share a key line", "the plan itself")
	driveGain       = kind("drive.buffer_gain", "Transistor may not saturate", "forced gain of 20 at most, common practice")
	driveOff        = kind("drive.buffer_off", "Transistor may not let go", "0.3 V from base to emitter at most, common practice")
	driveTransistor = kind("drive.transistor", "Transistor over its voltage", "ratings of small transistors, from memory")
	driveInrush     = kind("drive.hold_inrush", "Hold capacitor charges through what is too weak", "computed by the circuit solver; ratings of key line and small transistors")
	driveHighRail   = kind("drive.high_rail", "Coil fed straight from a high rail", "IEC 62368-1 ES1; local codes and a qualified person decide")
)

// coreCurrent is the direct current of a half-wave rectifier above which the
// transformer's core deserves a note, A (common practice).
const coreCurrent = 0.03

// highRail is a supply above which a coil on the line is a danger, V DC (ES1).
const highRail = touchLimit

func judgeDrives(b *bench) {
	first := &b.Relays[0]
	b.judgeCircuit(first, b.Circuit)
	b.judgeUnfused(first)
	b.judgeTogether()
	for i := range b.Relays {
		b.judgeClamp(&b.Relays[i])
		b.judgeCoil(&b.Relays[i])
	}
	b.judgeBuffer(first)
	b.judgeInrush(first)
	b.judgeWinding(first)
}

var rectifierWords = map[drive.Rectifier]string{
	drive.None: "none", drive.HalfWave: "half-wave", drive.FullWave: "full-wave",
	drive.Bridge: "bridge", drive.Doubler: "doubler",
}

var barWords = map[drive.Bar]string{
	drive.ShortsWinding:    "one of its diodes would lie across the winding",
	drive.NoTap:            "it needs a centre tap and there is none",
	drive.UnbalancesPot:    "its current would return through the hum pot",
	drive.OnBias:           "its minus at chassis would short the winding's bias",
	drive.OnHighVoltage:    "the winding stands at B+",
	drive.NeedsRectifier:   "the coil is for direct current and the supply alternates",
	drive.NeedsNoRectifier: "the supply is direct already",
}

func (b *bench) judgeCircuit(r *known.Relay, c answer.Circuit) {
	supply := "the key line"
	path := "transmitter.keying"
	if r.Supply >= 0 {
		supply = b.Supplies[r.Supply].Name
		path = "receiver.supplies." + supply
		if !b.Supplies[r.Supply].Rail {
			if bias := b.most(b.Supplies[r.Supply].Bias); bias > 0 {
				severity := finding.Fail
				if over(bias, drive.BiasDanger) {
					severity = finding.Danger
				}
				b.raise(driveBias, severity, path+".bias",
					fmt.Sprintf("%s stands %s above chassis; nothing may be fed from it with its minus at chassis.", capital(supply), volts(bias)),
					"Take another supply for the relay ("+r.At+".supply).")
			}
		}
	}
	if !c.Ruling.OK() && c.Ruling.Bar != drive.OnBias {
		var fits []string
		for _, other := range c.Ruling.Fits {
			fits = append(fits, rectifierWords[other])
		}
		do := "Take another supply for the relay (" + r.At + ".supply)."
		switch c.Ruling.Remedy {
		case drive.GroundOneSide:
			do = "Lift the wiper of the hum pot and ground one side of the winding (receiver.supplies." + b.Supplies[r.Supply].Name + ".grounded: one side), or take another supply (" + r.At + ".supply)."
		case drive.OtherRectifier:
			do = "Take a rectifier that this winding allows: " + list(fits, "or") + " (" + r.At + ".rectifier)."
		case drive.WithoutRectifier:
			do = "Set the rectifier to none " + try(r.At+".rectifier", "none") + "."
		}
		b.raise(driveRectifier, finding.Fail, r.At+".rectifier",
			fmt.Sprintf("Rectifier %s cannot stand on %s (%s): %s.", r.Rectifier, supply, b.grounded(r), barWords[c.Ruling.Bar]), do)
	}
	if !c.Fit.OK() {
		var fits []string
		for _, choice := range c.Fit.Fits {
			fits = append(fits, choiceWords(choice))
		}
		do := "Take another key line."
		if len(fits) > 0 {
			do = "What fits: " + list(fits, "or") + "."
		}
		b.raise(driveCircuit, finding.Fail, r.At+".buffer",
			fmt.Sprintf("A relay energised on %s with buffer %s does not go with a line that mutes when %s (%s): %s.",
				sense(r), r.Buffer, b.Control.MutesWhen, b.Transmitter.Keying, misfitWords[c.Fit.Misfit]), do)
	}
	if r.Supply >= 0 && b.Supplies[r.Supply].Rail {
		if rail := b.most(b.Supplies[r.Supply].Unloaded); over(rail, highRail) && r.Buffer == "none" {
			b.raise(driveHighRail, finding.Danger, r.At+".supply",
				fmt.Sprintf("A coil fed straight from %s puts up to %s on the jack and the key cable.", supply, volts(rail)),
				"Take a low-voltage supply for the relay ("+r.At+".supply).")
		}
	}
}

func (b *bench) judgeClamp(r *known.Relay) {
	if r.Clamp == "none" {
		b.raise(driveClamp, finding.Fail, r.At+".clamp",
			"The coil has no clamp: at let-go it kicks to hundreds of volts, over any key line and transistor.",
			"Fit a diode across the coil "+try(r.At+".clamp", "diode")+", or a diode and a zener where the release must be quick.")
	}
}

// judgeTogether judges that all relays stand on one supply and hang on the line
// alike.
func (b *bench) judgeTogether() {
	for i := range b.Relays {
		r := &b.Relays[i]
		if len(r.Unlike) == 0 {
			continue
		}
		b.raise(driveTogether, finding.Fail, r.At+"."+r.Unlike[0],
			fmt.Sprintf("K%d differs from K1 in its %s. Their coils meet on one key line: from unlike supplies or circuits the current of one finds its way through the other, and neither lets go.",
				r.Index, list(r.Unlike, "and")),
			"Put all relays on one supply with one rectifier and one buffer, energised in the same state; leave these keys out after the first relay.")
	}
}

// chosenWithin is by how much the worst case may pass a limit at which a part was
// chosen in some corners.
const chosenWithin = 0.02

// judgeBuffer judges the transistor between line and coils.
func (b *bench) judgeBuffer(r *known.Relay) {
	if gain, ok := b.high("drive.buffer.gain"); ok && over(gain, drive.ForcedGain*(1+chosenWithin)) {
		b.raise(driveGain, finding.Fail, r.At+".buffer",
			fmt.Sprintf("The transistor has to amplify its base current up to %.3g times; beyond %.0f it may not saturate.", gain, drive.ForcedGain),
			"Take a more sensitive relay ("+r.At+".use), or a line or a supply that leaves more for the base (transmitter.keying, "+r.At+".supply).")
	}
	if off, ok := b.high("drive.buffer.off"); ok && over(off, drive.MostOff*(1+chosenWithin)) {
		holds := b.holdsBase()
		b.raise(driveOff, finding.Fail, holds.at,
			fmt.Sprintf("%s leaves up to %s from base to emitter; above %s the transistor may not let go.", holds.what, volts(off), volts(drive.MostOff)),
			holds.do)
	}
	v, ok := b.high("drive.buffer.voltage")
	if !ok {
		return
	}
	var best float64
	for _, t := range b.cat.Transistors() {
		if string(t.Polarity.Is) == r.Buffer {
			best = max(best, float64(t.Voltage.Is))
		}
	}
	if s := ofRating(v, best); s != finding.Good {
		b.raise(driveTransistor, s, r.At+".buffer",
			fmt.Sprintf("The transistor sees up to %s, supply and clamp together; those at hand are made for %s.", volts(v), volts(best)),
			"Take a supply of lower voltage, or a transistor made for this one.")
	}
}

// spare is what a resistor is asked for more than has to be there, for its tolerance.
const spare = 1.06

// judgeInrush judges what the hold capacitors draw at first against what closes on them.
func (b *bench) judgeInrush(first *known.Relay) {
	what, limit := "the closing key line", math.Inf(1)
	inrush, ok := b.high("control.inrush")
	if b.Transmitter.LineAmps.Exists() {
		limit = b.least(b.Transmitter.LineAmps)
	}
	if !ok {
		if inrush, ok = b.high("drive.buffer.inrush"); !ok {
			return
		}
		what, limit = "the transistor", 0
		for _, t := range b.cat.Transistors() {
			if string(t.Polarity.Is) == first.Buffer {
				limit = max(limit, float64(t.Current.Is))
			}
		}
	}
	s := ofRating(inrush, limit)
	if s == finding.Good {
		return
	}
	var held []*known.Relay
	for i := range b.Relays {
		if b.Relays[i].Hold.Exists() {
			held = append(held, &b.Relays[i])
		}
	}
	// What is in the way now, and what has to be for the share of the rating that is used.
	own := held[0]
	now := b.least(own.HoldOhms) + b.leastOf(own.Dropper) + drive.HoldLoop
	series := catalog.E12.AtLeast(math.Max(1, now*inrush/(used*limit)-b.leastOf(own.Dropper)) * spare)
	do := fmt.Sprintf("Put %s in series with the hold capacitor %s.", ohms(series), try(own.At+".hold.series", ohms(series)))
	if len(held) > 1 {
		do = "Put more resistance in series with each hold capacitor."
	}
	b.raise(driveInrush, s, own.At+".hold.series",
		fmt.Sprintf("The empty hold capacitor draws up to %s through %s for a moment; that is rated %s.", amps(inrush), what, amps(limit)), do)
}

// leastOf is the low end at id, 0 where it does not exist.
func (b *bench) leastOf(id known.ID) float64 {
	if !id.Exists() {
		return 0
	}
	return b.least(id)
}

// A holding is what keeps current in the base of a buffer that is to let go.
type holding struct{ at, what, do string }

// holdsBase tells what the base of the buffer stands on while the coils are released.
func (b *bench) holdsBase() holding {
	t, hook := &b.Transmitter, b.Circuit.Fit.Hookup
	const keying = "transmitter.keying"
	switch {
	case hook == drive.LineShortsBase:
		do := "Measure the drop of the line while it grounds, and give it. A contact drops nothing."
		if others := b.otherCircuits(); len(others) > 0 {
			do += " With a larger drop take what does not care for it: " + list(others, "or") + "."
		}
		return holding{keying + ".drop", "The line that shorts the base has a drop of its own, which no resistor takes away; it", do}
	case hook == drive.LineFeedsBase && t.IdleLow:
		return holding{keying + ".drop", "The idle line does not come down to chassis; its drop",
			"Measure the drop of the idle line, and give it."}
	case hook == drive.LinePullsBase && t.Keying == "source":
		return holding{keying + ".level", "The raised line does not reach the supply: what is missing",
			"Take a supply of lower voltage, or a line of higher level."}
	}
	return holding{keying + ".leakage", "What the open line leaks",
		"Measure the leakage and give it, or take a line that leaks less: a contact leaks nothing."}
}

// otherCircuits names the circuits that go with the key line and do not have it
// short a base.
func (b *bench) otherCircuits() []string {
	var words []string
	for _, choice := range b.Circuit.Fit.Fits {
		if choice.Buffer != drive.NPN {
			words = append(words, choiceWords(choice))
		}
	}
	return words
}

func sense(r *known.Relay) string {
	if r.OnReceive {
		return "receive"
	}
	return "transmit"
}

func (b *bench) grounded(r *known.Relay) string {
	if r.Supply < 0 {
		return "a direct supply"
	}
	s := &b.Supplies[r.Supply]
	if s.Rail {
		return "a DC rail"
	}
	return s.Grounded
}

var misfitWords = map[drive.Misfit]string{
	drive.LineNeverRises:  "the line only grounds, it never rises",
	drive.LineOnlyRises:   "the line is a source and never grounds",
	drive.WrongCircuit:    "the coil would carry current in the wrong state",
	drive.LineHasNoPower:  "the line gives no power",
	drive.NeedsLineSupply: "a coil without a buffer on a source must be fed by it",
	drive.LevelTooLow:     "raised, the line does not reach the supply and the transistor stays on",
	drive.IdleNotLow:      "idle, the line does not pull the base down",
}

func choiceWords(c drive.Choice) string {
	words := "energised on transmit"
	if c.EnergisedOn == drive.OnReceive {
		words = "energised on receive"
	}
	switch c.Buffer {
	case drive.PNP:
		words += " with a pnp buffer"
	case drive.NPN:
		words += " with an npn buffer"
	default:
		words += " without a buffer"
	}
	if c.OnLine {
		words += ", fed by the line (supply: control)"
	}
	return words
}

func (b *bench) judgeUnfused(r *known.Relay) {
	if r.Supply < 0 || r.Fuse.Exists() || r.ChooseFuse {
		return
	}
	if s := &b.Supplies[r.Supply]; s.Rail {
		b.judgeUnfusedRail(r, s)
		return
	}
	severity := finding.Fail
	what := "The lead from the winding has no fuse: a shorted reservoir draws tens of amperes, and the primary fuse does not see it."
	if !b.Facts.Mains.Fused {
		severity = finding.Danger
		what = "The lead from the winding has no fuse and neither has the set: nothing stops the tens of amperes of a shorted reservoir."
	}
	b.raise(driveFuse, severity, r.At+".fuse", what,
		"Put a fuse in the lead, right at the winding's tag, or let the program choose one.")
}

// wireBurns is the short-circuit current above which a rail is a danger to the lead
// of a drive, A: what hook-up wire of 0.5 mm² carries (from memory). Below it the
// rail's own resistance gives in first.
const wireBurns = 5

// judgeUnfusedRail judges a lead from a rail without a fuse by what a shorted coil
// or clamp draws from it.
func (b *bench) judgeUnfusedRail(r *known.Relay, s *known.Supply) {
	severity, what := finding.Caution, "its resistor or choke burns first, and no fuse sees it"
	least := b.least(s.Resistance)
	if least*wireBurns < b.railHigh(s) {
		severity, what = finding.Fail, "no fuse sees it, and the wire burns"
		if !b.Facts.Mains.Fused {
			severity, what = finding.Danger, "nothing stops it, for the set has no fuse either"
		}
	}
	choosable := ", or let the program choose one."
	if b.railHigh(s) > known.FusedRail {
		choosable = "; one is chosen for windings and for rails of up to " + volts(known.FusedRail) + " only."
	}
	draws := "tens of amperes"
	if least > 0 {
		draws = "up to " + amps(b.railHigh(s)/least)
	}
	b.raise(driveFuse, severity, r.At+".fuse",
		fmt.Sprintf("The lead from %s has no fuse: a shorted coil or clamp draws %s from it; %s.", s.Name, draws, what),
		"Put a fuse in the lead, right where it leaves the rail, of at least twice what the coils draw, and give its value"+choosable)
}

// between tells whether a coil holds both what it needs and what it is permitted,
// and neither with a margin.
func (b *bench) between(stem string) bool {
	for _, name := range []string{".coil.operate_margin", ".coil.ceiling_margin"} {
		if m, ok := b.low(stem + name); !ok || ofMargin(m) != finding.Caution {
			return false
		}
	}
	return true
}

func (b *bench) judgeCoil(r *known.Relay) {
	stem := driveStem(r)
	less := b.operateRemedy(r)
	most := fmt.Sprintf("Take more dropper (%[1]s.dropper), another rectifier (%[1]s.rectifier) or a coil of higher voltage (%[1]s.use).", r.At)
	if b.between(stem) {
		less = fmt.Sprintf("The coil stands close to both of its ends, and another dropper takes from one what it gives the other. Another relay (%s.use; mutewright relays ranks them) or a supply that varies less widens both.", r.At)
		most = less
	}
	if m, ok := b.low(stem + ".coil.operate_margin"); ok {
		if s := ofMargin(m); s != finding.Good {
			q, _ := b.Get(stem + ".coil.voltage_least")
			b.raise(driveOperate, s, r.At+".dropper",
				fmt.Sprintf("In the worst case (warm coil, %s) the coil gets %s of the voltage it needs to pull in (down to %s).", b.lowFeed(r), percent(m), volts(q.Low)),
				less)
		}
	}
	if m, ok := b.low(stem + ".coil.ceiling_margin"); ok {
		if s := ofMargin(m); s != finding.Good {
			q, _ := b.Get(stem + ".coil.voltage")
			b.raise(driveCeiling, s, r.At+".dropper",
				fmt.Sprintf("In the worst case the coil stands at %s; it is permitted %s of that in this heat.", volts(q.High), percent(m)),
				most)
		}
	}
	if m, ok := b.low(stem + ".coil.release_margin"); ok {
		if s := ofMargin(m); s != finding.Good {
			if r.Buffer != "none" {
				holds := b.holdsBase()
				b.raise(driveRelease, s, holds.at,
					fmt.Sprintf("The transistor stays on as far as to leave the coil at %s of must-release over it: it may stay pulled in. %s up to %s from base to emitter.",
						ratio(m), holds.what+" leaves", volts(b.highOf("drive.buffer.off"))),
					holds.do)
				return
			}
			b.raise(driveRelease, s, "transmitter.keying.leakage",
				fmt.Sprintf("What the open line leaks leaves the coil at %s of must-release over it: it may stay pulled in.", ratio(m)),
				"Take a line that leaks less, a transistor between line and coil ("+r.At+".buffer), or a resistor across the coil.")
		}
	}
}

// lowFeed names the low end of what feeds a coil.
func (b *bench) lowFeed(r *known.Relay) string {
	switch {
	case r.Supply < 0:
		return "least level of the key line"
	case b.Supplies[r.Supply].Regulated:
		return "least of its supply"
	}
	return "low mains"
}

// operateRemedy says what gives a coil more: of a key line nothing but its level, of
// a rail no reservoir, of a winding the rectifier too.
func (b *bench) operateRemedy(r *known.Relay) string {
	less := ""
	if r.Dropper.Exists() {
		less = "less dropper (" + r.At + ".dropper), "
	}
	switch {
	case r.Supply < 0:
		return capital("take " + less + "a coil of lower voltage (" + r.At + ".use), or feed the coil from another supply, with a transistor on the line (" + r.At + ".supply, " + r.At + ".buffer).")
	case b.Supplies[r.Supply].Rail:
		return capital("take " + less + "a coil of lower voltage (" + r.At + ".use) or another supply (" + r.At + ".supply).")
	}
	return capital("take " + less + "a larger reservoir (" + r.At + ".reservoir), another rectifier (" + r.At + ".rectifier) or a coil of lower voltage (" + r.At + ".use).")
}

func driveStem(r *known.Relay) string {
	if r.Index > 1 {
		return fmt.Sprintf("drive.%d", r.Index)
	}
	return "drive"
}

func (b *bench) judgeWinding(r *known.Relay) {
	if r.Supply < 0 || b.Supplies[r.Supply].Rail {
		return
	}
	s := &b.Supplies[r.Supply]
	stem, path := driveStem(r), "receiver.supplies."+s.Name
	if load, ok := b.high(stem + ".winding.load"); ok {
		if severity := ofRating(load, 1); severity == finding.Fail || severity == finding.Caution && over(load, 1/enough) {
			b.raise(driveWinding, severity, path+".rated",
				fmt.Sprintf("Heaters and drive together load %s with up to %s of its rating.", s.Name, percent(load)),
				"Take a more sensitive relay, another winding, or a rectifier that draws less.")
		}
	} else if current, ok := b.high(stem + ".winding.current"); ok {
		drawn := b.number(s.Drawn)
		severity, share := finding.Note, 0.0
		if drawn > 0 {
			share = current / drawn
		}
		if drawn == 0 || share > 0.1 {
			severity = finding.Caution
		}
		b.raise(driveUnknown, severity, path+".rated",
			fmt.Sprintf("Nobody says what %s may give; the drive adds up to %s rms to %s of heaters (%s).", s.Name, amps(current), amps(drawn), percent(share)),
			"Keep what is added within 5 to 10 % of the heater current, and confirm at least 6.0 V of 6.3 V and a hand-hot core after an hour.")
	}
	if r.Rectifier == "half-wave" {
		if dc, ok := b.high(stem + ".coil.current"); ok && over(dc, coreCurrent) {
			b.raise(driveCore, finding.Note, r.At+".rectifier",
				fmt.Sprintf("A half-wave rectifier puts its direct current, up to %s, through the transformer's core.", amps(dc)),
				"Watch the core's heat, or take a doubler "+try(r.At+".rectifier", "doubler")+".")
		}
	}
	if r.Rectifier == "bridge" && s.Grounded == "floating" {
		b.raise(driveHum, finding.Note, path+".grounded",
			fmt.Sprintf("A bridge with its minus at chassis puts %s at about half its output above chassis.", s.Name),
			"Make sure that nothing else on this winding relies on chassis.")
	}
	if r.OnReceive {
		b.raise(driveHash, finding.Note, r.At+".energised_on",
			"With the relay energised on receive its rectifier switches while the set listens, and may be heard as hash.",
			"Put 10 nF across each diode if it is.")
	}
}
