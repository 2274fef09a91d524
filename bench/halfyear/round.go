package main

import (
	"context"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"time"

	"wormyard/bench/fraternal"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// unwritten is the chance that a feeding is not written down.
const unwritten = 0.2

// byRound is a crew that does what our round asks for on its days of feeding, and
// what cannot wait on the days between. It writes as people do.
type byRound struct {
	ctx     context.Context
	desk    *desk
	app     *app.App
	twins   *app.Twins
	err     error
	seconds float64
	undone  map[string]int        // lines that this crew does not do, by act
	fed     map[string][]feeding  // what truly happened
	open    map[string]bool       // bins that lie open
	blended bool                  // this morning
	minutes map[round.Act]float64 // that its lines took
	diary   io.Writer             // what was asked and believed, beside what was true; nil for none
}

type feeding struct {
	at      time.Time
	batch   string
	depthM  float64
	written bool
}

func newRound(ctx context.Context, f *fraternal.Farm) (*byRound, error) {
	// The farm's custom, as its owner would set it when the tool comes.
	f.Write("setting", "owner", 7*60, &journal.Setting{Key: "habits", Value: []byte(`{"bedding_depth_m":0.1524,"feed_depth_m":0.0508,"feed_every_days":7,"visit_days":7,"water_kg":7.57}`)})
	r := &byRound{ctx: ctx, desk: newDesk(f), undone: map[string]int{}, fed: map[string][]feeding{}, open: map[string]bool{}, minutes: map[round.Act]float64{}}
	var err error
	if r.app, err = app.Open(ctx, r.desk, func() time.Time { return f.Morning() }); err != nil {
		return nil, err
	}
	r.twins, err = app.NewTwins(r.app, r.desk)
	return r, err
}

// Work implements fraternal.Policy.
func (r *byRound) Work(f *fraternal.Farm) {
	if r.err != nil {
		return
	}
	f.Glass()
	f.Frost(true)
	if day := f.Morning().Weekday(); day == time.Tuesday || day == time.Thursday {
		f.Stabs(max(1, len(f.Bins())*5/21)) // ten a week on a farm of 21 bins
	}
	if !feeds(f) {
		return
	}
	f.Batch()
	r.err = r.follow(f)
}

// follow makes the round and does it.
func (r *byRound) follow(f *fraternal.Farm) error {
	if err := r.app.Refresh(r.ctx); err != nil {
		return err
	}
	made, err := r.twins.MakeRound(r.ctx, func(string, int, int) {})
	if err != nil {
		return err
	}
	r.seconds += made.Seconds
	list, _, err := r.twins.List(r.ctx, round.Words{})
	if err != nil {
		return err
	}
	if r.diary != nil {
		if err := r.keep(f, &list, made.Items); err != nil {
			return err
		}
	}
	minute := 8*60 + 20
	if slices.ContainsFunc(list.Lines, func(l round.Line) bool { return l.Act == round.Blend }) && !r.blended {
		r.blended = true // what was asked for is mixed, and the list made anew with it
		f.Blend()
		return r.follow(f)
	}
	r.blended = false
	for _, l := range list.Lines {
		for i := range l.Items {
			minute++
			was := f.Tally.Minutes
			r.do(f, &l.Items[i], minute)
			r.minutes[l.Act] += f.Tally.Minutes - was
		}
	}
	for b := range r.open { // what was opened is covered again at the next visit, unless the round would have it open
		if !slices.ContainsFunc(made.Items, func(it round.Item) bool { return it.Bin == b && it.Act == round.Open }) {
			f.Cover(b, "cloth")
			f.Note("cover", "crew 1", minute, &journal.Cover{Bins: []string{b}, Cover: "cloth"})
			delete(r.open, b)
		}
	}
	return nil
}

// keep writes into the diary what a round asks for and, over all bins, what the
// twins believe beside what is true: warmest place, worms, share of the last feeding.
func (r *byRound) keep(f *fraternal.Farm, list *round.List, items []round.Item) error {
	acts := map[string]int{}
	for _, l := range list.Lines {
		for i := range l.Items {
			it := &l.Items[i]
			what := string(it.Act)
			if it.DepthM > 0 {
				what += fmt.Sprintf(" %.1f in", it.DepthM/inch)
			}
			acts[what]++
		}
	}
	fmt.Fprintf(r.diary, "%s:", f.Morning().Format(time.DateOnly))
	for _, k := range slices.Sorted(maps.Keys(acts)) {
		fmt.Fprintf(r.diary, " %s x%d,", k, acts[k])
	}
	truth := map[string]fraternal.Truth{}
	var warm, warmTrue, worms, wormsTrue, water, waterTrue, n float64
	for _, b := range f.Bins() {
		v, err := r.twins.Outlook(r.ctx, b)
		if err != nil || v == nil {
			return err
		}
		t := f.Truth(b)
		truth[b] = t
		warm, warmTrue = warm+v.Warmest.Mid, warmTrue+t.MidC
		worms, wormsTrue = worms+v.Worms.Mid, wormsTrue+t.WormKg
		water, waterTrue = water+v.Water.Mid, waterTrue+t.WaterOfWet
		n++
	}
	fmt.Fprintf(r.diary, " warmest %.1f C believed, middle %.1f C; worms %.1f kg believed, %.1f kg; water %.3f believed, %.3f\n", warm/n, warmTrue/n, worms/n, wormsTrue/n, water/n, waterTrue/n)
	for i := range items {
		if it := &items[i]; it.Bin != "" && (it.Due || it.Act != round.Rest) && it.Act != round.Ask {
			r.keepBin(truth[it.Bin], it)
		}
	}
	return nil
}

// keepBin writes what was tried on a bin: castings, and the chances that count.
func (r *byRound) keepBin(t fraternal.Truth, it *round.Item) {
	v, err := r.twins.Outlook(r.ctx, it.Bin)
	if err != nil || v == nil {
		return
	}
	fmt.Fprintf(r.diary, "  %s %s %.1f in, water %.0f; true middle %.1f C, hottest %.1f C, feed %.1f kg, worms %.1f kg (believed %.1f to %.1f), deep %.2f m;", it.Bin, it.Act, it.DepthM/inch, it.WaterKg, t.MidC, t.HotC, t.FeedKg, t.WormKg, v.Worms.Low, v.Worms.High, t.DepthM)
	for _, w := range it.Why {
		fmt.Fprintf(r.diary, " %s", w.Key)
	}
	for _, x := range it.Tried {
		mark := ""
		if !x.Allowed {
			mark = "!"
		}
		if x.Chosen {
			mark = "*"
		}
		fmt.Fprintf(r.diary, " [%s%s %.2f kg warm %.2f left %.2f leave %.2f sour %.2f of %d]", mark, round.Words{}.Text(x.Option), x.Value, x.TooWarm, x.Left, x.Leave, x.Sour, x.Members)
	}
	fmt.Fprintln(r.diary)
}

// do does one item of the round as its words say.
func (r *byRound) do(f *fraternal.Farm, it *round.Item, minute int) {
	who := "crew 1"
	if it.Act == round.Blend { // mixed before the list was made anew; one batch a morning
		return
	}
	if it.Bin == "" {
		r.undone[string(it.Act)]++
		return
	}
	if it.Act != round.Ask {
		f.Reach(it.Bin)
	}
	if it.WaterKg > 0 {
		f.Water(it.Bin, it.WaterKg, minute)
		f.Note("water", who, minute, &journal.Water{Bins: []string{it.Bin}, Kg: qty.WaterKg(it.WaterKg)})
	}
	if it.Cover != "" {
		f.Cover(it.Bin, it.Cover)
		f.Note("cover", who, minute, &journal.Cover{Bins: []string{it.Bin}, Cover: it.Cover})
		if it.Cover == "none" {
			r.open[it.Bin] = true
		}
	}
	if it.Act == round.Open {
		r.beside(f, it, who, minute)
	}
	switch it.Act {
	case round.Feed:
		m := f.Mix(it.Mix)
		if m == nil {
			r.undone["feed without a batch"]++
			return
		}
		if f.Full(it.Bin) { // anybody sees that, and the tool is told
			f.Measure(it.Bin, who, minute)
			return
		}
		f.Feed(it.Bin, m, f.Spread(it.DepthM), minute)
		fed := feeding{f.Morning().Add(time.Hour), it.Mix, it.DepthM, !f.Chance(unwritten)}
		r.fed[it.Bin] = append(r.fed[it.Bin], fed)
		if fed.written {
			depth := qty.Metre(math.Round(it.DepthM*1e4) / 1e4)
			f.Note("feed", who, minute, &journal.Feed{Bins: []string{it.Bin}, Batch: it.Mix, DepthM: &depth})
		}
	case round.Open:
		if it.DepthM > 0 {
			f.TakeOff(it.Bin, it.DepthM)
			depth := qty.Metre(it.DepthM)
			f.Note("turn", who, minute, &journal.Turn{Bins: []string{it.Bin}, What: "took feed off", TakenOffM: &depth})
		}
	case round.Look:
		r.look(f, it, who, minute)
	case round.Harvest:
		f.Harvest(it.Bin, minute)
	case round.Ask:
		r.answer(f, it, minute)
	case round.Water, round.Cover, round.Warm:
	default:
		r.undone[string(it.Act)]++
	}
}

// look does what a line that asks for a look says: by hand and eye, or with the
// thermometer where that is what it asks for, and beside it what it says tells most.
func (r *byRound) look(f *fraternal.Farm, it *round.Item, who string, minute int) {
	if it.Head.Key == "probe" {
		f.Stab(it.Bin, who, minute)
		return
	}
	f.Look(it.Bin, who, minute)
	r.beside(f, it, who, minute)
}

// beside takes what a line says tells most of a bed.
func (r *byRound) beside(f *fraternal.Farm, it *round.Item, who string, minute int) {
	for _, w := range it.Why {
		switch w.Key {
		case "why.tells.stab":
			f.Stab(it.Bin, who, minute)
		case "why.tells.depth":
			f.Measure(it.Bin, who, minute)
		}
	}
}

// answer says whether a bin was fed on a day, as far as the crew remembers: four
// times in five.
func (r *byRound) answer(f *fraternal.Farm, it *round.Item, minute int) {
	f.Tally.Minutes += 0.5
	said := "not known"
	if it.Asked != nil && f.Chance(0.8) {
		said = "not fed"
		for i := range r.fed[it.Bin] {
			x := &r.fed[it.Bin][i]
			if x.at.Format(time.DateOnly) == it.Asked.Day && !x.written {
				said, x.written = "fed", true
				depth := qty.Metre(x.depthM)
				f.Late("feed", "owner", x.at, &journal.Feed{Bins: []string{it.Bin}, Batch: x.batch, DepthM: &depth, Note: "asked, was not written down"})
			}
		}
	}
	if it.Asked != nil {
		f.Note("answer", "owner", minute, &journal.Answer{Bins: []string{it.Bin}, Day: it.Asked.Day, Said: said})
	}
}

// desk is the journal of a farm as it was recorded by now, and what the app keeps.
type desk struct {
	farm    *fraternal.Farm
	snaps   map[string]kept
	results map[string]kept
}

type kept struct {
	data          []byte
	hash, version string
	made          time.Time
}

func newDesk(f *fraternal.Farm) *desk {
	return &desk{farm: f, snaps: map[string]kept{}, results: map[string]kept{}}
}

// Append implements app.Journal.
func (d *desk) Append(context.Context, []journal.Entry) ([]journal.Entry, error) {
	return nil, fmt.Errorf("this farm writes by its own crew")
}

// Load implements app.Journal.
func (d *desk) Load(_ context.Context, after int64) ([]journal.Entry, error) {
	out := slices.Clone(d.farm.Entries()[after:])
	for i := range out {
		out[i].Seq = after + int64(i) + 1
	}
	return out, nil
}

// Snapshot implements app.Kept.
func (d *desk) Snapshot(_ context.Context, key, hash, version string) ([]byte, bool, error) {
	k, ok := d.snaps[key]
	if !ok || k.version != version || hash != "" && k.hash != hash {
		return nil, false, nil
	}
	return k.data, true, nil
}

// PutSnapshots implements app.Kept.
func (d *desk) PutSnapshots(_ context.Context, version string, snaps []app.Snap) error {
	for _, s := range snaps {
		d.snaps[s.Key] = kept{data: s.Data, hash: s.Hash, version: version}
	}
	return nil
}

// Result implements app.Kept.
func (d *desk) Result(_ context.Context, kind, subject string) ([]byte, time.Time, bool, error) {
	k, ok := d.results[kind+"/"+subject]
	return k.data, k.made, ok, nil
}

// PutResults implements app.Kept.
func (d *desk) PutResults(_ context.Context, kind, day string, made time.Time, bySubject map[string][]byte) error {
	for s, data := range bySubject {
		d.results[kind+"/"+s] = kept{data: data, made: made}
	}
	return nil
}
