package document_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/document"
	"mutewright/design/quantity"
)

// A bench is a record with one slot of each sort.
type bench struct {
	document.Source
	Title    document.Value[string]
	Voltage  document.Measure[quantity.Volts]
	Limit    document.Value[quantity.Watts]
	Cord     document.Value[cord]
	Live     document.Value[bool]
	Count    document.Value[int]
	Fuse     fuse
	Coupling coupling
	Legs     document.List[document.Value[string]]
	Steps    document.List[document.Value[document.Two[quantity.Volts, quantity.Amps]]]
	Poles    document.List[document.List[document.Value[string]]]
	Fuses    document.List[fuse]
	Rails    document.Map[rail]
	Tube     document.Reference[tube]
}

type cord string

const (
	twoWire  cord = "two-wire"
	grounded cord = "grounded at the centre"
)

func (b *bench) Fields() []document.Field {
	return []document.Field{
		document.Text("title", &b.Title).Required(),
		document.Span("voltage", &b.Voltage).Positive(),
		document.Exact("limit", &b.Limit).From(1).To(100),
		document.Choice("cord", &b.Cord, twoWire, grounded).Or(document.Choose),
		document.Flag("energised", &b.Live),
		document.Count("count", &b.Count).From(1).To(2),
		document.Block("fuse", &b.Fuse).Or(document.None),
		document.Block("coupling", &b.Coupling).OrShort(document.Span("", &b.Coupling.Level)),
		document.ListOf("legs", &b.Legs, document.Text),
		document.ListOf("steps", &b.Steps, document.Pair[quantity.Volts, quantity.Amps]),
		document.ListOf("poles", &b.Poles, func(key string, slot *document.List[document.Value[string]]) document.Field {
			return document.ListOf(key, slot, document.Text)
		}),
		document.ListOf("fuses", &b.Fuses, document.Block[fuse]).OrOne().AtMost(2),
		document.MapOf("rails", &b.Rails, document.Block[rail]).Except("all", "depth"),
		document.NameOrBlock("tube", &b.Tube),
	}
}

type fuse struct {
	document.Source
	Value document.Measure[quantity.Amps]
	In    document.Value[string]
}

func (f *fuse) Fields() []document.Field {
	return []document.Field{
		document.Span("value", &f.Value).Required(),
		document.Name("in", &f.In),
	}
}

type coupling struct {
	document.Source
	Level    document.Measure[quantity.Decibels]
	Distance document.Measure[quantity.Metres]
}

func (c *coupling) Fields() []document.Field {
	return []document.Field{document.Span("distance", &c.Distance)}
}

type rail struct {
	document.Source
	Kind  document.Value[string]
	Rated document.Measure[quantity.Amps]
	Stand document.Measure[quantity.Volts]
}

func (r *rail) Fields() []document.Field {
	return append(append([]document.Field{document.Choice("kind", &r.Kind, "ac", "dc")},
		document.When(&r.Kind, "ac", document.Span("rated", &r.Rated))...),
		document.When(&r.Kind, "dc", document.Span("rated", &r.Stand))...)
}

type tube struct {
	document.Source
	Gm document.Measure[quantity.Siemens]
}

func (t *tube) Fields() []document.Field {
	return []document.Field{document.Span("gm", &t.Gm)}
}

func read(text string, settings ...string) (bench, error) {
	var b bench
	d := document.Parse("bench.yaml", []byte(text))
	d.Set(settings...)
	d.Read(&b)
	return b, d.Err()
}

const full = `
title: Bench "2" § Ω
voltage: 250 V ± 10 %
limit: 4.5 W
cord: earthed at the center
energized: true   # the American spelling
count: 2
fuse: {value: 1 A, in: line}
coupling: -30 dB
legs: [a, 'b: c', "d # e"]
steps: [30 V 2 A, 60 V 0.5 A]
poles: [[4, 6, 8], [13, 11, 9]]
fuses:
  - value: 2 A
  - {value: 3 A}
rails:
  heaters: {kind: ac, rated: 4 A}
  ht:
    kind: dc
    rated: 450 V
tube: {gm: 4.1 mA/V}
`

