//go:build amd64 || arm64

package pages

import "unsafe"

// ahead is how much of the heap is mapped before it is wanted; page is a multiple of the size of
// any page, largePage the size of a large one [bytes].
const ahead, page, largePage = 32 << 20, 64 << 10, 2 << 20

// What madvise(2) is told: that pages may be large, that those that were touched are to be made
// one large page, that what lies in a file is to be mapped at once.
const hugePage, collapse, populateRead = 14, 25, 22

// reach needs a stack of ahead and touches none of it.
func reach()

// advise is madvise(2) [bytes]; what it answers is not asked.
func advise(start, length, advice uintptr)

// program is where the program's code and tables begin and end.
func program() (start, end uintptr)

// Each page of 4 kB that an answer is the first to touch is a fault, dearer under a hypervisor than what is
// worked out on it: 2,300 faults were a third of the time of `steep`. Linux gives pages of 2 MB where it is
// asked to, but the runtime maps its heap in steps, each as it is wanted. Stacks come out of the heap too, so
// one that is large and gone leaves it mapped ahead. The page in which the heap lies already is made a large
// one. Of the program nearly all is touched, so it is mapped as a whole, beside. Where the advice is refused,
// or some of that is not mapped, all is as without it.
func init() {
	done := make(chan struct{})
	go func() {
		defer close(done)
		reach()
		var here byte // near the upper end of the stack
		lower := (uintptr(unsafe.Pointer(&here)) - ahead) &^ (largePage - 1)
		advise(lower, ahead, hugePage)
		advise(lower, largePage, collapse)
	}()
	go func() {
		start, end := program()
		start &^= page - 1
		advise(start, end-start, populateRead)
	}()
	<-done
}
