package bench

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// The rules of a bench check: those of any judged reading, and its own. Their
// ids are stable.
const (
	RuleWithin    = ignition.RuleWithin
	RuleOutside   = ignition.RuleOutside
	RuleAssumed   = ignition.RuleAssumed
	RuleHearsay   = ignition.RuleHearsay
	RuleGross     = ignition.RuleGross
	RuleOpen      = ignition.RuleOpen
	RuleUndecided = ignition.RuleUndecided
	RuleParted    = ignition.RuleParted

	// RuleWhich doubts a reading that does not say which of several figures
	// it belongs to, where that changes the answer.
	RuleWhich = "which-figure"
	// RuleSlip doubts a reading that looks like a slip of unit or digit.
	RuleSlip = "slip"
	// RuleNoFigure notes a reading that the book has nothing to say about.
	RuleNoFigure = "no-figure"
	// RuleRelative doubts a reading that only relatives of the engine can
	// judge.
	RuleRelative = "relative-only"
)

// finding says what one judgement comes to.
func (c *checker) finding(j judgement, from origin, limits *specs.Limits) ignition.Finding {
	res := j.first
	f := ignition.Finding{Limit: limitText(j), Chance: res.Chance, Source: c.cite(j.figure), Off: res.ByHowMuch()}
	for _, a := range res.Assumptions() {
		c.assume(a)
	}
	var text []string
	if from == classFigures {
		text = append(text, "the book has no figure of this engine's own; this is the figure of its class")
	}
	text = append(text, corrected(res))
	switch {
	case j.several.Parted:
		f.Rule, f.Severity = RuleParted, ignition.Doubt
		f.Hint = "find out which source is about this engine: model, year, make of parts"
	case j.several.Decision == meter.Pass:
		f.Rule, f.Severity = RuleWithin, ignition.Note
		text = append(text, res.Why())
	case j.several.Decision == meter.Fail:
		c.failed(&f, j, limits)
		if f.Rule == RuleOpen {
			f.Off = "open"
			text = append(text, "it reads open where it should not")
		} else {
			text = append(text, res.Why())
		}
		if f.Severity == ignition.Doubt {
			text = append(text, "on this word alone the part is not condemned")
		}
	default:
		f.Rule, f.Severity = RuleUndecided, ignition.Doubt
		text = append(text, res.Why())
	}
	if j.figure.UnitsDisagree != "" {
		text = append(text, "the page contradicts itself: "+j.figure.UnitsDisagree)
	}
	switch more := otherSources(j.group.figures); {
	case j.several.Parted:
		text = append(text, j.several.Words())
	case more == 1:
		text = append(text, "one more source in the book comes to the same")
	case more > 1:
		text = append(text, strconv.Itoa(more)+" more sources in the book come to the same")
	}
	if j.figure.Prefer != "" {
		text = append(text, "judged first: "+j.figure.Prefer)
	}
	if j.figure.When != "" {
		text = append(text, "that holds only for: "+j.figure.When)
	}
	if j.figure.Condition != "" {
		text = append(text, "the figure holds for: "+j.figure.Condition)
	}
	f.Text = sentences(text)
	if limits != nil && f.Hint == "" {
		f.Hint = advice(limits.Advice, res, j.several.Decision)
	}
	return f
}

// failed decides how much a failed reading weighs.
func (c *checker) failed(f *ignition.Finding, j judgement, limits *specs.Limits) {
	res := j.first
	switch {
	case j.figure.When != "":
		// Whether the figure applies is not known, so it condemns nothing.
		f.Rule, f.Severity = RuleHearsay, ignition.Doubt
	case res.Open:
		f.Rule, f.Severity = RuleOpen, ignition.Fault
	case grossly(res, limits):
		f.Rule, f.Severity = RuleGross, ignition.Fault
	case j.firm:
		f.Rule, f.Severity = RuleOutside, ignition.Fault
	case res.Band.Assumed != "":
		f.Rule, f.Severity = RuleAssumed, ignition.Doubt
	default:
		f.Rule, f.Severity = RuleHearsay, ignition.Doubt
	}
}

