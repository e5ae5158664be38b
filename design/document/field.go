package document

import (
	"errors"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"mutewright/design/quantity"
)

// A Field binds a key to the slot that its value is read into.
type Field struct {
	key      string
	source   *Source
	forms    []string           // expected: "a voltage such as 6.3 V", "none"
	table    func() []Field     // of a block
	single   bool               // a single value, worthless when wrong
	words    []State            // words that it takes beside unknown
	required func() bool        // nil: optional
	when     func() (fit three) // nil: always
	goesWith func() string      // what when depends on: "kind: rf gain"
	atLeast  int                // elements
	atMost   int                // elements; 0: any number
	orOne    bool               // a list that takes one element without brackets
	short    *Field             // how a single value is read where a block goes
	names    *names             // of the entries of a map
	positive bool
	nonzero  bool
	low      *float64
	high     *float64
	read     func(d *Document, f *Field, n *node)
	below    func(d *Document, at Source) // lays out the paths below

	always  bool                      // required in every file
	prose   bool                      // a single value is words, to be quoted where YAML would read them otherwise
	text    func() string             // a single value as a file writes it; "": it is no single value
	parts   func() []Field            // elements and entries that are there
	element func() Field              // one element or entry, not bound to any
	shape   func(f *Field) jsonSchema // of a single value
}

type three uint8

const (
	no three = iota
	perhaps
	yes
)

type names struct {
	fits   func(string) bool
	wanted string
	except []string
}

func (f *Field) applies() three {
	if f.when == nil {
		return yes
	}
	return f.when()
}

const aBlock = "a block"

// wanted says what is expected.
func (f *Field) wanted() string {
	forms := slices.Clone(f.forms)
	if i := slices.Index(forms, aBlock); i >= 0 {
		forms[i] += " " + keysOf(f.table())
	}
	return "wanted " + OneOf(forms)
}

func (f *Field) isRequired() bool { return f.required != nil && f.required() }

func (f *Field) leaveOut(d *Document, path string) {
	*f.source = Source{Path: path}
	if f.below != nil {
		f.below(d, *f.source)
	}
	if f.short != nil {
		f.short.leaveOut(d, path)
	}
}

// Required makes a key one that must be given.
func (f Field) Required() Field {
	f.always = true
	return f.RequiredIf(func() bool { return true })
}

// RequiredIf makes a key one that must be given where a condition holds. The
// condition may look at slots that stand before this one in the table.
func (f Field) RequiredIf(condition func() bool) Field {
	f.required = condition
	return f
}

// Or lets a key take the words none or choose. Every key takes unknown.
func (f Field) Or(words ...State) Field {
	f.words = words
	f.forms = slices.Clone(f.forms)
	for _, w := range words {
		f.forms = append(f.forms, stateWords[w])
	}
	return f
}

// Positive refuses a quantity that is, or may be, zero or less.
func (f Field) Positive() Field {
	f.positive = true
	return f
}

// NonZero refuses a quantity that is, or may be, zero.
func (f Field) NonZero() Field {
	f.nonzero = true
	return f
}

// From refuses a quantity, or a count, that is or may be below low, in SI.
func (f Field) From(low float64) Field {
	f.low = &low
	return f
}

// To refuses a quantity, or a count, that is or may be above high, in SI.
func (f Field) To(high float64) Field {
	f.high = &high
	return f
}

// AtLeast refuses a list or map with fewer elements.
func (f Field) AtLeast(n int) Field {
	f.atLeast = n
	return f
}

// AtMost limits the elements of a list or the entries of a map.
func (f Field) AtMost(n int) Field {
	f.atMost = n
	return f
}

// OrOne lets a list of one be written without its brackets or dash.
func (f Field) OrOne() Field {
	f.orOne = true
	return f
}

// OrShort lets a single value stand where the block goes.
func (f Field) OrShort(short Field) Field {
	f.forms = slices.Concat(short.forms, f.forms)
	f.short = &short
	return f
}

// Except refuses some names among the entries of a map.
func (f Field) Except(taken ...string) Field {
	n := *f.names
	n.except = taken
	f.names = &n
	return f
}

