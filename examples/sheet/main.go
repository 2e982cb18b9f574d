// Command sheet writes a result down: to hang up, hand on, print or paste.
package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"gapbook.example/examples/jobs"
	"gapbook.example/examples/shell"
	"gapbook.example/ignition"
	"gapbook.example/ignition/bench"
	"gapbook.example/ignition/sheet"
	"gapbook.example/ignition/spark"
	"gapbook.example/specs"
)

const usage = `sheet: a bench sheet, wiring diagram, setting card, spark or page to keep.

  sheet                     an invented job, to see what it looks like
  sheet FILE.toml           a job, harness, setting case, spark case, conversion
                            job or trace record; - reads standard input
  sheet -engine ID          what the book holds about one engine
  sheet -engine ID -about spark
                            the spark of that engine; -system SLUG names the
                            kind of ignition where the record does not
  sheet -ask QUESTION FILE.toml | -engine ID
                            a page of readings to take to the shed, for the
                            question no-spark, weak-spark, setting, everything
  sheet -ask QUESTION -answers FILE FILE.toml | -engine ID
                            the same page filled in, judged: a line a reading,
                            "3: 11.2 kΩ" or "7b: 5 kΩ"

  -as FORM     text (default), markdown, html, json, svg (one picture)
  -picture NAME  which picture, with -as svg; without it the first
  -o FILE      write to a file; "-o -" writes to standard output. The pictures
               of a Markdown page stand beside it. Never over a file that is
               there, but with
  -force       which replaces it
  -date TEXT   a date for the foot of the page; none is printed otherwise
  -page N      which page, where there are more than 100 findings
  -json        the same as -as json
  -schema      the JSON Schema of that form
  -specs DIR   your own tables, laid over the book

For example, to paste into a log; and a page for the wall, to print from a
browser (with its own print to a PDF file):

  go run ./examples/sheet examples/jobs/sawbench.toml -as markdown
  go run ./examples/sheet JOB.toml -as html -o PAGE.html

Ends with 0 where no fault was found, 1 with a fault, 2 on bad input.
`

// defaultJob is what runs when nothing is asked.
const defaultJob = "mixer.toml"

func main() { shell.Main(run, usage) }

// asked is what the flags say.
type asked struct {
	engine, about, system       string
	question, answers           string
	form, picture, output, date string
	page                        int
	force                       bool
}

func run(p *shell.Program) int {
	var a asked
	p.Flags.StringVar(&a.engine, "engine", "", "")
	p.Flags.StringVar(&a.about, "about", "", "")
	p.Flags.StringVar(&a.system, "system", "", "")
	p.Flags.StringVar(&a.question, "ask", "", "")
	p.Flags.StringVar(&a.answers, "answers", "", "")
	p.Flags.StringVar(&a.form, "as", "", "")
	p.Flags.StringVar(&a.picture, "picture", "", "")
	p.Flags.StringVar(&a.output, "o", "-", "")
	p.Flags.StringVar(&a.date, "date", "", "")
	p.Flags.IntVar(&a.page, "page", 1, "")
	p.Flags.BoolVar(&a.force, "force", false, "")
	schema := p.Flags.Bool("schema", false, "")
	if code, done := p.Parse(); done {
		return code
	}
	if *schema {
		p.Stdout.Write(sheet.Schema())
		return shell.Good
	}
	if err := a.settle(p); err != nil {
		return p.Fail(err)
	}
	book, err := p.Book()
	if err != nil {
		return p.Fail(err)
	}
	doc, fault, err := a.document(p, book)
	if err != nil {
		return p.Fail(err)
	}
	if a.page < 1 || a.page > doc.Pages() {
		return p.Fail(fmt.Errorf("-page %d: the sheet has pages 1 to %d", a.page, doc.Pages()))
	}
	doc.Footer.Date = a.date
	if err := a.write(p, doc.Page(a.page)); err != nil {
		return p.Fail(err)
	}
	if fault {
		return shell.Fault
	}
	return shell.Good
}

