package web

import (
	"context"
	"slices"

	"wormyard/internal/app"
	"wormyard/internal/people"
	"wormyard/journal"
)

// signedFarm writes who and which device into every entry, from the session and
// not from the form, and keeps what is the owner's to the owner.
type signedFarm struct{ Farm }

// Record implements Farm.
func (f signedFarm) Record(ctx context.Context, e journal.Entry, confirmed bool) (app.Ack, error) {
	if stop := f.sign(ctx, &e); stop != nil {
		return app.Ack{Entry: e, Problems: stop}, nil
	}
	return f.Farm.Record(ctx, e, confirmed)
}

// RecordAll implements Farm.
func (f signedFarm) RecordAll(ctx context.Context, entries []journal.Entry, confirmed bool) ([]app.Ack, error) {
	entries = slices.Clone(entries)
	acks := make([]app.Ack, len(entries))
	stopped := false
	for i := range entries {
		acks[i] = app.Ack{Entry: entries[i], Problems: f.sign(ctx, &entries[i])}
		stopped = stopped || acks[i].Problems != nil
	}
	if stopped {
		return acks, nil
	}
	return f.Farm.RecordAll(ctx, entries, confirmed)
}

// Strike implements Farm. The strike is an entry like any other.
func (f signedFarm) Strike(ctx context.Context, id, who, why string) (app.Ack, error) {
	e := journal.Entry{Kind: "strike", Who: who, Strikes: id, Body: &journal.Strike{Why: why}}
	v := visitorIn(ctx)
	if !v.Signed {
		if stop := f.sign(ctx, &e); stop != nil {
			return app.Ack{Problems: stop}, nil
		}
		return f.Farm.Strike(ctx, id, who, why)
	}
	if _, counts, found := f.State().Entry(id); !found || !counts { // told in words where that is done
		return f.Farm.Strike(ctx, id, v.Account.Name, why)
	}
	return f.Record(ctx, e, true)
}

// sign puts the session's person and device on an entry, or gives why it is not
// to be kept.
func (f signedFarm) sign(ctx context.Context, e *journal.Entry) []app.Problem {
	if say, ok := ctx.Value(againKey{}).(again); ok {
		return []app.Problem{say.problem}
	}
	v := visitorIn(ctx)
	if !v.Guarded {
		return nil
	}
	if !v.Signed { // no address leads here; if one ever does, nothing is written
		return []app.Problem{{Say: v.words.Say("door.signinfirst.say"), Try: v.words.Say("door.signinfirst.try")}}
	}
	e.Who, e.Device = v.Account.Name, onDevice(v.Device.Name, e.Device)
	if kept, _, found := f.State().Entry(e.ID); found && kept.Who == e.Who { // sent again after the device got another name
		e.Device = kept.Device
	}
	if f.owners(e) && !v.Role().May(people.Owner) {
		return []app.Problem{{Say: v.words.Say("door.ownersonly.say"), Try: v.words.Say("door.ownersonly.try")}}
	}
	return nil
}

// onDevice names the device of a session, and what the entry itself says of what it
// was written on: a phone with a clock that is wrong, a sheet of paper.
func onDevice(session, own string) string {
	switch own {
	case "", "page", session:
		return session
	}
	return session + ", " + own
}

// owners says whether an entry, or one that it strikes, is the owner's to write.
func (f signedFarm) owners(e *journal.Entry) bool {
	for range 16 { // a strike of a strike of a setting
		if slices.Contains(ownersKinds, e.Kind) {
			return true
		}
		if e.Strikes == "" {
			return false
		}
		struck, _, found := f.State().Entry(e.Strikes)
		if !found {
			return false
		}
		e = struck
	}
	return true
}

// signedStart keeps a form that came back after signing in from beginning a farm
// by itself.
type signedStart struct{ Starter }

// Begin implements Starter.
func (s signedStart) Begin(ctx context.Context, form app.FirstForm, who string, confirmed bool) (int, []app.Problem, error) {
	if say, ok := ctx.Value(againKey{}).(again); ok {
		return 0, []app.Problem{say.problem}, nil
	}
	return s.Starter.Begin(ctx, form, who, confirmed)
}
