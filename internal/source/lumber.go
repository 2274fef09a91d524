package source

import (
	"fmt"

	"wormyard/carpentry"
	"wormyard/figure"
	"wormyard/internal/contract"
)

// gradeEntry is one row of data/lumber.json, with where it is from.
type gradeEntry struct {
	carpentry.Grade
	Ref  string `json:"ref"`
	Note string `json:"note,omitempty"`
}

// Lumber gives the grades of data/lumber.json in their order. The error lists
// everything that is wrong in the file.
func Lumber() ([]carpentry.Grade, error) {
	refs, err := Refs()
	if err != nil {
		return nil, err
	}
	data, err := files.ReadFile("data/lumber.json")
	if err != nil {
		return nil, err
	}
	var f struct {
		Note   string       `json:"note"`
		Grades []gradeEntry `json:"grades"`
	}
	problems := within("lumber.json", contract.Decode(data, &f))
	var out []carpentry.Grade
	for _, g := range f.Grades {
		if _, ok := refs[g.Ref]; !ok {
			problems = append(problems, figure.Problem{Field: "lumber.json " + g.Species, Say: fmt.Sprintf("Reference %q is in no refs file.", g.Ref), Try: "Add it to refs_carpentry.json."})
		}
		out = append(out, g.Grade)
	}
	return out, contract.Refuse(problems)
}
