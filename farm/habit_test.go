package farm

import (
	"slices"
	"testing"
	"time"
)

func TestFeedDays(t *testing.T) {
	d := NewFeedDays([]string{"friday", "tuesday", "someday"})
	if got := d.Names(); !slices.Equal(got, []string{"tuesday", "friday"}) {
		t.Errorf("%v", got)
	}
	for day, want := range []int{2, 1, 3, 2, 1, 4, 3} { // from Sunday on
		if got := d.Next(time.Weekday(day)); got != want {
			t.Errorf("after %v: %d days, wanted %d", time.Weekday(day), got, want)
		}
		if got, want := d.On(time.Weekday(day)), day == 2 || day == 5; got != want {
			t.Errorf("%v: %v", time.Weekday(day), got)
		}
	}
	if d := NewFeedDays(Weekdays); d != 0 || !d.On(time.Sunday) || d.Names() != nil {
		t.Errorf("a rule that names all days is one: %v", d)
	}
	if d := NewFeedDays([]string{"sunday"}); d.Next(time.Sunday) != 7 {
		t.Errorf("from Sunday to Sunday: %d", d.Next(time.Sunday))
	}
}
