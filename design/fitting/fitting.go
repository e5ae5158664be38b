// Package fitting turns answers into things a technician handles: lettered
// contacts, parts with ratings, numbered wires and readings to take.
package fitting

// A Fitting is everything that is soldered in, and everything that is measured.
type Fitting struct {
	Wiring   Wiring
	Parts    []Entry
	Wires    []Wire
	Readings []Reading
	Relays   []string     // their references: "K1"
	Faults   []FaultState // what is muted and guarded when something is off or broken
	Standby  []Standby    // controls that the set already has
	Mains    MainsTest
}

// An Entry is one line of the parts list.
type Entry struct {
	Ref    string   // "C901", "K1", "TS901"
	What   string   // "reservoir capacitor"
	Value  string   // "470 µF"
	Rating string   // "35 V, 105 °C type"
	Why    string   // the working in a sentence: "highest supply 22.4 V × 1.25"
	Leads  []string // "anode to TS901-0, cathode to TS901-2"
}

// A Reading is one measurement in the order of the work.
type Reading struct {
	ID      string   // "M1"
	State   string   // unplugged, receive, muted, timing, mains
	Between []string // two places
	Meter   string   // "DC V, 10 MΩ"
	Range   string   // "20 V", "2 ms/div"; "" where the meter has but one
	Unit    string   // SI symbol without prefix: "V"
	Control string   // position of the gain control, where it matters
	Low     float64  // in Unit
	High    float64  // in Unit
	Over    bool     // it may be more than High too, which nobody counts
	Why     string
}
