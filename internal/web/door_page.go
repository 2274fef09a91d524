package web

import (
	"errors"
	"net/http"
	"strconv"
	"time"

	"wormyard/internal/people"
	"wormyard/internal/web/words"
)

// DoorPage is a page about coming in: people, passwords, devices.
type DoorPage struct {
	Frame
	Heading, Under string
	Told           []string
	Form           *DoorForm
	Parts          []DoorPart
}

// DoorPart is one part of such a page.
type DoorPart struct {
	Anchor, Title string
	Say           []string
	Facts         []Fact
	Link          string // written out, for those who cannot scan
	Code          *Code
	Steps         []string
	Forms         []DoorForm
	Acts          []DoorForm // one button each
	Links         []Link
}

// DoorForm is a form whose boxes a browser may fill from its own keeping.
type DoorForm struct {
	Action, Submit string
	Main           bool
	Problems       []Complaint
	Hidden         []Pair
	Fields         []DoorField
}

// Pair is a hidden name and value.
type Pair struct{ Name, Value string }

// DoorField is one box.
type DoorField struct {
	ID, Name, Label, Help, Type, Value, Auto, Mode, Bad string
	Plain                                               bool // no capitals, no spelling
	Options                                             []Option
}

func nameBox(p person, id, value string) DoorField {
	return DoorField{ID: id + "-name", Name: "name", Label: p.Say("door.name"), Type: "text", Value: value, Auto: "username", Plain: true}
}

func passwordBox(id, name, label, auto string) DoorField {
	return DoorField{ID: id + "-" + name, Name: name, Label: label, Type: "password", Auto: auto}
}

// newPasswordBoxes ask for a new password twice.
func newPasswordBoxes(p person, id string) []DoorField {
	f := passwordBox(id, "password", p.Say("door.newpassword"), "new-password")
	f.Help = p.Say("door.passwordhelp", people.LeastPassword)
	return []DoorField{f, passwordBox(id, "again", p.Say("door.again2"), "new-password")}
}

func pinBox(p person, id string) DoorField {
	f := passwordBox(id, "pin", p.Say("door.pin"), "off")
	f.Mode = "numeric"
	return f
}

func deviceBox(s *Server, r *http.Request, p person, id string) DoorField {
	value := r.PostForm.Get("device")
	if value == "" {
		value = deviceKind(p, r.UserAgent())
	}
	return DoorField{ID: id + "-device", Name: "device", Label: p.Say("door.device"), Help: p.Say("door.devicehelp"), Type: "text", Value: value, Auto: "off"}
}

// whys are the words for what the door refuses.
var whys = map[people.Why]string{
	people.WrongName: "door.why.wrong", people.PINLocked: "door.why.locked", people.NoName: "door.why.noname", people.LongName: "door.why.longname",
	people.TakenName: "door.why.taken", people.ShortPassword: "door.why.short", people.LongPassword: "door.why.long", people.EasyPassword: "door.why.easy", people.Differ: "door.why.differ",
	people.EasyPIN: "door.why.easypin", people.NoRole: "door.why.norole", people.LastOwner: "door.why.lastowner", people.HasOwner: "door.why.hasowner", people.NoInvite: "door.why.noinvite", people.Gone: "door.why.gone",
}

// refusal reads what the door refused. Everything else is an error of ours.
func refusal(err error) (*people.Refusal, error) {
	var r *people.Refusal
	if errors.As(err, &r) {
		return r, nil
	}
	return nil, err
}

// Whys gives the words for everything that the door refused at once.
func Whys(c *words.Catalogue, refused *people.Refusal) []string {
	p := person{Words: c}
	var out []string
	for _, x := range refused.Problems {
		out = append(out, p.why(x, refused.After))
	}
	return out
}

func (p person) why(x people.Problem, after time.Duration) string {
	switch x.Why {
	case people.Wait:
		return p.Say("door.why.wait", p.waiting(after))
	case people.WrongPIN:
		if x.N > 0 {
			return p.Count("door.why.pin", x.N)
		}
		return p.Say("door.why.pin0")
	case people.OddPIN:
		return p.Say("door.why.oddpin", x.N, x.M)
	case people.LongName, people.ShortPassword, people.LongPassword:
		return p.Say(whys[x.Why], x.N)
	case people.WrongName:
		if x.Field == "old" {
			return p.Say("door.why.wrongold")
		}
	}
	return p.Say(whys[x.Why])
}

// complain puts a refusal on a form and gives the status to draw it with.
func (p person) complain(w http.ResponseWriter, f *DoorForm, refused *people.Refusal) int {
	status := http.StatusUnprocessableEntity
	for _, x := range refused.Problems {
		if x.Why == people.Wait {
			status = http.StatusTooManyRequests
			w.Header().Set("Retry-After", strconv.Itoa(int(refused.After.Seconds())))
		}
		c := Complaint{Say: p.why(x, refused.After)}
		for i := range f.Fields {
			if f.Fields[i].Name == x.Field {
				c.Anchor = f.Fields[i].ID
				if f.Fields[i].Bad == "" {
					f.Fields[i].Bad = c.Say
				}
			}
		}
		f.Problems = append(f.Problems, c)
	}
	return status
}

// doorPage begins a page.
func (s *Server) doorPage(r *http.Request, p person, title string) DoorPage {
	page := DoorPage{Frame: s.frame(r, p, title, "more"), Heading: title}
	page.One = true
	return page
}
