package source

import (
	"errors"
	"fmt"
	"sync"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/trouble"
)

// troubleFile is data/trouble.json.
type troubleFile struct {
	Note   string       `json:"note"`
	Causes []causeEntry `json:"causes"`
	Looks  []lookEntry  `json:"looks"`
}

type causeEntry struct {
	Cause string        `json:"cause"`
	Share float64       `json:"share" doc:"of the sightings it is behind"`
	Low   float64       `json:"low"`
	High  float64       `json:"high"`
	Ref   string        `json:"ref"`
	How   string        `json:"how" choice:"found,memory,assumed"`
	Ask   float64       `json:"ask_days" low:"1" high:"60" doc:"after how many days the round asks whether the remedy helped"`
	Do    []remedyEntry `json:"do"`
	Leave []string      `json:"leave" doc:"what makes it worse"`
	Care  []string      `json:"care"`
	Note  string        `json:"note"`
}

type remedyEntry struct {
	Act   string  `json:"act"`
	Write string  `json:"write" choice:",rest,harvest,turn,look,cover,water,reading,move,feed,stock,assay,count"`
	After float64 `json:"after_days,omitempty" low:"0" high:"30" default:"0" doc:"how many days it waits"`
}

type lookEntry struct {
	Look    string        `json:"look"`
	Order   int           `json:"order"`
	Usual   string        `json:"usual"`
	Needs   string        `json:"needs" choice:",thermometer,oxygen,ph,strip,meter"`
	Minutes float64       `json:"minutes"`
	Asked   bool          `json:"asked"`
	Answers []answerEntry `json:"answers"`
}

type answerEntry struct {
	Answer string       `json:"answer"`
	Share  float64      `json:"share" doc:"where something else is the matter"`
	Sign   string       `json:"sign" doc:"as it is ticked on a sighting"`
	Words  []string     `json:"words" doc:"what people call it"`
	Speaks []ratioEntry `json:"speaks"`
}

type ratioEntry struct {
	Cause string  `json:"cause"`
	Ratio float64 `json:"ratio"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	Ref   string  `json:"ref"`
	How   string  `json:"how" choice:"found,memory,assumed" doc:"how it is known that sign and cause go together"`
}

// troubleNumbers is data/diagnosis.json.
type troubleNumbers struct {
	Trust  trouble.Trust
	Limits trouble.Limits
}

// TroubleLimits gives what parts the answers of looks that are numbers.
func TroubleLimits() (trouble.Limits, error) {
	var numbers troubleNumbers
	err := Load("diagnosis", &numbers)
	return numbers.Limits, err
}

var troubleBook = sync.OnceValues(readTrouble)

// Trouble gives the causes and looks of data/trouble.json, read once. The error
// lists everything that is wrong in the file.
func Trouble() (*trouble.Book, error) { return troubleBook() }

func readTrouble() (*trouble.Book, error) {
	refs, err := Refs()
	if err != nil {
		return nil, err
	}
	data, err := files.ReadFile("data/trouble.json")
	if err != nil {
		return nil, err
	}
	var f troubleFile
	problems := within("trouble.json", contract.Decode(data, &f))
	sourced := func(field, ref string) {
		if _, ok := refs[ref]; !ok {
			problems = append(problems, figure.Problem{Field: "trouble.json " + field, Say: fmt.Sprintf("Reference %q is in no refs file.", ref), Try: "Add it to refs_trouble.json."})
		}
	}
	var causes []trouble.Cause
	for _, c := range f.Causes {
		sourced(c.Cause, c.Ref)
		x := trouble.Cause{Key: c.Cause, Prior: trouble.Range{Low: c.Low, Best: c.Share, High: c.High}, Not: c.Leave, Care: c.Care, AskDays: c.Ask, Ref: c.Ref, How: c.How, Note: c.Note}
		for _, d := range c.Do {
			x.Do = append(x.Do, trouble.Remedy{Key: d.Act, Kind: d.Write, AfterDays: d.After})
		}
		causes = append(causes, x)
	}
	var looks []trouble.Look
	for _, l := range f.Looks {
		x := trouble.Look{Key: l.Look, Order: l.Order, Usual: l.Usual, Needs: l.Needs, Minutes: l.Minutes, Asked: l.Asked}
		for _, a := range l.Answers {
			y := trouble.Answer{Is: a.Answer, Base: a.Share, Sign: a.Sign, Words: a.Words}
			for _, r := range a.Speaks {
				sourced(l.Look+", "+a.Answer, r.Ref)
				y.Speaks = append(y.Speaks, trouble.Ratio{Cause: r.Cause, Of: trouble.Range{Low: r.Low, Best: r.Ratio, High: r.High}, Ref: r.Ref, How: r.How})
			}
			x.Answers = append(x.Answers, y)
		}
		looks = append(looks, x)
	}
	var numbers troubleNumbers
	if err := errors.Join(contract.Refuse(problems), Load("diagnosis", &numbers)); err != nil {
		return nil, err
	}
	return trouble.New(causes, looks, numbers.Trust)
}
