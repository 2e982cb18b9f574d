// Command lint checks tables of the book and says everything that is wrong with
// them; it lays tables out, prints new ones to fill in, and compares two books.
package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"

	"gapbook.example/examples/shell"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
)

const usage = `lint: what is wrong with tables of the book, with the line and the cure.

  lint FILE...       tables you wrote, over the shipped book
  lint DIR...        all tables of a folder shaped like specs
  lint -             one table from standard input
  lint               an invented table, to see what it does
  lint -new KIND     a new table to fill in, such as: engine, source
  lint -against DIR  what changed since the book in DIR, as a release note;
                     FILE or DIR behind it is the book as it is now

  -fix         first lay the tables out as the book does: units spelled, keys
               in order, spaces and lines. Never a figure, never a word.
  -json        as JSON
  -specs DIR   your own tables, laid over the book; alone, those are linted

For example:

  go run ./examples/lint examples/lint/example

Ends with 0 where nothing is wrong, 1 where something is, 2 where a table
cannot be had at all.
`

func main() { shell.Main(run, usage) }

func run(p *shell.Program) int {
	layOut := p.Flags.Bool("fix", false, "")
	kind := p.Flags.String("new", "", "")
	against := p.Flags.String("against", "", "")
	if code, done := p.Parse(); done {
		return code
	}
	args := p.Flags.Args()
	switch {
	case *kind != "":
		return template(p, *kind)
	case *against != "":
		return compare(p, *against, args)
	}
	if len(args) == 0 && p.Specs != "" {
		args, p.Specs = []string{p.Specs}, "" // one's own tables are meant
	}
	base, err := p.Book()
	if err != nil {
		return p.Fail(err)
	}
	var fixed []fix
	if *layOut {
		if fixed, err = fixAll(args); err != nil {
			return p.Fail(err)
		}
	}
	var all result
	for _, g := range grouped(args) {
		r, err := g(p, base)
		if err != nil {
			return p.Fail(err)
		}
		all.book = r.book
		all.tables += r.tables
		all.problems = append(all.problems, r.problems...)
	}
	if p.JSON {
		return printJSON(p, all, fixed)
	}
	for _, f := range fixed {
		fmt.Fprintln(p.Stdout, shell.Printable(f.file)+": laid out anew")
		for _, r := range f.respelled {
			fmt.Fprintln(p.Stdout, "  "+shell.Printable(r))
		}
	}
	for _, one := range all.problems {
		fmt.Fprintln(p.Stdout, shell.Printable(one.Error()))
	}
	if len(args) == 0 {
		fmt.Fprint(p.Stdout, "The invented example of CONTRIBUTING: an engine and its source.\n")
	}
	fmt.Fprintf(p.Stdout, "%s in %s.\n", count(len(all.problems), "problem"), count(all.tables, "file"))
	return all.code()
}

func template(p *shell.Program, kind string) int {
	text, ok := specs.Template(kind)
	if !ok {
		hint := "; kinds are " + strings.Join(specs.SchemaKinds(), ", ")
		if near, ok := gate.Nearest(kind, specs.SchemaKinds()); ok {
			hint = fmt.Sprintf("; did you mean %q?", near)
		}
		return p.Fail(fmt.Errorf("there is no kind of table %q%s", kind, hint))
	}
	p.Stdout.Write(text)
	return shell.Good
}

// result is what lint found.
type result struct {
	book     *specs.Book
	tables   int
	problems gate.Problems
}

func (r result) code() int {
	if len(r.problems) > 0 {
		return shell.Fault
	}
	return shell.Good
}

func printJSON(p *shell.Program, r result, fixed []fix) int {
	type finding struct {
		File    string `json:"file"`
		Line    int    `json:"line"`
		Col     int    `json:"col"`
		Key     string `json:"key"`
		Code    string `json:"code"`
		Message string `json:"message"`
		Hint    string `json:"hint"`
	}
	var out struct {
		Book struct {
			Version string `json:"version"`
			Digest  string `json:"digest"`
		} `json:"book"`
		Tables   int       `json:"tables"`
		Fixed    []string  `json:"fixed"`
		Findings []finding `json:"findings"`
	}
	out.Book.Version, out.Book.Digest = r.book.Version(), r.book.Digest()
	out.Tables, out.Fixed, out.Findings = r.tables, []string{}, []finding{}
	for _, f := range fixed {
		out.Fixed = append(out.Fixed, f.file)
	}
	for _, one := range r.problems {
		out.Findings = append(out.Findings, finding(one))
	}
	enc := json.NewEncoder(p.Stdout)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(out); err != nil {
		return p.Fail(err)
	}
	return r.code()
}

func count(n int, what string) string {
	switch n {
	case 0:
		return "no " + what + "s"
	case 1:
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// A fix is a table that was laid out anew, and what is spelled otherwise in it.
type fix struct {
	file      string
	respelled []string // "\"3.5 kgm\" is now \"3.5 kgf·m\""
}

// respelled lists the values that are spelled otherwise in the second text, so
// that whoever typed the first sees that no figure was touched.
func respelled(before, after []byte) []string {
	was, problems := gate.Read("before", before)
	is, problems2 := gate.Read("after", after)
	if problems != nil || problems2 != nil {
		return nil
	}
	old := make(map[string]string)
	var walk func(n *gate.Node, do func(n *gate.Node, s string))
	walk = func(n *gate.Node, do func(n *gate.Node, s string)) {
		if s, ok := n.Value.(string); ok {
			do(n, s)
		}
		for _, c := range n.Items {
			walk(c, do)
		}
		for _, c := range n.Children {
			walk(c, do)
		}
	}
	walk(was.Root, func(n *gate.Node, s string) { old[n.Path] = s })
	var list []string
	walk(is.Root, func(n *gate.Node, s string) {
		if o := old[n.Path]; o != s && o != "" {
			list = append(list, fmt.Sprintf("%s: %q is now %q", n.Path, o, s))
		}
	})
	return list
}

// fixAll lays tables out in place and lists those that changed.
func fixAll(args []string) ([]fix, error) {
	if len(args) == 0 {
		return nil, errors.New("-fix needs the tables to lay out: name files or folders")
	}
	var fixed []fix
	for _, arg := range args {
		if arg == "-" {
			return nil, errors.New("-fix writes tables where they stand and cannot write standard input")
		}
		files, err := tablesOf(arg)
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			src, err := os.ReadFile(f)
			if err != nil {
				return nil, gate.Problems{{File: f, Code: "unreadable", Message: "the file cannot be read"}}
			}
			text, problems := specs.Fix(f, src)
			if problems != nil || string(text) == string(src) {
				continue // lint says what is wrong with it
			}
			if err := replace(f, text); err != nil {
				return nil, gate.Problems{{File: f, Code: "unwritable", Message: "the file cannot be written: " + err.Error()}}
			}
			fixed = append(fixed, fix{f, respelled(src, text)})
		}
	}
	return fixed, nil
}
