package sheet

import (
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/bench"
)

// ReportDocument lays out a bench report.
func ReportDocument(r *bench.Report) *Document {
	d := &Document{Kind: "bench", Title: r.Title, Footer: Footer{BookVersion: r.BookVersion, BookDigest: r.BookDigest, Sources: r.Sources}}
	d.fact(words.engine, engineWords(r.Label, r.System))
	if r.Invented {
		d.Invented = words.invented
	}
	d.Note = r.Note
	d.Verdict = reportVerdict(r)
	var found []Block
	for _, f := range r.Findings {
		found = append(found, findingBlock(f))
	}
	d.add(Section{Blocks: found})
	var unread []string
	for _, u := range r.NotRead {
		unread = append(unread, u.Title+": "+bothUnits(u.Limit))
	}
	d.list(words.notRead, words.notReadIntro, unread)
	d.list(words.granted, "", r.Assumed)
	d.cautions(r.Cautions)
	return d
}

// Report writes a bench report as text. The sources stand beside each finding
// and are not listed again.
func Report(r *bench.Report, style Style) string {
	d := ReportDocument(r)
	d.Footer.Sources = nil
	return d.Text(style)
}

func engineWords(label, system string) string {
	if label != "" && system != "" && system != "unknown" {
		label += " (" + ignitionWords(system) + ")"
	}
	return label
}

// cautions appends the warnings: first where somebody can be hurt, then where
// only a part or a reading can be spoiled.
func (d *Document) cautions(list []bench.Caution) {
	var person, part []Block
	for _, c := range list {
		if c.Person {
			person = append(person, Caution{Text: c.Text, ID: c.ID})
		} else {
			part = append(part, Caution{Text: c.Text, ID: c.ID})
		}
	}
	d.add(Section{Title: words.takeCare, Blocks: person})
	d.add(Section{Title: words.mind, Blocks: part})
}

func reportVerdict(r *bench.Report) Verdict {
	switch r.Verdict {
	case ignition.Fit:
		what := count(r.Judged, "reading") + " good"
		switch {
		case r.Harness != nil && r.Judged == 0:
			return Verdict{words.fit, ": nothing wrong was found in the circuit. No reading was given.", Good}
		case r.Harness != nil:
			what += ", nothing wrong found in the circuit"
		}
		return Verdict{words.fit, " for what was read (" + what + ").", Good}
	case ignition.Unfit:
		return Verdict{words.unfit, ": " + count(faults(r.Findings), "fault") + ".", Bad}
	default:
		return Verdict{words.cannotTell, " yet: no fault was found, and not everything is decided.", Doubt}
	}
}

func faults(list []ignition.Finding) int {
	n := 0
	for _, f := range list {
		if f.Severity == ignition.Fault {
			n++
		}
	}
	return n
}

// grades says how bad a finding is; good are the rules that praise.
func grades(f ignition.Finding, good string) (Grade, string) {
	switch {
	case f.Severity == ignition.Fault:
		return Bad, "FAULT"
	case f.Severity == ignition.Doubt:
		return Doubt, "DOUBT"
	case f.Rule == good:
		return Good, "good"
	}
	return Plain, "note"
}

// findingBlock lays out one judged reading.
func findingBlock(f ignition.Finding) Finding {
	out := Finding{Head: f.Quantity, Rule: f.Rule}
	out.Grade, out.Label = grades(f, bench.RuleWithin)
	if f.Reading != "" {
		out.Head += ": " + f.Reading
	}
	line := func(name, text string) {
		if text != "" {
			out.Lines = append(out.Lines, Fact{name, text})
		}
	}
	line(words.should, bothUnits(f.Limit))
	if f.Off != "open" && !strings.Contains(strings.ToLower(f.Text), strings.ToLower(f.Off)) {
		line("", inPassing(f.Off))
	}
	line("", inPassing(f.Text))
	line(words.says, f.Source)
	line(words.next, inPassing(f.Hint))
	return out
}

// ignitionWords spells a kind of ignition for people.
func ignitionWords(system string) string { return strings.ReplaceAll(system, "-", " ") }
