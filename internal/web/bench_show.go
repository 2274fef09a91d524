package web

import (
	"math"
	"net/http"
	"strings"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/slide"
)

// BenchPage is the microscope bench of a lot: what is counted now, and what that
// says together with what was counted before.
type BenchPage struct {
	Frame
	Heading, Under, BackTo, BackName string
	Form                             Form
	Setting                          []Field // how it is looked at
	SettingOpen                      bool
	Seen                             []Field
	Now, Lot                         *ToldSlides // this slide alone; the lot
	Hint                             string
	Glasses                          []GlassShown
	Photo, Overview, Report          Link
	Tally                            string // what the tally counts, for the script
}

// ToldSlides is what slides say, in a reader's words.
type ToldSlides struct {
	Head, Speaks string
	Groups       []ToldGroup
	Ratio        string
	People       []string
	Notes        []string
}

// ToldGroup is what is said of a group.
type ToldGroup struct {
	Name, Stands string
	More         []string
}

// GlassShown is a slide that was written down.
type GlassShown struct{ To, Name, Note string }

func benchTo(lot string) string { return lotTo(lot) + "/bench" }

func (s *Server) benchShow(w http.ResponseWriter, r *http.Request, p person) error {
	name := r.PathValue("name")
	if _, ok := s.Farm.State().Lot(name); !ok {
		return missing{p.Say("fault.nolot", name)}
	}
	sh := slip{kind: "microscope", action: benchTo(name), back: benchTo(name), preset: s.nextSlide(name), submit: p.Say("bench.save"),
		fixed: map[string]string{"lot": name, "bin": "", "group": "", "um_per_px": "", "traces": "", "field_area_mm2": ""}}
	kind, _ := p.kindNamed("microscope")
	if r.Method != http.MethodPost {
		f, err := s.formOf(p, sh, values{})
		if err != nil {
			return err
		}
		return s.benchDraw(w, r, p, name, f, nil, http.StatusOK)
	}
	if r.PostForm.Get("do") != "see" {
		got, err := s.keep(r, p, sh)
		if err != nil {
			return err
		}
		if got.saved != "" {
			seeOther(w, r, withSaid(benchTo(name), got.saved))
			return nil
		}
		return s.benchDraw(w, r, p, name, got.form, nil, http.StatusUnprocessableEntity)
	}
	for key, fixed := range sh.fixed {
		r.PostForm.Set(key, fixed)
	}
	body, v, problems := s.bodyOf(r, p, kind)
	b, _ := body.(*journal.Microscope)
	if b != nil && len(problems) == 0 {
		problems = app.WouldRefuse(s.Farm.State(), journal.Entry{ID: s.NewID(p.Now), Kind: "microscope", At: p.Now.UTC(), Body: b}, p.Now)
	}
	f, err := s.formOf(p, sh, v)
	if err != nil {
		return err
	}
	refused, _ := split(problems)
	f.Problems = mark(onBoxes(kind, refused), f.Fields, f.More, f.When)
	var now *app.Glass
	if len(f.Problems) == 0 && b != nil && len(b.Fields) > 0 {
		g := app.GlassOf(&journal.Entry{ID: "now", Who: p.Who, At: p.Now, Body: b}, b, p.Zone)
		now = &g
	}
	status := http.StatusOK
	if len(f.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.benchDraw(w, r, p, name, f, now, status)
}

func (s *Server) benchDraw(w http.ResponseWriter, r *http.Request, p person, lot string, f Form, now *app.Glass, status int) error {
	state := s.Farm.State()
	page := BenchPage{Frame: s.frame(r, p, p.Say("bench.of", lot), "more"), Heading: p.Say("bench.of", lot), Under: p.Say("bench.under"), BackTo: lotTo(lot), BackName: p.Say("lot.title", lot), Form: f}
	page.Form.Fields = nil
	for _, x := range f.Fields {
		switch {
		case strings.HasPrefix(x.Name, "seen_"):
			page.Seen = append(page.Seen, x)
		case x.Hidden:
			page.Form.Fields = append(page.Form.Fields, x)
		default:
			page.Setting = append(page.Setting, x)
			page.SettingOpen = page.SettingOpen || x.Bad != "" || x.Value == ""
		}
	}
	var typedNow []app.Glass
	if now != nil {
		typedNow = append(typedNow, *now)
		if now.Count.Optics == nil {
			page.Hint = p.Say("bench.nooptics")
		} else {
			alone, err := s.alone(*now)
			if err != nil {
				return err
			}
			page.Now = p.slides(p.Say("bench.now"), alone, app.Bench{Glasses: typedNow})
		}
	}
	b, err := app.BenchOf(state, lot, typedNow...)
	if err != nil {
		return err
	}
	if n := len(b.Glasses); n > 1 || n == 1 && now == nil {
		page.Lot = p.slides(p.Say("bench.lot", lot, p.Count("bench.slides", n)), b.Answer, b)
	} else if now == nil && page.Hint == "" {
		page.Hint = p.Say("bench.hint")
	}
	for i := len(b.Glasses) - 1; i >= 0; i-- {
		if g := b.Glasses[i]; g.Entry != "now" {
			page.Glasses = append(page.Glasses, s.glassShown(p, g))
		}
	}
	for _, g := range b.Unread {
		if g.Entry != "now" {
			x := s.glassShown(p, g)
			x.Note += " " + p.Say("bench.unread")
			page.Glasses = append(page.Glasses, x)
		}
	}
	page.Photo = Link{To: benchTo(lot) + "/photo", Name: p.Say("bench.photo")}
	page.Overview = Link{To: benchesOf(lot), Name: p.Say("bench.overview")}
	page.Report = Link{To: lotTo(lot) + "/report", Name: p.Say("bench.report")}
	page.Tally = tallyOf(p)
	return s.draw(w, "bench", status, page)
}

// alone is what one slide says by itself.
func (s *Server) alone(g app.Glass) (slide.Answer, error) {
	par, err := app.SlideNumbers()
	if err != nil {
		return slide.Answer{}, err
	}
	return par.Say([]slide.Count{g.Count}), nil
}

func (s *Server) glassShown(p person, g app.Glass) GlassShown {
	fields := 0
	var names []string
	for _, x := range slide.Groups() {
		if n := len(g.Count.Seen[x]); n > 0 {
			fields = max(fields, n)
			names = append(names, p.Say("bench.short."+string(x)))
		}
	}
	name := p.Say("bench.glass", g.Count.Handful, g.Count.Slide)
	if g.Count.Slide == g.Entry {
		name = p.Say("bench.glassof", g.Count.Handful)
	}
	return GlassShown{To: "/journal/" + g.Entry, Name: name, Note: p.Say("bench.glassnote", p.Count("bench.fields", fields), p.Words.List(names), g.Who, p.Moment(g.At))}
}

// slides tells what slides say.
func (p person) slides(head string, a slide.Answer, b app.Bench) *ToldSlides {
	out := &ToldSlides{Head: head}
	dry, hasDry := b.DryPart()
	alike := true
	speaks := func(k slide.Known) string { return p.Say("bench.speaks." + strings.ReplaceAll(k.SpeaksFor, "-", "")) }
	for _, k := range a.Groups {
		alike = alike && k.SpeaksFor == a.Groups[0].SpeaksFor
	}
	for _, k := range a.Groups {
		t := ToldGroup{Name: p.Say("bench.group." + string(k.Group)), Stands: p.perGram(k)}
		if !alike {
			t.More = append(t.More, speaks(k))
		}
		if hasDry && !k.None {
			t.More = append(t.More, p.Say("bench.dry", p.amountIn(k.Group, k.PerGram/dry)))
		}
		t.More = append(t.More, p.countedSay(k)...)
		if k.Mass != nil {
			t.More = append(t.More, p.Say("bench.mass", p.micrograms(k.MassBest), p.micrograms(k.Mass.Low), p.micrograms(k.Mass.High)))
		}
		out.Groups = append(out.Groups, t)
	}
	if alike && len(a.Groups) > 0 {
		out.Speaks = speaks(a.Groups[0])
	}
	switch r := a.Ratio; {
	case r == nil:
	case r.Finite:
		out.Ratio = p.Say("bench.ratio", figures2(r.Best), figures2(r.Low), figures2(r.High))
	default:
		out.Ratio = p.Say("bench.ratioopen", figures2(r.Best))
	}
	for _, x := range a.People {
		out.People = append(out.People, p.peopleSay(x))
	}
	for _, n := range []struct {
		on  bool
		key string
	}{{a.OneEye, "bench.onefield"}, {a.Deep, "bench.deep"}, {a.Mixed, "bench.mixed"}} {
		if n.on {
			out.Notes = append(out.Notes, p.Say(n.key))
		}
	}
	if b.To.Sub(b.From).Hours() > 24*21 {
		out.Notes = append(out.Notes, p.Say("bench.longago", p.Words.Date(b.From.In(p.Zone)), p.Words.Date(b.To.In(p.Zone))))
	}
	return out
}

// perGram says what is in a gram with its range.
func (p person) perGram(k slide.Known) string {
	if k.None {
		return p.Say("bench.none", p.amountIn(k.Group, k.High))
	}
	if k.Low < k.PerGram/100 { // a limit that far down says only that little is known
		return p.Say("bench.upto", p.amountIn(k.Group, k.PerGram), p.amountIn(k.Group, k.High))
	}
	return p.Say("bench.stands", p.amountIn(k.Group, k.PerGram), p.amountIn(k.Group, k.Low), p.amountIn(k.Group, k.High))
}

// amountIn says how much of a group is in a gram, without "in a gram".
func (p person) amountIn(g slide.Group, v float64) string {
	if g == slide.Threads {
		return figures2(v) + "\u00a0m"
	}
	return p.large(v)
}

// large says a number in words of its size, to two figures.
func (p person) large(v float64) string {
	v = app.Round2(v)
	for _, x := range []struct {
		from float64
		key  string
	}{{1e9, "bench.e9"}, {1e6, "bench.e6"}, {1e4, "bench.e3"}} {
		if v >= x.from {
			by := x.from
			if by == 1e4 {
				by = 1e3
			}
			return p.Say(x.key, qty.Figures(app.Round2(v/by)))
		}
	}
	return qty.Figures(v)
}

func figures2(v float64) string { return qty.Figures(app.Round2(v)) }

func (p person) micrograms(v float64) string { return figures2(v) + "\u00a0µg" }

// mostStill is how many fields more are asked for; where it takes more than that,
// another way of looking helps. Common practice, no source.
const mostStill = 60

// countedSay tells what the count itself is like, and what would tell more.
func (p person) countedSay(k slide.Known) []string {
	var out []string
	if k.Group == slide.Threads {
		out = append(out, p.Say("bench.countedlength", qty.Figures(math.Round(k.Seen)), p.Count("bench.fields", k.Fields)))
	} else {
		out = append(out, p.Say("bench.counted", qty.Figures(k.Seen), p.Count("bench.fields", k.Fields), qty.Figures(app.Round2(k.PerField)), figures2(k.FieldLow), figures2(k.FieldHigh)))
	}
	par, err := app.SlideNumbers()
	if err != nil {
		return out
	}
	switch {
	case k.Clumped < par.Lab.Doubt:
		out = append(out, p.Say("bench.clumped"))
	case k.TooEven < par.Lab.Doubt:
		out = append(out, p.Say("bench.tooeven"))
	}
	quarter := percentNumber(par.Wanted)
	switch {
	case k.SpeaksFor == "lot" && k.MostOf == "sub-samples":
		out = append(out, p.Say("bench.morehandfuls"))
	case k.SpeaksFor != "slide" && k.MostOf == "slides":
		out = append(out, p.Say("bench.moreslides"))
	case k.Still != nil && *k.Still > mostStill:
		out = append(out, p.Say("bench.toofew"))
	case k.Still != nil && *k.Still > 0:
		out = append(out, p.Count("bench.still", *k.Still, quarter))
	case k.Still != nil:
		out = append(out, p.Say("bench.enough", quarter))
	}
	return out
}

// peopleSay tells how two people compare on the same slide.
func (p person) peopleSay(x slide.People) string {
	name := p.Say("bench.short." + string(x.Group))
	first, second := p.somebody(x.First), p.somebody(x.Second)
	switch {
	case x.Verdict == "cannot tell":
		return p.Say("bench.people.same", first, second, name, x.Handful, x.Slide)
	case x.Ratio == nil:
		return p.Say("bench.people.nothing", first, second, name, x.Handful, x.Slide)
	}
	return p.Say("bench.people.differ", first, second, name, x.Handful, x.Slide, figures2(*x.Ratio), figures2(x.Low), figures2(or0(x.High)))
}

func (p person) somebody(who string) string {
	if who == "" {
		return p.Say("bench.somebody")
	}
	return who
}

func or0(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

// tallyKeys are the keys of a keyboard for the groups that are tallied.
var tallyKeys = map[slide.Group]string{slide.Bacteria: "b", slide.Flagellates: "f", slide.Amoebae: "a", slide.Ciliates: "c", slide.NematodesBacteria: "n", slide.NematodesFungi: "m", slide.NematodesPlants: "r", slide.NematodesPredators: "h", slide.Unknown: "u"}

// tallyOf gives the tally its groups with their names and keys, one a line.
func tallyOf(p person) string {
	var lines []string
	for _, g := range slide.Groups() {
		if key := tallyKeys[g]; key != "" {
			lines = append(lines, strings.Join([]string{"seen_" + string(g), p.Say("bench.group." + string(g)), key}, "\t"))
		}
	}
	return strings.Join(lines, "\n")
}

// versusSay says plainly how a lot compares with another.
func (p person) versusSay(name string, one, other string, v slide.Versus) string {
	var out string
	switch {
	case v.Verdict == "cannot tell":
		out = p.Say("bench.versus.same", one, other, name)
	case v.Ratio == nil || v.High == nil:
		out = p.Say("bench.versus.only."+v.Verdict, one, other, name)
	default:
		out = p.Say("bench.versus."+v.Verdict, one, other, name, figures2(*v.Ratio), figures2(v.Low), figures2(*v.High))
	}
	if v.Slides {
		out += " " + p.Say("bench.versus.slides")
	}
	return out
}
