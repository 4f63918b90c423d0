package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
)

var killFor = flag.Duration("kill-for", 5*time.Minute, "how long -long kills")

// lossFile is an invented batch with something to pull for each writer.
const lossFile = "# mine: \"quoted\", tab\t, é\r\nname = \"Jar\"\nstarted = 2026-11-20T18:00:00\n" +
	"[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n" +
	"[[botanical]]\nname = \"herb w0\"\n[[botanical]]\nname = \"herb w1\"\n[[botanical]]\nname = \"herb w2\"\n" +
	"[[watch]]\nname = \"bitter\"\nlimit = 2\n"

// mark is by what an entry is found again: its writer and its number, or what was pulled.
var mark = regexp.MustCompile(`herb w\d|w\d \d{6}`)

// evening is one file that several write to while they are killed.
type evening struct {
	t    *testing.T
	dir  string
	file string
	base atomic.Value // of the server, "" while there is none

	mu                       sync.Mutex
	told                     []string        // what was acknowledged, in the order of each writer
	undone                   map[string]bool // what was acknowledged to be taken out
	killedUndos, runs, kills int
	seenCut                  int
}

// TestNoLoss kills processes that write to one file, and the server that writes to it too, at
// random and in the moment of writing: what was acknowledged stands there once, in the order
// of each writer, and the file reads whenever somebody looks. With -long it takes minutes:
//
//	go test ./cmd/steepbook -run NoLoss -long -v
func TestNoLoss(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("processes are killed the way of Unix")
	}
	lasts := somejar.Either(1500*time.Millisecond, *killFor)
	sum := &evening{undone: map[string]bool{}}
	rounds := 0
	for until := time.Now().Add(lasts); time.Now().Before(until) && !t.Failed(); rounds++ {
		for _, e := range both(t, min(time.Until(until), 40*time.Second)) {
			sum.told = append(sum.told, e.told...)
			sum.runs, sum.kills, sum.seenCut = sum.runs+e.runs, sum.kills+e.kills, sum.seenCut+e.seenCut
			sum.killedUndos += e.killedUndos
			for m := range e.undone {
				sum.undone[fmt.Sprint(rounds, m)] = true
			}
		}
	}
	t.Logf("%s, %d evenings: %d commands and requests, %d of them killed; %d entries acknowledged, %d taken out again "+
		"and %d undos killed; an entry cut off was seen %d times", lasts, rounds, sum.runs, sum.kills, len(sum.told),
		len(sum.undone), sum.killedUndos, sum.seenCut)
}

// both are an evening of commands and a browser, and one of processes that do nothing but log,
// by the function that all of them log by.
func both(t *testing.T, lasts time.Duration) [2]*evening {
	var all sync.WaitGroup
	var list [2]*evening
	for i := range list {
		e := &evening{t: t, dir: t.TempDir(), undone: map[string]bool{}}
		list[i] = e
		who := []func(going func() bool){e.serves}
		for w := range 3 {
			who = append(who, func(going func() bool) { e.types(w, going) })
		}
		for w := 3; w < 5; w++ {
			who = append(who, func(going func() bool) { e.taps(w, going) })
		}
		if i == 1 {
			who = []func(going func() bool){func(going func() bool) { e.logs(1, going) }, func(going func() bool) { e.logs(2, going) }}
		}
		all.Go(func() { e.run(lasts, who) })
	}
	all.Wait()
	return list
}

func (e *evening) run(lasts time.Duration, who []func(going func() bool)) {
	e.file = filepath.Join(e.dir, "jar.toml")
	if err := os.WriteFile(e.file, []byte(lossFile), 0o644); err != nil {
		e.t.Fatal(err)
	}
	e.base.Store("")
	until := time.Now().Add(lasts)
	going := func() bool { return time.Now().Before(until) && !e.t.Failed() }
	var all sync.WaitGroup
	for _, one := range who {
		all.Go(func() { one(going) })
	}
	all.Go(func() {
		for ; going(); time.Sleep(time.Millisecond) {
			b, err := batch.Read(e.file, time.Local)
			if err != nil {
				e.t.Errorf("it does not read: %v", err)
				return
			}
			if b.CutOff != "" {
				e.mu.Lock()
				e.seenCut++
				e.mu.Unlock()
			}
		}
	})
	all.Wait()
	e.check()
}

