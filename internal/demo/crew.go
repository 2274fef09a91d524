package demo

import (
	"math"
	"time"
)

// work is one working day: what the crew sees in the morning, does, and writes.
func (f *truth) work() error {
	if f.day == 0 {
		if err := f.firstMorning(); err != nil {
			return err
		}
	}
	f.use = append(f.use, 0)
	f.stand()
	f.barnGlass()
	f.foretold()
	if err := f.deliveries(); err != nil {
		return err
	}
	if f.day == 0 {
		return nil
	}
	if err := f.mixing(); err != nil {
		return err
	}
	f.tending()
	f.frost()
	f.carpentry()
	f.truckCheck()
	day := f.weekday(f.day)
	if day == time.Tuesday || day == time.Thursday {
		f.stabs(5)
	}
	switch day {
	case time.Tuesday, time.Friday:
		if err := f.feeding(day == time.Friday); err != nil {
			return err
		}
	case time.Monday, time.Wednesday, time.Thursday:
		if err := f.harvests(); err != nil {
			return err
		}
	}
	if day == time.Thursday {
		if err := f.splits(); err != nil {
			return err
		}
		f.swaps()
	}
	if day != time.Sunday {
		if err := f.fillEmpty(); err != nil {
			return err
		}
		f.helpPoor()
		f.measures()
		f.sightings()
		f.lotWork()
		f.papers()
	}
	f.skip()
	f.answered()
	f.slips()
	return f.story.happen(f)
}

// truckCheck writes the look over the truck before the first lift of a working
// day; one in ten goes unwritten, and now and then a part is not as it should be.
func (f *truth) truckCheck() {
	day := f.weekday(f.day)
	if day == time.Saturday || day == time.Sunday || f.day%10 == 7 {
		return
	}
	hours := 2140 + 2.5*float64(f.day)
	l := entry("truck check", crew1, f.at(f.day, clockOf(7, 36))).with("truck", "truck 1").with("hours", rounded(hours, 1)).with("fit", "yes")
	if f.day%87 == 40 {
		l = l.with("wrong", "horn").with("note", "horn weak, mended by noon")
	}
	f.writeNow(l)
}

// coldest gives the least true temperature outside over some hours from now on.
func (f *truth) coldest(hours int) float64 {
	low := math.Inf(1)
	for t := range int64(hours) {
		low = min(low, f.outside.At(f.morning(f.day)+t).TempC)
	}
	return low
}

// foretold is the outlook that the owner types: today and the next two days.
func (f *truth) foretold() {
	winter := f.season(f.day) < 0.2 || f.season(f.day) > 0.83
	today := f.day == f.days
	if !today && !(winter && (f.weekday(f.day) == time.Monday || f.weekday(f.day) == time.Thursday)) {
		return
	}
	for k := range 3 {
		from := f.at(f.day+k, 0)
		low, high := math.Inf(1), math.Inf(-1)
		for t := range int64(24) {
			x := f.outside.At(hourOf(from) + t).TempC
			low, high = min(low, x), max(high, x)
		}
		sd := f.h.OutlookSD * math.Sqrt(0.6+0.4*float64(k))
		low, high = low+f.eye.norm(0, sd), high+f.eye.norm(0, sd)
		l := entry("site", owner, f.at(f.day, clockOf(7, 20)+k)).with("place", "outside").with("outlook", "yes").
			with("low_c", fahrenheit(min(low, high-1), 1)).with("high_c", fahrenheit(high, 1)).with("day", from.Format(time.DateOnly))
		f.writeNow(l)
	}
}

// frost covers beds with film before a hard frost and takes it off after.
func (f *truth) frost() {
	cold := f.coldest(40)
	film := false
	for _, b := range f.bins {
		film = film || b.live != nil && b.cover == "film" && !b.fixed
	}
	cover := ""
	if !film && cold+f.eye.norm(0, 1) < -3 {
		cover = "film"
	} else if film && f.coldest(72)+f.eye.norm(0, 1) > -1 {
		cover = "cloth"
	}
	if cover == "" {
		f.heaters(film, cold)
		return
	}
	for i, row := range f.rowsOf() {
		var list []*bin
		for _, b := range row {
			if b.live != nil && !b.fixed && b.cover != cover {
				list = append(list, b)
				b.lay(cover, hourOf(f.at(f.day, clockOf(15, 0))))
			}
		}
		if len(list) == 0 || f.pen.chance(0.08) {
			continue
		}
		f.write(entry("cover", pick(i%2 == 0, crew1, crew2), f.at(f.day, clockOf(15, 4)+i*5)).with("bins", names(list)).with("cover", cover).
			with("note", pick(i == 0, pick(cover == "film", "hard frost coming", "frost is over"), "")))
	}
	f.heaters(cover == "film", cold)
}

// heaters sets the fan heaters of the barns: on in a hard frost while film lies
// on the beds, off when it has come off.
func (f *truth) heaters(film bool, cold float64) {
	for i, h := range f.houses {
		if film && cold < -4.5 && h.real.HeaterW == 0 {
			h.real.HeaterW, h.real.HeaterSetC = 9000, 4
			f.write(entry("heat", owner, f.at(f.day, clockOf(16, 30)+4*i)).with("barn", h.name).with("watts", "9000").with("set_c", "39 F").with("on", "yes").with("note", "fan heaters by the doors"))
		} else if !film && h.real.HeaterW > 0 {
			h.real.HeaterW = 0
			f.write(entry("heat", owner, f.at(f.day, clockOf(16, 10)+4*i)).with("barn", h.name).with("on", "no"))
		}
	}
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// note gives one of some notes with a chance, else none.
func (f *truth) note(chance float64, words ...string) string {
	if !f.pen.chance(chance) {
		return ""
	}
	return f.pen.one(words...)
}
