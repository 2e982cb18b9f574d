package main

import (
	"bytes"
	"encoding/json"
	"math"

	"gapbook.example/ignition"
	"gapbook.example/ignition/timing"
	"gapbook.example/units"
)

// figureJSON is a number with its standard uncertainty, both in the line's unit.
type figureJSON struct {
	Value       float64 `json:"value"`
	Uncertainty float64 `json:"uncertainty"`
}

type lineJSON struct {
	Name    string      `json:"name"`
	Title   string      `json:"title"`
	Unit    string      `json:"unit"`
	Min     *figureJSON `json:"min"`
	Nominal *figureJSON `json:"nominal"`
	Max     *figureJSON `json:"max"`
	// Sets is the standard uncertainty in crank degrees of a timing set so.
	Sets  *float64 `json:"sets_within_deg"`
	Means string   `json:"means"`
	Note  string   `json:"note"`
}

type settingJSON struct {
	Label       string     `json:"label"`
	Condition   string     `json:"condition"`
	Source      string     `json:"source"`
	Conversions []lineJSON `json:"conversions"`
	Notes       []string   `json:"notes"`
}

type findingJSON struct {
	Rule     string   `json:"rule"`
	Severity string   `json:"severity"`
	Part     string   `json:"part"`
	Quantity string   `json:"quantity"`
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
	ID     string `json:"id"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

// asJSON writes a card as JSON, ended by a newline. Lists are never null; a
// figure that nobody gives is null.
func asJSON(c *timing.Card) []byte {
	out := struct {
		Book struct {
			Version string `json:"version"`
			Digest  string `json:"digest"`
		} `json:"book"`
		Engine      string        `json:"engine"`
		Label       string        `json:"label"`
		System      string        `json:"system"`
		Title       string        `json:"title"`
		Invented    bool          `json:"invented"`
		Verdict     string        `json:"verdict"`
		Geometry    []string      `json:"geometry"`
		Settings    []settingJSON `json:"settings"`
		Points      []lineJSON    `json:"points"`
		Running     []lineJSON    `json:"running"`
		Compression []lineJSON    `json:"compression"`
		Findings    []findingJSON `json:"findings"`
		Steps       []string      `json:"steps"`
		Asks        []string      `json:"asks"`
		Assumed     []string      `json:"assumed"`
		Words       []string      `json:"words"`
		Cautions    []cautionJSON `json:"cautions"`
	}{
		Engine: c.Engine, Label: c.Label, System: c.System, Title: c.Title, Invented: c.Invented, Verdict: c.Verdict.String(),
		Geometry: notNil(c.Geometry), Settings: []settingJSON{}, Points: lines(c.Points), Running: lines(c.Running), Compression: lines(c.Compression),
		Findings: []findingJSON{}, Steps: notNil(c.Steps), Asks: notNil(c.Asks), Assumed: notNil(c.Assumed), Words: notNil(c.Words), Cautions: []cautionJSON{},
	}
	out.Book.Version, out.Book.Digest = c.BookVersion, c.BookDigest
	for _, s := range c.Settings {
		out.Settings = append(out.Settings, settingJSON{s.Label, s.Condition, s.Source, lines(s.Forms), notNil(s.Notes)})
	}
	for _, f := range c.Findings {
		out.Findings = append(out.Findings, finding(f))
	}
	for _, x := range c.Cautions {
		out.Cautions = append(out.Cautions, cautionJSON{x.ID, x.Text, x.Source})
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(out); err != nil {
		panic(err) // strings, finite numbers and lists always encode
	}
	return b.Bytes()
}

func finding(f ignition.Finding) findingJSON {
	j := findingJSON{
		Rule: f.Rule, Severity: f.Severity.String(), Part: f.Part, Quantity: f.Quantity, Reading: f.Reading,
		Limit: f.Limit, Off: f.Off, Source: f.Source, At: f.At.String(), Hint: f.Hint, Text: f.Text,
	}
	if p, ok := f.Chance.Get(); ok {
		p = math.Round(p*1e4) / 1e4 // all that anybody can use, and the same on every machine
		j.Chance = &p
	}
	return j
}

func lines(list []timing.Line) []lineJSON {
	out := []lineJSON{}
	for _, l := range list {
		j := lineJSON{Name: l.Name, Title: l.Title, Unit: l.Unit, Means: l.Means, Note: l.Note}
		j.Min, j.Nominal, j.Max = figure(l.Min, l.Unit), figure(l.Nominal, l.Unit), figure(l.Max, l.Unit)
		if u := l.Sets.BTDC(); u > 0 {
			u = round(u)
			j.Sets = &u
		}
		out = append(out, j)
	}
	return out
}

// figure returns a figure in a unit. Ratios of units are the same for a value
// and its uncertainty but for temperatures, whose uncertainty is left at nought.
func figure(f timing.Figure, unit string) *figureJSON {
	if f.IsZero() {
		return nil
	}
	one := scale(f.Value.Kind(), unit)
	if f.Value.Kind() == units.KindTemperature {
		t, _ := f.Value.Temperature()
		return &figureJSON{Value: round(t.Celsius())}
	}
	return &figureJSON{round(f.Value.SI() / one), round(f.Uncertainty.SI() / one)}
}

// scale is one of a unit in the base unit of its kind.
func scale(k units.Kind, unit string) float64 {
	if k == units.KindRatio && unit == "%" {
		return 0.01
	}
	q, err := units.Parse(k, "1 "+unit)
	if err != nil || q.SI() == 0 {
		return 1
	}
	return q.SI()
}

// round keeps nine digits, more than any figure is good for, so that the last
// bits of another machine's arithmetic do not show.
func round(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return 0
	}
	p := math.Pow(10, 8-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*p) / p
}

func notNil(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
