package farm

import (
	"math"
	"strings"
	"testing"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

// book is a journal being written in a test, one entry an hour.
type book struct {
	t       *testing.T
	farm    *Farm
	at      time.Time
	n       int
	entries []journal.Entry
}

func newBook(t *testing.T) *book { return &book{t: t, farm: New(trade(t)), at: start} }

func (b *book) write(kind string, body any) string {
	b.n++
	e := journal.Entry{ID: id(b.n), Kind: kind, At: b.at, Who: "crew 1", Body: body}
	b.at = b.at.Add(time.Hour)
	b.entries = append(b.entries, e)
	b.farm.Apply([]journal.Entry{e})
	return e.ID
}

func (b *book) bin(name string) *Bin {
	b.t.Helper()
	bin, ok := b.farm.State().Bin(name)
	if !ok {
		b.t.Fatalf("there is no bin %s", name)
	}
	return bin
}

// yard lays two piles, a batch, and two bins of 1 m by 2 m that are bedded and stocked.
func (b *book) yard() {
	b.write("receive", &journal.Receive{Pile: "M", Material: "manure", VolumeM3: ptr(qty.CubicMetre(10))})
	b.write("receive", &journal.Receive{Pile: "C", Material: "chips", MassKgWet: ptr(qty.WetKg(500))})
	b.write("blend", &journal.Blend{Batch: "41", Parts: []journal.BlendPart{{Pile: "M", VolumeM3: ptr(qty.CubicMetre(2))}, {Pile: "C", MassKgWet: ptr(qty.WetKg(250))}}, ShrinkFrac: ptr(qty.Fraction(0.2))})
	b.write("build", &journal.Build{Bins: []string{"B1", "B2"}, LengthM: ptr(qty.Metre(2)), WidthM: ptr(qty.Metre(1)), DepthM: ptr(qty.Metre(0.5)), Slots: []string{"North/1/1/1", "North/1/1/2"}})
	b.write("bed", &journal.Bed{Bins: []string{"B1", "B2"}, Batch: "41", DepthM: 0.15})
	b.write("stock", &journal.Stock{Bins: []string{"B1"}, Kg: 6, KgLow: ptr(qty.LiveKg(4)), KgHigh: ptr(qty.LiveKg(9))})
}

func (b *book) same(what string, got, want float64) {
	b.t.Helper()
	if math.Abs(got-want) > 1e-9*max(math.Abs(want), 1) {
		b.t.Errorf("%s is %.12g, want %.12g", what, got, want)
	}
}

func (b *book) doubts(about string) string {
	for _, d := range b.farm.State().Doubts() {
		if d.About == about {
			return d.Kind + ": " + d.Say
		}
	}
	return ""
}

// TestAmounts follows matter by hand from the piles to the beds. Manure is 800
// kg/m3 at 75 % water, chips 250 kg/m3 at 40 %.
func TestAmounts(t *testing.T) {
	b := newBook(t)
	b.yard()
	// 2 m3 of manure: 1600 kg, 400 dry. 250 kg of chips: 1 m3, 150 dry.
	batch, _ := b.farm.State().Batch("41")
	b.same("dry matter of the batch", float64(batch.Made.Dry), 550)
	b.same("wet mass of the batch", float64(batch.Made.Wet()), 1850)
	b.same("volume of the batch after a fifth is lost", float64(batch.Made.Volume), 2.4)
	b.same("share of manure", float64(batch.Parts[0].Share), 2.0/3)
	b.same("nitrogen", float64(batch.Made.TotalNitrogen()), 400*0.02+150*0.001)
	b.same("carbon", float64(batch.Made.Carbon), 400*0.02*20+150*0.001*400)
	pile, _ := b.farm.State().Pile("M")
	b.same("manure left", float64(pile.Left().Volume), 8)
	chips, _ := b.farm.State().Pile("C")
	b.same("chips left", float64(chips.Left().Wet()), 250)

	// Two beds of 0.15 m on 2 m2 are 0.6 m3 of 2.4: a quarter of the batch.
	b.same("share fed after bedding", batch.FedShare(), 0.25)
	b.same("dry matter of a bed", float64(b.bin("B1").Bed.Start.Matter.Dry), 550.0/8)

	b.write("feed", &journal.Feed{Bins: []string{"B1", "B2"}, Batch: "41", DepthM: ptr(qty.Metre(0.05))})
	b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: ptr(qty.Metre(0.05)), Side: "left"})
	b.write("feed", &journal.Feed{Bins: []string{"B2"}, Batch: "41", MassKgWet: ptr(qty.WetKg(18.5))})
	one, two := b.bin("B1").Bed, b.bin("B2").Bed
	b.same("feed by depth", float64(one.Acts[1].Matter.Dry), 550.0*0.1/2.4)
	b.same("feed on half the top", float64(one.Acts[2].Matter.Dry), 550.0*0.05/2.4)
	b.same("feed by mass", float64(two.LastFeed.Matter.Dry), 5.5)
	b.same("depth of a feed by mass", float64(two.LastFeed.Depth), 2.4*0.01/2)
	b.same("all feed of B1", float64(one.Fed.Dry), 550.0*0.15/2.4)
	batch, _ = b.farm.State().Batch("41")
	laid := one.Start.Matter.Plus(two.Start.Matter).Plus(one.Fed).Plus(two.Fed)
	b.same("what was laid and what is left make the batch", float64(laid.Plus(batch.Left()).Wet()), float64(batch.Made.Wet()))
	if one.Acts[1].Layer == one.Acts[2].Layer || one.Acts[1].Layer != two.Acts[0].Layer {
		t.Error("a layer is not named by its entry")
	}

	// A moisture of 60 % found later for the manure: what is left is 8 m3 of the
	// same dry matter in the same space, the batch is as it was.
	b.write("assay", &journal.Assay{Subject: "pile M", Analyte: "water_frac_wet", Value: 0.6})
	pile, _ = b.farm.State().Pile("M")
	b.same("volume left", float64(pile.Left().Volume), 8)
	b.same("moisture of the pile", float64(pile.Left().WaterContent()), 0.6)
	b.same("dry matter left", float64(pile.Left().Dry), 8*800*0.25)
	b.write("tend", &journal.Tend{Pile: "M", Act: "wetted", WaterKg: ptr(qty.WaterKg(100))})
	b.write("assay", &journal.Assay{Subject: "pile M", Analyte: "nitrogen_frac_dry", Value: 0.03})
	pile, _ = b.farm.State().Pile("M")
	b.same("water after wetting and another test", float64(pile.Left().Water), 8*800*0.25*0.6/0.4+100)
	b.same("nitrogen by the own test", float64(pile.Left().TotalNitrogen()), 8*800*0.25*0.03)
	again, _ := b.farm.State().Batch("41")
	b.same("the batch mixed before", float64(again.Made.TotalNitrogen()), 400*0.02+150*0.001)
	if d := b.farm.State().Doubts(); len(d) > 0 {
		t.Errorf("doubts: %v", d)
	}
}

