package sheet

import (
	"math"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/sheet/picture"
	"gapbook.example/ignition/timing"
	"gapbook.example/units"
)

// CardDocument lays out the setting card of one engine: its timing in every
// form that a shed can measure, what was read, and the steps.
func CardDocument(c *timing.Card) *Document {
	d := &Document{
		Kind: "setting", Title: strings.TrimSpace("Setting card: " + strings.TrimSpace(c.Title)), Note: c.Note,
		Footer: Footer{BookVersion: c.BookVersion, BookDigest: c.BookDigest, Note: "± is two standard uncertainties, about 95 %; \"sets\" is how near the spark then comes."},
	}
	if c.Title == "" {
		d.Title = "Setting card"
	}
	d.fact(words.engine, engineWords(c.Label, c.System))
	if c.Invented {
		d.Invented = words.inventedEngine
	}
	if c.Read > 0 {
		d.Verdict = Verdict{strings.ToUpper(strings.ReplaceAll(c.Verdict.String(), "-", " ")), " for what was read (" + count(c.Read, "reading") + ").", map[ignition.Verdict]Grade{ignition.Fit: Good, ignition.Unfit: Bad, ignition.CannotTell: Doubt}[c.Verdict]}
	}
	d.list("What it reckons with", "", c.Geometry)
	for _, s := range c.Settings {
		d.add(settingSection(s))
		d.citeOnce(s.Source)
	}
	if len(c.Settings) == 0 {
		d.add(Section{Title: "Timing", Blocks: []Block{Paragraph{"Nobody says what it should be."}}})
	}
	for _, part := range []struct {
		title string
		lines []timing.Line
	}{{"Points", c.Points}, {"Running", c.Running}, {"Compression", c.Compression}} {
		var list Facts
		for _, l := range part.lines {
			text := lineText(l)
			if l.Note != "" {
				text += "; " + l.Note
			}
			list = append(list, Fact{l.Title, text})
		}
		if len(list) > 0 {
			d.add(Section{Title: part.title, Blocks: []Block{list}})
		}
	}
	var found []Block
	for _, f := range c.Findings {
		found = append(found, findingBlock(f))
		d.citeOnce(f.Source)
	}
	d.add(Section{Title: "What was read", Blocks: found})
	var steps []Block
	for i, s := range c.Steps {
		steps = append(steps, Step{Number: number(i + 1), Text: s})
	}
	d.add(Section{Title: "Steps", Blocks: steps})
	if c.HasCrank {
		d.add(Section{Title: "Piston against crank angle", Blocks: []Block{pistonPicture(c)}})
	}
	d.list("The book says", "", c.Words)
	d.list("To know more, measure", "", c.Asks)
	d.list(words.granted, "", c.Assumed)
	var person, part []Block
	for _, x := range c.Cautions {
		if x.Person {
			person = append(person, Caution{Text: x.Text, ID: x.ID})
		} else {
			part = append(part, Caution{Text: x.Text, ID: x.ID})
		}
	}
	d.add(Section{Title: words.takeCare, Blocks: person})
	d.add(Section{Title: words.mind, Blocks: part})
	return d
}

// settingSection lays out one timing, its forms one a line.
func settingSection(s timing.CardSetting) Section {
	title := "Timing"
	if s.Label != "" {
		title += ", " + strings.ReplaceAll(s.Label, "-", " ")
	}
	if s.Condition != "" && s.Condition != strings.ReplaceAll(s.Label, "-", " ") {
		title += " (" + s.Condition + ")"
	}
	var list Facts
	for _, l := range s.Forms {
		text := lineText(l)
		if u := l.Sets.BTDC(); u > 0 {
			text += "; sets ± " + units.CrankDegrees(2*u).Quantity().Text("°", 1)
		}
		list = append(list, Fact{l.Title, text})
	}
	if s.Source != "" {
		list = append(list, Fact{words.says, s.Source})
	}
	out := Section{Title: title, Blocks: []Block{list}}
	for _, n := range s.Notes {
		out.Blocks = append(out.Blocks, Paragraph{n})
	}
	return out
}

// other is the unit that a length is also told in.
var other = map[string]struct {
	unit     string
	decimals int
}{"mm": {"in", 3}, "psi": {"kPa", 0}}

