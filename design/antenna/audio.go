package antenna

import "errors"

// An Audio is a dry contact from a point of the audio path to chassis.
type Audio struct {
	Source  float64 // ohm, what feeds the point
	Load    float64 // ohm, what it feeds
	Lowest  float64 // Hz
	Highest float64 // Hz
	Lead    float64 // m, point, contact, chassis
	Wire    float64 // m, diameter
	Contact Contact
}

// An AudioResult is what an audio short does.
type AudioResult struct {
	Attenuation Worst // dB, least over the band: 20·log(1 + (Rs∥Rl)/|Zs|); beyond 100 dB leakage past the point decides
	ReceiveLoss Worst // dB, most over the band, contact open: 10·log(1 + (2π·f·C·Rs∥Rl)²)
}

// SolveAudio returns what an audio short does over its band. It returns an error
// for an input out of range or if the network cannot be solved.
func SolveAudio(a Audio) (AudioResult, error) { return AudioResult{}, errors.ErrUnsupported }
