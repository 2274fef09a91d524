package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/source"
	"wormyard/trouble"
)

// TroublePage tells what may be amiss in a bin.
type TroublePage struct {
	Frame
	BackTo, BackName, Heading, Under string
	Found, Anew                      string
	Keep                             *Form // what was found just now, as a look
	Care                             []string
	Causes                           []CauseShown
	First                            *NextShown // the look that tells most
	More                             []NextShown
	Heads                            []string
	Rows                             [][]Cell
	Sources, Twin                    string
}

// CauseShown is one cause with what to do.
type CauseShown struct {
	Name, Chance, Why string
	Open              bool
	Do                []DoShown
	Not               []string
	Tried             []string     // what became of it here before
	Under             string       // since when it is under way
	Acts              []RemedyDone // what may be said of it
}

// DoShown is one thing to do, with the form that writes it down.
type DoShown struct{ Say, To, Label string }

// NextShown is a look with its answers.
type NextShown struct {
	Say     string
	Answers []Link
}

// How many causes and looks are shown, and the least chance of a cause that is.
const (
	causesShown = 4
	looksShown  = 4
	leastShown  = 0.08
)

func troubleTo(bin, sighting string) string {
	return binTo(bin) + "/trouble?sighting=" + url.QueryEscape(sighting)
}

// troubleShow ranks causes by a sighting and by what is answered on the page.
func (s *Server) troubleShow(w http.ResponseWriter, r *http.Request, p person) error {
	state, b, err := s.bin(r, p)
	if err != nil {
		return err
	}
	book, err := source.Trouble()
	if err != nil {
		return err
	}
	q := r.URL.Query()
	seen := answersOf(book, q["is"])
	look, err := s.outlook(r.Context(), b.Name)
	if err != nil {
		return err
	}
	d, err := app.Diagnose(state, b, q.Get("sighting"), seen, look, p.Now)
	if err != nil {
		return err
	}
	page := TroublePage{Frame: s.frame(r, p, p.Say("trouble.title", binTitle(p, state, b)), "barn"), BackTo: binTo(b.Name), BackName: binTitle(p, state, b), Heading: p.Say("trouble.title", binTitle(p, state, b)), Under: p.Say("trouble.without")}
	page.One = true
	if x := d.Sighting; x != nil {
		page.Under = p.Say("trouble.began", p.Moment(x.At), x.What)
	}
	here := func(more ...string) string {
		v := url.Values{}
		if d.Sighting != nil {
			v.Set("sighting", d.Sighting.Entry)
		}
		for _, m := range seen {
			v.Add("is", m.Look+":"+only(m))
		}
		for _, m := range more {
			v.Add("is", m)
		}
		return binTo(b.Name) + "/trouble?" + v.Encode()
	}
	if len(seen) > 0 {
		var said []string
		for _, m := range seen {
			said = append(said, p.Say("trouble.item", p.Say("trouble.look."+m.Look), p.is(m.Look, only(m))))
		}
		page.Found = p.Say("trouble.found", strings.Join(said, p.Say("list.semicolon")))
		page.Anew = troubleTo(b.Name, q.Get("sighting"))
		page.Keep = s.keepFound(p, b, seen, here())
	}
	tried, err := app.Remedies(state, b)
	if err != nil {
		return err
	}
	for i, c := range d.Finding.Causes {
		if i >= causesShown || i > 0 && c.Chance.Best < leastShown {
			break
		}
		shown := causeShown(p, b, c, i == 0)
		s.remedyShown(p, b, d, c.Cause, tried, here(), &shown)
		page.Causes = append(page.Causes, shown)
		for _, key := range c.Cause.Care {
			if care := p.Say("trouble.care." + key); !slices.Contains(page.Care, care) {
				page.Care = append(page.Care, care)
			}
		}
	}
	next := slices.Clone(d.Finding.Next)
	slices.SortStableFunc(next, func(a, b trouble.Next) int { return cmp.Compare(min(len(a.Look.Needs), 1), min(len(b.Look.Needs), 1)) }) // what hand and eye can tell comes before a meter
	for i, n := range next {
		if i >= looksShown {
			break
		}
		x := NextShown{Say: p.Say("trouble.look." + n.Look.Key)}
		if n.Look.Needs != "" {
			x.Say = p.Say("trouble.share", x.Say, p.Say("trouble.need."+n.Look.Needs))
		}
		for _, a := range n.Answers {
			x.Answers = append(x.Answers, Link{To: here(n.Look.Key+":"+a.Is) + "#next", Name: p.is(n.Look.Key, a.Is), Note: p.Say("trouble.puts", p.is(n.Look.Key, a.Is), p.Say("trouble.cause."+a.First)), Main: i == 0})
		}
		if i == 0 {
			page.First = &x
			continue
		}
		page.More = append(page.More, x)
	}
	if err := troubleWorking(p, d, &page); err != nil {
		return err
	}
	return s.draw(w, "trouble", http.StatusOK, page)
}

