package words

import (
	"strings"
	"testing"
)

func TestTypedTextKeepsItsDirection(t *testing.T) {
	for in, want := range map[string]string{
		"":                                  "",
		"wet & cold 雨 🪱":                    "wet & cold 雨 🪱",
		"שער 7":                             "\u2068שער 7\u2069",
		"gate سماد":                         "\u2068gate سماد\u2069",
		"turned \u202eround":                "\u2068turned \u202eround\u2069",
		"ends another's\u2069 here":         "ends another's here",
		"open \u2067 stays":                 "open \u2067 stays\u2069",
		"said \u2068שער 7\u2069 of 3 March": "said \u2068שער 7\u2069 of 3 March",
		"שער \u2068שער 7\u2069":             "\u2068שער \u2068שער 7\u2069\u2069",
	} {
		if got := Isolated(in); got != want {
			t.Errorf("%q gives %q, wanted %q", in, got, want)
		}
		if again := Isolated(Isolated(in)); again != Isolated(in) {
			t.Errorf("twice %q gives %q", in, again)
		}
	}
	values := []any{"שער 7", "3"}
	if got := English().Say("outbox.boxsay", values...); !strings.Contains(got, "\u2068שער 7\u2069") || !strings.Contains(got, "3") || values[0] != "שער 7" {
		t.Errorf("a sentence is %q of %q", got, values)
	}
}
