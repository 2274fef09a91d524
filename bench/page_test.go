package bench

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"slices"
	"sync"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/demo"
	"wormyard/internal/highs"
	"wormyard/internal/web"
	"wormyard/journal"
	"wormyard/program"
	"wormyard/qty"
	"wormyard/round"
	"wormyard/twin"
)

// book is a journal kept in memory, so that pages are measured and not the disk.
type book struct{ entries []journal.Entry }

func (b *book) Append(_ context.Context, list []journal.Entry) ([]journal.Entry, error) {
	out := slices.Clone(list)
	for i := range out {
		out[i].Seq = int64(len(b.entries) + i + 1)
		if err := out[i].Seal(); err != nil {
			return nil, err
		}
	}
	b.entries = append(b.entries, out...)
	return slices.Clone(out), nil
}

func (b *book) Load(_ context.Context, after int64) ([]journal.Entry, error) {
	return slices.Clone(b.entries[after:]), nil
}

var pagesNow = time.Date(2026, 3, 3, 15, 40, 0, 0, time.UTC)

// grown is a farm of 240 bins with 60,000 entries of two years: bedding,
// feedings by row, waterings, looks, readings.
func grown(t testing.TB) (*app.App, *book) {
	t.Helper()
	b := &book{}
	r := rand.New(rand.NewPCG(1, 2))
	at := pagesNow.AddDate(-2, 0, 0)
	n := 0
	add := func(kind, who string, body any) {
		n++
		b.entries = append(b.entries, journal.Entry{ID: fmt.Sprintf("%08x-%04x-7000-8000-%012x", at.UnixMilli()>>16, at.UnixMilli()&0xffff, n), Kind: kind, At: at, Recorded: at, Seq: int64(n), Who: who, Device: "bench", Body: body})
	}
	setting := func(key string, v any) {
		raw, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		add("setting", "owner", &journal.Setting{Key: key, Value: raw})
	}
	setting(farm.KeyFarm, "Heron Slough")
	setting(farm.KeyZone, "America/Los_Angeles")
	setting(farm.KeyPerson+"owner", map[string]any{})
	for _, p := range []string{"dairy solids, separated", "wood chips, hardwood", "corrugated cardboard"} {
		add("receive", "owner", &journal.Receive{Pile: p, Material: p, VolumeM3: ptr(qty.CubicMetre(4000))})
	}
	var rows [][]string
	for barn := 1; barn <= 2; barn++ {
		for row := 1; row <= 5; row++ {
			var bins, slots []string
			for stack := 1; stack <= 8; stack++ {
				for level := 1; level <= 3; level++ {
					bins = append(bins, fmt.Sprintf("B%d", len(rows)*24+len(bins)+1))
					slots = append(slots, fmt.Sprintf("%d/%d/%d/%d", barn, row, stack, level))
				}
			}
			rows = append(rows, bins)
			add("build", "owner", &journal.Build{Bins: bins, LengthM: ptr(qty.Metre(1.2)), WidthM: ptr(qty.Metre(1.2)), DepthM: ptr(qty.Metre(0.6)), Slots: slots})
			add("bed", "owner", &journal.Bed{Bins: bins, Material: "corrugated cardboard", DepthM: 0.15})
			add("stock", "owner", &journal.Stock{Bins: bins, Kg: 6})
		}
	}
	for day := 0; n < 60_000; day++ {
		at = pagesNow.AddDate(-2, 0, 0).Add(time.Duration(day)*24*time.Hour + time.Hour)
		if day%12 == 0 {
			add("blend", "crew 1", &journal.Blend{Batch: fmt.Sprint(1 + day/12), Purpose: "feed", Parts: []journal.BlendPart{{Pile: "dairy solids, separated", VolumeM3: ptr(qty.CubicMetre(20))}, {Pile: "wood chips, hardwood", VolumeM3: ptr(qty.CubicMetre(10))}}})
		}
		for k := range 82 {
			at = at.Add(8 * time.Minute)
			row := rows[r.IntN(len(rows))]
			bin := row[r.IntN(len(row))]
			switch {
			case k == 0:
				add("feed", "crew 1", &journal.Feed{Bins: row, Batch: fmt.Sprint(1 + day/12), DepthM: ptr(qty.Metre(0.04))})
			case k == 1:
				add("water", "crew 2", &journal.Water{Bins: []string{bin}, Kg: 8})
			case k == 2:
				add("look", "crew 2", &journal.Look{Bins: []string{bin}, Squeeze: "few drops", FeedLeft: "some"})
			case k == 3:
				add("sighting", "crew 2", &journal.Sighting{Bin: bin, What: "mites", Severity: "slight"})
			default:
				add("reading", "logger", &journal.Reading{Bin: bin, TempC: ptr(qty.Celsius(15 + 8*r.Float64())), DepthM: ptr(qty.Metre(0.1)), Probe: "logger"})
			}
		}
		if day > 729 {
			break
		}
	}
	a, err := app.Open(context.Background(), b, func() time.Time { return pagesNow })
	if err != nil {
		t.Fatal(err)
	}
	return a, b
}

