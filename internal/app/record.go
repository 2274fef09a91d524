package app

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"wormyard/barn"
	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// Record checks an entry by its kind and by what the farm knows, and when
// nothing is refused, and nothing doubtful or confirmed is true, keeps it. An
// entry without id or time gets a new id and now. An entry that is in the
// journal already is acknowledged again. The error is ours or the disk's only;
// what is wrong with the entry is in the Ack.
func (a *App) Record(ctx context.Context, e journal.Entry, confirmed bool) (Ack, error) {
	a.writing.Lock()
	defer a.writing.Unlock()
	acks, err := a.record(ctx, []journal.Entry{e}, confirmed)
	if err != nil {
		return Ack{Entry: e}, err
	}
	return acks[0], nil
}

// RecordAll records entries that belong together, all or none; each may rest on
// those before it. One Ack an entry, in order.
func (a *App) RecordAll(ctx context.Context, entries []journal.Entry, confirmed bool) ([]Ack, error) {
	a.writing.Lock()
	defer a.writing.Unlock()
	return a.record(ctx, entries, confirmed)
}

func (a *App) record(ctx context.Context, entries []journal.Entry, confirmed bool) ([]Ack, error) {
	return a.recordOr(ctx, entries, confirmed, false)
}

// recordOr records entries, or on a dry run only tells what is wrong with them.
func (a *App) recordOr(ctx context.Context, entries []journal.Entry, confirmed, dry bool) ([]Ack, error) {
	now := a.Clock()
	acks := make([]Ack, len(entries))
	keep := make([]journal.Entry, 0, len(entries))
	place := make([]int, 0, len(entries))
	facts := a.facts
	stop := false
	for i, e := range entries {
		ack := &acks[i]
		if e.ID == "" {
			id, err := a.newID()
			if err != nil {
				return nil, err
			}
			e.ID = id
		}
		if e.At.IsZero() {
			e.At = now
		}
		e.At = e.At.UTC().Truncate(time.Millisecond)
		ack.Entry = e
		if old, _, known := a.farm.Entry(e.ID); known {
			again(ack, old, &e)
			stop = stop || !ack.Saved
			continue
		}
		ps := append(a.amiss(&e, now, facts), againstTogether(a.State(), keep, &e)...)
		ack.Problems = problems(ps)
		switch worst := journal.Worst(ps); {
		case worst == journal.Refused, worst == journal.Doubtful && !confirmed:
			stop = true
			continue
		case worst == journal.Doubtful:
			e.Confirm(ps)
		}
		ack.Entry, ack.Problems = e, nil
		keep, place = append(keep, e), append(place, i)
		if len(entries) > 1 { // what follows may rest on it
			if facts == a.facts {
				facts = a.known()
			}
			facts.Add(&keep[len(keep)-1])
		}
	}
	if stop || dry || len(keep) == 0 {
		return acks, nil
	}
	taken, err := a.Journal.Append(ctx, keep)
	var conflict *journal.Conflict
	if errors.As(err, &conflict) { // written by another program since
		if err := a.catchUp(ctx); err != nil {
			return nil, err
		}
		for i := range acks {
			if acks[i].Entry.ID == conflict.Given.ID {
				again(&acks[i], conflict.Kept, conflict.Given)
			}
		}
		return acks, nil
	}
	if err != nil {
		return nil, err
	}
	if first := taken[0].Seq; first > a.seq+1 { // another program wrote in between
		if err := a.catchUp(ctx); err != nil {
			return nil, err
		}
	} else {
		a.fold(taken)
	}
	for k, i := range place {
		acks[i].Entry, acks[i].Saved, acks[i].Undo = taken[k], true, taken[k].ID
	}
	return acks, nil
}

// amiss tells what is wrong or odd with an entry, but for what its writer said yes to.
func (a *App) amiss(e *journal.Entry, now time.Time, facts *journal.Facts) []journal.Problem {
	ps := journal.Check(e, journal.Known{Units: a.units(), Zone: a.State().Zone(), Now: now, Facts: facts})
	if journal.Worst(ps) == journal.Refused {
		return ps
	}
	ps = append(ps, against(a.State(), e)...)
	ps = append(ps, a.wondered(e, now)...)
	return slices.DeleteFunc(ps, func(p journal.Problem) bool {
		return p.Level == journal.Doubtful && slices.Contains(e.Confirmed, p.Field)
	})
}

