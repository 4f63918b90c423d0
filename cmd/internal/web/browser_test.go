package web

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"steepbook/cmd/internal/somejar"
)

var shots = flag.String("shots", "", "keep the pictures that the browser takes in this folder")

// screens are what the evening is walked through on.
var screens = []struct {
	name          string
	width, height int64
	phone         bool
}{{"phone", 360, 740, true}, {"desk", 1280, 900, false}}

// browser is a tab of a real browser; the test is skipped where there is none.
type browser struct {
	t    *testing.T
	ctx  context.Context
	dir  string
	name string
	n    int
}

// theBrowser is the one that each test has a window of its own in, which nothing is kept in for another; none
// where none is installed.
var theBrowser = sync.OnceValues(func() (context.Context, error) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		exe, err := exec.LookPath(name)
		if err != nil {
			continue
		}
		opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(exe), chromedp.NoSandbox,
			chromedp.DisableGPU, chromedp.Flag("disable-quic", true),
			chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
			chromedp.Flag("disable-background-networking", true))
		alloc, freeAll := chromedp.NewExecAllocator(context.Background(), opts...)
		ctx, free := chromedp.NewContext(alloc)
		closeBrowser = func() { free(); freeAll() }
		return ctx, chromedp.Do(ctx)
	}
	return nil, nil
})

var closeBrowser = func() {}

func TestMain(m *testing.M) {
	status := m.Run()
	closeBrowser()
	os.Exit(status)
}

func openBrowser(t *testing.T, name string, width, height int64, phone bool) *browser {
	t.Helper()
	browsers, err := theBrowser()
	if err != nil {
		t.Fatal(err)
	}
	if browsers == nil {
		t.Skip("no browser here (looked for chromium): the pages were not tried in one")
	}
	dir := *shots
	if dir == "" {
		dir = t.TempDir()
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	ctx, free := chromedp.NewContext(browsers, chromedp.WithNewBrowserContext())
	ctx, cancel := context.WithTimeout(ctx, 4*time.Minute)
	t.Cleanup(func() { cancel(); free() })
	b := &browser{t: t, ctx: ctx, dir: dir, name: name}
	emulate := []chromedp.EmulateViewportOption{chromedp.EmulateScale(1)}
	if phone {
		emulate = append(emulate, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	b.do(chromedp.EmulateViewport(width, height, emulate...))
	if _, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled,
		emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil { // every page works without script
		t.Fatal(err)
	}
	return b
}

func (b *browser) do(actions ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, actions...); err != nil {
		b.shot("failed")
		b.t.Fatal(err)
	}
}

// got is what an action gives.
func got[T any](b *browser, action chromedp.Action[T]) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, action)
	if err != nil {
		b.shot("failed")
		b.t.Fatal(err)
	}
	return v
}

// shot takes a picture of the whole page, where pictures are kept.
func (b *browser) shot(what string) {
	if *shots == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		b.t.Log(err)
		return
	}
	b.n++
	file := filepath.Join(b.dir, fmt.Sprintf("%s-%02d-%s.png", b.name, b.n, what))
	if err := os.WriteFile(file, png, 0o644); err != nil {
		b.t.Error(err)
	}
}

// tap clicks on what is labelled so within a form, as a thumb does.
func (b *browser) tap(selector string) {
	b.t.Helper()
	b.do(chromedp.ScrollIntoView(chromedp.CSS(selector)), chromedp.Click(chromedp.CSS(selector)))
}

// follow taps on what leads to another page, and waits for that.
func (b *browser) follow(selector string) {
	b.t.Helper()
	b.do(chromedp.ScrollIntoView(chromedp.CSS(selector)))
	if _, err := chromedp.RunResponse(b.ctx, chromedp.Click(chromedp.CSS(selector))); err != nil {
		b.shot("failed")
		b.t.Fatal(err)
	}
}

// send taps the button of a form and waits for what is said.
func (b *browser) send(act string) {
	b.t.Helper()
	b.follow(fmt.Sprintf(`form[action$="/%s"] button`, act))
	b.do(chromedp.WaitVisible(chromedp.CSS(".done, .problem")))
}

