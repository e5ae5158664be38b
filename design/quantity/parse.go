package quantity

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// An Error says what is wrong with a text, and what was expected.
type Error struct {
	Problem string // "no unit"
	Wanted  string // "write 250 V, mV or kV"
}

func (e *Error) Error() string { return e.Problem + "; " + e.Wanted }

// Parse reads one value: a number and its unit, with a space, a no-break
// space or nothing between them, or the letter code of IEC 60062 for a
// resistance or capacitance. The error is an [*Error].
func Parse[Q Quantity](text string) (Q, error) {
	var q Q
	v, err := ParseIn(text, q.Unit())
	return Q(v), err
}

// ParseIn reads one value in unit u and returns it in SI. The error is an
// [*Error].
func ParseIn(text string, u Unit) (float64, error) {
	text = clean(text)
	if err := tooLong(text, table[u].like()); err != nil {
		return 0, err
	}
	if strings.Contains(text, "..") || strings.Contains(plusMinus.Replace(text), "±") {
		return 0, &Error{quote(text) + " has a range where one value belongs", "wanted " + table[u].like()}
	}
	v, err := parse(text, u)
	if err != nil {
		return 0, err
	}
	return v, nil
}

// clean folds the characters that look alike.
var cleaner = strings.NewReplacer(
	"\u2126", "Ω", // ohm sign to Greek capital omega
	"\u03bc", "µ", // Greek small mu to micro sign
	"\u2212", "-", // minus sign
	"\u00a0", " ", "\u202f", " ", "\u2009", " ", "\t", " ", // no-break and thin spaces
)

func clean(text string) string { return strings.TrimSpace(cleaner.Replace(text)) }

// parse reads cleaned text.
func parse(text string, u Unit) (float64, *Error) {
	r := &table[u]
	if text == "" {
		return 0, &Error{"no value", "wanted " + r.like()}
	}
	sign, rest := signs(text)
	if len(sign) > 1 {
		return 0, &Error{"doubled sign in " + quote(text), "wanted " + r.like()}
	}
	mantissa, tens, rest, err := number(rest, text, r)
	if err != nil {
		return 0, err
	}
	shift, err := r.unit(strings.TrimLeft(rest, " "), sign+mantissa, text)
	if err != nil {
		return 0, err
	}
	// The power of ten goes into the text, so that 4.7 kohm is the float64
	// nearest to 4700.
	v, _ := strconv.ParseFloat(sign+mantissa+"e"+strconv.Itoa(tens+shift), 64)
	if math.IsInf(v, 0) || !u.Contains(v) {
		return 0, outside(text, u)
	}
	return v, nil
}

func outside(text string, u Unit) *Error {
	low, high := u.Range()
	return &Error{quote(text) + " is out of range",
		u.Name() + " lies between " + Plain(low, u) + " and " + Plain(high, u)}
}

func signs(text string) (sign, rest string) {
	rest = strings.TrimLeft(text, "+-±")
	return text[:len(text)-len(rest)], rest
}

// number takes the number, or number and multiplier of a letter code, off the
// front of text: its digits, its power of ten, and what follows it.
func number(text, whole string, r *row) (mantissa string, tens int, rest string, err *Error) {
	if m, t, ok := letterCode(text, r.letters); ok {
		return m, t, r.spellings[0].text, nil
	}
	i := digits(text, 0)
	if i < len(text) && text[i] == '.' && digits(text, i+1) > i+1 {
		i = digits(text, i+1)
	}
	mantissa, rest = text[:i], text[i:]
	next := strings.TrimLeft(rest, " ")
	switch {
	case mantissa != "" && strings.HasPrefix(rest, ","):
		return "", 0, "", &Error{"comma in the number " + quote(whole), "write a decimal point, as in " + r.like()}
	case mantissa == "" || strings.HasPrefix(rest, "."):
		return "", 0, "", &Error{quote(whole) + " is not a number with a unit", "wanted " + r.like()}
	case next != "" && isDigit(next[0]):
		return "", 0, "", &Error{"space inside the number of " + quote(whole), "wanted " + r.like()}
	}
	if t, after, ok := exponent(rest); ok {
		return mantissa, t, after, nil
	}
	return mantissa, 0, rest, nil
}

// exponent takes e3, E-12 … off the front of text.
func exponent(text string) (tens int, rest string, ok bool) {
	if text == "" || text[0] != 'e' && text[0] != 'E' {
		return 0, text, false
	}
	i := 1
	if i < len(text) && (text[i] == '+' || text[i] == '-') {
		i++
	}
	end := digits(text, i)
	if end == i {
		return 0, text, false
	}
	tens, err := strconv.Atoi(text[1:end])
	if err != nil || tens > 999 || tens < -999 {
		tens = 999 // beyond float64 either way: out of range
	}
	return tens, text[end:], true
}

