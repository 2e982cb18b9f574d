package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/bench"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// A Harness is a checked harness as it is printed.
type Harness struct {
	Book    *specs.Book
	Harness *wiring.Harness
	// Solved is every state of it; only [WiringJSON] wants it.
	Solved *wiring.Solved
	Report *wiring.Report
	// Readings are what was found about readings taken on the real harness.
	Readings []wiring.Finding
	// State is the state whose expected readings are printed.
	State wiring.State
	Note  string
}

// findings are all findings, those of the circuit first.
func (h Harness) findings() []wiring.Finding {
	return append(slices.Clone(h.Report.Findings), h.Readings...)
}

// Verdict is the verdict on the circuit and the readings together.
func (h Harness) Verdict() ignition.Verdict {
	var all []ignition.Finding
	for _, f := range h.findings() {
		all = append(all, f.Finding)
	}
	return ignition.Rollup(all, 0)
}

// cautions are the warnings that belong to work on this harness.
func (h Harness) cautions() []bench.Caution {
	jobs := []string{"wiring"}
	if len(h.Harness.Interlocks()) > 0 {
		jobs = append(jobs, "interlock")
	}
	var out []bench.Caution
	for _, c := range h.Book.Cautions(nil, h.Harness.System().String(), jobs...) {
		person := slices.ContainsFunc(c.Hazards, func(h string) bool { return h != "part-damage" && h != "wrong-reading" && h != "dirt" })
		out = append(out, bench.Caution{ID: c.ID, Text: c.Text, Person: person})
	}
	return out
}

// WiringDocument lays out a checked harness: the verdict, what was found, the
// key switch terminal by terminal, and the readings to expect in one state. The
// error is that of the bands of the state.
func WiringDocument(h Harness) (*Document, error) {
	bands, err := h.Harness.Bands(h.State)
	if err != nil {
		return nil, err
	}
	draft := h.Harness.Draft()
	d := &Document{Kind: "harness", Title: draft.Title, Footer: Footer{BookVersion: h.Book.Version(), BookDigest: h.Book.Digest()}}
	d.fact(words.ignition, fmt.Sprintf("%s, %s ground, %s.", draft.System.Title(), draft.Ground, orUnknown(h.Harness.SystemVolts().String())))
	if draft.Invented {
		d.Invented = words.inventedHarness
	}
	d.Note = draft.Note
	found := h.findings()
	switch h.Verdict() {
	case ignition.Unfit:
		n := 0
		for _, f := range found {
			if f.Severity == ignition.Fault {
				n++
			}
		}
		d.Verdict = Verdict{words.unfit, ": " + count(n, "fault") + ". Leave the battery off.", Bad}
	case ignition.CannotTell:
		d.Verdict = Verdict{words.cannotTell, " yet: see what stays in doubt.", Doubt}
	default:
		d.Verdict = Verdict{words.fit, " as drawn: " + count(len(h.Harness.States()), "state") + " worked through.", Good}
	}
	var blocks []Block
	for _, f := range found {
		blocks = append(blocks, wiringFinding(f))
		d.citeOnce(f.Source)
	}
	d.add(Section{Blocks: blocks})
	d.keySwitch(h)
	d.add(expected(h, bands))
	var granted []string
	for _, a := range h.Report.Assumed {
		d.citeOnce(cite(h.Book, a.Value.Source, a.Value.Place))
		granted = append(granted, a.Part+": "+strings.ReplaceAll(string(a.Attribute), "_", " ")+" "+a.Value.Nominal.Display()+" ("+strings.ReplaceAll(string(a.Value.Basis), "-", " ")+")")
	}
	d.list(words.granted, words.grantedHarness, granted)
	d.cautions(h.cautions())
	return d, nil
}

// Wiring writes a checked harness as text. The error is that of the bands of
// the state.
func Wiring(h Harness, style Style) (string, error) {
	d, err := WiringDocument(h)
	if err != nil {
		return "", err
	}
	return d.Text(style), nil
}

func orUnknown(s string) string {
	if s == "" || s == "0 V" {
		return "system volts not stated"
	}
	return s
}

