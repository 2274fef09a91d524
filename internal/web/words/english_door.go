package words

// englishDoor is everything said about coming in: people, passwords, devices,
// and how a phone learns to trust the farm's certificate.
var englishDoor = map[string]string{
	"role.owner": "owner", "role.crew": "crew", "role.reader": "reader",

	"door.signin": "Sign in", "door.name": "Name", "door.password": "Password", "door.newpassword": "New password", "door.again2": "The same once more", "door.oldpassword": "Your password now",
	"door.namehelp": "As it is to stand in the journal. It cannot be changed later.", "door.passwordhelp": "At least %d characters. A few words in a row are easy to keep and hard to guess.",
	"door.device": "What this device is called", "door.devicehelp": "It stands beside your name in the journal: barn phone, desk.",
	"door.signedas": "You are in as %s. Whoever signs in now takes your place on this device.",
	"door.expired":  "You were signed out in the meantime. Nothing was saved yet.", "door.expiredkept": "Sign in: what you typed comes back, ready to be sent again.", "door.expiredlost": "Sign in, then do it once more.",
	"door.again": "You were signed out before this was saved. It is still as you typed it.", "door.againtry": "Look it over and send it again.",
	"door.keptgone":  "What was typed is no longer at hand: it is kept for an hour after you sign in.",
	"door.forgotten": "Password forgotten", "door.forgottensay": "An owner can make you a link for a new one, on the page People. On the farm's computer itself: wormyard people password NAME.",

	"door.pin": "PIN", "door.bypinhere": "Or by PIN", "door.switch": "Change person", "door.whoareyou": "Who are you", "door.switchtitle": "Change person",
	"door.switchnote": "Somebody else takes this device, by PIN.", "door.switchother": "With the password", "door.switchsay": "A PIN works for people who have one and have signed in on this device with their password before.",

	"door.first": "Make yourself the owner", "door.firstmake": "Be the owner", "door.firstsay": "Until there is an owner, everyone at this computer may do everything, and nobody else can reach it.",
	"door.firstunder": "From then on people sign in, every entry says who wrote it, and phones may be let in.", "door.firstnote": "Then phones and crew can be let in.",
	"door.then": "Then", "door.thensay": "Invite your crew on the page People. To reach the farm from phones, start the program with a certificate: %s",
	"door.noownerhere": "Nobody has to sign in yet.",

	"door.join": "Come in, %s", "door.renew": "New password for %s", "door.joinunder": "%s invites you as %s.", "door.joinmake": "Come in", "door.joinname": "Set by the invitation.", "door.joinends": "%s is signed in on this device; that ends when you come in.",

	"door.noowner": "Not open yet", "door.noowner.say": "This farm has no owner yet, so it is open only at the computer it runs on.", "door.noowner.try": "Make the owner there first.",
	"door.hasowner": "There is an owner", "door.hasowner.say": "This farm has an owner already.", "door.hasowner.try": "Sign in, or ask the owner for an invitation.",
	"door.bypin": "With the password", "door.bypin.say": "You came in by PIN, and this needs your password.", "door.bypin.try": "Sign in with the password first.",
	"door.ownersonly": "For owners", "door.ownersonly.say": "Only an owner changes the farm and its people.", "door.ownersonly.try": "Ask an owner to do it, or to make you one.",
	"door.crewonly": "For the crew", "door.crewonly.say": "You may look at everything here and write nothing.", "door.crewonly.try": "Ask an owner to make you crew.",
	"door.signinfirst": "Sign in first", "door.signinfirst.say": "You are not signed in.", "door.signinfirst.try": "Sign in, then do it once more.",
	"door.noinvite": "This link is used up", "door.noinvite.say": "A link works once and for a few days; this one was used, taken back, or is too old.", "door.noinvite.try": "Ask for a new one. If you came in by it already, sign in.",

	"door.seconds.one": "%d second", "door.seconds.many": "%d seconds",
	"door.why.wrong": "Name and password do not fit together.", "door.why.wrongold": "That is not your password now.", "door.why.pin.one": "That is not the PIN. %d try is left, then only the password helps.", "door.why.pin.many": "That is not the PIN. %d tries are left, then only the password helps.",
	"door.why.pin0": "That is not the PIN of this person on this device.", "door.why.locked": "Too many wrong PINs on this device. Sign in with the password; then the PIN works again.",
	"door.why.wait": "Too many tries. Wait %s, then try again.", "door.why.noname": "The name is missing.", "door.why.longname": "The name is too long: at most %d letters.", "door.why.taken": "Somebody here has this name already. Add a letter, so that the journal can tell you apart.",
	"door.why.short": "The password is too short: at least %d characters. Take a few words.", "door.why.long": "The password is too long: at most %d characters.", "door.why.easy": "This password is among the first that are guessed. Take a few words that do not belong together.", "door.why.differ": "The two passwords differ. Type both again.",
	"door.why.oddpin": "A PIN is %d to %d digits.", "door.why.easypin": "This PIN is among the first that are guessed. Take digits that are neither alike nor in a row.", "door.why.norole": "Choose what this person may do.",
	"door.why.lastowner": "A farm needs an owner. Make somebody else an owner first.", "door.why.hasowner": "This farm has an owner already.", "door.why.noinvite": "This link is used up.", "door.why.gone": "There is no such person any more.",

	"door.things": "Who is here", "door.menote": "Your password, PIN and devices. Here you are on: %s.",
	"door.roles": "Who may do what", "door.rolesay": "One table for every page of the program.", "door.rolesopen": "Nobody has to sign in yet, and only this computer is served. With an owner, it will be like this:",
	"door.may.enter": "sign in, take up an invitation, read how to trust the certificate, choose a language", "door.may.see": "look at every page", "door.may.self": "change their own password and PIN, see and end their own sign-ins", "door.may.write": "write and strike entries, walk the round, mix, have the round made anew",
	"door.may.set": "change the farm's settings, set it up, import files", "door.may.people": "invite people, change what they may do, end their sign-ins",

	"device.iphone": "iPhone", "device.ipad": "iPad", "device.android": "Android phone", "device.windows": "Windows computer", "device.mac": "Mac", "device.chromebook": "Chromebook", "device.linux": "Linux computer", "device.other": "browser",

	"me.under": "You are %s, on: %s.", "me.welcome": "You are in, %s. From now on your name stands beside what you write down.", "me.passwordset": "The password is changed. Everywhere else you are signed out.", "me.pinset": "The PIN is set.", "me.pinless": "The PIN is gone.",
	"me.ended.one": "Signed out on %d other device.", "me.ended.many": "Signed out on %d other devices.",
	"me.devices": "Where you are signed in", "me.seen": "last seen %s ago", "me.here": "here", "me.bypin": "(by PIN)", "me.out": "Sign out here", "me.everywhere": "Sign out everywhere else",
	"me.changepassword": "Change the password", "me.passwordsay": "Everywhere else you are signed out by it.", "me.setpin": "Set the PIN", "me.droppin": "No PIN any more", "me.pinsay": "For a phone that several people share: it changes the person on a device where you have signed in with the password.", "me.pinhelp": "%d to %d digits. After %d wrong ones only the password helps.",

	"people.title": "People", "people.under": "Who may come in, as what, and from where.", "people.note": "Invite, change what they may do, sign out.",
	"people.invite": "Invite somebody", "people.invitesay": "You get a link that works once, for %d hours. Show it as a code or send it.", "people.invitemake": "Make the link", "people.role": "Comes in as", "people.waiting": "Invitations that wait",
	"people.waits": "as %s, for %s more", "people.withdraw": "Take back the link for %s", "people.shut": "May not come in. The name in the journal stays.", "people.reopen": "Let %s in again", "people.notin": "Not signed in anywhere.", "people.rolechange": "Change it",
	"people.end": "Sign %s out everywhere", "people.renew": "Link for a new password for %s", "people.shutout": "Keep %s out", "people.ended.one": "Ended on %d device.", "people.ended.many": "Ended on %d devices.",
	"people.linkfor": "Link for %s", "people.linkunder": "It is shown this once and works once, for %d hours.", "people.linkcode": "Code of the link for %s", "people.firsttrust": "A phone that was never here", "people.firsttrustsay": "It has to trust this farm's certificate once. Scan this with its camera and do what the page says.",
	"people.thenlink": "The link", "people.linksay": "%s scans it with the phone's camera, or opens it on the device that is to be used.", "people.onlyhere": "The program listens on this computer only, so the link works only here. For phones, start it with: %s",

	"trust.title": "Trust on a phone", "trust.note": "How a phone learns to trust this farm's certificate, once.", "trust.none": "The program runs without a certificate of its own.", "trust.only": "Here is only the page about trust; the farm itself is at the safe address.",
	"trust.why":   "The farm's computer made its own certificate, so that what you type is sealed on its way and the pages work without signal. Your phone does not know it yet.",
	"trust.bound": "It can only vouch for computers in a private network like this one, not for a bank or a shop.",
	"trust.file":  "Load the certificate", "trust.compare": "Compare before you trust", "trust.comparesay": "It is called “%s”. This is its SHA-256 fingerprint; the program prints it when it starts, and the owner sees it on the page Trust on a phone. If they differ, do not install it.",
	"trust.iphone": "iPhone and iPad", "trust.iphone.1": "Open this page in Safari, load the certificate, and allow the profile to be downloaded.", "trust.iphone.2": "Open Settings. Near the top stands Profile Downloaded: open it. Under More Details compare the fingerprint, then install it.",
	"trust.iphone.3": "Settings, General, About, at the very end Certificate Trust Settings: switch it on for this certificate.", "trust.iphone.4": "To take it back: Settings, General, VPN & Device Management, and remove the profile.",
	"trust.android": "Android", "trust.android.1": "Load the certificate. If the phone only keeps the file, go on by hand.", "trust.android.2": "Open Settings and search for “CA certificate”. Choose Install anyway and pick the file authority.crt. The phone may ask you to set a screen lock first.",
	"trust.android.3": "Compare the fingerprint: Settings, search for “trusted credentials”, the part User, open the certificate.", "trust.android.4": "Chrome uses it from then on. Other browsers may keep their own list; see Firefox below. Now and then the phone says that the network may be watched: it means this certificate.",
	"trust.windows": "Windows", "trust.windows.1": "Load the certificate and compare it: in a command window, certutil -hashfile authority.crt SHA256 prints the fingerprint.", "trust.windows.2": "Open the file and choose Install Certificate, Current User.",
	"trust.windows.3": "Choose Place all certificates in the following store, then Trusted Root Certification Authorities.", "trust.windows.4": "Close the browser and open it again.",
	"trust.mac": "Mac", "trust.mac.1": "Load the certificate and open the file. Keychain Access asks where to put it: login.", "trust.mac.2": "Find it there, open it, compare the SHA-256 fingerprint, unfold Trust and set it to Always Trust.", "trust.mac.3": "Close the browser and open it again.",
	"trust.linux": "Linux, and Chrome anywhere", "trust.linux.1": "Load the certificate and compare it: sha256sum authority.crt prints the fingerprint.", "trust.linux.2": "In Chrome or Chromium: Settings, search for “certificates”, manage them, Authorities or Custom, import the file, and trust it for websites.", "trust.linux.3": "Close the browser and open it again.",
	"trust.firefox": "Firefox", "trust.firefox.1": "Load the certificate. Firefox asks what to trust it for: view it, compare the SHA-256 fingerprint, then tick websites.", "trust.firefox.2": "If it only keeps the file: Settings, search for “certificates”, View Certificates, Authorities, Import.",
	"trust.firefox.3": "On a phone, Firefox uses what the phone trusts only after it is told to; Chrome or Safari is less trouble.",
	"trust.then":      "Then open the farm", "trust.thensay": "If the phone still warns, the certificate is not trusted yet: go through the steps once more rather than past the warning.", "trust.open": "Open the farm", "trust.others": "For other phones", "trust.otherssay": "This leads to the same page without a warning.", "trust.code": "Code of the page about trust",
}
