package data

import (
	"io/fs"
	"testing"
)

func TestHeld(t *testing.T) {
	err := fs.WalkDir(Files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		src, err := Files.ReadFile(path)
		if text, ok := held()[path]; !ok || text != string(src) {
			t.Errorf("%s is copied when it is read", path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
