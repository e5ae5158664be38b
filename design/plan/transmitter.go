package plan

import (
	"mutewright/design/document"
	"mutewright/design/quantity"
)

// MutesWhen says what the key line does to mute.
type MutesWhen string

// What a line may do.
const (
	Grounded MutesWhen = "grounded"
	Opened   MutesWhen = "opened"
	Raised   MutesWhen = "raised"
)

// Control is the line that keys the relay.
type Control struct {
	Block
	Jack      Text
	MutesWhen Word[MutesWhen]
}

// Fields binds the keys of control.
func (c *Control) Fields() []document.Field {
	return []document.Field{
		document.Text("jack", &c.Jack),
		document.Choice("mutes_when", &c.MutesWhen, Grounded, Opened, Raised),
	}
}

// Wanted is what the interface has to reach.
type Wanted struct {
	Block
	Depth Measure[quantity.Decibels] // least muting
}

// Fields binds the keys of wanted.
func (w *Wanted) Fields() []document.Field {
	return []document.Field{document.Span("depth", &w.Depth).Positive()}
}

// KeyingKind is the kind of the transmitter's key line output.
type KeyingKind string

// The kinds of key line.
const (
	KeyContact    KeyingKind = "contact"
	OpenCollector KeyingKind = "open collector"
	OpenDrain     KeyingKind = "open drain"
	KeySource     KeyingKind = "source"
)

// Idle says what a source does while it does not key.
type Idle string

// The ways to idle.
const (
	IdleOpen Idle = "open"
	IdleLow  Idle = "low"
)

// Transmitter is what the set is muted for.
type Transmitter struct {
	Block
	Name     Text
	Power    Measure[quantity.Watts]
	Keying   Keying
	KeyToRF  Measure[quantity.Seconds]
	RFTail   Measure[quantity.Seconds] // RF still there after the key line lets go
	Coupling Coupling
}

// Fields binds the keys of transmitter.
func (t *Transmitter) Fields() []document.Field {
	return []document.Field{
		document.Text("name", &t.Name),
		document.Span("power", &t.Power).Positive(),
		document.Block("keying", &t.Keying).Required(),
		document.Span("key_to_rf", &t.KeyToRF),
		document.Span("rf_tail", &t.RFTail),
		document.Block("coupling", &t.Coupling).OrShort(document.Span("", &t.Coupling.Level)),
	}
}

// Keying is the transmitter's key line output.
type Keying struct {
	Block
	Kind    Word[KeyingKind]
	Rated   KeyingRating
	Drop    Measure[quantity.Volts] // of the closed line itself
	Leakage Measure[quantity.Amps]  // of the open line
	Level   Measure[quantity.Volts] // of a source
	Idle    Word[Idle]              // of a source
}

// Fields binds the keys of transmitter.keying.
func (k *Keying) Fields() []document.Field {
	return append([]document.Field{
		document.Choice("kind", &k.Kind, KeyContact, OpenCollector, OpenDrain, KeySource).Required(),
		document.Block("rated", &k.Rated),
		document.Span("drop", &k.Drop).From(0),
		document.Span("leakage", &k.Leakage).From(0),
	}, document.When(&k.Kind, KeySource,
		document.Span("level", &k.Level).Positive(),
		document.Choice("idle", &k.Idle, IdleOpen, IdleLow),
	)...)
}

// KeyingRating is what the key line output bears.
type KeyingRating struct {
	Block
	Voltage Measure[quantity.Volts]
	Current Measure[quantity.Amps]
}

// Fields binds the keys of transmitter.keying.rated.
func (r *KeyingRating) Fields() []document.Field {
	return []document.Field{
		document.Span("voltage", &r.Voltage).Positive(),
		document.Span("current", &r.Current).Positive(),
	}
}

// Coupling is from the transmitter to the antenna terminal: measured as a
// level, or to be estimated from a distance at a frequency.
type Coupling struct {
	Block
	Level     Measure[quantity.Decibels]
	Distance  Measure[quantity.Metres]
	Frequency Measure[quantity.Hertz]
}

// Fields binds the keys of transmitter.coupling written as a block.
func (c *Coupling) Fields() []document.Field {
	return []document.Field{
		document.Span("distance", &c.Distance).Positive(),
		document.Span("frequency", &c.Frequency).Positive(),
	}
}