// standing is a round and outlooks as the background leaves them.
type standing struct {
	made *app.Made
	list round.List
	of   map[string]*app.Outlook
}

func (s *standing) Last(context.Context) (*app.Made, error) { return s.made, nil }
func (s *standing) List(_ context.Context, w round.Words) (round.List, bool, error) {
	s.list.Speak(w)
	return s.list, true, nil
}

// No sheet is kept.
func (s *standing) Taken(*farm.State, time.Time) (took, reckoned float64) { return }
func (s *standing) Paces(*farm.State, time.Time) []round.Pace             { return nil }
func (s *standing) KeepSheet(context.Context, []app.SheetMend) (sheet app.Sheet, ok bool, err error) {
	return
}
func (s *standing) Sheets(context.Context) ([]app.Sheet, error) { return nil, nil }
func (s *standing) SheetList(context.Context, string, round.Words) (list round.List, ok bool, err error) {
	return
}

func (s *standing) Outlook(_ context.Context, bin string) (*app.Outlook, error) {
	return s.of[bin], nil
}

func stand(a *app.App) *standing {
	s := &standing{made: &app.Made{Day: "2026-03-03", At: pagesNow}, of: map[string]*app.Outlook{}, list: round.List{Day: "2026-03-03", Made: pagesNow, Resting: 100, Bins: 240}}
	spread := func(v float64) twin.Range { return twin.Range{Low: 0.9 * v, Mid: v, High: 1.1 * v} }
	state := a.State()
	for _, row := range state.Rows() {
		l := round.Line{Key: row.Barn + "/" + row.Name, Barn: row.Barn, Row: row.Name, Act: round.Feed, Urgency: round.Today, Head: round.Phrase{Key: "feed", Args: []round.Arg{{Of: "depth", V: 0.0381}, {Of: "text", S: "60"}}}}
		for _, b := range row.Bins {
			it := round.Item{Bin: b.Name, Place: state.Called(b), Barn: row.Barn, Row: row.Name, Act: round.Feed, DepthM: 0.0381, Mix: "60", Head: l.Head, Urgency: round.Today}
			for k := range 9 {
				it.Tried = append(it.Tried, round.Tried{Option: l.Head, LeftFrac: float64(k) / 10, Members: 32})
			}
			l.Items = append(l.Items, it)
			o := &app.Outlook{Bin: b.Name, Made: pagesNow, Members: 32, Depth: spread(0.38), Warmest: spread(22), WarmAt: spread(0.05), Water: spread(0.74), Left: spread(0.4), Worms: spread(9), Cast: spread(0.5), Refuge: spread(0.3), Oxygen: spread(0.15)}
			for k := range 12 {
				o.Layers = append(o.Layers, app.LayerNow{Texture: []string{"feed", "bedding", "castings"}[k/4], Feed: k < 4, Laid: pagesNow.AddDate(0, 0, -7*k), Thick: spread(0.03), Temp: spread(20), Water: spread(0.74), Oxygen: spread(0.17), Worms: 1.0 / 12})
			}
			for d := 1; d <= 14; d++ {
				o.Ahead = append(o.Ahead, app.DayRange{Day: pagesNow.AddDate(0, 0, d), Warmest: spread(22), Water: spread(0.74)})
			}
			s.of[b.Name] = o
		}
		s.list.Lines = append(s.list.Lines, l)
	}
	return s
}

