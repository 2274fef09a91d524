package web

import (
	"cmp"
	"fmt"
	"net/http"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"wormyard/internal/app"
	"wormyard/internal/contract"
	"wormyard/journal"
	"wormyard/lot"
	"wormyard/qty"
)

// HousePage is the form of the farm's own rule: a row for each limit and each piece
// of evidence.
type HousePage struct {
	Frame
	Action, Back    string
	Counts          []Field // how many rows the form has, and what it was drawn from
	Changed         *Link   // what somebody else set meanwhile
	Problems        []Complaint
	Head, Words     []Field
	Limits, Needs   []HouseRow
	LimitAt, NeedAt string // where one is after a row is added
}

// HouseRow is one row with its boxes; the seldom ones are folded away.
type HouseRow struct {
	Anchor, Head, Drop string
	Fields, More       []Field
	Hidden             []Field
	Open               bool
}

const (
	houseTo = "/rules/" + app.HouseRule + "/change"
	// mostAsked is how many limits, and how many pieces of evidence, the form shows. What
	// a rule has beyond them, set from a file, stays as it is.
	mostAsked = 1000
)

// Boxes of a row; the names of a row have its number behind them.
var (
	limitBoxes = []string{"analyte", "bound", "limit", "top", "unit", "basis", "only", "samples", "of", "over", "within", "either", "where", "note", "how"}
	needBoxes  = []string{"need", "key", "say", "try", "hot", "days", "turns", "onlyif", "oneof", "stands", "remark", "known"}
)

// ownNeed and heatNeed are the pieces of evidence that no known rule names.
const (
	ownNeed  = "own"
	heatNeed = "heat"
)

func (s *Server) houseShow(w http.ResponseWriter, r *http.Request, p person) error {
	rule, err := app.HouseRuleOf(s.Farm.State())
	if err != nil {
		return err
	}
	known, err := app.KnownNeeds()
	if err != nil {
		return err
	}
	v := houseValues(p, rule, known)
	v[drawnFrom] = markOf(rule)
	return s.drawHouse(w, r, p, v, nil, nil)
}

func at(box string, i int) string { return box + "_" + strconv.Itoa(i) }

// houseValues gives what stands in the boxes of a rule.
func houseValues(p person, r lot.Rule, known []lot.Need) values {
	v := values{"title": p.Told(r.Title), "applies": p.Told(r.Applies), "review": r.Review, "allows": strings.Join(r.Allows, "\n"), "refuses": strings.Join(r.Refuses, "\n"), "ruleremark": p.Told(r.Note),
		"limits": strconv.Itoa(len(r.Limits)), "needs": strconv.Itoa(len(r.Evidence))}
	for i, l := range r.Limits {
		number := func(x *float64) string {
			if x == nil {
				return ""
			}
			return plainNumber(*x)
		}
		v[at("analyte", i)], v[at("unit", i)], v[at("basis", i)], v[at("only", i)] = p.analyteTyped(l.Analyte), strings.TrimPrefix(l.Unit, "-"), cmp.Or(l.Basis, "none"), l.OnlyFor
		switch {
		case l.Least != nil && l.Most != nil:
			v[at("bound", i)], v[at("limit", i)], v[at("top", i)] = "between", number(l.Least), number(l.Most)
		case l.Least != nil:
			v[at("bound", i)], v[at("limit", i)] = "least", number(l.Least)
		case l.Under != nil:
			v[at("bound", i)], v[at("limit", i)] = "under", number(l.Under)
		default:
			v[at("bound", i)], v[at("limit", i)] = "most", number(l.Most)
		}
		v[at("of", i)], v[at("within", i)], v[at("either", i)], v[at("where", i)], v[at("note", i)], v[at("how", i)] = l.Of, number(l.Within), l.Either, p.Told(l.Where), p.Told(l.Note), l.How
		if l.Samples > 1 {
			v[at("samples", i)] = strconv.Itoa(l.Samples)
		}
		if l.Over > 0 {
			v[at("over", i)] = strconv.Itoa(l.Over)
		}
	}
	for i, n := range r.Evidence {
		what := ownNeed
		say, try := p.Told(n.Say), p.Told(n.Try)
		if k := slices.IndexFunc(known, func(x lot.Need) bool { return x.Key == n.Key }); k >= 0 {
			what = n.Key
			if known[k].Say == n.Say {
				say = ""
			}
			if known[k].Try == n.Try {
				try = ""
			}
		}
		if h := n.Heat; h != nil {
			what, say, try = heatNeed, "", ""
			v[at("hot", i)], v[at("days", i)] = p.Units.Temperature(h.Low), plainNumber(h.Hours/24)
			if h.Turns > 0 {
				v[at("turns", i)] = strconv.Itoa(h.Turns)
			}
		}
		if try == p.Told(app.OwnTry) {
			try = ""
		}
		v[at("need", i)], v[at("key", i)], v[at("say", i)], v[at("try", i)], v[at("onlyif", i)], v[at("oneof", i)], v[at("stands", i)], v[at("remark", i)], v[at("known", i)] = what, n.Key, say, try, n.OnlyFor, n.Either, p.Told(n.Where), p.Told(n.Note), n.How
	}
	return v
}

