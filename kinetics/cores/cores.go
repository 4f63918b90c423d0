// Package cores shares work out among the processor's cores.
package cores

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// helping is how many goroutines of Each work beside who called it.
var helping atomic.Int64

// Each runs f for 0 to n−1 on all cores that are not at such work already, and returns when all are done.
// No more run at a time than there are cores, the caller's among them: each needs room of its own.
func Each(n int, f func(i int)) {
	var next atomic.Int64
	work := func() {
		for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
			f(i)
		}
	}
	var wait sync.WaitGroup
	cores := runtime.GOMAXPROCS(0)
	for range min(n, cores) - 1 {
		if helping.Add(1) < int64(cores) {
			wait.Go(func() {
				defer helping.Add(-1)
				work()
			})
			continue
		}
		helping.Add(-1)
		break
	}
	work()
	wait.Wait()
}
