package web

import (
	"math"
	"net/http"

	"wormyard/barn"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// PlacesPage is where bins could stand instead.
type PlacesPage struct {
	Frame
	Heading, Under string
	Say, Empty     string
	Cautions       []string
	Changes        []PlaceChange
	More           []PlaceChange // those worth less, folded away
	MoreSay        string
	How            string
}

// PlaceChange is a change of places that is worth making.
type PlaceChange struct {
	Say, Worth string
	Warmer     []string
	ID, Facts  string
	Moves      []PlaceMove
}

// PlaceMove is a bin that stands elsewhere then.
type PlaceMove struct{ Bin, FromAt, ToAt, Say string }

// movesPlaces shows where bins could stand, and what that saves.
func (s *Server) movesPlaces(w http.ResponseWriter, r *http.Request, p person) error {
	page := PlacesPage{Frame: s.frame(r, p, p.Say("places.title"), "round"), Heading: p.Say("places.title"), Under: p.Say("places.under"), Cautions: s.movesCautions(p)}
	page.One = true
	set := s.Farm.State().Settings.Truck
	looks, failed := s.looksOf(r)
	x, err := s.trucks.Arrange(s.Farm.State(), looks, s.floorWords(p), app.TruckAsk{Spots: max(1, set.Spots), Reach: set.ReachUp}, p.Now)
	if err == nil {
		err = *failed
	}
	if err != nil {
		return err
	}
	page.How = p.Say("places.how", int(x.Weeks))
	if len(x.Changes) == 0 {
		page.Empty = p.Say("places.none")
		return s.draw(w, "places", http.StatusOK, page)
	}
	page.Say = p.Count("places.all", len(x.Changes), p.Count("moves.liftcount", x.Lifts), qty.Figures(roundTo(math.Max(0, x.Saves), 0.5)))
	for _, c := range x.Changes {
		page.Changes = append(page.Changes, s.placeChange(p, c))
	}
	if n := len(page.Changes) - mostPlacesOpen; n > 1 {
		page.Changes, page.More, page.MoreSay = page.Changes[:mostPlacesOpen], page.Changes[mostPlacesOpen:], p.Count("places.more", n)
	}
	return s.draw(w, "places", http.StatusOK, page)
}

// mostPlacesOpen is how many changes stand open, those that bring most first.
const mostPlacesOpen = 5

func (s *Server) placeChange(p person, c app.SlotChange) PlaceChange {
	at := func(slot barn.Slot) string { return p.Say("moves.at", s.stackOf(p, slot), levelOf(p, slot)) }
	out := PlaceChange{ID: s.NewID(p.Now)}
	if c.One != nil {
		out.Say = p.Say("places.anew", sentence(s.stackOf(p, c.Slots[0])), p.Words.List(c.One))
	} else {
		out.Say = p.Say("places.swap", c.Bins[0], at(c.Slots[0]), c.Bins[1], at(c.Slots[1]))
	}
	lifts := p.Count("moves.liftcount", c.Lifts)
	switch saves := roundTo(c.Saves, 0.5); {
	case saves > 0:
		out.Worth = p.Say("places.worth", lifts, qty.Figures(saves))
	default:
		out.Worth = p.Say("places.worthwarm", lifts)
	}
	for _, w := range c.Warmer {
		key := "places.warmer"
		if w.K < 0 {
			key = "places.cooler"
		}
		out.Warmer = append(out.Warmer, p.Say(key, w.Bin, p.Units.TemperatureStep(math.Abs(w.K))))
	}
	var facts []app.Fact
	for _, m := range c.Moves {
		out.Moves = append(out.Moves, PlaceMove{Bin: m.Bin, FromAt: m.From.String(), ToAt: m.To.String(), Say: p.Say("places.to", m.Bin, at(m.From), at(m.To))})
		facts = append(facts, app.Fact{Body: &journal.Move{Bin: m.Bin, From: m.From.String(), To: m.To.String()}})
	}
	out.Facts = factsOf(facts)
	return out
}
