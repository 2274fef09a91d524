package app

import (
	"context"
	"encoding/json"
	"time"
)

// Plans of the year are kept beside the journal: the newest, and the last of an
// earlier week, which it is held against. They may be thrown away.
const (
	seasonKind   = "season"
	seasonNewest = "newest"
	seasonBefore = "before"
)

// seasonForm is raised when what is kept of a plan can no longer be read as it was.
const seasonForm = 1

type keptYears struct{ newest, before *Year }

type keptYear struct {
	Form int   `json:"form"`
	Year *Year `json:"year"`
}

// Years gives the newest plan and the last one that was made in an earlier week; nil
// where there is none. A plan of another form is as none, and so for now are those that
// could not be read, as where the reader went away meanwhile.
func (t *Twins) Years(ctx context.Context) (newest, before *Year) {
	kept, err := t.yearsKept(ctx)
	if err != nil {
		return nil, nil
	}
	return kept.newest, kept.before
}

// yearsKept are both plans, read once.
func (t *Twins) yearsKept(ctx context.Context) (*keptYears, error) {
	t.mu.Lock()
	kept := t.years
	t.mu.Unlock()
	if kept != nil {
		return kept, nil
	}
	newest, err := t.yearKept(ctx, seasonNewest)
	if err != nil {
		return nil, err
	}
	before, err := t.yearKept(ctx, seasonBefore)
	if err != nil {
		return nil, err
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.years == nil {
		t.years = &keptYears{newest: newest, before: before}
	}
	return t.years, nil
}

func (t *Twins) yearKept(ctx context.Context, which string) (*Year, error) {
	data, _, ok, err := t.Kept.Result(ctx, seasonKind, which)
	if err != nil || !ok {
		return nil, err
	}
	var k keptYear
	if json.Unmarshal(data, &k) != nil || k.Form != seasonForm {
		return nil, nil
	}
	return k.Year, nil
}

// YearDue says whether the newest plan is of an earlier week, so that it is time for
// another; false where none was ever made.
func (t *Twins) YearDue(ctx context.Context) bool {
	newest, _ := t.Years(ctx)
	zone := t.App.State().Zone()
	return newest != nil && mondayOf(newest.Made, zone).Before(mondayOf(t.App.Now(), zone))
}

// keepYear puts a plan in place of the newest. That one is the one before where it is of
// an earlier week: what is planned anew within a week is held against the same.
func (t *Twins) keepYear(ctx context.Context, y *Year) error {
	kept, err := t.yearsKept(ctx)
	if err != nil {
		return err
	}
	newest, before := kept.newest, kept.before
	if newest != nil && mondayOf(newest.Made, t.App.State().Zone()).Before(mondayOf(y.Made, t.App.State().Zone())) {
		before = newest
	}
	rows := map[string][]byte{}
	for which, year := range map[string]*Year{seasonNewest: y, seasonBefore: before} {
		if year == nil {
			continue
		}
		data, err := json.Marshal(keptYear{seasonForm, year})
		if err != nil {
			return err
		}
		rows[which] = data
	}
	if err := t.Kept.PutResults(ctx, seasonKind, y.Made.Format(time.DateOnly), y.Made, rows); err != nil {
		return err
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.years = &keptYears{newest: y, before: before}
	return nil
}

// mondayOf gives the beginning of the week that a time lies in.
func mondayOf(t time.Time, zone *time.Location) time.Time {
	t = t.In(zone)
	return time.Date(t.Year(), t.Month(), t.Day()-(int(t.Weekday())+6)%7, 0, 0, 0, 0, zone)
}