// analyteTyped is how an analyte of a rule is called in its box.
func (p person) analyteTyped(key string) string {
	if key == "" {
		return ""
	}
	return sentence(p.limitAnalyte(key))
}

// analyteRead finds the analyte that was typed, by the reader's name of it or by its
// key; near are those like it.
func (p person) analyteRead(text string) (key string, near []string, ok bool) {
	plain := func(s string) string {
		return strings.ToLower(strings.Join(strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " "))
	}
	var names []string
	for _, k := range lot.Analytes() {
		name := p.analyteTyped(k)
		if x := plain(text); x == plain(k) || x == plain(name) {
			return k, nil, true
		}
		names = append(names, name)
	}
	return "", contract.Nearest(text, names), false
}

func (s *Server) drawHouse(w http.ResponseWriter, r *http.Request, p person, v values, problems []app.Problem, changed *Link) error {
	known, err := app.KnownNeeds()
	if err != nil {
		return err
	}
	page := HousePage{Frame: s.frame(r, p, p.Say("house.title"), "more"), Action: houseTo, Back: ruleTo(app.HouseRule), Changed: changed}
	limits, needs := rowsOf(v["limits"]), rowsOf(v["needs"])
	page.Counts = []Field{{Name: "limits", Value: strconv.Itoa(limits), Hidden: true}, {Name: "needs", Value: strconv.Itoa(needs), Hidden: true}, {Name: drawnFrom, Value: v[drawnFrom], Hidden: true}}
	review := textField("review", p.Say("house.review"), v["review"])
	review.Type, review.Help = "date", p.Say("house.reviewhelp")
	page.Head = []Field{textField("title", p.Say("house.name"), v["title"]), textField("applies", p.Say("house.applies"), v["applies"]), review}
	allows, refuses := areaField("allows", p.Say("rules.allows"), v["allows"]), areaField("refuses", p.Say("release.refuses"), v["refuses"])
	allows.Help, refuses.Help = p.Say("house.wordshelp"), p.Say("house.wordshelp")
	page.Words = []Field{allows, refuses, areaField("ruleremark", p.Say("house.note"), v["ruleremark"])}
	var names []string
	for _, k := range lot.Analytes() {
		names = append(names, p.analyteTyped(k))
	}
	who := []Option{{Value: "all", Label: p.Say("house.every")}, {Value: "animal", Label: p.Say("house.animal")}}
	groups := [][]Field{page.Head, page.Words}
	for i := range limits {
		box := func(key string) string { return v[at(key, i)] }
		row := HouseRow{Anchor: at("limit-row", i), Head: p.Say("house.limit", i+1), Drop: at("limit", i)}
		if x := box("analyte"); x != "" {
			row.Head = p.Say("house.limitof", i+1, x)
		}
		analyte := textField(at("analyte", i), p.Say("house.analyte"), box("analyte"))
		analyte.List = names
		unit := textField(at("unit", i), p.Say("house.unit"), box("unit"))
		if unit.Short = true; i == 0 {
			unit.Help = p.Say("house.unithelp")
		}
		top := numberField(at("top", i), p.Say("house.top"), "", box("top"))
		top.Help = p.Say("house.tophelp")
		row.Fields = []Field{analyte,
			selectField(at("bound", i), p.Say("house.bound"), cmp.Or(box("bound"), "most"), []Option{{Value: "most", Label: p.Say("house.most")}, {Value: "under", Label: p.Say("house.lower")}, {Value: "least", Label: p.Say("house.least")}, {Value: "between", Label: p.Say("house.between")}}),
			numberField(at("limit", i), p.Say("house.bar"), "", box("limit")), unit,
			selectField(at("basis", i), p.Say("house.basis"), cmp.Or(box("basis"), "none"), []Option{{Value: "none", Label: p.Say("house.basis.none")}, {Value: "dry", Label: p.Say("house.basis.dry")}, {Value: "wet", Label: p.Say("house.basis.wet")}}),
			selectField(at("only", i), p.Say("house.only"), cmp.Or(box("only"), "all"), who)}
		either := textField(at("either", i), p.Say("house.either"), box("either"))
		either.Help = p.Say("house.eitherhelp")
		row.More = []Field{top, numberField(at("samples", i), p.Say("house.samples"), "", box("samples")),
			selectField(at("of", i), p.Say("house.of"), cmp.Or(box("of"), "each"), []Option{{Value: "each", Label: p.Say("house.of.each")}, {Value: "mean", Label: p.Say("house.of.mean")}, {Value: "geometric_mean", Label: p.Say("house.of.geometric_mean")}}),
			numberField(at("over", i), p.Say("house.over"), "", box("over")), numberField(at("within", i), p.Say("house.within"), "", box("within")),
			either, textField(at("where", i), p.Say("house.where"), box("where")), textField(at("note", i), p.Say("house.note"), box("note"))}
		row.Hidden = []Field{{Name: at("how", i), Value: box("how"), Hidden: true}}
		row.Open = box("bound") == "between"
		page.Limits = append(page.Limits, row)
		groups = append(groups, row.Fields, row.More)
	}
	var kinds []Option
	for _, n := range known {
		kinds = append(kinds, Option{Value: n.Key, Label: p.Told(n.Say)})
	}
	kinds = append(kinds, Option{Value: ownNeed, Label: p.Say("house.own")})
	for i := range needs {
		box := func(key string) string { return v[at(key, i)] }
		row := HouseRow{Anchor: at("need-row", i), Head: p.Say("house.need", i+1), Drop: at("need", i)}
		row.Hidden = []Field{{Name: at("key", i), Value: box("key"), Hidden: true}, {Name: at("known", i), Value: box("known"), Hidden: true}}
		try := textField(at("try", i), p.Say("house.try"), box("try"))
		either := textField(at("oneof", i), p.Say("house.either"), box("oneof"))
		either.Help = p.Say("house.eitherhelp")
		row.More = []Field{try, either, textField(at("stands", i), p.Say("house.where"), box("stands")), textField(at("remark", i), p.Say("house.note"), box("remark"))}
		only := selectField(at("onlyif", i), p.Say("house.only"), cmp.Or(box("onlyif"), "all"), who)
		if box("need") == heatNeed {
			row.Head = p.Say("house.heat", i+1)
			row.Hidden = append(row.Hidden, Field{Name: at("need", i), Value: heatNeed, Hidden: true})
			turns := numberField(at("turns", i), p.Say("house.turns"), "", box("turns"))
			turns.Help = p.Say("house.turnshelp")
			row.Fields = []Field{numberField(at("hot", i), p.Say("house.hot"), pick(p.Units, "°F", "°C"), box("hot")), numberField(at("days", i), p.Say("house.days"), "", box("days")), turns, only}
			row.More = row.More[1:]
		} else {
			say := textField(at("say", i), p.Say("house.say"), box("say"))
			say.Help = p.Say("house.sayhelp")
			row.Fields = []Field{selectField(at("need", i), p.Say("house.what"), cmp.Or(box("need"), ownNeed), kinds), say, only}
		}
		page.Needs = append(page.Needs, row)
		groups = append(groups, row.Fields, row.More)
	}
	page.LimitAt, page.NeedAt = houseTo+"#"+at("limit-row", limits), houseTo+"#"+at("need-row", needs)
	status := http.StatusOK
	if len(problems) > 0 {
		status = http.StatusUnprocessableEntity
		page.Problems = mark(problems, groups...)
		for _, list := range [][]HouseRow{page.Limits, page.Needs} {
			for i := range list {
				list[i].Open = list[i].Open || slices.ContainsFunc(list[i].More, func(f Field) bool { return f.Bad != "" })
			}
		}
	}
	return s.draw(w, "house", status, page)
}

