package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wormyard/farm"
	"wormyard/feedstock"
	"wormyard/internal/app"
	"wormyard/internal/contract"
	"wormyard/internal/web/draw"
	"wormyard/journal"
	"wormyard/mix"
	"wormyard/qty"
)

// mixForm is what stands in the boxes of the bench.
type mixForm struct {
	Purpose string
	Parts   []mixPart
	Water   string
	Bucket  string
	Total   string
	Shrink  string
	Batch   string
	Wet     string
}

type mixPart struct{ Pile, Buckets string }

var volumeField = journal.Field{Key: "bucket", Dim: dimension(qty.Volume), Unit: "m3"}

func waterField(p person) journal.Field {
	return journal.Field{Key: "water", Label: p.Say("mix.water"), Dim: dimension(qty.Mass), Unit: "kg", Water: true}
}

func dimension(d qty.Dimension) *qty.Dimension { return &d }

// bucketM3 gives the volume of the loader's bucket.
func (s *Server) bucketM3(p person, f mixForm) float64 {
	field := volumeField
	field.Label = p.Say("mix.bucket")
	if v, ps := s.number(p, field, f.Bucket); ps == nil && v > 0 {
		return v
	}
	return pickNumber(p.Units, 0.5*qty.M3PerCubicYard, 0.5)
}

// mixSeed is the seed that a request has which leaves it out, as that of the
// command does; so are the draws.
const mixSeed = 1

// mixInput turns the boxes into contract 1.
func (s *Server) mixInput(p person, f mixForm, find bool) (app.MixRequest, []app.Problem) {
	var problems []app.Problem
	in := app.MixRequest{Purpose: f.Purpose, Seed: mixSeed}
	field := volumeField
	field.Label = p.Say("mix.bucket")
	bucket := s.bucketM3(p, f)
	if f.Bucket != "" {
		if v, ps := s.number(p, field, f.Bucket); ps != nil {
			problems = append(problems, ps...)
		} else if v <= 0 {
			problems = append(problems, app.Problem{Field: "bucket", Say: p.Say("mix.badbucket", f.Bucket), Try: p.Say("mix.badbuckettry")})
		}
	}
	state := s.Farm.State()
	var free []string
	for i, x := range f.Parts {
		if x.Pile == "" {
			if x.Buckets != "" {
				problems = append(problems, app.Problem{Field: partField(i, "pile"), Say: p.Say("mix.nopile", i+1), Try: p.Say("mix.nopiletry")})
			}
			continue
		}
		pile, ok := state.Pile(x.Pile)
		if !ok {
			problems = append(problems, app.Problem{Field: partField(i, "pile"), Say: p.Say("fault.nopile", x.Pile), Try: p.Say("mix.nopiletry")})
			continue
		}
		n := 0.0
		if x.Buckets != "" {
			v, good := buckets(x.Buckets)
			switch {
			case !good:
				problems = append(problems, app.Problem{Field: partField(i, "buckets"), Say: p.Say("form.nonumber", p.Say("mix.bucketsof", x.Pile), x.Buckets), Try: p.Say("form.nonumbertry", "2½")})
				continue
			case v < 0:
				problems = append(problems, app.Problem{Field: partField(i, "buckets"), Say: p.Say("mix.negative", x.Pile, x.Buckets), Try: p.Say("mix.negativetry")})
				continue
			case v > 10000:
				problems = append(problems, app.Problem{Field: partField(i, "buckets"), Say: p.Say("mix.many", x.Pile, x.Buckets), Try: p.Say("mix.manytry")})
				continue
			}
			n = v
		}
		if n == 0 && !find {
			continue
		}
		part := pilePart(p, pile)
		volume := n * bucket
		part.VolumeM3 = &volume
		free = append(free, x.Pile)
		in.Parts = append(in.Parts, part)
	}
	if len(in.Parts) == 0 && len(problems) == 0 {
		problems = append(problems, app.Problem{Field: partField(0, "buckets"), Say: p.Say("mix.nothing"), Try: p.Say("mix.nothingtry")})
	}
	if f.Water != "" {
		if v, ps := s.number(p, waterField(p), f.Water); ps != nil {
			problems = append(problems, ps...)
		} else if v < 0 {
			problems = append(problems, app.Problem{Field: "water", Say: p.Say("mix.lesswater", f.Water), Try: p.Say("mix.lesswatertry")})
		} else {
			in.WaterKg = v
		}
	}
	if f.Shrink != "" {
		shrink := journal.Field{Key: "shrink", Label: p.Say("mix.shrink"), Dim: dimension(qty.Percent), Unit: "fraction"}
		v, ps := s.number(p, shrink, f.Shrink)
		switch {
		case ps != nil:
			problems = append(problems, ps...)
		case v < 0 || v > 0.95:
			problems = append(problems, app.Problem{Field: "shrink", Say: p.Say("mix.badshrink", f.Shrink), Try: p.Say("mix.badshrinktry")})
		default:
			in.Shrink = exactly(v)
		}
	}
	if find {
		total := 4 * bucket
		if f.Total != "" {
			field.Key, field.Label = "total", p.Say("mix.total")
			v, ps := s.number(p, field, f.Total)
			if ps != nil {
				problems = append(problems, ps...)
			} else if v <= 0 {
				problems = append(problems, app.Problem{Field: "total", Say: p.Say("mix.badtotal", f.Total), Try: p.Say("mix.badbuckettry")})
			} else {
				total = v
			}
		} else if v := given(f, bucket); v > 0 {
			total = v
		}
		in.Solve = &app.MixSolve{Free: append(free, "water"), Total: plainNumber(total) + " m3", BucketM3: &bucket}
	}
	return in, problems
}