// TestBatchMoisture holds that a measured moisture stands and dry matter stays.
func TestBatchMoisture(t *testing.T) {
	b := newBook(t)
	b.write("receive", &journal.Receive{Pile: "M", Material: "manure", VolumeM3: ptr(qty.CubicMetre(10))})
	b.write("blend", &journal.Blend{Batch: "1", Parts: []journal.BlendPart{{Pile: "M", VolumeM3: ptr(qty.CubicMetre(1))}}, WaterKg: ptr(qty.WaterKg(50)), WaterFracWet: ptr(qty.WaterOfWet(0.8))})
	batch, _ := b.farm.State().Batch("1")
	b.same("dry", float64(batch.Made.Dry), 200)
	b.same("water", float64(batch.Made.Water), 800)
}

func TestDoubts(t *testing.T) {
	b := newBook(t)
	b.yard()
	b.write("feed", &journal.Feed{Bins: []string{"B1", "B9"}, Batch: "99", DepthM: ptr(qty.Metre(0.1))})
	if d := b.doubts("bin B9"); !strings.Contains(d, "no entry before it tells that it was built") {
		t.Errorf("bin B9: %q", d)
	}
	if d := b.doubts("batch 99"); !strings.Contains(d, "no entry tells how it was mixed") {
		t.Errorf("batch 99: %q", d)
	}
	act := b.bin("B1").Bed.LastFeed
	if !strings.Contains(act.Guessed, "like batch 41") || act.Matter.Dry <= 0 {
		t.Errorf("the unknown batch is taken as %q, %g kg dry", act.Guessed, act.Matter.Dry)
	}
	b.write("blend", &journal.Blend{Batch: "42", Parts: []journal.BlendPart{{Pile: "M", VolumeM3: ptr(qty.CubicMetre(10))}}})
	if d := b.doubts("pile M"); !strings.Contains(d, "overdrawn") || !strings.Contains(d, "3,530 lb") { // 2 m3 of 8 too many: 1600 kg
		t.Errorf("pile M: %q", d)
	}
	p, _ := b.farm.State().Pile("M")
	b.same("left of an overdrawn pile", float64(p.Left().Volume), 0)
	b.same("over", float64(p.Over), 1600)
	for range 12 { // 12 times 0.2 m3 of 2.4 beside the beds
		b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: ptr(qty.Metre(0.1))})
	}
	if d := b.doubts("batch 41"); !strings.Contains(d, "overdrawn") {
		t.Errorf("batch 41: %q", d)
	}
	batch, _ := b.farm.State().Batch("41")
	b.same("left of an overdrawn batch", float64(batch.Left().Wet()), 0)

	b.write("harvest", &journal.Harvest{Bins: []string{"B2"}, MassKgWet: ptr(qty.WetKg(200)), Lot: "7", EndsBed: true})
	b.write("water", &journal.Water{Bins: []string{"B2"}, Kg: 3})
	if d := b.doubts("bin B2"); !strings.Contains(d, "empty then") {
		t.Errorf("bin B2: %q", d)
	}
	b.write("feed", &journal.Feed{Bins: []string{"B2"}, Batch: "42", DepthM: ptr(qty.Metre(0.1))})
	if bin := b.bin("B2"); bin.State != Bedded || bin.Bed.Start.Guessed == "" {
		t.Errorf("a fed bin without bedding is %s", bin.State)
	}
	b.write("move", &journal.Move{Bin: "B1", From: "North/4/4/1", To: "North/2/1/1"})
	if d := b.doubts("bin B1"); !strings.Contains(d, "had it in North/1/1/1") {
		t.Errorf("bin B1: %q", d)
	}
	b.write("screen", &journal.Screen{Lot: "8"})
	if d := b.doubts("lot 8"); !strings.Contains(d, "no harvest before it") {
		t.Errorf("lot 8: %q", d)
	}
	b.write("receive", &journal.Receive{Pile: "X", Material: "moon dust", VolumeM3: ptr(qty.CubicMetre(1))})
	if d := b.doubts("pile X"); !strings.Contains(d, "not a material of the library") {
		t.Errorf("pile X: %q", d)
	}
	for _, d := range b.farm.State().Doubts() {
		if d.Say == "" || d.Try == "" || d.Entry == "" || d.Times < 1 {
			t.Errorf("a doubt without words: %+v", d)
		}
	}
	// The bin turns out to have been built before: the doubt goes.
	b.farm.Apply([]journal.Entry{{ID: id(900), Kind: "build", At: start, Body: &journal.Build{Bins: []string{"B9"}}}})
	if d := b.doubts("bin B9"); strings.Contains(d, "built") {
		t.Errorf("bin B9 after it was built: %q", d)
	}
}

