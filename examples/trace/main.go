// Command trace finds what is wrong with an engine that will not run: it asks
// for one look or reading after another, and says what follows.
package main

import (
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition"
	"gapbook.example/ignition/sheet"
	"gapbook.example/ignition/trace"
	"gapbook.example/specs"
)

const usage = `trace: what is wrong with an engine that will not run, asked step by step.

  trace                in a terminal: asks, from what is fitted to what to cure
                       else: an invented engine, played through
  trace RECORD.toml    what follows from the answers in a file; - reads
                       standard input
  trace -ask [RECORD.toml]
                       asks in any case, going on where the record stopped

  -save FILE   where asking writes the record, to hand on; a record that is
               there already is gone on from
  -quick       fewer questions, a little less sure
  -counts FILE your shop's own counts of faults and sights, to weigh by
  -count FILE  adds the record's fault (found = "...") and sights to a tally
  -markdown    the sheet as Markdown;  -html as a page
  -json        the answer as JSON
  -specs DIR   your own tables, laid over the book

For example:

  go run ./examples/trace examples/trace/cider-press.toml

Ends with 0 where no fault was found yet, 1 with a fault found, 2 on bad input.
Records: see cider-press.toml beside this program, and
"go doc ./ignition/trace ReadRecord".
`

//go:embed cider-press.toml
var ciderPress []byte

func main() { shell.Main(run, usage) }

func run(p *shell.Program) int {
	ask := p.Flags.Bool("ask", false, "")
	save := p.Flags.String("save", "", "")
	quick := p.Flags.Bool("quick", false, "")
	countsFile := p.Flags.String("counts", "", "")
	countInto := p.Flags.String("count", "", "")
	markdown := p.Flags.Bool("markdown", false, "")
	html := p.Flags.Bool("html", false, "")
	if code, done := p.Parse(); done {
		return code
	}
	book, err := p.Book()
	if err != nil {
		return p.Fail(err)
	}
	args := p.Flags.Args()
	if len(args) > 1 {
		return p.Fail(fmt.Errorf("one record at a time, and %d were named", len(args)))
	}
	forms := 0
	for _, on := range []bool{p.JSON, *markdown, *html} {
		if on {
			forms++
		}
	}
	if forms > 1 {
		return p.Fail(errors.New("-json, -markdown and -html are three forms of one answer: name one"))
	}
	var counts *trace.Counts
	if *countsFile != "" {
		src, err := p.Input(*countsFile)
		if err == nil {
			counts, err = trace.ReadCounts(book, *countsFile, src)
		}
		if err != nil {
			return p.Fail(err)
		}
	}
	record := &trace.Record{}
	file := "examples/trace/cider-press.toml"
	asking := *ask || len(args) == 0 && forms == 0 && terminal(p)
	if *save != "" {
		if !asking {
			return p.Fail(errors.New("-save is for asking: add -ask"))
		}
		if _, err := os.Stat(*save); err == nil {
			switch {
			case len(args) == 0:
				args = []string{*save}
			case !sameFile(args[0], *save):
				return p.Fail(fmt.Errorf("-save: %s is there already, and would be lost: name another file, or go on from it with -ask -save %s alone", *save, *save))
			}
		}
	}
	switch {
	case len(args) == 1:
		file = args[0]
		src, err := p.Input(file)
		if err == nil {
			record, err = trace.ReadRecord(book, file, src)
		}
		if err != nil {
			return p.Fail(err)
		}
	case !asking:
		if record, err = trace.ReadRecord(book, file, ciderPress); err != nil {
			return p.Fail(err)
		}
	}
	if *quick {
		record.Setting = "quick"
	}
	record.Facts.Counts = counts
	if asking {
		return newTalk(p, book, record, *save).run(file)
	}
	c, err := record.Open(book, file)
	if err != nil {
		return p.Fail(err)
	}
	if *countInto != "" {
		if err := count(p, book, record, c, *countInto); err != nil {
			return p.Fail(err)
		}
	}
	one := sheet.Trace{Book: book, Record: record, Case: c}
	switch {
	case p.JSON:
		p.Stdout.Write(sheet.TraceJSON(one))
	case *markdown:
		fmt.Fprint(p.Stdout, sheet.TraceDocument(one).Markdown(nil))
	case *html:
		p.Stdout.Write(sheet.TraceDocument(one).HTML())
	case len(args) == 0:
		fmt.Fprint(p.Stdout, played(p, book, record, file))
	default:
		fmt.Fprint(p.Stdout, sheet.TraceDocument(one).Text(p.Style()))
	}
	return exit(c)
}

func sameFile(a, b string) bool {
	one, err := os.Stat(a)
	if err != nil {
		return false
	}
	other, err := os.Stat(b)
	return err == nil && os.SameFile(one, other)
}

func exit(c *trace.Case) int {
	if sheet.TraceVerdict(c) == ignition.Unfit {
		return shell.Fault
	}
	return shell.Good
}

// terminal reports whether a person can be asked.
func terminal(p *shell.Program) bool {
	for _, stream := range []any{p.Stdin, p.Stdout} {
		f, ok := stream.(*os.File)
		if !ok {
			return false
		}
		info, err := f.Stat()
		if err != nil || info.Mode()&os.ModeCharDevice == 0 {
			return false
		}
	}
	return true
}

// count adds a finished record to a tally on disk.
func count(p *shell.Program, book *specs.Book, record *trace.Record, c *trace.Case, file string) error {
	if record.Found == "" {
		return errors.New(`-count needs to know what it was: write found = "points-film", or whichever fault it was, in the record`)
	}
	cause := c.Model().Cause(record.Found)
	if cause < 0 {
		return fmt.Errorf("found = %q is no fault of this engine", record.Found)
	}
	tally := &trace.Counts{}
	if _, err := os.Stat(file); !errors.Is(err, fs.ErrNotExist) {
		src, err := p.Input(file)
		if err != nil {
			return err
		}
		if tally, err = trace.ReadCounts(book, file, src); err != nil {
			return err
		}
	}
	if err := tally.Job(c.Model(), cause, c.Answers()); err != nil {
		return err
	}
	return os.WriteFile(file, tally.Marshal(), 0o644)
}
