package sheet

import (
	"fmt"

	"mutewright/design/fitting"
)

// bypassWords says where the foot of a cathode bypass belongs: the end that is
// lifted often shares its tag with it. "" where a stage has none.
func bypassWords(st *fitting.Stub) string {
	if len(st.Bypass) == 0 {
		return ""
	}
	what := "The bypass of " + st.Name + ", " + joined(st.Bypass...)
	foot := ""
	if st.Polarised {
		foot = " with its minus"
	}
	if st.ToReturn {
		return fmt.Sprintf("%s, stands%s at “%s”, with what was lifted: where that end is on chassis by itself, move it there.", what, foot, st.Lift.Words)
	}
	return fmt.Sprintf("%s, stays%s on chassis: where that end shares the tag of CUT %d, take it to chassis beside it.", what, foot, st.Cut)
}

// standbyWork says what is soldered at the controls that the set already has.
func (s *sheet) standbyWork(f *flow) {
	for _, own := range s.design.Fitting.Standby {
		if own.Work != "" {
			f.task(own.Work)
		}
	}
}

// standbyBack says what becomes of those controls when the interface is taken out.
func (s *sheet) standbyBack(f *flow) {
	for _, own := range s.design.Fitting.Standby {
		if own.Work == "" {
			continue
		}
		left := own.Left
		if own.Strap > 0 {
			left += fmt.Sprintf(" by wire %d", own.Strap)
		}
		f.task("Put " + own.Name + " back as it was, or leave it " + left + ": it opens " + own.Opens + ".")
	}
}
