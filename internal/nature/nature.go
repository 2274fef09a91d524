// Package nature brings the parameter files of internal/source into the structs
// of the core, all of them at once, so that the engine, the figures and the
// checks stand on the same numbers.
package nature

import (
	"errors"

	"wormyard/bed"
	"wormyard/carpentry"
	"wormyard/climate"
	"wormyard/harvest"
	"wormyard/internal/source"
	"wormyard/lab"
	"wormyard/mix"
	"wormyard/slide"
	"wormyard/work"
	"wormyard/worm"
	"wormyard/yard"
)

// Numbers are the parameters of every part of the model.
type Numbers struct {
	Climate climate.Parameters
	Worm    worm.Parameters
	Bed     bed.Parameters // Worm included
	Mix     mix.Parameters
	Yard    yard.Parameters
	Lab     lab.Parameters
	Harvest harvest.Parameters
	Slide   slide.Parameters // Lab included
	Wood    carpentry.Parameters
	Work    work.Parameters
}

// Load reads all parameter files. The error lists everything that is wrong in
// any of them.
func Load() (Numbers, error) { return Of("") }

// Of is Load with the worms of one of Species.
func Of(species string) (Numbers, error) {
	var n Numbers
	var ofWorms error
	n.Worm, ofWorms = Worms(species)
	err := errors.Join(
		ofWorms,
		source.Load("climate", &n.Climate),
		source.Load("bed", &n.Bed.Column),
		source.Load("warmth", &n.Bed.Warmth),
		source.Load("lying", &n.Bed.Lying),
		source.Load("fibre", &n.Bed.Fibre),
		source.Load("response", &n.Bed.Responses),
		source.Load("diffusivity", &n.Bed.Diffusivity),
		source.Load("mix", &n.Mix),
		source.Load("yard", &n.Yard.Heap),
		source.Load("lab", &n.Lab),
		source.Load("harvest", &n.Harvest),
		source.Load("slide", &n.Slide.Conversions),
		source.Load("carpentry", &n.Wood),
		source.Load("work", &n.Work),
	)
	var ofWood error
	n.Wood.Grades, ofWood = source.Lumber()
	err = errors.Join(err, ofWood)
	n.Slide.Lab = n.Lab
	n.Bed.Worm = n.Worm
	n.Yard.Warmth = n.Bed.Warmth
	return n, err
}
