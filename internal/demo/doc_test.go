package demo

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"wormyard/farm"
	"wormyard/journal"
)

// The page about the demo counts the edition that is made.
func TestTheDocIsOfThisEdition(t *testing.T) {
	if want := fmt.Sprintf("Counted on edition %d;", Edition); !strings.Contains(theDoc(t), want) {
		t.Errorf("docs/demo.md does not say %q: run ./check demo, put in what it counts, and look at the other rows", want)
	}
}

// What the page about the demo counts is what the demo has. It makes the whole
// demo where there is none, so ./check demo asks for it.
func TestTheDocCountsTheDemo(t *testing.T) {
	if os.Getenv("WORMYARD_DEMO") == "" {
		t.Skip("./check demo counts the demo farm")
	}
	a, store, err := Open(t.Context(), Path(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	s, doc := a.State(), theDoc(t)
	for _, row := range []string{entriesRow(s), shopRow(s), bedsRow(s)} {
		if !strings.Contains(doc, row) {
			t.Errorf("docs/demo.md does not have the row\n%s", row)
		}
	}
	if n := len(s.Doubts()); n != 1 {
		t.Errorf("the fold has %d doubts, and docs/demo.md says one: %+v", n, s.Doubts())
	}
}

func theDoc(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../docs/demo.md")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// count counts the entries that stand, by kind.
func count(s *farm.State) map[string]int {
	n := map[string]int{}
	for _, e := range s.Journal() {
		if !s.Struck(e.ID) {
			n[e.Kind]++
		}
	}
	return n
}

func grouped(n int) string {
	text := fmt.Sprint(n)
	for i := len(text) - 3; i > 0; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}

func entriesRow(s *farm.State) string {
	n := count(s)
	return fmt.Sprintf("| entries | %s; of those that stand %s readings, %s feedings, %s looks, %d waterings, %d harvests, %d works left with a reason, %d answers |",
		grouped(len(s.Journal())), grouped(n["reading"]), grouped(n["feed"]), grouped(n["look"]), n["water"], n["harvest"], n["left"], n["answer"])
}

func shopRow(s *farm.State) string {
	n, less, rules, customers, sales := count(s), 0, map[string]bool{}, map[string]bool{}, 0
	for _, e := range s.Journal() {
		if s.Struck(e.ID) {
			continue
		}
		switch b := e.Body.(type) {
		case *journal.Assay:
			if b.Reads == "less than" || b.Reads == "not detected" {
				less++
			}
		case *journal.Release:
			rules[b.Rule] = true
		case *journal.Sell:
			customers[b.Customer] = true
			sales++
		}
	}
	state, lots := map[farm.OrderState]int{}, 0
	for _, o := range s.OrderBook() {
		from := map[string]bool{}
		cut := false
		for _, l := range o.Lines {
			cut = cut || l.Cancel != nil
			for _, x := range l.Sales {
				from[x.Lot] = true
			}
		}
		switch {
		case cut:
			state[farm.OrderCancelled]++
		default:
			state[o.State]++
		}
		if len(from) > 1 {
			lots++
		}
	}
	orders := []string{grouped(len(s.OrderBook())) + " orders"}
	for _, x := range []struct {
		state farm.OrderState
		say   string
	}{{farm.OrderDone, "%d fetched whole"}, {farm.OrderCancelled, "%d cancelled or cut short"}, {farm.OrderPart, "%d fetched in part"}, {farm.OrderOpen, "%d due in the weeks to come"}} {
		if k := state[x.state]; k > 0 {
			orders = append(orders, fmt.Sprintf(x.say, k))
		}
	}
	return fmt.Sprintf("| castings | %d screenings, %d slides, %d tests (%d of them less than what the laboratory can see), %d samples kept back, %d releases under %d rules, %d holds (bins and piles among them), %d sales to %d customers, %s; %d of them out of several lots; %d complaint |",
		n["screen"], n["microscope"], n["assay"], less, n["kept sample"], n["release"], len(rules), n["hold"], sales, len(customers), strings.Join(orders, ", "), lots, n["complaint"])
}

func bedsRow(s *farm.State) string {
	var ages []float64
	for _, b := range s.Living() {
		ages = append(ages, float64(b.Bed.Age(Now())))
	}
	slices.Sort(ages)
	at := func(part float64) float64 { return ages[int(part*float64(len(ages)-1)+0.5)] }
	return fmt.Sprintf("| bins with a bed today | %d, their beds %.0f to %.0f days old (9 in 10), half of them younger than %.0f days |", len(ages), at(0.05), at(0.95), at(0.5))
}
