package words

import (
	"strconv"
	"strings"
)

// Languages gives every catalogue, the source first.
func Languages() []*Catalogue { return []*Catalogue{English(), Spanish()} }

// Language gives the two or three letters that a language goes by: "es".
func (c *Catalogue) Language() string { return base(c.Lang) }

// Choose gives the catalogue of the language that a person has chosen, and
// without a choice the first that their browser asks for (Accept-Language,
// RFC 9110 section 12.5.4) and we have; otherwise the first of all.
func Choose(all []*Catalogue, chosen, accept string) *Catalogue {
	if c := find(all, chosen); c != nil {
		return c
	}
	best, most := all[0], 0.0
	for part := range strings.SplitSeq(accept, ",") {
		tag, weight, _ := strings.Cut(strings.TrimSpace(part), ";")
		q := 1.0
		if v, ok := strings.CutPrefix(strings.ReplaceAll(weight, " ", ""), "q="); ok {
			f, err := strconv.ParseFloat(v, 64)
			if err != nil || !(f >= 0 && f <= 1) {
				continue
			}
			q = f
		}
		if c := find(all, tag); c != nil && q > most {
			best, most = c, q
		}
	}
	return best
}

func find(all []*Catalogue, tag string) *Catalogue {
	for _, c := range all {
		if tag != "" && base(tag) == base(c.Lang) {
			return c
		}
	}
	return nil
}

func base(tag string) string {
	lang, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(tag)), "-")
	return lang
}
