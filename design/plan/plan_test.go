package plan_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/plan"
	"mutewright/design/quantity"
)

var update = flag.Bool("update", false, "write what is read as what is expected")

func load(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	require.NoError(t, err)
	return string(data)
}

func read(text string, settings ...string) (*plan.Plan, error) {
	return plan.Read("plan.yaml", []byte(text), catalog.Default(), settings...)
}

// TestBroken holds every plan that must be refused against the errors beside
// it.
func TestBroken(t *testing.T) {
	files, err := filepath.Glob("../../testdata/plans/broken/*.yaml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 25)
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(strings.TrimSuffix(name, ".yaml"), func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			_, err = plan.Read(name, data, catalog.Default())
			require.Error(t, err)
			beside := strings.TrimSuffix(file, ".yaml") + ".stderr"
			if *update {
				require.NotEqual(t, "true", os.Getenv("CI"), "expected errors are not rewritten in CI")
				require.NoError(t, os.WriteFile(beside, []byte(err.Error()+"\n"), 0o644))
			}
			want, readErr := os.ReadFile(beside)
			require.NoError(t, readErr)
			assert.Equal(t, string(want), err.Error()+"\n")
		})
	}
}

func TestEveryKeyIsRead(t *testing.T) {
	text := load(t, "every-key.yaml")
	for name, text := range map[string]string{
		"LF":            text,
		"CRLF":          strings.ReplaceAll(text, "\n", "\r\n"),
		"mark of UTF-8": "\ufeff" + text,
	} {
		t.Run(name, func(t *testing.T) {
			p, err := read(text)
			require.NoError(t, err)
			seen := map[string]bool{}
			slots(reflect.ValueOf(p).Elem(), "Plan", seen)
			require.Greater(t, len(seen), 120)
			for slot, given := range seen {
				if !unwritten[slot] {
					assert.True(t, given, "%s is bound to no key, or the key is missing in every-key.yaml", slot)
				}
			}
		})
	}
}

// unwritten are slots that no plan fills: figures that only a catalogue gives.
var unwritten = map[string]bool{
	"TubePoint.PlateResistance": true, "TubePoint.CathodeResistor": true, "TubePoint.Note": true,
	"TubePoint.Aside": true, "TubeRemote.Aside": true, "TubeRemote.Plate": true, "TubeRemote.Of": true, "Cited.From": true, "Relay.SameAs": true, "Relay.Latching": true,
	"Coupling.Level": true, // the other form of a coupling: see flow.yaml
}

// slots records by record and field which slots are given anywhere in v.
func slots(v reflect.Value, name string, seen map[string]bool) {
	switch v.Kind() {
	case reflect.Slice:
		for i := range v.Len() {
			slots(v.Index(i), name, seen)
		}
	case reflect.Struct:
		if f := v.FieldByName("Source"); v.NumField() == 2 && f.IsValid() && f.Type() == reflect.TypeFor[document.Source]() {
			seen[name] = seen[name] || f.Interface().(document.Source).State != document.LeftOut
		}
		for i := range v.NumField() {
			f := v.Type().Field(i)
			switch {
			case !f.IsExported() || f.Name == "Block" || f.Type == reflect.TypeFor[document.Source]():
			case f.Name == "Items" || f.Name == "Is":
				slots(v.Field(i), name, seen)
			case v.Type() != reflect.TypeFor[catalog.Tube]() || writtenTube[f.Name]:
				slots(v.Field(i), strings.SplitN(v.Type().Name(), "[", 2)[0]+"."+f.Name, seen)
			}
		}
	}
}

var writtenTube = map[string]bool{"Name": true, "HeaterCathode": true, "Points": true, "Remote": true}

