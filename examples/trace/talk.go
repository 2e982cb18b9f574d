package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"
	"strings"
	"unicode/utf8"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition"
	"gapbook.example/ignition/sheet"
	"gapbook.example/ignition/trace"
	"gapbook.example/specs"
)

// A talk is one person being asked.
type talk struct {
	p      *shell.Program
	book   *specs.Book
	record *trace.Record
	save   string
	lines  *lines
	c      *trace.Case
	warned map[string]bool // cautions are said once
	asked  map[string]bool // questions before the first test that were answered
	fresh  bool            // the file of -save was not there before
	listed int             // how many other tests were listed so far
	// leads is what the meter's leads read alone, and zeroAsked whether that was
	// asked; leadsJustGiven until the reading itself is taken.
	leads                     string
	zeroAsked, leadsJustGiven bool
	// over is true once the person has gone.
	over bool
}

func newTalk(p *shell.Program, book *specs.Book, record *trace.Record, save string) *talk {
	_, err := os.Stat(save)
	return &talk{p: p, book: book, record: record, save: save, fresh: save != "" && err != nil, leads: leadsOf(record), lines: newLines(p.Stdin), warned: map[string]bool{}, asked: map[string]bool{}}
}

// tell prints a text, broken to the width of the screen.
func (t *talk) tell(text string) { fmt.Fprintln(t.p.Stdout, t.wrap(text)) }

func (t *talk) say(format string, args ...any) { fmt.Fprintf(t.p.Stdout, format+"\n", args...) }

// read reads one line; ok is false at the end of the input, or where the person
// broke off.
func (t *talk) read(prompt string) (line string, ok bool) {
	fmt.Fprint(t.p.Stdout, prompt)
	if line, ok = t.lines.next(); !ok {
		t.over = true
		t.say("")
	}
	return strings.TrimSpace(line), ok
}

const talkHelp = `  skip       it cannot be done here, or you cannot reach it
  undo       take the last answer back, back to the first question
  why        what is likeliest so far, and which answer moved what
  other      do another test first: it lists them
  again      you measured something twice: it lists what was answered
  quit       stop here; nothing is lost
`

// help says what can be typed at a test's question.
func (t *talk) help(x *trace.Test) {
	t.say("")
	if x.Reading {
		t.tell("  type       what it showed, with its unit: " + example(x) + "; OL where it showed no figure")
	} else {
		t.tell("  type       its number, or its word: " + strings.Join(words(choicesOf(x.FaultTest.Answers)), ", ") + "; plain words that only one has will do")
	}
	if x.Tools != "" {
		t.tell("  no tool    what it is done with is not there: nothing that needs it is asked for again")
	}
	t.helps(talkHelp)
}

// helps prints what can be typed, a line each.
func (t *talk) helps(text string) {
	for line := range strings.Lines(text) {
		t.tell(strings.TrimSuffix(line, "\n"))
	}
	t.say("")
}

func words(choices []choice) []string {
	var list []string
	for _, c := range choices {
		list = append(list, c.word)
	}
	return list
}

func (t *talk) run(file string) int {
	if t.fresh { // before anything is asked in vain
		if err := replace(t.save, nil); err != nil {
			return t.p.Fail(fmt.Errorf("-save: %w", err))
		}
	}
	if err := t.keep(); err != nil {
		return t.p.Fail(err)
	}
	t.tell("Answer with a number, a word or a reading. ? lists what else you can type.")
	if n := len(t.record.Told); n > 0 {
		t.tell(fmt.Sprintf("Going on from %s, which holds %d answers; undo takes back the last.", file, n))
	}
	for !t.over {
		if t.c == nil {
			if t.question() {
				continue
			}
			if t.over {
				break
			}
			c, err := t.record.Open(t.book, file)
			if err != nil {
				return t.p.Fail(err)
			}
			t.c = c
			t.say("\nIgnition: %s.", c.Model().System.Title())
		}
		if len(t.record.Told) == 0 {
			t.ask(0, "")
			continue
		}
		step := t.c.Next()
		switch step.Kind {
		case trace.Ask:
			t.ask(step.Test, "")
		case trace.Again:
			lead := strings.TrimRight("Worth reading twice: "+t.c.AgainWords(step), ".")
			if !strings.HasSuffix(lead, "?") {
				lead += "."
			}
			if hint := pointHint(t.c, step.Test); hint != "" {
				lead += " " + hint
			}
			t.ask(step.Test, lead)
		default:
			if !t.name() {
				return t.leave()
			}
		}
	}
	return t.leave()
}