// check holds the file to what was acknowledged.
func (e *evening) check() {
	src, err := os.ReadFile(e.file)
	if err != nil {
		e.t.Fatal(err)
	}
	if !bytes.HasPrefix(src, []byte(lossFile)) {
		e.t.Errorf("what the maker wrote is changed: %.300q", src)
	}
	var lines []string
	for line := range strings.Lines(string(src[len(lossFile):])) {
		if !strings.HasPrefix(line, "#") { // what was cut off
			lines = append(lines, line)
		}
	}
	there := map[string]int{}
	last := map[string]string{}
	for _, m := range mark.FindAllString(strings.Join(lines, ""), -1) {
		if there[m]++; there[m] > 1 {
			e.t.Errorf("%q is there %d times", m, there[m])
		}
		if writer, number, numbered := strings.Cut(m, " "); numbered && writer != "herb" {
			if number <= last[writer] {
				e.t.Errorf("%s stands behind %s", m, last[writer])
			}
			last[writer] = number
		}
	}
	missing := 0
	for _, m := range e.told {
		if there[m] == 0 && !e.undone[m] {
			missing++
		}
	}
	if missing > e.killedUndos { // one that was killed may have taken out one
		e.t.Errorf("%d entries that were acknowledged are missing, and %d undos were killed", missing, e.killedUndos)
	}
	if left, err := filepath.Glob(filepath.Join(e.dir, ".*")); err != nil || len(left) > 0 {
		e.t.Errorf("left behind: %v, %v", left, err)
	}
	b, err := batch.Read(e.file, time.Local)
	if err != nil {
		e.t.Fatal(err)
	}
	if n := len(b.Log()); n != len(there) && b.CutOff == "" {
		e.t.Errorf("%d entries read, %d are there", n, len(there))
	}
}

// program is the command line, run by the binary of the tests.
func program(args ...string) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Args = append([]string{"steepbook"}, args...)
	cmd.Env = append(os.Environ(), "NO_COLOR=1")
	return cmd
}

// logger is a process that logs as fast as it can, and says what is logged.
func logger() {
	var w, n int
	if _, err := fmt.Sscan(os.Args[2]+" "+os.Args[3], &w, &n); err != nil {
		panic(err)
	}
	for ; ; n++ {
		m := fmt.Sprintf("w%d %06d", w, n)
		words := m + strings.Repeat(" and so on", n%7*n%300) // often over more than one page
		if err := batch.Append(os.Args[1], batch.NewNote{What: words, At: "3 h"}, time.Local); err != nil {
			panic(err)
		}
		fmt.Println(m)
	}
}

// logs starts loggers and kills them.
func (e *evening) logs(w int, going func() bool) {
	r := rand.New(rand.NewPCG(uint64(time.Now().UnixNano()), uint64(w)))
	for n := 1; going(); n += 2 { // one may have been logged that nobody was told of
		cmd := exec.Command(os.Args[0])
		cmd.Args = []string{"logger", e.file, fmt.Sprint(w), fmt.Sprint(n)}
		var out, faults bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &faults
		if err := cmd.Start(); err != nil {
			e.t.Error(err)
			return
		}
		time.Sleep(100*time.Millisecond + time.Duration(r.Int64N(int64(900*time.Millisecond))))
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		if faults.Len() > 0 {
			e.t.Errorf("%.500s", faults.String())
		}
		e.mu.Lock()
		e.kills++
		for line := range strings.Lines(out.String()) {
			if strings.HasSuffix(line, "\n") {
				e.told = append(e.told, strings.TrimSuffix(line, "\n"))
				n++
			}
		}
		e.runs++
		e.mu.Unlock()
	}
}

// types runs commands one after the other and kills some of them.
func (e *evening) types(w int, going func() bool) {
	r := rand.New(rand.NewPCG(uint64(time.Now().UnixNano()), uint64(w)))
	for n := 1; going(); n++ {
		m := fmt.Sprintf("w%d %06d", w, n)
		words := m
		if r.IntN(4) == 0 { // over more than one page of the disk's cache
			words += strings.Repeat(" and so on", 100+r.IntN(1500))
		}
		args := []string{"note", e.file, words}
		switch {
		case n == 10:
			m = fmt.Sprintf("herb w%d", w)
			args = []string{"pull", e.file, m}
		case r.IntN(3) == 0:
			args = []string{"taste", e.file, "bitter=3", "--words", words}
		case r.IntN(4) == 0:
			args = []string{"add", e.file, "syrup " + m + ": 10 g"}
		case r.IntN(12) == 0:
			args = []string{"undo", e.file}
		}
		said, killed, err := e.killed(r, program(append(args, "--now", "2026-11-21T08:00")...))
		e.mu.Lock()
		e.runs++
		var exit *exec.ExitError
		undo := args[0] == "undo"
		switch {
		case killed:
			e.kills++
			if undo {
				e.killedUndos++
			}
		case err == nil || errors.As(err, &exit) && exit.ExitCode() == 3:
			if !undo {
				e.told = append(e.told, m)
			}
			for _, gone := range mark.FindAllString(said, -1) {
				if undo {
					e.undone[gone] = true
				}
			}
		case undo && exit != nil && exit.ExitCode() == 2: // there is nothing to take out
		case strings.Contains(said, "keeps the file locked"): // it waited for ten seconds on a busy machine
		default:
			e.t.Errorf("%.80q: %v: %.500s", args, err, said)
		}
		e.mu.Unlock()
	}
}