func exactly(v float64) *contract.Number {
	n := contract.Number(qty.Exactly(v))
	return &n
}

func partField(i int, what string) string { return what + "-" + strconv.Itoa(i) }

// buckets reads a number of buckets, with fractions as people write them.
func buckets(text string) (float64, bool) {
	if v, ok := qty.Number(text); ok {
		return v, true
	}
	v, err := qty.Parse(text+" kg", qty.Mass)
	return v, err == nil
}

func given(f mixForm, bucket float64) float64 {
	sum := 0.0
	for _, x := range f.Parts {
		if v, ok := buckets(x.Buckets); ok && v > 0 {
			sum += v * bucket
		}
	}
	return sum
}

// pilePart gives a pile as a part: its material, what lies there, and its own
// tests in place of the library's values.
func pilePart(p person, x *farm.Pile) app.MixPart {
	left := x.Left()
	part := app.MixPart{Name: x.Name, Material: x.Material, Declared: x.Declared}
	if v := float64(left.Volume); v > 0 {
		part.Available = &v
	}
	if x.PaidFor > 0 {
		c := float64(x.Paid) / float64(x.PaidFor)
		part.CostPerM3 = &c
	}
	age := max(0, p.Now.Sub(x.Newest.At).Hours()/24)
	part.AgeDays = &age
	for _, t := range x.Tests { // the newest stands
		switch t.Analyte {
		case feedstock.KeyWater:
			part.Water = exactly(t.Value)
		case feedstock.KeyNitrogen:
			part.Nitrogen = exactly(t.Value)
		case feedstock.KeyCarbon:
			part.Carbon = exactly(t.Value)
		case feedstock.KeyCN:
			part.CN = exactly(t.Value)
		case feedstock.KeyAsh:
			part.Ash = exactly(t.Value)
		case feedstock.KeyDensity:
			part.Density = exactly(t.Value)
		case feedstock.KeySalts:
			part.Salts = exactly(t.Value)
		case feedstock.KeyPH:
			part.PH = exactly(t.Value)
		case feedstock.KeyAmmonia:
			part.Ammonia = exactly(t.Value)
		case feedstock.KeyLignin:
			part.Lignin = exactly(t.Value)
		}
	}
	return part
}

// mixField gives the box of a field of the request: "parts[1].volume_m3" is the
// buckets of the second part.
func mixField(path string) string {
	var i int
	if n, err := fmt.Sscanf(path, "parts[%d]", &i); n == 1 && err == nil {
		return partField(i, "buckets")
	}
	switch {
	case strings.HasPrefix(path, "shrink"):
		return "shrink"
	case strings.HasPrefix(path, "water"):
		return "water"
	case strings.HasPrefix(path, "solve.total"):
		return "total"
	}
	return path
}

// foundForm puts the parts that were found into the boxes.
func (s *Server) foundForm(p person, f mixForm, out *app.MixAnswer) mixForm {
	bucket := s.bucketM3(p, f)
	f.Parts = slices.Clone(f.Parts)
	for _, x := range out.Parts {
		if x.Volume == nil {
			continue
		}
		for i := range f.Parts {
			if f.Parts[i].Pile == x.Name {
				f.Parts[i].Buckets = plainNumber(roundTo(*x.Volume/bucket, 0.05))
			}
		}
	}
	f.Water = ""
	if out.WaterToAdd != nil && *out.WaterToAdd > 0 {
		f.Water = plainNumber(roundTo(*out.WaterToAdd/pickNumber(p.Units, 1000*qty.M3PerUSGallon, 1), 1))
	}
	return f
}

