package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wormyard/farm"
	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/contract"
	"wormyard/internal/web/draw"
	"wormyard/journal"
	"wormyard/mix"
	"wormyard/qty"
)

// Mixer computes a mix. A *figure.Refusal says what cannot be.
type Mixer interface {
	Answer(ctx context.Context, in app.MixRequest, units qty.System) (*app.MixAnswer, error)
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
	Chance           string
	Windows          []WindowShown
	Facts            []Fact
	NextTest         string
	Missing          []string
	CanSave          bool
	Save             []Field
	Working          []StepShown
}

// PartShown is one part with its buckets drawn.
type PartShown struct {
	Fields               []Field
	Buckets              []draw.Bucket
	DrawWidth, DrawLabel string
	Note                 string
}

// WindowShown is one property of the mix beside what is wanted of it.
type WindowShown struct {
	Name, Value, Range, Wanted, Chance, Working, Alt string
	Band, Window, At                                 string
}

// StepShown is one line of a working.
type StepShown struct {
	Anchor, Title, Formula, How, Source, To string
	Rows                                    []Fact
}

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

// drawsAPage is how many draws stand behind the chances on the page; the command
// takes more.
const drawsAPage = 2000

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
		if len(f.Parts) < 3 {
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
			s.fillMix(p, f, out, &page)
		}
	} else {
		page.Hint = p.Say("mix.hint")
	}
	return s.draw(w, "mix", http.StatusOK, page)
}

