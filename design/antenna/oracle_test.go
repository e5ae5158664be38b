package antenna_test

import (
	"math"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/antenna"
)

const deck = "testdata/oracle/antenna-ladders"

var printed = regexp.MustCompile(`(?m)^(\S+) = (\S+)$`)

// numbers reads what ngspice prints.
func numbers(t *testing.T, text []byte) map[string]float64 {
	t.Helper()
	values := map[string]float64{}
	for _, m := range printed.FindAllSubmatch(text, -1) {
		v, err := strconv.ParseFloat(string(m[2]), 64)
		require.NoError(t, err)
		values[string(m[1])] = v
	}
	require.NotEmpty(t, values)
	return values
}

func recorded(t *testing.T) map[string]float64 {
	t.Helper()
	text, err := os.ReadFile(deck + ".out")
	require.NoError(t, err)
	return numbers(t, text)
}

// The ladders at 28 MHz with 3.5 W arriving, against ngspice 39 within 0.1 %.
func TestLaddersAgainstNgspice(t *testing.T) {
	want := recorded(t)
	for _, c := range []struct {
		name      string
		kind      antenna.Kind
		legs      antenna.Legs
		impedance float64
		volts     string // across the input
		amps      string // in the short's contact
		open      string // across the series contact
	}{
		{"short, one leg", antenna.Short, antenna.One, 50, "vm(t1)", "mag((v(t1)-v(m1))/50m)", ""},
		{"changeover, one leg", antenna.Changeover, antenna.One, 50, "vm(i2)", "mag((v(i2)-v(m2))/50m)", "mag(v(t2)-v(i2))"},
		{"short, each leg", antenna.Short, antenna.Each, 300, "vm(t3,t4)", "", ""},
		{"changeover, across", antenna.Changeover, antenna.Across, 300, "vm(i5,i6)", "mag((v(i5)-v(m5))/50m)", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := guard(c.impedance, 28e6)
			g.Kind, g.Legs, g.Power, g.Coupling = c.kind, c.legs, 3.5, 0
			r := solve(t, g)
			within(t, 51.6839e-9, r.Henries, 1e-4, "inductance in the deck")
			matched := math.Sqrt(3.5 * c.impedance)
			within(t, want[c.volts], matched*math.Pow(10, -r.Loss.Value/20), 0.001, "volts left")
			if c.amps != "" {
				within(t, want[c.amps], r.ContactCurrent.Value, 0.001, "contact current")
			}
			if c.open != "" {
				within(t, want[c.open], r.OpenVolts.Value, 0.001, "open voltage")
			}
		})
	}
}

// The recorded numbers are those of the deck, where ngspice is installed.
func TestDeckStillSaysSo(t *testing.T) {
	ngspice, err := exec.LookPath("ngspice")
	if err != nil {
		t.Skip("ngspice is not installed")
	}
	out, err := exec.Command(ngspice, "-b", deck+".cir").Output()
	if err != nil {
		t.Log(err) // batch mode ends with status 1 when a deck has no .print line
	}
	live := numbers(t, out)
	want := recorded(t)
	assert.Len(t, live, len(want))
	for name, value := range want {
		within(t, value, live[name], 1e-5, name)
	}
}
