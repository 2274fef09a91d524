package farm

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/bed"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// nature is a set of numbers in which only what History uses is filled.
func nature() *bed.Parameters {
	p := &bed.Parameters{}
	p.ClothU, p.ClothPermeance, p.FilmU = 10, 1e-9, 5
	p.CastingsBulk, p.CastingsWater = 250, 0.5
	p.Worm.MatureG = 0.4
	p.StackAirK = 0.5
	return p
}

func TestHistory(t *testing.T) {
	b := newBook(t)
	b.yard() // bedded at the fourth hour, stocked at the fifth
	b.write("cover", &journal.Cover{Bins: []string{"B1"}, Cover: "cloth"})
	fed := b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: ptr(qty.Metre(0.05)), Side: "left"})
	b.write("water", &journal.Water{Bins: []string{"B1", "B2"}, Kg: 7})
	b.write("look", &journal.Look{Bins: []string{"B1"}, Squeeze: "drips"})
	b.write("reading", &journal.Reading{Bin: "B1", TempC: ptr(qty.Celsius(21)), DepthM: ptr(qty.Metre(0.1)), Probe: "dial"})
	b.write("harvest", &journal.Harvest{Bins: []string{"B1"}, MassKgWet: ptr(qty.WetKg(100)), How: "table"})
	h, notes, ok := b.farm.State().History("B1", nature())
	if !ok || len(notes) > 0 {
		t.Fatalf("no history: %v", notes)
	}
	hour := func(n int) int64 { return start.Add(time.Duration(n)*time.Hour).Unix() / 3600 }
	if h.Start.Hour != hour(4) || h.Start.DepthM != 0.15 || !math.IsNaN(h.Start.TempC) {
		t.Errorf("start %+v", h.Start)
	}
	b.same("dry matter of the bed", float64(h.Start.Matter.Dry), 550.0/8)
	if h.Box.Area() != 2 || h.Box.Under != bed.UnderFloor || !h.Box.Over {
		t.Errorf("box %+v", h.Box)
	}
	if up, _, _ := b.farm.State().History("B2", nature()); up.Box.Under != bed.UnderBin || up.Box.Over || len(up.Acts) != 1 || up.Box.AirK != 0.25 || h.Box.AirK != -0.25 {
		t.Errorf("the bin above: %+v", up.Box)
	}
	want := []bed.Kind{bed.Stock, bed.Covered, bed.Feed, bed.Water, bed.Take}
	if len(h.Acts) != len(want) {
		t.Fatalf("%d acts, want %d", len(h.Acts), len(want))
	}
	for i, k := range want {
		if h.Acts[i].Kind != k || h.Acts[i].Hour < h.Start.Hour {
			t.Errorf("act %d is %s, want %s", i, h.Acts[i].Kind, k)
		}
	}
	b.same("worms", h.Acts[0].Worms.AdultKg+h.Acts[0].Worms.JuvenileKg, 6)
	if c := h.Acts[1].Cover; c.Name != "cloth" || c.U != 10 {
		t.Errorf("cover %+v", c)
	}
	if f := h.Acts[2]; f.Side != bed.Left || f.Layer != layer(fed) || f.DepthM != 0.05 {
		t.Errorf("feed %+v", f)
	}
	b.same("feed", float64(h.Acts[2].Matter.Dry), 550*0.05/2.4)
	b.same("water", h.Acts[3].WaterKg, 7)
	// 100 kg at half water are 50 kg dry, at 250 kg/m3 0.2 m3, on 2 m2 0.1 m.
	b.same("depth taken", h.Acts[4].DepthM, 0.1)
	if h.Acts[4].From != bed.FromTop || len(h.Looks) != 1 || len(h.Readings) != 1 || h.Readings[0].TempC != 21 || !math.IsNaN(h.Readings[0].Water) {
		t.Errorf("looks %v, readings %v", h.Looks, h.Readings)
	}

	b.write("harvest", &journal.Harvest{Bins: []string{"B1"}, How: "side feeding"})
	h, notes, _ = b.farm.State().History("B1", nature())
	if half := h.Acts[len(h.Acts)-1]; half.Kind != bed.Take || half.Side != bed.Right || half.DepthM != 0 || len(notes) != 0 {
		t.Errorf("the half across from the feed: %+v, notes %v", half, notes)
	}

	b.write("stock", &journal.Stock{Bins: []string{"B2"}, Kg: 1, FromBin: "B1"})
	h, notes, _ = b.farm.State().History("B1", nature())
	if out := h.Acts[len(h.Acts)-1]; out.Kind != bed.Out || out.Worms.LiveKg() != 1 || len(notes) != 0 {
		t.Errorf("a split: %+v, notes %v", out, notes)
	}
	b.write("turn", &journal.Turn{Bins: []string{"B1"}, TakenOffM: ptr(qty.Metre(0.05))})
	h, _, _ = b.farm.State().History("B1", nature())
	if off := h.Acts[len(h.Acts)-1]; off.Kind != bed.Take || off.DepthM != 0.05 || off.From != bed.FromTop {
		t.Errorf("feed taken off: %+v", off)
	}
	b.write("build", &journal.Build{Bins: []string{"B1"}, State: "repaired", Wall: "plywood"})
	n := nature()
	n.WallU, n.PlywoodU = 1.75, 2.5
	if h, _, _ = b.farm.State().History("B1", n); h.Box.WallU != 2.5 {
		t.Errorf("a wall of plywood passes %.2f W/(m2 K)", h.Box.WallU)
	}
	if _, _, ok := b.farm.State().History("B9", nature()); ok {
		t.Error("a history of a bin that is not there")
	}
}