// letterCode reads a value of IEC 60062: the multiplier stands where the
// decimal point would (4k7, R47, 270R). A point before the multiplier (4.7k)
// is read too, as the trade writes it.
func letterCode(text, letters string) (mantissa string, tens int, ok bool) {
	i := strings.IndexFunc(text, func(r rune) bool { return r != '.' && (r < '0' || r > '9') })
	if i < 0 || letters == "" {
		return "", 0, false
	}
	letter, size := utf8.DecodeRuneInString(text[i:])
	if letter == 'u' {
		letter = 'µ'
	}
	if !strings.ContainsRune(letters, letter) {
		return "", 0, false
	}
	before, after := text[:i], text[i+size:]
	switch {
	case digits(after, 0) != len(after), before+after == "":
		return "", 0, false
	case strings.Contains(before, "."):
		if after != "" || strings.Count(before, ".") > 1 || strings.HasSuffix(before, ".") {
			return "", 0, false
		}
		mantissa = before
	case after == "":
		mantissa = before
	default:
		mantissa = before + "." + after
	}
	switch letter {
	case 'R', 'F': // the unit itself
	case 'K':
		tens = prefixes['k']
	default:
		tens = prefixes[letter]
	}
	return mantissa, tens, true
}

// unit returns the power of ten that the text of a unit stands for.
func (r *row) unit(text, mantissa, whole string) (int, *Error) {
	if text == "" {
		if r.bare {
			return 0, nil
		}
		return 0, &Error{"no unit on " + quote(whole), "write " + mantissa + " " + r.choices()}
	}
	tens, ok, stranger := r.split(text)
	if ok {
		return tens, nil
	}
	for i := range table {
		if other := &table[i]; other != r {
			if _, ok, _ := other.split(text); ok {
				return 0, &Error{quote(text) + " is the unit of " + other.name, "wanted " + r.like()}
			}
		}
	}
	if stranger != "" {
		return 0, &Error{"unknown prefix " + quote(stranger) + " in " + quote(whole), "write " + mantissa + " " + r.choices()}
	}
	if right := r.fold(text); right != "" {
		return 0, &Error{"unknown unit " + quote(text) + " in " + quote(whole), "write " + right}
	}
	return 0, &Error{"unknown unit " + quote(text) + " in " + quote(whole), "wanted " + r.like()}
}

// split takes a unit's text apart into prefix and spelling; stranger is a
// single character that stands where a prefix would and is none of the unit's.
func (r *row) split(text string) (tens int, ok bool, stranger string) {
	for _, s := range r.spellings {
		before, ends := strings.CutSuffix(text, s.text)
		switch {
		case !ends:
		case before == "":
			return s.tens, true, ""
		case utf8.RuneCountInString(before) == 1:
			p, _ := utf8.DecodeRuneInString(before)
			if p == 'u' {
				p = 'µ'
			}
			if strings.ContainsRune(r.reads, p) {
				tens := prefixes[p]
				if r.squared {
					tens *= 2
				}
				return tens + s.tens, true, ""
			}
			if stranger == "" {
				stranger = before
			}
		}
	}
	return 0, false, stranger
}

// fold lists the spellings that differ from text in upper and lower case only:
// "mHz or MHz" for mhz.
func (r *row) fold(text string) string {
	var right []string
	for _, s := range r.spellings {
		for _, p := range " " + r.reads {
			if full := strings.TrimSpace(string(p) + s.text); strings.EqualFold(full, text) {
				right = append(right, full)
			}
		}
	}
	return strings.Join(right, " or ")
}

// like shows the form wanted: "a voltage such as 6.3 V".
func (r *row) like() string { return r.name + " such as " + r.example }

// choices lists the unit and the prefixes at hand: "V, mV or kV".
func (r *row) choices() string {
	code := r.code
	if code == "S" {
		code = r.symbol
	}
	list := []string{code}
	for _, p := range r.prints {
		switch p {
		case ' ', 'T', 'G', 'f':
		case 'µ':
			list = append(list, "u"+code)
		default:
			list = append(list, string(p)+code)
		}
	}
	if len(list) > 1 {
		last := len(list) - 1
		return strings.Join(list[:last], ", ") + " or " + list[last]
	}
	return list[0]
}

func digits(text string, from int) int {
	for from < len(text) && isDigit(text[from]) {
		from++
	}
	return from
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// quote shows a text inside an error: escaped, and no longer than is needed to
// recognise it.
func quote(text string) string {
	const enough = 40
	if r := []rune(text); len(r) > enough {
		text = string(r[:enough]) + "…"
	}
	return strconv.Quote(text)
}

// longest is more characters than any value needs; what is longer is not read
// at all.
const longest = 100

func tooLong(text, like string) *Error {
	if n := utf8.RuneCountInString(text); n > longest {
		return &Error{quote(text) + " is " + strconv.Itoa(n) + " characters long", "wanted " + like}
	}
	return nil
}
