package plots

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"
)

// TestInline: the picture is well formed, its words can be read, and nothing in it needs
// a style or leads elsewhere.
func TestInline(t *testing.T) {
	now := 8.0
	e := Extraction{Title: "Jar <script>", EndH: 10, NowH: &now, Panels: []Panel{
		{Name: "קליפת תפוז & 橙", Hours: []float64{0, 5, 10}, Middle: []float64{0, 3, 5},
			Tastings: []Point{{Hours: 5, Score: 3, Low: 2, High: 4}}}}}
	var b bytes.Buffer
	if err := Inline(&b, e); err != nil {
		t.Fatal(err)
	}
	got := b.String()
	for d := xml.NewDecoder(strings.NewReader(got)); ; {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, got)
		}
		if el, ok := tok.(xml.StartElement); ok {
			for _, a := range el.Attr {
				if a.Name.Local == "style" || a.Name.Local == "href" {
					t.Errorf("<%s %s=%q> does not stand in a strict page", el.Name.Local, a.Name.Local, a.Value)
				}
			}
		}
	}
	for _, want := range []string{"Jar &lt;script&gt;</text>", "קליפת תפוז", "viewBox=", "<desc>", "textLength="} {
		if !strings.Contains(got, want) {
			t.Errorf("there is no %q in\n%s", want, got)
		}
	}
	if strings.Contains(got, "<script") {
		t.Error("a name of the maker stands there as markup")
	}
	if err := Inline(io.Discard, Extraction{}); err == nil {
		t.Error("a picture of nothing is drawn")
	}
}
