package bench

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// A Question is why somebody goes to the shed: it picks what to read.
type Question struct {
	// ID is how programs call it; Title says it to people.
	ID, Title string
	keys      []specs.Key
}

// Questions returns the questions that a reading page can be made for.
func Questions() []Question { return slices.Clone(questions) }

var questions = []Question{
	{"no-spark", "It does not spark", []specs.Key{
		"battery_rest", "coil_feed", "points_gap", "points_drop", "primary", "secondary", "cap", "lead", "condenser", "condenser_insulation", "stop_switch",
		"exciter", "charge_coil", "source_coil", "trigger_coil", "air_gap", "trigger_gap", "plug_gap", "primary_peak", "exciter_peak", "charge_coil_peak", "trigger_coil_peak", "spark_test_gap",
	}},
	{"weak-spark", "It sparks, but weakly or not hot", []specs.Key{
		"battery_cranking", "coil_feed", "feed_drop", "ground_drop", "points_gap", "points_drop", "primary_current", "primary", "ballast", "secondary", "condenser", "condenser_insulation",
		"cap", "lead", "air_gap", "edge_gap", "edge_gap_distance", "magnet_pull", "plug_gap", "spark_test_gap", "compression",
	}},
	{"setting", "Set it up", []specs.Key{
		"points_gap", "points_spring", "dwell_angle", "dwell_angle_crank", "dwell_share", "timing", "timing_piston", "timing_mark", "edge_gap", "edge_gap_distance", "trigger_gap", "air_gap",
		"plug_gap", "plug_torque", "flywheel_nut", "rotor_nut", "valve_clearance", "idle", "governed", "no_load",
	}},
	{"everything", "Everything the book knows", nil},
}

// A Page is a page of readings to take: what, where, what a good one reads.
type Page struct {
	// BookVersion and BookDigest say which book answered.
	BookVersion, BookDigest string
	// Engine is the id of the engine in the book, or empty; Label is the engine
	// in one line; System is its kind of ignition; Invented is the job's own.
	Engine, Label, System string
	Invented              bool
	Question              Question
	Entries               []Entry
	Cautions              []Caution
	job                   Job
}

// An Entry is one reading to take.
type Entry struct {
	// Number is what stands on the page, from 1.
	Number int
	// Letter tells apart, from "a", the figures for one and the same reading where
	// it hangs on what is fitted which holds; it is empty where there is one.
	Letter string
	// Quantity and Figure say which figure of the engine it will be judged by.
	Quantity specs.Key
	Figure   string
	// Title is the reading's name, Limit what a good one reads, Source who says
	// so, How and TestPoints how to take it, Unit what to write it in.
	Title, Limit, Source, How, TestPoints, Unit string
}

// Handle is the number on the page, with its letter: "7" or "7b".
func (e Entry) Handle() string { return strconv.Itoa(e.Number) + e.Letter }

// An UnknownQuestionError says that there is no such question.
type UnknownQuestionError struct{ Question string }

// Error lists the questions there are.
func (e *UnknownQuestionError) Error() string {
	var names []string
	for _, q := range questions {
		names = append(names, q.ID)
	}
	return fmt.Sprintf("there is no question %q; the questions are %s", e.Question, strings.Join(names, ", "))
}

// NewPage makes the page of readings for the engine of a job and a question.
// The job's own readings are left out of account. The error is a
// [gate.Problems] for an engine that the book does not hold, or an
// [*UnknownQuestionError].
func NewPage(book *specs.Book, job *Job, question string) (*Page, error) {
	i := slices.IndexFunc(questions, func(q Question) bool { return q.ID == question })
	if i < 0 {
		return nil, &UnknownQuestionError{question}
	}
	c := &checker{book: book, job: job, report: &Report{}}
	if err := c.openEngine(); err != nil {
		return nil, err
	}
	p := &Page{
		BookVersion: book.Version(), BookDigest: book.Digest(), Engine: c.report.Engine, Label: c.report.Label, System: c.report.System,
		Invented: job.Invented, Question: questions[i], job: *job,
	}
	p.job.Readings = nil
	keys := questions[i].keys
	if keys == nil {
		for _, q := range specs.Quantities() {
			if limits, ok := book.Limits(q.Key); ok && !q.Words() && (limits.Advice.How != "" || slices.Contains(readable, q.Key)) {
				keys = append(keys, q.Key)
			}
		}
	}
	var asked []specs.Key
	n := 0
	for _, key := range keys {
		limits, _ := book.Limits(key)
		figures := c.figures(key)
		if len(figures) == 0 {
			figures = c.classFigures(limits)
		}
		for _, same := range alternatives(grouped(figures)) {
			n++
			for i, g := range same {
				e := c.entry(n, key, limits, g)
				if len(same) > 1 {
					e.Letter = string(rune('a' + i))
				}
				p.Entries = append(p.Entries, e)
			}
			asked = append(asked, key)
		}
	}
	c.job = &Job{Readings: readingsOf(asked)}
	c.finish()
	p.Cautions = c.report.Cautions
	return p, nil
}

