package proof

import (
	_ "embed"
	"encoding/json"
)

//go:embed results.json
var kept []byte

// Kept gives the results of the last runs that were kept.
func Kept() ([]Result, error) {
	var r []Result
	return r, json.Unmarshal(kept, &r)
}
