package published

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

//go:embed cases.json
var caseList []byte

// Group is a numbered list of cases that our numbers must be held against.
type Group struct {
	Title string `json:"title"`
	Cases []Case `json:"cases"`
}

// Case is one equation or one worked case and the checks that hold it, each as
// "file/check". None says why there is nothing to compute.
type Case struct {
	ID     string   `json:"id"`
	What   string   `json:"what"`
	Checks []string `json:"checks,omitempty"`
	None   string   `json:"none,omitempty"`
}

// Cases gives the groups of cases. The error lists cases that no check holds,
// cases that stand twice and checks that are in no file.
func Cases() ([]Group, error) { return casesOf(caseList) }

func casesOf(list []byte) ([]Group, error) {
	var groups []Group
	if err := json.Unmarshal(list, &groups); err != nil {
		return nil, fmt.Errorf("cases.json: %w", err)
	}
	known := map[string]bool{}
	for _, name := range Names() {
		f, err := Read(name)
		if err != nil {
			return nil, err
		}
		for _, c := range f.Checks {
			known[name+"/"+c.ID] = true
		}
	}
	var amiss []string
	seen := map[string]bool{}
	for _, g := range groups {
		for _, c := range g.Cases {
			at := g.Title + ", " + c.ID
			if seen[at] {
				amiss = append(amiss, at+" stands twice")
			}
			seen[at] = true
			if len(c.Checks) == 0 && c.None == "" {
				amiss = append(amiss, at+" is held by no check")
			}
			for _, check := range c.Checks {
				if !known[check] {
					amiss = append(amiss, fmt.Sprintf("%s: there is no check %q", at, check))
				}
			}
		}
	}
	if len(amiss) > 0 {
		slices.Sort(amiss)
		return nil, fmt.Errorf("cases.json: %s", strings.Join(amiss, "; "))
	}
	return groups, nil
}
