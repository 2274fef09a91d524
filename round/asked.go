package round

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"wormyard/twin"
)

// Fed is what the journal tells of the feedings of one bin. Days are counted in
// the farm's zone.
type Fed struct {
	Bin, Barn, Row string
	Stack, Level   int
	Top            bool    // nothing stands on it
	Laid           []int64 // days on which a bed was laid in it, in order
	Days           []int64 // with a feeding written down, of all its beds, in order
	Quiet          bool    // it is not to be fed for now
	Told           []int64 // of Days, those that came out only when somebody was asked
	Answered       []int64 // days that somebody was asked about
}

// Asked is a feeding that a bin may have had and that nobody wrote down.
type Asked struct {
	Day    string  `json:"day"`   // YYYY-MM-DD in the farm's zone
	Hour   int64   `json:"hour"`  // at which the farm was feeding on that day
	Prior  float64 `json:"prior"` // chance, by the journal, that its stack was fed with nobody writing it down
	Share  float64 `json:"share"` // chance that this bin was, where its stack was
	Ratio  float64 `json:"ratio"` // how much likelier a feeding makes what was seen of it since
	Alone  bool    `json:"alone"` // others of its stack were written down, so that it is asked about by itself
	Others int     `json:"others"`
	Every  float64 `json:"every_days"`
	Gap    float64 `json:"gap_days"` // from its last feeding to that day
	DepthM float64 `json:"depth_m"`
	Mix    string  `json:"mix"`
	Seen   *Phrase `json:"seen,omitempty"`   // since, where it tells
	Follow bool    `json:"follow,omitempty"` // the twins are followed both ways
}

// Chance gives how likely the bin was fed that day with nobody writing it down, by
// the journal and by what was seen of it alone, 0 to 1. docs/model.md (H8)
func (a *Asked) Chance() float64 {
	p := a.Prior * a.Share
	return p * a.Ratio / (1 - p + p*a.Ratio)
}

// Both says whether it is worth following both ways: beyond, one is as good as sure.
func (a *Asked) Both() bool {
	p := a.Chance()
	return p > surelyNot && p < surely
}

// Fed says that it is as good as sure that it was fed.
func (a *Asked) Fed() bool { return a.Chance() >= surely }

// From where a feeding that was not written down is taken as sure, one way or the
// other.
const (
	surelyNot = 0.05
	surely    = 0.95
)

// follow marks the likeliest of suspected feedings, at most follow_most, whose bins
// are followed both ways.
func (p *Parameters) follow(of map[string]Suspect) {
	bins := slices.SortedFunc(maps.Keys(of), func(a, b string) int {
		x, y := of[a], of[b]
		return cmp.Or(cmp.Compare(y.Chance(), x.Chance()), cmp.Compare(a, b))
	})
	for _, bin := range bins[:min(len(bins), int(p.FollowMost))] {
		x := of[bin]
		x.Follow = true
		of[bin] = x
	}
}

// Perhaps says that a bin was perhaps fed with nobody writing it down, and how likely.
func (a *Asked) Perhaps() Phrase { return say("why.perhaps", day(a.Hour), odds(a.Chance(), 0)) }

// How many of the last days tell on which day of the week a bin or a stack is
// fed, from how many feedings on a bin has a habit, and the most that is taken
// as one.
const (
	weekdayDays = 56
	leastFeeds  = 3
	mostHabit   = 0.98
)

// kind is what makes bins, or stacks, alike on a day of feeding.
type kind struct {
	a, b int
	top  bool
}

// kind of a bin: half weeks since the last feeding, how many thirds of its
// feedings fell on that day of the week, and whether it is reached without a truck.
func (f *Fed) kind(day int64) (kind, bool) {
	past := f.before(day)
	n := len(past)
	if n < leastFeeds {
		return kind{}, false
	}
	late, same := 0.0, 0.0
	for _, d := range past {
		if day-d <= weekdayDays {
			late++
			if (day-d)%7 == 0 {
				same++
			}
		}
	}
	k := kind{a: min(int(float64(day-past[n-1])/3.5+0.5), 9), top: f.Top}
	if late > 0 {
		k.b = int(math.Round(3 * same / late))
	}
	return k, true
}

