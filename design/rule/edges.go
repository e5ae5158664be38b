package rule

// Edges of verdicts, for those who look from outside at what could change one.
const (
	Used        = used         // part of a rating above which a caution is due
	Enough      = enough       // margin under which a caution is due
	HotVolts    = touchLimit   // V DC above which a lifted node is hot
	NearVolts   = touchCaution // V DC above which a lifted node within reach gets a caution
	GridCurrent = gridCurrent  // V from grid to cathode above which a grid takes current
	KneeShare   = kneeShare    // plate over screen voltage under which a plate is under its knee
	ReceiveLoss = receiveLoss  // dB on receive above which the guard's loss gets a word
)
