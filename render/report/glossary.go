package report

import (
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Word is a word of the trade and what it means here.
type Word struct{ Word, Means string }

// glossary explains the words of the trade, in the order of the work. Text explains
// each where it first stands.
var glossary = []Word{
	{"muting point", "a place in the set where it is silenced: a cathode return that is lifted, or an input that is shorted"},
	{"return", "the wire by which cathodes reach chassis; points that share one share its contact"},
	{"lifted node", "the return after it was cut from chassis: chassis while the set receives, some tens of volts while it is muted"},
	{"pulldown", "the resistor that stays from the lifted node to chassis and keeps its voltage low"},
	{"unguarded", "the lifted node if the pulldown is missing or its joint fails"},
	{"cathode bus", "the wire that joins the cathodes under the RF-gain control"},
	{"bypass", "the capacitor across a cathode resistor"},
	{"dropper", "the resistor in series with the coil"},
	{"clamp", "the diode across the coil that takes its kick when the key lets go"},
	{"reservoir", "the capacitor behind a rectifier"},
	{"crest", "peak over rms of a voltage: 1.414 for a sine, less for a loaded transformer"},
	{"B+", "the set's high-voltage rail"},
	{"key line", "the transmitter's output that says: I am transmitting"},
	{"operate margin", "lowest voltage that the warm coil gets, over the voltage that pulls it in"},
	{"ceiling margin", "voltage that the coil withstands in that heat, over the voltage that it gets"},
	{"depth", "how far the set is silenced, in dB"},
	{"dry circuit", "a contact that carries next to no current: only gold stays clean there"},
	{"gold", "the plating of contacts for dry circuits; heavy current burns it off"},
	{"tail", "the time that RF lasts after the key line has let go"},
	{"touch current", "what would flow from the chassis through a person to earth"},
	{"worst case", "everything that is uncertain stands where it does most harm"},
}

// planWords explains the words of a plan, and of the ranking, that do not explain
// themselves. Many are common words with another sense in a sentence, so that only
// the glossary itself shows them.
var planWords = []Word{
	{"lift", "where the return is cut, in words for the sheet"},
	{"returned_to", "where the lower end of the bypass goes: to chassis, or to the return, which is lifted: the capacitor then sees the cathode resistor's drop alone"},
	{"also_to_chassis", "another part between the cathode and chassis, by which current still flows when the return is open"},
	{"set_to", "what is left of the gain control's track between wiper and cathodes while the set is used: 0 ohm is full gain"},
	{"far_end", "the end of the gain control's track that its wiper does not use: lifted together with the wiper, left on chassis, or free"},
	{"bleeder", "a resistor that draws current from B+: of a supply, to chassis, where it empties the capacitors; of a point, into the cathode bus, where it lifts the cathodes"},
	{"standby", "what the set itself has to fall silent: a switch or terminals; opens says what it interrupts"},
	{"left", "of a standby: what becomes of it, in use, strapped (joined for good), open, or removed; of a relay: poles without work"},
	{"reachable", "a finger can touch the metal from outside, with the cabinet closed"},
	{"unloaded", "B+ with nothing drawn from it: tubes still cold"},
	{"drawn", "what a winding gives already: all heaters and lamps on it together"},
	{"use", "which relay: an entry of the catalogue, choose, or its own figures"},
	{"buffer", "a transistor between key line and coil, where the line bears too little"},
	{"hold", "a capacitor with a resistor in series across the coil, so that the relay lets go later"},
	{"rated", "what a part bears for ever; of a key line: what may be put on it from outside, the coil's kick too"},
	{"source", "of keying: a line that puts out volts itself while it transmits; level says how many"},
	{"idle", "what a source does on receive: low, held near chassis, or open, held by nothing"},
	{"coupling", "how much weaker the transmitter's power arrives at this set's antenna terminal: -30 dB is a thousandth of it"},
	{"guard", "how the antenna input is kept from RF: a short to chassis, a changeover away from the antenna, or both in turn"},
	{"withstand", "the most power that the input bears without harm"},
	{"dry", "of a relay: whether its contacts are fit for a dry circuit"},
}

// Words are the words of the trade, then those of a plan, that the program explains.
func Words() []Word { return slices.Concat(glossary, planWords) }

// Glossary writes them.
func Glossary(w io.Writer) error {
	var p page
	for _, group := range []struct {
		head  string
		words []Word
	}{
		{"Words of the trade, as they are used here", glossary},
		{"Words of a plan and of a ranking", planWords},
	} {
		p.heading(group.head)
		t := Table{Columns: []Column{{}, {Wraps: true}}}
		for _, g := range group.words {
			t.Rows = append(t.Rows, []string{g.Word, g.Means})
		}
		p.table("  ", t)
	}
	return p.writeTo(w)
}

// gloss explains, behind indent, the words of the trade in a text that this page has
// not explained yet.
func (p *page) gloss(indent, text string) {
	for _, g := range glossary {
		if !slices.Contains(p.explained, g.Word) && holdsWord(text, g.Word) {
			p.explained = append(p.explained, g.Word)
			p.paragraph(indent+"("+g.Word+": ", indent+" ", g.Means+")")
		}
	}
}

// holdsWord tells whether a text holds a word of the trade by itself, in the
// singular or plural.
func holdsWord(text, word string) bool {
	text = strings.ToLower(plain(text))
	word = strings.ToLower(word)
	for at := 0; ; {
		i := strings.Index(text[at:], word)
		if i < 0 {
			return false
		}
		from, to := at+i, at+i+len(word)
		before, _ := utf8.DecodeLastRuneInString(text[:from])
		after, _ := utf8.DecodeRuneInString(strings.TrimPrefix(text[to:], "s"))
		if !part(before) && !part(after) {
			return true
		}
		at = to
	}
}

// part tells whether a character continues a word.
func part(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' }