// keep writes the record where -save says, as it stands: after every answer, so
// that nothing is lost when the terminal goes. The file is whole at any moment.
// One that was not there before is there only while something was said.
func (t *talk) keep() error {
	if t.save == "" {
		return nil
	}
	if t.fresh && !t.said() {
		if err := os.Remove(t.save); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("-save: %w", err)
		}
		return nil
	}
	if err := replace(t.save, t.record.Marshal()); err != nil {
		return fmt.Errorf("-save: %w", err)
	}
	return nil
}

// said reports whether anything was said yet that is worth a file.
func (t *talk) said() bool {
	r := t.record
	return len(r.Told)+len(r.Seen) > 0 || r.Facts.Engine != "" || r.Facts.System != ignition.UnknownSystem
}

// kept keeps the record, and says where that does not work.
func (t *talk) kept() {
	if err := t.keep(); err != nil {
		t.tell(upper(err.Error()) + ".")
	}
}

// leave says how to go on.
func (t *talk) leave() int {
	if err := t.keep(); err != nil {
		return t.p.Fail(err)
	}
	command := "  go run ./examples/trace -ask -save "
	switch {
	case !t.said():
	case t.save != "":
		name := t.save
		if strings.ContainsAny(name, " \t'\"$&()") {
			name = strconv.Quote(name)
		}
		t.say("\nSaved. To go on:\n%s%s", command, name)
	default:
		t.say("")
		t.tell("Not saved: that needs -save and a file's name. To keep it all the same, put the lines below into a file, say job.toml. To go on with it:")
		t.say("%sjob.toml\n", command)
		t.say("%s", strings.TrimSuffix(string(t.record.Marshal()), "\n"))
	}
	if t.c == nil {
		return shell.Good
	}
	return exit(t.c)
}

// ask asks one test until it has an answer, or the person wants something else.
func (t *talk) ask(test int, lead string) {
	if t.plugs(test) {
		return
	}
	m := t.c.Model()
	x := &m.Tests[test]
	t.say("")
	if lead != "" {
		t.tell(lead)
	}
	if test == 0 {
		t.say("What does it do?")
	} else {
		step := sheet.TestStep(t.book, t.c, test, "")
		t.tell(step.Text)
		for _, l := range step.Lines {
			t.tell("  " + l.Name + ": " + l.Text)
		}
		for _, caution := range step.Cautions {
			if !t.warned[caution] {
				t.warned[caution] = true
				t.tell("  ! " + caution)
			}
		}
	}
	for i, a := range x.FaultTest.Answers {
		t.tell(fmt.Sprintf("  %d  %s", i+1, a.Text))
	}
	number := "" // typed without a unit, and asked about
	for {
		first := zeroed(x) && !t.zeroAsked && t.leads == ""
		if first {
			t.tell("First touch the tips of the meter's leads together, on the same range. What does it show? It is taken off. Or skip.")
		}
		line, ok := t.read("> ")
		if !ok {
			return
		}
		switch word, rest, _ := strings.Cut(line, " "); strings.ToLower(word) {
		case "?", "help":
			t.help(x)
		case "quit", "q":
			t.over = true
			return
		case "undo":
			if !first && t.leadsJustGiven {
				t.forgetLeads()
				continue
			}
			t.undo()
			return
		case "why":
			t.why()
		case "other":
			if t.other(strings.TrimSpace(rest)) {
				return
			}
		case "again":
			if t.again(strings.TrimSpace(rest)) {
				return
			}
		default:
			if first && strings.ToLower(word) != "no" {
				t.zero(line)
				continue
			}
			if number != "" {
				if _, err := m.Answer(t.book, x.ID, number+" "+line); err == nil {
					line = number + " " + line
				}
				number = ""
			}
			if readings := t.bare(x, line); len(readings) > 1 {
				number = line
				t.tell(strings.Join(readings, ", or ") + "? Type the unit.")
				continue
			}
			if t.answer(x, line) {
				return
			}
		}
	}
}

// zero takes what the meter's leads read alone, or that it is skipped.
func (t *talk) zero(line string) {
	if strings.EqualFold(line, "skip") {
		t.zeroAsked, t.leadsJustGiven = true, true
		t.tell("Now the reading itself.")
		return
	}
	leads, why := readLeads(line)
	if why != "" {
		t.tell(why)
		return
	}
	t.leads, t.zeroAsked, t.leadsJustGiven = leads, true, true
	t.tell(leads + " will be taken off. Now the reading itself, as the meter shows it.")
}

