package plan

import (
	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/quantity"
)

// Return is one lifted node: the points on it share its contact and pulldown.
type Return struct {
	Block
	Points    document.List[Text]      // names of muting points
	Pulldown  Measure[quantity.Ohms]   // state Choose, None
	Lead      Measure[quantity.Metres] // from the cut to the contact
	Capacitor CutCapacitor             // state Choose, None
	Reachable Flag                     // the lifted node itself comes out to a terminal or jack
}

// Fields binds the keys of a return.
func (r *Return) Fields() []document.Field {
	return []document.Field{
		document.ListOf("points", &r.Points, document.Name),
		document.Span("pulldown", &r.Pulldown).Or(document.Choose, document.None).Positive(),
		document.Span("lead", &r.Lead),
		document.Block("capacitor", &r.Capacitor).Or(document.Choose, document.None),
		document.Flag("reachable", &r.Reachable),
	}
}

// CutCapacitor stands at the cut, from the lifted node to chassis.
type CutCapacitor struct {
	Block
	Value  Measure[quantity.Farads]
	Rated  Measure[quantity.Volts]
	Series Measure[quantity.Ohms]
}

// Fields binds the keys of a return's capacitor.
func (c *CutCapacitor) Fields() []document.Field {
	return []document.Field{
		document.Span("value", &c.Value).Positive(),
		document.Span("rated", &c.Rated).Positive(),
		document.Span("series", &c.Series),
	}
}

// EnergisedOn says when the coil carries current.
type EnergisedOn string

// When a coil may be energised.
const (
	OnTransmit EnergisedOn = "transmit"
	OnReceive  EnergisedOn = "receive"
)

// Rectifier is what makes the coil's DC.
type Rectifier string

// The rectifiers.
const (
	NoRectifier Rectifier = "none"
	HalfWave    Rectifier = "half-wave"
	FullWave    Rectifier = "full-wave"
	Bridge      Rectifier = "bridge"
	Doubler     Rectifier = "doubler" // cascade
)

// Clamp is what takes the coil's kick.
type Clamp string

// The clamps.
const (
	NoClamp       Clamp = "none"
	Diode         Clamp = "diode"
	DiodeAndZener Clamp = "diode and zener"
)

// Buffer stands between the key line and the coil.
type Buffer string

// The buffers.
const (
	NoBuffer Buffer = "none"
	PNP      Buffer = "pnp"
	NPN      Buffer = "npn"
)

// FromControl is the supply of a relay whose coil the key line feeds.
const FromControl = "control"

// Relay is a relay and its drive.
type Relay struct {
	Block
	Use         document.Reference[catalog.Relay] // state Choose
	EnergisedOn Word[EnergisedOn]
	Supply      Text                     // name of a supply, or [FromControl]
	Rectifier   Word[Rectifier]          // state Choose
	Reservoir   Measure[quantity.Farads] // each of the two in a doubler
	Dropper     Measure[quantity.Ohms]   // state Choose, None
	Clamp       Word[Clamp]
	Zener       Measure[quantity.Volts]
	Buffer      Word[Buffer]
	Fuse        Measure[quantity.Amps] // in the lead from winding or rail; state Choose, None
	Hold        Hold                   // state None
	Pins        Pins
	Serves      document.List[Text] // names of returns and points
}

// Fields binds the keys of a relay.
func (r *Relay) Fields() []document.Field {
	return append([]document.Field{
		document.NameOrBlock("use", &r.Use).Or(document.Choose),
		document.Choice("energised_on", &r.EnergisedOn, OnTransmit, OnReceive),
		document.Name("supply", &r.Supply),
		document.Choice("rectifier", &r.Rectifier, NoRectifier, HalfWave, FullWave, Bridge, Doubler).Or(document.Choose),
		document.Span("reservoir", &r.Reservoir).Positive(),
		document.Span("dropper", &r.Dropper).Or(document.Choose, document.None),
		document.Choice("clamp", &r.Clamp, NoClamp, Diode, DiodeAndZener),
		document.Choice("buffer", &r.Buffer, NoBuffer, PNP, NPN),
		document.Span("fuse", &r.Fuse).Or(document.Choose, document.None).Positive(),
		document.Block("hold", &r.Hold).Or(document.None),
		document.Block("pins", &r.Pins),
		document.ListOf("serves", &r.Serves, document.Name),
	}, document.When(&r.Clamp, DiodeAndZener,
		document.Span("zener", &r.Zener).Positive(),
	)...)
}

// Hold is a network across the coil that delays its release.
type Hold struct {
	Block
	Value  Measure[quantity.Farads]
	Series Measure[quantity.Ohms]
}

// Fields binds the keys of a relay's hold.
func (h *Hold) Fields() []document.Field {
	return []document.Field{
		document.Span("value", &h.Value).Positive(),
		document.Span("series", &h.Series),
	}
}

// Pins are the numbers or marks of a relay's pins.
type Pins struct {
	Block
	Coil  document.List[Text]                // two
	Poles document.List[document.List[Text]] // of each pole: common, break, make
}

// Fields binds the keys of a relay's pins.
func (p *Pins) Fields() []document.Field {
	return []document.Field{
		document.ListOf("coil", &p.Coil, document.Text).AtMost(2),
		document.ListOf("poles", &p.Poles, func(key string, slot *document.List[Text]) document.Field {
			return document.ListOf(key, slot, document.Text).AtMost(3)
		}).AtMost(8),
	}
}
