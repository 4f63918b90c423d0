package batch

import (
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"
)

// TestUndoOfOneCommand: however many commands were logged for one and the same moment, each undo takes back
// what one of them logged, the last first, and the file is what it was before, byte for byte, but for the end of
// a last line that an editor had left open.
func TestUndoOfOneCommand(t *testing.T) {
	const at = "2026-11-21T09:00:00"
	commands := []Entry{
		NewPull{[]string{"orange zest"}, at},
		NewPull{[]string{"orange zest", "green cardamom"}, at},
		NewEach[NewAdded]{{Name: "honey", Amount: "50 g", At: at}},
		NewEach[NewAdded]{{Name: "water", Amount: "20 ml", At: at}, {Name: "sugar", Amount: "10 g", At: at}},
		NewAdded{Name: "lemon juice", Amount: "5 ml", At: at},
		NewEach[NewBottling]{{Bottles: 3, Of: "250 ml", At: at}, {Bottles: 2, Of: "100 ml", At: at}},
		NewBottling{Bottles: 1, Of: "500 ml", At: at},
		NewTasting{Scores: []Score{{"orange zest", 3}}, At: at},
		NewTastings(func(*Batch) ([]NewTasting, error) {
			return []NewTasting{{Scores: []Score{{"orange zest", 2}}, At: at}, {Scores: []Score{{"orange zest", 4}}, At: "20 h"}}, nil
		}),
		NewNote{"clear", at},
	}
	const begun = "name = \"J\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"vodka 40 %\"\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"orange zest\"\namount = \"20 g\"\n[[botanical]]\nname = \"green cardamom\"\namount = \"5 g\"\n"
	rnd, same := rand.New(rand.NewPCG(7, 7)), 0
	for range 60 {
		src := begun
		if rnd.IntN(2) > 0 {
			src = strings.ReplaceAll(src, "\n", "\r\n")
		}
		path := writeFile(t, src)
		texts, last := []string{src}, -1
		for range 6 {
			k := rnd.IntN(len(commands))
			if open := strings.TrimSuffix(readFile(t, path), lineEnd([]byte(src))); rnd.IntN(2) > 0 {
				if err := os.WriteFile(path, []byte(open), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if AppendAgain(path, commands[k], time.UTC) != nil {
				continue // it cannot be by now
			}
			if texts = append(texts, readFile(t, path)); k == last || k == 0 && last == 1 || k == 1 && last == 0 {
				same++
			}
			last = k
		}
		for i := len(texts) - 1; i > 0; i-- {
			if _, err := Undo(path, "", time.UTC); err != nil || readFile(t, path) != texts[i-1] {
				t.Fatalf("%v; the file is\n%s\nand was\n%s", err, readFile(t, path), texts[i-1])
			}
		}
	}
	if same < 10 {
		t.Errorf("only %d were logged behind their like", same)
	}
}

// TestUndoOfOlderFiles: of what is parted by an empty line, as it once was, one is taken out at a time.
func TestUndoOfOlderFiles(t *testing.T) {
	one := "\n[[pulled]]\nname = \"blood orange zest\"\nat = \"6 h\"\n"
	two := "\n[[pulled]]\nname = \"clove\"\nat = \"6 h\"\n"
	src := small + "[[botanical]]\nname = \"clove\"\n"
	path := writeFile(t, src+one+two)
	for _, want := range []string{src + one, src} {
		if _, err := Undo(path, "", time.UTC); err != nil || readFile(t, path) != want {
			t.Fatalf("%v; the file is\n%s", err, readFile(t, path))
		}
	}
}
