// Command lookup finds engines in the book and prints every figure with its source.
package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition/sheet"
	"gapbook.example/specs"
)

const usage = `lookup: what the book holds about an engine, with who says so.

  lookup WORDS...   engines whose maker, model or kind fits the words; slips
                    of the pen are forgiven. One engine found is shown whole.
  lookup ID         one engine by its id
  lookup            what the book holds, in numbers

  -json        as JSON
  -all         every engine (-json for the whole book as data)
  -specs DIR   your own tables, laid over the book

For example:

  go run ./examples/lookup generator single

Ends with 0 where something was found, 2 where nothing was.
`

// maxList is how many engines a list shows before it asks for another word.
const maxList = 24

func main() { shell.Main(run, usage) }

func run(p *shell.Program) int {
	all := p.Flags.Bool("all", false, "")
	if code, done := p.Parse(); done {
		return code
	}
	book, err := p.Book()
	if err != nil {
		return p.Fail(err)
	}
	query := strings.Join(p.Flags.Args(), " ")
	switch {
	case query == "-":
		src, err := p.Input("-")
		if err != nil {
			return p.Fail(err)
		}
		query = strings.TrimSpace(string(src))
		if len(query) > 400 || query == "" {
			return p.Fail(errors.New("standard input: write a few words, such as a maker and a model"))
		}
	case query == "" && !*all:
		return summary(p, book)
	}
	if *all {
		engines := slices.Collect(book.Engines())
		if p.JSON {
			p.Stdout.Write(sheet.EnginesJSON(book, engines))
			return shell.Good
		}
		var list []specs.Match
		for e := range book.Entries() {
			list = append(list, specs.Match{Entry: e})
		}
		fmt.Fprint(p.Stdout, sheet.Matches(list, p.Style()))
		return shell.Good
	}
	if e, err := book.Engine(query); err == nil {
		return show(p, book, []*specs.Engine{e})
	}
	found := book.Find(query)
	if len(found) == 0 {
		return p.Fail(nothing(book, query))
	}
	if p.JSON {
		var engines []*specs.Engine
		for _, m := range found {
			e, _ := book.Engine(m.Entry.ID)
			engines = append(engines, e)
		}
		return show(p, book, engines)
	}
	if len(found) == 1 {
		e, _ := book.Engine(found[0].Entry.ID)
		if !found[0].Sure {
			fmt.Fprintf(p.Stdout, "Nothing is spelled %q; this is the nearest.\n\n", query)
		}
		return show(p, book, []*specs.Engine{e})
	}
	fmt.Fprintf(p.Stdout, "%d engines fit %q", len(found), query)
	if !found[0].Sure {
		fmt.Fprint(p.Stdout, " (nearest spelling)")
	}
	fmt.Fprint(p.Stdout, ":\n\n")
	more := len(found) - maxList
	if more > 0 {
		found = found[:maxList]
	}
	fmt.Fprint(p.Stdout, sheet.Matches(found, p.Style()))
	if more > 0 {
		fmt.Fprintf(p.Stdout, "\n... and %d more: add a word, such as the model.\n", more)
	}
	fmt.Fprintf(p.Stdout, "\nShow one whole: lookup %s\n", found[0].Entry.ID)
	return shell.Good
}

func show(p *shell.Program, book *specs.Book, engines []*specs.Engine) int {
	if p.JSON {
		p.Stdout.Write(sheet.EnginesJSON(book, engines))
		return shell.Good
	}
	for _, e := range engines {
		fmt.Fprint(p.Stdout, sheet.Engine(book, e, p.Style()))
	}
	return shell.Good
}

// nothing says that nothing fits, and which of the words did.
func nothing(book *specs.Book, query string) error {
	var known []string
	for _, w := range strings.Fields(query) {
		if n := len(book.Find(w)); n > 0 {
			known = append(known, fmt.Sprintf("%q alone fits %d", w, n))
		}
	}
	text := fmt.Sprintf("the book has no engine that fits %q", query)
	if len(known) > 0 && len(strings.Fields(query)) > 1 {
		text += "; " + strings.Join(known, ", ")
	}
	return errors.New(text)
}

func summary(p *shell.Program, book *specs.Book) int {
	if p.JSON {
		p.Stdout.Write(sheet.EnginesJSON(book, nil))
		return shell.Good
	}
	fmt.Fprint(p.Stdout, sheet.Summary(book, p.Style()))
	return shell.Good
}