// TestHistoryFirstMorning holds that ranges reach the twin, and that worms told
// on the first morning are part of the start.
func TestHistoryFirstMorning(t *testing.T) {
	b := newBook(t)
	b.write("build", &journal.Build{Bins: []string{"B1"}})
	b.write("bed", &journal.Bed{Bins: []string{"B1"}, Material: "manure", DepthM: 0.2, AgeDays: ptr(qty.Days(90)), AgeLowDays: ptr(qty.Days(60)), AgeHighDays: ptr(qty.Days(150)),
		LastFeedDays: ptr(qty.Days(5)), LastFeedDepthM: ptr(qty.Metre(0.04)), CastingsFrac: ptr(qty.Fraction(0.6))})
	b.write("stock", &journal.Stock{Bins: []string{"B1"}, Kg: 7, KgLow: ptr(qty.LiveKg(3)), KgHigh: ptr(qty.LiveKg(14))})
	h, _, ok := b.farm.State().History("B1", nature())
	if !ok {
		t.Fatal("no history")
	}
	s := h.Start
	if s.AgeDays.Low != 60 || s.AgeDays.Best != 90 || s.AgeDays.High != 150 || s.StockKg.Low != 3 || s.StockKg.Best != 7 || s.StockKg.High != 14 || len(h.Acts) != 0 {
		t.Errorf("start %+v, %d acts", s, len(h.Acts))
	}
	b.same("the usual box", h.Box.LengthM, 1.2)
	// The twins draw what is left of 4 cm laid five days ago, about twenty days
	// between feedings, and it is the top of the 20 cm that were measured.
	b.same("what was fed", float64(s.LastFeed.Dry), 800*0.25*0.04*1.44)
	b.same("what lies there", float64(s.Matter.Dry), 800*0.25*0.2*1.44)
	b.same("its depth", s.DepthM, 0.2)
	b.same("the depth fed", s.FeedDepth, 0.04)
	if s.FeedGone.Best != 20 || s.FeedGone.Low != 10 || s.FeedGone.High != 40 {
		t.Errorf("gone within %+v days", s.FeedGone)
	}
	if s.Worked.Best != 0.6 || s.Worked.Low >= 0.6 || s.Worked.High <= 0.6 || s.FeedDays != 5 {
		t.Errorf("worked %+v, fed %g days ago", s.Worked, s.FeedDays)
	}
}

// TestHistoryUnknown holds that a bed of which nothing is known is taken like
// what was fed, and says so.
func TestHistoryUnknown(t *testing.T) {
	b := newBook(t)
	b.yard()
	b.write("build", &journal.Build{Bins: []string{"B3"}})
	b.write("feed", &journal.Feed{Bins: []string{"B3"}, Batch: "41", DepthM: ptr(qty.Metre(0.05))})
	h, notes, ok := b.farm.State().History("B3", nature())
	if !ok || h.Start.Matter.Dry <= 0 || h.Start.DepthM != 0.3 {
		t.Fatalf("%+v", h.Start)
	}
	b.same("a bed of the usual depth like the feed", float64(h.Start.Matter.Dry), 550/2.4*0.3*1.44)
	if all := strings.Join(notes, " "); !strings.Contains(all, "like what was fed") {
		t.Errorf("notes %v", notes)
	}
}

// Who was at a bed and wrote what was done and nothing else is told to its twins;
// a note may say anything.
func TestHistoryVisits(t *testing.T) {
	b := newBook(t)
	b.yard()
	b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: ptr(qty.Metre(0.05))})
	b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: ptr(qty.Metre(0.05)), Note: "no worms to be seen"})
	b.write("look", &journal.Look{Bins: []string{"B1"}, Squeeze: "dry"})
	b.write("water", &journal.Water{Bins: []string{"B1", "B2"}, Kg: 7})
	b.write("turn", &journal.Turn{Bins: []string{"B1"}, What: "loosened"})
	b.write("cover", &journal.Cover{Bins: []string{"B1"}, Cover: "cloth"})
	h, _, _ := b.farm.State().History("B1", nature())
	var said []twin.Visiting
	for _, v := range h.Visits {
		said = append(said, v.For)
	}
	if want := []twin.Visiting{twin.Fed, twin.LookedIn, twin.Watered, twin.LookedIn}; !slices.Equal(said, want) {
		t.Errorf("visits %v, want %v", said, want)
	}
	if up, _, _ := b.farm.State().History("B2", nature()); len(up.Visits) != 1 {
		t.Errorf("visits of the other bin %v", up.Visits)
	}
}
