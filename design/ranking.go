package design

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync/atomic"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/beside"
	"mutewright/design/document"
	"mutewright/design/finding"
	"mutewright/design/known"
	"mutewright/design/plan"
	"mutewright/design/rule"
)

// A Ranking is the relays of the catalogue on one relay's place in a plan, each
// with its best drive, the best first.
type Ranking struct {
	Title       string
	Fingerprint string
	Refused     bool   // no interface may be built on this set
	At          string // key path of the place: "relay", "relay.2"
	Serves      []string
	Rows        []Row
}

// Serving is how many relays serve; they stand first.
func (r *Ranking) Serving() int {
	n := 0
	for n < len(r.Rows) && r.Rows[n].Serves() {
		n++
	}
	return n
}

// A Row is one relay on a plan.
type Row struct {
	Relay, What string
	Latching    bool
	Setup       Setup
	HasDrive    bool // the plan allows a drive
	Verdict     finding.Severity
	Findings    []finding.Finding // on which the relay or its drive has a say, worst first
	Margins     []Margin
	Quantities  answer.Set // worst case at the bad ends only
	Dry         bool       // its contacts are rated for a dry circuit
	Spare       int        // poles left
}

// Serves tells whether the relay may be taken.
func (r Row) Serves() bool { return r.Verdict < finding.Fail }

// Reasons are what is wrong with the relay here, in words, worst first.
func (r Row) Reasons() []string {
	var list []string
	for _, f := range r.Findings {
		if f.Severity >= finding.Caution {
			list = append(list, f.Says)
		}
	}
	return list
}

// Least is the smallest of the margins; it is not ok where there is none.
func (r Row) Least() (least Margin, ok bool) {
	for i, m := range r.Margins {
		if i == 0 || m.Ratio < least.Ratio {
			least = m
		}
	}
	return least, len(r.Margins) > 0
}

// Smallest is the ratio of the smallest margin, 0 where there is none.
func (r Row) Smallest() float64 {
	least, _ := r.Least()
	return least.Ratio
}

// Load is what the winding carries, heaters and drive together, of its rating;
// where that is not known, the drive's own current, A.
func (r Row) Load() float64 {
	for _, name := range []string{"drive.winding.load", "drive.winding.current"} {
		if q, ok := r.Quantities.Get(name); ok {
			return q.High
		}
	}
	return 0
}

// Rank works every relay of the catalogue out on a plan: one ranking for each
// relay that the plan leaves to the program, or for every one where it leaves
// none. What a plan says of a relay's drive is left open, too: every relay has
// its best. progress, which may be nil, is told how many of all relays are done.
// The error is a failure to solve.
func Rank(p *plan.Plan, cat *catalog.Catalog, progress func(done, all int)) ([]*Ranking, error) {
	blocks := relayBlocks(p)
	wanted := wantedBlocks(blocks)
	if known.From(p, cat).Refused {
		return []*Ranking{{Title: p.Title.Is, Fingerprint: p.SHA256, Refused: true}}, nil
	}
	var done atomic.Int64
	all := len(wanted) * len(cat.Relays())
	step := func() {
		n := int(done.Add(1))
		if progress != nil {
			progress(n, all)
		}
	}
	var list []*Ranking
	for _, block := range wanted {
		r, err := rank(p, cat, block, cat.Relays(), openKeys(blocks, block, true), step)
		if err != nil {
			return nil, err
		}
		list = append(list, r)
		if top := r.Rows; len(top) > 0 && len(wanted) > 1 && blocks[block].Use.State == document.Choose {
			p, _ = top[0].Setup.take(p, cat.Relay(top[0].Relay)) // the next one stands beside it
			blocks = relayBlocks(p)
		}
	}
	return list, nil
}

// wantedBlocks are the relays that are left to the program, else all.
func wantedBlocks(blocks []plan.Relay) []int {
	var chosen, all []int
	for i := range blocks {
		all = append(all, i)
		if blocks[i].Use.State == document.Choose {
			chosen = append(chosen, i)
		}
	}
	if len(chosen) > 0 {
		return chosen
	}
	return all
}

