package disk

import (
	"fmt"
	"io/fs"
	"os"

	"steepbook/data/strict"
)

// Load reads a whole file. What cannot be read is a *strict.Error.
func Load(path string) ([]byte, error) { return LoadBy(path, os.Stat, os.ReadFile) }

// LoadBy is Load by the means of a folder.
func LoadBy(path string, stat func(string) (fs.FileInfo, error),
	read func(string) ([]byte, error)) ([]byte, error) {
	info, err := stat(path)
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
	src, err := read(path)
	if err != nil {
		return nil, Unread(path, err)
	}
	return src, nil
}
