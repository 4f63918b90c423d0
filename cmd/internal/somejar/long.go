package somejar

import "flag"

var long = flag.Bool("long", false, "take twenty times as many random jars, and run what takes minutes")

// Long reports whether the tests run at full length, by their flag -long.
func Long() bool { return *long }

// Many is how many random jars are taken where n hold a test every day: twenty times as many at full length.
func Many(n uint64) uint64 {
	if *long {
		n *= 20
	}
	return n
}
