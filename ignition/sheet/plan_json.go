package sheet

import (
	"math"

	"gapbook.example/ignition"
	"gapbook.example/ignition/convert"
)

type reasonJSON struct {
	Code   string `json:"code"`
	Makes  string `json:"makes"`
	Text   string `json:"text"`
	Figure string `json:"figure"`
	Cure   string `json:"cure"`
	Source string `json:"source"`
	At     string `json:"at"`
}

type questionJSON struct {
	ID       string  `json:"id"`
	Question string  `json:"question"`
	Look     string  `json:"look"`
	No       string  `json:"no"`
	Then     string  `json:"then"`
	Answer   string  `json:"answer"`
	Where    string  `json:"where"`
	Minutes  float64 `json:"minutes"`
	Source   string  `json:"source"`
}

type entryJSON struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
	Text string `json:"text"`
}

type itemJSON struct {
	What   string `json:"what"`
	Ask    string `json:"ask"`
	Enough string `json:"enough"`
	Test   string `json:"test"`
	Count  int    `json:"count"`
}

type cutJSON struct {
	Name    string  `json:"name"`
	Action  string  `json:"action"`
	From    string  `json:"from"`
	To      string  `json:"to"`
	FromEnd string  `json:"from_end"`
	ToEnd   string  `json:"to_end"`
	Was     string  `json:"was"`
	Route   string  `json:"route"`
	Gauge   string  `json:"gauge"`
	Way     string  `json:"way"`
	Length  string  `json:"length"`
	Amperes float64 `json:"amperes"`
	Colour  string  `json:"colour"`
}

type planSettingJSON struct {
	Name   string `json:"name"`
	Title  string `json:"title"`
	Value  string `json:"value"`
	How    string `json:"how"`
	Source string `json:"source"`
}

type expectedJSON struct {
	Where string   `json:"where"`
	State string   `json:"state"`
	Low   *float64 `json:"low"`
	Value *float64 `json:"value"`
	High  *float64 `json:"high"`
	Unit  string   `json:"unit"`
	Text  string   `json:"text"`
}

type stepJSON struct {
	ID       string         `json:"id"`
	Where    string         `json:"where"`
	Do       string         `json:"do"`
	Tool     string         `json:"tool"`
	Why      string         `json:"why"`
	Proof    string         `json:"proof"`
	If       string         `json:"if"`
	Minutes  float64        `json:"minutes"`
	Needs    []string       `json:"needs"`
	Gives    []string       `json:"gives"`
	Ends     []string       `json:"ends"`
	Removes  []string       `json:"removes"`
	Fits     []string       `json:"fits"`
	Reads    []expectedJSON `json:"reads"`
	Hazards  []string       `json:"hazards"`
	Cautions []cautionJSON  `json:"cautions"`
	Source   string         `json:"source"`
}

type lockJSON struct {
	Name    string `json:"name"`
	Was     string `json:"was"`
	Now     string `json:"now"`
	Changed bool   `json:"changed"`
}

type marginJSON struct {
	Situation string  `json:"situation"`
	RPM       float64 `json:"rpm"`
	Before    float64 `json:"before"`
	After     float64 `json:"after"`
}

