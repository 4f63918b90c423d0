package batch

import (
	"testing"
	"time"
)

func TestMeant(t *testing.T) {
	b, err := Parse("w.toml", []byte("name = \"x\"\nstarted = 2026-11-20\n[[botanical]]\nname = \"blood orange zest\"\n[[botanical]]\nname = \"lemon zest\"\n[[botanical]]\nname = \"Green cardamom\"\n[[botanical]]\nname = \"jalapeño\"\n[[botanical]]\nname = \"cloves\"\n[[addition]]\nname = \"clover honey\"\namount = \"20 g\"\n[[watch]]\nname = \"bitter\"\nlimit = 2\n"), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ typed, want, problem string }{
		{"green cardamom", "Green cardamom", ""},
		{" GREEN CARDAMOM ", "Green cardamom", ""},
		{"cardamom", "Green cardamom", ""},
		{"orange zest", "blood orange zest", ""},
		{"bitter", "bitter", ""},
		{"jalapeno", "jalapeño", ""},
		{"Jalapeños", "jalapeño", ""},
		{"clove", "cloves", ""},
		{"zest of lemons", "lemon zest", ""},
		{"blood", "blood orange zest", ""},
		{"card", "Green cardamom", ""},
		{"jala", "jalapeño", ""},
		{"honey", "clover honey", ""},
		{"ja", "", `"ja" is no botanical or watch of this batch; there are "blood orange zest", "lemon zest", "Green cardamom", "jalapeño", "cloves" and "bitter"`},
		{"zest", "", `"zest" can be "blood orange zest" or "lemon zest"; write one of them in full`},
		{"cardamim", "", `"cardamim" is no botanical or watch of this batch; there are "blood orange zest", "lemon zest", "Green cardamom", "jalapeño", "cloves" and "bitter"`},
		{"green cardamim", "", `"green cardamim" is no botanical or watch of this batch; did you mean "Green cardamom"?`},
		{"green cardamom pods", "", `"green cardamom pods" is no botanical or watch of this batch; did you mean "Green cardamom"?`},
	} {
		got, err := b.Taste(c.typed)
		if got != c.want || (err == nil) != (c.problem == "") || err != nil && err.Error() != c.problem {
			t.Errorf("%q: %q, %v; want %q, %s", c.typed, got, err, c.want, c.problem)
		}
	}
	if _, err := b.Steeping("Bitter"); err == nil || err.Error() != `"bitter" is a watch, a taste; only a botanical can be pulled` {
		t.Errorf("a watch: %v", err)
	}
	if got, err := b.Steeping("lemon"); got != "lemon zest" || err != nil {
		t.Errorf("lemon: %q, %v", got, err)
	}
}
