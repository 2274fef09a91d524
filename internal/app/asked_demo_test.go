package app_test

import (
	"context"
	"fmt"
	"os"
	"slices"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/demo"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// TestAskedOnTheDemo goes through two times twelve weeks of the demo farm morning
// by morning, as its journal stood then, has each question answered with the truth
// and counts. The limits were set on the last twelve weeks, so the twelve before
// tell how it does elsewhere. Readings and looks are left out: this is what the
// journal alone suspects.
func TestAskedOnTheDemo(t *testing.T) {
	path := os.Getenv("WORMYARD_DEMO")
	if path == "" {
		t.Skip("measured on a demo farm: WORMYARD_DEMO=FILE")
	}
	truth, err := demo.Untolds(context.Background(), func(string, int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	a, store := openCopy(t, path, demo.Now)
	twins, err := app.NewTwins(a, app.KeepIn{Store: store})
	if err != nil {
		t.Fatal(err)
	}
	for _, weeks := range []int{24, 12} {
		t.Run(fmt.Sprintf("%d weeks back", weeks), func(t *testing.T) { askedThrough(t, a, twins, truth, weeks*7, (weeks-12)*7) })
	}
}

type fedOn struct{ bin, day string }

// askedThrough asks and answers on each morning from so many days back to so many.
func askedThrough(t *testing.T, a *app.App, twins *app.Twins, truth []demo.Untold, from, to int) {
	zone := a.State().Zone()
	morning := func(back int) time.Time { return demo.Now().AddDate(0, 0, -back) }
	dayOf := func(at time.Time) string { return at.In(zone).Format(time.DateOnly) }
	untold, asked, late := map[fedOn]demo.Untold{}, map[fedOn]bool{}, map[fedOn]bool{}
	for _, u := range truth {
		untold[fedOn{u.Bin, dayOf(u.At)}] = u
	}
	var rest []journal.Entry
	eachFed := func(list []journal.Entry, do func(fedOn)) {
		for _, e := range list {
			if b, ok := e.Body.(*journal.Feed); ok {
				for _, bin := range b.Bins {
					do(fedOn{bin, dayOf(e.At)})
				}
			}
		}
	}
	for _, e := range a.State().Journal() {
		rest = append(rest, *e)
	}
	slices.SortStableFunc(rest, func(a, b journal.Entry) int { return a.Recorded.Compare(b.Recorded) })
	eachFed(rest, func(x fedOn) { late[x] = true }) // after the morning in hand
	trade, err := app.Trade()
	if err != nil {
		t.Fatal(err)
	}
	f, p := farm.New(trade), twins.Limits()
	var questions, right, bins, ticked, most, mornings, ids int
	for back := from; back > to; back-- {
		now := morning(back)
		n, _ := slices.BinarySearchFunc(rest, now, func(e journal.Entry, at time.Time) int { return e.Recorded.Compare(at) })
		f.Apply(slices.Clone(rest[:n]))
		eachFed(rest[:n], func(x fedOn) { delete(late, x) })
		rest = rest[n:]
		s := f.State()
		var items []round.Item
		for bin, x := range twins.Suspects(s, now) {
			b, _ := s.Bin(bin)
			items = append(items, round.Item{Bin: bin, Barn: b.Slot.Barn, Row: b.Slot.Row, Stack: b.Slot.Stack, Level: b.Slot.Level, Act: round.Rest, Asked: x})
		}
		today := 0
		var answers []journal.Entry
		write := func(kind string, at time.Time, body any) {
			ids++
			answers = append(answers, journal.Entry{ID: fmt.Sprintf("01999999-0000-7000-8000-%012d", ids), Kind: kind, At: at.UTC(), Recorded: now, Who: "owner", Body: body})
		}
		for _, l := range p.Write(round.Made{At: now, Items: items}).Lines {
			if l.Act != round.Ask {
				continue
			}
			today++
			any := false
			for _, it := range l.Items {
				x := fedOn{it.Bin, it.Asked.Day}
				asked[x] = true
				bins++
				said := "not fed"
				if u, was := untold[x]; was {
					said = "fed"
					depth := qty.Metre(u.DepthM)
					write("feed", u.At, &journal.Feed{Bins: []string{it.Bin}, Batch: u.Batch, DepthM: &depth})
				}
				if said == "fed" || late[x] {
					any = true
					ticked++
				}
				write("answer", now, &journal.Answer{Bins: []string{it.Bin}, Day: it.Asked.Day, Said: said})
			}
			if any {
				right++
			}
		}
		f.Apply(answers)
		questions += today
		most = max(most, today)
		if today > 0 {
			mornings++
		}
	}
	all, found := 0, 0
	for x := range untold {
		if x.day >= dayOf(morning(from)) && x.day < dayOf(morning(to+1)) {
			all++
			if asked[x] {
				found++
			}
		}
	}
	percent := func(n, of int) float64 { return 100 * float64(n) / float64(max(of, 1)) }
	t.Logf("%d mornings: %d questions on %d of them, at most %d; %d right (%.0f %%); of %d bins asked about %d were fed (%.0f %%); of %d feedings not written down %d were asked about (%.0f %%)",
		from-to, questions, mornings, most, right, percent(right, questions), bins, ticked, percent(ticked, bins), all, found, percent(found, all))
	if questions == 0 || 2*right < questions || most > int(p.AskMost) {
		t.Errorf("too many questions, or most are wrong: %d of %d right", right, questions)
	}
}
