package web

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"

	"wormyard/internal/app"
	"wormyard/journal"
)

// Forms of settings that several people may have open at once carry a mark of what
// they were drawn from. Who saves a form whose setting was changed meanwhile is told
// so, with what they typed; saved once more it stands in the other's place.

// drawnFrom is the box that carries the mark.
const drawnFrom = "drawnfrom"

// markOf tells one content of a setting from another.
func markOf(setting any) string {
	raw, err := json.Marshal(setting)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:8])
}

// meanwhile says that a setting is not any more as a form was drawn from, by whom and
// since when, and takes the mark of what it is now. A form without a mark is of a
// program before.
func (s *Server) meanwhile(p person, v values, key string, now any) ([]app.Problem, *Link) {
	was, is := v[drawnFrom], markOf(now)
	v[drawnFrom] = is
	if was == "" || was == is {
		return nil, nil
	}
	say := p.Say("setting.meanwhile")
	var see *Link
	list := s.Farm.State().Journal()
	for i := len(list) - 1; i >= 0; i-- {
		if b, ok := list[i].Body.(*journal.Setting); ok && b.Key == key {
			say = p.Say("setting.meanwhileby", p.Moment(list[i].At), whoOf(p, list[i].Who))
			see = &Link{To: "/journal/" + list[i].ID, Name: p.Say("setting.meanwhilesee")}
			break
		}
	}
	return []app.Problem{{Say: say, Try: p.Say("setting.meanwhiletry")}}, see
}
