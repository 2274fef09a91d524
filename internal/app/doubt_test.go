package app

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/internal/sheet"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

func reading(bin string, c, depth float64, probe string) *journal.Reading {
	t, d := qty.Celsius(c), qty.Metre(depth)
	return &journal.Reading{Bin: bin, TempC: &t, DepthM: &d, Probe: probe}
}

func inF(f float64) float64 { return (f - 32) / 1.8 }

// A dial that shows 22 was read in Celsius: 22 °F is asked about, the answer is
// kept, and what was said to be right is believed.
func TestOtherScaleIsAskedAbout(t *testing.T) {
	f := smallFarm(t)
	f.now = f.now.AddDate(0, 0, 20)
	ctx := context.Background()
	e := journal.Entry{Kind: "reading", Who: "crew 1", At: f.now.Add(-time.Hour), Body: reading("1-1-1", inF(22), 0.1, "dial")}
	bins := f.app.State().Living()
	e.Body.(*journal.Reading).Bin = bins[0].Name
	ack, err := f.app.Record(ctx, e, false)
	if err != nil || ack.Saved || len(ack.Problems) != 1 {
		t.Fatal(err, ack)
	}
	p := ack.Problems[0]
	if p.Field != "temp_c" || !p.Doubt || p.Say != "22 °F in a bed. Did you mean 22 °C (72 °F)?" || p.Try != "If so, type 22 °C; if 22 °F is right, say yes." {
		t.Errorf("asked %+v", p)
	}
	ack, err = f.app.Record(ctx, e, true)
	if err != nil || !ack.Saved || !slices.Contains(ack.Entry.Confirmed, "temp_c") {
		t.Fatal("the answer is not kept", err, ack)
	}
	if x := f.app.State().Unbelieved(bins[0].Name); len(x) != 0 {
		t.Errorf("what was said to be right is not believed: %+v", x)
	}
	for _, c := range []float64{inF(72), inF(50), inF(100)} {
		e.ID, e.Body = "", reading(bins[1].Name, c, 0.1, "dial")
		if ack, err := f.app.Record(ctx, e, false); err != nil || !ack.Saved {
			t.Errorf("%.1f C: %v %v", c, err, ack.Problems)
		}
	}
	e.ID, e.Body = "", reading(bins[2].Name, 72, 0.1, "dial") // typed as 72 C
	if ack, _ := f.app.Record(ctx, e, false); ack.Saved || ack.Problems[0].Say != "72 °C in a bed. Did you mean 72 °F?" {
		t.Errorf("72 C: %+v", ack)
	}
}

