package drive

import (
	"cmp"
	"slices"
)

// Sense is the state of the key line that mutes.
type Sense uint8

// The senses.
const (
	Grounded Sense = iota
	Opened
	Raised
)

// Energised says when the coil carries current.
type Energised uint8

// The two ways of energising.
const (
	OnTransmit Energised = iota
	OnReceive
)

// BufferKind says which transistor stands between line and coil.
type BufferKind uint8

// The buffers.
const (
	NoBuffer BufferKind = iota
	PNP
	NPN
)

// Hookup is one way of connecting supply, coils, transistor and line.
type Hookup uint8

// The hook-ups.
const (
	CoilOnLine     Hookup = iota // supply, coil, line to chassis
	LineFeedsCoil                // line, coil, chassis: the line is the supply
	LinePullsBase                // pnp: supply, emitter, coil, chassis; the line pulls the base down
	LineShortsBase               // npn: supply, coil, collector, chassis; base fed from the supply, the line shorts it
	LineFeedsBase                // npn: as before, the line feeds the base
)

// Buffer is the transistor of the hook-up.
func (h Hookup) Buffer() BufferKind {
	switch h {
	case LinePullsBase:
		return PNP
	case LineShortsBase, LineFeedsBase:
		return NPN
	}
	return NoBuffer
}

// LineState is what is done to the key line, by the transmitter or by a fault.
type LineState uint8

// The states of a line.
const (
	LineOpen     LineState = iota // idle, or the cable unplugged
	LineGrounded                  // keyed, or the cable shorted
	LineRaised                    // keyed by a source
)

// Energises reports whether the coils carry current in that state of the line.
func (h Hookup) Energises(s LineState) bool {
	switch h {
	case CoilOnLine, LinePullsBase:
		return s == LineGrounded
	case LineShortsBase:
		return s != LineGrounded
	}
	return s == LineRaised
}

// A Wish is the coil circuit that a plan asks for.
type Wish struct {
	MutesWhen   Sense
	EnergisedOn Energised
	Buffer      BufferKind
	OnLine      bool    // the supply is the key line
	Line        Line    // Source, IdleLow and Level count
	Supply      float64 // V, of the drive's own supply; counts where the line must reach it
}

// Misfit is the reason why a coil circuit does not go with a line.
type Misfit uint8

// The reasons.
const (
	Fitting         Misfit = iota
	LineNeverRises         // mutes when raised, but the line only grounds
	LineOnlyRises          // mutes when grounded or opened, but the line is a source
	WrongCircuit           // the coil would be energised in the wrong state
	LineHasNoPower         // fed from a line that gives none
	NeedsLineSupply        // a coil without a buffer on a source must be fed by it
	LevelTooLow            // raised, the line does not reach the supply: the pnp stays on
	IdleNotLow             // idle, the line does not pull the base down: the pnp stays off
)

// A Choice is one circuit that goes with a line.
type Choice struct {
	EnergisedOn Energised
	Buffer      BufferKind
	OnLine      bool // with the key line as supply
}

// A Fit is the answer to a Wish.
type Fit struct {
	Misfit Misfit
	Hookup Hookup   // where Misfit is Fitting
	Fits   []Choice // what goes with this line, the wished sense of energising first
}

// OK reports whether the circuit goes with the line.
func (f Fit) OK() bool { return f.Misfit == Fitting }

// circuits is the table "which coil circuit goes with which line".
var circuits = [...]struct {
	mutes Sense
	Choice
	hookup Hookup
}{
	{Grounded, Choice{OnTransmit, NoBuffer, false}, CoilOnLine},
	{Grounded, Choice{OnTransmit, PNP, false}, LinePullsBase},
	{Grounded, Choice{OnReceive, NPN, false}, LineShortsBase},
	{Opened, Choice{OnTransmit, NPN, false}, LineShortsBase},
	{Opened, Choice{OnReceive, NoBuffer, false}, CoilOnLine},
	{Opened, Choice{OnReceive, PNP, false}, LinePullsBase},
	{Raised, Choice{OnTransmit, NoBuffer, true}, LineFeedsCoil},
	{Raised, Choice{OnTransmit, NPN, false}, LineFeedsBase},
	{Raised, Choice{OnReceive, PNP, false}, LinePullsBase},
}

// MostOff is the base–emitter voltage, V, up to which a silicon transistor
// counts as off: at 0.3 V it carries some 10⁻⁵ of what it carries at 0.6 V.
const MostOff = 0.3

// Fits says whether a coil circuit goes with a line, why not, and which would.
func Fits(w Wish) Fit {
	var f Fit
	wished := Choice{w.EnergisedOn, w.Buffer, w.OnLine}
	f.Misfit = WrongCircuit
	for _, row := range circuits {
		if row.mutes != w.MutesWhen {
			continue
		}
		bar := w.bars(row.Choice)
		if row.Choice == wished {
			f.Misfit, f.Hookup = bar, row.hookup
		}
		if bar != Fitting {
			continue
		}
		f.Fits = append(f.Fits, row.Choice)
	}
	// Circuits that keep the wished sense of energising come first.
	slices.SortStableFunc(f.Fits, func(a, b Choice) int {
		return cmp.Compare(w.turns(a), w.turns(b))
	})
	switch {
	case f.Misfit == Fitting:
	case w.MutesWhen == Raised && !w.Line.Source:
		f.Misfit = LineNeverRises
	case w.MutesWhen != Raised && w.Line.Source:
		f.Misfit = LineOnlyRises
	case w.MutesWhen != Raised && w.OnLine:
		f.Misfit = LineHasNoPower
	case w.MutesWhen == Raised && w.EnergisedOn == OnTransmit && w.Buffer == NoBuffer && !w.OnLine:
		f.Misfit = NeedsLineSupply
	}
	return f
}

// turns is 1 for a circuit that turns the wished sense of energising over.
func (w Wish) turns(c Choice) int {
	if c.EnergisedOn != w.EnergisedOn {
		return 1
	}
	return 0
}

// bars says what in the line itself stands against a circuit of the table.
func (w Wish) bars(c Choice) Misfit {
	switch {
	case w.MutesWhen == Raised && !w.Line.Source:
		return LineNeverRises
	case w.MutesWhen != Raised && w.Line.Source:
		return LineOnlyRises
	case w.MutesWhen == Raised && c.Buffer == PNP && w.Line.Level < w.Supply-MostOff:
		return LevelTooLow
	case w.MutesWhen == Raised && c.Buffer == PNP && !w.Line.IdleLow:
		return IdleNotLow
	}
	return Fitting
}
