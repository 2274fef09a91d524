package source

import (
	"fmt"

	"wormyard/figure"
	"wormyard/internal/contract"
)

// TruckItem is one part of a truck that is looked over before its first lift of
// the day. What to look for is in the words of the page.
type TruckItem struct {
	Item      string `json:"item" doc:"as journal.TruckParts has it"`
	Key       string `json:"key" choice:"off,on" doc:"looked at with the key off, or running"`
	Paragraph string `json:"paragraph" doc:"of 29 CFR 1910.178, empty where none asks for it"`
	Ref       string `json:"ref"`
	How       string `json:"how" choice:"found,memory,assumed"`
	Note      string `json:"note,omitempty"`
}

// Truck gives the items of data/truck.json in their order. The error lists
// everything that is wrong in the file.
func Truck() ([]TruckItem, error) {
	refs, err := Refs()
	if err != nil {
		return nil, err
	}
	data, err := files.ReadFile("data/truck.json")
	if err != nil {
		return nil, err
	}
	var f struct {
		Note  string      `json:"note"`
		Items []TruckItem `json:"items"`
	}
	problems := within("truck.json", contract.Decode(data, &f))
	for _, i := range f.Items {
		if _, ok := refs[i.Ref]; !ok {
			problems = append(problems, figure.Problem{Field: "truck.json " + i.Item, Say: fmt.Sprintf("Reference %q is in no refs file.", i.Ref), Try: "Add it to refs_trouble.json."})
		}
	}
	return f.Items, contract.Refuse(problems)
}
