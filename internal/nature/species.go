package nature

import (
	"fmt"
	"slices"
	"strings"

	"wormyard/internal/source"
	"wormyard/worm"
)

// Species are the worms that have numbers of their own, by the last word of their
// names. The first is meant where none is named; of the others what is not known
// is taken from it.
var Species = []string{"fetida", "andrei", "veneta", "eugeniae", "excavatus", "rubellus"}

// wormFile gives the file of what is known of a species beside that of the first.
func wormFile(species string) (string, error) {
	switch {
	case species == "" || species == Species[0]:
		return "", nil
	case slices.Contains(Species, species):
		return "worm_" + species, nil
	}
	return "", fmt.Errorf("no worms are known as %q; take one of %s", species, strings.Join(Species, ", "))
}

// Worms gives the numbers of the worms of one of Species, the first when it is
// empty.
func Worms(species string) (worm.Parameters, error) {
	var p worm.Parameters
	file, err := wormFile(species)
	if err == nil {
		err = source.LoadOver("worm", file, &p)
	}
	return p, err
}

// WormEntries gives the entries behind Worms, with their ranges and sources.
func WormEntries(species string) ([]source.Parameter, error) {
	file, err := wormFile(species)
	if err != nil {
		return nil, err
	}
	return source.Over("worm", file)
}
