#include "textflag.h"

// func reach()
// A little less than ahead, so that the stack is that and not twice as much.
TEXT ·reach(SB), 0, $33488896-0
	RET

// func advise(start, length, advice uintptr)
TEXT ·advise(SB), NOSPLIT, $0-24
	MOVQ start+0(FP), DI
	MOVQ length+8(FP), SI
	MOVQ advice+16(FP), DX
	MOVQ $28, AX // madvise(2)
	SYSCALL
	RET

// func program() (start, end uintptr)
TEXT ·program(SB), NOSPLIT, $0-16
	MOVQ $runtime·text(SB), AX
	MOVQ AX, start+0(FP)
	MOVQ $runtime·epclntab(SB), AX
	MOVQ AX, end+8(FP)
	RET
