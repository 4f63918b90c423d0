package main

import (
	"runtime"
	"syscall"
)

// largePages has the room laid in pages of two megabytes: laying it in small ones, some thousand of them, is a
// fifth of an answer. A block that is asked for and let go again, never touched, is what memory is given out
// of next. Where the system lays no large pages it is as without.
func largePages() {
	_ = syscall.Madvise(make([]byte, room), syscall.MADV_HUGEPAGE)
	runtime.GC()
}
