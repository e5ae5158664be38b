package beside

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestEachPieceIsDoneOnceAndTheEarliestErrorWins(t *testing.T) {
	done := make([]int, 100)
	first, second := errors.New("first"), errors.New("second")
	err := Each(len(done), func(i int) error {
		done[i]++
		switch i {
		case 40:
			return first
		case 70:
			return second
		}
		return nil
	})
	assert.Equal(t, first, err)
	for _, n := range done {
		assert.Equal(t, 1, n)
	}
	assert.NoError(t, Each(0, nil))
}
