package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition/sheet"
	"gapbook.example/specs"
)

// compare prints what changed between the book in a folder and the book as it
// is: the shipped one with -specs over it, or that in the folder named.
func compare(p *shell.Program, dir string, args []string) int {
	now, err := p.Book()
	if err != nil {
		return p.Fail(err)
	}
	if len(args) > 1 {
		return p.Fail(fmt.Errorf("-against compares with one book: name one folder, not %d", len(args)))
	}
	if len(args) == 1 {
		if now, err = open(now, args[0]); err != nil {
			return p.Fail(err)
		}
	}
	before, err := open(specs.Builtin(), dir)
	if err != nil {
		return p.Fail(err)
	}
	changes, err := specs.Compare(before, now)
	if err != nil {
		return p.Fail(err)
	}
	if p.JSON {
		changesJSON(p, now, changes)
	} else {
		fmt.Fprint(p.Stdout, note(before, now, changes).Markdown(func(string) string { return "" }))
	}
	for _, c := range changes {
		if c.Refused() {
			return shell.Fault
		}
	}
	return shell.Good
}

// note is the release note.
func note(before, now *specs.Book, changes []specs.Change) *sheet.Document {
	d := &sheet.Document{Kind: "changes", Title: "Changes of the book", Facts: []sheet.Fact{
		{Name: "from", Text: before.Version() + ", digest " + before.Digest()},
		{Name: "to", Text: now.Version() + ", digest " + now.Digest()},
	}}
	for _, s := range []struct {
		title string
		kind  specs.ChangeKind
	}{{"Added", specs.Added}, {"Changed", specs.Changed}, {"Status", specs.Moved}, {"Renamed", specs.Renamed}, {"Removed", specs.Removed}} {
		var items []string
		for _, c := range changes {
			if c.Kind == s.kind {
				items = append(items, line(c))
			}
		}
		if len(items) > 0 {
			d.Sections = append(d.Sections, sheet.Section{Title: fmt.Sprintf("%s (%d)", s.title, len(items)), Blocks: []sheet.Block{sheet.List{Items: items}}})
		}
	}
	if len(changes) == 0 {
		d.Sections = []sheet.Section{{Blocks: []sheet.Block{sheet.Paragraph{Text: "Nothing changed."}}}}
	}
	return d
}

func line(c specs.Change) string {
	head := c.Table
	if c.Path != "" {
		head += " " + c.Path
	}
	switch c.Kind {
	case specs.Added:
		return head + ": " + c.To
	case specs.Renamed:
		return c.From + " is " + c.To + " now; its old id still finds it"
	case specs.Removed:
		if c.Why != "" {
			return head + ": " + c.From + "; " + c.Why
		}
		if c.Refused() {
			return head + ": " + c.From + "; REFUSED: say in specs/frozen/gone.toml why it went"
		}
		return head + ": " + c.From
	}
	return strings.Join([]string{head + ": from", c.From, "to", c.To}, " ")
}

func changesJSON(p *shell.Program, now *specs.Book, changes []specs.Change) {
	type change struct {
		Kind    specs.ChangeKind `json:"kind"`
		Table   string           `json:"table"`
		Path    string           `json:"path"`
		From    string           `json:"from"`
		To      string           `json:"to"`
		Why     string           `json:"why"`
		Refused bool             `json:"refused"`
	}
	out := struct {
		Book     map[string]string `json:"book"`
		Findings []string          `json:"findings"`
		Changes  []change          `json:"changes"`
	}{map[string]string{"version": now.Version(), "digest": now.Digest()}, []string{}, []change{}}
	for _, c := range changes {
		out.Changes = append(out.Changes, change{c.Kind, c.Table, c.Path, c.From, c.To, c.Why, c.Refused()})
		if c.Refused() {
			out.Findings = append(out.Findings, line(c))
		}
	}
	enc := json.NewEncoder(p.Stdout)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	enc.Encode(out)
}