// forms are the values of -as.
var forms = []string{"text", "markdown", "html", "json", "svg"}

// settle checks the flags against each other.
func (a *asked) settle(p *shell.Program) error {
	if p.JSON {
		if a.form != "" && a.form != "json" {
			return fmt.Errorf("-json and -as %s were both given: take one", a.form)
		}
		a.form = "json"
	}
	if a.form == "" {
		a.form = "text"
	}
	args := p.Flags.Args()
	switch {
	case !slices.Contains(forms, a.form):
		return fmt.Errorf("-as knows no form %q; it knows %s", a.form, strings.Join(forms, ", "))
	case len(args) > 1:
		return fmt.Errorf("one file at a time, and %d were named", len(args))
	case len(args) == 1 && a.engine != "":
		return fmt.Errorf("-engine %s and the file %s were both given: take one", a.engine, args[0])
	case a.about != "" && a.about != "spark":
		return fmt.Errorf("-about knows nothing of %q; it knows spark", a.about)
	case a.about != "" && a.engine == "":
		return fmt.Errorf("-about goes with -engine: a file says what it is by its tables")
	case a.about != "" && a.question != "":
		return fmt.Errorf("-about and -ask were both given: take one")
	case a.system != "" && a.about == "":
		return fmt.Errorf("-system goes with -about")
	case a.answers != "" && a.question == "":
		return fmt.Errorf("-answers goes with -ask: the numbers are those of its page")
	case a.picture != "" && a.form != "svg":
		return fmt.Errorf("-picture goes with -as svg")
	case a.output == "":
		return fmt.Errorf("-o names no file; -o - writes to standard output")
	}
	return nil
}

// document makes the document that the flags ask for, and says whether a fault
// was found.
func (a *asked) document(p *shell.Program, book *specs.Book) (doc *sheet.Document, fault bool, err error) {
	if a.question != "" {
		return a.readings(p, book)
	}
	if a.about != "" {
		report, err := spark.NewEngineReport(book, a.engine, a.system, spark.UsualSparks)
		if err != nil {
			return nil, false, err
		}
		doc, err := sheet.SparkDocument(report)
		return doc, false, err
	}
	if a.engine != "" {
		e, err := book.Engine(a.engine)
		if err != nil {
			return nil, false, err
		}
		return sheet.EngineDocument(book, e), false, nil
	}
	name, src, err := a.input(p)
	if err != nil {
		return nil, false, err
	}
	return laidOut(book, name, src)
}

// input is the file named, or the default job.
func (a *asked) input(p *shell.Program) (name string, src []byte, err error) {
	if args := p.Flags.Args(); len(args) == 1 {
		src, err = p.Input(args[0])
		return args[0], src, err
	}
	src, err = jobs.Files.ReadFile(defaultJob)
	return "examples/jobs/" + defaultJob, src, err
}

// readings makes the page of -ask, or judges what -answers wrote on it.
func (a *asked) readings(p *shell.Program, book *specs.Book) (doc *sheet.Document, fault bool, err error) {
	job := &bench.Job{Engine: a.engine, EngineAt: ignition.Position{File: "-engine"}}
	if a.engine == "" {
		name, src, err := a.input(p)
		if err != nil {
			return nil, false, err
		}
		if job, err = bench.ReadJob(name, src); err != nil {
			return nil, false, err
		}
	}
	page, err := bench.NewPage(book, job, a.question)
	if err != nil {
		return nil, false, err
	}
	if a.answers == "" {
		doc := sheet.PageDocument(page)
		doc.Illustrate(sheet.PagePictures(page)...)
		return doc, false, nil
	}
	src, err := p.Input(a.answers)
	if err != nil {
		return nil, false, err
	}
	filled, err := page.Job(a.answers, string(src))
	if err != nil {
		return nil, false, err
	}
	report, err := bench.Check(book, filled)
	if err != nil {
		return nil, false, err
	}
	return sheet.ReportDocument(report), report.Verdict == ignition.Unfit, nil
}

