package web

import (
	"context"

	"wormyard/farm"
	"wormyard/round"
)

// LookIn is a short look inside a box of the map.
type LookIn struct {
	Heading, Under string
	Needs          []NeedShown
	Rests          string
	Facts          []Fact
	Open, Back     Link
}

// NeedShown is one thing that a bin needs, why, how sure, and what to mind.
type NeedShown struct{ Act, Say, Why, Sure, Care string }

// lookIn tells what a bin needs, with the way to its page and back to its box.
func (s *Server) lookIn(ctx context.Context, p person, state *farm.State, b *farm.Bin, view mapView) (*LookIn, error) {
	out := &LookIn{Heading: binTitle(p, state, b), Open: Link{To: binTo(b.Name), Name: p.Say("map.open"), Main: true}}
	back := view
	back.look = ""
	out.Back = Link{To: back.to() + "#at-" + b.Name, Name: p.Say("map.back")}
	list, made, err := s.list(ctx, p)
	if err != nil {
		return nil, err
	}
	for _, l := range list.Lines {
		for _, i := range l.Items {
			if i.Bin == b.Name && i.Act != round.Rest && b.Bed != nil {
				out.Needs = append(out.Needs, NeedShown{Act: strip(i.Act, i.Urgency), Say: i.Say, Why: i.Reason, Sure: i.Sure, Care: l.Caution})
			}
		}
	}
	switch {
	case b.State == farm.Retired || b.Bed == nil:
		out.Rests = p.Say("map.nobed")
	case len(out.Needs) > 0:
	case !made:
		out.Rests = p.Say("map.noround")
	default:
		out.Rests = p.Say("map.rests")
	}
	if b.Bed == nil {
		return out, nil
	}
	o, err := s.outlook(ctx, b.Name)
	if err != nil {
		return nil, err
	}
	if o != nil {
		work := "/working" + binTo(b.Name)
		if facts := likelyFacts(p, o, fed(b.Bed), work); len(facts) > mostLookFacts {
			out.Facts = facts[:mostLookFacts]
		} else {
			out.Facts = facts
		}
	}
	if b.Bed.LastFeed != nil {
		out.Facts = append(out.Facts, Fact{Name: p.Say("fact.lastfeed"), Value: p.Moment(b.Bed.LastFeed.At)})
	}
	return out, nil
}

// mostLookFacts is how much of what the twin says goes into a short look: how
// warm, how wet, what is eaten.
const mostLookFacts = 3