func TestReadValues(t *testing.T) {
	p, err := read(load(t, "every-key.yaml"))
	require.NoError(t, err)
	assert.Equal(t, "2026-03-14", p.Date.Is)
	assert.Equal(t, quantity.Between(quantity.Celsius(20), quantity.Celsius(50)), p.Receiver.Ambient.Is)
	assert.Equal(t, document.Source{Path: "receiver.ambient", Line: 8, Column: 12, State: document.Given}, p.Receiver.Ambient.Source)
	assert.Equal(t, plan.ThreeWire, p.Receiver.Mains.Cord.Is)
	assert.Equal(t, quantity.Farads(10e-9), p.Receiver.Mains.LineCapacitors.Items[1].Value.Is.Nominal)
	assert.Equal(t, plan.NoClass, p.Receiver.Mains.LineCapacitors.Items[1].Class.Is)
	assert.Equal(t, plan.OpensCentreTap, p.Receiver.Standby.Items[1].Opens.Is, "US spelling")

	heaters, ht := p.Receiver.Supplies.Find("heaters"), p.Receiver.Supplies.Find("ht")
	assert.Equal(t, quantity.Amps(4), heaters.Rated.Is.Nominal)
	assert.Equal(t, quantity.Volts(450), ht.CapacitorRating.Is.Nominal)
	assert.Equal(t, quantity.Within(quantity.Volts(250), 0.1), ht.Voltage.Is)
	assert.False(t, ht.Regulated.Is)

	output := p.Points.Find("output")
	assert.Equal(t, "6AQ5", output.Output.Tube.Named)
	assert.True(t, output.Output.Tube.Is.Points.Given(), "the catalogue's figures")
	assert.Equal(t, quantity.Ohms(240), output.Output.CathodeResistor.Is.Nominal)

	stages := p.Points.Find("sensitivity").Gain.Stages.Items
	assert.Equal(t, "", stages[1].Tube.Named)
	assert.Equal(t, quantity.Siemens(40e-6), stages[1].Tube.Is.Remote.Items[0].Gm.Is.Nominal)
	assert.Equal(t, "muting_points.sensitivity.stages.2.tube.remote.1.gm", stages[1].Tube.Is.Remote.Items[0].Gm.Path)
	assert.Equal(t, "muting_points.sensitivity.stages.2.screen_resistor", stages[1].ScreenResistor.Path)
	assert.Equal(t, document.None, p.Points.Find("sensitivity").Gain.AlsoToChassis.State)

	assert.Equal(t, document.Choose, p.Returns.Find("mute_line").Pulldown.State)
	assert.Equal(t, "signal-dpdt-12v", p.Relays.Items[0].Use.Is.Name)
	assert.Equal(t, quantity.Within(quantity.Ohms(720), 0.1), p.Relays.Items[1].Use.Is.Coil.Resistance.Is)
	assert.Equal(t, plan.FromControl, p.Relays.Items[1].Supply.Is)
	assert.Equal(t, "13", p.Relays.Items[0].Pins.Poles.Items[1].Items[0].Is)
	assert.Equal(t, plan.IdleLow, p.Transmitter.Keying.Idle.Is)
	assert.Equal(t, quantity.Metres(30), p.Transmitter.Coupling.Distance.Is.Nominal)
}

func TestFlowStyle(t *testing.T) {
	p, err := read(load(t, "flow.yaml"))
	require.NoError(t, err)
	assert.Equal(t, document.None, p.Receiver.Mains.Fuse.State)
	assert.Equal(t, document.None, p.Receiver.Standby.State)
	assert.Equal(t, plan.CentreTap, p.Receiver.Supplies.Find("heaters").Grounded.Is)
	assert.Equal(t, "X2 #2", p.Receiver.Supplies.Find("heaters").At.Tap.Is)
	assert.Equal(t, quantity.Volts(-19), p.Points.Find("output").Output.Grid.Is.Nominal)
	assert.Equal(t, document.None, p.Points.Find("output").Output.Bypass.State)
	assert.Equal(t, "6BQ5", p.Points.Find("output").Output.Tube.Is.Name.Is, "EL84 is its other name")
	require.Len(t, p.Points.Find("gain").Gain.Stages.Items, 2)
	assert.Equal(t, document.Unknown, p.Points.Find("gain").Gain.Stages.Items[1].State)
	require.Len(t, p.Relays.Items, 1)
	assert.Equal(t, document.Choose, p.Relays.Items[0].Use.State)
	assert.Equal(t, "relay.use", p.Relays.Items[0].Use.Path)
	assert.Equal(t, document.None, p.Relays.Items[0].Hold.State)
	assert.Equal(t, plan.Grounded, p.Control.MutesWhen.Is)
	assert.Equal(t, quantity.Decibels(-30), p.Transmitter.Coupling.Level.Is.Nominal)
}

func TestLeast(t *testing.T) {
	p, err := read(load(t, "least.yaml"))
	require.NoError(t, err)
	assert.False(t, p.SeriesHeaters())
	assert.Equal(t, "receiver.mains.fuse.value", p.Receiver.Mains.Fuse.Value.Path, "paths of what was left out are laid")
	assert.Equal(t, document.LeftOut, p.Relays.State)

	p, err = read(load(t, "series-heaters.yaml"))
	require.NoError(t, err)
	assert.True(t, p.SeriesHeaters())
}

