package lot

import (
	"fmt"
	"strings"
)

// A Claim is words of labels that are refused or asked about.
type Claim struct {
	Words  []string `json:"words" doc:"in English and Spanish, lower case"`
	Level  string   `json:"level" choice:"refused,asked"`
	Why    string   `json:"why"`
	Try    string   `json:"try"`
	Unless string   `json:"unless,omitempty" doc:"evidence that makes it true"`
	How    string   `json:"how" choice:"found,memory,assumed"`
}

// A Caution is what a label says that it should not, or only with proof.
type Caution struct {
	Words string
	Level string // refused or asked
	Say   string
	Try   string
}

// CheckLabel looks through the text of a label for claims, for words that the
// rule does not let it say, and for the three numbers of fertilisers. has tells
// which evidence is met.
func CheckLabel(text string, claims []Claim, rule Rule, has map[string]bool) []Caution {
	plain := fold(text)
	var out []Caution
	seen := map[string]bool{}
	for _, w := range rule.Refuses {
		if hasWords(plain, fold(w)) && !seen[w] {
			seen[w] = true
			out = append(out, Caution{w, "refused", fmt.Sprintf("%s does not let a label say it.", rule.Title), "Take it off."})
		}
	}
	for _, c := range claims {
		if c.Unless != "" && has[c.Unless] {
			continue
		}
		for _, w := range c.Words {
			if hasWords(plain, fold(w)) && !seen[w] {
				seen[w] = true
				out = append(out, Caution{w, c.Level, c.Why, c.Try})
			}
		}
	}
	if n := threeNumbers(text); n != "" {
		out = append(out, Caution{n, "asked", "Three numbers like these make it a fertiliser in most states: it must be registered and its analysis guaranteed.", "Take them off, or register it."})
	}
	return out
}

var accents = strings.NewReplacer("á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ü", "u", "ñ", "n")

// fold makes words comparable: lower case, without accents, single spaces, every
// sign a space.
func fold(s string) string {
	s = accents.Replace(strings.ToLower(s))
	return " " + strings.Join(strings.FieldsFunc(s, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9')
	}), " ") + " "
}

// hasWords finds whole words in folded text.
func hasWords(plain, w string) bool { return strings.TrimSpace(w) != "" && strings.Contains(plain, w) }

// threeNumbers finds "1-0-0" and the like.
func threeNumbers(text string) string {
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \t\n,;()", r) }) {
		parts := strings.Split(strings.Trim(strings.NewReplacer("–", "-", "−", "-").Replace(w), ".:"), "-")
		if len(parts) != 3 {
			continue
		}
		ok := true
		for _, p := range parts {
			ok = ok && p != "" && len(p) <= 4 && strings.Trim(p, "0123456789.") == "" && strings.Trim(p, ".") != ""
		}
		if ok && len(parts[0]) < 4 {
			return w
		}
	}
	return ""
}

// CheckDigit is the last digit of a number of goods, by weights 3 and 1 from the
// right. model.md (Q9).
func CheckDigit(digits string) (int, bool) {
	if digits == "" || strings.Trim(digits, "0123456789") != "" {
		return 0, false
	}
	sum := 0
	for i := range len(digits) {
		d := int(digits[len(digits)-1-i] - '0')
		if i%2 == 0 {
			d *= 3
		}
		sum += d
	}
	return (10 - sum%10) % 10, true
}