// rowsOf reads how many rows a form has.
func rowsOf(text string) int {
	n, _ := strconv.Atoi(text)
	return min(max(n, 0), mostAsked)
}

var dropped = regexp.MustCompile(`^drop_(limit|need)_(\d+)$`)

// houseSave adds and takes off rows, and keeps the rule as one setting when it holds
// together.
func (s *Server) houseSave(w http.ResponseWriter, r *http.Request, p person) error {
	v := values{}
	for _, key := range []string{"title", "applies", "review", "allows", "refuses", "ruleremark", "limits", "needs", drawnFrom} {
		v[key] = typed(r, key)
	}
	limits, needs := rowsOf(v["limits"]), rowsOf(v["needs"])
	for n, boxes := range map[int][]string{0: limitBoxes, 1: needBoxes} {
		for i := range []int{limits, needs}[n] {
			for _, b := range boxes {
				v[at(b, i)] = typed(r, at(b, i))
			}
		}
	}
	do := r.PostForm.Get("do")
	if m := dropped.FindStringSubmatch(do); m != nil {
		i, _ := strconv.Atoi(m[2])
		if m[1] == "limit" {
			v.dropRow("limits", limitBoxes, i)
		} else {
			v.dropRow("needs", needBoxes, i)
		}
		return s.drawHouse(w, r, p, v, nil, nil)
	}
	switch do {
	case "add_limit":
		v["limits"] = strconv.Itoa(min(limits+1, mostAsked))
		return s.drawHouse(w, r, p, v, nil, nil)
	case "add_need", "add_heat":
		if needs < mostAsked {
			v["needs"] = strconv.Itoa(needs + 1)
			if do == "add_heat" {
				v[at("need", needs)] = heatNeed
			}
		}
		return s.drawHouse(w, r, p, v, nil, nil)
	}
	v.dropEmpty()
	s.settle.Lock()
	defer s.settle.Unlock()
	was, err := app.HouseRuleOf(s.Farm.State())
	if err != nil {
		return err
	}
	rule, problems, err := p.houseRead(v, was)
	if err != nil {
		return err
	}
	if n := len(was.Limits); n > mostAsked {
		rule.Limits = append(rule.Limits, was.Limits[mostAsked:]...)
	}
	if n := len(was.Evidence); n > mostAsked {
		rule.Evidence = append(rule.Evidence, was.Evidence[mostAsked:]...)
	}
	read := map[string]bool{}
	for _, x := range problems {
		read[x.Field] = true
	}
	for _, x := range app.HouseRuleWrong(rule, p.Now) {
		if x.Field = houseBox(x.Field); !read[x.Field] {
			problems = append(problems, x)
		}
	}
	if len(problems) > 0 {
		return s.drawHouse(w, r, p, v, problems, nil)
	}
	if reflect.DeepEqual(rule, was) { // pressed twice, or nothing is new
		seeOther(w, r, ruleTo(app.HouseRule))
		return nil
	}
	if problems, changed := s.meanwhile(p, v, app.HouseRuleKey, was); len(problems) > 0 {
		return s.drawHouse(w, r, p, v, problems, changed)
	}
	rule.Date = p.Now.Format(journal.DayLayout) // it holds from today
	ack, err := s.keepSetting(r.Context(), p, setting{app.HouseRuleKey, rule})
	if err != nil {
		return err
	}
	if !ack.Saved {
		return s.drawHouse(w, r, p, v, ack.Problems, nil)
	}
	seeOther(w, r, withSaid(ruleTo(app.HouseRule), ack.Entry.ID))
	return nil
}

