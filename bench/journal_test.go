package bench

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"
	"time"

	_ "modernc.org/sqlite" // the driver, for the raw side

	"wormyard/farm"
	"wormyard/internal/sheet"
	"wormyard/internal/source"
	"wormyard/internal/sqlite"
	"wormyard/journal"
	"wormyard/qty"
)

// asked gives how many entries FOLD_ENTRIES asks for, 0 when it is not set.
func asked() (n int) {
	fmt.Sscan(os.Getenv("FOLD_ENTRIES"), &n)
	return n
}

// processor gives the time all processors have spent on this program.
func processor() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// rawFile opens a plain table in the same SQLite with the same safety.
func rawFile(t *testing.T) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(t.TempDir(), "raw.db")+"?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_txlock=immediate")
	if err != nil {
		t.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	t.Cleanup(func() { db.Close() })
	if _, err := db.Exec("CREATE TABLE entry (id TEXT PRIMARY KEY, at TEXT, body TEXT)"); err != nil {
		t.Fatal(err)
	}
	return db
}

func rawInsert(t *testing.T, db *sql.DB, list []journal.Entry) {
	t.Helper()
	tx, err := db.Begin()
	if err != nil {
		t.Fatal(err)
	}
	put, err := tx.Prepare("INSERT INTO entry VALUES (?,?,?)")
	if err != nil {
		t.Fatal(err)
	}
	for i := range list {
		if _, err := put.Exec(list[i].ID, list[i].At.Format(journal.TimeLayout), string(list[i].Raw)); err != nil {
			t.Fatal(err)
		}
	}
	if err := tx.Commit(); err != nil {
		t.Fatal(err)
	}
}

// readings makes n readings of twelve loggers.
func readings(n int) []journal.Entry {
	out := make([]journal.Entry, n)
	at := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
	for i := range out {
		out[i] = journal.Entry{ID: fmt.Sprintf("019b%04x-%04x-7000-8000-%012d", i>>16, i&0xffff, i), Kind: "reading", At: at.Add(time.Duration(i) * 5 * time.Minute), Device: "logger",
			Body: &journal.Reading{Bin: fmt.Sprintf("B%d", i%12+1), TempC: ptr(qty.Celsius(20 + float64(i%100)/16)), DepthM: ptr(qty.Metre(0.15)), Probe: "logger", ProbeID: fmt.Sprintf("L%d", i%12+1)}}
	}
	return out
}

func sealed(t *testing.T, list []journal.Entry) []journal.Entry {
	t.Helper()
	for i := range list {
		if err := list[i].Seal(); err != nil {
			t.Fatal(err)
		}
	}
	return list
}

// TestJournalAppend sets what it costs to keep entries in the chained journal
// beside plain inserts of the same bytes into the same SQLite, in one run.
func TestJournalAppend(t *testing.T) {
	ctx := context.Background()
	times := 1
	if asked() > 0 {
		times = 6
	}
	for _, c := range []struct {
		what  string
		list  []journal.Entry
		batch int
	}{
		{"one entry a transaction", million(3000)[200 : 200+300*times], 1},
		{"100 entries a transaction", million(10_000 * times), 100},
		{"1000 readings a transaction", readings(10_000 * times), 1000},
	} {
		list := sealed(t, c.list)
		db := rawFile(t)
		s, err := sqlite.Open(filepath.Join(t.TempDir(), "farm.wormyard"))
		if err != nil {
			t.Fatal(err)
		}
		var raw, ours time.Duration
		for i := 0; i < len(list); i += c.batch { // turn by turn, so that both meet the same machine
			part := list[i:min(i+c.batch, len(list))]
			start := time.Now()
			rawInsert(t, db, part)
			raw += time.Since(start)
			start = time.Now()
			if _, err := s.Append(ctx, part); err != nil {
				t.Fatal(err)
			}
			ours += time.Since(start)
		}
		n := float64(len(list))
		t.Logf("%s: raw %.0f µs, journal %.0f µs an entry, ratio %.2f, %.0f entries/s", c.what, 1e6*raw.Seconds()/n, 1e6*ours.Seconds()/n, ours.Seconds()/raw.Seconds(), n/ours.Seconds())
		if rate := n / ours.Seconds(); c.batch > 1 && asked() > 0 && rate < 2000 {
			t.Errorf("%s: %.0f entries a second, want 2000", c.what, rate)
		}
		a, err := s.Verify(ctx)
		if err != nil || a.Broken != nil || a.Entries != len(list) {
			t.Errorf("%+v %v", a.Broken, err)
		}
		s.Close()
	}
}