// What was written of a lot under an earlier hour than its harvest counts once the
// harvest is there, and only for its own lot; a pile beside it is not held twice.
func TestLotBeforeItsHarvest(t *testing.T) {
	b := newBook(t)
	b.yard()
	noon := b.at
	entry := func(n int, hour float64, kind string, body any) journal.Entry {
		return journal.Entry{ID: id(800 + n), Kind: kind, At: noon.Add(time.Duration(hour * float64(time.Hour))), Who: "crew 1", Body: body}
	}
	b.farm.Apply([]journal.Entry{
		entry(1, 1, "screen", &journal.Screen{Lot: "9", Decks: []journal.Deck{{OpeningMM: 6, OverKg: ptr(qty.WetKg(20))}}}),
		entry(2, 2, "cure", &journal.Cure{Lot: "9", Place: "bay 2"}),
		entry(3, 3, "assay", &journal.Assay{Subject: "lot 9", Analyte: "ph", Value: 7}),
		entry(4, 4, "hold", &journal.Hold{Lot: "9", Why: "sour"}),
		entry(5, 5, "screen", &journal.Screen{Lot: "10"}),
	})
	if d := b.doubts("lot 9"); !strings.Contains(d, "no harvest before it") {
		t.Errorf("before its harvest nothing is asked about lot 9: %q", d)
	}
	b.farm.Apply([]journal.Entry{entry(6, 9, "harvest", &journal.Harvest{Bins: []string{"B1"}, MassKgWet: ptr(qty.WetKg(100)), Lot: "9"})})
	s := b.farm.State()
	l, ok := s.Lot("9")
	if !ok || len(l.Screens) != 1 || len(l.Cures) != 1 || len(l.Tests) != 1 || len(l.Holds) != 1 || !l.Held() {
		t.Fatalf("lot 9 is %+v", l)
	}
	b.same("kept back", float64(s.Amounts(l).Overs), 20)
	if d := b.doubts("lot 9"); d != "" {
		t.Errorf("asked about lot 9 still: %q", d)
	}
	if _, ok := s.Lot("10"); ok || b.doubts("lot 10") == "" {
		t.Error("lot 10 is there without a harvest")
	}
}

