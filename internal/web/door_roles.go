package web

import "wormyard/internal/people"

// doorRule says what least role some addresses need, and what one does there.
type doorRule struct {
	may    string // key of the words
	least  people.Role
	routes []string
}

const staticRoute = "GET /static/{file}"

// doorRules is the one table of who may do what. It is shown on the page Farm,
// and a test walks every address of the program through it.
var doorRules = []doorRule{
	{"door.may.enter", people.Nobody, []string{
		staticRoute, "GET /sign-in", "POST /sign-in", "GET /switch", "POST /switch", "GET /first-owner", "POST /first-owner", "GET /join", "POST /join", "GET /trust", "GET /trust/authority.crt", "GET /sw.js", "GET /manifest.webmanifest", "POST /choose",
	}},
	{"door.may.see", people.Reader, []string{
		"/", "GET /{$}", "GET /round", "GET /round/print", "GET /moves", "GET /moves/print", "GET /moves/places", "GET /moves/drive", "GET /round/events", "GET /round/{key}", "GET /barn", "GET /barn/{name}", "GET /bin/{name}", "GET /bin/{name}/trouble", "GET /yard", "GET /yard/pile/{pile}", "GET /yard/batch/{batch}", "GET /castings", "GET /bench", "GET /trials", "GET /lot/{name}", "GET /lot/{name}/sample", "GET /lot/{name}/labels", "POST /lot/{name}/labels", "GET /lot/{name}/record.pdf", "GET /sale/{id}/note.pdf", "GET /l/{name}/{mark}", "GET /L/{name}/{mark}", "GET /trace", "GET /trace.csv", "GET /rules", "GET /rules/{key}", "GET /costs", "GET /orders", "GET /order/{id}", "GET /mix", "GET /workshop", "GET /workshop/drawing.svg", "GET /workshop/drawing.pdf",
		"GET /journal", "GET /journal/{id}", "GET /farm", "GET /working", "GET /working/figure/{name}", "GET /working/bin/{name}", "GET /working/pile/{name}", "GET /working/batch/{name}", "GET /score", "GET /season", "GET /season/events", "GET /season.csv", "GET /season.ics", "GET /more",
		"GET /labels", "POST /labels", "GET /scan", "GET /s/{code}", "GET /S/{code}", "GET /b", "POST /b", "GET /b/{name}", "GET /b/{name}/{mark}", "GET /B/{name}/{mark}", "GET /r/{short}", "GET /R/{short}", "GET /outbox", "GET /keep.json", "GET /photo/{name}",
	}},
	{"door.may.self", people.Reader, []string{
		"GET /me", "POST /me/password", "POST /me/pin", "POST /me/out", "POST /me/everywhere", "GET /again/{id}",
	}},
	{"door.may.write", people.Crew, []string{
		"GET /truck", "POST /truck", "POST /moves/lift", "GET /round/sheet", "POST /round/sheet", "GET /round/walk", "POST /round/walk", "GET /round/walk/changed", "POST /round/walk/changed", "POST /round/make", "POST /bin/{name}/trouble", "POST /round/{key}/answer", "GET /round/{key}/except", "POST /round/{key}/except", "GET /bin/{name}/{act}", "POST /bin/{name}/{act}", "GET /yard/receive", "POST /yard/receive",
		"GET /yard/pile/{pile}/{act}", "POST /yard/pile/{pile}/{act}", "GET /lot/{name}/{act}", "POST /lot/{name}/{act}", "GET /lot/{name}/report", "POST /lot/{name}/report", "GET /lot/{name}/sheet", "POST /lot/{name}/sheet", "POST /lot/{name}/sheet/read", "GET /lot/{name}/bench", "POST /lot/{name}/bench", "GET /lot/{name}/bench/photo", "POST /lot/{name}/bench/photo", "POST /mix", "POST /journal/{id}/strike", "POST /journal/{id}/revive", "GET /enter", "GET /enter/{kind}", "POST /enter/{kind}",
		"POST /trace/drill", "GET /orders/new", "POST /orders/new", "GET /order/{id}/{act}", "POST /order/{id}/{act}", "POST /journal/{id}/undo", "POST /outbox", "POST /photo",
	}},
	{"door.may.set", people.Owner, []string{
		"POST /farm/{part}", "POST /season", "POST /season/stop", "GET " + demandTo, "POST " + demandTo, "POST " + demandTo + "/save", "POST " + demandTo + "/drop", "POST /workshop", "GET /prices", "POST /prices", "GET " + houseTo, "POST " + houseTo, "GET /layout", "POST /layout", "GET /start", "POST /start", "POST /start/file", "GET /import", "POST /import", "POST /import/save", "GET /orders/import", "POST /orders/import", "POST /orders/import/save",
	}},
	{"door.may.people", people.Owner, []string{
		"GET /people", "POST /people/invite", "POST /people/withdraw", "POST /people/{id}/{act}",
	}},
}

// leastRole gives the least role that an address needs.
func leastRole(at string) (people.Role, bool) {
	for _, rule := range doorRules {
		for _, x := range rule.routes {
			if x == at {
				return rule.least, true
			}
		}
	}
	return people.Owner, false
}

// ownersKinds are entries that change what the farm is, whatever form they come
// from; striking one counts the same.
var ownersKinds = []string{"setting"}

// notCarried are forms that do not come back after signing in: files, what a
// script sends and keeps by itself, and what is one press of a button.
var notCarried = map[string]bool{"POST /import": true, "POST /start/file": true, "POST /lot/{name}/sheet": true, "POST /lot/{name}/sheet/read": true, "POST /import/save": true, "POST /orders/import": true, "POST /orders/import/save": true, "POST /round/make": true, "POST /season/stop": true, "POST " + demandTo: true, "POST " + demandTo + "/save": true, "POST " + demandTo + "/drop": true, "POST /outbox": true, "POST /photo": true, "POST /journal/{id}/undo": true}

// carries says whether what was typed at an address comes back after signing in
// again. Passwords are never carried.
func carries(at string) bool {
	if notCarried[at] {
		return false
	}
	for _, rule := range doorRules {
		for _, x := range rule.routes {
			if x == at {
				return rule.may == "door.may.write" || rule.may == "door.may.set"
			}
		}
	}
	return false
}

// doorFacts prints the table of roles.
func doorFacts(p person) []Fact {
	var out []Fact
	for _, rule := range doorRules {
		if rule.least == people.Nobody {
			continue
		}
		var who []string
		for _, role := range people.Roles {
			if role.May(rule.least) {
				who = append(who, p.role(role))
			}
		}
		out = append(out, Fact{Name: p.Words.List(who), Value: p.Say(rule.may)})
	}
	return out
}

// role gives the word for a role.
func (p person) role(r people.Role) string {
	switch r {
	case people.Owner:
		return p.Say("role.owner")
	case people.Crew:
		return p.Say("role.crew")
	}
	return p.Say("role.reader")
}
