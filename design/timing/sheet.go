package timing

import "mutewright/design/drive"

// A Sheet is what a data sheet gives as times: the longest, at rated voltage
// and 20 °C, with a clamp or none across the coil.
type Sheet struct {
	Operate, Release float64 // s, with the armature's travel, without bounce
	Bounce           float64 // s
	Clamp            drive.Clamp
}

// Usual is the part of a data sheet's longest times that a relay usually needs,
// and Quick the part of its travel that the quickest needs (common practice, no
// source).
const (
	Usual = 0.75
	Quick = 0.25
)

// A Travel is the part of the times that does not depend on the drive.
type Travel struct{ Operate, Release float64 } // s
