package web

import (
	"net/url"
	"strings"
	"testing"
)

// TestOrderPages takes an order from the form to its delivery of a lot.
func TestOrderPages(t *testing.T) {
	s := withLot(t)
	id := func() string { return "id=" + s.NewID(s.Farm.Now()) }
	w := post(t, s, "/prices", "name_0=bag", "as_0=bag", "size_0=10 L", "price_0=x", "steps_0=10: 9, 5: 8", "name_1=worms", "as_1=worms", "price_1=30")
	if w.Code != 422 || len(all(doc(t, w), ".wrong li")) < 3 {
		t.Errorf("a price list with three slips gives %d and does not tell them all", w.Code)
	}
	w = post(t, s, "/prices", "name_0=bag", "as_0=bag", "size_0=10 L", "price_0=12", "steps_0=10: 9", "name_1=live worms", "as_1=worms", "size_1=1 lb", "price_1=30")
	if w.Code != 303 || len(s.Farm.State().Settings.Money.Products) != 2 {
		t.Fatalf("the price list gives %d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	if w = post(t, s, "/enter/order", id(), "customer=garden shop", "what=bag", "number=3", "due=2026-05-01"); w.Code != 303 {
		t.Fatalf("the order gives %d: %s", w.Code, textOf(doc(t, w), ".wrong, .doubt"))
	}
	o := s.Farm.State().OrderBook()[0]
	if page := saidOn(t, s, "/orders"); !strings.Contains(page, "garden shop: 3 × bag") || !strings.Contains(page, "36.00") {
		t.Errorf("the order book does not say who wants what: %s", page)
	}
	to := "/order/" + o.Entry
	form := doc(t, get(t, s, to+"/deliver"))
	if attrs := all(form, "input[name=bags]"); len(attrs) != 1 || attr(attrs[0], "value") != "3" || len(all(form, `input[name=lot][value="L 1"]`)) != 1 || len(all(form, "form[data-kind=sell]")) != 1 {
		t.Errorf("the delivery does not offer three bags of lot L 1: %s", textOf(form, "main"))
	}
	w = post(t, s, to+"/deliver", id(), "lot=L 1", "bags=4")
	if w.Code != 422 || !strings.Contains(w.Body.String(), "and 3 of it are filled and not sold") {
		t.Errorf("four bags of three are sold: %d", w.Code)
	}
	sale := id()
	w = post(t, s, to+"/deliver", sale, "lot=L 1", "bags=3", "price=36")
	if w.Code == 422 {
		yes := attr(all(doc(t, w), "button[name=yes]")[0], "value")
		w = post(t, s, to+"/deliver", sale, "lot=L 1", "bags=3", "price=36", "yes="+yes)
	}
	if w.Code != 303 {
		t.Fatalf("the delivery gives %d", w.Code)
	}
	if page := saidOn(t, s, to); !strings.Contains(page, "3 × bag, delivered") || !strings.Contains(page, "of lot L 1") {
		t.Errorf("the order does not say that it is delivered: %s", page)
	}
	if w = get(t, s, "/sale/"+url.PathEscape(s.Farm.State().OrderBook()[0].Sales[0].Entry)+"/note.pdf"); w.Code != 200 || !strings.HasPrefix(w.Body.String(), "%PDF") {
		t.Errorf("the delivery note gives %d", w.Code)
	}
	if w = post(t, s, "/lot/L%201/complaint", id(), "customer=garden shop", "what=too wet"); w.Code != 303 {
		t.Fatalf("the complaint gives %d", w.Code)
	}
	for _, at := range []string{"/castings", "/lot/L%201", "/trace?of=L+1&way=forward"} {
		if page := saidOn(t, s, at); !strings.Contains(page, "Too wet") {
			t.Errorf("%s does not tell the complaint", at)
		}
	}
}

// TestWhatIfOnCosts moves the cost without keeping anything.
func TestWhatIfOnCosts(t *testing.T) {
	s := withLot(t)
	if w := post(t, s, "/farm/money", "currency=USD", "wage=20", "bag=0.50", "minutes_harvest=30"); w.Code != 303 {
		t.Fatalf("the prices give %d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	entries := s.Farm.State().Entries
	is, if40 := saidOn(t, s, "/costs"), saidOn(t, s, "/costs?wage=40")
	if !strings.Contains(is, "Crew") || is == if40 || !strings.Contains(if40, "As it is, it costs") {
		t.Errorf("twice the wage changes nothing: %s", if40)
	}
	if page := saidOn(t, s, "/costs?wage=much"); !strings.Contains(page, `"much", which is no price`) {
		t.Errorf("a wage that is no number is not told: %s", page)
	}
	if s.Farm.State().Entries != entries || *s.Farm.State().Settings.Money.Wage != 20 {
		t.Error("what was tried is kept")
	}
	if s.Farm.State().Settings.Money.Minutes["harvest"] != 30 {
		t.Error("the minutes of a harvest are not kept")
	}
}