func wiringFinding(f wiring.Finding) Finding {
	out := Finding{Head: f.Part + " (" + f.Rule + ")", Rule: f.Rule}
	out.Grade, out.Label = grades(f.Finding, wiring.RuleReadingFits)
	line := func(name, text string) {
		if text != "" {
			out.Lines = append(out.Lines, Fact{name, text})
		}
	}
	line("", upper(f.Text))
	if f.Reading != "" {
		text := f.Quantity + " " + f.Reading
		if f.Limit != "" {
			text += "; should be: " + f.Limit
		}
		line("figure", text)
	}
	line(words.says, f.Source)
	line("shown", f.State)
	line("path", f.Path)
	line("harm", f.Harm)
	line("cure", f.Hint)
	return out
}

// keySwitch appends what the key does with each of its terminals and what is
// on it.
func (d *Document) keySwitch(checked Harness) {
	h := checked.Harness
	table, key, ok := h.Switch()
	if !ok {
		return
	}
	for _, s := range table.Sources {
		d.citeOnce(cite(checked.Book, s.Source, s.Place))
	}
	roles := map[string]string{
		table.Roles.Battery: "battery", table.Roles.Feed: "coil feed, run and start", table.Roles.Starter: "starter", table.Roles.Kill: "magneto kill",
		table.Roles.Ground: "ground", table.Roles.Accessory: "accessories", table.Roles.Lights: "lights",
	}
	var list Facts
	for _, t := range table.Terminals {
		var joins []string
		for _, p := range table.Positions {
			var with []string
			for _, other := range table.Terminals {
				if other != t && p.Joined(t, other) {
					with = append(with, other)
				}
			}
			if with == nil {
				with = []string{"nothing"}
			}
			joins = append(joins, p.Name+" "+strings.Join(with, "+"))
		}
		var wires []string
		for _, name := range h.WiresAt(key + "." + t) {
			x, _ := h.Wire(name)
			other := x.From
			if other == key+"."+t {
				other = x.To
			}
			wires = append(wires, other)
		}
		if wires == nil {
			wires = []string{"nothing"}
		}
		job := roles[t]
		if job == "" {
			job = "no job known"
		}
		list = append(list, Fact{t, job + ": " + strings.Join(joins, ", ") + "; wired to " + strings.Join(wires, ", ")})
	}
	d.add(Section{Title: "The key switch", Intro: key + " (" + table.Label + "); in each position a terminal is joined to", Blocks: []Block{list}})
}

// expected is the table of readings of one state.
func expected(h Harness, bands *wiring.Bands) Section {
	sol := bands.Solution()
	row := func(name string, mid, lo, hi float64, unit func(float64) string) []string {
		span := ""
		if l, u := unit(lo), unit(hi); l != u {
			span = l + " to " + u
		}
		return []string{name, unit(mid), span}
	}
	volts := Table{Columns: []Column{{Title: "At"}, {Title: "Volts", Right: true}, {Title: "Range"}}}
	for _, t := range h.Harness.Terminals() {
		v, ok := sol.Volts(t)
		if !ok {
			volts.Rows = append(volts.Rows, []string{t, "floating", ""})
			continue
		}
		lo, hi, _ := bands.Volts(t)
		volts.Rows = append(volts.Rows, row(t, v.Volts(), lo.Volts(), hi.Volts(), voltsText))
	}
	amperes := Table{Columns: []Column{{Title: "Through"}, {Title: "Amperes", Right: true}, {Title: "Range"}}}
	for _, p := range h.Harness.Parts() {
		i, ok := sol.Current(p.Name)
		if !ok || math.Abs(i.Amperes()) < 1e-3 {
			continue
		}
		lo, hi, _ := bands.Current(p.Name)
		a, b := math.Abs(lo.Amperes()), math.Abs(hi.Amperes())
		amperes.Rows = append(amperes.Rows, row(p.Name, math.Abs(i.Amperes()), min(a, b), max(a, b), ampsText))
	}
	s := Section{Title: "Expected readings", Intro: h.Harness.Describe(h.State) + ", black lead on " + h.Harness.OfKind(wiring.Block)[0] + "; the range is what the parts' tolerances allow, all at once", Blocks: []Block{volts}}
	if len(amperes.Rows) > 0 {
		s.Blocks = append(s.Blocks, amperes)
	} else {
		s.Blocks = append(s.Blocks, Paragraph{"No current flows in any part."})
	}
	return s
}

func voltsText(x float64) string { return units.Volts(round(x, 2)).Quantity().Text("V", 2) }
func ampsText(x float64) string  { return units.Amperes(round(x, 3)).Quantity().Text("A", 2) }

// round keeps a last digit from coming out differently on another machine, and
// minus nothing from being printed.
func round(x float64, places int) float64 {
	k := math.Pow(10, float64(places))
	if y := math.Round(x*k) / k; y != 0 {
		return y
	}
	return 0
}