// dropRow takes a row off: those behind it move up.
func (v values) dropRow(count string, boxes []string, i int) {
	n := rowsOf(v[count])
	if i >= n {
		return
	}
	for k := i; k < n; k++ {
		for _, b := range boxes {
			v[at(b, k)] = v[at(b, k+1)]
		}
	}
	v[count] = strconv.Itoa(n - 1)
}

// dropEmpty takes off the rows in which nothing was typed.
func (v values) dropEmpty() {
	for i := rowsOf(v["limits"]) - 1; i >= 0; i-- {
		if v[at("analyte", i)]+v[at("limit", i)]+v[at("unit", i)]+v[at("note", i)] == "" {
			v.dropRow("limits", limitBoxes, i)
		}
	}
	for i := rowsOf(v["needs"]) - 1; i >= 0; i-- {
		if v[at("need", i)] == ownNeed && v[at("say", i)]+v[at("try", i)]+v[at("remark", i)] == "" || v[at("need", i)] == heatNeed && v[at("hot", i)]+v[at("days", i)]+v[at("turns", i)] == "" {
			v.dropRow("needs", needBoxes, i)
		}
	}
}

// ruleField parts the field of a rule, "limits[0].unit".
var ruleField = regexp.MustCompile(`^(limits|evidence)\[(\d+)\]\.?(\w*)$`)

