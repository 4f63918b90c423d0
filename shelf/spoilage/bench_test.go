package spoilage

import "testing"

// BenchmarkKeeps is one answer for one bottle at one temperature.
func BenchmarkKeeps(b *testing.B) {
	cordial := bottle(10, 370, 2.7, true, Juice, false)
	for b.Loop() {
		Keeps(cordial, 7)
	}
}
