package carpentry

import (
	"fmt"
	"math"
	"strconv"
)

// Inches prints a length [in] to the sixteenth, as a tape has it: "16 1/2".
func Inches(v float64) string {
	n := int(math.Round(v * 16))
	whole, part, of := n/16, n%16, 16
	for part > 0 && part%2 == 0 {
		part, of = part/2, of/2
	}
	switch {
	case part == 0:
		return strconv.Itoa(whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d", part, of)
	}
	return fmt.Sprintf("%d %d/%d", whole, part, of)
}
