package published

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Every equation of mixing, every worked mix and every worked case is in the
// list, and each is held by a check that exists; only what has no formula may
// stand without.
func TestEveryCaseHasItsCheck(t *testing.T) {
	groups, err := Cases()
	if err != nil {
		t.Fatal(err)
	}
	want := map[string][]string{"Equations of mixing": numbered("E", 29), "Worked mixes": numbered("", 23)}
	for section, last := range map[int]rune{1: 'd', 2: 'c', 3: 'g', 4: 'j', 5: 'h', 6: 'l', 8: 'd'} {
		for letter := 'a'; letter <= last; letter++ {
			title := "Worked cases of layers, heat, air, water and sheds"
			want[title] = append(want[title], fmt.Sprintf("%d%c", section, letter))
		}
	}
	for section, last := range []int{11, 4, 8, 13, 10, 7, 5, 16, 7, 5} {
		for i := range last {
			want["quality"] = append(want["quality"], fmt.Sprintf("Q%d.%d", section+1, i+1))
		}
	}
	var quality []string // of any group, with what is an answer in words
	for _, g := range groups {
		for _, c := range g.Cases {
			quality = append(quality, strings.Split(c.ID, ", ")...)
		}
	}
	for _, id := range want["quality"] {
		if !slices.Contains(quality, id) {
			t.Errorf("%s is not in the list", id)
		}
	}
	delete(want, "quality")
	for title, ids := range want {
		i := slices.IndexFunc(groups, func(g Group) bool { return g.Title == title })
		if i < 0 {
			t.Errorf("there is no group %q", title)
			continue
		}
		for _, id := range ids {
			if !slices.ContainsFunc(groups[i].Cases, func(c Case) bool { return c.ID == id && (len(c.Checks) > 0 || id == "E25") }) {
				t.Errorf("%s: %s is held by no check", title, id)
			}
		}
	}
}

func numbered(before string, last int) []string {
	var out []string
	for i := range last {
		out = append(out, fmt.Sprintf("%s%d", before, i+1))
	}
	return out
}

// A list with a case that nothing holds, one that stands twice or one that names
// a check of no file is refused.
func TestCasesRefuse(t *testing.T) {
	for said, text := range map[string]string{
		"held by no check": `[{"title":"g","cases":[{"id":"1","what":"w"}]}]`,
		"stands twice":     `[{"title":"g","cases":[{"id":"1","what":"w","none":"x"},{"id":"1","what":"w","none":"x"}]}]`,
		"there is no":      `[{"title":"g","cases":[{"id":"1","what":"w","checks":["mix_by_hand/none such"]}]}]`,
	} {
		if _, err := casesOf([]byte(text)); err == nil || !strings.Contains(err.Error(), said) {
			t.Errorf("%v, want %q", err, said)
		}
	}
}