// before gives the days before a day on which the bed of that day was fed.
func (f *Fed) before(day int64) []int64 {
	to, _ := slices.BinarySearch(f.Days, day)
	from := 0
	if n, _ := slices.BinarySearch(f.Laid, day); n > 0 {
		from, _ = slices.BinarySearch(f.Days, f.Laid[n-1])
	}
	return f.Days[min(from, to):to]
}

// on says whether it was written down by itself that the bin was fed on a day.
func (f *Fed) on(day int64) bool {
	_, found := slices.BinarySearch(f.Days, day)
	return found && !slices.Contains(f.Told, day)
}

// counted counts days of feeding, and those written down.
type counted struct{ n, written float64 }

func (c *counted) add(written bool) {
	c.n++
	if written {
		c.written++
	}
}

// towards gives the share written down, drawn to a wider one by its weight.
func (c counted) towards(wider, weight float64) float64 {
	return (c.written + weight*wider) / (c.n + weight)
}

// The weights of what a wider class of bins or stacks shows against what those of
// one kind do.
const (
	wideWeight   = 4
	narrowWeight = 8
)

// diary is the feedings of a farm by day, with what they tell of each day.
type diary struct {
	p      *Parameters
	bins   []Fed
	days   []int64 // of feeding, in order
	stacks [][]int
	habit  map[int64][]float64 // of each bin, NaN where it has none
}

func (p *Parameters) diary(bins []Fed) *diary {
	d := &diary{p: p, bins: bins, habit: map[int64][]float64{}}
	count, at := map[int64]int{}, map[string]int{}
	for i := range bins {
		for _, day := range bins[i].Days {
			count[day]++
		}
		key := bins[i].stack()
		n, ok := at[key]
		if !ok {
			n = len(d.stacks)
			at[key], d.stacks = n, append(d.stacks, nil)
		}
		d.stacks[n] = append(d.stacks[n], i)
	}
	for day, n := range count {
		if float64(n) >= math.Max(1, p.FeedDayShare*float64(len(bins))) {
			d.days = append(d.days, day)
		}
	}
	slices.Sort(d.days)
	return d
}

// before gives the days of feeding within so many days before a day.
func (d *diary) before(day int64, within float64) []int64 {
	from, _ := slices.BinarySearch(d.days, day-int64(within))
	to, _ := slices.BinarySearch(d.days, day)
	return d.days[from:to]
}

// habits gives for each bin the chance that it was fed on a day of feeding, by
// how often bins of its kind were on those before, all moved alike so that as many were as
// were written down. docs/model.md (H4).
func (d *diary) habits(day int64) []float64 {
	if h := d.habit[day]; h != nil {
		return h
	}
	of, wide, all := map[kind]counted{}, map[kind]counted{}, counted{}
	add := func(m map[kind]counted, k kind, written bool) {
		c := m[k]
		c.add(written)
		m[k] = c
	}
	for _, past := range d.before(day, d.p.AskBinDays) {
		for i := range d.bins {
			if k, ok := d.bins[i].kind(past); ok {
				written := d.bins[i].on(past)
				all.add(written)
				add(of, k, written)
				k.top = false
				add(wide, k, written)
			}
		}
	}
	h := make([]float64, len(d.bins))
	written := 0.0
	for i := range d.bins {
		k, ok := d.bins[i].kind(day)
		if h[i] = math.NaN(); !ok || all.written == 0 || all.written == all.n {
			continue
		}
		narrow := of[k]
		k.top = false
		q := narrow.towards(wide[k].towards(all.written/all.n, wideWeight), narrowWeight)
		h[i] = math.Log(q / (1 - q))
		if d.bins[i].on(day) {
			written++
		}
	}
	low, high := -4.0, 4.0 // what all odds of the day are moved by, as a log
	for range 40 {
		mid, sum := (low+high)/2, 0.0
		for _, x := range h {
			if !math.IsNaN(x) {
				sum += 1 / (1 + math.Exp(-x-mid))
			}
		}
		if sum < written {
			low = mid
		} else {
			high = mid
		}
	}
	for i, x := range h {
		if !math.IsNaN(x) {
			h[i] = math.Min(mostHabit, 1/(1+math.Exp(-x-low))/((1-d.p.UnwrittenLine)*(1-d.p.UnwrittenBin)))
		}
	}
	d.habit[day] = h
	return h
}

