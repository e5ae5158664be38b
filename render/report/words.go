package report

import (
	"strings"

	"mutewright/design/answer"
)

// A term says in words what a quantity is; a star stands for one name in it.
// The decisive ones are what a verdict usually hangs on.
type term struct {
	pattern  string
	words    string
	decisive bool
}

// terms are the quantities of the plan format.
var terms = []term{
	{"drive.supply.released", "coil supply, relay released", true},
	{"drive.supply.operated", "coil supply, relay operated", true},
	{"drive.supply.ripple", "ripple, peak to peak", false},
	{"drive.coil.voltage", "coil voltage, mean", true},
	{"drive.coil.voltage_least", "coil voltage, lowest instant", false},
	{"drive.coil.current", "coil current", false},
	{"drive.coil.power", "coil dissipation", false},
	{"drive.coil.temperature", "coil temperature", false},
	{"drive.coil.operate_margin", "applied over what pulls it in; nominal: coil at 20 °C", true},
	{"drive.coil.ceiling_margin", "permitted over applied; nominal: coil at 20 °C", true},
	{"drive.coil.release_margin", "must-release over leakage's volts", true},
	{"drive.dropper.value", "series resistor of the coil", false},
	{"drive.dropper.power", "its dissipation", false},
	{"drive.fuse", "fuse of the winding's tap", false},
	{"drive.winding.current", "winding current of the drive, rms", false},
	{"drive.winding.load", "heaters and drive over the rating", true},
	{"drive.diode.peak", "diode current, peak", false},
	{"drive.diode.reverse", "diode reverse voltage", false},
	{"drive.buffer.gain", "transistor: collector over base current", false},
	{"drive.buffer.off", "transistor: base to emitter, released", false},
	{"drive.buffer.voltage", "transistor: collector to emitter, highest", false},
	{"drive.buffer.inrush", "into the hold capacitor, at first", false},
	{"control.open", "key line open", true},
	{"control.closed", "key line closed", true},
	{"control.kick", "key line at let-go, highest", true},
	{"control.inrush", "into the hold capacitor, at first", false},
	{"return.*.pulldown", "pulldown", true},
	{"return.*.pulldown_least", "pulldown, least that serves", true},
	{"return.*.pulldown_most", "pulldown, most that serves", true},
	{"return.*.pulldown_power", "pulldown dissipation, muted", false},
	{"return.*.current", "in the closed contact, receive", true},
	{"return.*.muted", "lifted node, muted", true},
	{"return.*.muted_cold", "lifted node, muted, tubes still cold", false},
	{"return.*.muted_full_gain", "lifted node, muted, control at full gain", false},
	{"return.*.muted_least_gain", "lifted node, muted, control at least gain", false},
	{"return.*.bus", "cathode bus, muted, highest", true},
	{"return.*.bus_cold", "cathode bus, muted, tubes still cold", false},
	{"return.*.bus_full_gain", "cathode bus, muted, control at full gain", false},
	{"return.*.bus_least_gain", "cathode bus, muted, control at least gain", false},
	{"return.*.unguarded", "lifted node, pulldown missing", true},
	{"return.*.rail.*", "rail, muted: it rises as stages are cut off", false},
	{"return.*.rail.*.extra", "left to the regulator tube, muted", false},
	{"point.*.cathode.receive", "cathode on receive", false},
	{"point.*.cathode.muted", "cathode muted", true},
	{"point.*.cathode.unguarded", "cathode, pulldown missing", false},
	{"point.*.heater_cathode", "heater to cathode, muted, highest", false},
	{"point.*.grid.receive", "grid to cathode on receive, highest", false},
	{"point.*.knee.receive", "plate over screen voltage, receive, lowest", false},
	{"point.*.screen.receive", "screen on receive", false},
	{"point.*.screen.muted", "screen muted", false},
	{"point.*.current.receive", "cathode current on receive", false},
	{"point.*.current.muted", "cathode current muted", false},
	{"point.*.bypass", "on the bypass capacitor, highest", true},
	{"point.*.depth", "muting depth of the point", true},
	{"depth", "muting depth of the set", true},
	{"point.*.click", "click, below full output", false},
	{"point.*.plate_peak", "plate voltage, highest", false},
	{"contact.*.open", "contact open", false},
	{"contact.*.unguarded", "contact open, pulldown missing", false},
	{"contact.*.closed", "contact closed", false},
	{"contact.*.limit", "current permitted at that voltage", false},
	{"contact.*.margin", "contact permitted over needed", true},
	{"contact.spare", "poles left", false},
	{"antenna.*.shorted_loss", "loss of the shorted antenna input", true},
	{"antenna.*.common_mode", "loss of what is alike on both legs", false},
	{"antenna.*.residual", "power still reaching the input", true},
	{"antenna.*.contact_current", "antenna contact current", false},
	{"antenna.*.receive_loss", "loss on receive", false},
	{"timing.opened", "key to returns open", false},
	{"timing.shorted", "key to antenna shorted and settled", true},
	{"timing.muted", "key to depth wanted", true},
	{"timing.released", "let-go to the short's first break", true},
	{"timing.recovered", "let-go to full gain", false},
	{"timing.key_margin", "contacts settled before RF", true},
	{"timing.tail_margin", "guarded past the end of RF", true},
	{"timing.mute_margin", "muted before RF", true},
	{"standby.*.voltage", "on the set's standby terminals", true},
	{"mains.touch_current", "touch current, worst state", true},
	{"mains.network_current", "the same into the network of IEC 60990 figure 4", false},
	{"mains.weighted_current", "the same network, U/500", false},
	{"mains.meter_reading", "chassis to earth on a 10 MΩ meter", false},
	{"mains.one_meg_reading", "on a 1 MΩ meter", false},
	{"mains.analogue_reading", "on an analogue meter of 1.25 MΩ", false},
	{"mains.shunt_reading", "chassis to earth on the shunt", true},
	{"mains.earth_leak", "current in the earth wire", true},
	{"mains.earthed_reading", "earthed chassis to the outlet's earth", false},
	{"mains.*.digital", "chassis to earth on 10 MΩ in that state", false},
	{"mains.*.one_meg", "chassis to earth on 1 MΩ in that state", false},
	{"mains.*.analogue", "chassis to earth on 1.25 MΩ in that state", false},
	{"mains.*.shunt", "chassis to earth on 1.5 kΩ with 0.15 µF in that state", false},
	{"mains.largest_y", "largest Y capacitor from line to chassis", false},
	{"mains.primary_current", "primary current, power over voltage", false},
	{"mains.fuse", "mains fuse, time-lag", false},
	{"mains.discharge", "time to 60 V after switching off", true},
	{"mains.discharge_30", "time to 30 V after switching off", false},
	{"mains.discharge_tool", "time to 30 V through a tool of 4.7 kΩ", false},
	{"mains.discharge_meter", "time to 60 V with a 10 MΩ meter alone", false},
}