// alternatives puts together the figures of one quantity that the same reading
// is held against, this or that as the machine is fitted: a band that says when
// it holds, and a figure of some models or years. All others are readings of
// their own, such as timing at rest and at full advance.
func alternatives(groups []group) [][]group {
	var out [][]group
	at := -1
	for _, g := range groups {
		f := g.figures[0]
		switch fitted := g.when != "" || len(f.Models) > 0 || f.Years != ""; {
		case !fitted:
			out = append(out, []group{g})
		case at >= 0 && len(out[at]) < 26 && samePoints(out[at][0].figures[0], f):
			out[at] = append(out[at], g)
		default:
			at = len(out)
			out = append(out, []group{g})
		}
	}
	return out
}

// samePoints reports whether two figures are read at the same points, as far as
// their pages say where.
func samePoints(a, b specs.Figure) bool {
	return a.TestPoints == b.TestPoints || a.TestPoints == "" || b.TestPoints == ""
}

func readingsOf(keys []specs.Key) []Reading {
	var out []Reading
	for _, k := range keys {
		out = append(out, Reading{Quantity: k})
	}
	return out
}

// entry is the reading of one group of figures.
func (c *checker) entry(number int, key specs.Key, limits *specs.Limits, g group) Entry {
	info, _ := specs.Quantity(key)
	f := g.figures[0]
	e := Entry{Number: number, Quantity: key, Figure: g.label, Title: info.Title, Source: c.cite(f), TestPoints: f.TestPoints}
	if g.label != "" && g.label != "usual" {
		e.Title += ", " + strings.ReplaceAll(g.label, "-", " ")
	}
	if g.when != "" {
		e.Title += " (" + g.when + ")"
	}
	e.Limit = limitWords(judgement{figure: f, first: meter.Result{Band: c.band(f, limits)}})
	if limits != nil {
		e.How = limits.Advice.How
	}
	for _, v := range []specs.Value{f.Band.Nominal, f.Band.Min, f.Band.Max} {
		if unit := strings.TrimLeft(v.Text, "0123456789.-/ "); unit != "" {
			e.Unit = unit
			break
		}
	}
	return e
}