// grossly reports a value several times outside its limits.
func grossly(res meter.Result, limits *specs.Limits) bool {
	if limits == nil || res.Value.Kind() == 0 {
		return false
	}
	factor := meter.GrossFactor(res.Value, res.Band)
	return limits.GrossHigh > 0 && factor > limits.GrossHigh || limits.GrossLow > 0 && factor < limits.GrossLow
}

func limitText(j judgement) string {
	return limitWords(j) + inReadingUnit(j)
}

// inReadingUnit gives the limits in the unit of the reading, where that is not
// the unit of the page.
func inReadingUnit(j judgement) string {
	unit, band := j.first.Reading.Unit, j.first.Band
	page := strings.TrimSuffix(j.figure.Band.String(), ")")
	if unit == "" || strings.Contains(page, unit) || plain(page, unit) {
		return ""
	}
	low, lowOK := fourDigits(band.Min, unit)
	high, highOK := fourDigits(band.Max, unit)
	switch {
	case lowOK && highOK && low == high:
		return ", that is " + low + " " + unit
	case lowOK && highOK:
		return ", that is " + low + " to " + high + " " + unit
	case lowOK:
		return ", that is at least " + low + " " + unit
	case highOK:
		return ", that is at most " + high + " " + unit
	}
	return ""
}

// plain reports units between which anybody at a bench converts at sight: inches
// and thousandths, ohms and kilohms.
func plain(page, reading string) bool {
	if reading == "thou" || reading == "in" {
		return strings.HasSuffix(page, "in") || strings.HasSuffix(page, "thou")
	}
	for _, base := range []string{"Ω", "F", "V", "A"} {
		if strings.HasSuffix(reading, base) {
			return true // the only units of their kind, in steps of a thousand
		}
	}
	return false
}

func limitWords(j judgement) string {
	band := j.first.Band
	printed := j.figure.Band.String()
	if band.Assumed == "" {
		return printed
	}
	unit := ""
	if _, u, ok := strings.Cut(printed, " "); ok {
		unit = u
	}
	taken := meter.Band{Min: band.Min, Max: band.Max}.String()
	low, lowOK := fourDigits(band.Min, unit)
	high, highOK := fourDigits(band.Max, unit)
	switch {
	case lowOK && highOK:
		taken = low + " to " + high + " " + unit
	case lowOK:
		taken = "at least " + low + " " + unit
	case highOK:
		taken = "at most " + high + " " + unit
	}
	return printed + " (taken as " + taken + ")"
}

// fourDigits writes the number of a value in a unit, to four digits.
func fourDigits(q units.Quantity, unit string) (string, bool) {
	if q.Kind() == 0 {
		return "", false
	}
	text, ok := q.In(unit)
	if !ok {
		return "", false
	}
	number, rest, _ := strings.Cut(text, " ")
	x, err := strconv.ParseFloat(number, 64)
	if err != nil || rest != unit || x != 0 && (x < 1e-3 && x > -1e-3 || x > 1e6 || x < -1e6) {
		return "", false
	}
	short, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 4, 64), 64)
	return strconv.FormatFloat(short, 'f', -1, 64), err == nil
}

func advice(a specs.Advice, res meter.Result, decision meter.Decision) string {
	switch {
	case decision == meter.Fail && res.Open && a.Open != "":
		return a.Open
	case decision == meter.Fail && res.Side == meter.LowerLimit:
		return a.Low
	case decision == meter.Fail && res.Side == meter.UpperLimit:
		return a.High
	case decision == meter.Undecided:
		return a.How
	}
	return ""
}

// otherSources counts the sources beside the first one.
func otherSources(figures []specs.Figure) int {
	var seen []string
	for _, f := range figures {
		if !slices.Contains(seen, f.Source) {
			seen = append(seen, f.Source)
		}
	}
	return len(seen) - 1
}

