package words

// englishCosts is what is said of what castings cost, and of prices.
var englishCosts = map[string]string{
	"costs.title": "Costs", "more.costsnote": "What a cubic yard costs, and what is left of a price",
	"costs.partof.yard": "What is priced of a cubic yard of castings costs %s %s", "costs.partof.metre": "What is priced of a cubic metre of castings costs %s %s",
	"costs.say.yard": "A cubic yard of castings costs %s %s", "costs.say.metre": "A cubic metre of castings costs %s %s",
	"costs.of": "The mean of %s of the last twelve months, %s that can be sold.", "costs.lots.one": "%d lot", "costs.lots.many": "%d lots",
	"costs.none":  "No lot has a volume yet, so there is nothing to part the costs by. Write down a harvest with its lot and its volume or mass.",
	"costs.range": "%s (%s to %s)", "costs.unknown": "not known", "costs.less": "As it is, it costs %s; with what you try, %s less.", "costs.more": "As it is, it costs %s; with what you try, %s more.", "costs.same": "As it is, it costs %s; what you try changes nothing.",
	"cost.kind.feedstock": "Feedstock", "cost.kind.haulage": "Haulage", "cost.kind.crew": "Crew", "cost.kind.truck": "Loader and forklift", "cost.kind.heat": "Heat", "cost.kind.bags": "Bags", "cost.kind.totes": "Totes",
	"costs.notin": "not in it", "costs.notsaid": "Nobody said what it costs.", "costs.partly": "Some of it is without a price and left out.",
	"costs.left": "Not in it yet", "costs.used.crew": "%s hours; say what an hour costs", "costs.used.truck": "%s hours; say what an hour costs", "costs.used.heat": "%s kWh; say what one costs", "costs.used.bags": "%s bags; say what an empty one costs", "costs.used.totes": "%s totes; say what an empty one costs",
	"costs.tryhead": "What if", "costs.tryhelp": "Change a number and see the cost move. Nothing of it is kept.", "costs.try": "See what it makes", "costs.asitis": "As it is",
	"costs.try.wage": "Wage for an hour", "costs.try.truck": "Loader or forklift, an hour", "costs.try.power": "Power, a kWh", "costs.try.bag": "An empty bag", "costs.try.tote": "An empty tote", "costs.try.haul": "Haulage, of what was paid", "costs.try.times": "Selling prices, of what they were", "costs.try.yield": "Of the harvest that can be sold",
	"costs.yieldhelp": "Empty: as the screens kept back.", "costs.noprice": "%s is %q, which is no price.", "costs.nopricetry": "Type a number between 0 and 1,000,000, such as 18.50.", "costs.noyieldtry": "Type a share between 0 and 100 %.",
	"costs.spent": "%s spent", "costs.tosell": "%s to sell", "costs.bylot.yard": "A cubic yard, by lot", "costs.bylot.metre": "A cubic metre, by lot", "costs.bymonth.yard": "A cubic yard, by the month of the harvest", "costs.bymonth.metre": "A cubic metre, by the month of the harvest", "costs.soldfor": "sold for %s", "costs.itcost": "cost %s", "costs.month": "%s %d", "costs.lacks": "without some of the %s",
	"costs.products": "What is left of the price, by product", "costs.unpriced.one": "%d sale without a price is left out", "costs.unpriced.many": "%d sales without a price are left out",
	"costs.bagof": "Bags of %s", "costs.bags": "Bags of several sizes", "costs.loosevolume": "Loose, by volume", "costs.loosemass": "Loose, by mass",
	"costs.waiting":     "%s of %s spent are in no lot: they wait in yard and beds, or are of the whole farm. Rent, buildings, machines, interest, office, selling and tax are not in these figures.",
	"costs.assumed":     "What is assumed",
	"costs.assumedhelp": "Costs follow the feedstock into the lots by mass, and the work by what was written down and how long such work takes.", "costs.noload": "Loads and heaters without a price", "costs.howlong": "How long work takes", "costs.set": "Set prices and minutes",
	"costs.minutes": "%s min, as you said", "costs.minutesrange": "%s min (%s to %s)",
	"costs.act.receive": "A load of feedstock in", "costs.act.blend": "A cubic metre of batch mixed", "costs.act.feed": "A bin fed", "costs.act.water": "A bin watered", "costs.act.cover": "A cover laid or taken off", "costs.act.turn": "A bed turned", "costs.act.look": "A look into a bin", "costs.act.reading": "A stab with the thermometer", "costs.act.depth": "A depth measured", "costs.act.count": "A worm count", "costs.act.move": "A bin moved", "costs.act.harvest": "A bin harvested", "costs.act.screen": "A cubic metre screened", "costs.act.bag": "A bag filled",

	"farm.money": "Prices", "farm.moneysay": "What work, power and bags cost you. The page Costs rests on it; what stays empty is left out there and named.", "farm.currency": "Currency", "farm.currencyhelp": "Such as USD.",
	"farm.badcurrency": "The currency is %q.", "farm.badcurrencytry": "Use at most %d letters, such as USD.", "farm.minutes": "Minutes that work takes here", "farm.minuteshelp": "Usual: %s, from %s to %s.", "unit.minutes": "min", "farm.badminutes": "%q minutes cannot be right.", "farm.badminutestry": "Type minutes between 0 and 1,440.",

	"prices.title": "Price list", "prices.under": "What you sell, how it is sold, and what one costs. Orders and sales take the prices from here.", "prices.line": "Product %d", "prices.name": "Name", "prices.as": "Sold", "prices.size": "How much one is", "prices.price": "Price of one", "prices.steps": "Less for more",
	"prices.sizehelp": "Such as 1 cu ft, 1 yd3, 40 L or 1 lb of worms.", "prices.stepshelp": "From a number on, such as 10: 17.50, 40: 15.", "prices.as.bag": "in bags", "prices.as.tote": "in totes", "prices.as.loose": "loose", "prices.as.worms": "as live worms by weight", "prices.as.kit": "as starter kits",
	"prices.nosize": "The size of %s is %q, which is neither a volume nor a weight.", "prices.nosizetry": "Type how much one is with its unit, such as 1 cu ft.", "prices.nostep": "A price step of %s is %q.", "prices.nosteptry": "Write the number, a colon and the price of one from there on, such as 10: 17.50.",
}