// boxOfLimit and boxOfNeed say which box a field of a row stands in where the two are
// called otherwise.
var (
	boxOfLimit = map[string]string{"": "analyte", "limit": "limit"}
	boxOfNeed  = map[string]string{"": "need", "heat": "days"}
)

// houseBox gives the box of the form in which a field of a rule stands.
func houseBox(field string) string {
	m := ruleField.FindStringSubmatch(field)
	if m == nil {
		return field
	}
	boxes := boxOfLimit
	if m[1] == "evidence" {
		boxes = boxOfNeed
	}
	name := m[3]
	if b, ok := boxes[name]; ok {
		name = b
	}
	return name + "_" + m[2]
}

// houseRead makes the rule of what was typed; a problem names its box.
func (p person) houseRead(v values, was lot.Rule) (lot.Rule, []app.Problem, error) {
	known, err := app.KnownNeeds()
	if err != nil {
		return lot.Rule{}, nil, err
	}
	var problems []app.Problem
	refuse := func(field, say, try string) {
		problems = append(problems, app.Problem{Field: field, Say: say, Try: try})
	}
	kept := p.keptOf(was, known)
	number := func(box, label string) *float64 {
		text := v[box]
		if text == "" {
			return nil
		}
		x, ok := qty.Number(text)
		if !ok {
			refuse(box, p.Say("form.nonumber", p.Say(label), text), p.Say("form.nonumbertry", "12"))
			return nil
		}
		return &x
	}
	whole := func(box, label string, otherwise int) int {
		x := number(box, label)
		switch {
		case x == nil:
			return otherwise
		case *x != float64(int(*x)) || *x < 0 || *x > 1000:
			refuse(box, p.Say("form.whole", p.Say(label), v[box]), p.Say("form.wholetry"))
			return otherwise
		}
		return int(*x)
	}
	r := lot.Rule{Key: app.HouseRule, Title: kept(v["title"]), Jurisdiction: was.Jurisdiction, Citation: was.Citation, Date: was.Date, Review: v["review"], How: "assumed", Applies: kept(v["applies"]),
		Limits: []lot.Limit{}, Evidence: []lot.Need{}, Allows: phrases(v["allows"]), Refuses: phrases(v["refuses"]), Note: kept(v["ruleremark"])}
	for i := range rowsOf(v["limits"]) {
		box := func(key string) string { return v[at(key, i)] }
		l := lot.Limit{Unit: box("unit"), Basis: cmp.Or(box("basis"), "none"), OnlyFor: cmp.Or(box("only"), "all"), Of: cmp.Or(box("of"), "each"), Either: box("either"), How: cmp.Or(box("how"), "assumed"), Within: number(at("within", i), "house.within"), Samples: whole(at("samples", i), "house.samples", 1), Over: whole(at("over", i), "house.over", 0)}
		l.Where, l.Note = cmp.Or(kept(box("where")), ownChoice), kept(box("note"))
		key, near, ok := p.analyteRead(box("analyte"))
		if l.Analyte = key; !ok {
			l.Analyte = box("analyte")
			try := p.Say("house.noanalytetry", p.Words.List(p.analytesFew()))
			if len(near) > 0 {
				try = p.Say("house.near", p.Words.List(near))
			}
			say := p.Say("house.noanalyte", i+1, box("analyte"))
			if box("analyte") == "" {
				say = p.Say("house.empty", i+1)
			}
			refuse(at("analyte", i), say, try)
		}
		if l.Unit == "" && !strings.HasPrefix(lot.UnitOf(key), "1/") {
			l.Unit = cmp.Or(lot.UnitOf(key), "-")
		}
		limit := number(at("limit", i), "house.bar")
		switch box("bound") {
		case "least":
			l.Least = limit
		case "under":
			l.Under = limit
		case "between":
			l.Least, l.Most = limit, number(at("top", i), "house.top")
			if l.Most == nil && v[at("top", i)] == "" {
				refuse(at("top", i), p.Say("house.notop", i+1), p.Say("house.notoptry"))
			}
		default:
			l.Most = limit
		}
		r.Limits = append(r.Limits, l)
	}
	for i := range rowsOf(v["needs"]) {
		box := func(key string) string { return v[at(key, i)] }
		var n lot.Need
		switch k := slices.IndexFunc(known, func(x lot.Need) bool { return x.Key == box("need") }); {
		case box("need") == heatNeed:
			days, turns := number(at("days", i), "house.days"), whole(at("turns", i), "house.turns", 0)
			hot, ok := p.hotRead(box("hot"))
			if !ok || !(hot > 30 && hot < 90) {
				refuse(at("hot", i), p.Say("house.nohot", i+1), p.Say("house.nohottry", printable(p.Units.Temperature(55))))
			}
			if days == nil && box("days") == "" || days != nil && !(*days > 0 && *days <= 365) {
				refuse(at("days", i), p.Say("house.nodays", i+1), p.Say("house.nodaystry"))
			}
			n = app.HeatNeed(hot, orNought(days), turns)
			n.Key = freshKey(r, n.Key)
			for _, x := range was.Evidence { // what the form does not show stays
				if h := x.Heat; h != nil && x.Key == box("key") && p.Units.Temperature(hot) == p.Units.Temperature(h.Low) && orNought(days) == h.Hours/24 && turns == h.Turns {
					n = x
				}
			}
		case k >= 0:
			n = lot.Need{Key: known[k].Key, Say: cmp.Or(kept(box("say")), known[k].Say), Try: cmp.Or(kept(box("try")), known[k].Try)}
		default:
			n = lot.Need{Key: box("key"), Say: kept(box("say")), Try: cmp.Or(kept(box("try")), app.OwnTry)}
			if n.Say == "" {
				refuse(at("say", i), p.Say("house.nosay", i+1), p.Say("house.nosaytry"))
			}
			if strings.HasPrefix(n.Key, "heat_") || slices.ContainsFunc(known, func(x lot.Need) bool { return x.Key == n.Key }) || n.Key == "" {
				n.Key = freshKey(r, keyOf(n.Say))
			}
		}
		n.OnlyFor, n.Either, n.How = cmp.Or(box("onlyif"), "all"), box("oneof"), cmp.Or(box("known"), "assumed")
		n.Where, n.Note = cmp.Or(kept(box("stands")), ownChoice), kept(box("remark"))
		r.Evidence = append(r.Evidence, n)
	}
	return r, problems, nil
}

