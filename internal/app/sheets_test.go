package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// printedDays prints the round of a small farm on as many days, each day's with
// another order of its bins, and gives the sheets in that order. The rounds after
// the first are the first at a later time, so that no day is computed twice.
func printedDays(t *testing.T, f *small, days int) (sheets []Sheet, lists []round.List) {
	t.Helper()
	ctx, words := context.Background(), round.Words{Zone: f.app.State().Zone()}
	first := f.make()
	for day := range days {
		m := *first
		m.At = first.At.AddDate(0, 0, day)
		m.Day = m.At.In(words.Zone).Format(time.DateOnly)
		m.Made.At = m.At
		m.Items = slices.Clone(first.Items)
		for i := range m.Items {
			m.Items[i].DepthM += 0.001 * float64(day)
		}
		f.twins.mu.Lock()
		f.twins.last = &m
		f.twins.mu.Unlock()
		x, ok, err := f.twins.KeepSheet(ctx, nil)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		l, ok, err := f.twins.List(ctx, words)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		sheets, lists = append(sheets, x), append(lists, l)
	}
	return sheets, lists
}

// onPaper puts what a sheet says into one text.
func onPaper(l round.List) string {
	var out []string
	for _, x := range l.Lines {
		line := x.Say
		for _, i := range x.Items {
			line += fmt.Sprintf(" %s %.4f", i.Bin, i.DepthM)
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}

// TestSheetsAreARing prints more rounds than are kept: the newest fourteen can be
// read as they were printed, after a restart too, and no other.
func TestSheetsAreARing(t *testing.T) {
	f := smallFarm(t)
	ctx, words := context.Background(), round.Words{Zone: f.app.State().Zone()}
	const days = sheetsKept + 3
	sheets, lists := printedDays(t, f, days)
	if onPaper(lists[0]) == onPaper(lists[1]) || len(lists[0].Lines) == 0 {
		t.Fatal("the days cannot be told apart")
	}
	f.restart()
	kept, err := f.twins.Sheets(ctx)
	if err != nil || len(kept) != sheetsKept {
		t.Fatal(len(kept), err)
	}
	slots := map[int]bool{}
	for i, x := range kept {
		want := sheets[days-1-i]
		if x.Code != want.Code || x.Day != want.Day || !x.Made.Equal(want.Made) {
			t.Errorf("%d: kept %+v, printed %+v", i, x, want)
		}
		slots[x.Slot] = true
	}
	if len(slots) != sheetsKept {
		t.Errorf("two sheets lie in one place: %v", slots)
	}
	for i, x := range sheets {
		l, ok, err := f.twins.SheetList(ctx, x.Code, words)
		if err != nil {
			t.Fatal(err)
		}
		if old := i < days-sheetsKept; ok == old {
			t.Errorf("day %d of %d is there: %v", i+1, days, ok)
		} else if ok && onPaper(l) != onPaper(lists[i]) {
			t.Errorf("day %d was printed\n%s\nand is read\n%s", i+1, onPaper(lists[i]), onPaper(l))
		}
	}
}

// TestSheetOfAnEarlierDay prints a round, and lets the farm go on.
func TestSheetOfAnEarlierDay(t *testing.T) {
	f := smallFarm(t)
	ctx, words := context.Background(), round.Words{Zone: f.app.State().Zone()}
	sheets, lists := printedDays(t, f, 1)
	if again, _, err := f.twins.KeepSheet(ctx, nil); err != nil || again.Code != sheets[0].Code {
		t.Errorf("printed twice: %+v %v", again, err)
	}
	f.now = f.now.AddDate(0, 0, 2)
	f.feed(f.now.Add(-time.Hour), "B1", "B2", "B3")
	temp, deep := qty.Celsius(55), qty.Metre(0.1)
	f.write(f.now.Add(-30*time.Minute), "reading", &journal.Reading{Bin: "B2", TempC: &temp, DepthM: &deep, Probe: "dial"}) // so that there is surely something else to do
	f.make()
	if now := f.list(); onPaper(now) == onPaper(lists[0]) {
		t.Fatal("the round is what it was")
	}
	if list, err := f.twins.Sheets(ctx); err != nil || len(list) != 1 {
		t.Errorf("a round that nobody printed is kept: %v %v", list, err)
	}
	l, ok, err := f.twins.SheetList(ctx, sheets[0].Code, words)
	if err != nil || !ok || onPaper(l) != onPaper(lists[0]) {
		t.Errorf("%v %v: printed\n%s\nread\n%s", ok, err, onPaper(lists[0]), onPaper(l))
	}
	if _, _, err := f.twins.KeepSheet(ctx, []SheetMend{{Key: "mend dry", Bins: []string{"B1"}}}); err != nil {
		t.Fatal(err)
	}
	x, _, err := f.twins.KeepSheet(ctx, []SheetMend{{Key: "mend sour", Bins: []string{"B2"}}, {Key: "mend dry", Bins: []string{"B1", "B3"}}})
	if err != nil || len(x.Mends) != 2 || x.Mends[0].Key != "mend dry" || !slices.Equal(x.Mends[0].Bins, []string{"B1", "B3"}) {
		t.Errorf("lines of remedies lost their numbers: %+v %v", x.Mends, err)
	}
}

// TestSheetOfAnotherFarm asks one farm for what another has printed.
func TestSheetOfAnotherFarm(t *testing.T) {
	f, other := smallFarm(t), smallFarm(t)
	other.now = other.now.Add(time.Second) // no two farms compute in one millisecond
	foreign, _ := printedDays(t, other, 1)
	printedDays(t, f, 1)
	for _, code := range []string{foreign[0].Code, "", "ABCDEF"} {
		if _, ok, err := f.twins.SheetList(context.Background(), code, round.Words{}); ok || err != nil {
			t.Errorf("sheet %q: %v %v", code, ok, err)
		}
	}
}
