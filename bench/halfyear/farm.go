// Command halfyear lets one farm live half a year under four ways of working: by
// our round, and by three plain customs. The farm is the poor one of package
// fraternal, whose nature is not that of our twins; one feeding in five is not
// written down.
//
//	go run ./bench/halfyear -seeds 1-3 -bins 21
//
// Seeds of 100 and more are left alone by whoever tunes.
package main

import (
	"context"
	"io"
	"math"
	"time"

	"wormyard/bench/fraternal"
	"wormyard/round"
)

// before is how long the farm lives by its own custom first, so that every way of
// working begins with the same beds and the twins with some weeks of journal.
const before = 42

// Came is what half a year came to.
type Came struct {
	Policy     string
	Seed       uint64
	CastingsKg float64 // made, dry
	Worms      float64 // live mass at the end against that at the start
	HeatDead   float64 // worms that died of heat, of those at the start
	HeatDays   int     // bin-days over 35 C somewhere with little room below 30 C
	WastedKg   float64 // feed screened out or taken off unworked, and what more lies unworked at the end than at the start, dry
	FedKg      float64 // dry
	Minutes    float64 // of work, with that put off
	Seconds    float64 // that the rounds took
	Left       map[string]int
	ByAct      map[round.Act]float64 // minutes of what the round asked for
}

// price is what work and feed cost, in castings at the price of the yard.
type price struct{ minute, feed float64 } // [kg dry/min], [kg dry/kg dry]

// prices are the value and the range of minute_kg_dry (internal/source/data), and
// feed that costs nothing, a seventh and three tenths of castings by dry weight:
// common practice, no source. The first is the middle.
var prices = []price{{0.3, 0.15}, {0.15, 0}, {0.15, 0.15}, {0.15, 0.3}, {0.3, 0}, {0.3, 0.3}, {0.8, 0}, {0.8, 0.15}, {0.8, 0.3}}

// worth is what a way of working came to, in castings [kg dry]: those made, less
// work and feed at a price. Worms are told beside it, as few sell them.
func (c *Came) worth(at price) float64 {
	return c.CastingsKg - at.minute*c.Minutes - at.feed*c.FedKg
}

// live lets a farm live half a year under a way of working.
func live(ctx context.Context, seed uint64, bins, days int, name string, diary io.Writer) (Came, error) {
	f, err := fraternal.New(seed, fraternal.Plan{Bins: bins, Kind: fraternal.Poor, Days: before + days})
	if err != nil {
		return Came{}, err
	}
	for f.Day < before {
		f.Step()
	}
	at := sum(f)
	f.Tally = fraternal.Tally{}
	out := Came{Policy: name, Seed: seed}
	switch name {
	case "round":
		r, err := newRound(ctx, f)
		if err != nil {
			return out, err
		}
		f.Crew, r.diary = r, diary
		for f.Day < f.Days {
			f.Step()
			if r.err != nil {
				return out, r.err
			}
		}
		out.Seconds, out.Left, out.ByAct = r.seconds, r.undone, r.minutes
	default:
		f.Crew = plain(name)
		f.Run()
	}
	end := sum(f)
	out.CastingsKg, out.Worms = end.MadeKg-at.MadeKg, end.WormKg/at.WormKg
	out.HeatDays, out.FedKg, out.Minutes = f.Tally.HeatDays, f.Tally.FedKg, f.Tally.Minutes
	// What stands in the bins is still to be emptied: a bed that is deeper at the end
	// than at the start has put work off.
	const emptying, full = 45, 0.45 // [min], [m]
	out.Minutes += emptying / full * (end.DepthM - at.DepthM)
	out.HeatDead = f.Tally.HeatDeadKg / at.WormKg
	out.WastedKg = f.Tally.WastedKg + math.Max(0, end.FeedKg-at.FeedKg)
	return out, nil
}

func sum(f *fraternal.Farm) (all fraternal.Truth) {
	for _, b := range f.Bins() {
		t := f.Truth(b)
		all.MadeKg += t.MadeKg
		all.WormKg += t.WormKg
		all.FeedKg += t.FeedKg
		all.DepthM += t.DepthM
	}
	return all
}

// feeds says whether a day is one of feeding.
func feeds(f *fraternal.Farm) bool {
	day := f.Morning().Weekday()
	return day == time.Tuesday || day == time.Friday
}

const (
	inch   = 0.0254
	gallon = 3.785 // [kg]
)
