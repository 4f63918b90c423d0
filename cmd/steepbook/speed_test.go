package main

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"steepbook/cmd/internal/somejar"
	"strings"
	"testing"
	"time"
)

// The speed of the whole program, start to end: every benchmark runs the built
// binary on an invented book. Figures are read, never tested; the table of
// DEVELOPERS.md is printed at the end:
//
//	go test ./cmd/steepbook -run '^$' -bench Speed -benchtime 5x

// cell is what one command takes: the median of its runs, the least processor time (on
// a busy machine the steadier figure) and the most memory it held, where that is more
// than what the process that measures holds.
type cell struct {
	ms, cpuMS, peakMB float64
}

// String is the wall clock, the processor in brackets, and the memory.
func (c cell) String() string {
	if c.ms >= 1000 {
		return fmt.Sprintf("%.1f s (%.1f), %.0f MB", c.ms/1000, c.cpuMS/1000, c.peakMB)
	}
	return fmt.Sprintf("%.0f ms (%.0f), %.0f MB", c.ms, c.cpuMS, c.peakMB)
}

// per says how many times as much processor and memory one takes as another.
func (c cell) per(less cell) string {
	return fmt.Sprintf("x %.1f, x %.1f", c.cpuMS/less.cpuMS, c.peakMB/less.peakMB)
}

// built compiles a program once for all benchmarks, the way it is released.
func built(b *testing.B, dir string) string {
	b.Helper()
	exe := filepath.Join(b.TempDir(), "program")
	cmd := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-gcflags", "steepbook/cmd/...=-l",
		"-gcflags", "crypto/...=-l", "-tags", "urfave_cli_no_docs,nethttpomithttp2", "-o", exe, ".")
	cmd.Dir, cmd.Env = dir, append(os.Environ(), "CGO_ENABLED=0")
	if out, err := cmd.CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	return exe
}

// typed is a command line in a folder of its own, at the moment of the invented book.
func typed(dir, exe string, args ...string) *exec.Cmd {
	cmd := exec.Command(exe, args...)
	cmd.Dir, cmd.Env = dir, append(os.Environ(), "TZ=UTC", "NO_COLOR=1")
	return cmd
}

// measure runs a command and reports what it takes; again puts the book back to what it
// was. An answer that asks for an act is an answer.
func measure(b *testing.B, again func(), exe string, args ...string) (c cell) {
	b.Helper()
	var took []float64
	c.cpuMS = math.Inf(1)
	dir := b.TempDir()
	for b.Loop() {
		cmd := typed(dir, exe, args...)
		begun := time.Now()
		out, err := cmd.CombinedOutput()
		took = append(took, time.Since(begun).Seconds()*1000)
		if code := cmd.ProcessState.ExitCode(); err != nil && code != 3 {
			b.Fatalf("%s: %v\n%s", strings.Join(args, " "), err, out)
		}
		used := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
		c.cpuMS = math.Min(c.cpuMS, used.Seconds()*1000)
		c.peakMB = math.Max(c.peakMB, peakMB(cmd.ProcessState))
		again()
	}
	c.ms = median(took)
	report(b, c)
	return c
}

func report(b *testing.B, c cell) {
	b.ReportMetric(c.ms, "ms/run")
	b.ReportMetric(c.cpuMS, "cpu-ms/run")
	b.ReportMetric(c.peakMB, "MB-peak")
	b.ReportMetric(0, "ns/op")
}

// median is NaN of nothing, where -bench leaves something out.
func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	slices.Sort(v)
	return v[len(v)/2]
}

// emptyProgram writes a Go program that does nothing.
func emptyProgram(b *testing.B) string {
	b.Helper()
	dir := b.TempDir()
	for name, text := range map[string]string{
		"go.mod": "module empty\n\ngo 1.26\n", "main.go": "package main\n\nfunc main() {}\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			b.Fatal(err)
		}
	}
	return dir
}

