package fitting

// Wiring is what the wiring diagram shows: the drive of every relay, one group
// for every return, one for every antenna or audio point, the set's own standby
// terminals, and the jack. It holds words and volts, never places on paper.
type Wiring struct {
	Drive    Drive
	Groups   []Group
	Guards   []Guard
	Standby  []Terminals
	Spare    []string // lugs that stay free: "K1a make", "K2b"
	Released string   // state of the contacts as drawn: "on receive, and with the set off"
}

// A Level is a voltage to chassis as the diagram shows it, volts. Low and High
// bound it; Alternating marks rms volts of an alternating supply.
type Level struct {
	Low, Nominal, High float64
	Alternating        bool
}

// A Flag gives the volts at one joint in the set's two states. A flag whose two
// levels print alike is drawn as one cell.
type Flag struct {
	Receive, Muted Level
}

// A Joint is a solder point: a box in the diagram, an end in the wire table.
type Joint struct {
	ID    string // unique in the sheet: "TS901-3", "K1a break", "X2 tag 1"
	Label string // inside the box: "3", "break", "X2 tag 1"
	Words string // in the wire table: "TS901-3", "K1a break (pin 6)", "E902, lug at K1"
	Added bool   // thick box: a tag, lug or jack contact that the job adds
	Along bool   // no solder point, no box: where a part sits in the run of a wire
	Flag  *Flag  // volts at the joint, where they are worth a flag
}

// A Wire is one added wire. Number 0 means not numbered yet.
type Wire struct {
	Number     int
	From, To   *Joint
	Colour     string  // IEC 60757 letters: "BK", "GY"
	Size       string  // conductor: "0.5 mm²", or a diameter "0.6 mm"
	Insulation float64 // V, of the wire asked for
	Longest    float64 // m, longest permitted; 0: as needed
	Carries    string  // quantity stem: "return.mute_line", "drive", "antenna.aerial"
}

// PartKind selects a symbol.
type PartKind uint8

// The kinds of part that a diagram can show.
const (
	Resistor PartKind = iota
	Capacitor
	Electrolytic
	Diode
	Zener
	Fuse
	TransistorNPN
	TransistorPNP
	Bridge // four diodes; the parts list names each with its two joints
	Coil
)

// A Part is one added component with its joints in the order of its kind:
// resistor and fuse either way; electrolytic plus first; diode anode first;
// zener anode first; transistor collector, base, emitter; bridge a.c., a.c.,
// plus, minus; coil A1, A2.
type Part struct {
	Ref    string // "C901"; a bridge "D901–904"
	Kind   PartKind
	Value  string   // "470 µF", "1N4007 class"
	Rating string   // "35 V", "½ W"
	Words  []string // further lines beside the symbol
	Joints []*Joint
}

// An Item is one element of a lane; exactly one field is set. Joints alternate
// with wires and parts.
type Item struct {
	Joint *Joint
	Wire  *Wire
	Part  *Part
}

// SourceKind says what feeds the coil.
type SourceKind uint8

// What may feed a drive.
const (
	Winding SourceKind = iota // heater winding: live joint, return joint
	Tapped                    // winding with a tap: live, tap, other
	Rail                      // DC rail: live joint only, return through chassis
	Line                      // the key line itself feeds the coil
)

// A Source is the supply that feeds the drive, drawn at the left end.
type Source struct {
	Kind     SourceKind
	Name     string   // the plan's name: "heaters"
	Words    []string // "6.3 V~ rms, one", "side grounded"
	Live     *Joint
	Return   *Joint // winding's other end, or its tap
	Other    *Joint // far end of a tapped winding
	Grounded *Joint // the joint that the set ties to chassis; nil when floating or a rail
}

// A Drive is the band of the diagram from the source to the key line.
//
// Lane runs left to right and starts with Source.Live. With no buffer it ends
// with the jack's tip. Every relay's coil is a Part of kind Coil in it; further
// coils on the same supply stand in More. Second is the lane of the other
// winding end of a full-wave rectifier; it ends at the joint where its diode
// meets Lane. Return runs from Source.Return to the bus joint, tag 0; with a
// bridge, to the joint of its second a.c. lead. Bus is the joint that is chassis;
// of a bridge, its minus. A lane that the key line itself feeds (SourceKind Line)
// runs from the coil's chassis lug to the tip: its Source.Live is that lug.
type Drive struct {
	Source Source
	Lane   []Item
	Second []Item
	Return []Item
	Bus    *Joint
	Shunts []Shunt
	Clamp  []*Part // across the coil, A1 to A2: a diode, or a zener and a diode
	Hold   []*Part // across the coil as well: series resistor and capacitor
	Buffer *Buffer
	More   []Branch
	Jack   Jack
}

// A Shunt is a part from a joint of the lane down to the bus.
type Shunt struct {
	At   *Joint
	Part *Part
}

// A Buffer is the transistor stage between the key line and the coil. The
// transistor itself stands in the lane as a part. Base is the joint at its base;
// Upper runs from Base through the base resistor and the wire to the tip;
// BaseEmitter joins Base and the emitter's joint.
type Buffer struct {
	Transistor  *Part
	Base        *Joint
	Upper       []Item
	BaseEmitter *Part
	Pull        *Part  // from the supply to the base, where the line shorts the base drive
	PullFrom    *Joint // where Pull starts
	CoilEnd     []Item // pnp: from A2 to chassis
}

