package main

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"steepbook/cmd/internal/somejar"
	"strings"
	"testing"
	"time"
)

// The speed of the whole program, start to end: every benchmark runs the built
// binary on an invented book and reports milliseconds of wall clock and of
// processor (on a busy machine the steadier figure) and the most memory it held. Figures are read, never tested:
//
//	go test ./cmd/steepbook -run '^$' -bench Speed -benchtime 5x

// built compiles a program once for all benchmarks, the way it is released.
func built(b *testing.B, dir string) string {
	b.Helper()
	exe := filepath.Join(b.TempDir(), "program")
	cmd := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-tags", "urfave_cli_no_docs", "-o", exe, ".")
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	return exe
}

// ran runs a program once; an answer that asks for an act is an answer.
func ran(b *testing.B, exe string, args ...string) *os.ProcessState {
	b.Helper()
	cmd := exec.Command(exe, args...)
	cmd.Env = append(os.Environ(), "TZ=UTC", "NO_COLOR=1")
	out, err := cmd.CombinedOutput()
	if code := cmd.ProcessState.ExitCode(); err != nil && code != 3 {
		b.Fatalf("%s: %v\n%s", strings.Join(args, " "), err, out)
	}
	return cmd.ProcessState
}

// measure reports a command's wall clock and memory; again puts the book back
// to what it was.
func measure(b *testing.B, exe string, again func(), args ...string) {
	b.Helper()
	most, cpu := 0.0, time.Duration(0)
	for b.Loop() {
		state := ran(b, exe, args...)
		most = math.Max(most, peakMB(state))
		cpu += state.UserTime() + state.SystemTime()
		b.StopTimer()
		again()
		b.StartTimer()
	}
	b.ReportMetric(b.Elapsed().Seconds()*1000/float64(b.N), "ms/run")
	b.ReportMetric(cpu.Seconds()*1000/float64(b.N), "cpu-ms/run")
	b.ReportMetric(most, "MB-peak")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkSpeed runs each command on books of 1, 100 and 1,000 batches, beside
// a Go program that does nothing.
func BenchmarkSpeed(b *testing.B) {
	if runtime.GOOS == "windows" {
		b.Skip("memory is read the way of Unix")
	}
	empty := b.TempDir()
	for name, text := range map[string]string{"go.mod": "module empty\n\ngo 1.26\n", "main.go": "package main\n\nfunc main() {}\n"} {
		if err := os.WriteFile(filepath.Join(empty, name), []byte(text), 0o644); err != nil {
			b.Fatal(err)
		}
	}
	nothing := built(b, empty)
	b.Run("nothing", func(b *testing.B) { measure(b, nothing, func() {}) })
	exe := built(b, ".")
	for _, n := range []int{1, 100, 1000} {
		dir := b.TempDir()
		file := somejar.Book(b, dir, n)
		src, err := os.ReadFile(file)
		if err != nil {
			b.Fatal(err)
		}
		again := func() {
			if err := os.WriteFile(file, src, 0o644); err != nil {
				b.Fatal(err)
			}
		}
		now := []string{"--now", somejar.BookNow.Format("2006-01-02T15:04")}
		for _, c := range [][]string{
			{"steep", file}, {"taste", file, "green cardamom=3.5"}, {"keep", file}, {"blend", file}, {"check", file}, {"book", dir},
		} {
			b.Run(fmt.Sprintf("%s/%d", c[0], n), func(b *testing.B) { measure(b, exe, again, append(c, now...)...) })
		}
	}
}
