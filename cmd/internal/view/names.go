package view

import (
	"fmt"
	"strconv"

	"steepbook/data/quantity"
)

// Names are bottles by their numbers, in order: "bottles 1 to 3 and 6", below 0 what was left over.
func Names(numbers []int) string {
	var list []string
	for i, n := 0, 0; i < len(numbers); i += n {
		first := numbers[i]
		for n = 1; i+n < len(numbers) && numbers[i+n] == first+n; n++ {
		}
		text := strconv.Itoa(first)
		if n < 3 {
			n = 1
		} else {
			text += " to " + strconv.Itoa(first+n-1)
		}
		list = append(list, text)
	}
	rest := ""
	if numbers[0] < 0 {
		if len(numbers) == 1 {
			return Vessel(numbers[0])
		}
		list, numbers, rest = list[1:], numbers[1:], " and "+Vessel(numbers[0])
	}
	return quantity.Verb(len(numbers), "bottle ", "bottles ") + quantity.And(list) + rest
}

// Vessel names a bottle by its number, below 0 what was left over, 0 all into which nothing was poured.
func Vessel(number int) string {
	switch {
	case number == 0:
		return "the others"
	case number < 0:
		return "what was left over"
	}
	return fmt.Sprintf("bottle %d", number)
}