// none gives the chance that no bin of a stack was fed on a day, were they fed
// independently; false where none has a habit.
func (d *diary) none(day int64, stack []int) (float64, bool) {
	out, any := 1.0, false
	for _, i := range stack {
		if h := d.habits(day)[i]; !math.IsNaN(h) {
			out, any = out*(1-h), true
		}
	}
	return out, any
}

// kind of a stack: the log of that chance in thirds, and in how many quarters of
// the days of feeding of that day of the week, in the last weeks, it was fed.
func (d *diary) kind(day int64, stack []int) (kind, bool) {
	none, ok := d.none(day, stack)
	if !ok {
		return kind{}, false
	}
	k := kind{a: class(none)}
	var same, fed float64
	for _, past := range d.before(day, weekdayDays) {
		if (day-past)%7 == 0 {
			same++
			if d.written(past, stack) {
				fed++
			}
		}
	}
	if same > 0 {
		k.b = int(math.Round(4 * fed / same))
	}
	return k, true
}

// written says whether anything of a stack was written down as fed on a day.
func (d *diary) written(day int64, stack []int) bool {
	return slices.ContainsFunc(stack, func(i int) bool { return d.bins[i].on(day) })
}

// class of a chance that something was not fed: its log in thirds.
func class(none float64) int { return min(9, int(-3*math.Log(none))) }

// fed gives the chance that a stack of a kind was fed on a day of feeding, and
// that a bin of a class was where others of its stack were, by how often such
// stacks and bins were before. docs/model.md (H5).
func (d *diary) fed(day int64) (stack func(kind) float64, alone func(int) float64) {
	of, wide, all := map[kind]counted{}, map[int]counted{}, counted{}
	bins, each := map[int]counted{}, counted{}
	for _, past := range d.before(day, d.p.AskStackDays) {
		for _, stack := range d.stacks {
			k, ok := d.kind(past, stack)
			if !ok {
				continue
			}
			written := d.written(past, stack)
			n, w := of[k], wide[k.a]
			n.add(written)
			w.add(written)
			all.add(written)
			of[k], wide[k.a] = n, w
			for j, i := range stack {
				h := d.habits(past)[i]
				if math.IsNaN(h) || !d.written(past, slices.Delete(slices.Clone(stack), j, j+1)) {
					continue
				}
				b := bins[class(1-h)]
				b.add(d.bins[i].on(past))
				each.add(d.bins[i].on(past))
				bins[class(1-h)] = b
			}
		}
	}
	stack = func(k kind) float64 {
		if all.n == 0 {
			return 0
		}
		q := of[k].towards(wide[k.a].towards(all.written/all.n, wideWeight), narrowWeight)
		return math.Min(mostHabit, q/(1-d.p.UnwrittenLine))
	}
	alone = func(c int) float64 {
		if each.n == 0 {
			return 0
		}
		return math.Min(mostHabit, bins[c].towards(each.written/each.n, narrowWeight)/(1-d.p.UnwrittenBin))
	}
	return stack, alone
}

// missed gives the chance that something fed with the chance g was fed, where it was not written
// down and u of what is fed is not. docs/model.md (H5).
func missed(g, u float64) float64 { return g * u / (1 - g + g*u) }

// Suspect is a bin with a day on which it may have been fed.
type Suspect struct {
	Day int64
	Asked
}

