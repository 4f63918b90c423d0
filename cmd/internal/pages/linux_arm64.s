#include "textflag.h"

// func reach()
// A little less than ahead, so that the stack is that and not twice as much.
TEXT ·reach(SB), 0, $33488896-0
	RET

// func advise(start, length, advice uintptr)
TEXT ·advise(SB), NOSPLIT, $0-24
	MOVD start+0(FP), R0
	MOVD length+8(FP), R1
	MOVD advice+16(FP), R2
	MOVD $233, R8 // madvise(2)
	SVC
	RET

// func program() (start, end uintptr)
TEXT ·program(SB), NOSPLIT, $0-16
	MOVD $runtime·text(SB), R0
	MOVD R0, start+0(FP)
	MOVD $runtime·epclntab(SB), R0
	MOVD R0, end+8(FP)
	RET
