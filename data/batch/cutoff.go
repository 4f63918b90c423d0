package batch

import (
	"bytes"
	"slices"
	"strings"
	"time"

	"steepbook/data/disk"
	"steepbook/data/pattern"
)

// A write that the machine did not live to end leaves the beginning of an entry at the end of the file,
// without its line end but where that was at the edge of a page. Nobody was told that it is logged: so it
// is left out, and said to be, and the next entry turns it into a remark above itself.

// unfinished is a line that the tool had begun to write: a key, a number, a moment, a text
// without its closing quotation mark, a list or a table without its closing bracket.
var unfinished = pattern.New(`^\w+(?: (?:= ?(?:"(?:[^"\\]|\\.)*\\?|\{[^}]*|\[[^\]]*|` +
	`\d{1,4}|\d{4}-\d{0,2}|\d{4}-\d\d-\d?|\d{4}-\d\d-\d\dT(?:[\d:]{0,4}|\d\d:\d\d:\d?|\d\d:\d\d:\d\d[+-][\d:]{0,4}))?)?)?$`)

// pageBytes is what a system writes at once, and shows to who reads meanwhile, or a multiple of it.
const pageBytes = 4096

// cutOff finds in a file that has a fault an entry that was cut off while it was written, by how it ends, and
// how many bytes stand before it; a disk that lost its power may have left noughts behind it.
func cutOff(src []byte) (keep int, cut bool) {
	text := string(bytes.TrimRight(src, "\x00"))
	noughts := len(text) < len(src)
	atPage := len(src)%pageBytes == 0
	if strings.HasSuffix(text, "\n") && !atPage {
		return len(text), noughts
	}
	text, atLine := strings.CutSuffix(text, "\n")
	text = strings.TrimSuffix(text, "\r")
	at := strings.LastIndex(text, "\n[")
	if at < 0 {
		return 0, false
	}
	lines := strings.Split(strings.ReplaceAll(text[at+1:], "\r\n", "\n"), "\n")
	begun := func(kind string) bool {
		head := "[[" + kind + "]]"
		if len(lines) == 1 {
			return strings.HasPrefix(head, lines[0])
		}
		return lines[0] == head
	}
	whole := len(lines) > 1 && !noughts && !atLine && !unfinished().MatchString(lines[len(lines)-1])
	if whole || !slices.ContainsFunc(LogTables(), begun) {
		return 0, false
	}
	return len(strings.TrimSuffix(text[:at], "\r")), true
}

// remark turns an entry that was cut off into a remark, under the lock and where it is there
// still.
func remark(path string, loc *time.Location) error {
	held, err := disk.Lock(path)
	if err != nil {
		return err
	}
	defer held.Unlock()
	src, err := held.Load()
	if err != nil {
		return disk.Clause(err.Error())
	}
	b, err := ParseBeside(path, src, loc)
	if err != nil || b.CutOff == "" {
		return nil // who asked next says what is wrong
	}
	keep, _ := cutOff(src)
	end, text := lineEnd(src), ""
	if torn := strings.Trim(b.CutOff, "\x00\r\n"); torn != "" {
		text = end + "# Cut off while it was written, and left out:" + end
		for line := range strings.SplitSeq(torn, "\n") {
			text += "# " + strings.TrimRight(line, "\r") + end
		}
	}
	return held.Amend(src, keep, []byte(text))
}