// A lot that went into another whole is not on hold any more, whatever was found in
// it; with a part of it left it is.
func TestHeldAndPutTogether(t *testing.T) {
	b := newBook(t)
	b.yard()
	kg := func(v float64) *qty.WetKg { return ptr(qty.WetKg(v)) }
	b.write("harvest", &journal.Harvest{Bins: []string{"B1"}, MassKgWet: kg(100), Lot: "5"})
	b.write("hold", &journal.Hold{Lot: "5", Why: "cure longer"})
	b.write("join", &journal.Join{Lot: "5R", Parts: []journal.JoinPart{{Lot: "5", MassKgWet: kg(60)}}})
	standing := func() LotState {
		s := b.farm.State()
		l, _ := s.Lot("5")
		return s.Standing(l)
	}
	if x := standing(); x != LotHeld {
		t.Errorf("with 40 kg left the lot is %s", x)
	}
	b.write("join", &journal.Join{Lot: "5R", Parts: []journal.JoinPart{{Lot: "5", MassKgWet: kg(39)}}})
	if x := standing(); x != LotSold {
		t.Errorf("with nothing left the lot is %s", x)
	}
}

// TestLife follows a bin from bed to bed, and a lot back to the piles.
func TestLife(t *testing.T) {
	b := newBook(t)
	b.yard()
	b.write("stock", &journal.Stock{Bins: []string{"B2"}, Kg: 2, FromBin: "B1"})
	b.same("stock left after a split", float64(b.bin("B1").Bed.Stock.Best), 4)
	b.same("stock of the other", float64(b.bin("B2").Bed.Stock.Best), 2)
	b.write("harvest", &journal.Harvest{Bins: []string{"B1"}, MassKgWet: ptr(qty.WetKg(50)), Lot: "7", How: "side feeding"})
	if bed := b.bin("B1").Bed; bed == nil || bed.Taken != 50 || bed.Acts[len(bed.Acts)-1].Kind != ActTake {
		t.Errorf("a harvest from a living bed: %+v", bed)
	}
	b.write("harvest", &journal.Harvest{Bins: []string{"B1", "B2"}, MassKgWet: ptr(qty.WetKg(300)), WormsKg: ptr(qty.LiveKg(8)), Lot: "7", EndsBed: true})
	one := b.bin("B1")
	if one.State != Empty || one.Bed != nil || len(one.Past) != 1 {
		t.Fatalf("B1 after its harvest: %s, %d past beds", one.State, len(one.Past))
	}
	past := one.Past[0]
	b.same("harvested in all", float64(past.Harvested), 200)
	b.same("worms out", float64(past.Worms), 4)
	if past.ID != "B1 2026-03-01" || strings.Join(past.Batches, ",") != "41" || strings.Join(past.Lots, ",") != "7" {
		t.Errorf("past bed %+v", past)
	}
	b.write("bag", &journal.Bag{Lot: "7", SizeM3: 0.03, Number: 12})
	b.write("sell", &journal.Sell{Lot: "7", Bags: ptr(3), Customer: "garden shop"})
	s := b.farm.State()
	lot, _ := s.Lot("7")
	if len(lot.From) != 3 || len(lot.Bags) != 1 || len(lot.Sales) != 1 {
		t.Errorf("lot %+v", lot)
	}
	back := strings.Join(s.Back("lot 7"), "; ")
	for _, want := range []string{"bed B1 2026-03-01", "bed B2 2026-03-01", "batch 41", "pile M", "pile C"} {
		if !strings.Contains(back, want) {
			t.Errorf("%s is not among what went into the lot: %s", want, back)
		}
	}
	if forward := s.Forward("pile C"); len(forward) != 4 || forward[len(forward)-1] != "lot 7" {
		t.Errorf("forward from the chips: %v", forward)
	}
	b.write("build", &journal.Build{Bins: []string{"B2"}, State: "retired"})
	if len(b.farm.State().Places().Bins()) != 1 {
		t.Error("a retired bin still stands")
	}
}

