// Package psychrolib compares our moist air with an independent library of the
// same printed equations. The run script of this folder fetches that library
// and gives its numbers to the test.
package psychrolib
