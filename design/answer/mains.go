package answer

import "mutewright/design/known"

// askMains asks what stands between the mains and the chassis.
func (a *Answers) askMains(f *known.Facts) error { return nil }
