package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"golang.org/x/term"

	"wormyard/figure"
	"wormyard/internal/people"
	"wormyard/internal/web"
	"wormyard/internal/web/words"
)

type peopleCommand struct {
	List     peopleListCommand     `cmd:"" help:"Who may come in, as what, and from where they did."`
	Add      peopleAddCommand      `cmd:"" help:"Let somebody in: an owner before there is a browser, or anybody."`
	Password peoplePasswordCommand `cmd:"" help:"Give somebody a new password and sign them out everywhere."`
	Role     peopleRoleCommand     `cmd:"" help:"Change what somebody may do."`
	End      peopleEndCommand      `cmd:"" help:"Sign somebody out everywhere."`
	Out      peopleOutCommand      `cmd:"" help:"Keep somebody out. The name in the journal stays."`
}

type peopleListCommand struct{}

// Run lists accounts. No hash of anything is printed.
func (l *peopleListCommand) Run(c *Context) error {
	return withDoor(c, func(door *people.Door) error {
		list, invites, err := door.People(c)
		if err != nil {
			return err
		}
		type session struct {
			Device string    `json:"device"`
			Seen   time.Time `json:"seen_at"`
			ByPIN  bool      `json:"by_pin,omitempty"`
		}
		type one struct {
			Name     string      `json:"name"`
			Role     people.Role `json:"role"`
			Out      bool        `json:"kept_out,omitempty"`
			Sessions []session   `json:"sessions"`
		}
		type invite struct {
			Name string      `json:"name"`
			Role people.Role `json:"role"`
			Ends time.Time   `json:"ends_at"`
		}
		answer := struct {
			Contract int      `json:"contract"`
			People   []one    `json:"people"`
			Invites  []invite `json:"invites"`
		}{Contract: 1, People: []one{}, Invites: []invite{}}
		for _, p := range list {
			x := one{Name: p.Name, Role: p.Role, Out: p.Shut, Sessions: []session{}}
			for _, s := range p.Sessions {
				x.Sessions = append(x.Sessions, session{s.Device.Name, s.Session.Seen.UTC(), s.Session.ByPIN})
			}
			answer.People = append(answer.People, x)
		}
		for _, i := range invites {
			answer.Invites = append(answer.Invites, invite{i.Name, i.Role, i.Ends.UTC()})
		}
		return c.Print(answer, func(w io.Writer) error {
			if len(answer.People) == 0 {
				_, err := fmt.Fprintln(w, "Nobody yet: the farm is open to everyone at this computer, and to nobody else.")
				return err
			}
			for _, p := range answer.People {
				fmt.Fprintf(w, "%s, %s", p.Name, p.Role)
				if p.Out {
					fmt.Fprint(w, ", kept out")
				}
				for _, s := range p.Sessions {
					fmt.Fprintf(w, "; on %s, last seen %s", s.Device, s.Seen.Format("2006-01-02 15:04 UTC"))
				}
				fmt.Fprintln(w)
			}
			for _, i := range answer.Invites {
				fmt.Fprintf(w, "%s, invited as %s until %s\n", i.Name, i.Role, i.Ends.Format("2006-01-02 15:04 UTC"))
			}
			return nil
		})
	})
}

type peopleAddCommand struct {
	Name string `arg:"" help:"As it is to stand in the journal."`
	Role string `help:"owner, crew or reader." default:"crew"`
}

// Run makes an account with a password from standard input.
func (a *peopleAddCommand) Run(c *Context) error {
	return withDoor(c, func(door *people.Door) error {
		has, err := door.HasOwner(c)
		if err != nil {
			return err
		}
		if !has && a.Role != string(people.Owner) {
			return figure.Refuse("role", "This farm has no owner yet.", "Add the owner first: wormyard people add NAME --role owner")
		}
		password, err := c.password()
		if err != nil {
			return err
		}
		made, err := door.Add(c, a.Name, people.Role(a.Role), password)
		if err != nil {
			return err
		}
		return c.said(made.Name, fmt.Sprintf("%s may come in as %s.", made.Name, made.Role))
	})
}

type peoplePasswordCommand struct {
	Name string `arg:"" help:"Whose."`
}

// Run replaces a password.
func (p *peoplePasswordCommand) Run(c *Context) error {
	return onPerson(c, p.Name, func(door *people.Door, a people.Account) (string, error) {
		password, err := c.password()
		if err != nil {
			return "", err
		}
		return fmt.Sprintf("%s has a new password and is signed out everywhere.", a.Name), door.Replace(c, a.ID, password)
	})
}

