package drive

import (
	"sync"

	"mutewright/design/circuit"
)

// used are circuits that held a drive before, to be filled again with one like it.
// Nothing but the time it takes depends on them.
type used struct{ released, operated, clamp sync.Pool }

// fill fills a circuit, one of the used where it is of the same build.
func (u *used) fill(from *sync.Pool, fill func(*circuit.Circuit)) *circuit.Circuit {
	before, _ := from.Get().(*circuit.Circuit)
	return circuit.Fill(before, fill)
}