// lookUp finds the term of a quantity. A stage's own quantities
// (point.NAME.2.…) have the words of their point and never decide; those of a
// further relay (drive.2.…) have the words of the first and do.
func lookUp(name string) (t term, ok bool) {
	parts := strings.Split(name, ".")
	if len(parts) > 2 && parts[0] == "drive" && strings.Trim(parts[1], "0123456789") == "" {
		return lookUp("drive." + strings.Join(parts[2:], "."))
	}
	if len(parts) > 3 && parts[0] == "point" && strings.Trim(parts[2], "0123456789") == "" {
		t, ok = lookUp(strings.Join(append(parts[:2:2], parts[3:]...), "."))
		t.decisive = false
		return t, ok
	}
	for _, t := range terms {
		if matches(strings.Split(t.pattern, "."), parts) {
			return t, true
		}
	}
	return term{}, false
}

func matches(pattern, parts []string) bool {
	if len(pattern) != len(parts) {
		return false
	}
	for i, p := range pattern {
		if p != "*" && p != parts[i] {
			return false
		}
	}
	return true
}

// span writes a quantity's value with its doubt: "12.1 V (10.9 V … 13.4 V)",
// without it where low and high print alike.
func span(q answer.Quantity) string {
	low, nominal, high := q.Text(q.Low), q.Text(q.Nominal), q.Text(q.High)
	if low == high {
		return nominal
	}
	return nominal + " (" + low + " … " + high + ")"
}