func TestReadFillsEverySlot(t *testing.T) {
	for name, text := range map[string]string{
		"LF":            full,
		"CRLF":          strings.ReplaceAll(full, "\n", "\r\n"),
		"mark of UTF-8": "\ufeff" + full,
	} {
		t.Run(name, func(t *testing.T) {
			b, err := read(text)
			require.NoError(t, err)
			assert.Equal(t, `Bench "2" § Ω`, b.Title.Is)
			assert.Equal(t, quantity.Within(quantity.Volts(250), 0.1), b.Voltage.Is)
			assert.Equal(t, document.Source{Path: "voltage", Line: 3, Column: 10, State: document.Given}, b.Voltage.Source)
			assert.Equal(t, quantity.Watts(4.5), b.Limit.Is)
			assert.Equal(t, grounded, b.Cord.Is)
			assert.True(t, b.Live.Is)
			assert.Equal(t, 2, b.Count.Is)
			assert.Equal(t, quantity.Amps(1), b.Fuse.Value.Is.Nominal)
			assert.Equal(t, "line", b.Fuse.In.Is)
			assert.Equal(t, quantity.Decibels(-30), b.Coupling.Level.Is.Nominal)
			assert.Equal(t, "coupling", b.Coupling.Level.Path)
			assert.False(t, b.Coupling.Distance.Given())
			require.Len(t, b.Legs.Items, 3)
			assert.Equal(t, "b: c", b.Legs.Items[1].Is)
			assert.Equal(t, "d # e", b.Legs.Items[2].Is)
			require.Len(t, b.Steps.Items, 2)
			assert.Equal(t, document.Two[quantity.Volts, quantity.Amps]{First: 60, Second: 0.5}, b.Steps.Items[1].Is)
			require.Len(t, b.Poles.Items, 2)
			assert.Equal(t, "11", b.Poles.Items[1].Items[1].Is)
			assert.Equal(t, "poles.2.2", b.Poles.Items[1].Items[1].Path)
			require.Len(t, b.Fuses.Items, 2)
			assert.Equal(t, "fuses.2.value", b.Fuses.Items[1].Value.Path)
			assert.Equal(t, []string{"heaters", "ht"}, b.Rails.Names())
			assert.Equal(t, quantity.Amps(4), b.Rails.Find("heaters").Rated.Is.Nominal)
			assert.Equal(t, quantity.Volts(450), b.Rails.Find("ht").Stand.Is.Nominal)
			assert.False(t, b.Rails.Find("ht").Rated.Given())
			assert.Equal(t, "ht", b.Rails.Find("ht").Name())
			assert.Nil(t, b.Rails.Find("hv"))
			assert.Equal(t, "", b.Tube.Named)
			assert.Equal(t, quantity.Siemens(4.1e-3), b.Tube.Is.Gm.Is.Nominal)
		})
	}
}

func TestStates(t *testing.T) {
	b, err := read("title: x\nfuse: none\ncord: choose\nvoltage: unknown\nlegs: unknown\nrails: unknown\ntube: unknown\ncoupling: {distance: 30 m}\nfuses: {value: 1 A}")
	require.NoError(t, err)
	assert.Equal(t, document.None, b.Fuse.State)
	assert.Equal(t, document.Choose, b.Cord.State)
	assert.Equal(t, document.Unknown, b.Voltage.State)
	assert.Equal(t, document.Unknown, b.Legs.State)
	assert.Equal(t, document.Unknown, b.Rails.State)
	assert.Equal(t, document.Unknown, b.Tube.State)
	assert.Equal(t, document.LeftOut, b.Limit.State)
	assert.Equal(t, "limit", b.Limit.Path, "what is left out has a path too")
	assert.Equal(t, "fuse.value", b.Fuse.Value.Path, "and so has what is inside it")
	assert.Equal(t, "tube.gm", b.Tube.Is.Gm.Path)
	assert.Equal(t, quantity.Metres(30), b.Coupling.Distance.Is.Nominal)
	require.Len(t, b.Fuses.Items, 1, "a list of one without brackets")
	assert.Equal(t, "fuses.value", b.Fuses.Items[0].Value.Path)
}

func TestKindLeftOut(t *testing.T) {
	b, err := read("title: x\nrails: {a: {rated: 4 A}, b: {rated: 450 V}}")
	require.NoError(t, err)
	assert.True(t, b.Rails.Find("a").Rated.Given())
	assert.True(t, b.Rails.Find("b").Stand.Given(), "the unit tells which of the two is meant")
	_, err = read("title: x\nrails: {a: {rated: 4 H}}")
	assert.EqualError(t, err, `bench.yaml:2:20: rails.a.rated: "H" is the unit of an inductance; wanted a current such as 500 mA`)
}

