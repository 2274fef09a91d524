package words

var spanishHabits = map[string]string{
	"farm.feeddays": "Dan de comer los días", "farm.feeddayshelp": "La ronda respeta estos días, y lo que aconseja alcanza de uno al siguiente. Sin marcar ninguno: cualquier día.",
	"farm.feedmost": "De una vez nunca dan más que", "farm.feedmosthelp": "Déjelo vacío si no tienen esa regla.",
	"farm.pace": "cuánto tarda el trabajo",
	"farm.cost": "lo que eso cuesta", "farm.costlater": "La próxima ronda lo calcula.", "farm.costof": "Probado en los modelos de %d cajas, %s.",
	"farm.badday": "%q no es un día de la semana.", "farm.baddaytry": "Marque los días en que dan de comer.",

	"farm.worms": "Lombrices", "farm.wormssay": "Los modelos de las camas crecen, ponen y aguantan calor y frío como estas lombrices. De las últimas cuatro clases se sabe menos, y los márgenes son amplios.",
	"farm.wormskind": "Las lombrices que usted cría", "farm.wormshelp": "Si hay clases mezcladas, tome la que más abunda: todas se calculan como ella.",
	"worms.fetida": "Roja californiana (Eisenia fetida)", "worms.andrei": "Roja tigre (Eisenia andrei)", "worms.veneta": "Lombriz europea (Dendrobaena veneta)",
	"worms.eugeniae": "Lombriz africana (Eudrilus eugeniae)", "worms.excavatus": "Lombriz india azul (Perionyx excavatus)", "worms.rubellus": "Lombriz de hojarasca (Lumbricus rubellus)",
	"fact.worms": "especie",

	"act.ask": "preguntar", "ask.fed": "Sí, comió el %s", "ask.other": "Comió, pero de otro modo", "ask.not": "No, no comió", "ask.nobody": "No se sabe",
	"ask.blank": "Comió: sí / no / nadie lo sabe",

	"round.line.ask": "¿Comieron {1} el {2} {3}?", "round.line.ask.one": "¿Comió {1} el {2} {3}?", "round.ask": "¿comió el {0} {1}?",
	"round.why.ask.habit":     "Come más o menos cada {0} días, y según la bitácora llevaba {1} días sin comer.",
	"round.why.ask.habit.one": "Come más o menos cada día, y según la bitácora llevaba {1} días sin comer.",
	"round.why.ask.gap":       "Según la bitácora llevaba {0} días sin comer.",
	"round.why.ask.gap.one":   "Según la bitácora llevaba un día sin comer.",
	"round.why.ask.row":       "De otras {0} de la fila se anotó que comieron ese día.",
	"round.why.ask.row.one":   "De otra de la fila se anotó que comió ese día.",
	"round.why.ask.read":      "El {0} marcó {1} a {2}; sin comida se esperaban unos {3}, con comida unos {4}.",
	"round.why.ask.look":      "Lo que se vio el {0} cuadra mejor con una comida que sin ella.",
	"round.why.asked":         "Nada de comida hasta que alguien diga si comió el {0}.",
	"round.sure.ask":          "Que comió, por como esta granja da de comer y anota: {0}.",

	"round.weekdays.0": "domingos", "round.weekdays.1": "lunes", "round.weekdays.2": "martes", "round.weekdays.3": "miércoles", "round.weekdays.4": "jueves", "round.weekdays.5": "viernes", "round.weekdays.6": "sábados",
	"round.price.days":          "Dar de comer solo los {0} cuesta más o menos 1 de cada {1} partes del humus.",
	"round.price.days.half":     "Dar de comer solo los {0} cuesta más de la mitad del humus.",
	"round.price.days.nothing":  "Dar de comer solo los {0} no cuesta nada que se pueda decir.",
	"round.price.depth":         "No dar nunca más de {0} cuesta más o menos 1 de cada {1} partes del humus.",
	"round.price.depth.half":    "No dar nunca más de {0} cuesta más de la mitad del humus.",
	"round.price.depth.nothing": "No dar nunca más de {0} no cuesta nada que se pueda decir.",
	"round.why.late":            "Le tocaba el último día de dar comida, y nadie anotó que se le diera.",
	"round.why.offday":          "La granja da de comer el próximo {0}, pero esta pasaría días sin nada hasta entonces: {1}.",
	"round.why.feedday":         "Espera al {0}, el próximo día en que la granja da de comer.",

	"kind.answer": "Respuesta", "kind.answer.help": "Si unas cajas comieron un día en que nadie lo anotó, según dijo alguien cuando la ronda preguntó.", "kind.any.said": "Qué se dijo",
	"choice.said.fed": "comió", "choice.said.not fed": "no comió", "choice.said.not known": "no se sabe",
}