// says holds the page to show a text.
func (b *browser) says(selector, text string) {
	b.t.Helper()
	if said := got(b, chromedp.Text(chromedp.CSS(selector))); !strings.Contains(said, text) {
		b.shot("wrong")
		b.t.Errorf("%s says %q, want %q in it", selector, said, text)
	}
}

// fits holds the page to need no scrolling sideways, and every target to a thumb's size.
func (b *browser) fits(what string) {
	b.t.Helper()
	wide := got(b, chromedp.Evaluate[float64](`document.documentElement.scrollWidth - document.documentElement.clientWidth`))
	small := got(b, chromedp.Evaluate[[]string](`[...document.querySelectorAll("a, button, summary, select, input:not([type=hidden])")]
			.filter(e => e.checkVisibility() && !e.matches(".unseen, .skip") && !e.closest("p:not(:has(img)) > a, li > a:only-child:not(.links a):not(.list a)"))
			.map(e => [e, (e.closest("label:not(.field)") || e).getBoundingClientRect()])
			.filter(([e, r]) => r.width < 43.5 || r.height < 43.5)
			.map(([e, r]) => e.outerHTML.slice(0, 80) + " " + r.width.toFixed() + "x" + r.height.toFixed())`))
	if wide > 0 {
		b.t.Errorf("%s %s: %g px wider than the screen", b.name, what, wide)
	}
	for _, s := range small {
		b.t.Errorf("%s %s: too small for a thumb: %s", b.name, what, s)
	}
}

// TestEveningInABrowser: the whole evening by tapping, without script, on a phone and at
// a desk.
func TestEveningInABrowser(t *testing.T) {
	for _, screen := range somejar.Either(screens[:1], screens) {
		t.Run(screen.name, func(t *testing.T) {
			b := openBrowser(t, screen.name, screen.width, screen.height, screen.phone)
			dir := t.TempDir()
			base, stop := started(t, dir)
			defer stop()
			b.evening(base)
		})
	}
}

// score taps a number of a flavour.
func (b *browser) score(flavour, number string) {
	b.t.Helper()
	b.tap(fmt.Sprintf(`input[name="score:%s"][value="%s"]`, flavour, number))
}

// fill types into a field, over what stands there.
func (b *browser) fill(selector, text string) {
	b.t.Helper()
	b.do(chromedp.ScrollIntoView(chromedp.CSS(selector)), chromedp.Focus(chromedp.CSS(selector)),
		chromedp.KeyEvent("a", chromedp.KeyModifiers(kb.ModifierCtrl)),
		chromedp.SendKeys(chromedp.CSS(selector), text))
}

// open opens the part of the page that a form is in.
func (b *browser) open(act string) {
	b.t.Helper()
	form := fmt.Sprintf(`details:has(form[action$="/%s"])`, act)
	b.tap(form + ` > summary`)
	b.do(chromedp.WaitVisible(chromedp.CSS(form + ` button`)))
}