type peopleRoleCommand struct {
	Name string `arg:"" help:"Whose."`
	Role string `arg:"" help:"owner, crew or reader."`
}

// Run changes a role.
func (p *peopleRoleCommand) Run(c *Context) error {
	return onPerson(c, p.Name, func(door *people.Door, a people.Account) (string, error) {
		return fmt.Sprintf("%s is %s now.", a.Name, p.Role), door.SetRole(c, a.ID, people.Role(p.Role))
	})
}

type peopleEndCommand struct {
	Name string `arg:"" help:"Whom."`
}

// Run ends all sessions of a person.
func (p *peopleEndCommand) Run(c *Context) error {
	return onPerson(c, p.Name, func(door *people.Door, a people.Account) (string, error) {
		n, err := door.SignOutEverywhere(c, a.ID, "")
		return fmt.Sprintf("%s is signed out on %s.", a.Name, plural(n, "device", "devices")), err
	})
}

type peopleOutCommand struct {
	Name string `arg:"" help:"Whom."`
	Back bool   `help:"Let them in again."`
}

// Run keeps a person out, or lets them in again.
func (p *peopleOutCommand) Run(c *Context) error {
	return onPerson(c, p.Name, func(door *people.Door, a people.Account) (string, error) {
		if p.Back {
			return fmt.Sprintf("%s may come in again.", a.Name), door.Reopen(c, a.ID)
		}
		return fmt.Sprintf("%s may not come in any more.", a.Name), door.Shut(c, a.ID)
	})
}

func withDoor(c *Context, f func(*people.Door) error) error {
	store, err := c.openStore()
	if err != nil {
		return err
	}
	defer store.Close()
	return doorWords(f(people.New(store.People(), time.Now)))
}

func onPerson(c *Context, name string, f func(*people.Door, people.Account) (string, error)) error {
	return withDoor(c, func(door *people.Door) error {
		list, _, err := door.People(c)
		if err != nil {
			return err
		}
		var names []string
		for _, p := range list {
			if people.Fold(p.Name) == people.Fold(name) {
				say, err := f(door, p.Account)
				if err != nil {
					return err
				}
				return c.said(p.Name, say)
			}
			names = append(names, p.Name)
		}
		try := "Nobody may come in yet. wormyard people add NAME --role owner"
		if len(names) > 0 {
			try = "There are: " + strings.Join(names, ", ") + "."
		}
		return figure.Refuse("name", fmt.Sprintf("Nobody here is called %q.", name), try)
	})
}

func (c *Context) said(name, say string) error {
	return c.Print(struct {
		Contract int    `json:"contract"`
		Name     string `json:"name"`
		Say      string `json:"say"`
	}{1, name, say}, func(w io.Writer) error {
		_, err := fmt.Fprintln(w, say)
		return err
	})
}

// password reads a password: twice and unseen at a terminal, else one line of
// standard input. It never comes from the command line, which others can see.
func (c *Context) password() (string, error) {
	if f, ok := c.Stdin.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		var typed [2]string
		for i, ask := range []string{"Password: ", "Once more: "} {
			fmt.Fprint(c.Stderr, ask)
			raw, err := term.ReadPassword(int(f.Fd()))
			fmt.Fprintln(c.Stderr)
			if err != nil {
				return "", err
			}
			typed[i] = string(raw)
		}
		if typed[0] != typed[1] {
			return "", &people.Refusal{Problems: []people.Problem{{Field: "again", Why: people.Differ}}}
		}
		return typed[0], nil
	}
	line, err := bufio.NewReader(io.LimitReader(c.Stdin, 4096)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", err
	}
	if line = strings.TrimRight(line, "\r\n"); line == "" {
		return "", figure.Refuse("password", "No password came.", "Type it at a terminal, or give it as one line on standard input.")
	}
	return line, nil
}

// doorWords turns what the door refused into the words of the pages.
func doorWords(err error) error {
	var r *people.Refusal
	if !errors.As(err, &r) {
		return inWords(err)
	}
	try := map[string]string{"role": "There are owner, crew and reader.", "name": "Look at wormyard people list."}
	out := &figure.Refusal{}
	for i, say := range web.Whys(words.English(), r) {
		t, ok := try[r.Problems[i].Field]
		if !ok {
			t = "Run it again with another."
		}
		out.Problems = append(out.Problems, figure.Problem{Field: r.Problems[i].Field, Say: say, Try: t})
	}
	return out
}
