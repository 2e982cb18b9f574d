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

// Wiring writes a checked harness as text: the verdict, what was found, the key
// switch terminal by terminal, and the readings to expect in one state. The
// error is that of the bands of the state.
func Wiring(h Harness, style Style) (string, error) {
	bands, err := h.Harness.Bands(h.State)
	if err != nil {
		return "", err
	}
	w := writer{style: style}
	d := h.Harness.Draft()
	if d.Title != "" {
		w.para("", "", d.Title)
	}
	w.para("", "", fmt.Sprintf("Ignition: %s, %s ground, %s.", d.System.Title(), d.Ground, orUnknown(h.Harness.SystemVolts().String())))
	if d.Invented {
		w.para("", "", "An invented harness: the machine is made up.")
	}
	if d.Note != "" {
		w.para("Note: ", "      ", d.Note)
	}
	w.blank()
	switch findings := h.findings(); h.Verdict() {
	case ignition.Unfit:
		faults := 0
		for _, f := range findings {
			if f.Severity == ignition.Fault {
				faults++
			}
		}
		w.para("", "", style.strong("UNFIT")+": "+count(faults, "fault")+". Leave the battery off.")
	case ignition.CannotTell:
		w.para("", "", style.strong("CANNOT TELL")+" yet: see what stays in doubt.")
	default:
		w.para("", "", style.strong("FIT")+" as drawn: "+count(len(h.Harness.States()), "state")+" worked through.")
	}
	for _, f := range h.findings() {
		w.blank()
		w.wiringFinding(f)
	}
	w.keyTable(h.Harness)
	w.blank()
	w.para("", "", style.strong("Expected readings")+", "+h.Harness.Describe(h.State)+". Black lead on "+h.Harness.OfKind(wiring.Block)[0]+"; the range is what the parts' tolerances allow, all at once.")
	w.expected(h.Harness, bands)
	if len(h.Report.Assumed) > 0 {
		w.blank()
		w.para("", "", style.strong("Taken for granted")+", where the harness does not say:")
		for _, a := range h.Report.Assumed {
			w.para("  ", "    ", a.Part+": "+strings.ReplaceAll(string(a.Attribute), "_", " ")+" "+a.Value.Nominal.Display()+" ("+strings.ReplaceAll(string(a.Value.Basis), "-", " ")+")")
		}
	}
	w.cautions("Take care", h.cautions(), true)
	w.cautions("Mind the part and the reading", h.cautions(), false)
	w.blank()
	w.para("", "", fmt.Sprintf("Book %s, digest %s.", h.Book.Version(), h.Book.Digest()))
	return w.String(), nil
}

func orUnknown(s string) string {
	if s == "" || s == "0 V" {
		return "system volts not stated"
	}
	return s
}

func (w *writer) wiringFinding(f wiring.Finding) {
	label := severityLabels[f.Severity]
	if f.Severity == ignition.Note {
		label = "note "
		if f.Rule == wiring.RuleReadingFits {
			label = "good "
		}
	} else {
		label = w.style.strong(label)
	}
	const indent = "      "
	w.para(label+" ", indent, f.Part+" ("+f.Rule+")")
	w.para(indent, indent+"  ", upper(f.Text))
	line := func(lead, text string) {
		if text != "" {
			w.para(indent+lead, indent+"  ", text)
		}
	}
	if f.Reading != "" {
		text := f.Quantity + " " + f.Reading
		if f.Limit != "" {
			text += "; should be: " + f.Limit
		}
		line("figure: ", text)
	}
	line("says: ", f.Source)
	line("shown: ", f.State)
	line("path: ", f.Path)
	line("harm: ", f.Harm)
	line("cure: ", f.Hint)
}

func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' || strings.Contains(strings.SplitN(s, " ", 2)[0], ".") {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// keyTable writes what the key does with each of its terminals and what is on it.
func (w *writer) keyTable(h *wiring.Harness) {
	table, key, ok := h.Switch()
	if !ok {
		return
	}
	w.blank()
	w.para("", "", w.style.strong("The key switch")+" "+key+": "+table.Label+". In each position a terminal is joined to:")
	roles := map[string]string{
		table.Roles.Battery: "battery", table.Roles.Feed: "coil feed, run and start", table.Roles.Starter: "starter", table.Roles.Kill: "magneto kill",
		table.Roles.Ground: "ground", table.Roles.Accessory: "accessories", table.Roles.Lights: "lights",
	}
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
		w.para("  "+t+"  ", "     ", job+": "+strings.Join(joins, ", ")+"; wired to "+strings.Join(wires, ", "))
	}
}

// expected writes the table of readings.
func (w *writer) expected(h *wiring.Harness, bands *wiring.Bands) {
	type row struct{ name, mid, span string }
	var rows []row
	add := func(name string, mid, lo, hi float64, unit func(float64) string) {
		r := row{name: name, mid: unit(mid)}
		if l, u := unit(lo), unit(hi); l != u {
			r.span = l + " to " + u
		}
		rows = append(rows, r)
	}
	sol := bands.Solution()
	for _, t := range h.Terminals() {
		v, ok := sol.Volts(t)
		if !ok {
			rows = append(rows, row{name: t, mid: "floating"})
			continue
		}
		lo, hi, _ := bands.Volts(t)
		add(t, v.Volts(), lo.Volts(), hi.Volts(), voltsText)
	}
	table := func() {
		wide, mid := 0, 0
		for _, r := range rows {
			wide, mid = max(wide, visible(r.name)), max(mid, visible(r.mid))
		}
		for _, r := range rows {
			line := "  " + r.name + strings.Repeat(" ", wide-visible(r.name)+2) + strings.Repeat(" ", mid-visible(r.mid)) + r.mid
			if r.span != "" {
				line += "  " + r.span
			}
			w.row(line)
		}
		rows = nil
	}
	table()
	for _, p := range h.Parts() {
		i, ok := sol.Current(p.Name)
		if !ok || math.Abs(i.Amperes()) < 1e-3 {
			continue
		}
		lo, hi, _ := bands.Current(p.Name)
		a, b := math.Abs(lo.Amperes()), math.Abs(hi.Amperes())
		add(p.Name, math.Abs(i.Amperes()), min(a, b), max(a, b), ampsText)
	}
	if len(rows) > 0 {
		w.blank()
		w.para("", "", "Amperes through parts:")
		table()
	} else {
		w.blank()
		w.para("", "", "No current flows in any part.")
	}
}

// row writes one line of a table as it is, cut to the width.
func (w *writer) row(line string) {
	w.empty = false
	line = clean(line, false)
	if r := []rune(line); len(r) > w.style.width() {
		line = string(r[:w.style.width()])
	}
	w.b.WriteString(strings.TrimRight(line, " ") + "\n")
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
