package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite the golden text of the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"steepbook": main})
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
			e.Setenv("COLUMNS", "100") // fewer sentences are broken within what a script looks for
			return nil
		},
		Condition: func(cond string) (bool, error) {
			if cond == "root" { // to whom no file is read-only
				return os.Geteuid() == 0, nil
			}
			return false, fmt.Errorf("unknown condition %q", cond)
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"status": status,
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
