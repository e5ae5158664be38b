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

// glossary explains the words of the trade, in the order of the work.
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
	{"ceiling margin", "voltage that the coil may stand in that heat, over the voltage that it gets"},
	{"depth", "how far the set is silenced, in dB"},
	{"dry circuit", "a contact that carries next to no current: only gold stays clean there"},
	{"gold", "the plating of contacts for dry circuits; heavy current burns it off"},
	{"tail", "the time that RF lasts after the key line has let go"},
	{"touch current", "what would flow from the chassis through a person to earth"},
	{"worst case", "everything that is uncertain stands where it does most harm"},
}

// Words are the words of the trade that the program explains.
func Words() []Word { return glossary }

// Glossary writes them.
func Glossary(w io.Writer) error {
	var p page
	p.paragraph("", "", "Words of the trade, as they are used here")
	t := Table{Columns: []Column{{}, {Wraps: true}}}
	for _, g := range glossary {
		t.Rows = append(t.Rows, []string{g.Word, g.Means})
	}
	p.table("  ", t)
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