// mixPage lays out the bench as typed.
func (s *Server) mixPage(r *http.Request, p person, f mixForm) MixPage {
	page := MixPage{Frame: s.frame(r, p, p.Say("mix.title"), "mix"), ID: s.NewID(p.Now)}
	var purposes []Option
	for _, x := range mix.Purposes() {
		purposes = append(purposes, Option{Value: string(x), Label: string(x)})
	}
	page.Purpose = chipsField("purpose", p.Say("mix.purpose"), f.Purpose, purposes)
	state := s.Farm.State()
	if len(state.Lying()) == 0 {
		page.Empty, page.Ways = p.Say("mix.noyard"), []Link{{To: "/yard/receive", Name: p.Say("yard.receive")}}
	}
	bucket := s.bucketM3(p, f)
	rows := f.Parts
	if !slices.ContainsFunc(rows, func(x mixPart) bool { return x.Pile == "" }) {
		rows = append(slices.Clone(rows), mixPart{}) // one more to choose, without a press
	}
	for i, x := range rows {
		pile, known := state.Pile(x.Pile)
		label := p.Say("mix.buckets")
		if known {
			label = p.Say("mix.bucketsof", x.Pile)
		}
		amount := numberField("buckets", label, "", x.Buckets)
		amount.ID = "f-" + partField(i, "buckets")
		amount.Step, amount.Less, amount.Greater = "0.5", p.Say("step.less", label), p.Say("step.more", label)
		part := PartShown{}
		if known {
			amount.Last = "mix." + x.Pile
			part.Title = p.Say("mix.pileoption", pile.Name, p.material(pile.Material))
			part.Fields = []Field{{Name: "pile", Value: x.Pile, Hidden: true}, amount}
		} else {
			choice := selectField("pile", p.Say("mix.another"), x.Pile, pileOptions(p, state, x.Pile))
			choice.ID = "f-" + partField(i, "pile")
			part.Fields = []Field{choice, amount}
		}
		if n, ok := buckets(x.Buckets); ok && n > 0 && x.Pile != "" {
			group := ""
			if known && len(pile.Holds) > 0 {
				group = pile.Holds[0].Material.Group
			}
			part.Buckets, part.DrawWidth = draw.Buckets(n, texture(group), 9)
			part.DrawLabel = p.Say("mix.drawn", x.Buckets, x.Pile)
			part.Note = p.Say("mix.volume", printable(p.Units.Volume(qty.CubicMetre(n*bucket))))
		}
		page.Parts = append(page.Parts, part)
	}
	water := numberField("water", p.Say("mix.water"), pick(p.Units, "gal", "L"), f.Water)
	water.Step, water.Less, water.Greater = pick(p.Units, "10", "40"), p.Say("step.less", water.Label), p.Say("step.more", water.Label)
	page.Water = []Field{water}
	bucketField := textField("bucket", p.Say("mix.bucket"), f.Bucket)
	bucketField.Short, bucketField.Help = true, p.Say("mix.buckethelp")
	total := textField("total", p.Say("mix.total"), f.Total)
	total.Short, total.Help = true, p.Say("mix.totalhelp")
	shrink := numberField("shrink", p.Say("mix.shrink"), "%", f.Shrink)
	shrink.Help = p.Say("mix.shrinkhelp")
	page.Settings = []Field{bucketField, total, shrink}
	page.SetOpen = f.Total != ""
	batch := textField("batch", p.Say("mix.batch"), f.Batch)
	if f.Batch == "" {
		batch.Value = nextBatch(state)
	}
	batch.Help = p.Say("mix.batchwait")
	wet := numberField("wet", p.Say("mix.measured"), "%", f.Wet)
	wet.Help = p.Say("mix.measuredhelp")
	page.Save = []Field{batch, wet}
	return page
}

// pileOptions offers the piles that lie in the yard, and one that is named
// already.
func pileOptions(p person, state *farm.State, named string) []Option {
	options := []Option{{Value: "", Label: p.Say("mix.choose")}}
	for _, pile := range state.Lying() {
		options = append(options, Option{Value: pile.Name, Label: p.Say("mix.pileoption", pile.Name, p.material(pile.Material))})
	}
	if named != "" && !slices.ContainsFunc(options, func(o Option) bool { return o.Value == named }) {
		options = append(options, Option{Value: named, Label: named})
	}
	return options
}

// nextBatch proposes the number after the greatest one used.
func nextBatch(state *farm.State) string {
	most := 0
	for _, b := range state.Batches() {
		if n, err := strconv.Atoi(b.Name); err == nil {
			most = max(most, n)
		}
	}
	return strconv.Itoa(most + 1)
}
