package design

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/catalog"
	"mutewright/design/finding"
	"mutewright/design/plan"
)

// alike is by how much a row may differ from a check, relative: the row is worked
// out at the corners that decide, the check over the whole box.
const alike = 2e-3

// The first, a middle and the last row of a ranking give the numbers of a check
// with those choices set: on a set with one relay, with two returns, and with two
// relays behind a transistor.
func TestRowsAreWhatACheckSays(t *testing.T) {
	if testing.Short() {
		t.Skip("ranks three plans")
	}
	cat := catalog.Default()
	for _, name := range []string{"larkmoor-seven", "corrie-two-returns", "pendrake-high-voltage"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			data, err := os.ReadFile("../testdata/plans/sound/" + name + ".yaml")
			require.NoError(t, err)
			p, err := plan.Read(name, data, cat)
			require.NoError(t, err)
			list, err := Rank(p, cat, nil)
			require.NoError(t, err)
			for _, r := range list {
				for _, i := range []int{0, len(r.Rows) / 2, len(r.Rows) - 1} {
					row := r.Rows[i]
					t.Run(row.Relay, func(t *testing.T) {
						q, err := plan.Read(name, data, cat, row.Setup.Settings()...)
						require.NoError(t, err)
						d, err := New(q, cat)
						require.NoError(t, err)
						row.isWhatItSays(t, d)
					})
				}
			}
		})
	}
}

// isWhatItSays holds the row against a check with its setup.
func (r Row) isWhatItSays(t *testing.T, d *Design) {
	block := r.Setup.block
	for _, c := range d.Chosen { // what the row's drive has is settled
		assert.NotContains(t, r.Setup.Settings(), c.At+"="+c.Plain)
	}
	said := margins(d.facts, d.answers, block)
	if r.Verdict >= finding.Fail { // a row that fails is not asked when it works
		said = slices.DeleteFunc(said, func(m Margin) bool { return strings.HasSuffix(m.Key, "_time") })
	}
	require.Len(t, said, len(r.Margins))
	for i, m := range r.Margins {
		assert.Equal(t, said[i].Key, m.Key)
		assert.InEpsilon(t, said[i].Ratio, m.Ratio, alike, m.Key)
	}
	for _, name := range []string{"drive.winding.current", "drive.winding.load", "drive.buffer.gain", "control.open", "control.closed", "control.kick"} {
		of, ok := r.Quantities.Get(name)
		in, same := d.Quantities.Get(name)
		require.Equal(t, same, ok, name)
		assert.InDelta(t, in.High, of.High, alike*in.High, name)
	}
	assert.Equal(t, d.answers.Poles.Spare[block], r.Spare)
	for _, f := range r.Findings {
		found := false
		for _, g := range d.Findings {
			found = found || g.ID == f.ID && g.At == f.At && g.Severity == f.Severity
		}
		assert.True(t, found, "%s at %s", f.ID, f.At)
	}
	assert.LessOrEqual(t, r.Verdict, d.Verdict)
}
