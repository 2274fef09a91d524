package words

// englishMap is what is said on the map of a barn, in the look inside a box, and
// on the form of a barn's layout. In the sentences about strays the first value
// is how many bins there are.
var englishMap = map[string]string{
	"map.plan": "%s seen from above", "map.planhelp": "Seen from above, in order and not to scale. A number says how many bins of the stack are marked. Tap a row to see it from its aisle.",
	"map.row": "Row %s", "map.rowis": "Row %s: %s, %s", "map.rowwarm": "Row %s: %s", "map.spot": "%s %s", "map.doors": "Doors: %s", "map.box": "%s, bin %s: %s",
	"map.quiet.one": "%d row is left out, because nothing in it is asked for: %s.", "map.quiet.many": "%d rows are left out, because nothing in them is asked for: %s.",
	"map.warmkey": "Warmest place in the bin", "map.under": "under %s", "map.over": "%s and more", "map.between": "%s to %s", "map.alarm": "may pass %s",
	"map.acts": "What it needs", "map.every": "Everything", "map.actcount": "%s, %d",
	"map.open": "Open the bin", "map.back": "Back to the map", "map.nobed": "There is no bed in it.", "map.noround": "No round was made yet, so nothing is advised.", "map.rests": "It rests. Nothing is asked of you today.",
	"map.smaller": "Smaller", "map.larger": "Larger", "map.size": "Size of the drawing",
	"map.layout": "Change the layout", "map.newbarn": "Add a barn", "map.layoutof": "Layout of %s", "map.layoutsay": "Rows as they stand from the first wall to the last. A place that holds a bin stays until the bin is moved.",
	"map.name": "name of the barn", "map.namehelp": "A name or a number, such as North or 3.", "map.rownew": "Another row", "map.rowname": "name", "map.stacks": "stacks", "map.high": "boxes high", "map.before": "before this row", "map.aisle": "an aisle", "map.against": "the row before, back to back",
	"map.spots": "staging spots", "map.spotshelp": "One a line: where bins wait off the rows, such as staging 1.", "map.doorsbox": "doors", "map.doorshelp": "In words, such as two on the south side.", "map.save": "Keep this layout",
	"map.changed": "The layout of %s was changed by somebody since this form was opened.", "map.changedtry": "What you typed is below. Look at it once more, then keep it.",
	"map.noname": "The barn has no name.", "map.nonametry": "Type one such as North.", "map.badname": "The name %q cannot be written on a label.", "map.badnametry": "Use up to %d letters and figures, without strokes, commas or quotation marks.",
	"map.twice": "There is a barn called %s already.", "map.twicetry": "Give this one another name, or change the layout of that one.",
	"map.norow": "A row has no name.", "map.norowtry": "Type its number, or empty its other boxes to leave it out.", "map.rowtwice": "Two rows are called %s.", "map.rowtwicetry": "Give each its own name.",
	"map.badcount": "The number of %s is %q.", "map.badcounttry": "Type a whole number from 1 to %d.", "map.manyspots": "There are %d staging spots.", "map.manyspotstry": "Up to %d can be drawn.",
	"map.movefirst":     "Move what stands there first, or leave the place as it is. Nothing has been changed.",
	"map.stray.row.one": "%d bin stands in row %s, which this layout does not have: %s.", "map.stray.row.many": "%d bins stand in row %s, which this layout does not have: %s.",
	"map.stray.stack.one": "%d bin in row %s stands beyond stack %d: %s.", "map.stray.stack.many": "%d bins in row %s stand beyond stack %d: %s.",
	"map.stray.level.one": "%d bin in row %s stands higher than %d boxes: %s.", "map.stray.level.many": "%d bins in row %s stand higher than %d boxes: %s.",
	"map.stray.spot.one": "%d bin stands on the spot %s, which this layout does not have: %s.", "map.stray.spot.many": "%d bins stand on the spot %s, which this layout does not have: %s.",
}
