package records

import (
	"bytes"
	"testing"
	"time"

	"steepbook/data/batch"
)

func TestWhatIsExported(t *testing.T) {
	b, err := batch.Parse("orange.toml", []byte(`name = "Orange"
started = 2026-11-20T18:00:00
[[botanical]]
name = "=zest"
[[tasting]]
at = "6 h"
sample = "25:22.5"
score = { "=zest" = 3.5 }
`), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := Write(&out, Tastings([]*batch.Batch{b}, time.UTC)); err != nil {
		t.Fatal(err)
	}
	if got, want := out.String(), "batch,at,hours,taster,sample,flavour,score,words\r\n"+
		"orange.toml,2026-11-21T00:00:00Z,6,,25:22.5,'=zest,3.5,\r\n"; got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
}
