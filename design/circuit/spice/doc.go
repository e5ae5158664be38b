// Package spice holds this project's circuits against ngspice. It writes a
// circuit as a deck, reads a deck back into a circuit, runs a deck in the
// project's engine and, where ngspice is installed, in ngspice, and compares
// both with the numbers recorded beside the deck. It serves tests only.
//
// # Decks
//
// A deck is an ngspice netlist NAME.cir in testdata/oracle that ngspice runs
// as it stands, written by hand or by [Deck.Write]. It may hold
//
//	Rx a b OHMS    Cx a b FARADS    Lx a b HENRIES
//	Vx + - [DC] VALUE | SIN(OFFSET AMPLITUDE HZ 0 0 DEGREES) | PULSE(LOW HIGH DELAY RISE FALL WIDTH PERIOD) [AC MAGNITUDE DEGREES]
//	Ix from to  the same
//	Bx + - V=max(-PEAK,min(PEAK,AMPLITUDE*sin(2*pi*(HZ*time+DEGREES/360))))      a flat-topped mains
//	Dx anode cathode MODEL          with .model MODEL D(IS= N= RS= BV= IBV=)
//	Qx collector base emitter MODEL with .model MODEL NPN(IS= BF= BR=), or PNP
//	Sx a b CONTROL 0 MODEL          with .model MODEL SW(VT=0.5 RON= ROFF=) and one
//	                                VX CONTROL 0 PWL(0 0|1 TIME ... ), a switch worked by time
//	Xx plate screen grid cathode pentode G= MUA= MUB= SH= PS= N=
//
// with the usual suffixes (f p n u m k meg g t), comments after * or ;, and
// continuation lines after +. Tubes want the line ".include pentode.lib",
// which stands in the same folder. Other element letters, models and dots are
// refused, so that nothing is passed over in silence.
//
// Exactly one analysis:
//
//	.op
//	.ac lin 1 HZ HZ
//	.tran PRINT UNTIL 0 MAXSTEP [uic]      uic: everything empty at the start
//	.print tran SIGNAL ...                 beside .tran: lets a plain "ngspice -b" solve the deck; compares nothing
//	*@ periodic PERIOD                     beside .tran: compare its last PERIOD with the periodic steady state
//
// and what is compared, one line each:
//
//	*@ NAME = KIND SIGNAL [ARGUMENTS] [within TOLERANCE%]
//
//	value v(k)                    operating point
//	magnitude v(k) / phase v(k)   small signals; phase in degrees
//	at v(k) TIME
//	mean|rms|least|most|swing v(k) [from TIME to TIME]
//	rises|falls v(k) LEVEL [after TIME]     the instant of a passage, s
//
// A signal is v(NODE), v(NODE,NODE), i(Vx) or i(Lx); put a 0 V source in
// series to see another current. Without "within", voltages agree within
// 0.2 %, currents within 1 % and instants within 0.1 ms, the tolerances of
// the project; a value smaller than a microvolt or a nanoampere counts as
// zero.
//
// # Records
//
// NAME.json beside the deck: the ngspice version and the values it gave, in
// the order of the deck. [Check] compares the engine with the record, and
// where ngspice is on PATH the engine and the record with a live run. A test
// package that defines a boolean flag "update" and is run with it writes the
// records anew from ngspice; that is refused when CI=true.
//
// # Use in another package's tests
//
//	var _ = flag.Bool("update", false, "record the decks anew from ngspice")
//
//	func TestOracle(t *testing.T) { spice.CheckFolder(t, "../../testdata/oracle", "lifted-*.cir") }
//
// or, for a circuit made in a test, [CheckCircuit], which also keeps the
// written deck equal to the one in the folder.
package spice
