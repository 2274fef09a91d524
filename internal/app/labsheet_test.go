package app

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"wormyard/journal"
)

// labFarm is a farm with two lots.
func labFarm(t *testing.T) (*App, func(name, text string) string) {
	t.Helper()
	a, ctx := openTest(t), context.Background()
	dir := t.TempDir()
	write := func(name, text string) string {
		t.Helper()
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	file := write("book.csv", "date,kind,bins,lot,mass (kg),material,depth (in)\n2026-01-02,build,B1 B2,,,,\n2026-01-02,bed,B1 B2,,,\"leaves, loose dry\",6\n2026-02-01,harvest,B1,26-01,80,,\n2026-02-01,harvest,B2,26-02,70,,\n")
	if r, err := a.Import(ctx, file, ImportHow{Yes: true}); err != nil || r.Written != 4 {
		t.Fatalf("%+v %v", r, err)
	}
	return a, write
}

func labLine(t *testing.T, l LabSheet, row int) LabResult {
	t.Helper()
	i := slices.IndexFunc(l.Results, func(x LabResult) bool { return x.Row == row })
	if i < 0 {
		t.Fatalf("nothing came of row %d: %+v", row, l.Problems)
	}
	return l.Results[i]
}

// One sheet, two lots, every trouble of such sheets. 850 MPN/g of wet matter at 45 %
// of solids are 850/0.45 = 1,889 of dry (quality.md Q1.8), but germs keep their basis;
// P2O5 holds 2 x 30.974/(2 x 30.974 + 5 x 15.999) = 0.43642 of phosphorus; 1.2 % of
// wet matter at 45 % of solids are 2.667 % of dry; 500 mg/kg are 0.05 %.
func TestLabSheetIsReadWithEveryConversionShown(t *testing.T) {
	a, write := labFarm(t)
	file := write("lab.csv", `River Soil Laboratory;;;;;;
Client Sample ID;Parameter;Result;Units;MDL;Method;Date sampled
Lot 26-01;Total Solids;45,0;%;;;2026-02-10
Lot 26-01;Total Nitrogen;1,2;% as received;;combustion;2026-02-10
Lot 26-01;P2O5;2,0;% dry;;;2026-02-10
Lot 26-01;Fecal Coliform;850;MPN/g as received;;;2026-02-10
Lot 26-01;Salmonella spp.;<3;MPN/4g TS;;;2026-02-10
Lot 26-01;E. coli O157:H7;ND;MPN/g;0,3;;2026-02-10
Lot 26-01;Listeria;ND;CFU/g;;;2026-02-10
26-02;Copper (Cu);80,5;mg/kg dw;;;2026-02-10
26-02;Zinc;0,02;%  dry weight;;;2026-02-10
26-02;E. coli;TNTC;CFU/g;;;2026-02-10
26-02;Electrical conductivity;2500;uS/cm;;1:5;2026-02-10
26-02;Boron;12;mg/kg dry;;;2026-02-10
26-02;Moisture;150;% dry basis;;;2026-02-10
26-02;Mercury;;mg/kg dry;;;2026-02-10
26-02;pH;7,4;SU;;;2026-02-10
26-02;Nitrate-N;500;mg/kg;;;2026-02-10
`)
	l, err := a.LabSheet(file, LabAsk{Salt: "t", Who: "owner"})
	if err != nil {
		t.Fatal(err)
	}
	if l.Refused() || l.Empty != 1 || l.Row != 2 || len(l.Results) != 15 {
		t.Fatalf("%d results, %d empty, header %d: %+v", len(l.Results), l.Empty, l.Row, l.Problems)
	}
	for row, want := range map[int]struct {
		subject, analyte string
		value            float64
		unit, basis, how string
		says             string
	}{
		3:  {"lot 26-01", "water_frac_wet", 0.55, "", "", "", "100 % − 45 % of solids = 55 % of moisture"},
		4:  {"lot 26-01", "nitrogen_frac_dry", 0.012 / 0.45, "", "", "", "1.2 of wet / 0.45 dry part = 2.67 of dry"},
		5:  {"lot 26-01", "phosphorus_frac_dry", 0.02 * 2 * 30.974 / (2*30.974 + 5*15.999), "", "", "", "as the element"},
		6:  {"lot 26-01", "fecal_coliform", 850, "MPN/g", "wet", "", ""},
		7:  {"lot 26-01", "salmonella", 3, "MPN/4 g", "dry", journal.ReadsLess, "<3 is read as below 3 MPN/4 g."},
		8:  {"lot 26-01", "e_coli_o157", 0.3, "MPN/g", "", journal.ReadsLess, "ND is read as below 0.3 MPN/g."},
		9:  {"lot 26-01", "listeria", 0, "CFU/g", "", journal.ReadsNone, "how little could have been seen is not told"},
		10: {"lot 26-02", "copper", 80.5, "mg/kg", "dry", "", ""},
		11: {"lot 26-02", "zinc", 0.02, "%", "dry", "", ""},
		12: {"lot 26-02", "e_coli", 0, "CFU/g", "", journal.ReadsTooMany, "too many to count"},
		13: {"lot 26-02", "ec_ds_m", 2.5, "", "", "", "2,500 uS/cm"},
		14: {"lot 26-02", "boron_mg_kg_dry", 12, "", "", "", ""},
		15: {"lot 26-02", "water_frac_wet", 0.6, "", "", "", "matter as it lies"},
		17: {"lot 26-02", "ph", 7.4, "", "", "", ""},
		18: {"lot 26-02", "nitrate_n_mg_kg_dry", 500, "", "", "", ""},
	} {
		x := labLine(t, l, row)
		e := x.Entry
		said := strings.Join(append(x.Steps, x.Notes...), " ")
		if e.Subject != want.subject || e.Analyte != want.analyte || math.Abs(e.Value-want.value) > 1e-4*want.value || e.Unit != want.unit || e.Basis != want.basis || e.Reads != want.how || !strings.Contains(said, want.says) {
			t.Errorf("row %d is %+v, %q", row, e, said)
		}
	}
	if say := strings.Join(l.Notes, " "); !strings.Contains(say, `"Boron" is no test that we know`) {
		t.Errorf("the notes are %q", say)
	}
	if len(l.Problems) != 1 || l.Problems[0].Row != 18 || !l.Problems[0].Doubt {
		t.Errorf("nitrate of no basis is asked about: %+v", l.Problems)
	}
	ctx, before := context.Background(), len(a.State().Journal())
	if ps, err := a.KeepLabSheet(ctx, &l, true); err != nil || len(ps) > 0 {
		t.Fatal(ps, err)
	}
	if n := len(a.State().Journal()) - before; n != 16 { // fifteen tests and what the sheet means
		t.Errorf("%d entries were written", n)
	}
	again, err := a.LabSheet(file, LabAsk{Salt: "u", Who: "owner"})
	if err != nil || !again.Known || again.Already != 15 || !again.Refused() {
		t.Fatalf("the same sheet again: known %v, %d there, %v %+v", again.Known, again.Already, err, again.Problems)
	}
	if repeat, err := a.LabSheet(file, LabAsk{Salt: "u", Who: "owner", Again: true}); err != nil || repeat.Refused() || len(repeat.entries) != 15 {
		t.Errorf("tests made again: %+v %v", repeat.Problems, err)
	}
	l1, _ := a.State().Lot("26-01")
	rule, _, _, err := RuleNamed(a.State(), "us_503_class_a")
	if err != nil {
		t.Fatal(err)
	}
	j, err := Judged(a.State(), l1.Name, rule, nil, "", a.Now())
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range j.Lines {
		if x.Key == "fecal_coliform" && !strings.Contains(x.Has, "1,888.9") { // 850/0.45
			t.Errorf("the wet result is held against the dry limit as %q", x.Has)
		}
	}
}

// What cannot be taken is said with its row, all at once, and nothing is kept.
func TestLabSheetIsRefusedInWords(t *testing.T) {
	a, write := labFarm(t)
	for name, c := range map[string]struct {
		text string
		say  []string
	}{
		"who knows which lot": {"Sample,Analyte,Result,Unit\nA-1,Copper,80,mg/kg dry\nA-2,Copper,80,mg/kg dry\n", []string{`Sample "A-1" names no lot`, `Sample "A-2" names no lot`}},
		"no unit":             {"Sample,Analyte,Result\n26-01,Copper,80\n26-01,Moisture,60\n", []string{"in which unit \"80\"", "in which unit \"60\""}},
		"two readings":        {"Sample;Analyte;Result;Unit\n26-01;Copper;1,234;mg/kg dry\n26-01;pH;7.5;\n", []string{`"1,234" may be 1234 or 1.234`}},
		"below nothing":       {"Sample,Analyte,Result,Unit\n26-01,Copper,-4,mg/kg dry\n26-01,pH,19,\n", []string{"below 0", "pH"}},
		"nothing of ours":     {"a,b\n1,2\n", []string{"which column names the tests"}},
	} {
		l, err := a.LabSheet(write("bad.csv", c.text), LabAsk{Salt: "t"})
		if err != nil {
			t.Fatal(name, err)
		}
		var said []string
		for _, p := range l.Problems {
			said = append(said, p.Say)
		}
		for _, want := range c.say {
			if !strings.Contains(strings.Join(said, "\n"), want) {
				t.Errorf("%s: %q is not said: %q", name, want, said)
			}
		}
		if !l.Refused() {
			t.Errorf("%s is taken", name)
		}
	}
}

// A sheet with a column for each test, in a workbook, whose numbers are numbers.
func TestLabSheetWithAColumnForEachTest(t *testing.T) {
	a, _ := labFarm(t)
	book := excelize.NewFile()
	for i, row := range [][]any{{"Results of 10 February"}, {"Sample", "Moisture (%)", "Copper (mg/kg dry)", "Boron (mg/kg dry)", "pH", "Comments"}, {"26-01", 62.5, 1.234, "<5", 7.1, "ok"}, {"26-02", 0.1 + 0.2, "n/a", 9, 7.2, ""}} {
		for j, v := range row {
			at, _ := excelize.CoordinatesToCellName(j+1, i+1)
			if err := book.SetCellValue("Sheet1", at, v); err != nil {
				t.Fatal(err)
			}
		}
	}
	file := filepath.Join(t.TempDir(), "lab.xlsx")
	if err := book.SaveAs(file); err != nil {
		t.Fatal(err)
	}
	l, err := a.LabSheet(file, LabAsk{Salt: "t"})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]float64{}
	for _, x := range l.Results {
		got[x.Entry.Subject+" "+x.Entry.Analyte] = x.Entry.Value
	}
	want := map[string]float64{"lot 26-01 water_frac_wet": 0.625, "lot 26-01 copper": 1.234, "lot 26-01 boron_mg_kg_dry": 5, "lot 26-01 ph": 7.1, "lot 26-02 water_frac_wet": 0.003, "lot 26-02 boron_mg_kg_dry": 9, "lot 26-02 ph": 7.2}
	for k, v := range want {
		if math.Abs(got[k]-v) > 1e-9 {
			t.Errorf("%s is %g, not %g", k, got[k], v)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%v came of it", got)
	}
}
