package library

import (
	"syscall"
	"testing"
	"time"
)

// cpu reports the processor's time per run beside the wall clock's, which on a busy
// machine says little.
func cpu(b *testing.B, run func()) {
	used := func() time.Duration {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			b.Fatal(err)
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
	from := used()
	for b.Loop() {
		run()
	}
	b.ReportMetric(float64((used()-from).Microseconds())/1000/float64(b.N), "cpu-ms/op")
}

// A command that needs three botanicals, two ingredients and a spirit from a cold
// start, and asks of each what a batch asks.
func BenchmarkBatchCold(b *testing.B) {
	cpu(b, func() {
		l := open()
		for _, n := range [][2]string{{"blood orange zest", "strips"}, {"cardamom pods", "whole pods"}, {"long pepper", "whole"}} {
			plant, _, _, err := l.BotanicalAndCut(n[0], n[1])
			if err != nil {
				b.Fatal(err)
			}
			l.OtherState(plant, n[0]+" "+n[1])
			l.MustNot(n[0])
			l.Kin(n[0])
		}
		for _, name := range []string{"demerara sugar", "lemon juice"} {
			if _, err := l.Ingredient(name); err != nil {
				b.Fatal(err)
			}
			l.MustNot(name)
			l.Kin(name)
		}
		if _, err := l.Spirit("grape brandy"); err != nil {
			b.Fatal(err)
		}
		l.MustNot("grape brandy")
	})
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
