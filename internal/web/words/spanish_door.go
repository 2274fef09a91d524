package words

var spanishDoor = map[string]string{
	"role.owner": "dueño", "role.crew": "cuadrilla", "role.reader": "solo lectura",

	"door.signin": "Entrar", "door.name": "Nombre", "door.password": "Contraseña", "door.newpassword": "Contraseña nueva", "door.again2": "La misma otra vez", "door.oldpassword": "Su contraseña de ahora",
	"door.namehelp": "Tal como debe salir en la bitácora. Después no se puede cambiar.", "door.passwordhelp": "Al menos %d caracteres. Unas cuantas palabras seguidas son fáciles de recordar y difíciles de adivinar.",
	"door.device": "Cómo se llama este aparato", "door.devicehelp": "Va junto a su nombre en la bitácora: teléfono del granero, escritorio.",
	"door.signedas": "Usted entró como %s. Quien entre ahora toma su lugar en este aparato.",
	"door.expired":  "Mientras tanto se cerró su sesión. Todavía no se guardó nada.", "door.expiredkept": "Entre: lo que escribió vuelve, listo para enviarse otra vez.", "door.expiredlost": "Entre, y hágalo una vez más.",
	"door.again": "Su sesión se cerró antes de que esto se guardara. Sigue como usted lo escribió.", "door.againtry": "Revíselo y envíelo otra vez.",
	"door.keptgone":  "Lo que se escribió ya no está a la mano: se guarda una hora después de que usted entra.",
	"door.forgotten": "Olvidé la contraseña", "door.forgottensay": "Un dueño le puede hacer un enlace para una nueva, en la página Gente. En la computadora de la granja: wormyard people password NAME.",

	"door.pin": "PIN", "door.bypinhere": "O con PIN", "door.switch": "Cambiar de persona", "door.whoareyou": "¿Quién es usted?", "door.switchtitle": "Cambiar de persona",
	"door.switchnote": "Otra persona toma este aparato, con PIN.", "door.switchother": "Con la contraseña", "door.switchsay": "El PIN sirve para quienes tienen uno y ya entraron antes en este aparato con su contraseña.",

	"door.first": "Hágase el dueño", "door.firstmake": "Ser el dueño", "door.firstsay": "Mientras no haya dueño, cualquiera en esta computadora puede hacer todo, y nadie más puede llegar a ella.",
	"door.firstunder": "Desde entonces la gente entra con su nombre, cada anotación dice quién la escribió, y se puede dejar entrar a los teléfonos.", "door.firstnote": "Después pueden entrar los teléfonos y la cuadrilla.",
	"door.then": "Después", "door.thensay": "Invite a su cuadrilla en la página Gente. Para llegar a la granja desde los teléfonos, arranque el programa con un certificado: %s",
	"door.noownerhere": "Todavía nadie tiene que entrar con su nombre.",

	"door.join": "Pase, %s", "door.renew": "Contraseña nueva para %s", "door.joinunder": "%s le invita como %s.", "door.joinmake": "Pasar", "door.joinname": "Lo fija la invitación.", "door.joinends": "%s tiene su sesión abierta en este aparato; eso termina cuando usted pase.",

	"door.noowner": "Todavía no abre", "door.noowner.say": "Esta granja aún no tiene dueño, así que solo está abierta en la computadora donde corre.", "door.noowner.try": "Primero haga ahí al dueño.",
	"door.hasowner": "Ya hay dueño", "door.hasowner.say": "Esta granja ya tiene dueño.", "door.hasowner.try": "Entre, o pida una invitación al dueño.",
	"door.bypin": "Con la contraseña", "door.bypin.say": "Usted entró con PIN, y esto pide su contraseña.", "door.bypin.try": "Entre primero con la contraseña.",
	"door.ownersonly": "Para dueños", "door.ownersonly.say": "Solo un dueño cambia la granja y su gente.", "door.ownersonly.try": "Pida a un dueño que lo haga, o que le haga dueño.",
	"door.crewonly": "Para la cuadrilla", "door.crewonly.say": "Aquí usted puede ver todo y no escribir nada.", "door.crewonly.try": "Pida a un dueño que le ponga en la cuadrilla.",
	"door.signinfirst": "Primero entre", "door.signinfirst.say": "No ha entrado con su nombre.", "door.signinfirst.try": "Entre, y hágalo una vez más.",
	"door.noinvite": "Este enlace ya se gastó", "door.noinvite.say": "Un enlace sirve una vez y por unos días; este ya se usó, se retiró o es demasiado viejo.", "door.noinvite.try": "Pida uno nuevo. Si ya pasó con él, entre.",

	"door.seconds.one": "%d segundo", "door.seconds.many": "%d segundos",
	"door.why.wrong": "El nombre y la contraseña no van juntos.", "door.why.wrongold": "Esa no es su contraseña de ahora.", "door.why.pin.one": "Ese no es el PIN. Queda %d intento; después solo sirve la contraseña.", "door.why.pin.many": "Ese no es el PIN. Quedan %d intentos; después solo sirve la contraseña.",
	"door.why.pin0": "Ese no es el PIN de esta persona en este aparato.", "door.why.locked": "Demasiados PIN equivocados en este aparato. Entre con la contraseña; después el PIN vuelve a servir.",
	"door.why.wait": "Demasiados intentos. Espere %s e intente otra vez.", "door.why.noname": "Falta el nombre.", "door.why.longname": "El nombre es demasiado largo: cuando mucho %d letras.", "door.why.taken": "Aquí ya hay alguien con ese nombre. Añada una letra, para que la bitácora los distinga.",
	"door.why.short": "La contraseña es demasiado corta: al menos %d caracteres. Use unas cuantas palabras.", "door.why.long": "La contraseña es demasiado larga: cuando mucho %d caracteres.", "door.why.easy": "Esta contraseña es de las primeras que se adivinan. Use unas cuantas palabras que no vayan juntas.", "door.why.differ": "Las dos contraseñas son distintas. Escriba las dos otra vez.",
	"door.why.oddpin": "Un PIN tiene de %d a %d dígitos.", "door.why.easypin": "Este PIN es de los primeros que se adivinan. Use dígitos que no sean iguales ni vayan en orden.", "door.why.norole": "Escoja qué puede hacer esta persona.",
	"door.why.lastowner": "Una granja necesita un dueño. Primero haga dueño a alguien más.", "door.why.hasowner": "Esta granja ya tiene dueño.", "door.why.noinvite": "Este enlace ya se gastó.", "door.why.gone": "Esa persona ya no está.",

	"door.things": "Quién está aquí", "door.menote": "Su contraseña, su PIN y sus aparatos. Aquí está en: %s.",
	"door.roles": "Quién puede hacer qué", "door.rolesay": "Una sola tabla para todas las páginas del programa.", "door.rolesopen": "Todavía nadie tiene que entrar con su nombre, y solo se atiende a esta computadora. Cuando haya dueño será así:",
	"door.may.enter": "entrar, aceptar una invitación, leer cómo confiar en el certificado, escoger idioma", "door.may.see": "ver todas las páginas", "door.may.self": "cambiar su propia contraseña y su PIN, ver y cerrar sus propias sesiones", "door.may.write": "anotar y tachar, caminar la ronda, mezclar, mandar hacer la ronda otra vez",
	"door.may.set": "cambiar los ajustes de la granja, darla de alta, importar archivos", "door.may.people": "invitar gente, cambiar lo que puede hacer, cerrar sus sesiones",

	"device.iphone": "iPhone", "device.ipad": "iPad", "device.android": "teléfono Android", "device.windows": "computadora con Windows", "device.mac": "Mac", "device.chromebook": "Chromebook", "device.linux": "computadora con Linux", "device.other": "navegador",

	"me.under": "Usted es %s, en: %s.", "me.welcome": "Ya está adentro, %s. Desde ahora su nombre va junto a lo que anote.", "me.passwordset": "La contraseña se cambió. En todos los demás lugares se cerró su sesión.", "me.pinset": "El PIN quedó puesto.", "me.pinless": "El PIN se quitó.",
	"me.ended.one": "Se cerró la sesión en %d aparato más.", "me.ended.many": "Se cerró la sesión en %d aparatos más.",
	"me.devices": "Dónde tiene sesión abierta", "me.seen": "visto hace %s", "me.here": "aquí", "me.bypin": "(con PIN)", "me.out": "Salir aquí", "me.everywhere": "Salir en todos los demás",
	"me.changepassword": "Cambiar la contraseña", "me.passwordsay": "Con eso se cierra su sesión en todos los demás lugares.", "me.setpin": "Poner el PIN", "me.droppin": "Ya sin PIN", "me.pinsay": "Para un teléfono que comparten varias personas: cambia de persona en un aparato donde usted ya entró con la contraseña.", "me.pinhelp": "De %d a %d dígitos. Después de %d equivocados solo sirve la contraseña.",

	"people.title": "Gente", "people.under": "Quién puede entrar, como qué, y desde dónde.", "people.note": "Invitar, cambiar lo que pueden hacer, cerrar sesiones.",
	"people.invite": "Invitar a alguien", "people.invitesay": "Recibe un enlace que sirve una vez, por %d horas. Muéstrelo como código o envíelo.", "people.invitemake": "Hacer el enlace", "people.role": "Entra como", "people.waiting": "Invitaciones que esperan",
	"people.waits": "como %s, por %s más", "people.withdraw": "Retirar el enlace de %s", "people.shut": "No puede entrar. El nombre sigue en la bitácora.", "people.reopen": "Dejar entrar otra vez a %s", "people.notin": "Sin sesión en ningún lado.", "people.rolechange": "Cambiarlo",
	"people.end": "Cerrar todas las sesiones de %s", "people.renew": "Enlace para una contraseña nueva de %s", "people.shutout": "No dejar entrar a %s", "people.ended.one": "Se cerró en %d aparato.", "people.ended.many": "Se cerró en %d aparatos.",
	"people.linkfor": "Enlace para %s", "people.linkunder": "Se muestra solo esta vez y sirve una vez, por %d horas.", "people.linkcode": "Código del enlace para %s", "people.firsttrust": "Un teléfono que nunca ha estado aquí", "people.firsttrustsay": "Tiene que confiar una vez en el certificado de esta granja. Escanee esto con su cámara y haga lo que dice la página.",
	"people.thenlink": "El enlace", "people.linksay": "%s lo escanea con la cámara del teléfono, o lo abre en el aparato que va a usar.", "people.onlyhere": "El programa solo escucha en esta computadora, así que el enlace solo sirve aquí. Para teléfonos, arránquelo con: %s",

	"trust.title": "Confianza en un teléfono", "trust.note": "Cómo aprende un teléfono a confiar en el certificado de esta granja, una vez.", "trust.none": "El programa corre sin un certificado propio.", "trust.only": "Aquí solo está la página sobre la confianza; la granja misma está en la dirección segura.",
	"trust.why":   "La computadora de la granja hizo su propio certificado, para que lo que usted escribe viaje cerrado y las páginas sirvan sin señal. Su teléfono todavía no lo conoce.",
	"trust.bound": "Solo puede responder por computadoras de una red privada como esta, no por un banco ni una tienda.",
	"trust.file":  "Bajar el certificado", "trust.compare": "Compare antes de confiar", "trust.comparesay": "Se llama “%s”. Esta es su huella SHA-256; el programa la imprime al arrancar, y el dueño la ve en la página Confianza en un teléfono. Si son distintas, no lo instale.",
	"trust.iphone": "iPhone y iPad", "trust.iphone.1": "Abra esta página en Safari, baje el certificado y permita que se descargue el perfil.", "trust.iphone.2": "Abra Configuración. Casi hasta arriba dice Perfil descargado: ábralo. En Más detalles compare la huella, y luego instálelo.",
	"trust.iphone.3": "Configuración, General, Información, hasta el final Configuración de confianza de los certificados: actívelo para este certificado.", "trust.iphone.4": "Para quitarlo: Configuración, General, VPN y gestión de dispositivos, y elimine el perfil.",
	"trust.android": "Android", "trust.android.1": "Baje el certificado. Si el teléfono solo guarda el archivo, siga a mano.", "trust.android.2": "Abra Configuración y busque “certificado de CA”. Escoja Instalar de todas formas y tome el archivo authority.crt. Puede que el teléfono le pida poner primero un bloqueo de pantalla.",
	"trust.android.3": "Compare la huella: Configuración, busque “credenciales de confianza”, la parte Usuario, abra el certificado.", "trust.android.4": "Chrome lo usa desde entonces. Otros navegadores pueden tener su propia lista; vea Firefox más abajo. De vez en cuando el teléfono dice que la red puede estar vigilada: se refiere a este certificado.",
	"trust.windows": "Windows", "trust.windows.1": "Baje el certificado y compárelo: en una ventana de comandos, certutil -hashfile authority.crt SHA256 imprime la huella.", "trust.windows.2": "Abra el archivo y escoja Instalar certificado, Usuario actual.",
	"trust.windows.3": "Escoja Colocar todos los certificados en el siguiente almacén, y luego Entidades de certificación raíz de confianza.", "trust.windows.4": "Cierre el navegador y ábralo otra vez.",
	"trust.mac": "Mac", "trust.mac.1": "Baje el certificado y abra el archivo. Acceso a Llaveros pregunta dónde ponerlo: inicio de sesión.", "trust.mac.2": "Búsquelo ahí, ábralo, compare la huella SHA-256, despliegue Confiar y póngalo en Confiar siempre.", "trust.mac.3": "Cierre el navegador y ábralo otra vez.",
	"trust.linux": "Linux, y Chrome en cualquier lado", "trust.linux.1": "Baje el certificado y compárelo: sha256sum authority.crt imprime la huella.", "trust.linux.2": "En Chrome o Chromium: Configuración, busque “certificados”, adminístrelos, Entidades emisoras o Personalizado, importe el archivo y confíe en él para sitios web.", "trust.linux.3": "Cierre el navegador y ábralo otra vez.",
	"trust.firefox": "Firefox", "trust.firefox.1": "Baje el certificado. Firefox pregunta para qué confiar en él: véalo, compare la huella SHA-256 y marque sitios web.", "trust.firefox.2": "Si solo guarda el archivo: Ajustes, busque “certificados”, Ver certificados, Autoridades, Importar.",
	"trust.firefox.3": "En un teléfono, Firefox usa lo que el teléfono da por bueno solo después de que se le dice; con Chrome o Safari hay menos lío.",
	"trust.then":      "Después abra la granja", "trust.thensay": "Si el teléfono sigue avisando, todavía no confía en el certificado: repita los pasos, en vez de pasar por encima del aviso.", "trust.open": "Abrir la granja", "trust.others": "Para otros teléfonos", "trust.otherssay": "Esto lleva a la misma página sin aviso.", "trust.code": "Código de la página sobre la confianza",
}
