package web

import (
	"context"
	"net/http"
	"slices"
	"strings"

	"wormyard/internal/app"
	"wormyard/internal/web/draw"
	"wormyard/journal"
	"wormyard/mix"
	"wormyard/qty"
)

// Mixer computes a mix. A *figure.Refusal says what cannot be.
type Mixer interface {
	Answer(ctx context.Context, in app.MixRequest, units qty.System) (*app.MixAnswer, error)
	// Mends gives what could be changed for windows that are not surely met.
	Mends(ctx context.Context, in app.MixRequest, may app.MixMending) ([]app.MixMend, error)
	// Squeeze says what a handful of a moisture does in the hand.
	Squeeze(w qty.WaterOfWet) string
}

// MixPage is the bench: parts by the bucket, and what they make.
type MixPage struct {
	Frame
	ID               string
	Problems, Doubts []Complaint
	Yes              string
	Purpose          Field
	Parts            []PartShown
	Water            []Field
	Settings         []Field
	SetOpen          bool
	Blocked          []string
	Found, Hint      string
	Empty            string
	Hazards, Warns   []HazardShown
	ResultTitle      string
	Worst, Chance    string
	Windows          []WindowShown
	Banded           bool   // a window shows a range
	Squeeze          string // how a hand finds out
	Facts            []Fact
	NextTest         string
	Missing          []string
	Save             []Field
	Working          []StepShown
}

// PartShown is one part with its buckets drawn.
type PartShown struct {
	Title                string
	Fields               []Field
	Buckets              []draw.Bucket
	DrawWidth, DrawLabel string
	Note                 string
}

// mostRows is how many piles the page lays out; others are chosen.
const mostRows = 8

// mixShow opens the bench: empty, or with the parts of an earlier batch.
func (s *Server) mixShow(w http.ResponseWriter, r *http.Request, p person) error {
	f := mixForm{Purpose: string(mix.Feed), Bucket: pick(p.Units, "0.5 yd3", "0.5 m3")}
	state := s.Farm.State()
	if b, ok := state.Batch(r.URL.Query().Get("from")); ok {
		for _, known := range mix.Purposes() { // a farm's own word may say more: "feed, solids only"
			if strings.HasPrefix(b.Purpose, string(known)) {
				f.Purpose = string(known)
			}
		}
		for _, x := range b.Parts {
			f.Parts = append(f.Parts, mixPart{x.Pile, plainNumber(roundTo(float64(x.Matter.Volume)/s.bucketM3(p, f), 0.25))})
		}
		f.Shrink = plainNumber(100 * float64(b.Shrink))
	}
	for _, x := range state.Lying() {
		if len(f.Parts) < mostRows && !slices.ContainsFunc(f.Parts, func(part mixPart) bool { return part.Pile == x.Name }) {
			f.Parts = append(f.Parts, mixPart{Pile: x.Name})
		}
	}
	page := s.mixPage(r, p, f)
	if in, problems := s.mixInput(p, f, false); len(problems) == 0 {
		out, problems, err := s.compute(r.Context(), p, in)
		if err != nil {
			return err
		}
		if len(problems) == 0 {
			if err := s.fillMix(r.Context(), p, f, in, out, &page); err != nil {
				return err
			}
		}
	} else {
		page.Hint = p.Say("mix.hint")
	}
	return s.draw(w, "mix", http.StatusOK, page)
}

