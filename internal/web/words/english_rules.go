package words

// englishRules is the words of the pages of rules and of the farm's own one.
var englishRules = map[string]string{
	"rules.title": "Rules", "rules.under": "What a lot of castings can be held against before it is released.", "rules.link": "All rules, and the farm's own", "rules.note": "%s. %s", "rules.due": "The day to read it again is past: nothing is released under it until that is done.",
	"rules.jurisdiction": "Holds in", "rules.citation": "Where it stands", "rules.date": "Text of", "rules.known": "How sure", "rules.review": "Read again by", "rules.text": "Its text",
	"rules.known.found": "The text was read.", "rules.known.memory": "The text is as recalled and was not read.", "rules.known.assumed": "The farm's own choice.",
	"rules.where.found": "%s; read.", "rules.where.memory": "%s; as recalled.", "rules.where.assumed": "%s.",
	"rules.asks": "It asks for all of these", "rules.either": "And for one of these", "rules.animal": "%s (only where animal matter went in)", "rules.allows": "Words that a label may use under it",
	"house.title": "The farm's own rule", "house.change": "Change it", "house.under": "A lot that meets every row may be released. A result that is missing counts as not met.", "house.history": "Changes", "house.asitcame": "Never changed: it stands as it came with the program.",
	"house.name": "Name of the rule", "house.applies": "For which lots", "house.review": "Look at it again by", "house.reviewhelp": "After that day nothing is released under it until somebody has looked.",
	"house.limits": "Limits", "house.limit": "Limit %d", "house.limitof": "Limit %d: %s", "house.addlimit": "Add a limit", "house.drop": "Take this row off",
	"house.analyte": "Test or figure", "house.bound": "It has to be", "house.most": "at most", "house.lower": "under", "house.least": "at least", "house.between": "from … to", "house.bar": "Limit", "house.top": "To", "house.tophelp": "Only with: from … to.",
	"house.unit": "Unit", "house.unithelp": "Such as mg/kg, MPN/g, MPN/4 g, CFU/g, dS/m, %", "house.basis": "Of", "house.basis.none": "not said", "house.basis.dry": "dry matter", "house.basis.wet": "matter as it lies", "house.only": "Asked of", "house.every": "every lot", "house.animal": "with animal matter",
	"house.samples": "Results wanted", "house.of": "Held against it", "house.of.each": "each result", "house.of.mean": "their mean", "house.of.geometric_mean": "their geometric mean", "house.over": "So many may lie over", "house.within": "over this level", "house.either": "One of several: a word for the group", "house.eitherhelp": "Of the rows with the same word one is enough.", "house.where": "Why, or from where", "house.note": "Note",
	"house.needs": "Evidence", "house.need": "Evidence %d", "house.heat": "Evidence %d: heat of a pile", "house.addneed": "Add evidence", "house.addheat": "Add heat of a pile", "house.what": "What has to be shown", "house.own": "Something else, in your words", "house.say": "In your words", "house.sayhelp": "Empty takes the words above.", "house.try": "What to do when it is missing",
	"house.hot": "At least so hot", "house.days": "For so many days", "house.turns": "Turned meanwhile, times", "house.turnshelp": "Empty: the days are in one piece, and it need not be turned.",
	"house.words": "Words", "house.wordshelp": "One a line, in the language of the label.",
	"house.noanalyte": "Limit %d: \"%s\" is no test or figure that is known.", "house.near": "Did you mean %s?", "house.noanalytetry": "Type one such as %s; the list under the box has all.", "house.empty": "Limit %d does not say what it is about.", "house.notop": "Limit %d has no upper end.", "house.notoptry": "Type the larger number in the box To, or choose at least.",
	"house.nosay": "Evidence %d does not say what has to be shown.", "house.nosaytry": "Say it in a few words, such as: smelled and felt by the owner.", "house.nohot": "Evidence %d does not say how hot, between 30 and 90 °C.", "house.nohottry": "Type it as %s.", "house.nodays": "Evidence %d does not say for how many days, up to a year.", "house.nodaystry": "Type 3, or 0.5 for half a day.",
	"drill.title": "This was a drill", "drill.write": "Write it down as a recall drill", "drill.mend": "What to mend", "drill.mendhelp": "What was missing or took long. May be left empty.", "drill.list": "Recalls tried out", "drill.when": "%s, by %s",
	"drill.of": "recall of %s", "drill.found": "%s: %s, %s", "drill.in": "%s, in %s", "drill.seconds": "%s seconds",
	"more.rulesnote": "what a lot is held against, and the farm's own rule",
}
