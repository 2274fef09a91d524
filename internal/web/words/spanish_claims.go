package words

// spanishClaims is what internal/source/data/claims.json and lot.CheckLabel say of
// the words of a label.
var spanishClaims = map[string]string{
	"A claim against pests makes it a pesticide, which must be registered.":                                                                  "Decir que sirve contra plagas lo hace un pesticida, y ese se tiene que registrar.",
	"A claim against diseases makes it a pesticide, which must be registered.":                                                               "Decir que sirve contra enfermedades lo hace un pesticida, y ese se tiene que registrar.",
	"Say what it is made from instead.":                                                                                                      "Mejor diga de qué está hecho.",
	"Worms alone do not make it so: germs were fewer with worms in some trials and worm eggs of people were not.":                            "Las lombrices solas no bastan: en algunos ensayos hubo menos gérmenes con lombrices, pero no menos huevos de lombrices de la gente.",
	"Keep a heat log of the feed, or leave it off.":                                                                                          "Lleve un registro del calor de la comida, o no lo ponga.",
	"A claim about life in it may have to be proved, and some states ask for kinds and counts that are guaranteed to the end of shelf life.": "Lo que se diga de la vida que lleva quizá haya que probarlo, y algunos estados piden especies y conteos garantizados hasta que caduque.",
	"Print the counts with their range and the day, or leave it off.":                                                                        "Imprima los conteos con su rango y el día, o no lo ponga.",
	"Seeds pass worms alive.":                                                                       "Las semillas pasan vivas por las lombrices.",
	"Grow a tray of it, or keep a heat log.":                                                        "Siembre una charola con él, o lleve un registro del calor.",
	"Cocoons go through an eighth inch screen.":                                                     "Los capullos pasan por una criba de un octavo de pulgada.",
	"Count worms and cocoons in three litres, and print the count.":                                 "Cuente lombrices y capullos en tres litros, e imprima la cuenta.",
	"The word is kept for what a certifier stands behind, though rules differ for what is no food.": "La palabra se guarda para lo que respalda un certificador, aunque las reglas cambian para lo que no es comida.",
	"Ask the certifier, or say \"from plant and animal matter\".":                                   "Pregunte al certificador, o diga «de materia vegetal y animal».",
	"It makes the bag a fertiliser in most states: to be registered, with guaranteed analysis.":     "Hace de la bolsa un fertilizante en casi todos los estados: hay que registrarlo, con análisis garantizado.",
	"Say soil amendment, or register it.":                                                           "Diga mejorador de suelo, o regístrelo.",
	"A promise of what it does to plants has to be proved.":                                         "Lo que se promete que hace a las plantas hay que probarlo.",
	"Leave it off.":                   "No lo ponga.",
	"%s does not let a label say it.": "%s no deja que una etiqueta lo diga.",
	"Take it off.":                    "Quítelo.",
	"Three numbers like these make it a fertiliser in most states: it must be registered and its analysis guaranteed.": "Tres números así lo hacen fertilizante en casi todos los estados: hay que registrarlo y garantizar su análisis.",
	"Take them off, or register it.": "Quítelos, o regístrelo.",
}