// again answers for an entry whose id is in the journal.
func again(ack *Ack, old, given *journal.Entry) {
	if journal.Same(old, given) {
		*ack = Ack{Entry: *old, Saved: true, Undo: old.ID}
		return
	}
	ack.Problems = []Problem{{Field: "id", Say: "An entry with this id is in the journal, and it says something else.",
		Try: "Strike the one in the journal if it is wrong, and enter this one anew."}}
}

// known gives facts of the farm that may be added to without minding.
func (a *App) known() *journal.Facts {
	f := &journal.Facts{}
	for _, e := range a.State().Journal() {
		f.Add(e)
	}
	return f
}

// Strike cancels an entry, with a reason. Striking a strike lets the struck
// entry live again. An id that is not there, and an entry that is struck
// already, are refused in words.
func (a *App) Strike(ctx context.Context, id, who, why string) (Ack, error) {
	a.writing.Lock()
	defer a.writing.Unlock()
	old, counts, found := a.farm.Entry(id)
	switch {
	case !found:
		return Ack{Problems: []Problem{{Field: "strikes", Say: "There is no such entry in the journal.", Try: "Copy the id from the journal."}}}, nil
	case !counts:
		return Ack{Entry: *old, Problems: []Problem{{Field: "strikes", Say: "That entry is struck already.", Try: "Strike the strike if the entry is right after all."}}}, nil
	}
	acks, err := a.record(ctx, []journal.Entry{{Kind: "strike", Who: who, Strikes: id, Body: &journal.Strike{Why: why}}}, true)
	if err != nil {
		return Ack{}, err
	}
	return acks[0], nil
}