func TestProblems(t *testing.T) {
	long := strings.Repeat("x", 201)
	cases := []struct{ name, text, want string }{
		{"empty", "", "bench.yaml:1:1: nothing in this file; wanted keys and values"},
		{"only a comment", "# nothing\n", "bench.yaml:1:1: nothing in this file; wanted keys and values"},
		{"a list", "- a\n", "bench.yaml:1:1: a list stands alone; wanted keys and values"},
		{"missing", "count: 1", "bench.yaml:1:1: title: missing; wanted text"},
		{"missing inside", "title: x\nfuse: {in: line}", "bench.yaml:2:7: fuse.value: missing; wanted a current such as 500 mA"},
		{"unknown where required", "title: unknown", "bench.yaml:1:8: title: unknown is not enough here; wanted text"},
		{"unknown key", "title: x\nvotlage: 6 V", "bench.yaml:2:1: votlage: unknown key; the nearest is voltage"},
		{"unknown key that would break a line", "title: x\n\"a\\nb\": 6 V", `bench.yaml:2:1: "a\nb": unknown key; the nearest is ` + "tube"},
		{"given twice", "title: x\ncount: 1\ncount: 2", "bench.yaml:3:1: count: key given twice; wanted once: it stands on line 2 already"},
		{"given in both spellings", "title: x\nenergised: true\nenergized: true", `bench.yaml:3:1: energised: key given twice, as "energised" too; wanted once: it stands on line 2 already`},
		{"no value", "title: x\nvoltage:", "bench.yaml:2:9: voltage: no value; wanted a voltage such as 6.3 V, or the key left out"},
		{"no unit", "title: x\nvoltage: 250", `bench.yaml:2:10: voltage: no unit on "250"; write 250 V, uV, mV or kV`},
		{"columns are characters", "title: x\nfuse: {in: Ω, value: 1}", "bench.yaml:2:12: fuse.in: \"Ω\" is no name; wanted a name of small letters, digits and _, 32 at most, a letter first\n" +
			`bench.yaml:2:22: fuse.value: no unit on "1"; write 1 A, pA, nA, uA or mA`},
		{"not positive", "title: x\nvoltage: 5 V ± 6 V", `bench.yaml:2:10: voltage: "5 V ± 6 V" is too low; wanted more than 0 V`},
		{"too low", "title: x\nlimit: 1 mW", `bench.yaml:2:8: limit: "1 mW" is too low; wanted at least 1 W`},
		{"too high", "title: x\nlimit: 1 kW", `bench.yaml:2:8: limit: "1 kW" is too high; wanted at most 100 W`},
		{"count too high", "title: x\ncount: 3", `bench.yaml:2:8: count: "3" is too high; wanted at most 2`},
		{"no count", "title: x\ncount: 1.0", `bench.yaml:2:8: count: "1.0" is no whole number; wanted a whole number`},
		{"unknown word", "title: x\ncord: long", `bench.yaml:2:7: cord: unknown word "long"; wanted two-wire, grounded at the centre or choose`},
		{"no flag", "title: x\nenergised: maybe", `bench.yaml:2:12: energised: "maybe" is neither true nor false; wanted true or false`},
		{"value for block", "title: x\nfuse: 1 A", `bench.yaml:2:7: fuse: "1 A" where a block belongs; wanted a block {value, in} or none`},
		{"block for value", "title: x\nvoltage: {a: 1 V}", `bench.yaml:2:10: voltage: a block where a value belongs; wanted a voltage such as 6.3 V`},
		{"value for list", "title: x\nlegs: a", `bench.yaml:2:7: legs: "a" where a list belongs; wanted a list`},
		{"block for text", "title: x\nlegs: [a: b]", `bench.yaml:2:8: legs.1: a block where text belongs; quote a text that holds ": " or starts with a bracket`},
		{"too many", "title: x\nfuses: [{value: 1 A}, {value: 1 A}, {value: 1 A}]", "bench.yaml:2:8: fuses: 3 are too many; at most 2"},
		{"name", "title: x\nrails: {HT: {}}", `bench.yaml:2:9: rails.HT: "HT" is no name; wanted a name of small letters, digits and _, 32 at most, a letter first`},
		{"name taken", "title: x\nrails: {depth: {}}", "bench.yaml:2:9: rails.depth: the name depth is taken; wanted another than all or depth"},
		{"key of another kind", "title: x\nrails: {a: {kind: xx, rated: 1 H}}", "bench.yaml:2:19: rails.a.kind: unknown word \"xx\"; wanted ac or dc\n" +
			`bench.yaml:2:30: rails.a.rated: "H" is the unit of an inductance; wanted a current such as 500 mA`},
		{"comment touching its word", "title: tag #2 of X5", `bench.yaml:1:8: title: the text ends before "#2 of X5", which was read as a comment; quote a text that holds " #", and leave a space behind the # of a comment`},
		{"nothing but a comment", "title: #2", `bench.yaml:1:7: title: no value before "#2"; quote a text that starts with #`},
		{"long text", "title: " + long, "bench.yaml:1:8: title: text of 201 characters, with 200 the most; wanted text"},
		{"text that turns round", "title: \"a\\u202eb\"", "bench.yaml:1:8: title: character U+202E in the text; wanted text"},
		{"text that drives a terminal", "title: \"a\\e[31mb\"", "bench.yaml:1:8: title: character U+001B in the text; wanted text"},
		{"anchor", "title: &a x\nlegs: [*a]", "bench.yaml:1:8: title: anchor \"&a\"; leave it out: anchors are not read\nbench.yaml:2:8: legs.1: alias \"*a\"; write the value out: aliases are not read"},
		{"tag", "title: !!str x", `bench.yaml:1:8: title: tag "!!str"; leave it out: tags are not read`},
		{"second document", "title: x\n---\ntitle: y", "bench.yaml:2:1: a second document; one document in a file, without ---"},
		{"key that is no word", "title: x\n? [a]\n: b", "bench.yaml:2:3: a key that is no word; wanted a plain key"},
		{"no UTF-8", "title: x\ncord: \xff", "bench.yaml:2:7: byte 0xFF is no UTF-8; save the file as UTF-8"},
		{"too large", "title: x\n#" + strings.Repeat("x", 1<<20), "bench.yaml:1: 1048586 bytes are too many; at most 1 MiB"},
		{"too deep", "title: x\nlegs: [[[[[[[[[[[[a]]]]]]]]]]]]", "bench.yaml:2:8: legs.1: a list where text belongs; quote a text that holds \": \" or starts with a bracket\n" +
			"bench.yaml:2:18: legs.1.1.1.1.1.1.1.1.1.1.1: blocks and lists too deep inside each other; at most 12"},
		{"syntax: colon", "title: x: y\ncount: 1", "bench.yaml:1: a second \": \" where a value goes on; quote a text that holds \": \"\n>    1 | title: x: y\n     2 | count: 1"},
		{"syntax: bracket", "title: x\nlegs: [a, b\ncount: 1", "bench.yaml:2: a list or block in brackets does not end; close it; quote a text that holds \" #\", \": \", a comma or a bracket\n     1 | title: x\n>    2 | legs: [a, b\n     3 | count: 1"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := read(c.text)
			assert.EqualError(t, err, c.want)
		})
	}
}