// BenchmarkPages asks for every page over loopback, four readers at a time, at
// the demo's size, and tells the middle and the ninety-ninth of a hundred.
func BenchmarkPages(b *testing.B) {
	a, _ := grown(b)
	mixer, err := app.NewMixer(func(context.Context, program.Problem) (program.Solution, error) { return program.Solution{}, nil })
	if err != nil {
		b.Fatal(err)
	}
	solver := highs.Open(highs.Options{CacheDir: highs.CacheDir()})
	defer solver.Close()
	workshop, err := app.NewWorkshop(mixer, solver.Solve)
	if err != nil {
		b.Fatal(err)
	}
	if err := solver.Ready(context.Background()); err != nil {
		b.Fatal(err)
	}
	server, err := web.New(web.Config{Farm: a, Workshop: workshop, Rounds: stand(a), NewID: func(time.Time) string { return "" }, Figures: app.Figures, Mix: mixer, Start: a})
	if err != nil {
		b.Fatal(err)
	}
	server.Warm()
	defer server.Close()
	srv := httptest.NewServer(server)
	defer srv.Close()
	ask(b, srv.URL, []page{
		{"round", "/round"}, {"line", "/round/1%2F3"}, {"print", "/round/print"}, {"barn", "/barn/1"}, {"warmth", "/barn/1?show=warmth"}, {"bin", "/bin/B77"}, {"feed", "/bin/B77/feed"},
		{"yard", "/yard"}, {"pile", "/yard/pile/wood%20chips,%20hardwood"}, {"batch", "/yard/batch/50"}, {"mix", "/mix?from=50"}, {"journal", "/journal"}, {"page_900", "/journal?page=900"}, {"search_rare", "/journal?q=zebra"}, {"search_bin", "/journal?about=bin+B77&kind=sighting"}, {"farm", "/farm"}, {"working", "/working/bin/B77"}, {"workshop", "/workshop"}, {"workshop_beside", "/workshop?beside=redwood"},
	})
}

type page struct{ name, path string }

func ask(b *testing.B, base string, pages []page) {
	for _, p := range pages {
		b.Run(p.name, func(b *testing.B) {
			var mutex sync.Mutex
			var took []float64
			b.SetParallelism(2)
			b.RunParallel(func(pb *testing.PB) {
				for pb.Next() {
					start := time.Now()
					r, err := http.Get(base + p.path)
					if err != nil {
						b.Error(err)
						return
					}
					_, err = io.Copy(io.Discard, r.Body)
					_ = r.Body.Close()
					if err != nil || r.StatusCode != http.StatusOK {
						b.Errorf("%s: %d %v", p.path, r.StatusCode, err)
						return
					}
					ms := time.Since(start).Seconds() * 1000
					mutex.Lock()
					took = append(took, ms)
					mutex.Unlock()
				}
			})
			slices.Sort(took)
			b.ReportMetric(took[len(took)/2], "p50-ms")
			b.ReportMetric(took[int(math.Min(float64(len(took)-1), 0.99*float64(len(took))))], "p99-ms")
		})
	}
}

// BenchmarkDemoPages asks for pages of the demo farm in the same way: those whose
// weight is in what the demo has and the farm above has not (prices, sales, a plan
// of the year), beside the round and a bin. Its round is made up, its plan is real.
func BenchmarkDemoPages(b *testing.B) {
	a, store, err := demo.Open(context.Background(), demo.Path(), nil)
	if err != nil {
		b.Fatal(err)
	}
	defer store.Close()
	solver := highs.Open(highs.Options{CacheDir: highs.CacheDir()})
	defer solver.Close()
	if err := solver.Ready(context.Background()); err != nil {
		b.Fatal(err)
	}
	mixer, err := app.NewMixer(solver.Solve)
	if err != nil {
		b.Fatal(err)
	}
	workshop, err := app.NewWorkshop(mixer, solver.Solve)
	if err != nil {
		b.Fatal(err)
	}
	twins, err := app.NewTwins(a, app.KeepIn{Store: store})
	if err != nil {
		b.Fatal(err)
	}
	twins.Site = demo.Site()
	began := time.Now()
	made, err := twins.MakeYear(context.Background(), solver.Solve, func(string, int, int) {})
	if err != nil {
		b.Fatal(err)
	}
	b.Logf("the plan of the year took %.1f s", time.Since(began).Seconds())
	server, err := web.New(web.Config{Farm: a, Workshop: workshop, Rounds: stand(a), Seasons: planned{made}, NewID: func(time.Time) string { return "" }, Figures: app.Figures, Mix: mixer, Start: a})
	if err != nil {
		b.Fatal(err)
	}
	server.Warm()
	defer server.Close()
	srv := httptest.NewServer(server)
	defer srv.Close()
	ask(b, srv.URL, []page{{"round", "/round"}, {"bin", "/bin/B77"}, {"workshop", "/workshop"}, {"costs", "/costs"}, {"season", "/season"}})
}

// planned is a year that was planned.
type planned struct{ year *app.Year }

func (p planned) Years(context.Context) (newest, before *app.Year) { return p.year, nil }
func (p planned) Plan()                                            {}
func (p planned) Stop()                                            {}
func (p planned) Planning() (web.Progress, error)                  { return web.Progress{}, nil }
