package web

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/source"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
	"wormyard/twin"
)

// book is a journal kept in memory.
type book struct {
	mutex   sync.Mutex
	entries []journal.Entry
}

// list gives what is kept, while others may write.
func (b *book) list() []journal.Entry {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	return slices.Clone(b.entries)
}

func (b *book) Append(_ context.Context, list []journal.Entry) ([]journal.Entry, error) {
	out := slices.Clone(list)
	for i := range out {
		out[i].Seq, out[i].Recorded = int64(len(b.entries)+i+1), sampleNow
		if err := out[i].Seal(); err != nil {
			return nil, err
		}
	}
	b.mutex.Lock()
	defer b.mutex.Unlock()
	b.entries = append(b.entries, out...)
	return slices.Clone(out), nil
}

func (b *book) Load(_ context.Context, after int64) ([]journal.Entry, error) {
	return b.list()[after:], nil
}

// paper is a farm on a journal in memory.
type paper struct {
	*app.App
	book *book
	now  time.Time
	n    int
	late []journal.Entry // of the sample, kept at once
}

func newPaper(t testing.TB, now time.Time) *paper {
	t.Helper()
	b := &book{}
	a, err := app.Open(context.Background(), b, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	return &paper{App: a, book: b, now: now}
}

// newID makes ids that are the same in every run.
func (f *paper) newID(at time.Time) string {
	f.n++
	return fmt.Sprintf("%08x-%04x-7000-8000-%012x", at.UnixMilli()>>16, at.UnixMilli()&0xffff, f.n)
}

func (f *paper) keep(list ...journal.Entry) {
	if _, err := f.book.Append(context.Background(), list); err != nil {
		panic(err)
	}
	if err := f.Refresh(context.Background()); err != nil {
		panic(err)
	}
}

// write keeps an entry of some days ago.
func (f *paper) write(daysAgo float64, who string, body any) {
	kind := ""
	for _, k := range journal.Kinds() {
		if fmt.Sprintf("%T", k.New()) == fmt.Sprintf("%T", body) {
			kind = k.Name
		}
	}
	at := f.now.Add(-time.Duration(daysAgo * 24 * float64(time.Hour))).Truncate(time.Minute)
	f.late = append(f.late, journal.Entry{ID: f.newID(at), Kind: kind, At: at, Who: who, Device: "test", Body: body})
}

// flush keeps what was written.
func (f *paper) flush() {
	f.keep(f.late...)
	f.late = nil
}

func ptr[T any](v T) *T { return &v }

const in = qty.MetrePerInch

// sampleNow is a Tuesday.
var sampleNow = time.Date(2026, 3, 3, 15, 42, 0, 0, time.UTC)

// sampleFarm is a small farm with something of everything.
func sampleFarm(t testing.TB) *paper {
	f := newPaper(t, sampleNow)
	set := func(key string, v any) {
		raw, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		f.write(400, "owner", &journal.Setting{Key: key, Value: raw})
	}
	set(farm.KeyFarm, "Heron Slough")
	set(farm.KeyZone, "America/Los_Angeles")
	set(farm.KeyUnits, "us")
	set(farm.KeyPerson+"owner", map[string]any{})
	set(farm.KeyPerson+"crew 1", map[string]any{})
	set(farm.KeyPerson+"crew 2", map[string]any{})
	set(farm.KeyBarn+"1", farm.BarnSetup{LengthM: 30, WidthM: 12})
	set(farm.KeyBarn+"2", farm.BarnSetup{LengthM: 24, WidthM: 12})
	yards := func(v float64) *qty.CubicMetre { return ptr(qty.CubicMetre(v * qty.M3PerCubicYard)) }
	f.write(60, "owner", &journal.Receive{Pile: "solids 7", Material: "dairy solids, separated", VolumeM3: yards(24), Price: ptr(qty.Money(96))})
	f.write(50, "owner", &journal.Receive{Pile: "rabbit 3", Material: "rabbit manure with bedding", VolumeM3: yards(9), Declared: []string{"dewormer"}, DosedOn: "2026-01-20"})
	f.write(90, "crew 1", &journal.Receive{Pile: "chips", Material: "wood chips, hardwood", VolumeM3: yards(30), Declared: []string{"none"}})
	f.write(20, "crew 1", &journal.Receive{Pile: "cardboard", Material: "corrugated cardboard", VolumeM3: yards(12)})
	f.write(3, "crew 1", &journal.Tend{Pile: "solids 7", Act: "measured", TempC: ptr(qty.Celsius(51)), DepthM: ptr(qty.Metre(0.9))})
	f.write(40, "owner", &journal.Assay{Subject: "pile solids 7", Analyte: "water_frac_wet", Value: 0.79, Unit: "fraction", Method: "oven"})
	f.write(12, "crew 1", &journal.Blend{Batch: "41", Purpose: "feed", Parts: []journal.BlendPart{{Pile: "solids 7", VolumeM3: yards(8)}, {Pile: "chips", VolumeM3: yards(4)}, {Pile: "cardboard", VolumeM3: yards(4)}}, WaterKg: ptr(qty.WaterKg(150)), ShrinkFrac: ptr(qty.Fraction(0.12))})
	f.write(30, "crew 1", &journal.Blend{Batch: "40", Purpose: "woody feed", Parts: []journal.BlendPart{{Pile: "solids 7", VolumeM3: yards(3)}, {Pile: "chips", VolumeM3: yards(5)}}})
	n := 0
	for _, b := range []struct {
		barn string
		rows int
	}{{"1", 4}, {"2", 2}} {
		for row := 1; row <= b.rows; row++ {
			var bins, slots []string
			for stack := 1; stack <= 8; stack++ {
				high := 3
				if stack%4 == 3 {
					high = 2
				}
				for level := 1; level <= high; level++ {
					n++
					bins = append(bins, fmt.Sprintf("B%d", n))
					slots = append(slots, fmt.Sprintf("%s/%d/%d/%d", b.barn, row, stack, level))
				}
			}
			f.write(380, "owner", &journal.Build{Bins: bins, LengthM: ptr(qty.Metre(1.2)), WidthM: ptr(qty.Metre(1.2)), DepthM: ptr(qty.Metre(0.6)), Wall: "plank", Liner: "poly", Cover: "cloth", Slots: slots})
			bedded := bins[:len(bins)-1]
			f.write(112, "crew 1", &journal.Bed{Bins: bedded, Material: "corrugated cardboard", DepthM: qty.Metre(6 * in)})
			f.write(111, "crew 1", &journal.Stock{Bins: bedded, Kg: 6})
			f.write(15, "crew 2", &journal.Feed{Bins: bedded, Batch: "40", DepthM: ptr(qty.Metre(1.5 * in))})
			f.write(7.2, "crew 1", &journal.Feed{Bins: bedded, Batch: "41", DepthM: ptr(qty.Metre(1.5 * in))})
		}
	}
	f.write(2.1, "crew 1", &journal.Reading{Bin: "B10", TempC: ptr(qty.Celsius(22)), DepthM: ptr(qty.Metre(4 * in)), Probe: "dial"})
	f.write(5, "crew 2", &journal.Reading{Bin: "B10", TempC: ptr(qty.Celsius(20.5)), DepthM: ptr(qty.Metre(4 * in)), Probe: "dial"})
	f.write(16, "crew 2", &journal.Reading{Bin: "B10", TempC: ptr(qty.Celsius(18)), DepthM: ptr(qty.Metre(4 * in)), Probe: "dial"})
	f.write(4, "crew 2", &journal.Look{Bins: []string{"B10"}, Squeeze: "few drops", FeedLeft: "some", Worms: "usual", Smell: "earth"})
	f.write(1, "owner", &journal.Site{Place: "outside", LowC: ptr(qty.Celsius(2)), HighC: ptr(qty.Celsius(9))})
	for d := 20.0; d > 0.5; d-- {
		f.write(d, "logger", &journal.Reading{Barn: "1", TempC: ptr(qty.Celsius(8 + 3*float64(int(d)%3))), Probe: "logger"})
		f.write(d-0.4, "logger", &journal.Reading{Barn: "1", TempC: ptr(qty.Celsius(12 + 2*float64(int(d)%3))), Probe: "logger"})
	}
	f.write(6, "crew 2", &journal.Feed{Bins: []string{"B4"}, Batch: "41", DepthM: ptr(qty.Metre(4 * in))})
	f.write(5.9, "crew 2", &journal.Water{Bins: []string{"B11", "B12"}, Kg: 8})
	f.write(2, "crew 1", &journal.Sighting{Bin: "B20", What: "mites on the lid", Severity: "slight"})
	wrong := f.newID(f.now)
	at := f.now.Add(-26 * time.Hour)
	f.flush()
	f.keep(journal.Entry{ID: wrong, Kind: "feed", At: at, Who: "crew 2", Body: &journal.Feed{Bins: []string{"B3"}, Batch: "41", DepthM: ptr(qty.Metre(2 * in))}})
	f.keep(journal.Entry{ID: f.newID(f.now), Kind: "strike", At: at.Add(time.Hour), Who: "crew 2", Strikes: wrong, Body: &journal.Strike{Why: "wrong bin, it was B2"}})
	return f
}

// desk is background work that has been done.
type desk struct {
	farm     *paper
	made     *app.Made
	params   round.Parameters
	outlooks map[string]*app.Outlook
	progress Progress
	asked    int
	printed  bool
	mends    []app.SheetMend
}

func (d *desk) Last(context.Context) (*app.Made, error) { return d.made, nil }
func (d *desk) List(_ context.Context, w round.Words) (round.List, bool, error) {
	if d.made == nil {
		return round.List{}, false, nil
	}
	in := d.made.Made
	in.Items = d.made.Items
	l := d.params.Write(in)
	l.Speak(w)
	return l, true, nil
}
func (d *desk) Outlook(_ context.Context, bin string) (*app.Outlook, error) {
	return d.outlooks[bin], nil
}
func (d *desk) Progress() Progress { return d.progress }
func (d *desk) Make()              { d.asked++ }

func spread(mid, low, high float64) twin.Range { return twin.Range{Low: low, Mid: mid, High: high} }

func phrase(key string, args ...round.Arg) round.Phrase { return round.Phrase{Key: key, Args: args} }

// sampleDesk is a round and outlooks made up for the sample farm.
func sampleDesk(t testing.TB, f *paper) *desk {
	d := &desk{farm: f, outlooks: map[string]*app.Outlook{}}
	if err := source.Load("round", &d.params); err != nil {
		t.Fatal(err)
	}
	state := f.State()
	text := func(s string) round.Arg { return round.Arg{Of: "text", S: s} }
	day := round.Arg{Of: "day", V: float64(f.now.AddDate(0, 0, 6).Unix())}
	chance := func(v float64) round.Arg { return round.Arg{Of: "chance", V: v, N: 24} }
	depth := func(v float64) round.Arg { return round.Arg{Of: "depth", V: v * in} }
	var items []round.Item
	var bedded []round.Bedded
	for i, b := range state.Living() {
		place := state.Called(b)
		bedded = append(bedded, round.Bedded{Bin: b.Name, Place: place, Barn: b.Slot.Barn, Row: b.Slot.Row})
		it := round.Item{Bin: b.Name, Place: place, Barn: b.Slot.Barn, Row: b.Slot.Row, Stack: b.Slot.Stack, Level: b.Slot.Level, Act: round.Rest, Urgency: round.NoHurry, Visit: f.now.AddDate(0, 0, 6)}
		switch {
		case b.Name == "B4":
			it.Act, it.Urgency, it.Minutes, it.DepthM, it.Cover = round.Open, round.Now, 12, 2*in, "none"
			it.Head = phrase("open.both", depth(2))
			it.Why = []round.Phrase{phrase("why.warm", round.Arg{Of: "temp", V: 37}), phrase("why.refuge", depth(3))}
			it.Sureness = []round.Phrase{phrase("sure.danger", round.Arg{Of: "temp", V: 35}, chance(0.7)), phrase("sure.after", chance(0.1))}
			it.Care = []round.Phrase{phrase("care.ammonia")}
		case b.Slot.Row == "3" && b.Slot.Stack == 4 && b.Slot.Level == 3:
			it.Act, it.Urgency, it.Minutes = round.Look, round.Today, 4
			it.Head = phrase("look")
			it.Why = []round.Phrase{phrase("why.unfed", round.Arg{Of: "count", V: 16})}
		case b.Slot.Row == "3" || b.Slot.Row == "1" && b.Slot.Level == 3:
			it.Act, it.Urgency, it.Minutes, it.DepthM, it.Mix = round.Feed, round.Today, 3, 1.5*in, "41"
			it.Head = phrase("feed", depth(1.5), text("41"))
			it.Why = []round.Phrase{phrase("why.left.none"), phrase("why.lasts", depth(1.5), day)}
			it.Sureness = []round.Phrase{phrase("sure.eaten", day, chance(0.8))}
			it.Care = []round.Phrase{phrase("care.gloves")}
			it.Chances = []round.Chance{{Of: "left", Frac: 0.2, N: 24}, {Of: "too_warm", Frac: 0.01, N: 24}}
			for _, h := range []float64{0, 1, 1.5, 2, 3} {
				it.Tried = append(it.Tried, round.Tried{Option: phrase("feed", depth(h), text("41")), LeftFrac: 0.05 + h/20, Left: h * h / 12, TooWarm: h * h / 60, Sour: h / 40, Dry: 0.04, CastingsKg: 5 + 3*h, Value: 2 + h - h*h/4, Allowed: h < 2.5, Chosen: h == 1.5, Members: 32})
			}
		case i%17 == 5:
			it.Act, it.Urgency, it.Minutes, it.WaterKg = round.Water, round.Today, 2, 7.6
			it.Head = phrase("water", round.Arg{Of: "water", V: 7.6})
			it.Why = []round.Phrase{phrase("why.dry", day, chance(0.4))}
			it.Sureness = []round.Phrase{phrase("sure.dry", day, chance(0.1))}
		case i%19 == 7:
			it.Act, it.Urgency, it.Minutes = round.Harvest, round.Week, 30
			it.Head = phrase("harvest")
			it.Why = []round.Phrase{phrase("why.ripe", round.Arg{Of: "mass", V: 60})}
			it.Sureness = []round.Phrase{phrase("sure.ripe", chance(0.8))}
			it.Care = []round.Phrase{phrase("care.truck")}
		}
		items = append(items, it)
		d.outlooks[b.Name] = sampleOutlook(f, b, float64(i%5))
	}
	d.made = &app.Made{Day: f.Now().Format(time.DateOnly), At: f.now.Add(-3 * time.Hour), Items: items, Made: round.Made{
		Day: f.Now().Format(time.DateOnly), At: f.now.Add(-3 * time.Hour), Bedded: bedded,
		Weather: []round.Phrase{phrase("weather.now", round.Arg{Of: "temp", V: 3}, round.Arg{Of: "temp", V: 9}), phrase("weather.frost", round.Arg{Of: "day", V: float64(f.now.AddDate(0, 0, 2).Unix())}, round.Arg{Of: "temp", V: -4})},
		Notes:   []round.Phrase{phrase("note.tries")},
	}}
	return d
}

func sampleOutlook(f *paper, b *farm.Bin, off float64) *app.Outlook {
	o := &app.Outlook{Bin: b.Name, Made: f.now.Add(-3 * time.Hour), Members: 32, Depth: spread(15*in, 14*in, 16*in), Warmest: spread(22+off, 19+off, 26+2*off), WarmAt: spread(2*in, 1*in, 3*in),
		Water: spread(0.74, 0.71, 0.77), Left: spread(0.45, 0.3, 0.6), Worms: spread(9.5, 6.8, 13), Adults: spread(9800, 6100, 14200), Young: spread(16400, 9300, 25100), Cocoons: spread(12100, 5200, 21000),
		Later: app.Stages{Adults: spread(10300, 6000, 15300), Young: spread(17200, 9100, 27400), Cocoons: spread(12600, 5000, 22300)}, Cast: spread(0.55, 0.45, 0.65), Refuge: spread(13*in, 10*in, 15*in), Oxygen: spread(0.16, 0.11, 0.19), Ripe: &twin.Range{Low: 21, Mid: 35, High: 56}}
	layer := func(texture string, inches, temp, water, worms float64, daysAgo float64) {
		at := f.now.Add(-time.Duration(daysAgo * 24 * float64(time.Hour)))
		o.Layers = append(o.Layers, app.LayerNow{Texture: texture, Feed: texture == "feed", Laid: at, Thick: spread(inches*in, inches*in*0.9, inches*in*1.1), Temp: spread(temp, temp-3, temp+4), Water: spread(water, water-0.03, water+0.03), Oxygen: spread(0.18, 0.12, 0.2), Worms: worms})
	}
	layer("feed", 1.5, 20+off, 0.70, 0.35, 7.2)
	layer("feed", 1, 22+off, 0.73, 0.35, 15)
	layer("bedding", 4.5, 20+off, 0.74, 0.2, 112)
	layer("castings", 8, 15+off/2, 0.76, 0.1, 112)
	for i := 1; i <= 14; i++ {
		x := float64(i)
		o.Ahead = append(o.Ahead, app.DayRange{Day: f.now.Add(time.Duration(i) * 24 * time.Hour), Warmest: spread(22+off-x/6, 19+off-x/4, 26+off+x/3), Water: spread(0.74-x/500, 0.71-x/400, 0.77-x/700), Left: spread(1, 0.5, 2)})
	}
	return o
}

// sample is a server on the sample farm.
func sample(t testing.TB) (*Server, *paper, *desk) {
	t.Helper()
	f := sampleFarm(t)
	d := sampleDesk(t, f)
	s := serverOf(t, f, d)
	return s, f, d
}

func serverOf(t testing.TB, f *paper, d *desk) *Server {
	t.Helper()
	mixer, err := app.NewMixer(noSolver)
	if err != nil {
		t.Fatal(err)
	}
	c := Config{Workshop: workshopOf(t, mixer), Farm: f, NewID: f.newID, Start: f, Figures: app.Figures, Mix: mixer, Demo: true}
	if d != nil {
		c.Rounds, c.Work, c.Seasons = d, d, &seasonDesk{year: sampleYear()}
	}
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// get asks for a page.
func get(t testing.TB, s *Server, path string, cookies ...string) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequest("GET", path, nil)
	for _, c := range cookies {
		name, value, _ := strings.Cut(c, "=")
		r.AddCookie(&http.Cookie{Name: name, Value: value})
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// post sends a form; values are "key=value".
func post(t testing.TB, s *Server, path string, pairs ...string) *httptest.ResponseRecorder {
	t.Helper()
	var body []string
	for _, p := range pairs {
		k, v, _ := strings.Cut(p, "=")
		body = append(body, k+"="+escaped(v))
	}
	r := httptest.NewRequest("POST", path, strings.NewReader(strings.Join(body, "&")))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func lineKey(t testing.TB, d *desk, act round.Act, bin string) string {
	t.Helper()
	l, _, _ := d.List(context.Background(), round.Words{})
	for _, x := range l.Lines {
		if x.Act == act && (bin == "" || slices.Contains(x.Bins(), bin)) {
			return x.Key
		}
	}
	t.Fatalf("no line of act %s", act)
	return ""
}