// Named says how the entries of a map may be named, where that is not as in a
// plan.
func (f Field) Named(fits func(name string) bool, wanted string) Field {
	f.names = &names{fits: fits, wanted: "wanted " + wanted}
	return f
}

// When limits fields to one word of a choice that stands before them in the
// table. Where the choice itself was left out, each of its fields is read if
// it is there.
func When[E ~string](choice *Value[E], word E, fields ...Field) []Field {
	fields = slices.Clone(fields)
	for i := range fields {
		f := &fields[i]
		f.when = func() three {
			switch {
			case !choice.Given():
				return perhaps
			case choice.Is == word:
				return yes
			}
			return no
		}
		f.goesWith = func() string { return choice.Name() + ": " + string(word) }
	}
	return fields
}

// single reads one scalar into a slot, and writes it.
func single[T any](key string, slot *Value[T], parse func(f *Field, text string) (T, error), write func(T) string, shape func(f *Field) jsonSchema, forms ...string) Field {
	return Field{
		key: key, source: &slot.Source, forms: forms, single: true,
		text: func() string { return write(slot.Is) }, shape: shape,
		read: func(d *Document, f *Field, n *node) {
			if !d.kindOf(f, n, scalar) {
				return
			}
			v, err := parse(f, n.text)
			if err != nil {
				d.reportError(n.place(f.source.Path), err, f.wanted())
				return
			}
			slot.Is = v
		},
	}
}

// reportError reports a parsing error; one of quantity knows what is wanted.
func (d *Document) reportError(at Source, err error, wanted string) {
	if e, ok := errors.AsType[*quantity.Error](err); ok {
		d.report(at, e.Problem, e.Wanted)
		return
	}
	d.report(at, err.Error(), wanted)
}

// Span reads a quantity that may carry its doubt.
func Span[Q quantity.Quantity](key string, slot *Measure[Q]) Field {
	var q Q
	u := q.Unit()
	return single(key, slot, func(f *Field, text string) (quantity.Span[Q], error) {
		s, err := quantity.ParseSpan[Q](text)
		if err == nil {
			err = f.within(float64(s.Low), float64(s.High), u, text)
		}
		return s, err
	}, writeSpan[Q], patterned(u, quantity.SpanPattern), u.Name()+" such as "+u.Example())
}

// Exact reads a quantity without doubt.
func Exact[Q quantity.Quantity](key string, slot *Value[Q]) Field {
	var q Q
	u := q.Unit()
	return single(key, slot, func(f *Field, text string) (Q, error) {
		v, err := quantity.Parse[Q](text)
		if err == nil {
			err = f.within(float64(v), float64(v), u, text)
		}
		return v, err
	}, func(q Q) string { return quantity.Plain(float64(q), u) }, patterned(u, quantity.Pattern), u.Name()+" such as "+u.Example())
}

// within holds a value against the limits of its field.
func (f *Field) within(low, high float64, u quantity.Unit, text string) error {
	switch {
	case f.positive && low <= 0:
		return &quantity.Error{Problem: Quote(text) + " is too low", Wanted: "wanted more than " + quantity.Plain(0, u)}
	case f.nonzero && low <= 0 && high >= 0:
		return &quantity.Error{Problem: Quote(text) + " is, or may be, zero", Wanted: "wanted another value than " + quantity.Plain(0, u)}
	case f.low != nil && low < *f.low:
		return &quantity.Error{Problem: Quote(text) + " is too low", Wanted: "wanted at least " + quantity.Plain(*f.low, u)}
	case f.high != nil && high > *f.high:
		return &quantity.Error{Problem: Quote(text) + " is too high", Wanted: "wanted at most " + quantity.Plain(*f.high, u)}
	}
	return nil
}

