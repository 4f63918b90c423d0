//go:build unix

package main

import (
	"os"
	"runtime"
	"syscall"
)

// peakMB is the most memory a finished program held, in MB.
func peakMB(p *os.ProcessState) float64 {
	u, ok := p.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	unit := 1024.0 // kilobytes on most systems
	if runtime.GOOS == "darwin" || runtime.GOOS == "ios" {
		unit = 1 // bytes
	}
	return float64(u.Maxrss) * unit / 1e6
}
