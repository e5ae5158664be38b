package scene

// A Tag says what an item stands for. Back ends ignore it; the audit lives on it.
type Tag struct {
	Class Class
	// Nets are the conductors that the item touches: one for a line, all terminals
	// for a body. Lines of different nets must not meet; a line may end at a body
	// that shares its net.
	Nets []string
	// Owner is the thing drawn: "wire 3", "TS901-3", "C901". A text may stand
	// inside a body of its own owner.
	Owner string
}

// Class is the part an item plays on the page.
type Class uint8

// The classes.
const (
	Ornament  Class = iota // looks only: hatching, arrow heads, the inside of a symbol
	Word                   // a text that must be read
	Conductor              // a line of a net
	Body                   // a solid thing: box, capsule, symbol, flag
	Link                   // mechanical link; may not meet conductors
	Rule                   // table rule, block outline: words and bodies keep off
	Ground                 // black background of words that own it
)

func (c Class) String() string {
	return [...]string{"ornament", "word", "conductor", "body", "link", "rule", "ground"}[c]
}
