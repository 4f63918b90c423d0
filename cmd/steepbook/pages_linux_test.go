package main

import (
	"os"
	"os/exec"
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

// What it is for comes after it: one import, and it would be set up among the last.
func TestSetUpEarly(t *testing.T) {
	run := exec.Command(os.Args[0], "-test.run=^$")
	run.Env = append(os.Environ(), "GODEBUG=inittrace=1")
	out, err := run.CombinedOutput()
	if err != nil {
		t.Fatal(err)
	}
	trace := string(out)
	us, sync := strings.Index(trace, "steepbook/cmd/internal/pages"), strings.Index(trace, "init sync @")
	if us < 0 || sync < 0 || us > sync {
		t.Errorf("set up after package sync:\n%s", trace)
	}
}