func TestStrikes(t *testing.T) {
	b := newBook(t)
	b.yard()
	fed := b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: ptr(qty.Metre(0.1))})
	strike := func(id string) string {
		e := journal.Entry{ID: "", Kind: "strike", Strikes: id, Body: &journal.Strike{Why: "wrong"}}
		b.n++
		e.ID, e.At = idOf(b.n), b.at
		b.farm.Apply([]journal.Entry{e})
		return e.ID
	}
	one := strike(fed)
	if b.bin("B1").Bed.LastFeed != nil {
		t.Error("a struck feeding counts")
	}
	if lines, _ := b.farm.State().Search(Search{Subject: "bin B1", Struck: true}, qty.US); !lines[0].Struck {
		t.Errorf("the struck feeding is not shown as struck: %q", lines[0].Say)
	}
	two := strike(one)
	if b.bin("B1").Bed.LastFeed == nil {
		t.Error("the feeding does not count again")
	}
	strike(two)
	if b.bin("B1").Bed.LastFeed != nil {
		t.Error("the strike does not count again")
	}
}

func idOf(n int) string { return id(n) }

// TestOneDay holds that entries of one day without an hour add up as they were
// meant: built, bedded, stocked and fed, whatever their ids; and a harvest
// before the bedding anew.
func TestOneDay(t *testing.T) {
	at := start
	day := func(n int, kind string, body any) journal.Entry {
		return journal.Entry{ID: id(n), Kind: kind, At: at, Body: body}
	}
	f := New(trade(t))
	f.Apply([]journal.Entry{
		day(1, "feed", &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: ptr(qty.Metre(0.05))}),
		day(2, "stock", &journal.Stock{Bins: []string{"B1"}, Kg: 5}),
		day(3, "bed", &journal.Bed{Bins: []string{"B1"}, Batch: "41", DepthM: 0.15}),
		day(4, "blend", &journal.Blend{Batch: "41", Parts: []journal.BlendPart{{Pile: "M", VolumeM3: ptr(qty.CubicMetre(2))}}}),
		day(5, "build", &journal.Build{Bins: []string{"B1"}}),
		day(6, "receive", &journal.Receive{Pile: "M", Material: "manure", VolumeM3: ptr(qty.CubicMetre(10))}),
	})
	if d := f.State().Doubts(); len(d) > 0 {
		t.Errorf("doubts: %v", d)
	}
	b, _ := f.State().Bin("B1")
	if b.Bed == nil || len(b.Bed.Acts) != 2 || b.Bed.LastFeed.Matter.Dry <= 0 {
		t.Fatalf("the bed: %+v", b.Bed)
	}
	at = start.AddDate(0, 6, 0)
	f.Apply([]journal.Entry{
		day(11, "bed", &journal.Bed{Bins: []string{"B1"}, Batch: "41", DepthM: 0.15}),
		day(12, "harvest", &journal.Harvest{Bins: []string{"B1"}, EndsBed: true, MassKgWet: ptr(qty.WetKg(90))}),
	})
	b, _ = f.State().Bin("B1")
	if b.Bed == nil || len(b.Past) != 1 || b.Past[0].Harvested != 90 || len(f.State().Doubts()) > 0 {
		t.Errorf("harvested and bedded in one day: bed %v, past %v, doubts %v", b.Bed, b.Past, f.State().Doubts())
	}
}