type wiringFindingJSON struct {
	findingJSON
	State string   `json:"state"`
	Path  string   `json:"path"`
	Harm  string   `json:"harm"`
	Names []string `json:"names"`
}

type stateJSON struct {
	Key        string                `json:"key"`
	Points     string                `json:"points"`
	Interlocks map[string]string     `json:"interlocks"`
	Buttons    map[string]string     `json:"buttons"`
	Engine     string                `json:"engine"`
	Volts      map[string]*float64   `json:"volts"`
	Bands      map[string][2]float64 `json:"bands"`
	Amperes    map[string]float64    `json:"amperes"`
}

// WiringJSON writes a checked harness as JSON, ended by a newline: the findings
// and every state with the breakers all closed or all open. Volts are against
// the engine block, null where a terminal floats; bands are the least and
// greatest volts. The error is that of the bands.
func WiringJSON(h Harness) ([]byte, error) {
	out := struct {
		Book     bookJSON            `json:"book"`
		Title    string              `json:"title"`
		System   string              `json:"system"`
		Invented bool                `json:"invented"`
		Verdict  string              `json:"verdict"`
		Findings []wiringFindingJSON `json:"findings"`
		Assumed  []string            `json:"assumed"`
		Cautions []cautionJSON       `json:"cautions"`
		States   []stateJSON         `json:"states"`
	}{
		Book: bookJSON{h.Book.Version(), h.Book.Digest()}, Title: h.Harness.Title(), System: h.Harness.System().String(),
		Invented: h.Harness.Draft().Invented, Verdict: h.Verdict().String(),
		Findings: []wiringFindingJSON{}, Assumed: []string{}, Cautions: []cautionJSON{}, States: []stateJSON{},
	}
	for _, f := range h.findings() {
		out.Findings = append(out.Findings, wiringFindingJSON{findings([]ignition.Finding{f.Finding})[0], f.State, f.Path, f.Harm, notNil(f.Names)})
	}
	for _, a := range h.Report.Assumed {
		out.Assumed = append(out.Assumed, a.String())
	}
	for _, c := range h.cautions() {
		out.Cautions = append(out.Cautions, cautionJSON{c.ID, c.Text})
	}
	done := map[*wiring.Solution]stateJSON{} // states of one circuit read the same
	for s, sol := range h.Solved.All() {
		if s.Open != 0 && s.Open != h.Harness.AllOpen() {
			continue
		}
		st, ok := done[sol]
		if !ok {
			bands, err := h.Harness.Bands(s)
			if err != nil {
				return nil, err
			}
			st = stateJSON{Volts: map[string]*float64{}, Bands: map[string][2]float64{}, Amperes: map[string]float64{}}
			for _, t := range h.Harness.Terminals() {
				v, ok := sol.Volts(t)
				if !ok {
					st.Volts[t] = nil
					continue
				}
				x := round(v.Volts(), 6)
				st.Volts[t] = &x
				lo, hi, _ := bands.Volts(t)
				st.Bands[t] = [2]float64{round(lo.Volts(), 4), round(hi.Volts(), 4)}
			}
			for _, p := range h.Harness.Parts() {
				if i, ok := sol.Current(p.Name); ok {
					st.Amperes[p.Name] = round(i.Amperes(), 6)
				}
			}
			for _, x := range h.Harness.Wires() {
				if i, ok := sol.WireCurrent(x.Name); ok {
					name := x.Name
					if _, part := st.Amperes[name]; part {
						name = "wire " + name
					}
					st.Amperes[name] = round(i.Amperes(), 6)
				}
			}
			done[sol] = st
		}
		st.Key, st.Engine, st.Points = s.Key, s.Engine.String(), "closed"
		if s.Open != 0 {
			st.Points = "open"
		}
		if len(h.Harness.Breakers()) == 0 {
			st.Points = ""
		}
		st.Interlocks, st.Buttons = map[string]string{}, map[string]string{}
		for i, name := range h.Harness.Interlocks() {
			st.Interlocks[name] = [2]string{"safe", "unsafe"}[s.Unsafe>>i&1]
		}
		for i, name := range h.Harness.Buttons() {
			st.Buttons[name] = [2]string{"free", "pressed"}[s.Pressed>>i&1]
		}
		out.States = append(out.States, st)
	}
	return encode(out), nil
}
