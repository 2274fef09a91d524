package web

import (
	"net/http"
	"strings"

	"wormyard/internal/app"
	"wormyard/qty"
)

// SamplePage is how a composite of a lot is taken.
type SamplePage struct {
	Frame
	Heading, BackTo, BackName string
	Say, Why                  string
	Steps                     []string
	Plan                      TriedTable
	Form                      SampleForm
	Bad                       []string
}

// SampleForm asks what is known of how grabs differ, and for bins in the place of
// the heap.
type SampleForm struct {
	Action string
	Fields []Field
}

func (s *Server) sampleShow(w http.ResponseWriter, r *http.Request, p person) error {
	state, name := s.Farm.State(), r.PathValue("name")
	l, ok := state.Lot(name)
	if !ok {
		return missing{p.Say("fault.nolot", name)}
	}
	q := func(key string) string { return strings.TrimSpace(r.URL.Query().Get(key)) }
	page := SamplePage{Frame: s.frame(r, p, p.Say("sample.title", name), "more"), Heading: p.Say("sample.title", name), BackTo: lotTo(name), BackName: p.Say("lot.title", name)}
	page.One = true
	asked := app.SampleAsked{Bags: l.Bagged() - l.BagsSold()}
	number := func(key string) float64 {
		t := q(key)
		if t == "" {
			return 0
		}
		v, ok := qty.Number(t)
		if !ok || v <= 0 || v > 1e12 {
			page.Bad = append(page.Bad, p.Say("sample.badnumber", t))
			return 0
		}
		return v
	}
	asked.SD, asked.Half = number("sd"), number("half")
	if (asked.SD > 0) != (asked.Half > 0) {
		page.Bad = append(page.Bad, p.Say("sample.both"))
	}
	if text := q("bins"); text != "" {
		bins, wrong := state.Places().Select(text)
		for _, x := range wrong {
			page.Bad = append(page.Bad, p.Told(x.Say)+" "+p.Told(x.Try))
		}
		asked.Bins, asked.Bags = bins, 0
	}
	plan, ok, err := app.Sampled(asked)
	if err != nil {
		return err
	}
	if !ok {
		page.Bad = append(page.Bad, p.Say("sample.toomany", thousands(plan.Grabs)))
	} else {
		page.Say = p.Count("sample.grabs", plan.Grabs)
		page.Why = p.Say("sample.why." + plan.Reason)
		page.Plan = TriedTable{Narrow: true, Heads: []Cell{{Text: p.Say("sample.head.number"), Num: true}, {Text: p.Say("sample.head.where")}, {Text: p.Say("sample.head.depth")}}}
		place := "sample.cut"
		switch {
		case asked.Bags > 0:
			place = "sample.bag"
		case len(asked.Bins) > 0:
			place = "sample.bin"
		}
		for i, g := range plan.Plan {
			page.Plan.Rows = append(page.Plan.Rows, TriedRow{Cells: []Cell{{Text: thousands(i + 1), Num: true}, {Text: p.Say(place, g.Bin)}, {Text: p.Say("sample.depth." + g.Depth)}}})
		}
	}
	for _, key := range []string{"clean", "grab", "mix", "send", "name"} {
		page.Steps = append(page.Steps, p.Say("sample.step."+key))
	}
	bins := textField("bins", p.Say("sample.bins"), q("bins"))
	bins.Help = p.Say("sample.binshelp")
	sd := numberField("sd", p.Say("sample.sd"), "", q("sd"))
	sd.Help = p.Say("sample.sdhelp")
	page.Form = SampleForm{lotTo(name) + "/sample", []Field{bins, sd, numberField("half", p.Say("sample.half"), "", q("half"))}}
	return s.draw(w, "sample", http.StatusOK, page)
}
