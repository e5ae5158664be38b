package timing

// A Corner is one end of what relays and mains may do.
type Corner uint8

// The corners. The caller gives each as an Interface with its numbers.
const (
	LatestOperate   Corner = iota // mains low, coil hot, full travel, bounce
	LatestRelease                 // coil cold, mains high, must-release, full travel, bounce
	EarliestRelease               // coil hot, mains low, upper let-go, Quick of the travel, no bounce
	EarliestOperate               // coil cold, mains high, Quick of the travel, no bounce
	corners
)

// Corners are the four ends of one interface, as the constants of Corner.
// Drives, relays, lifts and guards are the same in number and order in all.
type Corners [corners]Interface

// An End is the far end of a time or margin and the corner that gives it.
type End struct {
	Seconds float64
	Corner  Corner
}

// Ends are the far ends that decide: the latest of every time but Released,
// which is the earliest, and the least of every margin.
type Ends struct {
	Opened, Shorted, Muted, Released, Recovered End
	Key, Tail, Mute                             End
	Final                                       float64 // dB, as in Sequence
}
