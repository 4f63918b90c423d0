package cli

import (
	"image"
	"image/color"
	"regexp"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// TestPairingCodeReadsBack: what the terminal shows is read by a second library, dark on
// light as with colour, and drawn in light blocks without.
func TestPairingCodeReadsBack(t *testing.T) {
	const text = "http://192.168.1.23:8763/pair?code=00112233445566778899aabbccddeeff"
	for _, colour := range []bool{true, false} {
		var b strings.Builder
		if err := printQR(&b, text, colour); err != nil {
			t.Fatal(err)
		}
		shown := regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(b.String(), "")
		rows := strings.Split(strings.TrimSuffix(shown, "\n"), "\n")
		if len(rows) > 30 {
			t.Errorf("%d lines are more than a terminal shows at once", len(rows))
		}
		const scale = 4
		width := len([]rune(rows[0]))
		img := image.NewGray(image.Rect(0, 0, scale*width, scale*2*len(rows)))
		for y := range 2 * len(rows) {
			for x, r := range []rune(rows[y/2]) {
				drawn := r == '█' || r == '▀' && y%2 == 0 || r == '▄' && y%2 == 1
				for i := range scale * scale {
					if drawn != colour { // what is drawn is black with colour, white without
						img.Set(scale*x+i%scale, scale*y+i/scale, color.White)
					}
				}
			}
		}
		bits, err := gozxing.NewBinaryBitmapFromImage(img)
		if err != nil {
			t.Fatal(err)
		}
		got, err := qrcode.NewQRCodeReader().Decode(bits, nil)
		if err != nil || got.GetText() != text {
			t.Errorf("colour %t: read back as %v, %v\n%s", colour, got, err, shown)
		}
	}
}

// TestLAN: where there is a home network, the address and a code of 128 bits are printed;
// else it is said that there is none.
func TestLAN(t *testing.T) {
	dir := t.TempDir()
	status, out, errs := served(t, "serve", dir, "--lan")
	if status == statusInput && strings.Contains(errs, "no address in a home network") {
		t.Skip("this machine is in no home network")
	}
	if status != statusAnswered || !regexp.MustCompile(`http://\S+/pair\?code=[0-9a-f]{32}\n`).MatchString(out) ||
		!strings.Contains(out, "█") {
		t.Errorf("status %d: %s%s", status, out, errs)
	}
	if again, other, _ := served(t, "serve", dir, "--lan"); again != statusAnswered || other == out {
		t.Errorf("status %d, and the same code again: %s", again, other)
	}
	if status, out, errs = served(t, "serve", dir, "--lan", "--json"); status != statusAnswered ||
		!strings.Contains(out, `"code": "`) || strings.Contains(out, "█") {
		t.Errorf("status %d: %s%s", status, out, errs)
	}
}