// ownChoice is where a limit of the farm's own stands when nobody says where.
const ownChoice = "our choice"

// keptOf gives what was typed; where that is only how the reader is told what stands
// in the rule, it stays as it stands.
func (p person) keptOf(was lot.Rule, known []lot.Need) func(string) string {
	own := map[string]string{}
	for _, x := range []string{was.Title, was.Applies, was.Note, ownChoice} {
		own[p.Told(x)] = x
	}
	for _, l := range was.Limits {
		own[p.Told(l.Where)], own[p.Told(l.Note)] = l.Where, l.Note
	}
	for _, n := range slices.Concat(known, was.Evidence) {
		own[p.Told(n.Say)], own[p.Told(n.Try)], own[p.Told(n.Where)], own[p.Told(n.Note)] = n.Say, n.Try, n.Where, n.Note
	}
	return func(text string) string {
		if x, ok := own[text]; ok {
			return x
		}
		return text
	}
}

// phrases reads phrases, one a line.
func phrases(text string) []string {
	out := []string{}
	for _, l := range strings.Split(text, "\n") {
		if l = strings.Join(strings.Fields(l), " "); l != "" && !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	return out
}

// hotRead reads how hot a pile has to be, in the reader's degrees where no unit stands.
func (p person) hotRead(text string) (qty.Celsius, bool) {
	if bare(text) {
		text += pick(p.Units, " °F", " °C")
	}
	c, err := qty.Parse(text, qty.Temperature)
	return qty.Celsius(c), err == nil
}

func orNought(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}

// keyOf makes a key of words: small letters and digits, strokes between.
func keyOf(say string) string {
	key := strings.ToLower(strings.Join(strings.FieldsFunc(say, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), "_"))
	if r := []rune(key); len(r) > 40 {
		key = strings.TrimSuffix(string(r[:40]), "_")
	}
	return cmp.Or(key, ownNeed)
}

// freshKey gives a key that no piece of evidence before has.
func freshKey(r lot.Rule, key string) string {
	out := key
	for n := 2; slices.ContainsFunc(r.Evidence, func(x lot.Need) bool { return x.Key == out }); n++ {
		out = fmt.Sprintf("%s_%d", key, n)
	}
	return out
}

// analytesFew are some analytes that may be typed, in the reader's words.
func (p person) analytesFew() (out []string) {
	for _, k := range []string{"salmonella", "fecal_coliform", "copper", "ph", "water"} {
		out = append(out, p.analyteTyped(k))
	}
	return out
}
