// Package barn knows the places where bins stand: barns, rows, stacks and the
// levels of a stack, which bin lies under which, what a place is called, and
// what a crew means by "row 3 except 3-4-2" or "B12, B14-B20".
//
// A row runs along an aisle and is named or numbered; stacks are counted from 1
// along the row; level 1 stands on the floor. A place off the rows (a staging
// spot, the yard) has only a name. With how few lifts bins are reached is in
// reach.go (PlanLifts).
package barn

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"
)

// Slot is one place for one bin.
type Slot struct {
	Barn  string // "North"
	Row   string // "3"
	Stack int    // from 1 along the row
	Level int    // 1 on the floor
	Spot  string // a place off the rows, such as "staging 2"; then the others are empty
}

// ParseSlot reads "BARN/ROW/STACK/LEVEL", or the name of a spot off the rows.
// The error says what is wrong and how a slot is written.
func ParseSlot(s string) (Slot, error) {
	s = strings.TrimSpace(s)
	parts := strings.Split(s, "/")
	if s == "" {
		return Slot{}, fmt.Errorf("the place is empty; write it as BARN/ROW/STACK/LEVEL, such as North/3/4/2")
	}
	if len(parts) == 1 {
		return Slot{Spot: s}, nil
	}
	if len(parts) != 4 {
		return Slot{}, fmt.Errorf("%q is not a place; write it as BARN/ROW/STACK/LEVEL, such as North/3/4/2", s)
	}
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	stack, err1 := strconv.Atoi(parts[2])
	level, err2 := strconv.Atoi(parts[3])
	if parts[0] == "" || parts[1] == "" || err1 != nil || err2 != nil || stack < 1 || level < 1 {
		return Slot{}, fmt.Errorf("%q is not a place; the stack and the level are numbers from 1, as in North/3/4/2", s)
	}
	return Slot{Barn: parts[0], Row: parts[1], Stack: stack, Level: level}, nil
}

// String gives the slot as it is written in the journal.
func (s Slot) String() string {
	if s.Spot != "" || s.Barn == "" {
		return s.Spot
	}
	return s.Barn + "/" + s.Row + "/" + strconv.Itoa(s.Stack) + "/" + strconv.Itoa(s.Level)
}

// Known says whether anything is known of the place.
func (s Slot) Known() bool { return s.Spot != "" || s.Barn != "" }

// InRow says whether the place is one of a row rather than a spot.
func (s Slot) InRow() bool { return s.Barn != "" }

// StackKey gives the slot without its level.
func (s Slot) StackKey() Slot {
	s.Level = 0
	return s
}

// Compare orders slots as a crew walks: barn, row, stack, level from the floor;
// spots come last.
func (s Slot) Compare(o Slot) int {
	if s.InRow() != o.InRow() {
		if s.InRow() {
			return -1
		}
		return 1
	}
	return cmp.Or(
		Natural(s.Barn, o.Barn), Natural(s.Row, o.Row),
		cmp.Compare(s.Stack, o.Stack), cmp.Compare(s.Level, o.Level), Natural(s.Spot, o.Spot))
}

// Natural orders names as people count: B2 before B12, letters without regard
// to case first, then with regard to it so that the order is total.
func Natural(a, b string) int {
	i, j := 0, 0
	for i < len(a) && j < len(b) {
		if digit(a[i]) && digit(b[j]) {
			si, sj := i, j
			for i < len(a) && digit(a[i]) {
				i++
			}
			for j < len(b) && digit(b[j]) {
				j++
			}
			na, nb := strings.TrimLeft(a[si:i], "0"), strings.TrimLeft(b[sj:j], "0")
			if c := cmp.Or(cmp.Compare(len(na), len(nb)), cmp.Compare(na, nb)); c != 0 {
				return c
			}
			continue
		}
		if c := cmp.Compare(lower(a[i]), lower(b[j])); c != 0 {
			return c
		}
		i, j = i+1, j+1
	}
	return cmp.Or(cmp.Compare(len(a)-i, len(b)-j), cmp.Compare(a, b))
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

func lower(c byte) byte {
	if c >= 'A' && c <= 'Z' {
		return c + 'a' - 'A'
	}
	return c
}
