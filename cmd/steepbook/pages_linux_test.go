package main

import (
	"os"
	"strings"
	"testing"
)

// The heap is asked for in large pages (smaps(5): "hg" is that advice), unless they are off.
func TestHeapIsInLargePages(t *testing.T) {
	on, err := os.ReadFile("/sys/kernel/mm/transparent_hugepage/enabled")
	if err != nil || strings.Contains(string(on), "[never]") {
		t.Skip("this kernel gives no large pages")
	}
	maps, err := os.ReadFile("/proc/self/smaps")
	if err != nil {
		t.Skip(err)
	}
	for flags := range strings.Lines(string(maps)) {
		if strings.HasPrefix(flags, "VmFlags:") && strings.Contains(flags+" ", " hg ") {
			return
		}
	}
	t.Error("nothing is mapped in large pages")
}
