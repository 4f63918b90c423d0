package web

import (
	"context"
	"flag"
	"fmt"
	"io"
	"log"
	"math/rand/v2"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
)

var loadFor = flag.Duration("load-for", time.Minute, "how long -long loads")

// TestLoad: phones log and read at once; every entry that was acknowledged is in its file
// once, those of one phone in their order, and each file reads. With -long it is the load
// of DEVELOPERS.md, and the figures are printed with -v.
func TestLoad(t *testing.T) {
	batches, phones, lasts, pause := 12, 6, time.Second, 20*time.Millisecond
	if somejar.Long() {
		batches, phones, lasts, pause = 100, 20, *loadFor, time.Second
	}
	dir := t.TempDir()
	somejar.Book(t, dir, batches)
	names := make([]string, batches) // those of this evening are the last ones
	for i := range names {
		names[i] = fmt.Sprintf("jar-%04d", batches-1-i)
	}
	base, stop := started(t, dir)
	defer stop()
	if w, err := http.Get(base + "/"); err != nil || w.StatusCode != 200 { // the first waits for the whole book
		t.Fatal(w, err)
	}
	deadline := time.Now().Add(lasts)
	var all sync.WaitGroup
	phonesOf := make([]*phone, phones)
	for i := range phonesOf {
		p := &phone{t: t, base: base, id: i, r: rand.New(rand.NewPCG(13, uint64(i))), wrote: map[string][]string{},
			client: &http.Client{Transport: &http.Transport{}, Timeout: 30 * time.Second,
				CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
		phonesOf[i] = p
		all.Go(func() {
			for n := 0; time.Now().Before(deadline) && !t.Failed(); n++ {
				name := names[p.r.IntN(len(names))]
				if p.r.IntN(2) == 0 {
					name = names[p.r.IntN(2)] // the jars of this evening
				}
				p.evening(name, n, pause)
			}
		})
	}
	all.Wait()
	var took []time.Duration
	entries := 0
	for _, p := range phonesOf {
		took = append(took, p.took...)
		for name, wrote := range p.wrote {
			entries += len(wrote)
			var found []string
			b, err := batch.Read(filepath.Join(dir, name+".toml"), time.Local)
			if err != nil {
				t.Fatalf("%s does not read any more: %v", name, err)
			}
			for _, x := range b.Notes {
				if strings.HasPrefix(x.What, p.mark()) {
					found = append(found, x.What)
				}
			}
			for _, x := range b.Tastings {
				if strings.HasPrefix(x.Words, p.mark()) {
					found = append(found, x.Words)
				}
			}
			slices.Sort(found)
			slices.Sort(wrote)
			if !slices.Equal(found, wrote) {
				t.Errorf("%s: phone %d was told of %q, there is %q", name, p.id, wrote, found)
			}
			inOrder(t, name, b, p.mark())
		}
	}
	if entries == 0 || len(took) == 0 {
		t.Fatal("nothing was logged")
	}
	slices.Sort(took)
	at := func(share float64) time.Duration {
		return took[min(int(share*float64(len(took))), len(took)-1)].Round(time.Millisecond / 10)
	}
	t.Logf("%d phones, %d batches, %s: %d pages, %d entries; a page took %s (median), %s (19 of 20), %s (99 of 100), %s at most",
		phones, batches, lasts, len(took), entries, at(0.5), at(0.95), at(0.99), took[len(took)-1])
}

// inOrder holds what one phone wrote to stand in the order in which it wrote.
func inOrder(t *testing.T, name string, b *batch.Batch, mark string) {
	t.Helper()
	last := ""
	for _, x := range b.Notes {
		if strings.HasPrefix(x.What, mark) {
			if x.What <= last {
				t.Errorf("%s: %q stands behind %q", name, x.What, last)
			}
			last = x.What
		}
	}
}

// started serves a folder on a port of its own.
func started(t *testing.T, dir string, change ...func(*Config)) (base string, stop func()) {
	t.Helper()
	kept, err := book.Keep(dir)
	if err != nil {
		t.Fatal(err)
	}
	c := Config{Book: kept, Now: func() time.Time { return somejar.BookNow }, Hosts: []string{"127.0.0.1"},
		Log: log.New(os.Stderr, "", 0)}
	for _, f := range change {
		f(&c)
	}
	l, err := net.Listen("tcp", net.JoinHostPort(c.Hosts[0], "0"))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- Serve(ctx, []net.Listener{l}, c) }()
	return "http://" + l.Addr().String(), func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		kept.Close()
	}
}