func TestHabit(t *testing.T) {
	b := newBook(t)
	b.yard()
	for i, gap := range []int{0, 5, 7, 6, 30} {
		b.at = b.at.AddDate(0, 0, gap)
		b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: ptr(qty.Metre(float64(i+1) / 100))})
	}
	// Days between: 5, 7, 6, 30 and an hour each; depths 1 to 5 cm.
	if h := b.farm.State().Habit("B1"); math.Abs(h.EveryDays-(6.5+1.0/24)) > 1e-9 || math.Abs(float64(h.Depth)-0.03) > 1e-12 || h.From != 5 {
		t.Errorf("habit %+v", h)
	}
	if h := b.farm.State().Habit("B2"); h.From != 5 {
		t.Errorf("a bin never fed has not the habit of the farm: %+v", h)
	}
}

func TestSearch(t *testing.T) {
	b := newBook(t)
	b.yard()
	b.write("feed", &journal.Feed{Bins: []string{"B1", "B2"}, Batch: "41", DepthM: ptr(qty.Metre(0.0381))})
	b.write("look", &journal.Look{Bins: []string{"B2"}, Squeeze: "drips", Smell: "sour"})
	s := b.farm.State()
	if lines, more := s.Search(Search{Text: "sour b2"}, qty.US); len(lines) != 1 || more || lines[0].Say != "Looked at B2: squeeze drips, smell sour." {
		t.Errorf("%v", lines)
	}
	lines := s.Timeline("B1", qty.US, 10)
	if len(lines) != 4 || lines[0].Say != "Fed 1½ in of batch 41 to B1, B2." || lines[3].Say != "Built B1, B2." {
		t.Errorf("timeline: %v", lines)
	}
	if lines, more := s.Search(Search{Limit: 2}, qty.US); len(lines) != 2 || !more {
		t.Errorf("two of many: %d, more %v", len(lines), more)
	}
	if lines, _ := s.Search(Search{Subject: "pile M"}, qty.US); len(lines) != 2 {
		t.Errorf("about pile M: %v", lines)
	}
	if lines, _ := s.Search(Search{From: b.at.Add(-90 * time.Minute)}, qty.US); len(lines) != 1 {
		t.Errorf("the last hour: %v", lines)
	}
	if lines, _ := s.Search(Search{Skip: 7}, qty.US); len(lines) != 1 {
		t.Errorf("after seven: %d", len(lines))
	}
}

