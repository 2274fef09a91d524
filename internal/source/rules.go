package source

import (
	"io/fs"
	"path"
	"slices"
	"strings"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/lot"
)

// Rules gives the rules of data/rules by key. The error lists everything that is
// wrong in any of them.
func Rules() ([]lot.Rule, error) {
	all, err := fs.Glob(files, "data/rules/*.json")
	if err != nil {
		return nil, err
	}
	var out []lot.Rule
	var problems []figure.Problem
	for _, f := range all {
		data, err := files.ReadFile(f)
		if err != nil {
			return nil, err
		}
		r, err := ReadRule(path.Base(f), data)
		if err != nil {
			problems = append(problems, figure.Problem{Field: path.Base(f), Say: err.Error(), Try: "Mend the file."})
			continue
		}
		if r.Key != strings.TrimSuffix(path.Base(f), ".json") {
			problems = append(problems, figure.Problem{Field: path.Base(f), Say: "The key " + r.Key + " is not the name of the file.", Try: "Make them alike."})
		}
		out = append(out, r)
	}
	slices.SortFunc(out, func(a, b lot.Rule) int { return strings.Compare(a.Key, b.Key) })
	return out, contract.Refuse(problems)
}

// ReadRule reads one rule, a farm's own among them. The error lists everything
// that is wrong in it.
func ReadRule(name string, data []byte) (lot.Rule, error) {
	var r lot.Rule
	problems := within(name, contract.Decode(data, &r))
	if len(problems) == 0 {
		problems = within(name, r.Check())
	}
	return r, contract.Refuse(problems)
}

// Claims gives the words of labels that are refused or asked about.
func Claims() ([]lot.Claim, error) {
	data, err := files.ReadFile("data/claims.json")
	if err != nil {
		return nil, err
	}
	var f struct {
		Note   string      `json:"note"`
		Claims []lot.Claim `json:"claims"`
	}
	return f.Claims, contract.Refuse(within("claims.json", contract.Decode(data, &f)))
}
