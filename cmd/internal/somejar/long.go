package somejar

import "flag"

var long = flag.Bool("long", false, "take forty times as many random jars, and run what takes minutes")

// Long reports whether the tests run at full length, by their flag -long.
func Long() bool { return *long }

// Many is how many random jars are taken where n hold a test every day: forty times as many at full length.
func Many(n uint64) uint64 { return Either(n, 40*n) }

// Either is the first of two every day and the second at full length.
func Either[T any](daily, full T) T {
	if *long {
		return full
	}
	return daily
}