// BenchmarkSpeed runs each command on books of 1 to 5,000 batches, beside a Go program
// that does nothing.
func BenchmarkSpeed(b *testing.B) {
	if runtime.GOOS == "windows" {
		b.Skip("memory is read the way of Unix")
	}
	run := func(name string, again func(), exe string, args ...string) (c cell) {
		b.Run(name, func(b *testing.B) { c = measure(b, again, exe, args...) })
		return c
	}
	exe, rest := built(b, "."), func() {}
	said := fmt.Sprintf("an empty Go program: %s; steepbook --help: %s\n\n",
		run("nothing", rest, built(b, emptyProgram(b))), run("help", rest, exe, "--help"))
	commands := []string{"steep", "taste", "keep", "blend", "check", "book", "chart", "page", "label"}
	said += "| batches in the book | " + strings.Join(commands, " | ") + " |\n|" +
		strings.Repeat(" --- |", len(commands)+1) + "\n"
	served, rows := "", [][]cell{}
	for _, n := range []int{1, 10, 100, 1000, 5000} {
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
		var row []cell
		for _, c := range commands {
			args := []string{c, file, "--now", somejar.BookNow.Format("2006-01-02T15:04")}
			switch c {
			case "book":
				args[1] = dir
			case "taste":
				args = append(args, "green cardamom=3.5")
			}
			row = append(row, run(fmt.Sprintf("%s/%d", c, n), again, exe, args...))
		}
		said += fmt.Sprintf("| %d |", n)
		for _, c := range row {
			said += " " + c.String() + " |"
		}
		said += "\n"
		if n == 1000 {
			served = serves(b, exe, dir, filepath.Base(file))
		}
		rows = append(rows, row)
	}
	said += "| 5,000 to 1,000 |"
	for i, c := range rows[4] {
		said += " " + c.per(rows[3][i]) + " |"
	}
	fmt.Printf("\n%s\n\n%s\n", said, served)
}

// serves is how long the pages of a served book take: the first one, asked for as soon as
// the program says where it is, counts from the start of the program.
func serves(b *testing.B, exe, dir, file string) (said string) {
	b.Helper()
	var first, list, batch []float64
	var c cell
	b.Run("serve/1000", func(b *testing.B) {
		for b.Loop() {
			cmd := typed(b.TempDir(), exe, "serve", dir, "--port", "0", "--now",
				somejar.BookNow.Format("2006-01-02T15:04"))
			out, err := cmd.StdoutPipe()
			if err != nil {
				b.Fatal(err)
			}
			begun := time.Now()
			if err := cmd.Start(); err != nil {
				b.Fatal(err)
			}
			at := address(b, out)
			fetch(b, at)
			first = append(first, time.Since(begun).Seconds()*1000)
			list = append(list, fetch(b, at), fetch(b, at), fetch(b, at))
			one := at + "b/" + strings.TrimSuffix(file, ".toml")
			fetch(b, one)
			batch = append(batch, fetch(b, one), fetch(b, one), fetch(b, one))
			_ = cmd.Process.Signal(os.Interrupt)
			_ = cmd.Wait()
			c.peakMB = math.Max(c.peakMB, peakMB(cmd.ProcessState))
		}
		c.ms = median(list)
		report(b, c)
	})
	return fmt.Sprintf("serve, 1,000 batches: the list %.0f ms, a batch %.0f ms, the first page %.1f s after the start; %.0f MB",
		c.ms, median(batch), median(first)/1000, c.peakMB)
}

// address reads where a served book is.
func address(b *testing.B, out io.Reader) string {
	b.Helper()
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if at := strings.TrimSpace(lines.Text()); strings.HasPrefix(at, "http://") {
			return at
		}
	}
	b.Fatal("the program does not say where the book is")
	return ""
}

// fetch is how many milliseconds a page takes.
func fetch(b *testing.B, at string) float64 {
	b.Helper()
	begun := time.Now()
	answer, err := http.Get(at)
	if err != nil {
		b.Fatal(err)
	}
	defer answer.Body.Close()
	if _, err := io.Copy(io.Discard, answer.Body); err != nil || answer.StatusCode != http.StatusOK {
		b.Fatal(answer.Status, err)
	}
	return time.Since(begun).Seconds() * 1000
}

// BenchmarkBigJar runs commands on one jar with many tastings, and one with many
// botanicals:
//
//	go test ./cmd/steepbook -run '^$' -bench BigJar -benchtime 3x
func BenchmarkBigJar(b *testing.B) {
	exe := built(b, ".")
	now := []string{"--now", somejar.BookNow.Format("2006-01-02T15:04")}
	for _, size := range [][2]int{{3, 10}, {3, 100}, {3, 300}, {3, 1000}, {3, 3000}, {20, 3}, {100, 3}, {300, 3}} {
		file := somejar.Big(b, b.TempDir(), size[0], size[1])
		for _, c := range []string{"steep", "keep", "blend", "page", "chart"} {
			name := fmt.Sprintf("%s/%d-botanicals-%d-tastings", c, size[0], size[1])
			b.Run(name, func(b *testing.B) { measure(b, func() {}, exe, append([]string{c, file}, now...)...) })
		}
	}
}
