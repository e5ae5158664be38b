package antenna

import "errors"

// Remedies are what would guard an input that one short does not.
type Remedies struct {
	LongestLead      float64 // m, whole lead that just keeps Residual within Withstand; 0 unless LeadServes
	LeadServes       bool    // some lead does; else the contact alone lets too much through
	ChangeoverLoss   Worst   // dB, the same contact as changeover
	ChangeoverServes bool    // it keeps Residual within Withstand
	MoreIsolation    float64 // dB more isolation from the transmitter that the guard as planned needs, 0 if it serves
}

// Remedy tries what would keep the residual power within Withstand, each by
// solving the guard with other numbers. It returns an error if Withstand is not
// known or the guard cannot be solved.
func Remedy(g Guard) (Remedies, error) { return Remedies{}, errors.ErrUnsupported }
