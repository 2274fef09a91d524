package demo

// Notes as a crew writes them.
var (
	deliveryNotes = map[string][]string{
		"solids":    {"dripping a little", "from the new screw press, drier than usual", "still warm", "some twine in it"},
		"rabbit":    {"more straw than usual", "wet end of the shed", "a few hay strings picked out"},
		"cardboard": {"bales, shredded here", "tape picked out", "one bale was printed in colour, set aside"},
		"chips":     {"alder, cut last spring, not dyed", "some leaves in it", "coarse"},
		"mushroom":  {"third flush, straw still firm", "smells good", "steamed by the grower"},
		"pomace":    {"fresh from the press", "wasps", "rice hulls in it"},
		"leaves":    {"maple mostly, two bags of litter picked out", "wet at the bottom of the truck", "run through the mower"},
		"lime":      {"50 lb bags"},
		"grit":      {"coarse, washed"},
	}
	blendNotes   = []string{"turned three times", "a bit dry, one more pass with the hose", "smells sweet", "loader slipped, parts are about right", "left to warm over the weekend", "cardboard not shredded fine enough"}
	feedNotes    = []string{"thin at the corners", "left one corner free", "old feed on top still", "fed under the cloth", "hands cold, eyeballed", "the last of the heap"}
	lookNotes    = []string{"looks good", "cocoons everywhere", "worms under the cloth", "top a bit dry", "packed at the bottom", "roots of cress in it", "cardboard still flat in places", "nice"}
	harvestNotes = []string{"fine and black", "a little wet to screen", "chips left on top", "good one", "bottom was packed", "few worms, many cocoons", "screws to be replaced on one side"}
)
