package demo

import (
	"fmt"
	"time"

	"wormyard/barn"
)

// plan is the size and the story of a farm to be made.
type plan struct {
	seed    uint64
	days    int // of journal, up to Now
	stacks  int // of each row
	rows    int // of each barn
	loggers int // all in the first barn
	first   int // bins bedded on the first morning
	built   int // bins standing on the first morning
	uneven  bool
	worms   float64 // live mass of a bed on the first morning, typical [kg]
}

// heronSlough is the demo: 240 bins, 118 in the first barn and 122 in the second.
// The seed is the one of some twenty under which the stock throve most: a farm that has
// run for years is one whose worms grow.
func heronSlough() plan {
	return plan{seed: 16, days: 730, stacks: 10, rows: 4, loggers: 12, first: 190, built: 208, uneven: true, worms: 5.5}
}

// sapling is a farm of 12 bins and 60 days, for tests.
func sapling() plan {
	return plan{seed: 14, days: 60, stacks: 2, rows: 1, loggers: 3, first: 9, built: 11, worms: 6}
}

const (
	firstBarn  = "Barn 1"
	secondBarn = "Barn 2"
	stackHigh  = 3
)

// slots gives the places of the bins in the order of their painted numbers.
func (p plan) slots() []barn.Slot {
	var out []barn.Slot
	for b, name := range []string{firstBarn, secondBarn} {
		for r := range p.rows {
			row := b*p.rows + r + 1
			for stack := 1; stack <= p.stacks; stack++ {
				high := stackHigh
				switch {
				case !p.uneven:
				case b == 0 && stack == p.stacks && r%2 == 1: // under the low eave
					high--
				case b == 1 && stack == 1 && r%2 == 1: // under the ridge
					high++
				}
				for level := 1; level <= high; level++ {
					out = append(out, barn.Slot{Barn: name, Row: fmt.Sprint(row), Stack: stack, Level: level})
				}
			}
		}
	}
	return out
}

// clock knows the days of the farm: day 0 is the first of the journal.
type clock struct {
	zone  *time.Location
	begin time.Time // midnight of day 0 at the farm
}

func newClock(days int) (clock, error) {
	zone, err := time.LoadLocation(Zone)
	if err != nil {
		return clock{}, err
	}
	y, m, d := Now().In(zone).Date()
	return clock{zone, time.Date(y, m, d-days, 0, 0, 0, 0, zone)}, nil
}

// at gives a time of a day by the farm's clock.
func (c clock) at(day, minutes int) time.Time {
	y, m, d := c.begin.Date()
	return time.Date(y, m, d+day, minutes/60, minutes%60, 0, 0, c.zone)
}

// morning gives the hour since 1970-01-01T00Z at which the crew's day begins:
// 15:00 UTC, seven o'clock at the farm in winter and eight in summer.
func (c clock) morning(day int) int64 {
	y, m, d := c.begin.Date()
	return time.Date(y, m, d+day, 15, 0, 0, 0, time.UTC).Unix() / 3600
}

func (c clock) weekday(day int) time.Weekday { return c.at(day, 720).Weekday() }

// season gives the part of the year gone, 0 at 1 January.
func (c clock) season(day int) float64 { return float64(c.at(day, 720).YearDay()-1) / 365 }

func hourOf(t time.Time) int64 { return t.Unix() / 3600 }

// clockOf gives the minutes since midnight.
func clockOf(h, m int) int { return h*60 + m }
