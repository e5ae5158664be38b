// Package plan reads a plan file into typed values, each with its doubt, its
// place in the file and whether it was given, left out or unknown. Names are
// looked up; nothing is judged, and nothing that was left out is filled in.
package plan

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"

	"mutewright/catalog"
	"mutewright/design/document"
)

// Version is the version of the plan format that is read.
const Version = 1

// Plan is what a plan file says.
type Plan struct {
	Block
	SHA256      string // of the file, and of the settings laid over it: see [Sum]
	Version     Count
	Title       Text
	DrawnBy     Text
	Date        Text // printed as given
	Receiver    Receiver
	Points      document.Map[Point]  // key muting_points
	Returns     document.Map[Return] // points that share a lifted node
	Relays      document.List[Relay] // key relay: one block, or a list
	Control     Control
	Wanted      Wanted
	Transmitter Transmitter
}

// SeriesHeaters tells whether the chassis is tied to a mains conductor, so
// that no interface can be fitted and nothing after receiver is needed.
func (p *Plan) SeriesHeaters() bool {
	i := p.Receiver.Mains.Isolation
	return i.Given() && i.Is == NoIsolation
}

// Fields binds the keys of a plan.
func (p *Plan) Fields() []document.Field {
	connected := func() bool { return !p.SeriesHeaters() }
	return []document.Field{
		document.Count("plan", &p.Version).Required().From(Version).To(Version),
		document.Text("title", &p.Title).Required(),
		document.Text("drawn_by", &p.DrawnBy),
		document.Text("date", &p.Date),
		document.Block("receiver", &p.Receiver).Required(),
		document.MapOf("muting_points", &p.Points, point).RequiredIf(connected).AtLeast(1).AtMost(16).Except("depth", "all"),
		document.MapOf("returns", &p.Returns, document.Block[Return]).AtMost(16).Except("depth", "all"),
		document.ListOf("relay", &p.Relays, document.Block[Relay]).OrOne().AtLeast(1).AtMost(4),
		document.Block("control", &p.Control),
		document.Block("wanted", &p.Wanted),
		document.Block("transmitter", &p.Transmitter).RequiredIf(connected),
	}
}

// point is an entry of muting_points: without its kind it is none.
func point(key string, slot *Point) document.Field { return document.Block(key, slot).Required() }

// Read reads a plan from the bytes of a file, named as typed, with settings
// (path=value) laid over it in order. Names of tubes and relays are looked up
// in the catalogue. The error is [*document.Problems]: all that is wrong.
func Read(file string, data []byte, catalogue *catalog.Catalog, settings ...string) (*Plan, error) {
	d := document.Parse(file, data)
	d.Set(settings...)
	if laterVersion(d) {
		return nil, d.Err()
	}
	p := &Plan{SHA256: Sum(data, settings...)}
	d.Read(p)
	p.resolve(d, catalogue)
	if err := d.Err(); err != nil {
		return nil, err
	}
	return p, nil
}

// laterVersion reports a plan of a version that this program cannot know the
// keys of, before they all look wrong.
func laterVersion(d *document.Document) bool {
	text, at, ok := d.Scalar("plan")
	if !ok {
		return false
	}
	n, err := strconv.Atoi(text)
	if err != nil || n <= Version {
		return false
	}
	d.Report(at, fmt.Sprintf("this plan is of version %d", n), fmt.Sprintf("this program reads version %d", Version))
	return true
}

// Sum returns the SHA-256, in hexadecimal, by which a result names its plan:
// of the file's bytes, followed for each setting by a zero byte and its text.
func Sum(data []byte, settings ...string) string {
	h := sha256.New()
	h.Write(data)
	for _, s := range settings {
		h.Write([]byte{0})
		h.Write([]byte(s))
	}
	return hex.EncodeToString(h.Sum(nil))
}
