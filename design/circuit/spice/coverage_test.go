package spice_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/design/circuit/spice"
	"mutewright/design/drive"
)

// A shape is something that the decks cover together, and the decks that do.
type shape struct{ covers, decks string }

// shapes are all that must have a deck.
func shapes() []shape {
	return []shape{
		{"rectifiers of the table of small rectifiers, 60 and 50 Hz", `rectifier-half-wave-257-60hz rectifier-half-wave-257-50hz rectifier-half-wave-80-60hz
			rectifier-half-wave-80-50hz rectifier-bridge-178-60hz rectifier-bridge-178-50hz rectifier-doubler-1028-60hz rectifier-doubler-1028-50hz
			rectifier-doubler-400-60hz rectifier-doubler-400-50hz`},
		{"each rectifier on each winding that it may stand on", legal()},
		{"flat-topped mains, the fuse in the winding's lead", "mains-clipped-doubler drive-doubler-flat-top drive-doubler-fused"},
		{"coils made and broken with each clamp, cold and hot, with and without a hold capacitor", keyed()},
		{"the same at other temperatures, behind a dropper, with a hold that is steady", "coil-bare coil-diode coil-zener drive-key-dropper drive-key-hold drive-doubler-hold"},
		{"buffers, at rest, steady and keyed", "buffer-npn-op buffer-npn buffer-pnp drive-doubler-npn drive-doubler-pnp drive-key-npn-source drive-key-pnp"},
		{"tubes on receive, lifted, being muted, as amplifiers", "tube-receive tube-lifted-10k tube-lifted-100k tube-mute-22u tube-gain-ac"},
		{"lifted output stage, with and without its pulldown", "lifted-output lifted-output-unguarded"},
		{"lifted returns with a bleeder, control at both ends, pulldown missing", "lifted-bleeder-full lifted-bleeder-least lifted-bleeder-unguarded"},
		{"with screen droppers, control at both ends", "lifted-droppers lifted-droppers-least"},
		{"with shared screens", "lifted-shared-screens"},
		{"other wirings of the control", "lifted-divider lifted-far-end-chassis"},
		{"both placements of the bypass", "lifted-click-chassis lifted-click-return lifted-impedance"},
		{"key down and up, the whole interface", "sequence"},
		{"leakage networks in the states of plug and switch", "leakage-straight leakage-reversed leakage-reversed-off leakage-off"},
		{"antenna guards", `network-rlc-ac guard-short-one-leg guard-changeover-one-leg guard-open-and-short guard-short-each-leg guard-short-each-alike
			guard-short-across guard-changeover-across guard-receive-loss`},
		{"ten legal plans at random: their returns", numbered("random-%02d-returns", 10)},
		{"and their drives", numbered("random-%02d-drive", 10)},
	}
}

// legal names a deck for each rectifier and winding of the table of the two.
func legal() string {
	var names []string
	for _, r := range []struct {
		drive.Rectifier
		name string
	}{{drive.HalfWave, "half-wave"}, {drive.FullWave, "full-wave"}, {drive.Bridge, "bridge"}, {drive.Doubler, "doubler"}} {
		for _, on := range []struct {
			drive.Grounding
			name string
		}{
			{drive.OneSide, "one-side"}, {drive.CentreTap, "centre-tap"}, {drive.HumPot, "hum-pot"}, {drive.Floating, "floating"},
			{drive.FloatingTap, "floating-tap"}, {drive.Biased, "biased"}, {drive.RectifierFilament, "filament"},
		} {
			if drive.Legal(r.Rectifier, on.Grounding).OK() {
				names = append(names, "drive-"+r.name+"-"+on.name)
			}
		}
	}
	return strings.Join(names, " ")
}

// keyed names a deck for each clamp, temperature and hold.
func keyed() string {
	var names []string
	for _, hold := range []string{"", "hold-"} {
		for _, clamp := range []string{"none", "diode", "zener"} {
			for _, coil := range []string{"cold", "hot"} {
				names = append(names, "drive-key-"+hold+clamp+"-"+coil)
			}
		}
	}
	return strings.Join(names, " ")
}

func numbered(form string, n int) string {
	var names []string
	for i := range n {
		names = append(names, fmt.Sprintf(form, i+1))
	}
	return strings.Join(names, " ")
}

// least is how many decks there must be.
const least = 40

// Every deck covers something that is named here, and all that is named has its
// decks and their records, none of which compares nothing.
func TestWhatTheDecksCover(t *testing.T) {
	covered := map[string]string{}
	for _, k := range shapes() {
		names := strings.Fields(k.decks)
		t.Logf("%2d %s", len(names), k.covers)
		for _, name := range names {
			assert.Empty(t, covered[name], "%s covers two shapes", name)
			covered[name] = k.covers
		}
	}
	paths, err := filepath.Glob("../../../testdata/oracle/*.cir")
	require.NoError(t, err)
	t.Logf("%2d in all", len(paths))
	assert.GreaterOrEqual(t, len(paths), least)
	for _, path := range paths {
		name := strings.TrimSuffix(filepath.Base(path), ".cir")
		assert.NotEmpty(t, covered[name], "%s is named by no shape", name)
		delete(covered, name)
		text, err := os.Open(path)
		require.NoError(t, err)
		deck, err := spice.Read(text)
		require.NoError(t, err, name)
		require.NoError(t, text.Close())
		assert.Len(t, spice.Recorded(t, path), len(deck.Measures), "%s and its record", name)
	}
	assert.Empty(t, covered, "named, but there is no such deck")
}
