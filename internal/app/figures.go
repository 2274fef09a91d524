package app

import (
	"wormyard/figure"
)

// Figures gives every figure of the program, in the order of docs/model.md.
// The error is the loader's, when a parameter is amiss.
func Figures() ([]figure.Figure, error) {
	numbers, err := numbersOfNature()
	if err != nil {
		return nil, err
	}
	return numbers.Figures(), nil
}