// Pair reads two quantities that belong together: "30 V 2 A".
func Pair[A, B quantity.Quantity](key string, slot *Value[Two[A, B]]) Field {
	var a A
	var b B
	form := a.Unit().Name() + " and " + b.Unit().Name() + " such as " + a.Unit().Example() + " " + b.Unit().Example()
	return single(key, slot, func(_ *Field, text string) (Two[A, B], error) {
		first, second, err := quantity.ParsePair[A, B](text)
		return Two[A, B]{first, second}, err
	}, func(two Two[A, B]) string {
		return quantity.Plain(float64(two.First), a.Unit()) + " " + quantity.Plain(float64(two.Second), b.Unit())
	}, func(f *Field) jsonSchema { return matching(quantity.PairPattern(a.Unit(), b.Unit()))(f) }, form)
}

// Choice reads one of some words, in US or British spelling.
func Choice[E ~string](key string, slot *Value[E], words ...E) Field {
	forms := make([]string, len(words))
	for i, w := range words {
		forms[i] = string(w)
	}
	return single(key, slot, func(_ *Field, text string) (E, error) {
		if i := slices.Index(words, E(house(text))); i >= 0 {
			return words[i], nil
		}
		return "", errors.New("unknown word " + Quote(text))
	}, func(e E) string { return string(e) }, func(*Field) jsonSchema { return jsonSchema{"enum": spelled(forms)} }, forms...)
}

// Flag reads true or false.
func Flag(key string, slot *Value[bool]) Field {
	return single(key, slot, func(_ *Field, text string) (bool, error) {
		switch text {
		case "true", "yes":
			return true, nil
		case "false", "no":
			return false, nil
		}
		return false, errors.New(Quote(text) + " is neither true nor false")
	}, strconv.FormatBool, func(*Field) jsonSchema {
		return jsonSchema{"enum": []any{true, false, "true", "false", "yes", "no"}}
	}, "true", "false")
}

// Count reads a whole number.
func Count(key string, slot *Value[int]) Field {
	return single(key, slot, func(f *Field, text string) (int, error) {
		n, err := strconv.ParseUint(text, 10, 31)
		if err != nil {
			return 0, errors.New(Quote(text) + " is no whole number")
		}
		return int(n), f.within(float64(n), float64(n), quantity.Proportion, text)
	}, strconv.Itoa, func(f *Field) jsonSchema {
		return f.bounded(jsonSchema{"type": []string{"integer", "string"}, "pattern": "^[0-9]+$"})
	}, "a whole number")
}

// Text reads words that are printed, of at most 200 characters. White space
// of a text that goes over several lines becomes one space.
func Text(key string, slot *Value[string]) Field {
	f := single(key, slot, func(_ *Field, text string) (string, error) { return printable(text) }, func(text string) string { return text }, anyWords, "text")
	f.prose = true
	value := f.read
	f.read = func(d *Document, f *Field, n *node) {
		switch {
		case n.kind != scalar:
			d.report(n.place(f.source.Path), kindNames[n.kind]+" where text belongs", `quote a text that holds ": " or starts with a bracket`)
		case n.swallowed != "":
			d.report(n.place(f.source.Path), "the text ends before "+Quote(n.swallowed)+", which was read as a comment",
				`quote a text that holds " #", and leave a space behind the # of a comment`)
		default:
			value(d, f, n)
		}
	}
	return f
}

// Name reads the name of an entry of a [Map].
func Name(key string, slot *Value[string]) Field {
	return single(key, slot, func(_ *Field, text string) (string, error) {
		if !plainName.MatchString(text) {
			return "", errors.New(Quote(text) + " is no name")
		}
		return text, nil
	}, func(name string) string { return name }, matching(plainName.String()), nameForm)
}

const nameForm = "a name of small letters, digits and _, 32 at most, a letter first"

var plainName = regexp.MustCompile(`^[a-z][a-z0-9_]{0,31}$`)

// Block reads a record.
func Block[T any, P recordOf[T]](key string, slot *T) Field {
	r := P(slot)
	return Field{
		key: key, source: r.Place(), forms: []string{aBlock}, table: r.Fields,
		read: func(d *Document, f *Field, n *node) {
			if f.short != nil && n.kind == scalar {
				f.below(d, Source{Path: f.source.Path})
				d.field(f.short, n, f.source.Path)
				return
			}
			if f.short != nil {
				f.short.leaveOut(d, f.source.Path)
			}
			if !d.kindOf(f, n, block) {
				f.leaveOut(d, f.source.Path)
				return
			}
			d.fields(r.Fields(), n, *r.Place())
		},
		below: func(d *Document, at Source) { d.fields(r.Fields(), nil, at) },
	}
}

