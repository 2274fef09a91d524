package words

var spanishDoubt = whole(map[string]string{
	"doubt.title":      "Lecturas por revisar",
	"doubt.dial":       "Un termómetro de carátula",
	"doubt.logger":     "Un registrador",
	"doubt.probe":      "Una sonda",
	"doubt.named":      "%s (%s)",
	"doubt.at":         "%s a %s de hondo",
	"doubt.since":      "Así fue con %d lecturas desde %s.",
	"doubt.out":        "El pronóstico no las toma en cuenta.",
	"doubt.impossible": "%s marcó %s (%s), y ninguna cama está así. Revise el enchufe y la pila.",
	"doubt.air":        "%s marcó %s (%s), y en ningún granero está así el aire. Revise el enchufe y la pila.",
	"doubt.clock":      "%s tiene una lectura de %s que se anotó años después, junto con las de ese día. Su reloj quizá tiene mal el año.",
	"doubt.stuck":      "%s marca %s y nada más, de %s a %s. Quizá está trabado: ponga otro termómetro al lado.",
	"doubt.spike":      "%s saltó a %s (%s) y volvió en unas horas, como no lo hace ninguna cama. Quizá lo sacaron, o el enchufe está flojo.",
	"doubt.unit":       "%s marcó %s (%s), y ninguna cama viva está tan fría. ¿Eran %s?",
	"doubt.unitof":     "%s marcó %s (%s), en una cama que entonces estaba a unos %s. ¿Eran %s?",
	"doubt.unittry":    "Si era eso, tache la lectura y anote %s; si %s está bien, anótela otra vez y diga que sí.",
	"doubt.apart":      "%s marcó %s (%s), y %s marcó %s más o menos a la misma hondura y hora. No se toma en cuenta ninguno hasta que se ponga un tercer termómetro al lado.",
	"doubt.nearer":     "Lo demás que se leyó aquí queda más cerca de %s.",
	"doubt.checked":    "%s marcó %s (%s), y %s marcó %s más o menos a la misma hondura y hora, y eso se revisó.",
})

// spanishDoubtTold is what the core asks and notes of readings, and of what else
// the twin had to take for granted.
var spanishDoubtTold = whole(map[string]string{
	"Nobody wrote down anything of this bed since %s, so the twin runs as if nothing had been done.":                                          "Nadie anotó nada de esta cama desde el %s, así que el cálculo sigue como si no se hubiera hecho nada.",
	"Nobody wrote down anything of this bed from %s to %s, so the twin runs as if nothing had been done.":                                     "Nadie anotó nada de esta cama del %s al %s, así que el cálculo sigue como si no se hubiera hecho nada.",
	"By the journal more worms were taken out on %s than were put in, so the twin takes out all that it has, or as many.":                     "Según el diario, el %s se sacaron más lombrices de las que se pusieron; el cálculo saca todas las que tiene, o esa cantidad.",
	"It was fed %s at once, far deeper than a usual feeding, so what is said of its warmth is less sure than the range shows.":                "Se le dieron %s de una vez, mucho más de lo usual, así que lo que se dice de su calor es menos seguro de lo que parece.",
	"It was given %s at once, more than a bed takes up; the twin lets the rest run out below.":                                                "Se le echaron %s de una vez, más de lo que retiene una cama; el cálculo deja escurrir el resto.",
	"By what was written down, nothing is left of this bed; if something is, write down how deep it lies.":                                    "Según lo anotado, de esta cama no queda nada; si queda algo, anote qué tan hondo está.",
	"By what was written down, this bed is far deeper than its box; write down how deep it lies.":                                             "Según lo anotado, esta cama es mucho más honda que su caja; anote qué tan honda está.",
	"Nobody wrote down what the bed is made of; it is taken to be like what was fed.":                                                         "Nadie anotó de qué está hecha la cama; se toma como lo que se le dio de comer.",
	"Nobody wrote down when some of what was laid came to the farm; it is taken to have lain about two weeks, from a few days to two months.": "Nadie anotó cuándo llegó parte de lo que se puso; se toma como si llevara unas dos semanas en el montón, entre pocos días y dos meses.",
	"Heating of the bin was switched on without its power, so the twin runs without it.":                                                      "Se prendió la calefacción de la caja sin decir su potencia, así que el cálculo sigue sin ella.",
	"Castings were taken without weight or volume, so the twin runs as if they still lay there.":                                              "Se sacó humus sin peso ni volumen, así que el cálculo sigue como si aún estuviera ahí.",
	"One reading of a probe cannot be believed, so the twin runs as if it had not been taken.":                                                "Una lectura no es creíble, así que el cálculo sigue como si no se hubiera tomado.",
	"%d readings of probes cannot be believed, so the twin runs as if they had not been taken.":                                               "%d lecturas no son creíbles, así que el cálculo sigue como si no se hubieran tomado.",
	"%s in a bed that should be about %s. Did you mean %s?":                                                                                   "%s en una cama que debe estar a unos %s. ¿Quiso decir %s?",
	"The farm lies %s above the sea, and beds are reckoned as at the sea: up there they may dry faster, by up to %s.":                         "La finca está a %s sobre el mar, y las camas se calculan como a nivel del mar: allá arriba quizá se secan más rápido, hasta un %s.",
	"%s in a bed. Did you mean %s?":                                                      "%s en una cama. ¿Quiso decir %s?",
	"If so, type %s; if %s is right, say yes.":                                           "Si es así, escriba %s; si %s está bien, diga que sí.",
	"The day is %s, and everything else that was written here of late is of these days.": "El día es %s, y lo demás que se anotó aquí hace poco es de estos días.",
	"If it was %s, type that year; if the year is right, say yes.":                       "Si fue %s, escriba ese año; si el año está bien, diga que sí.",
})
