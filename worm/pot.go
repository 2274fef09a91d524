package worm

import "math"

// Culture is a shut pot in which worms are kept and weighed, as in the trials
// that growth was learned from: nothing leaves, dies or hatches.
type Culture struct {
	Worms        float64 // number
	MassG        float64 // live mass of one at the start [g]
	TempC        float64
	Water        float64 // of the feed [kg/kg wet]
	AreaM2       float64 // 0: crowding does not count
	FeedKgWet    float64 // at the start
	MoreKgWet    float64 // given again
	MoreEachDays float64 // every so many days; 0 never
	RotPerDay    float64 // of the feed that lies [1/day]; 0 where it was kept fresh or is not told
}

// Point is what is found in a pot on a day.
type Point struct {
	Day     float64
	MassG   float64 // mean live mass of a worm [g]
	Adults  float64 // share that are mature
	Cocoons float64 // laid for each worm of the pot since the start
	LeftKg  float64 // wet feed not yet eaten [kg]
}

// potStep is the step in which a pot is followed [day].
const potStep = 0.25

// Keep follows a pot for a number of days and tells what is in it at the end of
// each quarter of a day. model.md (W18)
func (p Parameters) Keep(c Culture, days float64, tell func(Point)) {
	p.YoungDeath, p.AdultDeath, p.LeavePerDay, p.HatchFrac = 0, 0, 0, 0
	p.LifeDays = math.Inf(1)
	s := p.Alike(c.Worms, c.MassG)
	places := []Place{{Share: 1, CocoonShare: 1, TempC: c.TempC, Water: c.Water, Oxygen: openAir}}
	left, laid := c.FeedKgWet, 0.0
	for i := range int(math.Round(days / potStep)) {
		day := float64(i) * potStep
		if c.MoreEachDays > 0 && i > 0 && math.Mod(day, c.MoreEachDays) == 0 {
			left += c.MoreKgWet
		}
		want := p.Wanted(&s, places, potStep)
		eaten := math.Min(want, left)
		left = (left - eaten) * math.Exp(-c.RotPerDay*potStep)
		f := Step(&p, &s, Conditions{Places: places, AreaM2: c.AreaM2, Days: potStep, WantedKgWet: want, EatenKgWet: eaten, EatenKgDry: eaten * (1 - c.Water)})
		laid += f.Laid
		n := s.Adults + s.Juveniles()
		tell(Point{Day: day + potStep, MassG: s.LiveKg() * 1e3 / n, Adults: s.Adults / n, Cocoons: laid / c.Worms, LeftKg: left})
	}
}

// Alike gives worms of one live mass [g]. The young are as far on in their
// development as their size between hatchling and adult says, and those that
// weigh more than the least adult by a fifth are taken for adults.
func (p *Parameters) Alike(count, massG float64) Stock {
	var s Stock
	if massG > 1.2*p.MatureG {
		s.Adults, s.AdultKg = count, count*massG*1e-3
		s.Settle(p)
		return s
	}
	from, to := math.Cbrt(p.HatchlingG), math.Cbrt(p.MatureG)
	part := (math.Cbrt(massG) - from) / (to - from)
	i := min(len(s.Young)-1, max(0, int(part*float64(len(s.Young)))))
	s.Young[i], s.YoungKg[i] = count, count*massG*1e-3
	s.JuvenileKg = s.YoungKg[i]
	return s
}
