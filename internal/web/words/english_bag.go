package words

// englishBag is what is said of the labels of bags, and on them.
var englishBag = map[string]string{
	"bag.title": "Labels for lot %s", "bag.under": "For bags and totes: what is in it, how much, from when, and a code to find it by.", "bag.link": "Labels",
	"bag.heldhead": "This lot is not released", "bag.heldsay": "HELD: NOT FOR SALE stands across its labels. Release it first, and print them then.",
	"bag.size": "Volume of one bag", "bag.sizehelp": "As filled and settled, such as 1 ft3 or 25 L. Castings are sold by volume, since they dry.",
	"bag.mass": "Weight of one bag", "bag.masshelp": "Weigh one. Left empty, it is worked out at %s and the label says about.",
	"bag.number": "How many labels", "bag.numberhelp": "Up to %s in one file.", "bag.from": "Number of the first bag", "bag.fromhelp": "Bags are numbered on from it, so that one can be told from another.",
	"bag.paper.letter4": "US Letter, four of 4 × 5 in", "bag.paper.letter6": "US Letter, six of 4 × 3⅓ in", "bag.paper.letter10": "US Letter, ten of 4 × 2 in", "bag.paper.a4x4": "A4, four of 105 × 148.5 mm", "bag.paper.a4x8": "A4, eight of 99.1 × 67.7 mm", "bag.paper.4x6": "Roll, 4 × 6 in", "bag.paper.4x3": "Roll, 4 × 3 in", "bag.paper.3x2": "Roll, 3 × 2 in",
	"bag.product": "What is in it", "bag.usualname": "Worm castings", "bag.own": "Your own words", "bag.ownhelp": "They are looked through for claims: against pests or diseases none may stand on a label; about life in it only with proof.",
	"bag.tests": "Tests to print", "bag.testshelp": "Printed with basis and day where there is room. Nutrients make it a fertilizer in most states.",
	"bag.code": "The square code holds", "bag.codeas.text": "words: farm, lot, day, volume", "bag.codeas.page": "the lot's page on this farm", "bag.basehelp": "For the lot's page only. Customers reach it only where the farm's machine can be reached from outside.",
	"bag.goods": "Number of goods", "bag.goodshelp": "The 12 or 13 figures of a UPC or EAN, if you have one. Printed as bars.", "bag.lang": "Language of the label", "bag.more": "Weight, numbers, code, language",
	"bag.facts": "What the journal puts on it", "bag.facts.lot": "Lot and check letters", "bag.facts.check": "A name typed or heard wrong does not fit the letters.", "bag.facts.harvest": "Harvested", "bag.facts.made": "Made from",
	"bag.file": "labels-lot-%s",

	"bag.net": "NET %s (%s)", "bag.weighs": "weighed %s (%s) when packed", "bag.weighsabout": "about %s (%s) when packed", "bag.check": "Check %s", "bag.packed": "Packed %s", "bag.harvested": "Harvested %s", "bag.span": "%s to %s", "bag.nth": "Bag %s", "bag.made": "Made from", "bag.analysis": "Tested:",
	"bag.caution":     "Not to be eaten. Open away from the face, do not breathe the dust, wash hands after. Keep moist, out of sun and frost, and let it breathe.",
	"bag.cautionless": "Not to be eaten. Do not breathe the dust. Wash hands.",
	"bag.banner":      "HELD: NOT FOR SALE", "bag.share": "%s %s", "bag.shareabout": "%s about %s", "bag.sharelittle": "%s under %s", "bag.sharenot": "%s, share not known", "bag.basis.wet": "as it lies", "bag.basis.dry": "of dry matter",

	"bag.none": "%q is no number of labels.", "bag.nonetry": "Type how many, 1 or more.", "bag.many": "%s labels are too many for one file; %s are the most.", "bag.manytry": "Print the first %s, then the rest with the first bag numbered %s.",
	"bag.badfrom": "%q is no number of a bag.", "bag.badfromtry": "Type 1, or the number after the last bag.", "bag.nosize": "A bag of %q cannot be printed.", "bag.nosizetry": "Type its volume with the unit, such as 1 ft3 or 25 L, at most 10 m3.", "bag.nomass": "A bag that weighs %q cannot be printed.", "bag.nomasstry": "Type what one bag weighs, such as 40 lb, or leave it empty.",
	"bag.nopapertry": "Choose one of the list.", "bag.noname": "The label does not say what is in the bag.", "bag.nonametry": "Type it, such as Worm castings.", "bag.unprintable": "The letters %s cannot be printed.", "bag.unprintabletry": "Write it in Latin, Greek or Cyrillic letters.", "bag.unprintablename": "They stand in the name of the farm or of the lot. Print those by hand.",
	"bag.badgoods": "%q is no number of goods.", "bag.badgoodstry": "Type the 12 or 13 figures under the bars, or leave it empty.", "bag.wronggoods": "In %s the last figure is %s; by the others it would be %d.", "bag.wronggoodstry": "Look at each figure again.",
	"bag.noroom": "The words do not fit that label.", "bag.noroomtry": "Take larger labels, or fewer words.", "bag.toolongtry": "Use a shorter name for the farm's machine, or let the code hold words.",
	"bag.claim": "%q on a label: %s", "bag.nutrient": "%s on a label makes the bag a fertilizer in most states.", "bag.nutrienttry": "Leave it off, or say yes if it is registered and its analysis guaranteed.",
	"bag.other": "That label is of lot %s of another farm. Nothing was opened.", "bag.garbled": "The letters after the lot do not fit its name. Scan it once more, or look for the lot under Castings.",

	"analyte.water_frac_wet": "Moisture", "analyte.carbon_frac_dry": "Carbon", "analyte.nitrogen_frac_dry": "Nitrogen", "analyte.ash_frac_dry": "Ash", "analyte.volatile_frac_dry": "Organic matter", "analyte.lignin_frac_dry": "Lignin", "analyte.phosphorus_frac_dry": "Phosphorus", "analyte.potassium_frac_dry": "Potassium", "analyte.cn": "Carbon to nitrogen", "analyte.density_kg_m3_wet": "Bulk density", "analyte.ec_ds_m": "Salts", "analyte.ph": "pH", "analyte.ammonia_n_mg_kg_dry": "Ammonia nitrogen", "analyte.nitrate_n_mg_kg_dry": "Nitrate nitrogen", "analyte.bioassay": "Bean and pea test", "analyte.glass_frac_wet": "Glass", "analyte.plastic_frac_wet": "Plastic",
}
