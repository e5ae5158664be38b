package timing

import "mutewright/design/drive"

// A Sheet is what a data sheet gives as times: the longest, at rated voltage
// and 20 °C, with a clamp or none across the coil.
type Sheet struct {
	Operate, Release float64 // s, without bounce
	Clamp            drive.Clamp
}

// Usual is the part of a data sheet's longest times that a relay usually takes,
// and Quick the part of its travel that the quickest takes (common practice, no
// source).
const (
	Usual = 0.75
	Quick = 0.25
)

// A Travel is the part of a relay's times that its drive does not change.
type Travel struct{ Operate, Release float64 } // s

// Travel is what the armature takes of that part of the data sheet's times: 1
// is full travel, Usual the nominal one. For the quickest take Quick of full
// travel. The coil's Ohms, Rated, Operate and Release count, open and closed
// are its inductances in H.
//
//	travel = max(part·t − electrical, part·t/5)
func (s Sheet) Travel(c drive.Coil, open, closed, part float64) (Travel, error) {
	electrical, err := drive.ElectricalTimes(c, open, closed, s.Clamp)
	if err != nil {
		return Travel{}, err
	}
	return Travel{
		Operate: drive.Travel(part*s.Operate, electrical.Operate),
		Release: drive.Travel(part*s.Release, electrical.Release),
	}, nil
}

// Times is that part of full travel: Quick of it for the quickest relay.
func (t Travel) Times(part float64) Travel {
	return Travel{Operate: part * t.Operate, Release: part * t.Release}
}
