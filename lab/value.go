package lab

import (
	"fmt"
	"strconv"
	"strings"

	"wormyard/figure"
)

// Kind is what a cell of a laboratory's sheet says.
type Kind string

// What a cell may say.
const (
	Measured    Kind = "measured"
	LessThan    Kind = "less than"    // Number is the limit
	MoreThan    Kind = "more than"    // Number is the limit
	TooMany     Kind = "too many"     // to count
	NotDetected Kind = "not detected" // with no limit beside it
	NotTested   Kind = "not tested"
	Present     Kind = "present"
)

// A Value is a cell of a laboratory's sheet as it reads.
type Value struct {
	Kind   Kind
	Number float64
	About  bool   // printed as an estimate
	Unit   string // what stood behind the number
	Text   string // as it stood
}

// Comma tells what a comma between digits means in a sheet.
type Comma int

// What a comma may mean.
const (
	CommaUnknown   Comma = iota // refused where it could be either
	CommaThousands              // 1,234.5
	CommaDecimal                // 1.234,5
)

var saidWords = map[string]Kind{
	"nd": NotDetected, "n.d.": NotDetected, "n.d": NotDetected, "n/d": NotDetected, "not detected": NotDetected, "none detected": NotDetected,
	"bdl": NotDetected, "<lod": NotDetected, "<loq": NotDetected, "<mdl": NotDetected, "<dl": NotDetected, "<rl": NotDetected, "< lod": NotDetected,
	"below detection": NotDetected, "below detection limit": NotDetected, "absent": NotDetected, "negative": NotDetected, "neg": NotDetected, "none": NotDetected,
	"ausente": NotDetected, "no detectado": NotDetected, "negativo": NotDetected,
	"tntc": TooMany, "too numerous to count": TooMany, "too many to count": TooMany, "innumerable": TooMany, "incontable": TooMany,
	"nt": NotTested, "n.t.": NotTested, "n/a": NotTested, "na": NotTested, "not tested": NotTested, "not analysed": NotTested, "not analyzed": NotTested, "-": NotTested, "--": NotTested, "—": NotTested,
	"present": Present, "positive": Present, "pos": Present, "presente": Present, "positivo": Present,
}

// ParseValue reads a cell: a number with what stands before and behind it, or
// the words of laboratories. Not detected with a limit, over 0, becomes less
// than that limit. The error is a *figure.Refusal under field.
func ParseValue(field, text string, comma Comma, limit float64) (Value, error) {
	s := strings.Join(strings.Fields(strings.NewReplacer("\u00a0", " ", "\u202f", " ", "−", "-", "≤", "<=", "≥", ">=", "‹", "<", "›", ">").Replace(text)), " ")
	v := Value{Text: text}
	if s == "" {
		v.Kind = NotTested
		return v, nil
	}
	if kind, ok := saidWords[strings.ToLower(s)]; ok {
		v.Kind = kind
		if kind == NotDetected && limit > 0 {
			v.Kind, v.Number = LessThan, limit
		}
		return v, nil
	}
	v.Kind = Measured
	rest := s
	for again := true; again; {
		again = false
		for _, sign := range []struct {
			text string
			kind Kind
		}{{"<=", LessThan}, {">=", MoreThan}, {"<", LessThan}, {">", MoreThan}, {"less than ", LessThan}, {"more than ", MoreThan}} {
			if r, ok := cutFold(rest, sign.text); ok && v.Kind == Measured {
				v.Kind, rest, again = sign.kind, strings.TrimSpace(r), true
				break
			}
		}
		for _, sign := range []string{"~", "≈", "est. ", "est ", "approx. ", "ca. "} {
			if r, ok := cutFold(rest, sign); ok && !v.About {
				v.About, rest, again = true, strings.TrimSpace(r), true
				break
			}
		}
	}
	end := strings.IndexFunc(rest, func(r rune) bool { return !strings.ContainsRune("0123456789.,+- ", r) })
	digits, behind := rest, ""
	if end >= 0 {
		digits, behind = rest[:end], rest[end:]
	}
	power := 0
	digits, behind, power = powerOfTen(strings.TrimSpace(digits), behind)
	if r, ok := strings.CutPrefix(digits, "-"); ok && strings.ContainsAny(r, "0123456789") {
		return v, figure.Refuse(field, fmt.Sprintf("%q is below 0, which no laboratory finds.", text), "Look at the sheet; a dash in front may have meant less than.")
	}
	number, err := digitsOf(field, text, strings.ReplaceAll(strings.TrimPrefix(digits, "+"), " ", ""), comma)
	if err != nil {
		return v, err
	}
	v.Number, err = strconv.ParseFloat(fmt.Sprintf("%se%d", number, power), 64)
	if err != nil {
		return v, figure.Refuse(field, fmt.Sprintf("%q is not a number that fits.", text), "Look at the sheet again.")
	}
	v.Unit = strings.TrimSpace(behind)
	if strings.EqualFold(v.Unit, "est") || strings.EqualFold(v.Unit, "est.") || v.Unit == "E" || v.Unit == "e" {
		v.About, v.Unit = true, ""
	}
	if v.Number == 0 && v.Kind != MoreThan {
		if limit > 0 {
			v.Kind, v.Number = LessThan, limit
			return v, nil
		}
		v.Kind = NotDetected
	}
	return v, nil
}