// TestSentenceOfATest holds that a limit is never told as if it were the amount.
func TestSentenceOfATest(t *testing.T) {
	for want, b := range map[string]journal.Assay{
		"Test of lot 26-01: Salmonella less than 3 MPN/4 g":    {Analyte: "salmonella", Value: 3, Unit: "MPN/4 g", Reads: journal.ReadsLess},
		"Test of lot 26-01: E. coli more than 2,400 MPN/g":     {Analyte: "e_coli", Value: 2400, Unit: "MPN/g", Reads: journal.ReadsMore},
		"Test of lot 26-01: fecal coliforms too many to count": {Analyte: "fecal_coliform", Unit: "CFU/g", Reads: journal.ReadsTooMany},
		"Test of lot 26-01: Listeria not detected":             {Analyte: "listeria", Reads: journal.ReadsNone},
		"Test of lot 26-01: nitrogen 1.8 % of dry matter":      {Analyte: "nitrogen_frac_dry", Value: .018},
		"Test of lot 26-01: cadmium less than 0.5 mg/kg dry":   {Analyte: "cadmium_mg_kg_dry", Value: .5, Reads: journal.ReadsLess},
	} {
		b.Subject = "lot 26-01"
		if got := strings.TrimSuffix(Sentence(&journal.Entry{Kind: "assay", Body: &b}, qty.US), "."); got != want {
			t.Errorf("told as %q, want %q", got, want)
		}
	}
}

// TestSentences holds that every kind of entry has its sentence.
func TestSentences(t *testing.T) {
	for _, k := range journal.Kinds() {
		body := k.New()
		switch b := body.(type) {
		case *journal.Site:
			b.Place, b.LowC = "outside", ptr(qty.Celsius(0))
		case *journal.Sighting:
			b.Bin, b.What = "B1", "mites"
		}
		if s := Sentence(&journal.Entry{Kind: k.Name, Body: body}, qty.US); len(s) < 5 {
			t.Errorf("%s is told as %q", k.Name, s)
		}
	}
}

// TestSentencesOfTrade holds that what is ordered, sold and set is told in words, with
// one of a thing as one.
func TestSentencesOfTrade(t *testing.T) {
	one, two, v := 1, 2, qty.CubicMetre(4*qty.M3PerCubicYard)
	for want, body := range map[string]any{
		"School ordered 2 × bag, due 3 March 2026.":                      &journal.Order{Customer: "school", What: "bag", Number: &two, Due: "2026-03-03"},
		"School ordered 1 × bag, 4 yd3 castings.":                        &journal.Order{Customer: "school", Lines: []journal.OrderPart{{What: "bag", Number: &one}, {What: "castings", VolumeM3: &v}}},
		"Recall drill of lot 26-05: 1 bag, 2 customers.":                 &journal.RecallDrill{Of: "lot 26-05", Bags: &one, Customers: &two},
		"Sold 1 bag of lot 26-05 to school.":                             &journal.Sell{Lot: "26-05", Customer: "school", Bags: &one},
		"Kept what the columns of a laboratory's sheet mean.":            &journal.Setting{Key: KeyLabSheet + "65R7CX"},
		"Test of lot 26-05: bean and pea test (0 unhurt to 5 dead) 2.5.": &journal.Assay{Subject: "lot 26-05", Analyte: "bioassay", Value: 2.5},
	} {
		if got := Sentence(&journal.Entry{Body: body}, qty.US); got != want {
			t.Errorf("told as %q, want %q", got, want)
		}
	}
}
