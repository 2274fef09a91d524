package web

import (
	"bytes"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/label"
	papers "wormyard/internal/paper"
	"wormyard/internal/web/words"
	"wormyard/lot"
	"wormyard/qty"
)

// saleNote gives the delivery note of a sale or an order as a file to print.
func (s *Server) saleNote(w http.ResponseWriter, r *http.Request, p person) error {
	x, ok := app.NoteOf(s.Farm.State(), r.PathValue("id"))
	if !ok {
		return missing{p.Say("note.nosale")}
	}
	var b bytes.Buffer
	if err := SaleNote(&b, x, s.Farm.State(), p.Words, p.Units); err != nil {
		return err
	}
	return sendPDF(w, p.Say("note.file", noteNumber(x)), b.Bytes())
}

// noteNumber calls a note by the day and letters that stand for its entry.
func noteNumber(x app.Note) string { return label.Short(x.Entry) }

// SaleNote writes a delivery note as PDF. The same note, farm, language and units give
// the same bytes.
func SaleNote(w io.Writer, x app.Note, state *farm.State, c *words.Catalogue, u qty.System) error {
	p := person{Units: u, Words: c, Zone: state.Zone(), Now: x.At.In(state.Zone())}
	return p.note(x, state).Write(w, paperOf(u), x.Journal.Taken.UTC().Truncate(time.Second))
}

func (p person) note(x app.Note, state *farm.State) papers.Document {
	name := state.Settings.Name
	if name == "" {
		name = p.Say("farm.unnamed")
	}
	d := papers.Document{Title: p.Say("note.title"), Under: name, Page: p.Say("record.page"), Foot: p.Say("note.foot", name, noteNumber(x))}
	customer := x.Customer
	if customer == "" {
		customer = p.Say("note.nobody")
	}
	head := papers.Part{Head: p.Say("note.to", customer), Facts: []papers.Fact{{Name: p.Say("note.number"), Value: noteNumber(x)}, {Name: p.Say("note.day"), Value: p.day(x.At)}}}
	add := func(part *papers.Part, key, value string) {
		if value != "" {
			part.Facts = append(part.Facts, papers.Fact{Name: p.Say(key), Value: value})
		}
	}
	add(&head, "note.ref", x.Ref)
	if x.Order {
		head.Says = []string{p.Say("note.order")}
		add(&head, "note.due", p.paperDay(x.Due))
	}
	d.Parts = append(d.Parts, head)
	var made []string
	worms, castings := false, false
	price := func(v qty.Money) string {
		return strings.TrimSpace(strconv.FormatFloat(float64(v), 'f', 2, 64) + " " + state.Settings.Money.Currency)
	}
	for i, g := range x.Goods {
		goods := papers.Part{Head: p.Say("note.goods")}
		if len(x.Goods) > 1 {
			goods.Head = p.Say("note.goodsof", i+1, len(x.Goods))
		}
		what := g.What
		if what == "" && !g.Worms {
			what = p.Say("bag.usualname")
		}
		add(&goods, "note.what", what)
		add(&goods, "note.due", p.paperDay(g.Due))
		switch {
		case g.Worms:
			worms = true
			add(&goods, "note.bins", p.Words.List(g.Bins))
			if g.Number > 0 {
				add(&goods, "note.pieces", thousands(g.Number))
			}
			add(&goods, "note.worms", both(lot.NetMass(g.Mass)))
		case x.Order:
			if g.Number > 0 {
				add(&goods, "note.pieces", thousands(g.Number))
			}
		default:
			castings = true
			add(&goods, "note.lot", g.Lot.Lot+" · "+app.LotMark(state, g.Lot.Lot))
			if g.Number > 0 {
				add(&goods, "note.bags", thousands(g.Number))
			}
			if g.Number > 0 && g.Size > 0 {
				add(&goods, "note.each", both(lot.NetVolume(g.Size)))
			}
			if g.Lot.Held {
				d.Banner = p.Say("bag.banner")
			} else {
				add(&goods, "note.released", p.Say("note.releasedsay", p.ruleSay(state, g.Lot.Rule), g.By, p.day(g.Released)))
			}
			if m := p.madeOf(g.Lot); m != "" && !slices.Contains(made, m) {
				made = append(made, m)
			}
		}
		if g.Volume > 0 {
			add(&goods, "note.volume", both(lot.NetVolume(g.Volume)))
		}
		if g.Mass > 0 && !g.Worms {
			add(&goods, "note.mass", both(lot.NetMass(g.Mass)))
		}
		if g.Volume == 0 && g.Mass == 0 && (g.Number == 0 || !x.Order) {
			add(&goods, "note.volume", p.Say("note.unsaid"))
		}
		if g.Price > 0 {
			add(&goods, "note.price", price(g.Price))
		}
		d.Parts = append(d.Parts, goods)
	}
	if len(x.Goods) > 1 && x.Price > 0 {
		d.Parts = append(d.Parts, papers.Part{Head: p.Say("note.inall"), Facts: []papers.Fact{{Name: p.Say("note.price"), Value: price(x.Price)}}})
	}
	if !x.Order {
		if made != nil {
			d.Parts = append(d.Parts, papers.Part{Head: p.Say("bag.made"), Says: made})
		}
		if castings {
			d.Parts = append(d.Parts, papers.Part{Head: p.Say("note.care"), Says: []string{p.Say("bag.caution"), p.Say("note.keep")}})
		}
		if worms {
			d.Parts = append(d.Parts, papers.Part{Head: p.Say("note.wormcare"), Says: []string{p.Say("note.wormkeep")}})
		}
	}
	d.Parts = append(d.Parts, papers.Part{Head: p.Say("note.hands"), Lines: []string{p.Say("note.given"), p.Say("note.taken")}})
	return d
}

// both says an amount in one system and the same in the other.
func both(us, metric string) string {
	return strings.Join([]string{together(us), "(" + together(metric) + ")"}, " ")
}
