package app

import (
	"bytes"
	"context"
	"testing"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

func (f *small) read(at time.Time, bin string, tempC, depthM float64) {
	t, d := qty.Celsius(tempC), qty.Metre(depthM)
	f.write(at, "reading", &journal.Reading{Bin: bin, TempC: &t, DepthM: &d, Probe: "logger"})
}

// What is read in two bins of six moves the numbers that all six run with, from
// the end of the week on; the same journal teaches the same whether it was learned
// week by week or all at once, and an entry that comes late teaches nobody.
func TestWhatTwoBinsTeachReachesAll(t *testing.T) {
	ctx := context.Background()
	none := func(string, int, int) {}
	f := smallFarm(t)
	const weeks = 5
	for day := range weeks * 7 {
		f.now = midsummer.AddDate(0, 0, day)
		for _, bin := range []string{"B1", "B4"} {
			f.read(f.now, bin, 33+0.5*float64(day%5), 0.1) // warmer than most of the twins have it
		}
		if day%7 == 6 {
			if err := f.twins.Learn(ctx, none); err != nil {
				t.Fatal(err)
			}
		}
	}
	f.now = midsummer.AddDate(0, 0, weeks*7+1)
	if err := f.twins.Learn(ctx, none); err != nil {
		t.Fatal(err)
	}
	l := f.twins.learned
	if len(l.Epochs) == 0 || len(l.Weeks) < weeks-1 {
		t.Fatalf("%d epochs after %d weeks of lessons", len(l.Epochs), len(l.Weeks))
	}
	taught := 0
	for _, w := range l.Weeks {
		if w.Bins > 2 {
			t.Errorf("%d bins taught, two were read", w.Bins)
		}
		taught += w.Lessons
	}
	if taught < 4*weeks {
		t.Errorf("%d lessons in %d weeks", taught, weeks)
	}
	if l.Heat <= 0.03 { // they were read warmer than the twins had them
		t.Errorf("%.3f more heat than as drawn is held usual", l.Heat)
	}
	kept := asJSON(t, l)
	f.restart()
	if got, err := f.twins.learnedSoFar(ctx); err != nil || !bytes.Equal(asJSON(t, got), kept) {
		t.Error("after a restart something else is known")
	}
	f.restart()
	f.twins.Kept = nowhere{}
	if err := f.twins.Learn(ctx, none); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(asJSON(t, f.twins.learned), kept) {
		t.Error("learned all at once it is not the same as week by week")
	}
	f.restart()
	f.read(midsummer.AddDate(0, 0, 9), "B2", 5, 0.1)
	f.now = f.now.Add(time.Hour)
	f.twins.Kept = nowhere{}
	if err := f.twins.Learn(ctx, none); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(asJSON(t, f.twins.learned), kept) {
		t.Error("an entry that came late taught")
	}
}
