package quantity_test

import (
	"fmt"

	"mutewright/design/quantity"
)

func ExampleParse() {
	pulldown, _ := quantity.Parse[quantity.Ohms]("4k7")
	fmt.Println(float64(pulldown))

	_, err := quantity.Parse[quantity.Volts]("250")
	fmt.Println(err)
	// Output:
	// 4700
	// no unit on "250"; write 250 V, uV, mV or kV
}

func ExampleParseSpan() {
	rail, _ := quantity.ParseSpan[quantity.Volts]("250 V ± 10 %")
	fmt.Println(float64(rail.Low), float64(rail.Nominal), float64(rail.High))

	ambient, _ := quantity.ParseSpan[quantity.Celsius]("20 °C .. 50 °C")
	fmt.Println(float64(ambient.Low), float64(ambient.High), ambient.Kind == quantity.Range)
	// Output:
	// 225 250 275
	// 20 50 true
}

func ExamplePlain() {
	fmt.Println(quantity.Plain(9996, quantity.Resistance))
	fmt.Println(quantity.Plain(22e-6, quantity.Capacitance))
	fmt.Println(quantity.Plain(0.75, quantity.Percentage))
	// Output:
	// 9.996 kohm
	// 22 uF
	// 75 %
}

func ExampleFormat() {
	// Three significant digits; the prefix is chosen after rounding, and a
	// no-break space stands before the unit.
	fmt.Printf("%+q\n", quantity.Format(999.6, quantity.Resistance))
	// Output: "1\u00a0k\u03a9"
}
