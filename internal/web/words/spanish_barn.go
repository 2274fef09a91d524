package words

var spanishBarn = map[string]string{
	"install.name": "%s, wormyard", "language.name": "Español", "more.language": "Idioma", "entry.line": "%s: %s.", "entry.plain": "%s.", "entry.field": "%s %s",

	"outbox.title": "Lo que espera en este teléfono", "outbox.under": "Las anotaciones hechas sin señal esperan aquí y se van solas a la granja, en su orden.",
	"outbox.noscript": "En este navegador los scripts están apagados, así que aquí nada puede esperar: las anotaciones se van a la granja en el momento o no se van.",
	"outbox.wait.one": "%d anotación espera en este teléfono, hecha %s.", "outbox.wait.many": "%d anotaciones esperan en este teléfono; la más vieja se hizo %s.",
	"outbox.back.one": "%d anotación volvió con una pregunta.", "outbox.back.many": "%d anotaciones volvieron con preguntas.",
	"outbox.see": "Ver", "outbox.open": "Revisarla",
	"outbox.kept": "Sin señal. Esta página está como estaba a las %s.", "outbox.nostore": "Este navegador no guarda nada, así que las anotaciones se van a la granja en el momento o no se van.",
	"outbox.signedout": "Su sesión está cerrada. Las anotaciones se quedan aquí hasta que vuelva a entrar.", "outbox.notallowed": "La granja no acepta anotaciones de la persona que entró. Se quedan aquí hasta que entre alguien de la cuadrilla.",
	"outbox.otherperson": "Algunas las hizo otra persona. Se quedan aquí hasta que esa persona entre en este teléfono.",
	"outbox.trouble":     "La granja no puede tomarlas por el momento. Se quedan aquí y se vuelve a intentar.",
	"outbox.nearlyfull":  "Este teléfono está casi lleno. Todavía caben anotaciones; fotos, quizá no. Borre algo que no necesite.",
	"outbox.full":        "A este teléfono ya no le queda lugar, así que la anotación no se pudo guardar. No se guardó nada.", "outbox.fulltry": "Deje abierta esta página, haga lugar en el teléfono y apriete el botón otra vez. O escríbalo en papel.",
	"outbox.photolost.one": "%d foto no cupo o no se pudo aceptar; su anotación está a salvo.", "outbox.photolost.many": "%d fotos no cupieron o no se pudieron aceptar; sus anotaciones están a salvo.",
	"outbox.newer":  "El programa de la granja es más nuevo. Esta página se pondrá al día cuando ya nada espere.",
	"outbox.just":   "Guardado en este teléfono, esperando: %s.",
	"outbox.undone": "Deshecho: %s", "outbox.boxsay": "%s: %s",
	"outbox.mark.waiting": "Contestado a las %s, esperando señal", "outbox.mark.sent": "Contestado a las %s, ya en la granja", "outbox.mark.doubtful": "Contestado a las %s; la granja pregunta si está bien", "outbox.mark.refused": "Contestado a las %s, no aceptado: vea por qué",
	"outbox.list.back": "Volvieron", "outbox.list.waiting": "Esperan", "outbox.list.sent": "Ya en la granja, del último día", "outbox.none": "Nada espera. Todo lo que se hizo en este teléfono ya está en la granja.",
	"outbox.sendnow": "Intentar ahora", "outbox.made": "Hecha %s", "outbox.mend": "Abrir su formulario", "outbox.again": "Enviar otra vez", "outbox.drop": "Tirarla", "outbox.dropsure": "Sí, tirarla para siempre", "outbox.journal": "En la bitácora",
	"outbox.missing": "No hay señal, y esa página no está guardada en este teléfono.", "outbox.forbin": "Anotar para %s",
	"outbox.unread": "No se pudo leer lo que envió este teléfono.", "outbox.unreadtry": "Abra la ronda otra vez y envíe una vez más.",
	"outbox.newformat": "Este teléfono usa un programa más nuevo que el de la granja.", "outbox.newformattry": "Arranque el programa más nuevo de la granja y luego envíe otra vez.",
	"outbox.noid": "La anotación no tiene id.", "outbox.noidtry": "Abra el formulario otra vez y llénelo de nuevo.",
	"outbox.other": "En la bitácora hay una anotación con este id, y dice otra cosa.", "outbox.othertry": "Tache la de la bitácora si está mal, y anote esta de nuevo.",
	"outbox.device": "teléfono %s", "outbox.deviceslow": "%s, su reloj %s atrasado", "outbox.devicefast": "%s, su reloj %s adelantado",
	"outbox.clockslow": "El reloj de este teléfono va %s atrás del de la granja. La anotación se corrigió a %s.", "outbox.clockfast": "El reloj de este teléfono va %s adelante del de la granja. La anotación se corrigió a %s.",

	"undo.do": "Deshacer", "undo.why": "deshecho", "undo.nonetry": "No está en la bitácora, así que no hay nada que deshacer.",
	"step.less": "Menos: %s", "step.more": "Más: %s",

	"photo.take": "Foto", "photo.alt": "La foto que se acaba de tomar", "photo.drop": "Sin la foto", "photo.working": "Haciéndola chica", "photo.ready": "%d kB, va con la anotación", "photo.unread": "Esa no es una imagen que este teléfono pueda leer.",
	"photo.of": "Foto con: %s", "photo.gone": "La foto de esta anotación no está aquí.", "photo.nowhere": "Esta granja no guarda fotos.", "photo.broken": "La foto no llegó entera.", "photo.type": "La foto no es un JPEG.", "photo.size": "La foto es más grande de lo que debe enviar un teléfono.",
	"photo.wrongtry": "Tómela otra vez, o envíe la anotación sin ella.",
}
