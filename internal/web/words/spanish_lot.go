package words

// spanishLotTold is what the core says of lots that do not fit.
var spanishLotTold = map[string]string{
	// journal/rules.go
	"Lot %s would be made of itself.": "El lote %s quedaría hecho de sí mismo.",
	"Give the new lot a name of its own, or leave that part out: what is not taken stays in its lot.": "Póngale un nombre propio al lote nuevo, o quite esa parte: lo que no se toma se queda en su lote.",
	"It is said twice how much of lot %s went in.":                                                    "Se dice dos veces cuánto entró del lote %s.",
	"Keep the volume or the mass.":                                                                    "Deje el volumen o el peso.",
	"Lot %s is named twice.":                                                                          "El lote %s está dos veces.",
	"It is not said which lots were put together.":                                                    "No se dice qué lotes se juntaron.",
	"Name the lots.": "Ponga los lotes.",
	// farm
	"Of lot %s %d bags were sold up to %s, and %d were bagged.":                         "Del lote %s se vendieron %d bolsas hasta el %s, y se llenaron %d.",
	"Enter the bagging that is missing, or strike the sale that was written twice.":     "Anote el embolsado que falta, o tache la venta que se anotó dos veces.",
	"On %s lot %s went into lot %s, and lot %s was made of that before.":                "El %s el lote %s entró en el lote %s, y antes el lote %s se había hecho de ese.",
	"Strike the one that was not so, and give what was put together a name of its own.": "Tache la anotación que no fue así, y póngale un nombre propio a lo que se juntó.",
	"%s was taken of lot %s up to %s, and %s went into it by the journal.":              "Se tomó %s del lote %s hasta el %s, y según la bitácora le entró %s.",
	"Enter the harvest that is missing, or strike what was written twice.":              "Anote la cosecha que falta, o tache lo que se anotó dos veces.",
	"Lot %s is on hold since %s: %s.":                                                   "El lote %s está detenido desde el %s: %s.",
	"Take another lot, or write down first that it is released.":                        "Tome otro lote, o anote primero que se autorizó.",
	"Lot %s was not released when it was sold on %s.":                                   "El lote %s no estaba autorizado cuando se vendió el %s.",
	"Write down its release with the day, or say yes if it may be sold as it is.":       "Anote su autorización con el día, o diga que sí si se puede vender así.",
	// internal/app/record_lot.go
	"%s is taken of lot %s, and about %s of it is left by the journal.":                            "Se toma %s del lote %s, y según la bitácora queda más o menos %s.",
	"Enter the harvest that is missing, or say yes.":                                               "Anote la cosecha que falta, o diga que sí.",
	"Lot %s was made of lot %s already, so lot %s would be made of itself.":                        "El lote %s ya se hizo del lote %s, así que el lote %s quedaría hecho de sí mismo.",
	"Give what is put together now a name of its own.":                                             "Póngale un nombre propio a lo que se junta ahora.",
	"%d bags are sold of lot %s, and %d of it are bagged and not sold.":                            "Se venden %d bolsas del lote %s, y hay %d llenas sin vender.",
	"Enter the bagging first, look whether the sale is written already, or say yes.":               "Anote primero el embolsado, mire si la venta ya está anotada, o diga que sí.",
	"The same sale of lot %s to %s is written for that day already.":                               "Esa misma venta del lote %s a %s ya está anotada ese día.",
	"Leave it out if it is the same one, or say yes if there were two.":                            "Déjela fuera si es la misma, o diga que sí si fueron dos.",
	"Release it first, or write in the note why it goes all the same; the reason stays on record.": "Autorícelo primero, o anote en la nota por qué sale de todos modos; la razón queda escrita.",
	"The rules of this farm cannot be read.":                                                       "No se pueden leer las reglas de esta granja.",
	"Set the house rule again on the page Rules.":                                                  "Ponga otra vez la regla de la casa en la página Reglas.",
	"Lot %s is not released under %s: %s is not kept.":                                             "El lote %s no se autoriza según %s: no se cumple %s.",
	"Hold it, or look whether another rule is about it.":                                           "Deténgalo, o mire si otra regla trata de él.",
	"Lot %s is not released under %s: nothing shows %s.":                                           "El lote %s no se autoriza según %s: nada muestra %s.",
	"Write down what is missing, or look whether another rule is about it.":                        "Anote lo que falta, o mire si otra regla trata de él.",
	"The text of %s is not surely known: lot %s would be allowed if it is as recalled.":            "El texto de %s no se conoce con seguridad: el lote %s se permitiría si es como se recuerda.",
	"Read the rule, ask the certifier or the inspector, and say yes if it is so.":                  "Lea la regla, pregunte al certificador o al inspector, y diga que sí si es así.",
}