// A Branch is the coil of a further relay, from a joint of the lane to another.
type Branch struct {
	From, To *Joint
	Items    []Item // between them
	Clamp    []*Part
	Hold     []*Part // across the coil as well, as of a Drive
}

// A Jack is the receptacle for the key line, with what a label beside it says.
type Jack struct {
	Ref      string // "J901"
	Words    string // the plan's: "rear 3.5 mm jack"
	Tip      *Joint
	Sleeve   *Joint
	Ground   *Wire    // sleeve to its chassis lug
	Title    string   // "Ground the tip: the receiver mutes."
	Lines    []string // four lines at most
	Contacts []string // column heads: "K1a"; of a changeover "K1b to"
	States   []State  // RECEIVE, TRANSMIT, SET OFF
}

// A State is one row of the jack's table.
type State struct {
	Name     string   // "RECEIVE"
	Relay    string   // "released", "operated"
	Contacts []string // "closed", "open"; of a changeover "break", "make"; one for each head
	Note     string   // second line, where a word is needed
}

// StubKind selects how a muting point is drawn.
type StubKind uint8

// The kinds of stub above a lifted return.
const (
	OutputCathode StubKind = iota
	GainControl
	Measured
)

// A Stub is one muting point on a return: what stands above the lift.
type Stub struct {
	Kind      StubKind
	Name      string // the plan's: "output"
	Title     string // "output: 6AQ5", "sensitivity: 2 × 6BA6"
	Rail      string // the plan's name of its supply
	RailVolts float64
	Node      *Flag    // volts at the cathode or cathode bus
	Resistor  []string // words beside the cathode resistor: "240 Ω", or "68 Ω", "each"
	Bypass    []string // "22 µF", "25 V"; nil: none
	Polarised bool     // the bypass is an electrolytic
	ToReturn  bool     // the bypass returns to the lifted node
	Control   string   // "10 kΩ"; empty: no control
	Divider   bool     // the control's far end stays on chassis
	Extra     []string // further parts of the set worth a word: "bleeder 47 kΩ from ht"
	Lift      *Joint
	Cut       int   // CUT n
	Wire      *Wire // from Lift to the return's lug, or to a neighbour's lift box; at most two to the lug
	Lifts     []Cut // further cuts of the same point (separate cathodes)
}

// A Cut is a further break of the same point with its own wire.
type Cut struct {
	Lift *Joint
	Cut  int
	Wire *Wire
}

// A Contact is one pole of a relay in use.
type Contact struct {
	Name   string // "K1a", as in the quantities
	Relay  string // "K1"
	Pole   string // "a"
	Common *Joint
	Throw  *Joint // break or make: the one in use; of a changeover, the one that is closed on receive
	Other  *Joint // of a changeover, the other; else nil
	Break  bool   // the throw in use is the break contact
	Words  string // "opens on transmit"
	Ground *Wire  // common to its chassis lug; nil where the common goes elsewhere
	Lug    *Joint // the chassis lug
}

// A Group is one return: the stubs above one lifted node, its pulldown and its contact.
type Group struct {
	Name      string // the plan's: "mute_line"
	Stubs     []Stub
	Node      *Flag
	Pulldown  *Part // nil: none
	Capacitor *Part // at the cut, node to chassis; nil: none
	Series    *Part // between the cut and the capacitor; nil: none
	Earth     *Joint
	Contact   Contact
}

// GuardKind selects how a signal point is drawn.
type GuardKind uint8

// The kinds of guard.
const (
	ShortOne   GuardKind = iota // one terminal to chassis
	ShortPair                   // balanced, leg to leg
	ShortEach                   // both legs to chassis
	Changeover                  // input moved from antenna to chassis
	OpenShort                   // antenna opened, input shorted
	AudioShort                  // a dry contact from an audio point to chassis
)

// A Guard is one antenna or audio point with its contacts and wires. Each wire
// runs between two of its joints, lugs and chassis lugs; a Contact's Ground need
// not be among Wires.
//
//	ShortOne, AudioShort  joint: terminal;        wire: to the throw
//	ShortPair             joints: the two legs;   wires: leg to throw, common to leg
//	ShortEach             joints: the two legs;   wires: leg to throw, of each contact
//	Changeover            joints: antenna, input; wires: antenna to throw, common to input, other to Lug
//	OpenShort             joints: antenna, input; wires: antenna to the first contact's throw,
//	                      its common to the input, input to the second contact's throw
type Guard struct {
	Kind     GuardKind
	Name     string // "aerial"; of a balanced input that is cut in both legs also "aerial, other leg"
	Point    string // the plan's name: "aerial"
	Input    string // "50 Ω"
	Joints   []*Joint
	Wires    []*Wire
	Contacts []Contact
	Cut      int      // CUT n between antenna and input; 0: nothing is cut
	Note     []string // "9 and 10 together", "40 mm at most"
}
