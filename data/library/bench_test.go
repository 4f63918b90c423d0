package library

import "testing"

// A command that needs three botanicals and two ingredients from a cold start.
func BenchmarkThreeBotanicalsCold(b *testing.B) {
	for b.Loop() {
		l := open()
		for _, name := range []string{"blood orange zest", "green cardamom", "long pepper"} {
			if _, err := l.Botanical(name); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkBatchCold(b *testing.B) {
	for b.Loop() {
		l := open()
		for _, name := range []string{"blood orange zest", "green cardamom", "long pepper"} {
			if _, err := l.Botanical(name); err != nil {
				b.Fatal(err)
			}
		}
		for _, name := range []string{"demerara sugar", "blood orange juice", "lemon juice", "water"} {
			if _, err := l.Ingredient(name); err != nil {
				b.Fatal(err)
			}
		}
		if _, err := l.Spirit("grape brandy"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEverythingCold(b *testing.B) {
	for b.Loop() {
		l := open()
		if len(l.Botanicals())+len(l.Ingredients())+len(l.Spirits()) == 0 {
			b.Fatal("empty")
		}
	}
}

func BenchmarkLookUpWarm(b *testing.B) {
	l := Builtin()
	for b.Loop() {
		if _, err := l.Botanical("zest of lime"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkUnknownName(b *testing.B) {
	l := Builtin()
	for b.Loop() {
		if _, err := l.Botanical("star aneese"); err == nil {
			b.Fatal("found")
		}
	}
}
