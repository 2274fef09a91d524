package people

import (
	"slices"
	"strings"
	"unicode/utf8"
)

func nameProblems(name string) []Problem {
	switch n := utf8.RuneCountInString(name); {
	case n == 0:
		return []Problem{{Field: "name", Why: NoName}}
	case n > MostName:
		return []Problem{{Field: "name", Why: LongName, N: MostName}}
	}
	return nil
}

// passwordProblems asks for length and not for signs of some kind, and refuses
// what is guessed first: common practice since NIST SP 800-63B.
func passwordProblems(name, password, again string) []Problem {
	switch n := utf8.RuneCountInString(password); {
	case n < LeastPassword:
		return []Problem{{Field: "password", Why: ShortPassword, N: LeastPassword}}
	case n > MostPassword:
		return []Problem{{Field: "password", Why: LongPassword, N: MostPassword}}
	case easy(name, password):
		return []Problem{{Field: "password", Why: EasyPassword}}
	case password != again:
		return []Problem{{Field: "again", Why: Differ}}
	}
	return nil
}

// first are passwords, and beginnings of them, that are guessed first: memory,
// from lists of what was stolen elsewhere, as far as they are long enough here.
var first = strings.Fields("password passwort contraseña qwerty letmein iloveyou welcome sunshine princess football baseball superman trustno dragon monkey abc admin changeme secret wormyard worm worms farm castings compost")

// easy says whether a password is one of the first guesses: a common word or the
// name with digits behind, a short number, few signs over and over, or a run
// along the keyboard.
func easy(name, password string) bool {
	p := strings.ReplaceAll(Fold(password), " ", "")
	stem := strings.TrimRight(p, "0123456789!?.*#$@-_")
	if varied(p) < 5 || run(p) || slices.Contains(first, stem) {
		return true
	}
	if stem == "" {
		return len(p) < 16
	}
	own := strings.ReplaceAll(Fold(name), " ", "")
	return own != "" && (stem == own || stem == own+own)
}

// varied counts how many signs differ.
func varied(p string) int {
	seen := map[rune]bool{}
	for _, r := range p {
		seen[r] = true
	}
	return len(seen)
}

var rows = []string{"01234567890", "09876543210", "abcdefghijklmnopqrstuvwxyz", "qwertyuiopasdfghjklzxcvbnm", "qwertyuiop", "1qaz2wsx3edc4rfv5tgb6yhn7ujm8ik9ol0p"}

func run(p string) bool {
	for _, r := range rows {
		if strings.Contains(r, p) || strings.HasPrefix(p, r[:min(len(r), max(len(p)-2, 1))]) {
			return true
		}
	}
	return false
}

const (
	upward   = "01234567890123456789"
	downward = "98765432109876543210"
)

func pinProblems(pin string) []Problem {
	if len(pin) < LeastPIN || len(pin) > MostPIN || strings.Trim(pin, "0123456789") != "" {
		return []Problem{{Field: "pin", Why: OddPIN, N: LeastPIN, M: MostPIN}}
	}
	if varied(pin) < 2 || strings.Contains(upward, pin) || strings.Contains(downward, pin) {
		return []Problem{{Field: "pin", Why: EasyPIN}}
	}
	return nil
}