// phone is one who reads and logs.
type phone struct {
	t      *testing.T
	base   string
	id     int
	r      *rand.Rand
	client *http.Client
	took   []time.Duration
	wrote  map[string][]string // by batch
}

func (p *phone) mark() string { return fmt.Sprintf("phone %02d, ", p.id) }

// do asks for a page, and reads all of it.
func (p *phone) do(method, target string, form url.Values) (status int, head http.Header, body string) {
	r, err := http.NewRequest(method, p.base+target, strings.NewReader(form.Encode()))
	if err != nil {
		p.t.Error(err)
		return
	}
	if method == "POST" {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	begin := time.Now()
	w, err := p.client.Do(r)
	if err != nil {
		p.t.Error(err)
		return
	}
	defer w.Body.Close()
	text, err := io.ReadAll(w.Body)
	if err != nil {
		p.t.Error(err)
	}
	p.took = append(p.took, time.Since(begin))
	return w.StatusCode, w.Header, string(text)
}

// evening looks at the book, opens a batch, logs in it, and reads what is said of it.
func (p *phone) evening(name string, n int, pause time.Duration) {
	wait := func() { time.Sleep(pause/2 + time.Duration(p.r.Int64N(int64(pause)))) }
	if status, _, body := p.do("GET", "/", nil); status != 200 {
		p.t.Errorf("the book: %d: %s", status, body)
	}
	wait()
	_, _, page := p.do("GET", "/b/"+name, nil)
	if p.r.IntN(3) == 0 { // it is far down, and loaded by who scrolls there
		p.do("GET", "/b/"+name+"/curves.svg", nil)
	}
	wait()
	m := ticketField.FindStringSubmatch(page)
	if m == nil {
		_, text, _ := strings.Cut(page, "<main")
		p.t.Errorf("%s: no form: %.300s", name, text)
		return
	}
	words := fmt.Sprintf("%s%06d", p.mark(), n)
	form, act := url.Values{"ticket": {m[1]}, "what": {words}}, "note"
	if p.r.IntN(4) == 0 {
		act = "taste"
		form = url.Values{"ticket": {m[1]}, "words": {words}, "sample": {neat}, "taster": {p.mark()},
			"score:bitter": {"3"}}
	}
	status, head, body := p.do("POST", "/b/"+name+"/"+act, form)
	if status != http.StatusSeeOther {
		p.t.Errorf("%s %s: %d: %.300s", name, act, status, body)
		return
	}
	p.wrote[name] = append(p.wrote[name], words)
	if p.r.IntN(3) == 0 { // a second tap
		if status, _, _ := p.do("POST", "/b/"+name+"/"+act, form); status != http.StatusSeeOther {
			p.t.Errorf("%s: the second tap: %d", name, status)
		}
	}
	p.do("GET", head.Get("Location"), nil)
	wait()
}

// BenchmarkPages is how long a page takes on a book of 1,000 that somebody has looked at:
// as it stands, and when another entry has just come.
func BenchmarkPages(b *testing.B) {
	dir := b.TempDir()
	file := filepath.Base(somejar.Book(b, dir, 1000))
	kept, err := book.Keep(dir)
	if err != nil {
		b.Fatal(err)
	}
	defer kept.Close()
	s := &site{t: b, dir: dir, h: Handler(Config{Book: kept, Now: func() time.Time { return somejar.BookNow },
		Hosts: []string{"127.0.0.1"}, Log: log.New(os.Stderr, "", 0)})}
	page := address(file)
	s.ask("GET", "/", "")
	s.ask("GET", page, "")
	for _, at := range []string{"/", page} {
		b.Run("as it stands "+at, func(b *testing.B) {
			for b.Loop() {
				s.ask("GET", at, "")
			}
		})
		b.Run("after an entry "+at, func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				note := batch.NewNote{What: "clear", At: "13 h"}
				if err := batch.AppendAgain(filepath.Join(dir, file), note, time.Local); err != nil {
					b.Fatal(err)
				}
				b.StartTimer()
				s.ask("GET", at, "")
			}
		})
	}
}
