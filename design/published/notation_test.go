package published_test

import (
	"fmt"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/quantity"
)

// parse reads a plain number.
func parse(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// farads reads a capacitance as a plan writes it.
func farads(t *testing.T, text string) float64 {
	t.Helper()
	v, err := quantity.Parse[quantity.Farads](text)
	require.NoError(t, err)
	return float64(v)
}

// notation holds the preferred values and the letter codes of plans.
func notation(t *testing.T) []row {
	var rows []row
	for _, series := range []struct {
		name   string
		values catalog.Series
		want   []string
	}{
		{"E24", catalog.E24, []string{"10", "11", "12", "13", "15", "16", "18", "20", "22", "24", "27", "30", "33", "36", "39", "43", "47", "51", "56", "62", "68", "75", "82", "91"}},
		{"E12", catalog.E12, []string{"10", "12", "15", "18", "22", "27", "33", "39", "47", "56", "68", "82"}},
		{"E6", catalog.E6, []string{"10", "15", "22", "33", "47", "68"}},
	} {
		require.Len(t, series.values, len(series.want), series.name)
		for i, want := range series.want {
			rows = append(rows, row{what: fmt.Sprintf("%s, value %d", series.name, i+1), want: want, ours: series.values[i],
				source: "IEC 60063 (2015)" + secondHand, mark: published})
		}
	}
	const codes = "IEC 60062 (2016)"
	ohms := func(code, want string) {
		v, err := quantity.Parse[quantity.Ohms](code)
		require.NoError(t, err)
		rows = append(rows, row{what: "letter code " + code, want: want, unit: "Ω", ours: float64(v), source: codes, mark: memory})
	}
	for _, c := range [][2]string{{"R47", "0.47"}, {"4R7", "4.7"}, {"270R", "270"}, {"4k7", "4700"}, {"10K", "10000"}, {"1M5", "1500000"}} {
		ohms(c[0], c[1])
	}
	for _, c := range []struct {
		code, want, unit string
		scale            float64
	}{{"p33", "0.33", "pF", 1e12}, {"10n", "10", "nF", 1e9}, {"4n7", "4.7", "nF", 1e9}, {"2u2", "2.2", "µF", 1e6}, {"22µ", "22", "µF", 1e6}} {
		rows = append(rows, row{what: "letter code " + c.code, want: c.want, unit: c.unit, ours: c.scale * farads(t, c.code), source: codes, mark: memory})
	}
	return rows
}