func (b *browser) evening(base string) {
	b.do(chromedp.Navigate(base + "/"))
	b.says("main", "no batch in the book yet")
	b.shot("empty")
	b.fits("empty book")
	b.follow(`a[href="/new"]`)
	b.do(chromedp.WaitVisible(chromedp.CSS(`input[name=name]`)))
	b.shot("new")
	b.fits("new")
	for field, text := range map[string]string{
		"name": "Winter orange & friends", "started": "6 h ago", "room": "20 C", "spirit": "grape brandy 57 %", "amount": "700 ml",
		"botanical.0.name": "orange zest", "botanical.0.cut": "fine zest", "botanical.0.amount": "24 g", "botanical.0.target": "6",
		"botanical.1.name": "green cardamom", "botanical.1.cut": "crushed", "botanical.1.amount": "9 g", "botanical.1.target": "3",
		"watch.0.name": "bitter", "watch.0.limit": "2", "watch.0.from": "orange zest",
		"addition.0.name": "white sugar", "addition.0.amount": "320 g", "addition.1.name": "water", "addition.1.amount": "220 ml",
		"bottle": "250 ml", "ready": "2027-01-20",
	} {
		b.fill(fmt.Sprintf(`input[name="%s"]`, field), text)
	}
	b.tap(`input[name=press][value=false]`)
	b.follow(`#last button[value=plan]`)
	b.do(chromedp.WaitVisible(chromedp.CSS(`button[value=write]`)))
	b.says("main", "Nothing is written yet")
	b.shot("plan")
	b.fits("plan")
	b.follow(`button[value=write]`)
	b.do(chromedp.WaitVisible(chromedp.CSS(".done")))
	b.shot("written")
	b.fits("batch")
	b.steeping()
	b.inBottles()
	b.follow(`nav a`)
	b.do(chromedp.WaitVisible(chromedp.CSS(".list")))
	b.shot("list")
	b.fits("list")
	b.says(".list", "Winter orange & friends")
}

// steeping is what is logged while something is in the jar.
func (b *browser) steeping() {
	b.score("orange zest", "3")
	b.tap(`input[name="half:orange zest"]`)
	b.score("green cardamom", "2")
	b.score("bitter", "0")
	b.tap(`input[name=sample]`)
	b.fill(`form[action$="/taste"] input[name=words]`, "bright, thin")
	b.fill(`form[action$="/taste"] input[name=taster]`, "B")
	b.fill(`form[action$="/taste"] input[name=at]`, "5 h")
	b.shot("scored")
	b.send("taste")
	b.says(".done", "orange zest 3.5")
	b.shot("tasted")
	b.do(chromedp.Reload()) // logs nothing a second time
	if taster := got(b, chromedp.Value(chromedp.CSS(`input[name=taster]`))); taster != "B" {
		b.t.Errorf("the taster is remembered as %q", taster)
	}

	b.tap(`form[action$="/pull"] input[value="green cardamom"]`)
	b.send("pull")
	b.says(".done", "green cardamom")
	b.shot("pulled")
}

// inBottles is what is logged when it comes out, and after.
func (b *browser) inBottles() {
	b.open("strain")
	b.fill(`form[action$="/strain"] input[name=volume]`, "650 ml")
	b.send("strain")
	b.says(".done", "strained")
	b.shot("strained")
	b.fits("strained")
	b.open("bottle")
	b.fill(`form[action$="/bottle"] input[name=bottles]`, "many")
	b.send("bottle")
	b.says(".problem", "many")
	b.shot("fault")
	b.fits("fault")
	b.fill(`form[action$="/bottle"] input[name=bottles]`, "4")
	b.send("bottle")
	b.says(".done", "4 bottles")
	b.shot("bottled")
	b.open("open")
	b.send("open")
	b.says(".done", "bottle 1")
	b.shot("opened")
	b.says("main", "Where it keeps")
	b.open("undo")
	b.send("undo")
	b.says(".done", "Taken out again: opened bottle 1")
	b.shot("undone")
	b.fits("undone")
}

// TestPairingInABrowser: the printed address lets a phone in, and only that phone.
func TestPairingInABrowser(t *testing.T) {
	const code = "00112233445566778899aabbccddeeff"
	b := openBrowser(t, "pairing", 360, 740, true)
	base, stop := started(t, t.TempDir(), func(c *Config) { c.Code = code })
	defer stop()
	status := func(path string) int64 {
		t.Helper()
		r, err := chromedp.RunResponse(b.ctx, chromedp.Navigate(base+path))
		var load *chromedp.LoadError // a page that says nothing
		if errors.As(err, &load) {
			return http.StatusForbidden
		}
		if err != nil {
			t.Fatal(err)
		}
		return r.Status
	}
	if got := status("/"); got != http.StatusForbidden {
		t.Errorf("without the code: %d", got)
	}
	if got := status("/pair?code=" + code); got != http.StatusOK {
		t.Errorf("with the code: %d", got)
	}
	b.shot("paired")
	b.fits("paired")
	b.follow(`a.button`)
	b.says("h1", "The book")
	if got := status("/new"); got != http.StatusOK {
		t.Errorf("once paired: %d", got)
	}
}

