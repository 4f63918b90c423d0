package disk

import (
	"fmt"
	"io"
	"os"
	"syscall"

	"steepbook/data/strict"
)

// Load reads a whole file. What cannot be read is a *strict.Error.
func Load(path string) ([]byte, error) { return LoadBy(path, os.OpenFile) }

// LoadBy is Load by the means of a folder. What is read is what was looked at: opened once, and without
// waiting for what is no file to have something to say.
func LoadBy(path string, open func(string, int, os.FileMode) (*os.File, error)) ([]byte, error) {
	f, err := open(path, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, Unread(path, err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, Unread(path, err)
	}
	problem := ""
	switch {
	case info.IsDir():
		problem = "this is a folder, not a batch file"
	case !info.Mode().IsRegular():
		problem = "this is not an ordinary file"
	case info.Size() > strict.Most:
		problem = fmt.Sprintf("the file has %d MB, too much for a batch; is it the right file?",
			info.Size()>>20)
	}
	if problem != "" {
		return nil, &strict.Error{File: path, Problem: problem}
	}
	src := make([]byte, info.Size()+1) // and one more shows its end
	n, err := f.Read(src)
	if err == nil && int64(n) != info.Size() { // it has grown or shrunk, or comes in pieces
		var more []byte
		more, err = io.ReadAll(f)
		src, n = append(src[:n], more...), n+len(more)
	}
	if err != nil && err != io.EOF {
		return nil, Unread(path, err)
	}
	return src[:n], nil
}
