package app

import (
	"context"
	"strings"
	"testing"

	"wormyard/journal"
)

// A house rule that does not hold together is refused before it is kept, all that is
// wrong at once and with the nearest name of a test; one that does is the rule that a
// lot is held against.
func TestHouseRuleIsReadBeforeItIsKept(t *testing.T) {
	a, ctx := openTest(t), context.Background()
	set := func(limits string) Ack {
		t.Helper()
		value := `{"key":"farm_house","title":"Our rule","jurisdiction":"this farm","citation":"House rule","date":"2026-01-01","review":"2027-12-31","how":"assumed","applies":"Every lot.","limits":[` + limits + `],"evidence":[],"allows":[],"refuses":[]}`
		ack, err := a.Record(ctx, journal.Entry{Kind: "setting", Who: "owner", Body: &journal.Setting{Key: keyRule + HouseRule, Value: []byte(value)}}, true)
		if err != nil {
			t.Fatal(err)
		}
		return ack
	}
	bad := set(`{"analyte":"salmonela","unit":"MPN/4 g","under":3,"where":"our choice","how":"assumed"},{"analyte":"copper","unit":"dS/m","most":300,"where":"our choice","how":"assumed"}`)
	var said []string
	for _, p := range bad.Problems {
		said = append(said, p.Say+" "+p.Try)
	}
	all := strings.Join(said, "\n")
	if bad.Saved || !strings.Contains(all, `The analyte "salmonela" is not known. Did you mean salmonella`) || !strings.Contains(all, "copper cannot be in dS/m") {
		t.Errorf("a bad rule: saved %v, %q", bad.Saved, all)
	}
	if ack := set(`{"analyte":"copper","unit":"mg/kg","basis":"dry","most":300,"where":"our choice","how":"assumed"}`); !ack.Saved {
		t.Fatalf("a good rule is refused: %+v", ack.Problems)
	}
	if r, _, ok, err := RuleNamed(a.State(), HouseRule); err != nil || !ok || r.Title != "Our rule" || len(r.Limits) != 1 {
		t.Errorf("the rule is %+v, %v", r, err)
	}
}