// openKeys are the keys of a setup that are left to the program: of the relay
// itself all where everything is free, else those that the plan leaves open. The
// drive is the first relay's: for a further one, that stands on it, it is settled
// with it as far as the plan leaves it open.
func openKeys(blocks []plan.Relay, block int, free bool) []string {
	var open []string
	first, own := &blocks[0], &blocks[block]
	free0 := free && block == 0
	take := func(key string, at document.Source) {
		choose := at.State == document.Choose
		omitted := at.State == document.LeftOut || at.State == document.Unknown
		if free0 || choose || omitted && first.Use.State == document.Choose {
			open = append(open, key)
		}
	}
	take(keyRectifier, first.Rectifier.Source)
	if slices.Contains(open, keyRectifier) && (free0 || !first.Reservoir.Given()) {
		open = append(open, keyReservoir)
	}
	take(keyBuffer, first.Buffer.Source)
	if free0 || first.Fuse.State != document.Given && first.Fuse.State != document.None {
		open = append(open, keyFuse)
	}
	if free && own.Clamp.Given() && own.Clamp.Is == plan.NoClamp {
		open = append(open, keyClamp)
	}
	for i := range blocks {
		at := blocks[i].Dropper.State
		if i == block && free || at != document.Given && at != document.None {
			open = append(open, dropperOf(i))
		}
	}
	return open
}

// rank works relays out on one block of a plan.
func rank(p *plan.Plan, cat *catalog.Catalog, block int, relays []*catalog.Relay, open []string, step func()) (*Ranking, error) {
	return newBench(p, cat, block, open).rank(relays, step)
}

// serving ranks the relays that may serve, without working the others out; it has no
// rows where none does.
func (b *bench) serving(relays []*catalog.Relay) (*Ranking, error) {
	able, err := b.able(relays)
	if err != nil || len(able) == 0 {
		return new(Ranking), err
	}
	r, err := b.rank(able, func() {})
	if err != nil {
		return nil, err
	}
	r.Rows = r.Rows[:r.Serving()]
	return r, nil
}

// rank works relays out, whatever bars them.
func (b *bench) rank(relays []*catalog.Relay, step func()) (*Ranking, error) {
	if err := b.look(); err != nil {
		return nil, err
	}
	tries := make([]try, len(relays))
	if err := beside.Each(len(relays), func(i int) (err error) {
		tries[i], err = b.try(relays[i])
		return err
	}); err != nil {
		return nil, err
	}
	for i := range tries { // one by one: the first that needs something decides its last digits
		if err := b.share(&tries[i]); err != nil {
			return nil, err
		}
	}
	rows := make([]Row, len(relays))
	if err := beside.Each(len(relays), func(i int) (err error) {
		rows[i], err = b.row(&tries[i])
		step()
		return err
	}); err != nil {
		return nil, err
	}
	slices.SortStableFunc(rows, compareRows)
	own := known.From(b.plan, b.cat).Relays[b.block]
	return &Ranking{Title: b.plan.Title.Is, Fingerprint: b.plan.SHA256, At: own.At, Serves: own.Serves, Rows: rows}, nil
}

// compareRows ranks: what serves first, those with contacts that are fit for what
// they switch before the others, by its smallest margin, then by the winding's load.
// Of what does not serve, relays that only their timing bars come before the others
// (of which it was not asked), those before relays that lack a contact or a drive,
// and of each the one with fewest grave findings; latching relays last. Margins that
// print alike are alike.
func compareRows(a, b Row) int {
	return cmp.Or(
		cmp.Compare(a.place(), b.place()),
		cmp.Compare(a.grave(), b.grave()),
		cmp.Compare(toHundredth(b.Smallest()), toHundredth(a.Smallest())),
		cmp.Compare(a.Load(), b.Load()),
		strings.Compare(a.Relay, b.Relay),
	)
}

// unmade are the findings of a relay that lacks what the work needs, whatever its
// margins are.
var unmade = []string{"contact.poles", "contact.form", "contact.serves"}

