package visible

import "testing"

func TestText(t *testing.T) {
	for given, want := range map[string]string{
		"orange zest":                   "orange zest",
		"a\tb\nc":                       "a b\nc",
		"a\x1b[31mb\x07\x9b\u202ec":     "a[31mb\ufffdc",
		"a\u200bb\ufeffc\u2028d\u2066e": "abcde",
		"نعنا\u200cها":                  "نعنا\u200cها", // two letters that must not join
		"श्\u200dर":                     "श्\u200dर",
		"👩\u200d🍳 tea":                  "👩\u200d🍳 tea",
		"\u200da\u200d b\u200c":         "a b",
		"a\u200d\u200db":                "a\u200db",
		"a\u200d\u202eb":                "a\u200db",
		"":                              "",
	} {
		if got := Text(given); got != want {
			t.Errorf("%q is %q, want %q", given, got, want)
		}
		if again := Text(Text(given)); again != Text(given) {
			t.Errorf("%q twice is %q", given, again)
		}
	}
}
