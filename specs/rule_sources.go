package specs

import (
	"fmt"

	"gapbook.example/specs/gate"
)

// ruleSources wants a source to be one that a reader can find.
//
// Who published a document is half of finding it, and decides how far it is
// believed. Links are kept for government documents and for pages that exist
// only on the web; a book is cited as the book and the page, because a scan on
// somebody else's site moves and is not the book.
//
// Refused: a source without publisher; a link on a source of grade
// "workshop-book" or "maker-book", or on a figure read in one.
var ruleSources = lintRule{code: "source", table: func(l *linter, t *linted) {
	if s, ok := t.value.(*Source); ok {
		if s.Publisher == "" {
			l.at(t, t.doc.Root, "the source has no publisher", "write a government, the engine's maker or a description, such as publisher = \"independent workshop book\"")
		}
		if s.Link != "" && isBook(s) {
			l.at(t, t.doc.Root.Child("link"), linkOnBook(s), "take the link out")
		}
	}
	check := func(source, link string, n *gate.Node) {
		if s, ok := l.book.Source(source); ok && link != "" && isBook(s) {
			l.at(t, n.Child("link"), linkOnBook(s), "take the link out; title and place say where it stands")
		}
	}
	for _, c := range t.claims {
		check(c.Source, c.Link, c.node)
	}
	if e, ok := t.value.(*Engine); ok {
		for _, s := range e.SetAside {
			check(s.Source, s.Link, t.nodeAt(s.At))
		}
	}
}}

func linkOnBook(s *Source) string {
	return fmt.Sprintf("source %s is a document of grade %s, which is cited by title and page", s.ID, s.Grade)
}

// isBook reports whether a source is a printed book, cited as such.
func isBook(s *Source) bool {
	switch s.Grade {
	case "maker-book", "workshop-book", "reprint", "historic-handbook":
		return true
	}
	return false
}
