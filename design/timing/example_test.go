package timing_test

import (
	"fmt"

	"mutewright/design/drive"
	"mutewright/design/timing"
)

// A reed relay on a 12 V rail, keyed by a line that grounds its low end, shorts
// the antenna input.
func ExampleSolve() {
	coil := drive.Coil{
		Ohms: 1000, Rated: 12, Operate: 0.72, Release: 0.125, Ambient: 20, Rise: 150, Limit: 105,
		Clamp: drive.Clamp{Kind: drive.DiodeClamp},
	}
	travel, err := timing.Sheet{Operate: 0.5e-3, Release: 0.5e-3}.Travel(coil, 0.15, 0.15, timing.Usual)
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := timing.Solve(timing.Interface{
		Drives: []timing.Drive{{
			Drive: drive.Drive{Rail: drive.Rail{Volts: 12}, Coils: []drive.Coil{coil}, Warmth: drive.AtTwenty},
			Relays: []timing.Relay{{
				Open: 0.15, Closed: 0.15, LetGo: 0.25,
				OperateTravel: travel.Operate, ReleaseTravel: travel.Release, Bounce: 0.2e-3,
			}},
		}},
		Guards:      []timing.Guard{{}},
		Transmitter: timing.Transmitter{KeyToRF: 5e-3},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("guarded after %.3f ms, %.3f ms before the RF\n", 1e3*s.Shorted, 1e3*s.Margins.Key)
	fmt.Printf("released %.2f ms after let-go\n", 1e3*s.Released)
	// Output:
	// guarded after 0.575 ms, 4.425 ms before the RF
	// released 0.56 ms after let-go
}