// corrected says what lead zero and temperature made of a reading.
func corrected(res meter.Result) string {
	r := res.Reading
	if r.Form != meter.Single || res.Value.Kind() == 0 || res.Value == r.Value {
		return ""
	}
	text, ok := res.Value.In(r.Unit)
	if !ok {
		return ""
	}
	number, unit, _ := strings.Cut(text, " ")
	if x, err := strconv.ParseFloat(number, 64); err == nil {
		text = strconv.FormatFloat(x, 'g', 4, 64) + " " + unit
	}
	var why []string
	if r.LeadZero.Kind() != 0 && r.LeadZero.SI() > 0.002*r.Value.SI() { // less than that nobody would see
		why = append(why, "with the meter leads' "+r.LeadZero.String()+" taken off")
	}
	read, known := r.Temperature.Get()
	band, stated := res.Band.Temperature.Get()
	if known && stated && read != band && r.Kind == units.KindResistance {
		why = append(why, "brought from "+read.String()+" to "+band.String())
	}
	if len(why) == 0 {
		return ""
	}
	return strings.Join(why, " and ") + " it is " + text
}

// sentences joins texts as sentences, leaving empty ones out.
func sentences(texts []string) string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, upperFirst(strings.TrimSuffix(t, "."))+".")
		}
	}
	return strings.Join(out, " ")
}