type outcomeJSON struct {
	Kind   string `json:"kind"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

// PlanJSON writes the plan of a conversion as JSON, ended by a newline.
func PlanJSON(p *convert.Plan) []byte {
	out := struct {
		Book     bookJSON       `json:"book"`
		Title    string         `json:"title"`
		Note     string         `json:"note"`
		Invented bool           `json:"invented"`
		Recipe   string         `json:"recipe"`
		Label    string         `json:"label"`
		Engine   string         `json:"engine"`
		From     string         `json:"from"`
		To       string         `json:"to"`
		Verdict  string         `json:"verdict"`
		Reasons  []reasonJSON   `json:"reasons"`
		Findings []findingJSON  `json:"findings"`
		Verify   []questionJSON `json:"verify"`
		Parts    struct {
			Stays    []entryJSON `json:"stays"`
			Goes     []entryJSON `json:"goes"`
			Comes    []entryJSON `json:"comes"`
			Changed  []entryJSON `json:"changed"`
			Shopping []itemJSON  `json:"shopping"`
		} `json:"parts"`
		Wires    []cutJSON         `json:"wires"`
		Locks    []lockJSON        `json:"interlocks"`
		Settings []planSettingJSON `json:"settings"`
		Steps    []stepJSON        `json:"steps"`
		Proof    []string          `json:"proof"`
		Changes  []outcomeJSON     `json:"changes"`
		Reserves []marginJSON      `json:"reserves"`
		Minutes  float64           `json:"minutes"`
		Assumed  []string          `json:"assumed"`
	}{
		Book: bookJSON{p.BookVersion, p.BookDigest}, Title: p.Title, Note: p.Note, Invented: p.Invented, Recipe: p.Recipe, Label: p.Label, Engine: p.Engine,
		From: p.From.String(), To: p.To.String(), Verdict: string(p.Verdict), Reasons: []reasonJSON{}, Verify: []questionJSON{}, Wires: []cutJSON{}, Locks: []lockJSON{},
		Settings: []planSettingJSON{}, Steps: []stepJSON{}, Proof: []string{}, Changes: []outcomeJSON{}, Reserves: []marginJSON{}, Minutes: p.Time().Minutes(), Assumed: notNil(p.Granted),
	}
	all := append([]ignition.Finding{}, p.Diagnosis...)
	if p.AfterReport != nil {
		for _, f := range p.AfterReport.Findings {
			all = append(all, f.Finding)
		}
	}
	out.Findings = findings(all)
	for _, r := range p.Reasons {
		out.Reasons = append(out.Reasons, reasonJSON{r.Code, string(r.Makes), r.Text, r.Figure, r.Cure, r.Source, r.At.String()})
	}
	for _, q := range p.Verify {
		out.Verify = append(out.Verify, questionJSON{q.ID, q.Question, q.Look, q.No, q.Then, q.Answer.String(), q.Where, q.Time.Minutes(), q.Source})
	}
	entries := func(list []convert.Entry) []entryJSON {
		e := []entryJSON{}
		for _, x := range list {
			e = append(e, entryJSON(x))
		}
		return e
	}
	out.Parts.Stays, out.Parts.Goes, out.Parts.Comes, out.Parts.Changed = entries(p.Stays), entries(p.Goes), entries(p.Comes), entries(p.Changed)
	out.Parts.Shopping = []itemJSON{}
	for _, x := range p.Shopping {
		out.Parts.Shopping = append(out.Parts.Shopping, itemJSON{x.What, x.Ask, x.Enough, x.Test, x.Count})
	}
	for _, c := range p.Wires {
		way := ""
		if !c.Way.IsZero() {
			way = c.Way.String()
		}
		out.Wires = append(out.Wires, cutJSON{c.Name, c.Action, c.From, c.To, c.FromEnd, c.ToEnd, c.Was, c.Route, c.Gauge.String(), way, c.Length.String(), round(c.Carries.Amperes(), 3), c.Colour})
	}
	for _, l := range p.Locks {
		out.Locks = append(out.Locks, lockJSON(l))
	}
	for _, s := range p.Settings {
		out.Settings = append(out.Settings, planSettingJSON(s))
	}
	for _, s := range p.Steps {
		j := stepJSON{ID: s.ID, Where: s.Where, Do: s.Do, Tool: s.Tool, Why: s.Why, Proof: s.Proof, If: s.If, Minutes: s.Time.Minutes(), Needs: notNil(s.Needs), Gives: notNil(s.Gives), Ends: notNil(s.Ends),
			Removes: notNil(s.Removes), Fits: notNil(s.Fits), Reads: []expectedJSON{}, Hazards: notNil(s.Hazards), Cautions: []cautionJSON{}, Source: s.Source}
		for _, c := range s.Cautions {
			j.Cautions = append(j.Cautions, cautionJSON{c.ID, c.Text})
		}
		for _, r := range s.Reads {
			e := expectedJSON{Where: r.Where, State: r.State, Unit: r.Unit, Text: r.Text}
			if !r.Floating {
				e.Low, e.Value, e.High = figure(r.Low), figure(r.Value), figure(r.High)
			}
			j.Reads = append(j.Reads, e)
		}
		out.Steps = append(out.Steps, j)
		if s.Final {
			out.Proof = append(out.Proof, s.ID)
		}
	}
	for _, c := range p.Changes {
		out.Changes = append(out.Changes, outcomeJSON(c))
	}
	for _, m := range p.Reserves {
		out.Reserves = append(out.Reserves, marginJSON{m.Situation, math.Round(m.Speed.RPM()), round(m.Before, 3), round(m.After, 3)})
	}
	return encode(out)
}

func figure(x float64) *float64 {
	x = round(x, 4)
	return &x
}
