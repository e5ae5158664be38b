package drive

// ShortedReservoir is the current in A rms that the winding drives through its
// fuse, before that opens, when a reservoir is shorted; of a doubler's two the
// worse.
func ShortedReservoir(d Drive) (float64, error) { return 0, nil }

// A ShortedLine is what a key lead shorted to chassis does.
type ShortedLine struct {
	Energised bool    // the coils carry current
	Amps      float64 // A from the drive through the short
}

// LineShorted takes the key lead to chassis with nothing in between.
func LineShorted(d Drive) (ShortedLine, error) { return ShortedLine{}, nil }