// lineText writes the figures of a line, with their uncertainty, in one unit
// and where shops have two kinds of gauges in the other.
func lineText(l timing.Line) string {
	s := rangeText(l, l.Unit, l.Decimals)
	if u := uncertainty(l); u != "" {
		s += " ± " + u
	}
	if o, ok := other[l.Unit]; ok {
		s += " (" + rangeText(l, o.unit, o.decimals) + ")"
	}
	return s
}

func rangeText(l timing.Line, unit string, decimals int) string {
	var low, middle, high string
	bare := func(f timing.Figure) string {
		if f.IsZero() {
			return ""
		}
		if unit == "° BTDC" && f.Value.SI() < 0 {
			return f.Value.Text("° ATDC", decimals)
		}
		return f.Value.Text(unit, decimals)
	}
	low, middle, high = bare(l.Min), bare(l.Nominal), bare(l.Max)
	switch {
	case low != "" && high != "":
		if text, ok := sameUnit(low, high, unit); ok {
			low = text
		}
		s := low + " to " + high
		if middle != "" {
			s = middle + ", " + s
		}
		return s
	case low != "" && middle == "":
		return "at least " + low
	case high != "" && middle == "":
		return "at most " + high
	case low != "":
		return middle + ", at least " + low
	case high != "":
		return middle + ", at most " + high
	}
	return middle
}

// sameUnit takes the unit off the first of two values that share it.
func sameUnit(low, high, unit string) (string, bool) {
	if strings.HasSuffix(low, unit) && strings.HasSuffix(high, unit) {
		return strings.TrimSpace(strings.TrimSuffix(low, unit)), true
	}
	return low, false
}

// uncertainty writes twice the greatest standard uncertainty of a line, empty
// where it would print as nought.
func uncertainty(l timing.Line) string {
	most := 0.0
	kind := units.Kind(0)
	for _, f := range []timing.Figure{l.Min, l.Nominal, l.Max} {
		if !f.IsZero() {
			most, kind = max(most, f.Uncertainty.SI()), f.Value.Kind()
		}
	}
	if kind == 0 || most <= 0 || kind == units.KindTemperature {
		return ""
	}
	unit := l.Unit
	if kind == units.KindCrankAngle {
		unit = "°"
	}
	text := units.FromSI(kind, 2*most).Text(unit, l.Decimals)
	if strings.Trim(strings.TrimSuffix(text, unit), "0. ") == "" {
		return ""
	}
	return text
}

// pistonPicture shows how far the piston stands below its top, with every
// setting marked by its number.
func pistonPicture(c *timing.Card) Picture {
	p := chart(picture.Piston("piston", c.Crank, pistonSettings(c)))
	p.Words = p.Words[1:] // the first says how to read the drawing, and stands in it
	p.Sketch = func(width int) string { return pistonSketch(c, width) }
	return p
}

// sketchSpan is how many degrees before and after the top the sketch shows.
const sketchSpan = 60.0

// pistonDrop is how many millimetres the piston stands below its top.
func pistonDrop(c *timing.Card, degBTDC float64) float64 {
	x, err := c.Crank.Piston(timing.Exactly(units.BTDC(degBTDC)))
	if err != nil {
		return 0
	}
	return x.Value.Millimetres()
}

// pistonSketch draws the picture in characters: a number stands where a setting
// fires; the dots are the piston. It is empty where the page is too narrow.
func pistonSketch(c *timing.Card, width int) string {
	const rows = 12
	cols := min(width-12, 61)
	if cols < 21 {
		return ""
	}
	deepest := max(pistonDrop(c, sketchSpan), pistonDrop(c, -sketchSpan))
	if deepest <= 0 {
		return ""
	}
	grid := make([][]rune, rows+1)
	for i := range grid {
		grid[i] = []rune(strings.Repeat(" ", cols))
		grid[i][(cols-1)/2] = '|'
	}
	row := func(mm float64) int { return int(mm/deepest*rows + 0.5) }
	for col := range cols {
		grid[row(pistonDrop(c, sketchSpan-2*sketchSpan*float64(col)/float64(cols-1)))][col] = '.'
	}
	for i, s := range pistonSettings(c) {
		if deg := s.At.Value.CrankDegrees(); i < 9 && math.Abs(deg) <= sketchSpan {
			col := int((sketchSpan-deg)/(2*sketchSpan)*float64(cols-1) + 0.5)
			grid[row(pistonDrop(c, deg))][col] = rune('1' + i)
		}
	}
	var b strings.Builder
	for i, line := range grid {
		label := "        "
		if i%3 == 0 {
			mm := units.Millimetres(round(deepest*float64(i)/rows, 6)).Quantity().Text("mm", 1)
			label = strings.Repeat(" ", max(0, 8-visible(mm))) + mm
		}
		b.WriteString("  " + label + " " + strings.TrimRight(string(line), " ") + "\n")
	}
	left, right := "60 BTDC", "60 ATDC"
	between := cols - len(left) - len(right) - 3
	b.WriteString(strings.Repeat(" ", 11) + left + strings.Repeat(" ", between/2) + "TDC" + strings.Repeat(" ", between-between/2) + right + "\n")
	return b.String()
}