// Suspects gives the bins that may have been fed on one of the last days with
// nobody writing it down, by the journal alone: of each stack the likeliest day.
// docs/model.md (H4), (H5).
func (p *Parameters) Suspects(bins []Fed, today int64) map[string]Suspect {
	d := p.diary(bins)
	out := map[string]Suspect{}
	for _, day := range d.before(today, p.AskDays) {
		stackFed, binFed := d.fed(day)
		h := d.habits(day)
		for _, stack := range d.stacks {
			k, ok := d.kind(day, stack)
			if !ok || slices.ContainsFunc(stack, func(i int) bool { return slices.Contains(bins[i].Answered, day) }) {
				continue // who answered had the stack in mind
			}
			none, _ := d.none(day, stack)
			alone, prior := d.written(day, stack), missed(stackFed(k), p.UnwrittenLine)
			others := 0
			for i := range bins {
				if b := &bins[i]; b.Row != "" && b.Barn == bins[stack[0]].Barn && b.Row == bins[stack[0]].Row && b.on(day) {
					others++
				}
			}
			for _, i := range stack {
				b := &bins[i]
				n, _ := slices.BinarySearch(b.Days, day)
				if math.IsNaN(h[i]) || b.Quiet || n != len(b.Days) || day-b.Days[n-1] < leastGap {
					continue
				}
				a := Asked{Prior: prior, Share: math.Min(mostHabit, h[i]/(1-none)), Ratio: 1, Alone: alone, Others: others, Gap: float64(day - b.Days[n-1])}
				if alone {
					a.Prior, a.Share = missed(binFed(class(1-h[i])), p.UnwrittenBin), 1
				}
				if old, ok := out[b.Bin]; a.Prior >= p.AskChance*leastPrior && (!ok || a.Prior > old.Prior) {
					out[b.Bin] = Suspect{day, a}
				}
			}
		}
	}
	p.follow(out)
	return out
}

const (
	leastGap   = 2   // days within which two feedings that were written down are taken to be one
	leastPrior = 0.3 // of ask_chance, from which what was seen since is worth weighing
)

func (f *Fed) stack() string {
	if f.Row == "" {
		return f.Bin
	}
	return fmt.Sprintf("%s/%s/%d", f.Barn, f.Row, f.Stack)
}

// fed gives the chance that some bins of a stack were fed on a day on which
// nothing of them was written down, with what was seen of them since.
// docs/model.md (H5), (H6).
func fed(of []*Asked) float64 {
	odds := of[0].Prior / (1 - of[0].Prior)
	for _, a := range of {
		odds *= 1 - a.Share + a.Share*a.Ratio
	}
	return odds / (1 + odds)
}

// given says how likely one bin was fed where its stack was.
func (a *Asked) given() float64 {
	return a.Share * a.Ratio / (1 - a.Share + a.Share*a.Ratio)
}

// question is one that is asked: of some bins of a stack about one day.
type question struct {
	key    string
	of     []int // items
	chance float64
}

// questions gives those that are asked today, the likeliest first: at most
// ask_most, each at least ask_chance likely to be answered with yes.
// docs/model.md (H5).
func (p *Parameters) questions(items []Item) []question {
	groups := map[string]*question{}
	var order []*question
	for i := range items {
		it := &items[i]
		if it.Asked == nil {
			continue
		}
		key := "ask/" + it.Asked.Day + "/" + stackKey(it)
		if it.Row == "" || it.Asked.Alone {
			key = "ask/" + it.Asked.Day + "/" + it.Bin
		}
		if groups[key] == nil {
			groups[key] = &question{key: key}
			order = append(order, groups[key])
		}
		groups[key].of = append(groups[key].of, i)
	}
	var out []question
	for _, q := range order {
		var list []*Asked
		for _, i := range q.of {
			list = append(list, items[i].Asked)
		}
		if q.chance = fed(list); q.chance < p.AskChance {
			continue
		}
		most := slices.MaxFunc(q.of, func(a, b int) int { return cmp.Compare(items[a].Asked.given(), items[b].Asked.given()) })
		q.of = slices.DeleteFunc(q.of, func(i int) bool { return i != most && items[i].Asked.given() < 0.5 })
		out = append(out, *q)
	}
	slices.SortStableFunc(out, func(a, b question) int { return cmp.Compare(b.chance, a.chance) })
	return out[:min(len(out), int(p.AskMost))]
}

