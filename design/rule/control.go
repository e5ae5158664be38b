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

// kickRemedy says what lowers the kick on the line. A plain diode adds no more than
// its own drop: what is left is the supply.
func (b *bench) kickRemedy() string {
	r := &b.Relays[0]
	lower := "a coil of lower voltage with its drive (" + r.At + ".use)"
	switch {
	case r.Clamp == "diode and zener":
		return "Take a plain diode (" + r.At + ".clamp: diode, and the line zener out), or a zener of fewer volts (" + r.At + ".zener)."
	case r.Supply < 0:
		return "The clamp is a plain diode already, and adds no more than its drop to what the line gives itself: ask for a line that bears more, or put a transistor between it and a coil on another supply (" + r.At + ".buffer, " + r.At + ".supply)."
	case r.Buffer == "none":
		return "The clamp is a plain diode already, and adds no more than its drop: the supply is what stands there. Take " + lower + ", or a transistor between line and coil (" + r.At + ".buffer)."
	}
	return "The clamp is a plain diode already, and adds no more than its drop: the supply is what stands there. Take " + lower + "."
}

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
				fmt.Sprintf("Take a coil of lower voltage with its drive (%[1]s.use), or a transistor between line and coil (%[1]s.buffer).", r.At))
		}
		if kick, ok := b.high(stem + ".kick"); ok {
			if s := ofRating(kick, limit); s != finding.Good && over(kick, open) {
				b.raise(controlKick, s, r.At+".clamp",
					fmt.Sprintf("At let-go the key line sees up to %s, supply and clamp together; it is rated %s.", volts(kick), volts(limit)),
					b.kickRemedy())
			}
		}
	}
	if closed, ok := b.high(stem + ".closed"); ok && t.LineAmps.Exists() {
		limit := b.least(t.LineAmps)
		if s := ofRating(closed, limit); s != finding.Good {
			b.raise(controlCurrent, s, "transmitter.keying.rated.current",
				fmt.Sprintf("The closed key line carries up to %s; it is rated %s.", amps(closed), amps(limit)),
				fmt.Sprintf("Take a more sensitive relay (%[1]s.use), or a transistor between line and coil (%[1]s.buffer).", r.At))
		}
	}
	// A rectifier leaves its ripple on the line: a saw-tooth, whose rms is its swing
	// over 2·√3. That of the operated drive is more than the open line has.
	swing, _ := b.high("drive.supply.ripple")
	switch share := mains.Touch(open, swing/(2*math.Sqrt(3)), swing/2); {
	case over(share, 1) && !over(open, touchLimit):
		b.raise(controlTouch, finding.Danger, r.At+".supply",
			fmt.Sprintf("The open key line stands at up to %s with %s of ripple on a jack and cable within reach: %.3g times the limit of mixed voltages.", volts(open), volts(swing), share),
			"Take a low-voltage supply for the relay ("+r.At+".supply).")
	case over(share, 1):
		b.raise(controlTouch, finding.Danger, r.At+".supply",
			fmt.Sprintf("The open key line stands at up to %s on a jack and cable within reach; the limit is %d V DC.", volts(open), touchLimit),
			"Take a low-voltage supply for the relay ("+r.At+".supply).")
	case over(open, touchCaution):
		b.raise(controlTouch, finding.Caution, r.At+".supply",
			fmt.Sprintf("The open key line stands at up to %s, above the %g V that the stricter standards allow within reach.", volts(open), touchCaution),
			"Take a low-voltage supply for the relay ("+r.At+".supply).")
	}
}