// answersOf reads what was answered on the page, "smell:sour". Of two answers to
// one look the later stands; what is no answer is left out.
func answersOf(book *trouble.Book, list []string) []trouble.Message {
	var out []trouble.Message
	for _, x := range list {
		key, is, _ := strings.Cut(x, ":")
		l, ok := book.Named(key)
		if !ok || !l.Asked || !slices.Contains(l.Is(), is) {
			continue
		}
		from := trouble.Seen
		if l.Needs != "" {
			from = trouble.Probe
		}
		out = slices.DeleteFunc(out, func(m trouble.Message) bool { return m.Look == key })
		out = append(out, trouble.Says(key, is, from))
	}
	return out
}

// only gives the answer of a message that has one.
func only(m trouble.Message) string {
	for is := range m.Share {
		return is
	}
	return ""
}

// is gives the words of an answer.
func (p person) is(look, answer string) string {
	return p.Say("trouble.is." + look + "." + strings.ReplaceAll(answer, " ", ""))
}

// atMost9 gives a chance in tenths; nothing is certain here.
func (p person) atMost9(v float64) string {
	switch {
	case v >= 0.95:
		return p.Say("trouble.many")
	case v < 0.05:
		return p.Say("trouble.few")
	}
	return p.Words.Chance10(min(max(v, 0.0501), 0.949))
}

func causeShown(p person, b *farm.Bin, c trouble.Ranked, open bool) CauseShown {
	out := CauseShown{Name: p.Say("trouble.cause." + c.Cause.Key), Why: p.Say("trouble.why." + c.Cause.Key), Open: open,
		Chance: p.Say("trouble.chance", p.atMost9(c.Chance.Best), p.atMost9(c.Chance.Low), p.atMost9(c.Chance.High))}
	for _, x := range c.Cause.Do {
		d := DoShown{Say: p.Say("trouble.do." + x.Key)}
		switch x.Kind {
		case "": // nothing is written down of it
		case "rest":
			d.To = binTo(b.Name) + "/hold"
		case "stock":
			d.To = "/enter/stock"
		default:
			d.To = binTo(b.Name) + "/" + x.Kind
		}
		if d.To != "" {
			d.Label = p.Say("trouble.item", p.Say("trouble.write"), d.Say)
		}
		out.Do = append(out.Do, d)
	}
	for _, key := range c.Cause.Not {
		out.Not = append(out.Not, p.Say("trouble.not."+key))
	}
	return out
}

// lookWords are the answers that a look in the journal has a word for.
var lookWords = map[string][2]string{
	"smell:earth": {"smell", "earth"}, "smell:sour": {"smell", "sour"}, "smell:ammonia": {"smell", "ammonia"}, "smell:rotten": {"smell", "rotten"},
	"wetness:dry": {"squeeze", "dry"}, "wetness:moist": {"squeeze", "few drops"}, "wetness:wet": {"squeeze", "runs"},
	"where:spread": {"where", "spread"}, "where:lid": {"where", "lid"}, "where:sides": {"where", "sides"}, "where:deep": {"where", "bottom"},
	"many:usual": {"worms", "usual"}, "many:few": {"worms", "few"}, "left:eaten": {"feed_left", "some"}, "left:most": {"feed_left", "most"},
}

