package leastsq_test

import (
	"fmt"

	"steepbook/kinetics/leastsq"
)

func ExampleFirstOrder() {
	// Biochemical oxygen demand, Bates and Watts (1988), A1.4.
	f, err := leastsq.FirstOrder([]float64{1, 2, 3, 4, 5, 7}, []float64{8.3, 10.3, 19, 16, 15.6, 19.8})
	if err != nil {
		fmt.Println(err)
		return
	}
	lo, hi := f.RateInterval(0.95)
	fmt.Printf("plateau %.3f, rate %.4f (%.3f to %.3f)\n", f.Plateau, f.Rate, lo, hi)
	// Output: plateau 19.143, rate 0.5311 (0.131 to 1.808)
}
