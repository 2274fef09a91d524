package words

import "strings"

// englishRemedy is what is said of remedies: on the page of a trouble, on the
// round and in the journal.
var englishRemedy = whole(map[string]string{
	"act.mend": "treat", "act.helped": "did it help",
	"remedy.begin": "That is it: begin the remedy", "remedy.drop": "Give it up", "remedy.group": "Against troubles", "remedy.see": "What is the matter",
	"remedy.none":  "That is no cause on this page, or the bin has no bed.",
	"remedy.under": "Under way since %s: %d of %d steps done. The rest stands on the round.", "remedy.underbetter": "Under way since %s: %d of %d steps done. It was better %s.",
	"remedy.atbin":     "%s. %s",
	"remedy.said.gone": "It is gone", "remedy.said.better": "Better", "remedy.said.same": "The same", "remedy.said.worse": "Worse",
	"remedy.tried.gone": "Tried here, begun %s: it was gone afterwards.", "remedy.tried.better": "Tried here, begun %s: better afterwards.",
	"remedy.tried.same": "Tried here, begun %s: no change.", "remedy.tried.worse": "Tried here, begun %s: worse afterwards.", "remedy.tried.dropped": "Begun here %s and given up.",
	"remedy.now.look_again": "Look whether it got better.", "remedy.now.read_again": "Read the temperature once more.",
	"remedy.line": "%s: %s", "remedy.ask": "Did it help?", "remedy.blank": "Gone / better / the same / worse", "remedy.askline": "%s: did it help against “%s”?",
	"remedy.why": "It was decided that it looks like this: %s (%s).", "remedy.whyseen": "Because of what was seen (%s, %s). It looks like this: %s.",
	"remedy.entry.begun": "%s: it looks like “%s”, and the remedy was begun.", "remedy.entry.done": "%s: done. %s", "remedy.entry.dropped": "%s: the remedy was given up (%s).",
	"remedy.entry.gone": "%s: the trouble is gone (%s).", "remedy.entry.better": "%s: better (%s).", "remedy.entry.same": "%s: no change (%s).", "remedy.entry.worse": "%s: worse (%s).",
}, remedyChoices(englishTrouble))

// remedyChoices gives causes and steps as an entry's fields name them the words
// that they have on the page of a trouble.
func remedyChoices(trouble map[string]string) map[string]string {
	out := map[string]string{}
	for key, say := range trouble {
		if cause, ok := strings.CutPrefix(key, "trouble.cause."); ok {
			out["choice.cause."+strings.ReplaceAll(cause, "_", " ")] = say
		}
		if step, ok := strings.CutPrefix(key, "trouble.do."); ok {
			step = strings.ReplaceAll(step, "_", " ")
			out["choice.steps."+step], out["choice.step."+step] = say, say
		}
	}
	return out
}
