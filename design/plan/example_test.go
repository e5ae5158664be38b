package plan_test

import (
	"fmt"

	"mutewright/catalog"
	"mutewright/design/plan"
)

func ExampleRead() {
	text := []byte(`
plan: 1
title: An output stage alone
receiver:
  name: Larkmoor Seven
  mains: {voltage: 120 V, frequency: 60 Hz, isolation: transformer, cord: two-wire}
muting_points:
  output: {kind: output cathode, tube: 6AQ5, cathode_resistor: 240R, lift: chassis end of R31}
transmitter:
  keying: {kind: contact}
`)
	p, err := plan.Read("output.yaml", text, catalog.Default())
	fmt.Println(err)
	output := p.Points.Find("output").Output
	fmt.Println(float64(output.CathodeResistor.Is.Nominal), "ohm at", output.CathodeResistor.Path)
	fmt.Println(output.Bypass.Value.Path, "is", output.Bypass.Value.State)

	_, err = plan.Read("output.yaml", text, catalog.Default(), "muting_points.output.tube=6AQ55")
	fmt.Println(err)
	// Output:
	// <nil>
	// 240 ohm at muting_points.output.cathode_resistor
	// muting_points.output.bypass.value is left out
	// --set 1: muting_points.output.tube: no tube "6AQ55" in the catalogue; the nearest is 6AQ5; or write its figures out
}
