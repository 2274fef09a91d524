package web

import (
	"context"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"wormyard/internal/app"
	"wormyard/qty"
)

// MendShown is what would mend a window, in a sentence, and the value of the
// button that does it; where nothing does, the sentence alone.
type MendShown struct{ Say, Do string }

// mends asks what would mend a mix, and gives the sentence of each window that
// could be better.
func (s *Server) mends(ctx context.Context, p person, f mixForm, in app.MixRequest, out *app.MixAnswer) (map[string]MendShown, error) {
	may := app.MixMending{Bucket: qty.CubicMetre(s.bucketM3(p, f)), Water: qty.WaterKg(pickNumber(p.Units, 10*1000*qty.M3PerUSGallon, 40))}
	for _, x := range s.Farm.State().Lying() {
		if !slices.ContainsFunc(in.Parts, func(part app.MixPart) bool { return part.Name == x.Name }) {
			may.Others = append(may.Others, pilePart(p, x))
		}
	}
	in.Solve = nil
	list, err := s.Mix.Mends(ctx, in, may)
	if err != nil {
		return nil, err
	}
	say := map[string]MendShown{}
	for _, w := range out.Windows {
		if c := out.Chance[w.Window]; c != nil && *c < 0.8 {
			say[w.Window] = MendShown{Say: p.Say("mend.none")}
		}
	}
	for _, x := range list {
		say[x.Window] = MendShown{mendSay(p, x), mendDo(x)}
	}
	return say, nil
}

func mendSay(p person, x app.MixMend) string {
	value, chance := outputSay(p, x.Window, x.Value), p.Words.Chance(*x.Chance)
	if x.Part == "" {
		key := "mend.wetter"
		if x.WaterKg < 0 {
			key = "mend.drier"
		}
		return p.Say(key, printable(p.Units.Water(qty.WaterKg(math.Abs(x.WaterKg)))), value, chance)
	}
	key := "mend.more."
	if x.Buckets < 0 {
		key = "mend.less."
	}
	if math.Abs(x.Buckets) < 1 {
		return p.Say(key+"half", x.Part, value, chance)
	}
	return p.Say(key+"one", x.Part, value, chance)
}

// mendDo is what the button of a change sends: "mend 0.5 chips" in buckets, or
// with no pile the kilograms of water, "mend -38".
func mendDo(x app.MixMend) string {
	if x.Part == "" {
		return mendWord + plainNumber(roundTo(x.WaterKg, 0.001))
	}
	return mendWord + plainNumber(x.Buckets) + " " + x.Part
}

const mendWord = "mend "

// mended gives the form with the change whose button was pressed.
func (s *Server) mended(p person, f mixForm, do string) mixForm {
	by, pile, _ := strings.Cut(strings.TrimPrefix(do, mendWord), " ")
	n, err := strconv.ParseFloat(by, 64)
	if err != nil || math.IsNaN(n) || math.Abs(n) > 1e6 {
		return f
	}
	if pile == "" {
		was := 0.0
		if f.Water != "" {
			var problems []app.Problem
			if was, problems = s.number(p, waterField(p), f.Water); problems != nil {
				return f // told where the form is read
			}
		}
		f.Water = plainNumber(roundTo(max(0, was+n)/pickNumber(p.Units, 1000*qty.M3PerUSGallon, 1), 0.1))
		return f
	}
	f.Parts = slices.Clone(f.Parts)
	i := slices.IndexFunc(f.Parts, func(x mixPart) bool { return x.Pile == pile })
	if i < 0 {
		if i = slices.IndexFunc(f.Parts, func(x mixPart) bool { return x == mixPart{} }); i < 0 {
			i, f.Parts = len(f.Parts), append(f.Parts, mixPart{})
		}
		f.Parts[i].Pile = pile
	}
	was := 0.0
	if f.Parts[i].Buckets != "" {
		var ok bool
		if was, ok = buckets(f.Parts[i].Buckets); !ok {
			return f
		}
	}
	f.Parts[i].Buckets = plainNumber(roundTo(max(0, was+n), 0.001))
	return f
}

// standing says where a number of the mix stands by its window.
func standing(p person, w app.MixHeld) string {
	where := "in"
	switch {
	case w.Met != nil && *w.Met:
	case w.Min != nil && *w.Value < *w.Min:
		where = "below"
	case w.Max != nil && *w.Value > *w.Max:
		where = "above"
	}
	if key := "mixat." + w.Window + "." + where; p.Words.Has(key) {
		return p.Say(key, outputSay(p, w.Window, *w.Value))
	}
	return p.Say("mixat.other", windowName(p, w.Window), outputSay(p, w.Window, *w.Value))
}

// mixTyped gives what stands in the boxes of a form that was sent.
func mixTyped(form url.Values) mixForm {
	box := func(name string) string { return strings.TrimSpace(form.Get(name)) }
	f := mixForm{Purpose: form.Get("purpose"), Water: box("water"), Bucket: box("bucket"), Total: box("total"), Shrink: box("shrink"), Batch: box("batch"), Wet: box("wet")}
	piles, buckets := form["pile"], form["buckets"]
	for i := range piles {
		x := mixPart{Pile: piles[i]}
		if i < len(buckets) {
			x.Buckets = strings.TrimSpace(buckets[i])
		}
		f.Parts = append(f.Parts, x)
	}
	return f
}

// outboxBlend writes down a batch that a device mixed, read as the page reads it.
func (s *Server) outboxBlend(r *http.Request, p person, e outboxEntry, out *outboxResult) error {
	f := mixTyped(r.PostForm)
	_, problems := s.mixInput(p, f, false)
	if len(problems) == 0 {
		saved, found, err := s.saveBatch(r, p, f, e.ID)
		if err != nil {
			return err
		}
		if saved != "" {
			out.State = "saved"
			return nil
		}
		problems = found
	}
	refused, doubtful := split(problems)
	out.told(refused, doubtful)
	for i, x := range append(refused, doubtful...) {
		out.Problems[i].Field = "f-" + mixField(x.Field)
	}
	return nil
}
