package web

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
)

// A sheet of demand is seen first, what is not clear is answered or left out, and only
// then it is kept, all of it at once; it can be taken out again, and its headers are
// known the next time.
func TestDemandIsTakenIn(t *testing.T) {
	s, a := labServer(t)
	d := &seasonDesk{}
	s.Seasons, s.NewID = d, func(time.Time) string { return uuid.Must(uuid.NewV7()).String() }
	const sheet = "Ship date,Item,Qty,Unit,Each,Fine\n2026-03-20,castings,3,yd3,200,50\n2026-04-03,jars,12,,,\n"
	before := len(a.State().Journal())
	w := upload(t, s, "/season/demand", "demand.csv", sheet)
	page := doc(t, w)
	said := words1(page)
	if w.Code != 200 || !strings.Contains(said, "1 row is not clear") || !strings.Contains(said, `"jars" is not on the price list`) || !strings.Contains(said, "2026-03-20 castings 3 yd³ 200 50") {
		t.Fatalf("%d: %s", w.Code, said)
	}
	const form = "form[action='/season/demand/save']"
	if w = post(t, s, "/season/demand/save", boxes(page, form, "do=save")...); w.Code != 422 || len(a.State().Journal()) != before || d.asked != 0 {
		t.Errorf("kept though it is not clear: %d", w.Code)
	}
	answered := doc(t, post(t, s, "/season/demand/save", boxes(page, form, "product_0=bags of 1 cu ft", "do=again")...))
	if said := words1(answered); strings.Contains(said, "not clear") || !strings.Contains(said, "Keep 2 sales") {
		t.Errorf("an answer is not taken: %s", said)
	}
	w = post(t, s, "/season/demand/save", boxes(answered, form, "do=save")...)
	if w.Code != 303 || d.asked != 1 || len(a.State().Journal()) != before+2 {
		t.Fatalf("%d, %d entries, planned %d times: %s", w.Code, len(a.State().Journal())-before, d.asked, words1(doc(t, w)))
	}
	kept := a.State().Settings.Season.Demand
	if len(kept) != 2 || kept[0].Source != "demand.csv" || kept[0].Beside || *kept[0].Penalty != 50 || kept[1].Product != "bags of 1 cu ft" {
		t.Errorf("%+v", kept)
	}
	page = doc(t, upload(t, s, "/season/demand", "demand.csv", sheet))
	if said := words1(page); !strings.Contains(said, "taken in before") || !strings.Contains(said, "2 sales, 2026-03-20 to 2026-04-03") {
		t.Errorf("%s", said)
	}
	// the same file again replaces its rows; without what is not clear
	if w = post(t, s, "/season/demand/save", boxes(page, form, "do=rest")...); w.Code != 303 || len(a.State().Settings.Season.Demand) != 1 {
		t.Errorf("%d, %+v", w.Code, a.State().Settings.Season.Demand)
	}
	if w = post(t, s, "/season/demand/drop", "source=demand.csv"); w.Code != 303 || len(a.State().Settings.Season.Demand) != 0 {
		t.Errorf("%d, %+v", w.Code, a.State().Settings.Season.Demand)
	}
}

// Of more rows than are asked about at once those that were left out give place to the
// rest, and stay left out.
func TestManyRowsOfDemandAreAsked(t *testing.T) {
	s, a := labServer(t)
	s.Seasons, s.NewID = &seasonDesk{}, func(time.Time) string { return uuid.Must(uuid.NewV7()).String() }
	rows := strings.Repeat("2026-03-20,jars,1\n", askedAtOnce+3) + "2026-03-20,castings,3 yd3\n"
	page := doc(t, upload(t, s, "/season/demand", "jars.csv", "Ship date,Item,Qty\n"+rows))
	const form = "form[action='/season/demand/save']"
	empty := []string{"do=again"}
	for i := range askedAtOnce {
		empty = append(empty, fmt.Sprintf("product_%d=", i), fmt.Sprintf("amount_%d=", i))
	}
	page = doc(t, post(t, s, "/season/demand/save", boxes(page, form, empty...)...))
	if box := all(page, "input[name=row_0]"); len(box) != 1 || attr(box[0], "value") != strconv.Itoa(askedAtOnce+2) {
		t.Fatalf("the first row that is asked about is not the first open one: %s", words1(page))
	}
	w := post(t, s, "/season/demand/save", boxes(page, form, "do=save", "product_0=", "amount_0=", "product_1=", "amount_1=", "product_2=", "amount_2=")...)
	if kept := a.State().Settings.Season.Demand; w.Code != 303 || len(kept) != 1 || kept[0].Product != "castings" {
		t.Errorf("%d, %+v", w.Code, kept)
	}
}
