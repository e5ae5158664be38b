package lifted_test

import (
	"fmt"

	"mutewright/design/lifted"
)

// One beam output tube, its bypass to chassis, lifted onto 10 kΩ.
func Example() {
	// 6AQ5 at 250 V, −12.5 V (tube manual, second-hand).
	tube, err := lifted.Fit([]lifted.Published{
		{Plate: 250, Screen: 250, Grid: -12.5, PlateCurrent: 45e-3, ScreenCurrent: 4.5e-3, Gm: 4.1e-3},
	}, nil, 250)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := lifted.Solve(lifted.Network{
		Rails: []lifted.Rail{{Volts: 250}},
		Points: []lifted.Point{lifted.Output{
			Tube: tube.Law, Count: 1, CathodeResistor: 270, Bypass: 22e-6, BypassTo: lifted.ToChassis,
		}},
		Pulldown: 10e3,
		Contact:  0.1,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	muted, err := r.Muted()
	if err != nil {
		fmt.Println(err)
		return
	}
	depth, err := r.Depth()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("receive: %.1f mA through the contact\n", 1e3*r.Receive().Contact)
	fmt.Printf("muted: %.1f V on the lifted node, %.0f mW in the pulldown, %.0f dB\n", muted.Set.Node, 1e3*muted.Power, depth.Total)
	// Output:
	// receive: 44.9 mA through the contact
	// muted: 26.0 V on the lifted node, 68 mW in the pulldown, 16 dB
}
