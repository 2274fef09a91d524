package words

var spanishRemedy = whole(map[string]string{
	"act.mend": "remediar", "act.helped": "si ayudó",
	"remedy.begin": "Es esto: empezar el remedio", "remedy.drop": "Dejarlo", "remedy.group": "Contra los problemas", "remedy.see": "Ver qué le pasa",
	"remedy.none":  "Esa no es una causa de esta página, o la caja no tiene cama.",
	"remedy.under": "Empezado %s: %d de %d pasos hechos. Lo demás está en la ronda.", "remedy.underbetter": "Empezado %s: %d de %d pasos hechos. Estaba mejor %s.",
	"remedy.atbin":     "%s. %s",
	"remedy.said.gone": "Ya se quitó", "remedy.said.better": "Mejor", "remedy.said.same": "Igual", "remedy.said.worse": "Peor",
	"remedy.tried.gone": "Se probó aquí, empezado %s: después se quitó.", "remedy.tried.better": "Se probó aquí, empezado %s: después estaba mejor.",
	"remedy.tried.same": "Se probó aquí, empezado %s: sin cambio.", "remedy.tried.worse": "Se probó aquí, empezado %s: después estaba peor.", "remedy.tried.dropped": "Empezado aquí %s, y se dejó.",
	"remedy.now.look_again": "Revise si mejoró.", "remedy.now.read_again": "Lea la temperatura otra vez.",
	"remedy.line": "%s: %s", "remedy.ask": "¿Ayudó?", "remedy.blank": "Se acabó / mejor / igual / peor", "remedy.askline": "%s: ¿ayudó contra «%s»?",
	"remedy.why": "Se decidió que parece ser esto: %s (%s).", "remedy.whyseen": "Por lo que se vio (%s, %s). Parece ser esto: %s.",
	"remedy.entry.begun": "%s: parece ser «%s», y se empezó el remedio.", "remedy.entry.done": "%s: hecho. %s", "remedy.entry.dropped": "%s: se dejó el remedio (%s).",
	"remedy.entry.gone": "%s: el problema se quitó (%s).", "remedy.entry.better": "%s: mejor (%s).", "remedy.entry.same": "%s: sin cambio (%s).", "remedy.entry.worse": "%s: peor (%s).",

	"kind.remedy": "Remedio", "kind.remedy.help": "Lo que se va a hacer contra un problema en unas cajas; sus pasos quedan en la ronda.",
	"kind.any.cause": "Qué parece ser", "kind.any.steps": "Pasos", "kind.any.steps.help": "Todos los que se van a hacer.", "kind.any.sighting": "Lo que se vio", "kind.any.sighting.help": "El id de la anotación con que empezó.", "kind.any.step": "Paso de un remedio",
	"kind.outcome": "Qué pasó con un remedio", "kind.outcome.help": "Un paso hecho de un remedio, un remedio que se dejó, o si ayudó.",
	"choice.act.mend": "remediar", "choice.said.done": "hecho", "choice.said.dropped": "se dejó", "choice.said.gone": "se quitó", "choice.said.better": "mejor", "choice.said.same": "igual", "choice.said.worse": "peor",
}, remedyChoices(spanishTrouble))

// spanishRemedyDoubts is what the farm says of remedies that do not fit.
var spanishRemedyDoubts = map[string]string{
	"It was told on %s what became of a remedy in bin %s, and the journal knows of none that was under way.": "El %s se dijo qué pasó con un remedio en la caja %s, y la bitácora no sabe de ninguno que siguiera.",
	"Write down the remedy with its day, or strike what was told.":                                           "Anote el remedio con su día, o tache lo que se dijo.",
}