// write puts the document out in its form.
func (a *asked) write(p *shell.Program, doc *sheet.Document) error {
	switch a.form {
	case "text":
		style := p.Style()
		if a.output != "-" {
			style = sheet.Style{}
		}
		return a.put(p.Stdout, map[string][]byte{a.output: []byte(doc.Text(style))})
	case "html":
		return a.put(p.Stdout, map[string][]byte{a.output: doc.HTML()})
	case "json":
		return a.put(p.Stdout, map[string][]byte{a.output: doc.JSON()})
	case "svg":
		pictures := doc.Pictures()
		var names []string
		for _, one := range pictures {
			if a.picture == "" || one.Name == a.picture {
				return a.put(p.Stdout, map[string][]byte{a.output: one.SVG})
			}
			names = append(names, one.Name)
		}
		if len(pictures) == 0 {
			return fmt.Errorf("this sheet has no picture")
		}
		return fmt.Errorf("this sheet has no picture %q; it has: %s", a.picture, strings.Join(names, ", "))
	}
	files := map[string][]byte{}
	beside := func(string) string { return "" }
	if a.output != "-" {
		stem := strings.TrimSuffix(a.output, filepath.Ext(a.output))
		for _, one := range doc.Pictures() {
			files[stem+"-"+one.Name+".svg"] = one.SVG
		}
		beside = func(name string) string { return filepath.Base(stem) + "-" + name + ".svg" }
	}
	files[a.output] = []byte(doc.Markdown(beside))
	return a.put(p.Stdout, files)
}

// put writes files, all of them or none; the name "-" is standard output. Every
// file is written whole under a temporary name before the first gets its own.
func (a *asked) put(out io.Writer, files map[string][]byte) error {
	names := slices.Sorted(maps.Keys(files))
	there := map[string]bool{}
	for _, name := range names {
		info, err := os.Lstat(name)
		there[name] = err == nil
		switch {
		case name == "-" || err != nil:
		case !info.Mode().IsRegular():
			return fmt.Errorf("%s is no plain file and is left alone", name)
		case !a.force:
			return fmt.Errorf("%s is there already; -force replaces it", name)
		}
	}
	made := map[string]string{}
	defer func() {
		for _, temporary := range made {
			os.Remove(temporary) // does nothing once it has its own name
		}
	}()
	for _, name := range names {
		if name == "-" {
			continue
		}
		temporary, err := setDown(name, files[name])
		if temporary != "" {
			made[name] = temporary
		}
		if err != nil {
			return cannot(name, err)
		}
	}
	for i, name := range names {
		if name == "-" {
			if _, err := out.Write(files[name]); err != nil {
				return fmt.Errorf("standard output: %w", err)
			}
			continue
		}
		if err := os.Rename(made[name], name); err != nil {
			for _, done := range names[:i] {
				if !there[done] {
					os.Remove(done)
				}
			}
			return cannot(name, err)
		}
	}
	return nil
}

// setDown writes data to a file of a temporary name beside the one it is for.
func setDown(name string, data []byte) (temporary string, err error) {
	f, err := os.CreateTemp(filepath.Dir(name), ".sheet-*")
	if err != nil {
		return "", err
	}
	if _, err = f.Write(data); err == nil {
		err = f.Sync()
	}
	if shut := f.Close(); err == nil {
		err = shut
	}
	if err == nil {
		err = os.Chmod(f.Name(), 0o644)
	}
	return f.Name(), err
}

// cannot says in plain words that a file was not written.
func cannot(name string, err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		err = path.Err
	case errors.As(err, &link):
		err = link.Err
	}
	return fmt.Errorf("%s cannot be written: %w", name, err)
}
