package sheet

import (
	"bytes"
	"encoding/json"

	"gapbook.example/ignition"
	"gapbook.example/ignition/bench"
)

// bookJSON says which book answered.
type bookJSON struct {
	Version string `json:"version"`
	Digest  string `json:"digest"`
}

type findingJSON struct {
	Rule     string   `json:"rule"`
	Severity string   `json:"severity"`
	Part     string   `json:"part"`
	Quantity string   `json:"quantity"`
	Key      string   `json:"key"`
	Name     string   `json:"name"`
	Reading  string   `json:"reading"`
	Limit    string   `json:"limit"`
	Off      string   `json:"off"`
	Chance   *float64 `json:"chance"`
	Source   string   `json:"source"`
	At       string   `json:"at"`
	Hint     string   `json:"hint"`
	Text     string   `json:"text"`
}

type cautionJSON struct {
	ID   string `json:"id"`
	Text string `json:"text"`
}

type unreadJSON struct {
	Quantity string `json:"quantity"`
	Limit    string `json:"limit"`
	Source   string `json:"source"`
}

// ReportJSON writes a bench report as JSON, ended by a newline. Lists are
// never null; a chance that is not known is null.
func ReportJSON(r *bench.Report) []byte {
	out := struct {
		Book     bookJSON      `json:"book"`
		Engine   string        `json:"engine"`
		Label    string        `json:"label"`
		System   string        `json:"system"`
		Title    string        `json:"title"`
		Invented bool          `json:"invented"`
		Verdict  string        `json:"verdict"`
		Findings []findingJSON `json:"findings"`
		NotRead  []unreadJSON  `json:"not_read"`
		Assumed  []string      `json:"assumed"`
		Cautions []cautionJSON `json:"cautions"`
		Sources  []string      `json:"sources"`
	}{
		Book: bookJSON{r.BookVersion, r.BookDigest}, Engine: r.Engine, Label: r.Label, System: r.System,
		Title: r.Title, Invented: r.Invented, Verdict: r.Verdict.String(),
		Findings: findings(r.Findings), NotRead: []unreadJSON{}, Assumed: notNil(r.Assumed), Cautions: []cautionJSON{}, Sources: notNil(r.Sources),
	}
	for _, u := range r.NotRead {
		out.NotRead = append(out.NotRead, unreadJSON{string(u.Quantity), u.Limit, u.Source})
	}
	for _, c := range r.Cautions {
		out.Cautions = append(out.Cautions, cautionJSON{c.ID, c.Text})
	}
	return encode(out)
}

func findings(list []ignition.Finding) []findingJSON {
	out := []findingJSON{}
	for _, f := range list {
		j := findingJSON{
			Rule: f.Rule, Severity: f.Severity.String(), Part: f.Part, Quantity: f.Quantity, Key: f.Key, Name: f.Name, Reading: f.Reading,
			Limit: f.Limit, Off: f.Off, Source: f.Source, At: f.At.String(), Hint: f.Hint, Text: f.Text,
		}
		if p, ok := f.Chance.Get(); ok {
			// Four places are all that anybody can use, and the same on every machine.
			p = float64(int(p*1e4+0.5)) / 1e4
			j.Chance = &p
		}
		out = append(out, j)
	}
	return out
}

func notNil(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

func encode(v any) []byte {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		panic(err) // strings, numbers and lists always encode
	}
	return b.Bytes()
}
