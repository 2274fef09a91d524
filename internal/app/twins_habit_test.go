package app

import (
	"testing"
	"time"

	"wormyard/journal"
)

// A farm that feeds on Tuesdays and Fridays: on these a bin is due and its feed
// lasts to the next, on others nothing is; a bin under others waits for such a day.
func TestDaysOfFeeding(t *testing.T) {
	f := smallFarm(t)
	f.write(f.now, "setting", &journal.Setting{Key: "habits", Value: []byte(`{"feed_every_days":4,"visit_days":5,"feed_days":["tuesday","friday"]}`)})
	s := f.app.State()
	of := func(name string, now time.Time) habit {
		b, ok := s.Bin(name)
		if !ok {
			t.Fatal(name)
		}
		return f.twins.habitOf(s, b, now)
	}
	monday := time.Date(2025, 6, 9, 9, 0, 0, 0, s.Zone())
	for day, next := range []int{1, 3, 2, 1, 4, 3, 2} { // days to the next one, from Monday on
		now := monday.AddDate(0, 0, day)
		h := of("B2", now)
		if due := day == 1 || day == 4; h.due != due || h.off == due {
			t.Errorf("%s: due %v, off %v", now.Weekday(), h.due, h.off)
		}
		if got := int(h.next-now.Unix()/3600) / 24; got != next {
			t.Errorf("%s: the next is in %d days, wanted %d", now.Weekday(), got, next)
		}
		low := of("B1", now)
		if at := time.Unix(low.next*3600, 0).In(s.Zone()).Weekday(); at != time.Tuesday && at != time.Friday {
			t.Errorf("under another, on %s, next is on a %s", now.Weekday(), at)
		}
		if low.next < now.Unix()/3600+5*24-halfDay {
			t.Errorf("under another it is seen to again in %d hours", low.next-now.Unix()/3600)
		}
	}
	tuesday := monday.AddDate(0, 0, 1)
	f.now = tuesday
	f.feed(tuesday.Add(-time.Hour), "B2")
	s = f.app.State()
	if of("B2", tuesday).due {
		t.Error("fed an hour ago and due")
	}
	f.write(tuesday, "look", &journal.Look{Bins: []string{"B1"}, Squeeze: "few drops"})
	s = f.app.State()
	if h := of("B1", tuesday.AddDate(0, 0, 1)); h.due || time.Unix(h.waits*3600, 0).In(s.Zone()).Weekday() != time.Friday && time.Unix(h.waits*3600, 0).In(s.Zone()).Weekday() != time.Tuesday {
		t.Errorf("seen yesterday: due %v, waits until %v", h.due, time.Unix(h.waits*3600, 0).In(s.Zone()))
	}
}

// A round made under other habits is stale, and so is told nothing of a price of
// habits that are no more.
func TestARoundOfOtherHabitsIsStale(t *testing.T) {
	f := smallFarm(t)
	made := f.make()
	if f.twins.Stale(t.Context()) || made.Priced != nil {
		t.Fatal("a fresh round is stale, or habits that are none have a price")
	}
	f.write(f.now, "setting", &journal.Setting{Key: "habits", Value: []byte(`{"feed_every_days":4,"feed_days":["monday"],"feed_most_m":0.0127}`)})
	if !f.twins.Stale(t.Context()) {
		t.Error("it does not know of the new habits")
	}
	made = f.make()
	if made.Priced == nil || len(HabitCosts(f.app.State(), made.Priced)) != 2 {
		t.Fatalf("%+v", made.Priced)
	}
	was := made.Priced.At
	f.now = f.now.Add(24 * time.Hour)
	if again := f.make(); again.Priced == nil || !again.Priced.At.Equal(was) {
		t.Error("a price that stands is worked out again")
	}
	f.write(f.now, "setting", &journal.Setting{Key: "habits", Value: []byte(`{"feed_every_days":4}`)})
	if said := HabitCosts(f.app.State(), made.Priced); said != nil {
		t.Errorf("%v", said)
	}
}

// An answer is news of a bin: what it was told before no longer holds.
func TestAnAnswerIsNews(t *testing.T) {
	f := smallFarm(t)
	before := f.make()
	f.write(f.now, "answer", &journal.Answer{Bins: []string{"B2"}, Day: "2025-05-30", Said: "not fed"})
	after := f.make()
	for i := range after.Items {
		changed := before.Items[i].RestsOn != after.Items[i].RestsOn
		if changed != (after.Items[i].Bin == "B2") {
			t.Errorf("%s: news %v", after.Items[i].Bin, changed)
		}
	}
}
