package main

import (
	"fmt"
	"strconv"
	"strings"

	"gapbook.example/examples/shell"
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
	// over is true once the person has gone.
	over bool
}

func newTalk(p *shell.Program, book *specs.Book, record *trace.Record, save string) *talk {
	return &talk{p: p, book: book, record: record, save: save, lines: newLines(p.Stdin), warned: map[string]bool{}, asked: map[string]bool{}}
}

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

const talkHelp = `
  type      the number or word of an answer, or what the meter showed with its
            unit: 4.1 Ω, 4.1 ohm, 0.2 V, 18 thou, OL for out of range
  skip      it cannot be done here, or you cannot reach it
  undo      take the last answer back, back to what is fitted
  why       what is likeliest so far, and which answer moved what
  other     do another test first: it lists them
  again     you measured something twice: name it and give the second answer
  quit      stop here; nothing is lost
`

func (t *talk) run(file string) int {
	if err := t.keep(); err != nil { // before anything is asked in vain
		return t.p.Fail(err)
	}
	t.say("Answer with a number, a word or a reading. ? lists what else you can type.")
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
			t.ask(step.Test, "Worth reading twice: "+t.c.AgainWords(step)+".")
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
func (t *talk) keep() error {
	if t.save == "" {
		return nil
	}
	if err := replace(t.save, t.record.Marshal()); err != nil {
		return fmt.Errorf("-save: %w", err)
	}
	return nil
}

// kept keeps the record, and says where that does not work.
func (t *talk) kept() {
	if err := t.keep(); err != nil {
		t.say("%s", t.wrap(upper(err.Error())+"."))
	}
}

// leave says how to go on.
func (t *talk) leave() int {
	if err := t.keep(); err != nil {
		return t.p.Fail(err)
	}
	switch {
	case t.save != "":
		t.say("\nSaved. To go on: go run ./examples/trace -ask -save %s %s", t.save, t.save)
	case len(t.record.Told)+len(t.record.Seen) > 0:
		t.say("\n%s", t.wrap("Nothing is kept without -save FILE. To go on later, put what follows into a file, and run: go run ./examples/trace -ask -save FILE FILE"))
		t.say("\n%s", strings.TrimSuffix(string(t.record.Marshal()), "\n"))
	}
	if t.c == nil {
		return shell.Good
	}
	return exit(t.c)
}

// ask asks one test until it has an answer, or the person wants something else.
func (t *talk) ask(test int, lead string) {
	m := t.c.Model()
	x := &m.Tests[test]
	t.say("")
	if lead != "" {
		t.say("%s", t.wrap(lead))
	}
	if test == 0 {
		t.say("What does it do?")
	} else {
		step := sheet.TestStep(t.book, t.c, test, "")
		t.say("%s", t.wrap(step.Text))
		for _, l := range step.Lines {
			t.say("%s", t.wrap("  "+l.Name+": "+l.Text))
		}
		for _, caution := range step.Cautions {
			if !t.warned[caution] {
				t.warned[caution] = true
				t.say("%s", t.wrap("  ! "+caution))
			}
		}
	}
	for i, a := range x.FaultTest.Answers {
		t.say("  %d  %s", i+1, a.Text)
	}
	for {
		line, ok := t.read("> ")
		if !ok {
			return
		}
		switch word, rest, _ := strings.Cut(line, " "); word {
		case "?", "help":
			t.say(talkHelp)
		case "quit", "q":
			t.over = true
			return
		case "undo":
			t.undo()
			return
		case "why":
			t.why()
		case "other":
			if t.other(rest) {
				return
			}
		case "again":
			if t.again(rest) {
				return
			}
		default:
			if t.take(x.ID, line) {
				return
			}
		}
	}
}

// take tells the case an answer and records it; false where it cannot be used.
func (t *talk) take(test, text string) bool {
	m := t.c.Model()
	if at := m.Test(test); at >= 0 {
		// The record keeps the word: a number means nothing without its list.
		answers := m.Tests[at].FaultTest.Answers
		if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(answers) {
			text = answers[n-1].Word
		}
	}
	told := trace.Told{Test: test, Text: text}
	if err := t.c.Take(t.book, told); err != nil {
		t.say("%s", t.wrap(upper(err.Error())+"."))
		return false
	}
	t.record.Told = append(t.record.Told, told)
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

// other asks the test that the person names, or lists those that there are.
func (t *talk) other(id string) bool {
	m := t.c.Model()
	if at := m.Test(id); at > 0 {
		t.ask(at, "")
		return true
	}
	if id != "" {
		t.say("There is no test %q here.", id)
	}
	t.say("Type other and one of:")
	for _, x := range m.Tests[1:] {
		t.say("  %-24s %s", x.ID, x.Title)
	}
	return false
}

// again takes a second answer to a test: "again primary-ohms 4.0 Ω".
func (t *talk) again(rest string) bool {
	id, text, ok := strings.Cut(rest, " ")
	if !ok {
		t.say("Write again, the test, and the second answer. You have answered:")
		for _, x := range t.record.Told {
			if x.Test != "" {
				t.say("  %-24s %s", x.Test, x.Text)
			}
		}
		return false
	}
	return t.take(id, text)
}

// name says what it is and what to do; false where the talk is over.
func (t *talk) name() bool {
	m, r := t.c.Model(), t.c.Result()
	t.say("\n%s", sheet.TraceDocument(sheet.Trace{Book: t.book, Record: t.record, Case: t.c}).Text(t.p.Style()))
	first := r.Cures[0].Cure
	for {
		line, ok := t.read("Done? Type fixed (it runs), not (still wrong after that cure), more (ask on), undo or quit.\n> ")
		if !ok {
			return false
		}
		switch line {
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
				t.say("%s", upper(err.Error()))
				continue
			}
			t.record.Told = append(t.record.Told, told)
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
		case "?", "help":
			t.say(talkHelp)
		case "quit", "q":
			return false
		default:
			t.say("Type fixed, not, more, undo or quit.")
		}
	}
}

func (t *talk) wrap(s string) string { return wrap(s, t.p.Style().Width) }

// wrap breaks a text at spaces, later lines set in by four.
func wrap(s string, width int) string {
	indent := len(s) - len(strings.TrimLeft(s, " "))
	var b strings.Builder
	column := 0
	for i, word := range strings.Fields(s) {
		n := len([]rune(word))
		switch {
		case i == 0:
			b.WriteString(strings.Repeat(" ", indent))
			column = indent
		case column+1+n > width:
			b.WriteString("\n" + strings.Repeat(" ", indent+2))
			column = indent + 2
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
