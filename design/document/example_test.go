package document_test

import (
	"fmt"

	"mutewright/design/document"
	"mutewright/design/quantity"
)

// A Lamp is a record: slots, and a table that binds keys to them.
type Lamp struct {
	document.Source
	Name    document.Value[string]
	Voltage document.Measure[quantity.Volts]
	Fuse    document.Measure[quantity.Amps]
}

// Fields binds the keys of a lamp.
func (l *Lamp) Fields() []document.Field {
	return []document.Field{
		document.Text("name", &l.Name).Required(),
		document.Span("voltage", &l.Voltage).Positive(),
		document.Span("fuse", &l.Fuse).Or(document.None),
	}
}

func Example() {
	var lamp Lamp
	d := document.Parse("lamp.yaml", []byte("name: dial lamp\nvoltage: 6.3 V ± 5 %\nfuse: none\n"))
	d.Set("voltage=12.6 V")
	d.Read(&lamp)
	fmt.Println(d.Err())
	fmt.Println(lamp.Name.Is, float64(lamp.Voltage.Is.Nominal), lamp.Fuse.State)

	d = document.Parse("lamp.yaml", []byte("voltage: 6.3\nfused: 1 A\n"))
	d.Read(&lamp)
	fmt.Println(d.Err())
	// Output:
	// <nil>
	// dial lamp 12.6 none
	// lamp.yaml:1:1: name: missing; wanted text
	// lamp.yaml:1:10: voltage: no unit on "6.3"; write 6.3 V, uV, mV or kV
	// lamp.yaml:2:1: fused: unknown key; the nearest is fuse
}
