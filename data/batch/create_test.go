package batch

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"steepbook/data/strict"
)

func TestCreate(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "winter.toml")
	if err := Create(path, []byte(small)); err != nil {
		t.Fatal(err)
	}
	if got := readFile(t, path); got != small {
		t.Errorf("got\n%s", got)
	}
	onlyFile(t, path)
	if info, err := os.Stat(path); err != nil || info.Mode().Perm()&0o600 != 0o600 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	dangling := filepath.Join(dir, "dangling.toml")
	if err := os.Symlink(filepath.Join(dir, "nowhere"), dangling); err != nil {
		t.Fatal(err)
	}
	const taken = `: there is a file of that name already; choose another name, or move it away first`
	for _, c := range []struct{ path, want string }{
		{path, path + taken},
		{dir, dir + taken},
		{dangling, dangling + taken},
		{filepath.Join(dir, "no", "x.toml"), filepath.Join(dir, "no", "x.toml") + `: there is no folder "` + filepath.Join(dir, "no") + `"; make it first`},
		{filepath.Join(path, "x.toml"), filepath.Join(path, "x.toml") + `: "` + path + `" is not a folder`},
		{filepath.Join(dir, "new") + "/", filepath.Join(dir, "new") + `/: this is a folder, not a file name`},
		{"", `no file is named`},
	} {
		err := Create(c.path, []byte("other"))
		var e *strict.Error
		if !errors.As(err, &e) || e.Error() != c.want {
			t.Errorf("%q:\n got %v\nwant %s", c.path, err, c.want)
		}
	}
	if got := readFile(t, path); got != small {
		t.Errorf("the file changed to\n%s", got)
	}
}

// TestCreateOnce: of many that create one name at once, one succeeds, and the
// file is the work of that one alone.
func TestCreateOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "winter.toml")
	var wg sync.WaitGroup
	made := make([]error, 16)
	for i := range made {
		wg.Add(1)
		go func() {
			defer wg.Done()
			made[i] = Create(path, bytes.Repeat([]byte{byte('a' + i)}, 5000))
		}()
	}
	wg.Wait()
	winners := 0
	for i, err := range made {
		if err == nil {
			winners++
			if got := readFile(t, path); got != strings.Repeat(string(rune('a'+i)), 5000) {
				t.Errorf("the file is %.20q…", got)
			}
		}
	}
	if winners != 1 {
		t.Errorf("%d succeeded", winners)
	}
	onlyFile(t, path)
}
