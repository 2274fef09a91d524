package words

import "maps"

// whole joins the parts of a catalogue. A key that stands in two is ours to mend
// and is found by a test.
func whole(parts ...map[string]string) map[string]string {
	out := map[string]string{}
	for _, p := range parts {
		maps.Copy(out, p)
	}
	return out
}