// place is the class in which a row is ranked, the best 0.
func (r Row) place() int {
	switch {
	case r.Latching:
		return 5
	case r.Serves() && r.Fit():
		return 0
	case r.Serves():
		return 1
	case !r.HasDrive, slices.ContainsFunc(r.Findings, func(f finding.Finding) bool { return slices.Contains(unmade, f.ID) }):
		return 4
	case slices.ContainsFunc(r.Findings, func(f finding.Finding) bool {
		return f.Severity >= finding.Fail && !strings.HasPrefix(f.ID, "timing.")
	}):
		return 3
	}
	return 2
}

// Fit tells whether the contacts are fit for what they switch: no margin tells of a
// film that a dry circuit does not break.
func (r Row) Fit() bool {
	return !slices.ContainsFunc(r.Findings, func(f finding.Finding) bool { return f.ID == "contact.least_load" })
}

// grave is how many findings bar the relay.
func (r Row) grave() (n int) {
	for _, f := range r.Findings {
		if f.Severity >= finding.Fail {
			n++
		}
	}
	return n
}

// A bench works the relays of a catalogue out on one block of a plan.
type bench struct {
	*sizer
	windows map[string]map[string]answer.Window // by what the contacts bear
	trials  map[string]*answer.Trial            // by the pulldowns that follow
}

func newBench(p *plan.Plan, cat *catalog.Catalog, block int, open []string) *bench {
	return &bench{
		sizer:  &sizer{plan: p, cat: cat, block: block, open: open},
		trials: map[string]*answer.Trial{}, windows: map[string]map[string]answer.Window{},
	}
}

// able keeps the relays that may serve. What bars the others is known before a drive
// is solved: contacts, poles or insulation, which no drive mends, or a coil that the
// supply misses by far.
func (b *bench) able(relays []*catalog.Relay) ([]*catalog.Relay, error) {
	list, err := b.ableContacts(relays)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	if err := b.look(); err != nil {
		return nil, err
	}
	bars := make([]bool, len(list))
	if err := beside.Each(len(list), func(i int) error {
		with, ok, err := b.sketch(list[i])
		bars[i] = !ok || with.own < hopeless
		return err
	}); err != nil {
		return nil, err
	}
	var able []*catalog.Relay
	for i, entry := range list {
		if !bars[i] {
			able = append(able, entry)
		}
	}
	return able, nil
}

// ableContacts keeps the relays that nothing but a drive may bar.
func (b *bench) ableContacts(relays []*catalog.Relay) ([]*catalog.Relay, error) {
	var list []*catalog.Relay
	for _, entry := range relays {
		blank := b.blank(nameOf(entry))
		t := try{entry: entry, sized: sized{Setup: blank, facts: known.From(blank.lay(b.plan, entry), b.cat)}}
		if err := b.share(&t); err != nil {
			return nil, err
		}
		a, err := t.trial.Ask(t.facts, t.windows, answer.Set{})
		if err != nil {
			return nil, fmt.Errorf("relay %s: %w", t.Relay, err)
		}
		if !slices.ContainsFunc(b.concerns(rule.Judge(t.facts, a, b.cat), t.facts, a), barsForGood) {
			list = append(list, entry)
		}
	}
	return list, nil
}

// barsForGood tells whether a finding bars a relay whatever its drive.
func barsForGood(f finding.Finding) bool {
	family, _, _ := strings.Cut(f.ID, ".")
	return f.Severity >= finding.Fail && (family == "contact" || family == "antenna" || f.ID == "return.window" || f.ID == "drive.latching")
}

// A try is one relay with its drive, and what it shares with others.
type try struct {
	entry *catalog.Relay
	sized
	hasDrive bool
	windows  map[string]answer.Window
	trial    *answer.Trial
}

// try chooses the drive of a relay.
func (b *bench) try(entry *catalog.Relay) (try, error) {
	with, ok, err := b.size(entry)
	return try{entry: entry, sized: with, hasDrive: ok}, err
}