// asked takes back the feedings of bins that are asked about and gives the lines
// that ask. What else a bin needs stays. docs/model.md (H5).
func (p *Parameters) asked(items []Item) []Line {
	var out []Line
	for _, q := range p.questions(items) {
		first := &items[q.of[0]]
		l := Line{Key: q.key, Barn: first.Barn, Row: first.Row, Act: Ask, Urgency: Today, Minutes: p.AskMinutes}
		for _, i := range q.of {
			it := &items[i]
			a := it.Asked
			x := Item{Bin: it.Bin, Place: it.Place, Barn: it.Barn, Row: it.Row, Stack: it.Stack, Level: it.Level, Act: Ask, Urgency: Today,
				Minutes: p.AskMinutes / float64(len(q.of)), Head: say("ask", day(a.Hour), date(a.Hour)), Asked: a, Visit: it.Visit}
			if a.Every > 0 {
				x.Why = append(x.Why, say("why.ask.habit", count(int(math.Round(a.Every))), count(int(a.Gap))))
			} else {
				x.Why = append(x.Why, say("why.ask.gap", count(int(a.Gap))))
			}
			if a.Others > 0 {
				x.Why = append(x.Why, say("why.ask.row", count(a.Others)))
			}
			if a.Seen != nil {
				x.Why = append(x.Why, *a.Seen)
			}
			x.Sureness = []Phrase{say("sure.ask", odds(q.chance, 0))}
			l.Items = append(l.Items, x)
			it.waitForAnswer()
		}
		l.Head = l.Items[0].Head
		out = append(out, l)
	}
	return out
}

// waitForAnswer takes the feeding from an item until somebody says whether its
// bin was fed. Water and a cover stay.
func (it *Item) waitForAnswer() {
	it.Doubt = 0
	if it.Act != Feed && it.Act != Rest {
		return
	}
	why := say("why.asked", day(it.Asked.Hour))
	if it.Act == Feed {
		a := it.Advice()
		a.Off = true
		it.Off = &a
		it.Act, it.DepthM, it.Mix, it.VolumeM3, it.Others, it.Sureness = Rest, 0, "", 0, nil, nil
		it.Why = slices.DeleteFunc(slices.Clone(it.Why), func(p Phrase) bool { return p.Key != "why.dry" })
		switch {
		case it.WaterKg > 0 && it.Cover != "":
			it.Act, it.Head = Water, say("water_cover", pour(it.WaterKg))
		case it.WaterKg > 0:
			it.Act, it.Head = Water, say("water", pour(it.WaterKg))
		case it.Cover != "":
			it.Act, it.Head = Cover, say("cover."+it.Cover)
		default:
			it.Head, it.Urgency, it.Minutes, it.Lift, it.Care = say("rest"), NoHurry, 0, 0, nil
		}
	}
	it.Why = append([]Phrase{why}, it.Why...)
}

// BothWays tells of a bin that was perhaps fed in an hour, with what chance, and how
// warm its warmest place is if it was and if not [C].
func BothWays(hour int64, chance, fed, unfed float64) Phrase {
	return say("why.both", day(hour), odds(chance, 0), temp(fed), temp(unfed))
}

// SeenRead tells a reading since, with what is expected with no feeding and with
// one [C].
func (a *Asked) SeenRead(r twin.Reading, none, fed float64) {
	p := say("why.ask.read", day(r.Hour), temp(r.TempC), depth(r.DepthM), temp(none), temp(fed))
	a.Seen = &p
}

// SeenLook tells that what was seen at an hour since fits a feeding.
func (a *Asked) SeenLook(hour int64) {
	p := say("why.ask.look", day(hour))
	a.Seen = &p
}
