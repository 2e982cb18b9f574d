package specs

import (
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
)

var sourceFields = []table.Field[Source]{
	table.Required(schemaField[Source]()),
	table.Required(table.ID("id", "the name tables cite, same as the file's", "orchard-manual-1958", func(s *Source) *string { return &s.ID })),
	table.Required(table.Text("title", "title of the document", "Service manual, pump engine", func(s *Source) *string { return &s.Title })),
	table.Text("number", "document number", "TM 5-0000-000-00", func(s *Source) *string { return &s.Number }),
	table.Text("edition", "edition or date", "second edition, 1958", func(s *Source) *string { return &s.Edition }),
	table.Text("publisher", "a government, the engine's maker, or a description", "independent workshop book", func(s *Source) *string { return &s.Publisher }),
	table.Required(table.Word("grade", "what kind of document it is", "maker-book", gradeNames(), func(s *Source, g string) { s.Grade = g })),
	table.Required(table.ID("origin", "shared by sources that are not independent of each other", "orchard", func(s *Source) *string { return &s.Origin })),
	table.Link("link", "https address, for government documents and web-only pages", "https://example.org/manual", func(s *Source) *string { return &s.Link }),
	table.Text("note", "a remark for the reader", "title page not seen", func(s *Source) *string { return &s.Note }),
}

// DecodeSource reads one source table, with every problem found.
func DecodeSource(file string, src []byte) (*Source, gate.Problems) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	return decodeSource(doc)
}

func decodeSource(doc *gate.Doc) (*Source, gate.Problems) {
	w := &table.Walker{File: doc.File}
	s := &Source{At: Position{File: doc.File, Line: 1, Col: 1}}
	table.Walk(w, doc.Root, sourceFields, s, nil)
	return table.Finish(w, s)
}
