// Package cores shares work out among the processor's cores.
package cores

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Each runs f for 0 to n−1 on all cores, and returns when all are done. No more run at a time than there
// are cores, the caller's among them: each needs room of its own.
func Each(n int, f func(i int)) {
	var next atomic.Int64
	work := func() {
		for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
			f(i)
		}
	}
	var wait sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) - 1 {
		wait.Go(work)
	}
	work()
	wait.Wait()
}
