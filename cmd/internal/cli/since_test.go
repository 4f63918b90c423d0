package cli

import (
	"encoding/json"
	"os"
	"testing"
	"time"

	"steepbook/cmd/internal/somejar"
)

// TestSinceIsWithinTheBatch: the moment from which days are counted is never before the batch began, nor after
// it is asked.
func TestSinceIsWithinTheBatch(t *testing.T) {
	rest := "[[addition]]\nname = \"egg yolk\"\namount = \"100 g\"\n[[addition]]\nname = \"cream\"\namount = \"200 ml\"\n" +
		"[[addition]]\nname = \"sugar\"\namount = \"200 g\"\n"
	in := func(name, amount string, at time.Time) string {
		return "[[added]]\nname = \"" + name + "\"\namount = \"" + amount + "\"\nat = " + at.Format("2006-01-02T15:04:05") + "\n"
	}
	for n := range somejar.Many(12) {
		j := somejar.New(n)
		strained := somejar.Time(j.Now + 60)
		src := j.Head() + rest
		for _, table := range j.Tables() {
			src += table
		}
		src += "[[strained]]\nat = " + strained.Format("2006-01-02T15:04:05") + "\n"
		for i, x := range [][2]string{{"egg yolk", "50 g"}, {"cream", "200 ml"}, {"sugar", "200 g"}} {
			at := strained.Add(time.Duration(1+i*int(n%5)) * 24 * time.Hour)
			src += in(x[0], x[1], at)
			file := t.TempDir() + "/jar.toml"
			if err := os.WriteFile(file, []byte(src), 0o644); err != nil {
				t.Fatal(err)
			}
			now := at.Add(time.Hour)
			status, out, errs := run(t, "keep", file, "--json", "--now", now.Format("2006-01-02T15:04"))
			var said struct {
				Since *time.Time `json:"since_at"`
			}
			if err := json.Unmarshal([]byte(out), &said); err != nil {
				t.Fatalf("status %d, %v: %s\n%s", status, err, errs, src)
			}
			if s := said.Since; s != nil && (s.Before(somejar.Started) || s.After(now)) {
				t.Errorf("since_at is %v of a batch of %v, at %v:\n%s", s, somejar.Started, now, src)
			}
		}
	}
}