// mixSave computes, solves, or writes a batch down; without scripts all three
// are one form.
func (s *Server) mixSave(w http.ResponseWriter, r *http.Request, p person) error {
	f := mixTyped(r.PostForm)
	do := r.PostForm.Get("do")
	if r.PostForm.Has("yes") {
		do = "save"
	}
	if do == "row" {
		f.Parts = append(f.Parts, mixPart{}, mixPart{})
	}
	if strings.HasPrefix(do, mendWord) {
		f = s.mended(p, f, do)
	}
	in, problems := s.mixInput(p, f, do == "find")
	page := s.mixPage(r, p, f)
	page.ID = r.PostForm.Get("id")
	if page.ID == "" {
		page.ID = s.NewID(p.Now)
	}
	if do == "row" {
		return s.draw(w, "mix", http.StatusOK, page)
	}
	status := http.StatusOK
	if len(problems) == 0 {
		out, ps, err := s.compute(r.Context(), p, in)
		if err != nil {
			return err
		}
		problems = append(problems, ps...)
		if len(ps) == 0 {
			if do == "find" && len(out.Blocked) == 0 {
				f = s.foundForm(p, f, out)
				id := page.ID
				page = s.mixPage(r, p, f)
				page.ID, page.Found = id, p.Say("mix.found")
				in, _ = s.mixInput(p, f, false)
			}
			if err := s.fillMix(r.Context(), p, f, in, out, &page); err != nil {
				return err
			}
		}
	}
	if do == "save" && len(problems) == 0 {
		saved, ps, err := s.saveBatch(r, p, f, page.ID)
		if err != nil {
			return err
		}
		if saved != "" {
			seeOther(w, r, withSaid(batchTo(f.Batch), saved))
			return nil
		}
		var doubtful []app.Problem
		problems, doubtful = split(ps)
		if len(problems) == 0 {
			page.Doubts, page.Yes = mark(doubtful, page.Save, page.Settings), digest(doubtful)
			status = http.StatusUnprocessableEntity
		}
	}
	if len(problems) > 0 {
		status = http.StatusUnprocessableEntity
		groups := [][]Field{page.Save, page.Settings, page.Water}
		for i := range page.Parts {
			groups = append(groups, page.Parts[i].Fields)
		}
		page.Problems = mark(problems, groups...)
		page.SetOpen = page.SetOpen || slices.ContainsFunc(page.Settings, func(f Field) bool { return f.Bad != "" })
	}
	return s.draw(w, "mix", status, page)
}

// saveBatch writes the batch down.
func (s *Server) saveBatch(r *http.Request, p person, f mixForm, id string) (string, []app.Problem, error) {
	var problems []app.Problem
	b := &journal.Blend{Batch: strings.TrimSpace(f.Batch), Purpose: f.Purpose}
	if b.Batch == "" {
		problems = append(problems, app.Problem{Field: "batch", Say: p.Say("mix.nobatch"), Try: p.Say("mix.nobatchtry")})
	}
	bucket := s.bucketM3(p, f)
	for _, x := range f.Parts {
		if v, ok := buckets(x.Buckets); ok && v > 0 && x.Pile != "" {
			volume := qty.CubicMetre(v * bucket)
			b.Parts = append(b.Parts, journal.BlendPart{Pile: x.Pile, VolumeM3: &volume})
		}
	}
	in, _ := s.mixInput(p, f, false)
	if in.WaterKg > 0 {
		kg := qty.WaterKg(in.WaterKg)
		b.WaterKg = &kg
	}
	if in.Shrink != nil {
		v := qty.Fraction(in.Shrink.Estimate().Best)
		b.ShrinkFrac = &v
	}
	if f.Wet != "" {
		v, ps := s.number(p, journal.Field{Key: "wet", Label: p.Say("mix.measured"), Dim: dimension(qty.Percent), Unit: "fraction"}, f.Wet)
		problems = append(problems, ps...)
		m := qty.WaterOfWet(v)
		b.WaterFracWet = &m
	}
	if len(problems) > 0 {
		return "", problems, nil
	}
	device := p.Device
	if device == "" {
		device = "page"
	}
	ack, err := s.write(r, journal.Entry{ID: id, Kind: "blend", At: p.Now.UTC(), Who: p.Who, Device: device, Body: b})
	if err != nil || !ack.Saved {
		return "", ack.Problems, err
	}
	return ack.Entry.ID, nil, nil
}