func cutFold(s, prefix string) (string, bool) {
	if len(s) >= len(prefix) && strings.EqualFold(s[:len(prefix)], prefix) {
		return s[len(prefix):], true
	}
	return s, false
}

var raised = strings.NewReplacer("⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9", "⁻", "-")

// powerOfTen takes "E6", "x 10^6" and "×10⁶" off what stands behind the digits.
func powerOfTen(digits, behind string) (string, string, int) {
	b := strings.TrimSpace(behind)
	rest, ok := b, false
	for _, sign := range []string{"x 10^", "x10^", "× 10^", "×10^", "* 10^", "*10^", "e", "E", "x 10", "x10", "× 10", "×10"} {
		if r, has := strings.CutPrefix(b, sign); has {
			rest, ok = raised.Replace(r), true
			break
		}
	}
	if !ok {
		return digits, behind, 0
	}
	n := 0
	for n < len(rest) && (rest[n] >= '0' && rest[n] <= '9' || n == 0 && (rest[n] == '-' || rest[n] == '+')) {
		n++
	}
	power, err := strconv.Atoi(rest[:n])
	if err != nil || power > 30 || power < -30 {
		return digits, behind, 0
	}
	return digits, rest[n:], power
}

// digitsOf makes digits with commas and points into digits with one point at
// most.
func digitsOf(field, text, s string, comma Comma) (string, error) {
	points, commas := strings.Count(s, "."), strings.Count(s, ",")
	refuse := func(say, try string) (string, error) { return "", figure.Refuse(field, say, try) }
	if s == "" || strings.Trim(s, "0123456789.,") != "" || strings.Trim(s, ".,") == "" {
		return refuse(fmt.Sprintf("%q is neither a number nor a word that laboratories use.", text), "Type a number, \"<3\", ND (not detected) or TNTC (too many to count), or leave it empty when it was not tested.")
	}
	plain := func(thousands, point string) (string, bool) {
		whole, part, has := strings.Cut(s, point)
		groups := strings.Split(whole, thousands)
		for i, g := range groups {
			if len(groups) > 1 && (i > 0 && len(g) != 3 || i == 0 && (len(g) == 0 || len(g) > 3)) {
				return "", false
			}
		}
		if has && strings.ContainsAny(part, ".,") {
			return "", false
		}
		out := strings.Join(groups, "")
		if has {
			out += "." + part
		}
		return out, out != "." && out != ""
	}
	asEnglish, english := plain(",", ".")
	asOther, other := plain(".", ",")
	switch {
	case points == 0 && commas == 0:
		return s, nil
	case comma == CommaThousands && english:
		return asEnglish, nil
	case comma == CommaDecimal && other:
		return asOther, nil
	case comma != CommaUnknown:
		return refuse(fmt.Sprintf("%q does not fit the way this sheet writes numbers.", text), "Look at the sheet, or say how its commas are meant.")
	case english && other && commas > 0 && asEnglish != asOther:
		return refuse(fmt.Sprintf("%q may be %s or %s.", text, asEnglish, asOther), "Say whether the comma of this sheet parts thousands or stands before tenths.")
	case english:
		return asEnglish, nil
	case other:
		return asOther, nil
	}
	return refuse(fmt.Sprintf("%q has commas and points that make no number.", text), "Look at the sheet again.")
}