func TestSet(t *testing.T) {
	b, err := read(full,
		"voltage=6.3 V",
		"cord=choose",
		"energized=false",
		"title=tag #2: the lug",
		"legs.4=new",
		"fuses.1.value=5 A",
		"rails.ht.rated=500 V",
		"rails.bias.rated=10 mA",
		"tube=6AQ5",
		"fuse={value: 3 A}",
		"limit= 2 W ",
	)
	require.NoError(t, err)
	assert.Equal(t, quantity.Volts(6.3), b.Voltage.Is.Nominal)
	assert.Equal(t, document.Source{Path: "voltage", Setting: 1, State: document.Given}, b.Voltage.Source)
	assert.Equal(t, document.Choose, b.Cord.State)
	assert.False(t, b.Live.Is)
	assert.Equal(t, "tag #2: the lug", b.Title.Is, "a setting needs no quotes")
	require.Len(t, b.Legs.Items, 4)
	assert.Equal(t, "new", b.Legs.Items[3].Is)
	assert.Equal(t, quantity.Amps(5), b.Fuses.Items[0].Value.Is.Nominal)
	assert.Equal(t, quantity.Volts(500), b.Rails.Find("ht").Stand.Is.Nominal)
	assert.Equal(t, quantity.Amps(0.01), b.Rails.Find("bias").Rated.Is.Nominal)
	assert.Equal(t, "6AQ5", b.Tube.Named)
	assert.Equal(t, quantity.Amps(3), b.Fuse.Value.Is.Nominal)
	assert.False(t, b.Fuse.In.Given(), "a block is replaced as a whole")
	assert.Equal(t, quantity.Watts(2), b.Limit.Is)
}