// TestJournalColdOpen opens a farm of a million entries, decodes and folds it.
func TestJournalColdOpen(t *testing.T) {
	n := max(100_000, asked())
	path := filepath.Join(t.TempDir(), "farm.wormyard")
	s, err := sqlite.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	list := million(n)
	for i := 0; i < n; i += 10_000 {
		if _, err := s.Append(context.Background(), list[i:min(i+10_000, n)]); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	list = nil
	library, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	trade := farm.Trade{Library: library, Usual: farm.Usual{BoxLength: 1.2, BoxWidth: 1.2, BoxDepth: 0.6, StockTypedRange: 1.5}, Decode: json.Unmarshal, Zone: time.LoadLocation}
	start, began := time.Now(), processor()
	if s, err = sqlite.OpenExisting(path); err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	loaded, err := s.Load(context.Background(), 0)
	if err != nil || len(loaded) != n {
		t.Fatal(len(loaded), err)
	}
	read, readCPU := time.Since(start), processor()-began
	f := farm.New(trade)
	f.Apply(loaded)
	f.State()
	all := time.Since(start)
	t.Logf("%d entries: opened and decoded in %.2f s (%.2f s of the processors), folded too in %.2f s (%.2f s)", n, read.Seconds(), readCPU.Seconds(), all.Seconds(), (processor() - began).Seconds())
}

// TestImportMemory imports a large table and reports time and the heap in use.
func TestImportMemory(t *testing.T) {
	rows := 20_000
	if asked() > 0 {
		rows = 1_320_000 // about 100 MB
	}
	path := filepath.Join(t.TempDir(), "large.csv")
	out, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprint(out, "Date,What,Bin,How much,Mix,Temp F,Depth (in),Who,Note\n2023-12-01,built,B1 to B240,,,,,owner,\n2023-12-02,bedding,B1 to B240,6 in,,,,owner,\n")
	at := time.Date(2024, 1, 1, 7, 0, 0, 0, time.UTC)
	for i := range rows {
		day := at.Add(time.Duration(i) * time.Minute).Format("2006-01-02 15:04")
		switch i % 4 {
		case 0:
			fmt.Fprintf(out, "%s,fed,B%d,1.5 in,41,,,crew 1,left half drier than the right one\n", day, i%240+1)
		case 1:
			fmt.Fprintf(out, "%s,watered,B%d,5 gal,,,,crew 2,\n", day, i%240+1)
		default:
			fmt.Fprintf(out, "%s,reading,B%d,,,%d,6,crew 1,the thermometer with the red handle\n", day, i%240+1, 60+i%20)
		}
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := sqlite.Open(filepath.Join(t.TempDir(), "farm.wormyard"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	f, err := sheet.Open(path, sheet.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var heap uint64
	told := 0
	began := time.Now()
	r, err := f.Import(context.Background(), s, sheet.How{
		Begin: func(ctx context.Context) (sheet.Batch, error) { return s.Begin(ctx) }, Now: time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC), Yes: true,
		Progress: func(string, int64, int64) {
			if told++; told%20 == 0 {
				var m runtime.MemStats
				runtime.ReadMemStats(&m)
				heap = max(heap, m.HeapInuse)
			}
		},
	})
	if err != nil || r.Written != rows+2 {
		t.Fatal(r.Written, err)
	}
	took := time.Since(began)
	t.Logf("%d rows, %.0f MB: %.1f s, %.0f µs a row, most heap in use %.0f MB", r.Rows, float64(info.Size())/1e6, took.Seconds(), 1e6*took.Seconds()/float64(r.Rows), float64(heap)/1e6)
	if info.Size() > 50e6 && heap > 200e6 {
		t.Errorf("%.0f MB of heap for a file of %.0f MB", float64(heap)/1e6, float64(info.Size())/1e6)
	}
}
