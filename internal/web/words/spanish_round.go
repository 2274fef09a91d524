package words

// spanishRound is the phrases of a round (package round) in Spanish, under the
// keys of round.English. An act is an infinitive, so that it stands alike on
// its own line, after a bin's name and within a sentence.
var spanishRound = map[string]string{
	"round.weekday.0": "domingo", "round.weekday.1": "lunes", "round.weekday.2": "martes", "round.weekday.3": "miércoles",
	"round.weekday.4": "jueves", "round.weekday.5": "viernes", "round.weekday.6": "sábado",
	"round.chance.none": "en ninguna de {0} pruebas", "round.chance.all": "en las {0} pruebas", "round.chance.tenths": "{0} de cada 10",
	"round.chance.between": "de {0} a {1}", "round.chance.more": "{0} o más", "round.chance.less": "{0} o menos", "round.chance.any": "de nunca a siempre", "round.list.comma": ", ", "round.list.and": "{0} y {1}",

	"round.line.named": "{0}: {1}", "round.line.all": "{0}, {1} cajas", "round.line.except": "{0}, {1} cajas, menos {2}", "round.line.open": "Destapar {1}, demasiado caliente: {0}", "round.line.flee": "Destapar {1}, las lombrices no lo aguantan: {0}",

	"round.feed": "dar {0} de la mezcla {1}", "round.feed_water": "dar {0} de la mezcla {1} y regar con {2}",
	"round.feed_cover": "dar {0} de la mezcla {1} y ponerle una tela encima", "round.feed_water_cover": "dar {0} de la mezcla {1}, regar con {2} y ponerle una tela encima",
	"round.water": "regar con {0}", "round.water_cover": "regar con {0} y ponerle una tela encima", "round.rest": "dejarla como está",
	"round.cover.cloth": "ponerle una tela encima", "round.cover.film": "ponerle un plástico encima", "round.cover.board": "ponerle tablas encima",
	"round.open.cover": "quitar la cubierta", "round.open.feed": "quitar {0} de la comida nueva",
	"round.open.both": "quitar {0} de la comida nueva y dejarla sin cubierta", "round.open.watch": "nada de lo que se probó la enfría, así que primero revísela",
	"round.warm": "guardarla de la helada", "round.look": "revisar antes de dar de comer", "round.probe": "meter el termómetro", "round.look.odd": "ver qué le pasa", "round.look.soaked": "ver si tiene agua encharcada",
	"round.amount.water": "{0} de agua",
	"round.harvest":      "cosechar, está madura", "round.split": "dividir las lombrices",
	"round.blend": "mezclar {0} más de la mezcla {1}", "round.blend.like": "mezclar {0} de alimento como la mezcla {1}", "round.blend.any": "mezclar {0} de alimento", "round.part": "{0} de {1}",

	"round.why.left.none": "La última comida casi se acabó.", "round.why.left.quarter": "Queda más o menos la cuarta parte de la última comida.",
	"round.why.left.third": "Queda más o menos la tercera parte de la última comida.", "round.why.left.half": "Queda más o menos la mitad de la última comida.",
	"round.why.left.most": "Queda la mayor parte de la última comida.", "round.why.left.all": "La última comida casi no se ha tocado.",
	"round.why.first": "Todavía no ha comido.", "round.why.lasts": "Con este calor, {0} duran hasta el {1}.",
	"round.why.more": "Con {0} más sobraría demasiado: {1}.", "round.why.enough": "Hay comida para llegar al {0}.",
	"round.why.waits": "Está debajo de otras y espera el montacargas del {0}.", "round.why.unfed": "Nadie ha anotado una comida en {0} días.",
	"round.why.unfed.one": "Nadie ha anotado una comida en un día.",
	"round.why.warm":      "Puede llegar a {0} donde están las lombrices.", "round.why.refuge": "Solo unos {0} de cama les quedan frescos.",
	"round.why.norefuge": "Abajo no les queda nada de cama fresca.",
	"round.why.flee":     "Lo último que se puso saca a las lombrices.", "round.why.turn": "Otras están más maduras, así que esta espera su turno.",
	"round.why.reading":  "Marcó {0} a {1}, donde se esperaban unos {2}. ¿Se hizo algo que nadie anotó?",
	"round.why.read":     "Marcó {0} a {1}, donde se esperaban unos {2}.",
	"round.why.hose":     "Se le dieron {0} el {1}, más de lo que una cama absorbe. Levante una esquina: no debe escurrir, encharcarse ni oler a agrio.",
	"round.why.flee_dry": "Está tan seca que las lombrices se van.",
	"round.why.nogain":   "Más comida encima ahora no daría más humus.",
	"round.why.nomixes":  "No hay mezcla que dar.", "round.why.limits": "Todas las comidas que se probaron harían más mal que bien.",
	"round.why.maybe_warm": "Puede pasar de {0} donde están las lombrices: {1}.",
	"round.why.dry":        "Lo de arriba se seca para el {0} si no se hace nada: {1}.", "round.why.soaked": "Está mojada y le falta aire, así que ni comida ni agua.",
	"round.why.cold": "A {0} en el centro, las lombrices casi no comen.", "round.why.frozen": "El frío que viene baja la cama a {0}.",
	"round.why.finish": "Está casi llena y ya no recibe comida, para que madure.",
	"round.why.full":   "Está llena hasta {0} del borde.", "round.why.ripe": "Casi toda la comida está trabajada: unos {0} de humus.",
	"round.why.crowded":   "Tiene unos {0} de lombrices: apiñadas se reproducen despacio.",
	"round.why.runs_out":  "Aquí las cajas piden {1} de la mezcla {0}, y quedan {2}.",
	"round.why.nomix":     "No queda nada mezclado, y a {0} cajas ya les toca comer.",
	"round.why.nomix.one": "No queda nada mezclado, y a una caja ya le toca comer.",
	"round.why.parts":     "Eso es {0}.", "round.why.undecided": "Está en duda si quiere comida, y una revisión lo aclara.",

	"round.sure.eaten": "Comido para el {0}, o casi: {1}.", "round.sure.warm": "Demasiado caliente para las lombrices: {0}.", "round.sure.dry": "Aun así, demasiado seca arriba para el {0}: {1}.",
	"round.sure.danger": "Más de {0} en tres días si no se hace nada: {1}.", "round.sure.flee": "Se van lombrices para el {0} si no se hace nada: {1}.", "round.sure.after": "Después de eso: {0}.",
	"round.sure.frozen": "Congelada si no se hace nada: {0}.", "round.sure.ripe": "Madura ya: {0}.", "round.sure.hungry": "Con hambre antes del {0}: {1}.",

	"round.care.ammonia": "Puede haber mucho amoníaco: abra primero la puerta del granero, y salga si le arden los ojos.",
	"round.care.truck":   "Piso parejo, horquillas abajo, nadie cerca ni debajo de una caja levantada. Deciden la placa de capacidad y las reglas del lugar.",
	"round.care.dust":    "Moje el material seco y use mascarilla: polvo y esporas.",
	"round.care.gloves":  "Guantes, y lávese antes de comer: el estiércol trae gérmenes.",
	"round.care.lift":    "Las cubetas llenas pesan: entre dos personas, o a la mitad.",
	"round.care.power":   "Mantenga calefactores y cables secos y lejos del material de cama. Decide un electricista con licencia.",

	"round.look.rest": "ver si ya se le puede volver a dar de comer",
	"round.why.held":  "No recibe comida desde el {0}: {1}. Así queda hasta que alguien le vuelva a dar.", "round.why.heldgone": "Lo que había ahí ya casi se lo comieron: vea si se le puede volver a dar de comer.",
	"round.why.fulllate": "Está apiñada, pero se le pusieron lombrices compradas, así que ninguna pasa a otras cajas hasta el {0}.",
	"round.why.ripelate": "Está madura, pero se le pusieron lombrices compradas, así que nada de ella pasa a otras cajas hasta el {0}.",
	"round.care.apart":   "Se le pusieron lombrices compradas el {0}. Hasta el {1} tiene sus propias herramientas, y de ella no pasan lombrices ni material de cama a otras cajas.",
	"round.date":         "{0} de {1}",
	"round.month.1":      "enero", "round.month.2": "febrero", "round.month.3": "marzo", "round.month.4": "abril", "round.month.5": "mayo", "round.month.6": "junio",
	"round.month.7": "julio", "round.month.8": "agosto", "round.month.9": "septiembre", "round.month.10": "octubre", "round.month.11": "noviembre", "round.month.12": "diciembre",

	"round.pile.turn": "voltear el montón {0}", "round.pile.wet": "mojar el montón {0} con {1}", "round.pile.measure": "meter el termómetro largo en el montón {0}",
	"round.pile.spread": "esparcir bajo el montón {0}", "round.pile.call": "no acercarse al montón {0} y llamar a los bomberos", "round.pile.why": "{0}", "round.pile.care": "{0}",

	"round.weather.now": "Afuera, de {0} a {1} hoy.", "round.weather.frost": "Helada probable en la noche del {0}: {1}.", "round.weather.heat": "Calor el {0}: {1}.",
	"round.note.plain": "{0}", "round.note.doubts": "{0} anotaciones no cuadran con lo demás; la bitácora dice cuáles.", "round.note.doubts.one": "Una anotación no cuadra con lo demás; la bitácora dice cuál.",
	"round.note.nomix": "A ninguna mezcla le queda material, así que no se pudo probar dar de comer.", "round.note.held": "La mezcla {0} no se da: {1}",
	"round.note.tries": "Qué tan seguro: cómo salieron pruebas en la cama modelo que no se usaron para escoger.",
}