// TestNoOptionalKeyIsNeeded takes each key out, and makes each unknown: the
// reader must not mind unless the format requires it.
func TestNoOptionalKeyIsNeeded(t *testing.T) {
	required := map[string]bool{
		"plan": true, "title": true, "receiver": true, "receiver.name": true, "receiver.mains": true,
		"receiver.mains.voltage": true, "receiver.mains.frequency": true, "receiver.mains.isolation": true, "receiver.mains.cord": true,
		"muting_points": true, "transmitter": true, "transmitter.keying": true, "transmitter.keying.kind": true,
	}
	lines := strings.Split(strings.TrimSpace(load(t, "every-key.yaml")), "\n")
	count := 0
	var path []string
	for i, line := range lines {
		m := keyLine.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		depth := len(m[1]+m[2]) / 2
		for path = path[:min(depth, len(path))]; len(path) < depth; {
			path = append(path, "-") // an element of a list
		}
		path = append(path, m[3])
		at := strings.Join(path, ".")
		named := depth == 1 && (path[0] == "muting_points" || path[0] == "returns") || depth == 2 && path[1] == "supplies"
		needed := required[at] || named || depth == 2 && path[0] == "muting_points" && (m[3] == "kind" || m[3] == "lift") ||
			// Of a tube written out, a point is the least that says something;
			// a choice that is gone, or another, takes its keys along.
			strings.Contains(at, "tube.points.") || strings.Contains(at, "tube.remote.") || at == "relay.-.clamp" || at == "transmitter.keying.kind"
		if needed {
			continue
		}
		end := i + 1
		for end < len(lines) && len(lines[end])-len(strings.TrimLeft(lines[end], " ")) > len(m[1])+len(m[2]) {
			end++
		}
		if len(m[2]) > 0 || strings.HasSuffix(lines[i-1], ":") && (end == len(lines) || !strings.HasPrefix(lines[end], m[1])) {
			continue // first key of a list's element, or only key of a block
		}
		count++
		for what, with := range map[string][]string{"left out": nil, "unknown": {m[1] + m[3] + ": unknown"}} {
			text := strings.Join(append(append(append([]string{}, lines[:i]...), with...), lines[end:]...), "\n")
			_, err := read(text)
			assert.NoError(t, err, "%s %s", at, what)
		}
	}
	assert.Greater(t, count, 100)
}

var keyLine = regexp.MustCompile(`^( *)(- )?([a-z0-9_]+):`)

// TestEveryValueHasItsForm puts a block where each single value stands: an
// error must name the line and the key.
func TestEveryValueHasItsForm(t *testing.T) {
	lines := strings.Split(load(t, "every-key.yaml"), "\n")
	for i, line := range lines {
		m := keyLine.FindStringSubmatch(line)
		if m == nil || strings.HasSuffix(line, ":") {
			continue
		}
		changed := append([]string{}, lines...)
		changed[i] = m[1] + m[2] + m[3] + ": {nonsense: 1}"
		_, err := read(strings.Join(changed, "\n"))
		if assert.Error(t, err, line) {
			assert.Contains(t, err.Error(), fmt.Sprintf("plan.yaml:%d:", i+1), line)
			assert.Contains(t, err.Error(), m[3], line)
		}
	}
}

