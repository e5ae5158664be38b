package mains_test

import (
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/mains"
)

const deck = "testdata/oracle/mains-two-capacitors"

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

// The two-capacitor network on the loads, against ngspice 39 within 0.2 %.
func TestTwoCapacitorsAgainstNgspice(t *testing.T) {
	want := recorded(t)
	leak, err := mains.Leakage(mains.Source{Volts: 230, Hertz: 50, Stray: 300e-12, Switch: mains.Line,
		Capacitors: []mains.Capacitor{{Farads: 10e-9, From: mains.Line}, {Farads: 4.7e-9, From: mains.Neutral}},
	}, mains.OneMegOhms)
	require.NoError(t, err)
	for _, c := range []struct {
		name, letter string
		state        mains.State
	}{
		{"straight", "a", mains.State{}},
		{"reversed", "b", mains.State{Reversed: true}},
		{"reversed, switched off", "c", mains.State{Reversed: true, Off: true}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := find(t, leak, c.state)
			for _, v := range []struct {
				probe string
				value float64
			}{
				{"thr", got.Network},
				{"out", got.Weighted * 500},
				{"2k", got.Touch * 2000},
				{"sh", got.Shunt},
				{"1m", got.Meters[0]},
			} {
				within(t, want["vm("+c.letter+v.probe+")"], v.value, 0.002, v.probe)
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