func TestSetMakesTheWay(t *testing.T) {
	b, err := read("title: x\nfuse: none", "fuse.value=1 A", "rails.ht.kind=dc", "poles.1.1=4", "fuses.1.value=1 A")
	require.NoError(t, err)
	assert.True(t, b.Fuse.Value.Given())
	assert.True(t, b.Rails.Find("ht").Kind.Given())
	assert.Equal(t, "4", b.Poles.Items[0].Items[0].Is)
	assert.Equal(t, quantity.Amps(1), b.Fuses.Items[0].Value.Is.Nominal)
}

func TestSetSaysWhatIsWrong(t *testing.T) {
	cases := []struct{ setting, want string }{
		{"voltage", `--set 1: "voltage" is no setting; wanted path=value, as in receiver.mains.voltage=230 V`},
		{"=6 V", `--set 1: "=6 V" is no setting; wanted path=value, as in receiver.mains.voltage=230 V`},
		{"fuse..value=6 V", `--set 1: "fuse..value=6 V" is no setting; wanted path=value, as in receiver.mains.voltage=230 V`},
		{"voltage=", `--set 1: voltage: no value; wanted a voltage such as 6.3 V, or the key left out`},
		{"voltage=6", `--set 1: voltage: no unit on "6"; write 6 V, uV, mV or kV`},
		{"votlage=6 V", `--set 1: votlage: unknown key; the nearest is voltage`},
		{"voltage.a=6 V", `--set 1: voltage.a: voltage is "250 V ± 10 %" and has no keys; set voltage as a whole`},
		{"fuses.4.value=6 A", `--set 1: fuses.4: fuses has 2 elements; wanted a number from 1 to 3`},
		{"fuses.0.value=6 A", `--set 1: fuses.0: fuses is a list; wanted a number from 1`},
		{"fuses.first.value=6 A", `--set 1: fuses.first: fuses is a list; wanted a number from 1`},
		{"fuse={value: 1 A", `--set 1: fuse: "{value: 1 A" cannot be read; close brackets and quotes; quote a text that holds a comma, a bracket, ": " or " #"`},
		{"fuse={value: 1 A, value: 2 A}", `--set 1: fuse.value: key given twice; wanted once`},
		{"fuse={in: line}", `--set 1: fuse.value: missing; wanted a current such as 500 mA`},
		{"\xff=1", `--set 1: text that is no UTF-8; wanted path=value`},
		{strings.Repeat("a.", 12) + "b=1", `--set 1: a.a.a.a.a.a.a.a.a.a.a.a.b: path too long; at most 12 keys`},
	}
	for _, c := range cases {
		t.Run(c.setting, func(t *testing.T) {
			_, err := read(full, c.setting)
			assert.EqualError(t, err, c.want)
		})
	}
	_, err := read("title: x\ncount: 3", "voltage=1", "limit=1")
	assert.EqualError(t, err, "bench.yaml:2:8: count: \"3\" is too high; wanted at most 2\n"+
		"--set 1: voltage: no unit on \"1\"; write 1 V, uV, mV or kV\n"+
		"--set 2: limit: no unit on \"1\"; write 1 W, pW, nW, uW, mW, kW or MW", "the file first, then the settings in order")
}

func TestNearest(t *testing.T) {
	keys := []string{"voltage", "frequency", "cord", "fuse"}
	for text, want := range map[string]string{"votlage": "voltage", "freqency": "frequency", "chord": "cord", "fusee": "fuse"} {
		assert.Equal(t, want, document.Nearest(text, keys))
	}
	assert.Equal(t, "", document.Nearest("x", nil))
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(full), "voltage=6.3 V")
	f.Add([]byte("title: tag #2"), "fuses.1.value=5 A")
	f.Add([]byte("title: &a x\n---\n*a"), "fuse={value: 1 A}")
	f.Add([]byte("? [a]\n: b\n<<: {a: b}"), "a")
	f.Add([]byte("title: |\n  a\n  b\nlegs: [[[["), "rails.all.kind=ac")
	f.Fuzz(func(t *testing.T, data []byte, setting string) {
		var b bench
		d := document.Parse("bench.yaml", data)
		d.Set(setting)
		d.Read(&b)
		err := d.Err()
		if err == nil {
			require.True(t, b.Title.Given())
			return
		}
		for _, r := range err.Error() {
			require.True(t, r == '\n' || r >= ' ' && r != 0x7f, "%q", err.Error())
		}
	})
}
