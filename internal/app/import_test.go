package app

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"wormyard/qty"
)

func TestImport(t *testing.T) {
	a, ctx := openTest(t), context.Background()
	file := filepath.Join(t.TempDir(), "book.csv")
	write := func(text string) {
		t.Helper()
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	const head = "date,kind,bins,pile,batch,material,volume (yd3),depth (in),parts,slots\n"
	const good = head +
		"2026-02-01,feed,B1,,41,,,1.5,,\n" +
		"2026-02-01,bed,B1 B2,,41,,,6,,\n" +
		"2026-02-01,blend,,,41,,,,\"[{\"\"pile\"\":\"\"solids\"\",\"\"volume_m3\"\":3}]\",\n" +
		"2026-02-01,build,B1 B2,,,,,,,North/1/1/1; North/1/1/2\n" +
		"2026-02-01,receive,,solids,,\"dairy solids, separated\",10,,,\n"
	write(good)
	report, err := a.Import(ctx, file, ImportHow{DryRun: true})
	if err != nil || report.Good != 5 || len(a.State().Journal()) != 0 {
		t.Fatalf("dry run: %+v %v", report, err)
	}
	if report, err = a.Import(ctx, file, ImportHow{}); err != nil || report.Written != 5 {
		t.Fatalf("import: %+v %v", report, err)
	}
	s := a.State()
	if d := s.Doubts(); len(d) > 0 {
		t.Errorf("a day told without hours raises %v", d)
	}
	b, ok := s.Bin("B1")
	if !ok || b.Bed == nil || b.Bed.LastFeed == nil || b.Bed.LastFeed.Matter.Dry <= 0 || b.Bed.LastFeed.Depth != qty.Metre(1.5*qty.MetrePerInch) {
		t.Fatalf("B1: %+v", b)
	}
	if report, err = a.Import(ctx, file, ImportHow{}); err != nil || report.Written != 0 || report.Already != 5 || len(a.State().Journal()) != 5 {
		t.Errorf("the same file again: %+v %v", report, err)
	}
	write(head + "2026-02-09,feed,B1,,41,,,1.5,,\n2026-02-09,feed,B99,,41,,,1.5,,\n2026-02-09,feed,B2,,41,,,-1,,\n")
	report, err = a.Import(ctx, file, ImportHow{Yes: true})
	if err != nil || report.Written != 0 || report.Refused != 2 || len(a.State().Journal()) != 5 {
		t.Errorf("a file with two bad rows: %+v %v", report, err)
	}
}