// against tells what in an entry does not fit what the farm knows, beyond names
// and times: depths against the bin, amounts against what lies there, places
// that are taken.
func against(s *farm.State, e *journal.Entry) []journal.Problem {
	var ps []journal.Problem
	u := s.Settings.Units
	doubt := func(field, say, try string) {
		ps = append(ps, journal.Problem{Field: field, Say: say, Try: try, Level: journal.Doubtful})
	}
	refuse := func(field, say, try string) {
		ps = append(ps, journal.Problem{Field: field, Say: say, Try: try, Level: journal.Refused})
	}
	late := e.At.Before(s.Last) // what lies there now is not what lay there then
	deep := func(bins []string, depth qty.Metre, what string) {
		for _, name := range bins {
			b, ok := s.Bin(name)
			if !ok || b.Box.Depth <= 0 || depth <= b.Box.Depth {
				continue
			}
			say := fmt.Sprintf("%s is %s, and bin %s is %s deep.", what, u.Depth(depth), name, u.Depth(b.Box.Depth))
			if slices.Contains(b.Box.Assumed, "depth") {
				doubt("depth_m", say[:len(say)-1]+" as far as we know.", "If that is right, say yes, and enter the size of the bin; else type the depth again.")
			} else {
				refuse("depth_m", say, "Look at the number and its unit again.")
			}
			return
		}
	}
	taken := func(field, pile string, volume *qty.CubicMetre, mass *qty.WetKg) {
		p, ok := s.Pile(pile)
		if !ok || late {
			return
		}
		if p.Hold != nil {
			doubt(field, fmt.Sprintf("Pile %s is on hold: %s.", pile, p.HoldWhy), "Take another pile, or say yes if the hold is over.")
		}
		left := p.Left()
		switch {
		case volume != nil && *volume > left.Volume*1.05:
			doubt(field, fmt.Sprintf("%s is taken from pile %s, and %s lies there by the journal.", u.Volume(*volume), pile, u.Volume(left.Volume)), "Enter the delivery that is missing, or say yes.")
		case mass != nil && *mass > left.Wet()*1.05:
			doubt(field, fmt.Sprintf("%s is taken from pile %s, and %s lies there by the journal.", u.Mass(float64(*mass)), pile, u.Mass(float64(left.Wet()))), "Enter the delivery that is missing, or say yes.")
		}
	}
	switch b := e.Body.(type) {
	case *journal.Feed:
		for _, name := range b.Bins {
			if bin, ok := s.Bin(name); ok && !late && bin.Bed != nil && bin.Bed.Rest != nil {
				doubt("bins", fmt.Sprintf("Bin %s rests since %s: %s.", name, bin.Bed.Rest.At.In(s.Zone()).Format("2 January"), bin.Bed.Rest.Why), "Leave it out, or say yes if what lay there is eaten; that ends its rest.")
			}
		}
		if b.DepthM != nil {
			deep(b.Bins, *b.DepthM, "The depth of the feed")
		}
		if bt, ok := s.Batch(b.Batch); ok && !late {
			var need qty.CubicMetre
			for _, name := range b.Bins {
				if bin, ok := s.Bin(name); ok && b.DepthM != nil {
					need += qty.CubicMetre(float64(*b.DepthM) * float64(bin.Box.Area()))
				}
			}
			if left := bt.Left().Volume; bt.Made.Volume > 0 && need > left+bt.Made.Volume*0.15 {
				doubt("batch", fmt.Sprintf("This feeding takes about %s, and about %s of batch %s is left by the journal.", u.Volume(need), u.Volume(left), b.Batch), "Look at the depth and the batch, or say yes.")
			}
		}
	case *journal.Bed:
		deep(b.Bins, b.DepthM, "The depth of the bed")
		if !late {
			for _, name := range b.Bins {
				if bin, ok := s.Bin(name); ok && bin.Bed != nil {
					doubt("bins", fmt.Sprintf("Bin %s holds a bed since %s.", name, bin.Bed.At.In(s.Zone()).Format("2 January 2006")), "Enter its harvest first, or say yes if it was thrown out.")
					break
				}
			}
		}
	case *journal.Stock:
		if from, ok := s.Bin(b.FromBin); ok {
			if since, until, apart := s.Apart(from, e.At); apart {
				doubt("from_bin", fmt.Sprintf("Bin %s holds worms bought on %s and is kept apart until %s.", b.FromBin, since.In(s.Zone()).Format("2 January"), until.In(s.Zone()).Format("2 January")),
					"Wait until then, so that pests that came along do not spread, or say yes if the bin was looked over and is clean.")
			}
		}
	case *journal.Harvest:
		for i, w := range b.WormsTo {
			for _, name := range b.Bins {
				from, ok := s.Bin(name)
				if !ok || w.Bin == name {
					continue
				}
				if _, until, apart := s.Apart(from, e.At); apart {
					doubt(fmt.Sprintf("worms_to[%d].bin", i), fmt.Sprintf("Bin %s holds bought worms and is kept apart until %s; its worms go to bin %s.", name, until.In(s.Zone()).Format("2 January"), w.Bin),
						"Put them back where they were, or say yes if the bin was looked over and is clean.")
				}
			}
		}
		ps = append(ps, againstLot(s, e)...)
	case *journal.Depth:
		deep(b.Bins, b.DepthM, "The depth of the bed")
	case *journal.Reading:
		if b.Bin != "" && b.DepthM != nil {
			deep([]string{b.Bin}, *b.DepthM, "The depth of the probe")
		}
	case *journal.Blend:
		for i, p := range b.Parts {
			taken(fmt.Sprintf("parts[%d].pile", i), p.Pile, p.VolumeM3, p.MassKgWet)
		}
		if bt, ok := s.Batch(b.Batch); ok && bt.Known && e.Strikes == "" {
			doubt("batch", fmt.Sprintf("Batch %s was mixed on %s already.", b.Batch, bt.At.In(s.Zone()).Format("2 January 2006")), "Give this one its own number, or say yes if it was made larger.")
		}
	case *journal.Move:
		if to, err := barn.ParseSlot(b.To); err == nil && to.InRow() && !late {
			if there := s.Places().At(to); there != "" && there != b.Bin {
				doubt("to", fmt.Sprintf("Bin %s stands in %s by the journal.", there, to), "Enter where that one went, or say yes.")
			}
		}
	case *journal.Build:
		if b.State != "" && b.State != "built" {
			break
		}
		for i, name := range b.Bins {
			if i >= len(b.Slots) {
				break
			}
			if at, err := barn.ParseSlot(b.Slots[i]); err == nil {
				if there := s.Places().At(at); there != "" && there != name {
					doubt("slots", fmt.Sprintf("Bin %s stands in %s by the journal.", there, at), "Enter where that one went, or say yes.")
					break
				}
			}
		}
	case *journal.Bag, *journal.Sell, *journal.Join, *journal.Screen, *journal.Release, *journal.Order, *journal.CancelOrder, *journal.WormsSold:
		ps = append(ps, againstLot(s, e)...)
	case *journal.Duty, *journal.DutyDone:
		ps = append(ps, againstDuty(s, e)...)
	case *journal.Microscope:
		ps = append(ps, againstSlide(b)...)
	case *journal.Setting:
		ps = append(ps, setting(b)...)
	}
	return ps
}
