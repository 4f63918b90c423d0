package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite the golden text of the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"steepbook": main, "logger": logger})
}

// TestScripts runs the real program on the scripts in testdata/scripts: what is
// typed, what is answered, and the exit status.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "../../testdata/scripts",
		UpdateScripts: *update,
		Setup: func(e *testscript.Env) error {
			e.Setenv("TZ", "Europe/Vienna")
			e.Setenv("NO_COLOR", "1")
			e.Setenv("GOMAXPROCS", "1") // as many scripts as cores run side by side
			e.Setenv("COLUMNS", "100")  // fewer sentences are broken within what a script looks for
			return nil
		},
		Condition: func(cond string) (bool, error) {
			switch cond {
			case "root": // to whom no file is read-only
				return os.Geteuid() == 0, nil
			case "tiny": // a disk of a few pages can be had
				return exec.Command("unshare", "-rm", "mount", "-t", "tmpfs", "tmpfs", os.TempDir()).Run() == nil, nil
			}
			return false, fmt.Errorf("unknown condition %q", cond)
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"status": status,
			"visit":  visit,
		},
	})
}

// status runs a program and holds its exit status: status 3 steepbook steep …
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N program args…")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := 0
	if err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if strconv.Itoa(got) != args[0] {
		ts.Fatalf("exit status %d, want %s\n%s%s", got, args[0], ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
}

// visit asks a server, whose output a file gathers, for a page and holds its status and a
// text on it: visit out /path 200 text [name=value…]; with fields it sends the form of the
// page above, and follows nothing.
func visit(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 4 {
		ts.Fatalf("usage: visit file /path status text [name=value…]")
	}
	base := ""
	for range 500 {
		said, _ := os.ReadFile(ts.MkAbs(args[0])) // it may not be there yet
		if base = regexp.MustCompile(`http://[^/\s]+/`).FindString(string(said)); base != "" {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	client := &http.Client{Timeout: time.Minute}
	get := func(path string) (int, string) {
		r, err := client.Get(strings.TrimSuffix(base, "/") + path)
		ts.Check(err)
		defer r.Body.Close()
		text, err := io.ReadAll(r.Body)
		ts.Check(err)
		return r.StatusCode, string(text)
	}
	status, body := 0, ""
	if len(args) == 4 {
		status, body = get(args[1])
	} else {
		_, page := get(args[1][:strings.LastIndex(args[1], "/")])
		form := url.Values{}
		if m := regexp.MustCompile(`name="ticket" value="([^"]+)"`).FindStringSubmatch(page); m != nil {
			form.Set("ticket", m[1])
		}
		for _, field := range args[4:] {
			name, value, _ := strings.Cut(field, "=")
			form.Add(name, value)
		}
		client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
		r, err := client.PostForm(strings.TrimSuffix(base, "/")+args[1], form)
		ts.Check(err)
		r.Body.Close()
		status = r.StatusCode
	}
	if strconv.Itoa(status) != args[2] || !strings.Contains(body, args[3]) {
		ts.Fatalf("%s: status %d, want %s with %q on\n%s", args[1], status, args[2], args[3], body)
	}
}