// A dial in Celsius that was typed as Fahrenheit, on a bed of which next to nothing
// was read: asked about on the form and in a file, and until somebody has said that
// it is right no twin goes by it.
func TestOneReadingInTheOtherScale(t *testing.T) {
	f := smallFarm(t)
	f.now = f.now.AddDate(0, 0, 20)
	ctx := context.Background()
	bin := f.app.State().Living()[0].Name
	f.write(f.now.AddDate(0, 0, -9), "reading", reading(bin, inF(61), 0.1, "dial"))
	e := journal.Entry{Kind: "reading", Who: "crew 1", At: f.now.Add(-2 * time.Hour), Body: reading(bin, inF(16), 0.1, "dial")}
	ack, err := f.app.Record(ctx, e, false)
	if err != nil || ack.Saved || len(ack.Problems) != 1 || ack.Problems[0].Say != "16 °F in a bed. Did you mean 16 °C (61 °F)?" {
		t.Fatal(err, ack)
	}
	f.app.Expect = func(string, qty.Metre, time.Time) (twin.Range, bool) { // wide, as little was read
		return twin.Range{Low: 3, Mid: 16, High: 27}, true
	}
	if ack, _ = f.app.Record(ctx, e, false); ack.Saved || len(ack.Problems) != 1 || ack.Problems[0].Say != "16 °F in a bed that should be about 61 °F. Did you mean 16 °C (61 °F)?" {
		t.Fatal(ack)
	}

	file := func(rows string, yes bool) sheet.Report {
		path := filepath.Join(t.TempDir(), "readings.csv")
		head := "kind,at,who,bin,temp_f,depth_in,probe\n"
		if err := os.WriteFile(path, []byte(head+rows), 0o600); err != nil {
			t.Fatal(err)
		}
		r, err := f.app.Import(ctx, path, ImportHow{Yes: yes})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	day := f.now.AddDate(0, 0, -1).Format(time.DateOnly)
	row := fmt.Sprintf("reading,%s 09:00,crew 1,%s,16,4,dial\n", day, bin)
	r := file(row+fmt.Sprintf("reading,%s 10:00,crew 1,%s,64,8,dial\n", day, bin), false)
	if r.Doubtful != 1 || r.Written != 0 || r.Problems[0].Say != "16 °F in a bed. Did you mean 16 °C (61 °F)?" || r.Problems[0].Row != 2 {
		t.Fatalf("%+v", r)
	}
	low := qty.Celsius(-12)
	f.write(f.now.Add(-time.Hour), "site", &journal.Site{Place: "outside", Day: day, LowC: &low})
	if r = file(row, false); r.Doubtful != 0 || r.Written != 1 { // it froze
		t.Fatalf("%+v", r)
	}
	if x := f.app.State().Unbelieved(bin); len(x) != 0 {
		t.Errorf("%+v", x)
	}
	f.strikeLast()
	x := f.app.State().Unbelieved(bin)
	if len(x) != 1 || x[0].Cause != twin.OtherUnit || math.Abs(float64(x[0].As)-16) > 1e-9 {
		t.Fatalf("the frost is struck, and believed is %+v", x)
	}
	if h, _, _ := f.app.State().History(bin, &f.twins.numbers.Bed); len(h.Readings) != 1 {
		t.Errorf("the twins go by %+v", h.Readings)
	}
	if ack, _ = f.app.Record(ctx, e, true); !ack.Saved {
		t.Fatal(ack)
	}
	if x := f.app.State().Unbelieved(bin); len(x) != 0 {
		t.Errorf("somebody said that it is right: %+v", x)
	}
}

// strikeLast strikes the last weather that was typed.
func (f *small) strikeLast() {
	f.t.Helper()
	all := f.app.State().Weather()
	if ack, err := f.app.Strike(context.Background(), all[len(all)-1].Entry, "owner", "a slip"); err != nil || !ack.Saved {
		f.t.Fatal(err, ack.Problems)
	}
}

// What the twins expect speaks as well: a bed that they have near freezing may
// read 30 °F.
func TestTwinsSayWhatIsToBeExpected(t *testing.T) {
	f := smallFarm(t)
	f.now = f.now.AddDate(0, 0, 20)
	bin := f.app.State().Living()[0].Name
	f.app.Expect = func(string, qty.Metre, time.Time) (twin.Range, bool) {
		return twin.Range{Low: -6, Mid: -3, High: 1}, true
	}
	e := journal.Entry{Kind: "reading", Who: "crew 1", At: f.now.Add(-time.Hour), Body: reading(bin, inF(22), 0.1, "dial")}
	if ack, err := f.app.Record(context.Background(), e, false); err != nil || !ack.Saved {
		t.Error(err, ack.Problems)
	}
}

func TestWrongYearIsAskedAbout(t *testing.T) {
	f := smallFarm(t)
	f.now = f.now.AddDate(0, 0, 20)
	ctx := context.Background()
	volume := qty.CubicMetre(2)
	load := func(at time.Time, device string) Ack {
		ack, err := f.app.Record(ctx, journal.Entry{Kind: "receive", Who: "crew 1", Device: device, At: at, Body: &journal.Receive{Pile: "leaves", Material: "leaves, loose dry", VolumeM3: &volume}}, false)
		if err != nil {
			t.Fatal(err)
		}
		return ack
	}
	asked := func(ack Ack) bool {
		return slices.ContainsFunc(ack.Problems, func(p Problem) bool {
			return p.Field == "at" && strings.Contains(p.Say, "2024") && strings.Contains(p.Try, "2025")
		})
	}
	year := f.now.AddDate(-1, 0, 0)
	if asked(load(year, "phone")) {
		t.Error("a device that wrote nothing else is asked")
	}
	if ack := load(f.now.Add(-time.Hour), "phone"); !ack.Saved {
		t.Fatal(ack.Problems)
	}
	if ack := load(year, "phone"); ack.Saved || !asked(ack) {
		t.Errorf("not asked about the year: %+v", ack)
	}
	if asked(load(f.now.AddDate(0, -8, 0), "phone")) {
		t.Error("asked about an entry of eight months ago")
	}
}

// Of a logger that goes dead on a bed, the twins take in what it said before.
func TestBrokenProbeIsLeftOut(t *testing.T) {
	f := smallFarm(t)
	f.now = f.now.AddDate(0, 0, 20)
	bin := f.app.State().Living()[0].Name
	from := f.now.Add(-10 * time.Hour)
	for i := range 10 {
		c := 20 + 0.1*float64(i)
		if i >= 7 {
			c = -42 // a bed would be colder than the coldest night
		}
		f.write(from.Add(time.Duration(i)*time.Hour), "reading", reading(bin, c, 0.1, "logger"))
	}
	h, notes, ok := f.app.State().History(bin, &f.twins.numbers.Bed)
	if !ok || len(h.Readings) != 7 {
		t.Errorf("%d readings are believed, want 7", len(h.Readings))
	}
	for _, r := range h.Readings {
		if r.TempC < 0 || math.IsNaN(r.TempC) {
			t.Errorf("believed: %+v", r)
		}
	}
	if !slices.ContainsFunc(notes, func(s string) bool { return strings.HasPrefix(s, "3 readings of probes cannot be believed") }) {
		t.Errorf("not said: %q", notes)
	}
	x := f.app.State().Unbelieved(bin)
	if len(x) != 1 || x[0].Cause != twin.Impossible || x[0].N != 3 {
		t.Errorf("%+v", x)
	}
}

// Of a logger whose plug came out in a barn, the air it read before is told and the
// rest is to be checked.
func TestBrokenProbeInABarn(t *testing.T) {
	f := smallFarm(t)
	from := f.now
	for i := range 5 {
		f.now = from.Add(time.Duration(i+1) * time.Hour)
		c := qty.Celsius(21)
		if i >= 3 {
			c = 85 // as such a logger says when it has just been switched on
		}
		f.write(f.now, "reading", &journal.Reading{Barn: "1", TempC: &c, Probe: "logger", ProbeID: "5"})
	}
	read, not := f.app.State().Aired("1")
	if len(read) != 3 || len(not) != 1 || not[0].N != 2 || !not[0].Air || not[0].Cause != twin.Impossible {
		t.Errorf("%d believed, and not: %+v", len(read), not)
	}
	if read, not := f.app.State().Aired("none"); read != nil || not != nil {
		t.Errorf("of no barn: %v %v", read, not)
	}
}

// yearFile makes a file of a logger in a bin, a reading a day from one day to another.
func yearFile(t *testing.T, bin string, from, to time.Time) string {
	t.Helper()
	rows := "kind,at,who,bin,temp_f,depth_in,probe,probe_id\n"
	for day := from; !day.After(to); day = day.AddDate(0, 0, 1) {
		rows += fmt.Sprintf("reading,%s,crew 1,%s,%d,4,logger,7\n", day.Format("2006-01-02T15:04:05Z"), bin, 63+day.Day()%3)
	}
	path := filepath.Join(t.TempDir(), "logger.csv")
	if err := os.WriteFile(path, []byte(rows), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// A logger whose clock is a year behind or ahead, in a file: asked about or refused
// with a word of the year, and whoever says that the days are right is believed.
func TestWrongYearInAFile(t *testing.T) {
	f := smallFarm(t)
	f.now = f.now.AddDate(1, 0, 20)
	ctx := context.Background()
	bin := f.app.State().Living()[0].Name
	last := f.now.AddDate(-1, 0, -1)
	path := yearFile(t, bin, last.AddDate(0, 0, -9), last)
	r, err := f.app.Import(ctx, path, ImportHow{})
	if err != nil || r.Doubtful != 10 || r.Written != 0 {
		t.Fatalf("%v %+v", err, r)
	}
	if p := r.Problems[0]; p.Field != "at" || !strings.Contains(p.Say, "ends on 21 June 2025, whole years before today") || !strings.Contains(p.Try, "If it ended on 21 June 2026") {
		t.Errorf("%+v", p)
	}
	if r, err = f.app.Import(ctx, path, ImportHow{Yes: true}); err != nil || r.Written != 10 {
		t.Fatalf("%v %+v", err, r)
	}
	f.write(f.now.Add(-time.Hour), "reading", reading(bin, 18, 0.1, "dial")) // by the same program, of today
	if x := f.app.State().Unbelieved(bin); len(x) != 0 {
		t.Errorf("somebody said that the days are right: %+v", x[0])
	}
	if r, err = f.app.Import(ctx, yearFile(t, bin, f.now.AddDate(1, 0, -3), f.now.AddDate(1, 0, -1)), ImportHow{}); err != nil || r.Refused != 3 || !strings.Contains(r.Problems[0].Try, "the clock that gave it") {
		t.Errorf("%v %+v", err, r)
	}
	if r, err = f.app.Import(ctx, yearFile(t, bin, f.now.AddDate(0, -9, 0), f.now.AddDate(0, -8, 0)), ImportHow{DryRun: true}); err != nil || r.Doubtful+r.Refused != 0 {
		t.Errorf("of eight months ago: %v %+v", err, r)
	}
}

// A journal of more than a year that is taken in at once is of all times: what it
// says of a year ago is believed.
func TestWholeJournalIsNoWrongYear(t *testing.T) {
	f := smallFarm(t)
	f.now = f.now.AddDate(1, 0, 20)
	bin := f.app.State().Living()[0].Name
	r, err := f.app.Import(context.Background(), yearFile(t, bin, f.now.AddDate(-1, 0, -10), f.now.AddDate(0, 0, -1)), ImportHow{})
	if err != nil || r.Written < 370 {
		t.Fatalf("%v %+v", err, r)
	}
	for _, x := range f.app.State().Unbelieved(bin) {
		if x.Cause == twin.WrongYear {
			t.Errorf("%d readings of %s are taken for a wrong year", x.N, x.First.At)
		}
	}
}

// A count of more worms than any bed holds is asked about.
func TestCountOfTooManyWorms(t *testing.T) {
	f := smallFarm(t)
	bin := f.app.State().Living()[0].Name
	ask := func(n int, side float64) []Problem {
		area := qty.SquareMetre(side * side)
		ack, err := f.app.Record(context.Background(), journal.Entry{Kind: "count", Who: "crew 1", At: f.now, Body: &journal.Count{Bin: bin, Adults: &n, AreaM2: &area}}, false)
		if err != nil || ack.Saved == (len(ack.Problems) > 0) {
			t.Fatal(err, ack)
		}
		return ack.Problems
	}
	if ps := ask(100000, 0.1); len(ps) != 1 || ps[0].Field != "adults" || !ps[0].Doubt || !strings.Contains(ps[0].Say, "no bed is known to hold more than 0.441 lb") {
		t.Errorf("%+v", ps)
	}
	if ps := ask(150, 0.3); len(ps) != 0 {
		t.Errorf("%+v", ps)
	}
}

// 190 °F that a logger said is set against 88 °F in the farm's own scale, once.
func TestMeantInOwnScale(t *testing.T) {
	if p := otherScale(qty.US, 87.8, qty.Celsius(inF(87.8)), qty.Celsius(math.NaN())); p.Say != "88 °C in a bed. Did you mean 87.8 °F?" {
		t.Error(p.Say)
	}
}
