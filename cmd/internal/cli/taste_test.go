package cli

import (
	"os"
	"strings"
	"testing"
)

// What has not happened yet is not logged, and the file stays as it is.
func TestNothingAheadIsLogged(t *testing.T) {
	const src = "name = \"T\"\nstarted = 2026-06-01T12:00:00\n[[botanical]]\nname = " +
		"\"orange zest\"\ntarget = 6\n"
	file := t.TempDir() + "/t.toml"
	for _, c := range []struct {
		typed []string
		at    string
		want  int
	}{
		{[]string{"taste", file, "orange zest=5"}, "2026-06-30T10:00", statusInput},
		{[]string{"taste", file, "orange zest=5"}, "30 d", statusInput},
		{[]string{"taste", file, "orange zest=5"}, "2026-06-06T00:05", statusInput},
		{[]string{"pull", file, "orange zest"}, "2026-06-30T10:00", statusInput},
		{[]string{"pull", file, "orange zest"}, "5 d", statusInput},
		{[]string{"taste", file, "orange zest=1"}, "2026-06-06T00:00", statusAnswered},
		{[]string{"taste", file, "orange zest=1"}, "108 h", statusAnswered},
		{[]string{"taste", file, "orange zest=1"}, "", statusAnswered},
		{[]string{"pull", file, "orange zest"}, "4 d", statusAnswered},
	} {
		if err := os.WriteFile(file, []byte(src), 0o644); err != nil {
			t.Fatal(err)
		}
		typed := append(c.typed, "--now", "2026-06-06T00:00")
		if c.at != "" {
			typed = append(typed, "--at", c.at)
		}
		status, out, errs := run(t, typed...)
		if status == statusAct {
			status = statusAnswered
		}
		if status != c.want {
			t.Errorf("%v: status %d: %s%s", typed, status, out, errs)
		}
		after, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if refused := c.want == statusInput; refused && (string(after) != src ||
			!strings.Contains(errs, "has not happened yet")) || !refused && string(after) == src {
			t.Errorf("%v: %q, the file:\n%s", typed, errs, after)
		}
	}
}

// The timetable of a running jar gives no clock times that are over.
func TestTogetherPrintsNoPastTimes(t *testing.T) {
	const src = "name = \"T\"\nstarted = 2026-06-01T12:00:00\n[spirit]\nname = \"rum\"\nabv = 40\namount = " +
		"\"500 ml\"\n[[botanical]]\nname = \"allspice\"\namount = \"10 g\"\ntarget = " +
		"6\n[[botanical]]\nname = \"cinnamon\"\ncut = \"stick\"\namount = \"5 g\"\ntarget = 3\n"
	file := t.TempDir() + "/t.toml"
	if err := os.WriteFile(file, []byte(src), 0o644); err != nil {
		t.Fatal(err)
	}
	for now, want := range map[string][]string{
		"2026-06-01T12:00": {"strain everything together tomorrow at about 21:15, 33 h after the start", "that is"},
		"2026-08-01T12:00": {"For the next jar: strain everything together after", "has come to its time"},
	} {
		status, out, errs := run(t, "steep", file, "--together", "--now", now)
		if late := now > "2026-07"; (status == statusAct) != late || status != statusAct && status != statusAnswered {
			t.Errorf("%s: status %d: %s%s", now, status, out, errs)
		}
		flat := strings.Join(strings.Fields(out), " ")
		for _, w := range want {
			if !strings.Contains(flat, w) {
				t.Errorf("%s: no %q in\n%s", now, w, out)
			}
		}
		if next := strings.Contains(out, "next jar"); next &&
			(strings.Contains(out, "that is") || strings.Contains(out, "Jun")) {
			t.Errorf("%s: clock times of a jar to come:\n%s", now, out)
		}
	}
}