func (t *talk) forgetLeads() {
	t.leads, t.zeroAsked, t.leadsJustGiven = "", false, false
	t.say("Taken back: what the meter's leads read.")
}

// answer takes an answer to a test as a person types it; false where it cannot be
// used.
func (t *talk) answer(x *trace.Test, line string) bool {
	text := line
	if x.Reading {
		if readings := t.bare(x, line); len(readings) == 1 {
			text = readings[0]
			t.say("Taken as %s.", text)
		}
	} else if !strings.EqualFold(text, "skip") {
		// The record keeps the word: a number means nothing without its list.
		choices := choicesOf(x.FaultTest.Answers)
		at, near := pick(line, 1, choices)
		if at >= 0 {
			text = choices[at].word
			if _, err := strconv.Atoi(line); err != nil && !strings.EqualFold(line, text) {
				t.tell("Taken as: " + choices[at].text + ".")
			}
		} else if _, err := t.c.Model().Answer(t.book, x.ID, line); err != nil && len(near) > 0 && !strings.HasPrefix(strings.ToLower(line), "no t") {
			t.which(near, 1, choices)
			return false
		}
	}
	a, err := t.c.Model().Answer(t.book, x.ID, text)
	switch {
	case err == nil && a.Tool != "":
		text = "no " + a.Tool
	case err == nil && !a.Skipped && !a.OutOfRange && t.leads != "" && zeroed(x) && !strings.Contains(text, ofLeads):
		text += ofLeads + t.leads
	}
	if !t.take(x.ID, text) {
		if !x.Reading {
			t.tell("Type a number from 1 to " + strconv.Itoa(len(x.FaultTest.Answers)) + ", its words, or ? for help.")
		}
		return false
	}
	if a.Tool != "" {
		t.tell("Noted: no " + a.Tool + ". Nothing that needs it is asked for again; undo takes that back.")
	}
	return true
}

// which asks which of several choices was meant.
func (t *talk) which(near []int, first int, choices []choice) {
	t.tell("Which of these? Type its number:")
	for _, i := range near {
		t.tell(fmt.Sprintf("  %d  %s", i+first, choices[i].text))
	}
}

// take tells the case an answer and records it; false where it cannot be used.
func (t *talk) take(test, text string) bool {
	told := trace.Told{Test: test, Text: text}
	if err := t.c.Take(t.book, told); err != nil {
		t.tell(upper(err.Error()) + ".")
		return false
	}
	t.record.Told = append(t.record.Told, told)
	t.record.Found = ""
	t.leadsJustGiven = false
	t.kept()
	return true
}

// undo takes the last answer back; before the first one, what was said to be
// fitted.
func (t *talk) undo() {
	if !t.c.Undo() {
		t.takeBack()
		return
	}
	n := len(t.record.Told) - 1
	last := t.record.Told[n]
	t.record.Told = t.record.Told[:n]
	t.kept()
	if last.Cured != "" {
		t.say("Taken back: the cure.")
		return
	}
	title := last.Test
	if at := t.c.Model().Test(last.Test); at >= 0 {
		title = t.c.Model().Tests[at].Title
	}
	t.say("Taken back: %s.", title)
}

// why says what is likeliest and why.
func (t *talk) why() {
	m, r := t.c.Model(), t.c.Result()
	for i, k := range r.Causes {
		if i == 4 || k.Chance < 0.02 {
			break
		}
		t.say("%s", t.wrap(fmt.Sprintf("  %3.0f %%  %s: %s", 100*k.Chance, m.Causes[k.Cause].Part, m.Causes[k.Cause].Does)))
	}
	for _, x := range t.c.Explain().Moved {
		t.say("%s", t.wrap(fmt.Sprintf("  %s: %s, %s", m.Tests[x.Test].Title, x.Text, x.Words())))
	}
}

const nameHelp = `  fixed      that cure was done, and it runs: the record keeps what it was
  not        that cure was done, and it is still wrong: asks on from there
  more       asks on before anything is cured
  other      do another test: it lists them
  again      you measured something twice: it lists what was answered
  why        what is likeliest, and which answer moved what
  undo       take the last answer back
  quit       stop here; nothing is lost
`

