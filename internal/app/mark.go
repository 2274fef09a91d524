package app

import (
	"wormyard/farm"
	"wormyard/internal/label"
)

// FarmMark gives the four letters that stand for this farm on labels. They come
// from the id of the first entry that its journal took, which no later entry,
// backup or restore changes; a farm with no entry has none.
func FarmMark(s *farm.State) string {
	first, seq := "", int64(0)
	for _, e := range s.Journal() {
		if first == "" || e.Seq < seq {
			first, seq = e.ID, e.Seq
		}
	}
	if first == "" {
		return ""
	}
	return label.Mark(first)
}
