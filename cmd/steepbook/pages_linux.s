#include "textflag.h"

// func reach()
// A little less than ahead, so that the stack is that and not twice as much.
TEXT ·reach(SB), 0, $33488896-0
	RET