// killed runs a command, and kills it in two of three cases: at any time, or when the file
// grows.
func (e *evening) killed(r *rand.Rand, cmd *exec.Cmd) (said string, killed bool, err error) {
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	before, _ := os.Stat(e.file)
	if err := cmd.Start(); err != nil {
		return "", false, err
	}
	done := make(chan struct{})
	var all sync.WaitGroup
	switch r.IntN(3) {
	case 0:
		timer := time.AfterFunc(time.Duration(r.Int64N(int64(150*time.Millisecond))), func() { _ = cmd.Process.Kill() })
		defer timer.Stop()
	case 1:
		all.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
				}
				if now, err := os.Stat(e.file); err == nil && now.Size() != before.Size() {
					_ = cmd.Process.Kill()
					return
				}
				time.Sleep(20 * time.Microsecond)
			}
		})
	}
	err = cmd.Wait()
	close(done)
	all.Wait()
	return out.String(), cmd.ProcessState.ExitCode() < 0, err
}

// serves runs the server and kills it again and again.
func (e *evening) serves(going func() bool) {
	r := rand.New(rand.NewPCG(uint64(time.Now().UnixNano()), 99))
	for going() {
		cmd := program("serve", e.dir, "--port", "0", "--now", "2026-11-21T08:00")
		out, err := cmd.StdoutPipe()
		if err != nil {
			e.t.Error(err)
			return
		}
		if err := cmd.Start(); err != nil {
			e.t.Error(err)
			return
		}
		said := make([]byte, 4096)
		n, text := 0, ""
		for !strings.Contains(text, "/\n") && err == nil {
			n, err = out.Read(said)
			text += string(said[:n])
		}
		e.base.Store(strings.TrimSuffix(regexp.MustCompile(`http://[^/\s]+/`).FindString(text), "/"))
		time.Sleep(500*time.Millisecond + time.Duration(r.Int64N(int64(2*time.Second))))
		e.base.Store("")
		_ = cmd.Process.Kill()
		_, _ = io.Copy(io.Discard, out)
		_ = cmd.Wait()
		e.mu.Lock()
		e.kills++
		e.mu.Unlock()
	}
}

// taps logs in the browser; what nobody answered to is not known to be logged.
func (e *evening) taps(w int, going func() bool) {
	client := &http.Client{Timeout: 20 * time.Second,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	field := regexp.MustCompile(`name="ticket" value="([^"]+)"`)
	for n := 1; going(); n++ {
		base, _ := e.base.Load().(string)
		if base == "" {
			time.Sleep(10 * time.Millisecond)
			continue
		}
		w1, err := client.Get(base + "/b/jar")
		if err != nil {
			continue
		}
		page, err := io.ReadAll(w1.Body)
		w1.Body.Close()
		ticket := field.FindSubmatch(page)
		if err != nil || ticket == nil {
			if err == nil {
				e.t.Errorf("no form: %d %.300s", w1.StatusCode, page)
			}
			continue
		}
		m := fmt.Sprintf("w%d %06d", w, n)
		form := url.Values{"ticket": {string(ticket[1])}, "what": {m}}
		act := "/b/jar/note"
		if n%3 == 0 {
			act, form = "/b/jar/taste", url.Values{"ticket": form["ticket"], "words": {m}, "sample": {"neat"}, "score:bitter": {"3"}}
		}
		e.mu.Lock()
		e.runs++
		e.mu.Unlock()
		w2, err := client.PostForm(base+act, form)
		if err != nil {
			continue
		}
		w2.Body.Close()
		if to := w2.Header.Get("Location"); w2.StatusCode == http.StatusSeeOther && strings.Contains(to, "done=") {
			e.mu.Lock()
			e.told = append(e.told, m)
			e.mu.Unlock()
		} else if base == e.base.Load() { // the server is new else, and knows no such form
			e.t.Errorf("%s: %d %s", m, w2.StatusCode, to)
		}
	}
}

// TestInterrupted: what is ended by hand leaves no temporary file behind.
func TestInterrupted(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("processes are ended the way of Unix")
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "jar.toml")
	if err := os.WriteFile(file, []byte(lossFile), 0o644); err != nil {
		t.Fatal(err)
	}
	tries := somejar.Either(12, 400)
	ended, whole := 0, 0
	for i := range tries {
		args := [][]string{{"chart", file}, {"page", file}, {"new", filepath.Join(dir, fmt.Sprintf("n%d.toml", i)), "--spirit",
			"vodka 40 %: 500 ml"}, {"calendar", file}}[i%4]
		cmd := program(args...)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(rand.Int64N(int64(250 * time.Millisecond))))
		_ = cmd.Process.Signal([]os.Signal{os.Interrupt, syscall.SIGTERM}[i%2])
		if _ = cmd.Wait(); cmd.ProcessState.ExitCode() < 0 {
			ended++
		} else {
			whole++
		}
	}
	left, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if i := slices.IndexFunc(left, func(f os.DirEntry) bool { return strings.HasPrefix(f.Name(), ".") }); i >= 0 {
		t.Errorf("%s was left behind", left[i].Name())
	}
	t.Logf("%d ended by hand, %d done before", ended, whole)
}