// mixSave computes, solves, or writes a batch down; without scripts all three
// are one form.
func (s *Server) mixSave(w http.ResponseWriter, r *http.Request, p person) error {
	f := mixForm{Purpose: r.PostForm.Get("purpose"), Water: typed(r, "water"), Bucket: typed(r, "bucket"), Total: typed(r, "total"), Shrink: typed(r, "shrink"), Batch: typed(r, "batch"), Wet: typed(r, "wet")}
	piles, buckets := r.PostForm["pile"], r.PostForm["buckets"]
	for i := range piles {
		x := mixPart{Pile: piles[i]}
		if i < len(buckets) {
			x.Buckets = strings.TrimSpace(buckets[i])
		}
		f.Parts = append(f.Parts, x)
	}
	do := r.PostForm.Get("do")
	if r.PostForm.Has("yes") {
		do = "save"
	}
	if do == "row" {
		f.Parts = append(f.Parts, mixPart{})
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
				page = s.mixPage(r, p, f)
				page.Found = p.Say("mix.found")
			}
			s.fillMix(p, f, out, &page)
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

var volumeField = journal.Field{Key: "bucket", Dim: dimension(qty.Volume), Unit: "m3"}

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

// mixInput turns the boxes into contract 1.
func (s *Server) mixInput(p person, f mixForm, find bool) (app.MixRequest, []app.Problem) {
	var problems []app.Problem
	in := app.MixRequest{Purpose: f.Purpose, Draws: drawsAPage}
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
		water := journal.Field{Key: "water", Label: p.Say("mix.water"), Dim: dimension(qty.Mass), Unit: "kg", Water: true}
		if v, ps := s.number(p, water, f.Water); ps != nil {
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

// compute asks for a mix. What is refused comes back as problems.
func (s *Server) compute(ctx context.Context, p person, in app.MixRequest) (*app.MixAnswer, []app.Problem, error) {
	if s.Mix == nil {
		return nil, nil, errors.New("no mixer is set")
	}
	out, err := s.Mix.Answer(ctx, in, p.Units)
	var no *figure.Refusal
	if errors.As(err, &no) {
		var problems []app.Problem
		for _, x := range no.Problems {
			problems = append(problems, app.Problem{Field: mixField(x.Field), Say: x.Say, Try: x.Try})
		}
		return nil, problems, nil
	}
	return out, nil, err
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
	for i, x := range f.Parts {
		options := []Option{{Value: "", Label: p.Say("mix.choose")}}
		for _, pile := range state.Lying() {
			options = append(options, Option{Value: pile.Name, Label: p.Say("mix.pileoption", pile.Name, pile.Material)})
		}
		if x.Pile != "" && !slices.ContainsFunc(options, func(o Option) bool { return o.Value == x.Pile }) {
			options = append(options, Option{Value: x.Pile, Label: x.Pile})
		}
		choice := selectField("pile", p.Say("mix.pile", i+1), x.Pile, options)
		choice.ID = "f-" + partField(i, "pile")
		amount := numberField("buckets", p.Say("mix.buckets"), "", x.Buckets)
		amount.ID = "f-" + partField(i, "buckets")
		part := PartShown{Fields: []Field{choice, amount}}
		if n, ok := buckets(x.Buckets); ok && n > 0 && x.Pile != "" {
			group := ""
			if pile, ok := state.Pile(x.Pile); ok && len(pile.Holds) > 0 {
				group = pile.Holds[0].Material.Group
			}
			part.Buckets, part.DrawWidth = draw.Buckets(n, texture(group), 9)
			part.DrawLabel = p.Say("mix.drawn", x.Buckets, x.Pile)
			part.Note = p.Say("mix.volume", printable(p.Units.Volume(qty.CubicMetre(n*bucket))))
		}
		page.Parts = append(page.Parts, part)
	}
	page.Water = []Field{numberField("water", p.Say("mix.water"), pick(p.Units, "gal", "L"), f.Water)}
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
	wet := numberField("wet", p.Say("mix.measured"), "%", f.Wet)
	wet.Help = p.Say("mix.measuredhelp")
	page.Save = []Field{batch, wet}
	return page
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

// fillMix shows what the parts make.
func (s *Server) fillMix(p person, f mixForm, out *app.MixAnswer, page *MixPage) {
	for _, b := range out.Blocked {
		say := p.Say("mix.blockedsay", windowName(p, b.Window), b.Needs)
		if b.Best != nil {
			say = p.Say("mix.blockedbest", windowName(p, b.Window), outputSay(p, b.Window, *b.Best), b.Needs)
		}
		page.Blocked = append(page.Blocked, say)
	}
	for _, h := range out.Hazards {
		x := HazardShown{Head: p.Say("hazard."+h.Level, h.What), Say: strings.TrimSpace(p.Say("hazard.in", h.Material) + " " + sentence(h.Why) + " " + p.Say("hazard.clears", h.Clears))}
		if h.Level == string(feedstock.LevelWarn) {
			page.Warns = append(page.Warns, x)
			continue
		}
		page.Hazards = append(page.Hazards, x)
	}
	page.ResultTitle = p.Say("mix.result", f.Purpose)
	if out.ChanceAll != nil {
		page.Chance = p.Say("mix.all", p.Words.Chance(*out.ChanceAll))
	}
	for _, win := range out.Windows {
		key := win.Window
		if win.Value == nil {
			continue
		}
		v := *win.Value
		x := WindowShown{Name: windowName(p, key), Value: outputSay(p, key, v), Wanted: wantedSay(p, key, win.Min, win.Max), Working: "#step-" + key}
		low, high := v, v
		if q, ok := out.Range[key]; ok {
			low, high = q.P05, q.P95
			if outputNumber(p, key, low) != outputNumber(p, key, high) {
				x.Range = p.Say("mix.range", outputNumber(p, key, low), outputNumber(p, key, high))
			}
		}
		if c := out.Chance[key]; c != nil {
			x.Chance = p.Say("mix.chance", p.Words.Chance(*c))
		}
		x.Band, x.Window, x.At = ruler(win.Min, win.Max, v, low, high)
		x.Alt = p.Say("mix.alt", x.Name, x.Value, x.Wanted)
		x.Working = "#working"
		if name := figureOf[key]; name != "" {
			x.Working = "/working/figure/" + name
			if i := slices.IndexFunc(out.Working, func(st figure.Step) bool { return st.Figure == name }); i >= 0 {
				x.Working = stepsShown(p, out.Working[i:i+1])[0].To
			}
		}
		page.Windows = append(page.Windows, x)
	}
	add := func(key, value string) {
		page.Facts = append(page.Facts, Fact{Name: p.Say("out." + key), Value: value})
	}
	n := out.Mix
	if n.Volume != nil {
		add("volume_m3", printable(p.Units.Volume(qty.CubicMetre(*n.Volume))))
	}
	if n.MassWet != nil {
		add("mass_kg_wet", printable(p.Units.Mass(*n.MassWet)))
	}
	if out.WaterToAdd != nil && math.Abs(*out.WaterToAdd) > 0.5 {
		add("water_to_add_kg", printable(p.Units.Water(qty.WaterKg(*out.WaterToAdd))))
	}
	for _, x := range []struct {
		key   string
		value *float64
	}{{"density_kg_m3_wet", n.Density}, {"nitrogen_frac_dry", n.Nitrogen}, {"ash_frac_dry", n.Ash}, {"lignin_frac_dry", n.Lignin}} {
		if x.value != nil {
			add(x.key, outputSay(p, x.key, *x.value))
		}
	}
	if out.Cost != nil {
		add("cost", qty.Figures(*out.Cost))
	}
	if out.NextTest != nil && out.NextTest.What != "" {
		page.NextTest = p.Say("mix.nexttest", sentence(out.NextTest.What), sentence(out.NextTest.Why))
	}
	for _, m := range out.Unknown {
		page.Missing = append(page.Missing, sentence(m))
	}
	for _, m := range out.Notes {
		page.Missing = append(page.Missing, sentence(m))
	}
	page.Working = stepsShown(p, out.Working)
	page.CanSave = len(page.Problems) == 0
}

// figureOf names the figure that computes an output.
var figureOf = map[string]string{"water_frac_wet": "mix.blend_moisture", "cn": "mix.carbon_to_nitrogen", "air_filled_frac": "mix.air_filled", "density_kg_m3_wet": "mix.blend_density", "ec_ds_m": "mix.dry_mean", "ammonia_n_mg_kg_dry": "mix.dry_mean"}

func windowName(p person, key string) string {
	if p.Words.Has("out." + key) {
		return p.Say("out." + key)
	}
	return strings.ReplaceAll(key, "_", " ")
}

// outputSay gives a property of a mix as people say it.
func outputSay(p person, key string, v float64) string {
	switch {
	case key == "cn":
		return p.Say("matter.cnsay", whole(v))
	case strings.HasSuffix(key, "_frac_dry") && v < 0.1:
		return qty.Figures(100*v) + " %"
	case strings.Contains(key, "_frac"):
		return qty.Percent100(v)
	case key == "density_kg_m3_wet":
		return printable(p.Units.Density(qty.KgPerM3Wet(v)))
	case key == "ec_ds_m":
		return p.Say("matter.saltsay", qty.Figures(v))
	case key == "ammonia_n_mg_kg_dry":
		return p.Say("matter.ammoniasay", qty.Figures(v))
	}
	return qty.Figures(v)
}

func outputNumber(p person, key string, v float64) string {
	switch {
	case key == "cn":
		return whole(v)
	case strings.HasSuffix(key, "_frac_dry") && v < 0.1:
		return qty.Figures(100 * v)
	case strings.Contains(key, "_frac"):
		return percentNumber(v)
	case key == "density_kg_m3_wet":
		return qty.Figures(v * pickNumber(p.Units, qty.M3PerCubicYard/qty.KgPerPound, 1))
	}
	return qty.Figures(v)
}

func wantedSay(p person, key string, low, high *float64) string {
	open := low == nil || *low <= 0
	switch {
	case open && high == nil:
		return ""
	case high == nil:
		return p.Say("mix.atleast", outputSay(p, key, *low))
	case open:
		return p.Say("mix.atmost", outputSay(p, key, *high))
	}
	return p.Say("mix.between", outputNumber(p, key, *low), outputSay(p, key, *high))
}

// ruler draws a value, its range and its window on one line of 356.
func ruler(least, most *float64, v, low, high float64) (band, window, at string) {
	from, to := math.Min(low, v), math.Max(high, v)
	wl, wh := math.Min(0, from), 0.0
	if least != nil {
		wl = *least
	}
	if most != nil {
		wh = *most
	} else {
		wh = math.Max(2*wl, 1.15*to)
	}
	from, to = math.Min(from, wl), math.Max(to, wh)
	pad := 0.08 * (to - from)
	if pad == 0 {
		pad = 1
	}
	x := func(v float64) float64 {
		return math.Min(354, math.Max(6, 6+348*(v-from+pad)/(to-from+2*pad)))
	}
	n := func(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }
	band = fmt.Sprintf("M%s 9H%sV19H%sZ", n(x(low)), n(math.Max(x(high), x(low)+1)), n(x(low)))
	window = fmt.Sprintf("M%s 4V24M%s 4V24M%s 14H%s", n(x(wl)), n(x(wh)), n(x(wl)), n(x(wh)))
	return band, window, n(x(v))
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
	ack, err := s.write(r, journal.Entry{ID: id, Kind: "blend", At: p.Now.UTC(), Who: p.Who, Device: "page", Body: b})
	if err != nil || !ack.Saved {
		return "", ack.Problems, err
	}
	return ack.Entry.ID, nil, nil
}
