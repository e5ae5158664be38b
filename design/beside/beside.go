// Package beside does pieces of work that have nothing to do with each other on
// all processors at once.
package beside

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Each does n pieces of work, i from 0. What a piece finds it keeps in a place of
// its own, so that nothing depends on which was ready first. The error is that of
// the earliest piece that has one.
func Each(n int, work func(i int) error) error {
	errs := make([]error, n)
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				errs[i] = work(i)
			}
		})
	}
	group.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// Start begins a piece of work beside what its caller does; wait waits for it.
func Start(work func() error) (wait func() error) {
	done := make(chan error, 1)
	go func() { done <- work() }()
	return func() error { return <-done }
}