// TestLoggingOverTheNetwork: an address that is not this machine's own is no secure context
// to a browser, which then says less of where a form comes from; it is logged all the same.
func TestLoggingOverTheNetwork(t *testing.T) {
	host := ""
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range addresses {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && !n.IP.IsLoopback() {
			host = n.IP.String()
		}
	}
	if host == "" {
		t.Skip("this machine is in no network")
	}
	b := openBrowser(t, "network", 360, 740, true)
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "orange.toml"), []byte(orange), 0o644); err != nil {
		t.Fatal(err)
	}
	const code = "00112233445566778899aabbccddeeff"
	base, stop := started(t, dir, func(c *Config) { c.Hosts, c.Code = []string{host}, code })
	defer stop()
	b.do(chromedp.Navigate(base + "/pair?code=" + code))
	b.follow(`a.button`)
	b.follow(`.list a`)
	b.open("note")
	b.fill(`form[action$="/note"] input[name=what]`, "cloudy")
	b.send("note")
	b.says(".done", "cloudy")
}

// TestByKeys: with the keyboard alone a tasting is scored and logged, and what has the
// focus can be seen.
func TestByKeys(t *testing.T) {
	b := openBrowser(t, "keys", 1280, 900, false)
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "orange.toml"), []byte(orange), 0o644); err != nil {
		t.Fatal(err)
	}
	base, stop := started(t, dir)
	defer stop()
	b.do(chromedp.Navigate(base+"/b/orange"), chromedp.KeyEvent(kb.Tab))
	if text := got(b, chromedp.Evaluate[string](`document.activeElement.textContent`)); text != "To the answer" {
		t.Errorf("the first stop is %q, not the way past the head", text)
	}
	stops := 0
	for ; stops < 100; stops++ {
		focus := got(b, chromedp.Evaluate[string](`(e => {
			const seen = getComputedStyle(e.matches(".score input") ? e.nextElementSibling : e)
			return e.tagName + " " + (e.name || "") + " " + (e.value || "") + " " + (seen.outlineStyle != "none")
		})(document.activeElement)`))
		if strings.HasSuffix(focus, "false") {
			t.Errorf("the focus on %s cannot be seen", focus)
		}
		if strings.HasPrefix(focus, "INPUT score:clove") {
			b.do(chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight))
			b.shot("scored")
		}
		if strings.HasPrefix(focus, "INPUT sample") {
			b.do(chromedp.KeyEvent(" "))
		}
		if strings.HasPrefix(focus, "BUTTON") {
			break
		}
		b.do(chromedp.KeyEvent(kb.Tab))
	}
	if _, err := chromedp.RunResponse(b.ctx, chromedp.KeyEvent(kb.Enter)); err != nil {
		b.shot("failed")
		t.Fatal(err)
	}
	b.says(".done", "clove 2")
}

// TestOnPaper prints a page to PDF.
func TestOnPaper(t *testing.T) {
	b := openBrowser(t, "paper", 1280, 900, false)
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "orange.toml"), []byte(orange), 0o644); err != nil {
		t.Fatal(err)
	}
	base, stop := started(t, dir)
	defer stop()
	for _, p := range []string{"", "/page", "/bench"} {
		b.do(chromedp.Navigate(base + "/b/orange" + p))
		pdf := got(b, chromedp.PrintToPDF(chromedp.PDFPaper(chromedp.PaperA4)))
		if !strings.HasPrefix(string(pdf), "%PDF-") {
			t.Errorf("%q: %.20q", p, pdf)
		}
		if err := os.WriteFile(filepath.Join(b.dir, "paper"+strings.ReplaceAll(p, "/", "-")+".pdf"), pdf, 0o644); err != nil {
			t.Error(err)
		}
	}
}