// Job reads what was written on a page: a line for each reading, its number
// and its value, such as "3  11.2 kΩ" or "7b: 11.2 kΩ". A number whose letter is
// left out is judged by all its figures at once, and the report says where it
// matters which. Empty lines, and
// numbers with nothing behind them, are boxes left empty; after "#" a line is a
// remark. The value's unit may be left out where the page prints one. Lines
// that begin with "meter", "leads" or "temperature" say how it was read: the
// meter's accuracy, what it shows with its leads held together, and how warm
// the parts were. file
// names the lines in problems. The error is a [gate.Problems] with everything
// wrong.
func (p *Page) Job(file, lines string) (*Job, error) {
	job := p.job
	job.File = file
	var problems gate.Problems
	fail := func(line int, code, message, hint string) {
		problems = append(problems, gate.Problem{File: file, Line: line, Col: 1, Code: code, Message: message, Hint: hint})
	}
	if len(lines) > gate.MaxBytes {
		fail(1, "too-big", "these answers are longer than any page", "")
		return nil, problems
	}
	seen := map[string]int{}
	given := map[string]string{} // values by number
	last := 0
	if len(p.Entries) > 0 {
		last = p.Entries[len(p.Entries)-1].Number
	}
	n := 0
	for text := range strings.Lines(lines) {
		n++
		text, _, _ = strings.Cut(text, "#")
		text = strings.TrimSpace(text)
		if text == "" {
			continue
		}
		if head, rest, ok := strings.Cut(text, " "); ok {
			if taken, err := takeConditions(&job.Meter, strings.TrimRight(head, ":="), strings.TrimLeft(rest, ":= ")); taken {
				if err != nil {
					fail(n, "bad-reading", strings.TrimRight(head, ":=")+": "+err.Error(), "")
				}
				continue
			}
		}
		handle, letter, value := cutHandle(text)
		at, err := strconv.Atoi(handle)
		e, lettered, known := p.entry(at, letter)
		handle += letter
		switch {
		case handle == "" || err != nil:
			fail(n, "no-number", "the line does not begin with the number of a reading", "write the number on the page, then the value: 3: 11.2 kΩ")
			continue
		case at < 1 || at > last:
			fail(n, "unknown-number", fmt.Sprintf("the page has no reading %d", at), fmt.Sprintf("its numbers are 1 to %d", last))
			continue
		case !known:
			fail(n, "unknown-number", fmt.Sprintf("reading %d has no kind %q", at, letter), "its letters stand on the page")
			continue
		case value == "":
			continue
		case seen[handle] != 0:
			fail(n, "twice", fmt.Sprintf("reading %s was given on line %d already", handle, seen[handle]), "strike one out")
			continue
		case lettered && given[strconv.Itoa(at)] == value:
			fail(n, "twice", fmt.Sprintf("reading %d stands under two letters, the same value", at), "keep the letter of what is fitted and strike the other out")
			continue
		}
		seen[handle], given[strconv.Itoa(at)] = n, value
		info, _ := specs.Quantity(e.Quantity)
		r, err := parseReading(info, value, "")
		if err != nil && e.Unit != "" {
			if again, second := parseReading(info, value+" "+e.Unit, ""); second == nil {
				r, err, value = again, nil, value+" "+e.Unit
			}
		}
		if err != nil {
			fail(n, "bad-reading", fmt.Sprintf("reading %s, %s: %v", handle, e.Title, err), "")
			continue
		}
		job.Readings = append(job.Readings, Reading{
			Quantity: e.Quantity, Figure: e.Figure, Name: name(e.Figure), Value: r, Text: value, TestPoints: e.TestPoints,
			At: ignition.Position{File: file, Line: n, Col: 1},
		})
	}
	if len(job.Readings) == 0 && len(problems) == 0 {
		fail(max(n, 1), "no-reading", "every box is empty, so there is nothing to check", "write a number and its value: 3: 11.2 kΩ")
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return &job, nil
}

// cutHandle cuts a line behind its number and the letter that may follow it.
func cutHandle(text string) (number, letter, value string) {
	end := 0
	for end < len(text) && text[end] >= '0' && text[end] <= '9' {
		end++
	}
	number, value = text[:end], text[end:]
	if rest := strings.TrimLeft(value, " \t"); rest != "" && (len(rest) == 1 || strings.IndexByte(".:)= \t", rest[1]) >= 0) {
		if c := rest[0] | 0x20; c >= 'a' && c <= 'z' {
			letter, value = string(c), rest[1:]
		}
	}
	return number, letter, strings.TrimSpace(strings.TrimLeft(value, ".:)= \t"))
}

// entry finds a reading by number and letter. Where the number has letters and
// none was written, it is the reading of no one kind. lettered says that there
// are letters to choose from.
func (p *Page) entry(number int, letter string) (e Entry, lettered, ok bool) {
	for _, e := range p.Entries {
		switch {
		case e.Number != number:
		case e.Letter == letter:
			return e, letter != "", true
		case letter == "":
			e.Letter, e.Figure = "", ""
			e.Title = titleOf(e.Quantity)
			return e, false, true
		}
	}
	return Entry{}, false, false
}

func titleOf(key specs.Key) string {
	info, _ := specs.Quantity(key)
	return info.Title
}

// takeConditions reads a line about how the readings were taken.
func takeConditions(m *MeterUse, head, value string) (taken bool, err error) {
	switch strings.ToLower(head) {
	case "meter":
		if _, err := meter.ParseAccuracy(units.KindResistance, value); err != nil {
			return true, err
		}
		m.Accuracy = value
	case "leads":
		if _, err := (meter.Reading{}).WithLeadZero(value); err != nil {
			return true, err
		}
		m.LeadZero = value
	case "temperature":
		t, err := units.ParseTemperature(value)
		if err != nil {
			return true, err
		}
		m.Temperature = ignition.Know(t)
	default:
		return false, nil
	}
	return true, nil
}

// name is how several readings of one quantity are told apart.
func name(label string) string {
	if label == "usual" {
		return ""
	}
	return label
}