func upperFirst(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

// whichFinding says that the answer depends on which figure is meant.
func whichFinding(judged []judgement, from origin, info specs.QuantityInfo, r Reading) ignition.Finding {
	f := ignition.Finding{Rule: RuleWhich, Severity: ignition.Doubt}
	var limits, words, labels []string
	plain := slices.ContainsFunc(judged, func(j judgement) bool { return j.group.label != "" })
	for _, j := range judged {
		name := figureName(j)
		limits = append(limits, name+": "+limitText(j))
		words = append(words, j.several.Decision.String()+" as "+name)
		if label := cmp.Or(j.group.label, plainFigure); plain {
			labels = append(labels, label)
		}
	}
	f.Limit = strings.Join(limits, "; ")
	f.Source = judged[0].first.Band.Source
	f.Text = "The book has several figures and the answer depends on which is meant: " + strings.Join(words, ", ") + "."
	if from == classFigures {
		f.Text = "The book has no figure of this engine's own, and the figures of its class part: " + strings.Join(words, ", ") + "."
	}
	if len(labels) > 0 {
		f.Hint = "say which before the value, such as " + strconv.Quote(info.Title+" "+labels[0]+" "+r.Text) + ", or in a job file with figure = " + strconv.Quote(labels[0])
		if len(labels) > 1 {
			f.Hint += "; known: " + strings.Join(labels, ", ")
		}
	}
	return f
}

// figureName is what a person would call one of several figures.
func figureName(j judgement) string {
	switch {
	case j.group.when != "":
		return j.group.when
	case j.group.label != "":
		return strings.ReplaceAll(j.group.label, "-", " ")
	case j.figure.Condition != "":
		return j.figure.Condition
	}
	return plainFigure
}

// severalFigures shows all figures by which a reading comes to the same.
func severalFigures(f *ignition.Finding, judged []judgement) {
	if len(judged) < 2 {
		return
	}
	var limits []string
	for _, j := range judged {
		limits = append(limits, figureName(j)+": "+limitText(j))
	}
	f.Limit = strings.Join(limits, "; ")
	f.Text += " It is the same by each of them."
}

// deadFinding condemns a part that no figure could save: an open winding, or a
// value so far outside everything in the book that no engine's own figure is
// near it.
func deadFinding(r meter.Reading, info specs.QuantityInfo, limits *specs.Limits, rule meter.Rule) (ignition.Finding, bool) {
	if !info.Copper || limits == nil || len(limits.Plausible) == 0 || limits.GrossHigh == 0 || limits.GrossLow == 0 {
		return ignition.Finding{}, false
	}
	seen := limits.Plausible[0].Band
	if seen.Min.IsZero() || seen.Max.IsZero() {
		return ignition.Finding{}, false
	}
	band := meter.Band{
		Min: units.FromSI(info.Kind, seen.Min.Quantity.SI()*limits.GrossLow),
		Max: units.FromSI(info.Kind, seen.Max.Quantity.SI()*limits.GrossHigh),
	}
	res := meter.Judge(r, band, rule)
	if res.Decision != meter.Fail {
		return ignition.Finding{}, false
	}
	f := ignition.Finding{Rule: RuleGross, Severity: ignition.Fault, Limit: seen.String() + " in any engine of the book", Chance: res.Chance, Off: res.ByHowMuch(),
		Text: "The book has no figure of this engine's own, and needs none: no sound " + info.Title + " comes near this.",
		Hint: advice(limits.Advice, res, meter.Fail)}
	if res.Open {
		f.Rule, f.Off = RuleOpen, "open"
		f.Text = "It reads open. A " + info.Title + " that is open is finished, whatever its figure."
	}
	return f, true
}

// noFigureFinding keeps a reading that nothing can be said about.
func noFigureFinding(info specs.QuantityInfo) ignition.Finding {
	return ignition.Finding{Rule: RuleNoFigure, Severity: ignition.Note,
		Text: "The book has no " + info.Title + " for this engine, its class or its relatives. The reading is kept; nothing is said of it.",
		Hint: "a figure from a manual is welcome: see CONTRIBUTING"}
}

// relativeFinding judges by relatives, as a guess.
func relativeFinding(judged []judgement, names []string, limits *specs.Limits) ignition.Finding {
	f := ignition.Finding{Rule: RuleRelative, Severity: ignition.Doubt}
	var lines []string
	for i, j := range judged {
		lines = append(lines, names[min(i, len(names)-1)]+" has "+limitText(j)+", by which this would "+would(j.several.Decision))
	}
	f.Limit = limitText(judged[0]) + " on a relative; this engine's own figure is not known"
	f.Source = judged[0].first.Band.Source
	f.Text = "A guess from relatives, no more: " + strings.Join(lines, "; ") + "."
	f.Hint = "find this engine's own figure before any part is bought"
	if limits != nil && limits.Advice.How != "" {
		f.Hint += "; " + limits.Advice.How
	}
	return f
}

func would(d meter.Decision) string {
	switch d {
	case meter.Pass:
		return "be good"
	case meter.Fail:
		return "be outside"
	}
	return "stay undecided"
}

// slipFinding doubts a reading beyond anything a part could be set or worn to:
// most often a wrong unit or a lost decimal point. How far that is stands in
// the limits, under the label "reading"; electrical readings have none, since
// a failed part really reads that far off.
func slipFinding(r Reading, limits *specs.Limits) (ignition.Finding, bool) {
	v := r.Value.Value
	if limits == nil || v.Kind() == 0 || r.Value.Form != meter.Single {
		return ignition.Finding{}, false
	}
	i := slices.IndexFunc(limits.Plausible, func(f specs.Figure) bool { return f.Label == "reading" })
	if i < 0 {
		return ignition.Finding{}, false
	}
	band := limits.Plausible[i].Band
	if band.Max.IsZero() || v.Cmp(band.Max.Quantity) <= 0 {
		return ignition.Finding{}, false
	}
	f := ignition.Finding{Rule: RuleSlip, Severity: ignition.Doubt, Limit: band.String(),
		Text: fmt.Sprintf("No engine of this kind comes near %s: it looks like a slip of the pen, so it is not judged.", r.Text),
		Hint: "read it again"}
	if guess := likelySlip(v, r.Text, r.Value.Unit, limits.Plausible[0].Band); guess != "" {
		f.Hint = "did you mean " + guess + "? Read it again"
	}
	return f, true
}

// likelySlip names the unit or decimal point that would make sense of a value.
func likelySlip(v units.Quantity, text, unit string, band specs.Band) string {
	number, _, _ := strings.Cut(strings.TrimSpace(text), " ")
	inside := func(q units.Quantity) bool {
		return q.Cmp(band.Max.Quantity) <= 0 && (band.Min.IsZero() || q.Cmp(band.Min.Quantity) >= 0)
	}
	others := v.Kind().Units()
	if slices.Contains(others, "thou") { // the unit of the shed comes first
		others = append([]string{"thou"}, others...)
	}
	for _, other := range others {
		if other == unit {
			continue
		}
		if q, err := units.Parse(v.Kind(), number+" "+other); err == nil && inside(q) {
			return number + " " + other
		}
	}
	for _, tens := range []float64{10, 100, 1000} {
		if q := units.FromSI(v.Kind(), v.SI()/tens); inside(q) {
			if s, ok := q.In(unit); ok {
				return s
			}
		}
	}
	return ""
}
