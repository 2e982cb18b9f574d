package sheet

import (
	_ "embed"
	"slices"
)

//go:embed document.json
var documentSchema []byte

// Schema returns the JSON Schema (draft-07) of what [Document.JSON] writes.
func Schema() []byte { return slices.Clone(documentSchema) }

// JSON writes the document as JSON, ended by a newline: every word and figure
// of the other forms, pictures as SVG text; a finding's block holds its place in
// the list of findings. Its schema is [Schema]. Lists are never null.
func (d *Document) JSON() []byte {
	type fact struct {
		Name string `json:"name"`
		Text string `json:"text"`
	}
	facts := func(list []Fact) []fact {
		out := []fact{}
		for _, f := range list {
			out = append(out, fact(f))
		}
		return out
	}
	type column struct {
		Title string `json:"title"`
		Right bool   `json:"right"`
		Box   bool   `json:"box"`
	}
	type section struct {
		Title  string `json:"title"`
		Intro  string `json:"intro"`
		Blocks []any  `json:"blocks"`
	}
	type finding struct {
		Rule  string `json:"rule"`
		Grade string `json:"grade"`
		Label string `json:"label"`
		Head  string `json:"head"`
		Lines []fact `json:"lines"`
	}
	type verdict struct {
		Word  string `json:"word"`
		Text  string `json:"text"`
		Grade string `json:"grade"`
	}
	out := struct {
		Book     bookJSON  `json:"book"`
		Kind     string    `json:"kind"`
		Title    string    `json:"title"`
		Invented string    `json:"invented"`
		Facts    []fact    `json:"facts"`
		Note     string    `json:"note"`
		Verdict  verdict   `json:"verdict"`
		Findings []finding `json:"findings"`
		Sections []section `json:"sections"`
		Sources  []string  `json:"sources"`
		Date     string    `json:"date"`
		Footnote string    `json:"footnote"`
	}{
		Book: bookJSON{d.Footer.BookVersion, d.Footer.BookDigest}, Kind: d.Kind, Title: d.Title, Invented: d.Invented, Facts: facts(d.Facts),
		Verdict: verdict{d.Verdict.Word, d.Verdict.Text, string(d.Verdict.Grade)}, Sections: []section{}, Findings: []finding{},
		Sources: notNil(d.Footer.Sources), Date: d.Footer.Date, Footnote: d.Footer.Note, Note: d.Note,
	}
	for _, s := range d.Sections {
		js := section{s.Title, s.Intro, []any{}}
		for _, b := range s.Blocks {
			var one any
			switch b := b.(type) {
			case Paragraph:
				one = struct {
					Block string `json:"block"`
					Text  string `json:"text"`
				}{"paragraph", b.Text}
			case List:
				one = struct {
					Block    string   `json:"block"`
					Items    []string `json:"items"`
					Numbered bool     `json:"numbered"`
				}{"list", notNil(b.Items), b.Numbered}
			case Facts:
				one = struct {
					Block string `json:"block"`
					Facts []fact `json:"facts"`
				}{"facts", facts(b)}
			case Finding:
				one = struct {
					Block   string `json:"block"`
					Finding int    `json:"finding"`
				}{"finding", len(out.Findings)}
				out.Findings = append(out.Findings, finding{b.Rule, string(b.Grade), b.Label, b.Head, facts(b.Lines)})
			case Entry:
				one = struct {
					Block string `json:"block"`
					Head  string `json:"head"`
					Text  string `json:"text"`
					Lines []fact `json:"lines"`
				}{"entry", b.Head, b.Text, facts(b.Lines)}
			case Table:
				columns := []column{}
				for _, c := range b.Columns {
					columns = append(columns, column(c))
				}
				rows := [][]string{}
				for _, r := range b.Rows {
					rows = append(rows, notNil(r))
				}
				one = struct {
					Block   string     `json:"block"`
					Title   string     `json:"title"`
					Columns []column   `json:"columns"`
					Rows    [][]string `json:"rows"`
				}{"table", b.Title, columns, rows}
			case Step:
				one = struct {
					Block    string   `json:"block"`
					Number   string   `json:"number"`
					Text     string   `json:"text"`
					Lines    []fact   `json:"lines"`
					Cautions []string `json:"cautions"`
				}{"step", b.Number, b.Text, facts(b.Lines), notNil(b.Cautions)}
			case Caution:
				one = struct {
					Block string `json:"block"`
					ID    string `json:"id"`
					Text  string `json:"text"`
				}{"caution", b.ID, b.Text}
			case Picture:
				one = struct {
					Block string   `json:"block"`
					Name  string   `json:"name"`
					Title string   `json:"title"`
					SVG   string   `json:"svg"`
					Words []string `json:"words"`
				}{"picture", b.Name, b.Title, string(b.SVG), notNil(b.Words)}
			}
			js.Blocks = append(js.Blocks, one)
		}
		out.Sections = append(out.Sections, js)
	}
	return encode(out)
}