// ListOf reads a list whose elements are read by of: a constructor of fields
// such as [Text] or [Block].
func ListOf[T any](key string, slot *List[T], of func(key string, slot *T) Field) Field {
	return Field{
		key: key, source: &slot.Source, forms: []string{"a list"},
		element: func() Field { return of("", new(T)) },
		parts: func() []Field {
			parts := make([]Field, len(slot.Items))
			for i := range parts {
				parts[i] = of(strconv.Itoa(i+1), &slot.Items[i])
			}
			return parts
		},
		read: func(d *Document, f *Field, n *node) {
			one := f.orOne && n.kind != list
			if one {
				n = &node{kind: list, items: []*node{n}}
			}
			if !d.kindOf(f, n, list) || d.miscounted(f, n) {
				f.source.State = LeftOut
				return
			}
			slot.Items = make([]T, len(n.items))
			for i, item := range n.items {
				path := f.source.Path
				if !one {
					path = join(path, strconv.Itoa(i+1))
				}
				element := of("", &slot.Items[i])
				d.field(&element, item, path)
			}
		},
	}
}

// MapOf reads a block whose keys are names, and whose values are read by of.
// Names are those of a plan unless [Field.Named] says otherwise.
func MapOf[T any](key string, slot *Map[T], of func(key string, slot *T) Field) Field {
	return Field{
		key: key, source: &slot.Source, forms: []string{"a block of names"},
		names:   &names{fits: plainName.MatchString, wanted: "wanted " + nameForm},
		element: func() Field { return of("", new(T)) },
		parts: func() []Field {
			parts := make([]Field, len(slot.Items))
			for i := range parts {
				parts[i] = of(slot.names[i], &slot.Items[i])
			}
			return parts
		},
		read: func(d *Document, f *Field, n *node) {
			if !d.kindOf(f, n, block) || d.miscounted(f, n) {
				f.source.State = LeftOut
				return
			}
			slot.Items, slot.names = make([]T, len(n.items)), nil
			for i, k := range n.keys {
				path, name := join(f.source.Path, k.text), k.text
				switch {
				case !f.names.fits(k.text):
					name = Quote(k.text) // nothing can mean it, and messages can show it
					d.report(k.place(path), name+" is no name", f.names.wanted)
				case slices.Contains(f.names.except, k.text):
					d.report(k.place(path), "the name "+k.text+" is taken", "wanted another than "+OneOf(f.names.except))
				}
				slot.names = append(slot.names, name)
				element := of("", &slot.Items[i])
				d.field(&element, n.items[i], path)
			}
		},
	}
}

// NameOrBlock reads a name to be looked up, or the thing itself written out.
func NameOrBlock[T any, P recordOf[T]](key string, slot *Reference[T]) Field {
	r := P(&slot.Is)
	f := Block[T, P](key, &slot.Is)
	written := f.read
	f.forms = append([]string{"a name"}, f.forms...)
	f.source = &slot.Source
	f.text = func() string { return slot.Named }
	f.shape = anyWords
	f.read = func(d *Document, f *Field, n *node) {
		if n.kind != scalar {
			*r.Place() = *f.source
			written(d, f, n)
			return
		}
		text, err := printable(n.text)
		if err != nil {
			d.report(n.place(f.source.Path), err.Error(), f.wanted())
			f.source.State = LeftOut
			return
		}
		slot.Named = text
	}
	return f
}

// keysOf shows the keys of a table as a block: "{value, in}"; those that go
// with one kind only are left to the reader.
func keysOf(fields []Field) string {
	var keys []string
	more := ""
	for _, f := range fields {
		if f.when == nil {
			keys = append(keys, f.key)
		} else {
			more = ", …"
		}
	}
	return "{" + strings.Join(keys, ", ") + more + "}"
}