// name says what it is and what to do; false where the talk is over.
func (t *talk) name() bool {
	m, r := t.c.Model(), t.c.Result()
	t.say("\n%s", sheet.TraceDocument(sheet.Trace{Book: t.book, Record: t.record, Case: t.c}).Text(t.p.Style()))
	first := r.Cures[0].Cure
	for {
		t.tell("Done? Type fixed (it runs), not (still wrong after that cure), more (ask on), undo or quit.")
		line, ok := t.read("> ")
		if !ok {
			return false
		}
		switch word, rest, _ := strings.Cut(strings.ToLower(line), " "); word {
		case "fixed":
			for _, k := range r.Causes {
				if m.Causes[k.Cause].Cure == first {
					t.record.Found = m.Causes[k.Cause].ID
					break
				}
			}
			t.kept()
			t.say("Good. It was: %s.", m.Causes[m.Cause(t.record.Found)].Does)
			return false
		case "not":
			told := trace.Told{Cured: m.Causes[m.Cures[first].Causes[0]].ID}
			if err := t.c.Take(t.book, told); err != nil {
				t.tell(upper(err.Error()) + ".")
				continue
			}
			t.record.Told = append(t.record.Told, told)
			t.record.Found = ""
			t.kept()
			return true
		case "more":
			rest := t.c.Rest()
			if rest.Test < 0 {
				t.say("There is nothing left to ask that would tell more.")
				continue
			}
			t.ask(rest.Test, "")
			return true
		case "undo":
			t.undo()
			return true
		case "why":
			t.why()
		case "other":
			if t.other(strings.TrimSpace(rest)) {
				return true
			}
		case "again":
			if t.again(strings.TrimSpace(rest)) {
				return true
			}
		case "?", "help":
			t.say("")
			t.helps(nameHelp)
		case "quit", "q":
			return false
		default:
			t.tell("That is none of these; ? says what each does.")
		}
	}
}

func (t *talk) wrap(s string) string { return wrap(s, t.p.Style().Width) }

// wrap breaks a text at spaces where it is too wide. What stands first in a
// column of its own, such as a number, stays there, and later lines are set in
// to what stands behind it.
func wrap(s string, width int) string {
	if utf8.RuneCountInString(s) <= width {
		return s
	}
	head := len(s) - len(strings.TrimLeft(s, " "))
	hang := head + 2
	if end := strings.Index(s[head:], "  "); end > 0 && head+end < width/4 {
		head = len(s) - len(strings.TrimLeft(s[head+end:], " "))
		hang = utf8.RuneCountInString(s[:head])
	} else if head == 0 {
		hang = 2
	}
	var b strings.Builder
	b.WriteString(s[:head])
	column := utf8.RuneCountInString(s[:head])
	for i, word := range strings.Fields(s[head:]) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case column+1+n > width:
			b.WriteString("\n" + strings.Repeat(" ", hang))
			column = hang
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += n
	}
	return b.String()
}

func upper(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// played plays a record through from its complaint: what the program would ask,
// and what was answered, then the sheet.
func played(p *shell.Program, book *specs.Book, record *trace.Record, file string) string {
	var b strings.Builder
	width := p.Style().Width
	b.WriteString(wrap("An invented engine, played through: each test as it is asked for, with the answer. Then the sheet to hand on.", width) + "\n\n")
	start := *record
	start.Told = nil
	c, err := start.Open(book, file)
	if err != nil {
		return b.String() // the whole record was opened before
	}
	m := c.Model()
	for n, told := range record.Told {
		if told.Cured != "" || c.Take(book, told) != nil {
			break
		}
		answers := c.Answers()
		answer := answers[len(answers)-1]
		title := m.Tests[answer.Test].Title
		if answer.Test == 0 {
			title = "the caller says"
		}
		b.WriteString(wrap(fmt.Sprintf("%d %s: %s", n+1, upper(title), m.AnswerText(answer)), width) + "\n")
		k := c.Result().Causes[0]
		b.WriteString(wrap(fmt.Sprintf("    likeliest now, %.0f %%: %s, %s", 100*k.Chance, m.Causes[k.Cause].Part, m.Causes[k.Cause].Does), width) + "\n")
	}
	if c, err = record.Open(book, file); err != nil {
		return b.String()
	}
	b.WriteString("\n" + sheet.TraceDocument(sheet.Trace{Book: book, Record: record, Case: c}).Text(p.Style()))
	return b.String()
}