// share finds, once, what is common to all relays whose contacts bear as much:
// the windows of the pulldowns, and with the same pulldowns all about the returns.
func (b *bench) share(t *try) error {
	f := t.facts
	key := contactsKey(f)
	windows, ok := b.windows[key]
	if !ok {
		windows = map[string]answer.Window{}
		for r := range f.Returns {
			w, err := answer.FindWindow(f, r)
			if err != nil {
				return fmt.Errorf("relay %s: %w", t.Relay, err)
			}
			windows[f.Returns[r].Name] = w
		}
		b.windows[key] = windows
	}
	t.windows = windows
	var pulldowns []float64
	for r := range f.Returns {
		takePulldown(f, r, windows[f.Returns[r].Name])
		pulldowns = append(pulldowns, nominal(f, f.Returns[r].Pulldown))
	}
	same := fmt.Sprint(pulldowns)
	if b.trials[same] == nil {
		trial, err := answer.NewTrial(f, windows)
		if err != nil {
			return fmt.Errorf("relay %s: %w", t.Relay, err)
		}
		b.trials[same] = trial
	}
	t.trial = b.trials[same]
	return nil
}

// contactsKey is what a pulldown's window takes from the relays: the highest
// voltage that the contact in each return may break.
func contactsKey(f *known.Facts) string {
	var key []float64
	for _, r := range f.Returns {
		key = append(key, answer.ContactVolts(f, r.Name))
	}
	return fmt.Sprint(key)
}

// row asks and judges one relay with its drive.
func (b *bench) row(t *try) (Row, error) {
	row := Row{
		Relay: t.Relay, What: t.entry.What.Is, Latching: t.entry.Latching.Given() && t.entry.Latching.Is,
		Setup: t.Setup, HasDrive: t.hasDrive,
	}
	f := t.facts
	a, err := t.trial.Ask(f, t.windows, t.set)
	if err != nil {
		return row, fmt.Errorf("relay %s: %w", row.Relay, err)
	}
	found := b.concerns(rule.Judge(f, a, b.cat), f, a)
	if finding.Verdict(found) < finding.Fail { // when it works matters only where it works
		if err := t.trial.AskTiming(a, f); err != nil {
			return row, fmt.Errorf("relay %s: %w", row.Relay, err)
		}
		found = b.concerns(rule.Judge(f, a, b.cat), f, a)
	}
	row.Findings, row.Verdict = found, finding.Verdict(found)
	row.Quantities = a.Set
	row.Margins = margins(f, a, b.block)
	row.Dry = answer.DryRated(f, b.block)
	row.Spare = a.Poles.Spare[b.block]
	return row, nil
}

// ofOneRelay are the findings about a drive that are those of one relay alone; the
// others are shared by all relays on it. Another relay that is still to be chosen
// may get better ones; one that the plan has must live with this relay beside it.
var ofOneRelay = []string{"drive.operate", "drive.ceiling", "drive.release", "drive.clamp", "drive.latching"}

// concerns keeps the findings on which the relay of the block has a say.
func (b *bench) concerns(all []finding.Finding, f *known.Facts, a *answer.Answers) []finding.Finding {
	own := f.Relays[b.block]
	refused := false
	for _, r := range a.Poles.Refusals {
		refused = refused || slices.Contains(own.Serves, r.Serves)
	}
	return slices.DeleteFunc(all, func(g finding.Finding) bool {
		family, _, _ := strings.Cut(g.ID, ".")
		switch {
		case g.ID == "return.window":
			return !slices.ContainsFunc(slices.Collect(maps.Values(a.Window)), func(w answer.Window) bool {
				return w.Empty() && w.MostAt == own.At+".use"
			})
		case g.ID == "contact.poles", g.ID == "contact.form", g.ID == "contact.serves":
			return !refused
		case slices.Contains(ofOneRelay, g.ID) || family == "contact":
			for i := range f.Relays {
				if i != b.block && f.Relays[i].Choose && strings.HasPrefix(g.At, f.Relays[i].At+".") {
					return true
				}
			}
			return false
		case family == "drive", family == "control", family == "antenna", family == "timing":
			return false
		}
		return true
	})
}