// keepFound gives a form that writes down what was answered: a look where the
// journal has a word for it, else another sighting; nil for an empty bin.
func (s *Server) keepFound(p person, b *farm.Bin, seen []trouble.Message, back string) *Form {
	if b.Bed == nil {
		return nil
	}
	f := &Form{Action: binTo(b.Name) + "/look"}
	add := func(name, value string) { f.Fields = append(f.Fields, Field{Name: name, Value: value}) }
	var more []string
	found := false
	for _, m := range seen {
		if w, ok := lookWords[m.Look+":"+only(m)]; ok {
			add(w[0], w[1])
			found = true
			continue
		}
		more = append(more, p.Say("trouble.item", p.Say("trouble.look."+m.Look), p.is(m.Look, only(m))))
	}
	if found {
		add("bins", b.Name)
		add("note", strings.Join(more, p.Say("list.semicolon")))
	} else {
		f.Action = binTo(b.Name) + "/sighting"
		add("what", strings.Join(more, p.Say("list.semicolon")))
	}
	add("id", s.NewID(p.Now))
	add("back", back)
	return f
}

// troubleWorking fills the table of factors for the causes shown.
func troubleWorking(p person, d *app.Diagnosis, page *TroublePage) error {
	refs, err := source.Refs()
	if err != nil {
		return err
	}
	shown := d.Finding.Causes[:len(page.Causes)]
	page.Heads = []string{p.Say("trouble.sign"), p.Say("trouble.told")}
	before := []Cell{{Text: p.Say("trouble.before")}, {}}
	var named []string
	for i, c := range shown {
		page.Heads = append(page.Heads, page.Causes[i].Name)
		before = append(before, Cell{Text: p.atMost9(c.Cause.Prior.Best), Num: true})
	}
	page.Rows = append(page.Rows, before)
	for n, first := range shown[0].Factors {
		var told []string
		for _, m := range first.Told {
			told = append(told, p.Say("trouble.share", p.shares(m), p.Say("trouble.from."+string(m.From))))
		}
		row := []Cell{{Text: p.Say("trouble.look." + first.Look)}, {Text: strings.Join(told, p.Say("list.semicolon"))}}
		for _, c := range shown {
			t := c.Factors[n].Times
			row = append(row, Cell{Text: p.Say("trouble.times", twoFigures(t.Best), twoFigures(t.Low), twoFigures(t.High)), Num: true})
			for _, key := range c.Factors[n].Refs {
				if r, ok := refs[key]; ok && !slices.Contains(named, r.String()) {
					named = append(named, r.String())
				}
			}
		}
		page.Rows = append(page.Rows, row)
	}
	if len(named) > 0 {
		page.Sources = p.Say("trouble.sources", strings.Join(named, p.Say("list.semicolon")))
	}
	page.Twin = p.Say("trouble.notwin")
	if !d.Twin.IsZero() {
		page.Twin = p.Say("trouble.twin", p.Moment(d.Twin))
	}
	return nil
}

// shares gives the belief of a message in words: the telling answers that it
// lies on, else the usual one.
func (p person) shares(m trouble.Message) string {
	book, err := source.Trouble()
	if err != nil {
		return ""
	}
	l, ok := book.Named(m.Look)
	if !ok {
		return ""
	}
	var out []string
	for _, is := range l.Is()[1:] {
		switch v := m.Share[is]; {
		case v >= 0.995:
			out = append(out, p.is(l.Key, is))
		case v >= 0.05:
			out = append(out, p.Say("trouble.item", p.is(l.Key, is), p.Words.Chance10(v)))
		}
	}
	if len(out) == 0 {
		return p.is(l.Key, l.Usual)
	}
	return strings.Join(out, p.Say("list.comma"))
}

// twoFigures gives a ratio as one says it.
func twoFigures(v float64) string {
	if v >= 10 {
		return whole(v)
	}
	return plainNumber(float64(int(v*10+0.5)) / 10)
}