func TestSettings(t *testing.T) {
	text := load(t, "every-key.yaml")
	p, err := read(text,
		"muting_points.sensitivity.stages.2.tube=6SK7",
		"receiver.supplies.heaters.earthed=center tap",
		"relay.1.clamp=diode and zener",
		"returns.mute_line.pulldown=4k7",
		"relay.1.hold.value=22 uF",
		"muting_points.sensitivity.also_to_chassis.value=10 kohm",
		"receiver.chassis=lug #2: beside X5",
	)
	require.NoError(t, err)
	assert.Equal(t, "6SK7", p.Points.Find("sensitivity").Gain.Stages.Items[1].Tube.Named)
	assert.Equal(t, plan.CentreTap, p.Receiver.Supplies.Find("heaters").Grounded.Is)
	assert.Equal(t, quantity.Ohms(4700), p.Returns.Find("mute_line").Pulldown.Is.Nominal)
	assert.Equal(t, document.Given, p.Points.Find("sensitivity").Gain.AlsoToChassis.State, "a block takes the place of none")
	assert.Equal(t, "lug #2: beside X5", p.Receiver.Chassis.Is)

	cases := []struct{ setting, want string }{
		{"relay.1.use=signal-dpdt-13v", `--set 1: relay.1.use: no relay "signal-dpdt-13v" in the catalogue; the nearest is signal-dpdt-12v; or write its figures out`},
		{"relay.1.supply=hv", `--set 1: relay.1.supply: no supply "hv"; wanted heaters or ht`},
		{"relay.6.use=choose", `--set 1: relay.6: relay has 2 elements; wanted a number from 1 to 3`},
		{"plan=2", `--set 1: plan: this plan is of version 2; this program reads version 1`},
		{"reciever.name=x", `--set 1: reciever: unknown key; the nearest is receiver`},
		{"muting_points.output.kind=antenna", "plan.yaml:70:5: muting_points.output.tube: key does not belong here; it goes with kind: output cathode"},
	}
	for _, c := range cases {
		t.Run(c.setting, func(t *testing.T) {
			_, err := read(text, c.setting)
			require.Error(t, err)
			first, _, _ := strings.Cut(err.Error(), "\n")
			assert.Equal(t, c.want, first)
		})
	}
}

func TestSum(t *testing.T) {
	// FIPS 180-2 (2002), appendix B.1: the digest of "abc".
	assert.Equal(t, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", plan.Sum([]byte("abc")))
	assert.NotEqual(t, plan.Sum([]byte("abc")), plan.Sum([]byte("abc"), ""))
	assert.NotEqual(t, plan.Sum(nil, "a=1", "b=2"), plan.Sum(nil, "b=2", "a=1"), "settings count in order")
	p, err := read(load(t, "least.yaml"))
	require.NoError(t, err)
	assert.Equal(t, plan.Sum([]byte(load(t, "least.yaml"))), p.SHA256)
}

func TestSupplyThatIsOnlyNamed(t *testing.T) {
	text := load(t, "least.yaml") + "relay: {supply: heaters}\n"
	p, err := read(text)
	require.NoError(t, err)
	heaters := p.Receiver.Supplies.Find("heaters")
	require.NotNil(t, heaters, "a supply of which nothing is known")
	assert.Equal(t, document.LeftOut, heaters.Voltage.State)
	assert.Equal(t, "receiver.supplies.heaters.voltage", heaters.Voltage.Path)

	_, err = read(text, "receiver.supplies.ht.kind=dc rail")
	assert.EqualError(t, err, `plan.yaml:10:17: relay.supply: no supply "heaters"; wanted ht`)
}

func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"testdata/*.yaml", "../../testdata/plans/*/*.yaml"} {
		files, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, file := range files {
			data, err := os.ReadFile(file)
			require.NoError(f, err)
			f.Add(data, "returns.mute_line.pulldown=4k7")
		}
	}
	f.Add([]byte("plan: 1"), "relay.1.use={coil: {voltage: 12 V}}")
	f.Fuzz(func(t *testing.T, data []byte, setting string) {
		p, err := plan.Read("plan.yaml", data, catalog.Default(), setting)
		if err != nil {
			require.Nil(t, p)
			var problems *document.Problems
			require.ErrorAs(t, err, &problems)
			for _, r := range err.Error() {
				require.True(t, r == '\n' || unicode.IsPrint(r), "%q", err.Error())
			}
			return
		}
		require.NotEmpty(t, p.Title.Is)
	})
}

func BenchmarkRead(b *testing.B) {
	data, err := os.ReadFile("testdata/every-key.yaml")
	require.NoError(b, err)
	catalogue := catalog.Default()
	for b.Loop() {
		if _, err := plan.Read("plan.yaml", data, catalogue); err != nil {
			b.Fatal(err)
		}
	}
}

// TestPlansAreRead reads the plans of the other rooms: whatever they are to
// show, it is not an error of the reader.
func TestPlansAreRead(t *testing.T) {
	for _, kind := range []string{"sound", "hurt"} {
		files, err := filepath.Glob("../../testdata/plans/" + kind + "/*.yaml")
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, file := range files {
			t.Run(filepath.Base(file), func(t *testing.T) {
				data, err := os.ReadFile(file)
				require.NoError(t, err)
				_, err = plan.Read(file, data, catalog.Default())
				assert.NoError(t, err)
			})
		}
	}
}
