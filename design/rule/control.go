package rule

import (
	"fmt"
	"math"

	"mutewright/design/finding"
	"mutewright/design/mains"
)

var (
	controlVolts   = kind("control.voltage", "Open key line over its rating", "rating of the key line")
	controlCurrent = kind("control.current", "Closed key line over its rating", "rating of the key line")
	controlKick    = kind("control.kick", "Kick of the coil over the key line's rating", "supply plus clamp; rating of the key line")
	controlTouch   = kind("control.touch", "Key line over the touch limit", es1)
)

func judgeControl(b *bench) {
	t := &b.Transmitter
	r, stem := &b.Relays[0], "control"
	open, ok := b.high(stem + ".open")
	if !ok {
		return
	}
	if t.LineVolts.Exists() {
		limit := b.least(t.LineVolts)
		if s := ofRating(open, limit); s != finding.Good {
			b.raise(controlVolts, s, "transmitter.keying.rated.voltage",
				fmt.Sprintf("The open key line stands at up to %s; it is rated %s.", volts(open), volts(limit)),
				"Take a coil of lower voltage with its drive, or a buffer.")
		}
		if kick, ok := b.high(stem + ".kick"); ok {
			if s := ofRating(kick, limit); s != finding.Good && over(kick, open) {
				b.raise(controlKick, s, r.At+".clamp",
					fmt.Sprintf("At let-go the key line sees up to %s, supply and clamp together; it is rated %s.", volts(kick), volts(limit)),
					"Take a plain diode, a lower zener, or a buffer.")
			}
		}
	}
	if closed, ok := b.high(stem + ".closed"); ok && t.LineAmps.Exists() {
		limit := b.least(t.LineAmps)
		if s := ofRating(closed, limit); s != finding.Good {
			b.raise(controlCurrent, s, "transmitter.keying.rated.current",
				fmt.Sprintf("The closed key line carries up to %s; it is rated %s.", amps(closed), amps(limit)),
				"Take a more sensitive relay, or a buffer.")
		}
	}
	// A rectifier leaves its ripple on the line: a saw-tooth, whose rms is its swing
	// over 2·√3. That of the operated drive is more than the open line has.
	swing, _ := b.high("drive.supply.ripple")
	switch share := mains.Touch(open, swing/(2*math.Sqrt(3)), swing/2); {
	case over(share, 1) && !over(open, touchLimit):
		b.raise(controlTouch, finding.Danger, r.At+".supply",
			fmt.Sprintf("The open key line stands at up to %s with %s of ripple on a jack and cable within reach: %.3g times the limit of mixed voltages.", volts(open), volts(swing), share),
			"Take a low-voltage supply for the relay.")
	case over(share, 1):
		b.raise(controlTouch, finding.Danger, r.At+".supply",
			fmt.Sprintf("The open key line stands at up to %s on a jack and cable within reach; the limit is %d V DC.", volts(open), touchLimit),
			"Take a low-voltage supply for the relay.")
	case over(open, touchCaution):
		b.raise(controlTouch, finding.Caution, r.At+".supply",
			fmt.Sprintf("The open key line stands at up to %s, above the %g V that the stricter standards allow within reach.", volts(open), touchCaution),
			"Take a low-voltage supply for the relay.")
	}
}
