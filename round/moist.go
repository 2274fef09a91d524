package round

import (
	"math"

	"wormyard/bed"
	"wormyard/twin"
)

// dryNow says whether the top is too dry already in most members.
func dryNow(c *Case, least float64) bool {
	return c.Ensemble.Share(func(m *twin.Member) bool { return twin.TopWater(&m.State) < least }) >= 0.75
}

func watering(c *Case, kg float64) bed.Act {
	return bed.Act{Hour: c.Now, Kind: bed.Water, WaterKg: kg, TempC: math.NaN()}
}

func (t *Trier) covered(c *Case, name string) bed.Act {
	cover, _ := t.Crew.Best().Cover(name)
	return bed.Act{Hour: c.Now, Kind: bed.Covered, Cover: cover}
}

func bare(c *Case) bool {
	name := c.Ensemble.Members[0].State.Cover.Name
	return name == "" || name == "none"
}

// watered is a watering by the gallon, with a cloth on a bare bed.
func (t *Trier) watered(c *Case, gallons float64, cover bool) option {
	kg := gallons * t.P.WaterStepKg
	o := option{head: say("water", pour(kg)), act: Water, waterKg: kg, mix: -1, acts: []bed.Act{watering(c, kg)}}
	if cover {
		o.head, o.cover = say("water_cover", pour(kg)), "cloth"
		o.acts = append(o.acts, t.covered(c, "cloth"))
	}
	return o
}

// moist finds the least that keeps the top moist until the visit: a cover where
// there is none, then water by the gallon; nil when nothing is needed. It gives
// what else was tried. docs/model.md (R4), (R9).
func (t *Trier) moist(c *Case, base verdict) (*option, []option, error) {
	if base.dry <= t.P.MostDry+t.hold(c.unwatered())-t.hold(c.watered()) || base.water > t.P.WetBed {
		return nil, nil, nil
	}
	var options []option
	open := bare(c)
	if open {
		options = append(options, option{head: say("cover.cloth"), act: Cover, cover: "cloth", mix: -1, acts: []bed.Act{t.covered(c, "cloth")}})
	}
	for _, g := range []float64{1, 2, 3, 5} {
		options = append(options, t.watered(c, g, open))
	}
	best, helped := -1, base.dry
	for i := range options {
		v, err := t.try(c, &options[i], t.half.screen)
		if err != nil {
			return nil, nil, err
		}
		if v.water > t.P.WetBed || v.sour > math.Max(base.sour, t.P.MostSour) {
			options = options[:i+1]
			break
		}
		best, helped = i, v.dry
		if v.dry <= t.P.MostDry+t.hold(c.wasWet(&options[i])) { // what was advised last is as good: R9
			options = options[:i+1]
			break
		}
	}
	if best < 0 || helped > base.dry-material { // what does not help is not asked for
		return nil, options, nil
	}
	chosen := options[best]
	return &chosen, options, nil
}