// middle returns the crank degrees that a line means: its nominal, else the
// middle of its ends.
func middle(l timing.Line) float64 {
	switch {
	case !l.Nominal.IsZero():
		return l.Nominal.Value.SI()
	case l.Min.IsZero():
		return l.Max.Value.SI()
	case l.Max.IsZero():
		return l.Min.Value.SI()
	}
	return (l.Min.Value.SI() + l.Max.Value.SI()) / 2
}

// numberJSON is a number with its standard uncertainty, both in the line's unit.
type numberJSON struct {
	Value       float64 `json:"value"`
	Uncertainty float64 `json:"uncertainty"`
}

type lineJSON struct {
	Name    string      `json:"name"`
	Title   string      `json:"title"`
	Unit    string      `json:"unit"`
	Min     *numberJSON `json:"min"`
	Nominal *numberJSON `json:"nominal"`
	Max     *numberJSON `json:"max"`
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

// CardJSON writes a setting card as JSON, ended by a newline. Lists are never
// null; a figure that nobody gives is null.
func CardJSON(c *timing.Card) []byte {
	type caution struct {
		ID     string `json:"id"`
		Text   string `json:"text"`
		Source string `json:"source"`
	}
	out := struct {
		Book        bookJSON      `json:"book"`
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
		Cautions    []caution     `json:"cautions"`
	}{
		Book: bookJSON{c.BookVersion, c.BookDigest}, Engine: c.Engine, Label: c.Label, System: c.System, Title: c.Title, Invented: c.Invented, Verdict: c.Verdict.String(),
		Geometry: notNil(c.Geometry), Settings: []settingJSON{}, Points: linesJSON(c.Points), Running: linesJSON(c.Running), Compression: linesJSON(c.Compression),
		Findings: findings(c.Findings), Steps: notNil(c.Steps), Asks: notNil(c.Asks), Assumed: notNil(c.Assumed), Words: notNil(c.Words), Cautions: []caution{},
	}
	for _, s := range c.Settings {
		out.Settings = append(out.Settings, settingJSON{s.Label, s.Condition, s.Source, linesJSON(s.Forms), notNil(s.Notes)})
	}
	for _, x := range c.Cautions {
		out.Cautions = append(out.Cautions, caution{x.ID, x.Text, x.Source})
	}
	return encode(out)
}

func linesJSON(list []timing.Line) []lineJSON {
	out := []lineJSON{}
	for _, l := range list {
		j := lineJSON{Name: l.Name, Title: l.Title, Unit: l.Unit, Means: l.Means, Note: l.Note}
		j.Min, j.Nominal, j.Max = numberIn(l.Min, l.Unit), numberIn(l.Nominal, l.Unit), numberIn(l.Max, l.Unit)
		if u := l.Sets.BTDC(); u > 0 {
			u = digits9(u)
			j.Sets = &u
		}
		out = append(out, j)
	}
	return out
}

// numberIn returns a figure in a unit. Ratios of units are the same for a value
// and its uncertainty but for temperatures, whose uncertainty is left at nought.
func numberIn(f timing.Figure, unit string) *numberJSON {
	if f.IsZero() {
		return nil
	}
	one := scale(f.Value.Kind(), unit)
	if f.Value.Kind() == units.KindTemperature {
		t, _ := f.Value.Temperature()
		return &numberJSON{Value: digits9(t.Celsius())}
	}
	return &numberJSON{digits9(f.Value.SI() / one), digits9(f.Uncertainty.SI() / one)}
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

// digits9 keeps nine digits, more than any figure is good for, so that the last
// bits of another machine's arithmetic do not show.
func digits9(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return 0
	}
	p := math.Pow(10, 8-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*p) / p
}
