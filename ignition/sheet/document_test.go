package sheet

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"
)

// everyBlock is a document with every kind of block, every text in it s.
func everyBlock(s string) *Document {
	lines := []Fact{{"", s}, {words.should, s}, {s, s}}
	return &Document{
		Kind: "bench", Title: s, Invented: s, Note: s, Facts: []Fact{{s, s}}, Verdict: Verdict{s, s, Bad},
		Sections: []Section{
			{Blocks: []Block{Finding{Grade: Bad, Label: "FAULT", Head: s, Lines: lines, Rule: "outside"}, Finding{Grade: Doubt, Label: "DOUBT", Head: s}}},
			{Title: s, Intro: s, Blocks: []Block{
				Paragraph{s}, List{Items: []string{s, s}}, List{Items: []string{s}, Numbered: true}, Facts{{s, s}}, Entry{s, s, lines},
				Table{Title: s, Columns: []Column{{Title: s}, {Title: s, Right: true}, {Title: s, Box: true}, {}}, Rows: [][]string{{s, s, s, s}, {s}}},
				Caution{Text: s, ID: "eyes"}, Step{Number: "1", Text: s, Lines: lines, Cautions: []string{s}}, Step{Number: "2", Text: s},
				Picture{Name: "wiring", Title: s, Narrow: []byte("<svg></svg>"), SVG: []byte("<svg xmlns=\"http://www.w3.org/2000/svg\"></svg>"), Words: []string{s, s}},
			}},
		},
		Footer: Footer{BookVersion: "1", BookDigest: "abc", Date: s, Sources: []string{s}, Note: s},
	}
}

// hostile are texts that try to become more than text.
var hostile = []string{
	"<script>alert(1)</script>", "</title><script>x", "</style></svg><img src=x onerror=y>", "\"><b onload='z'>", "a & b < c > d \"e\" 'f'",
	"# head", "- item", "1. item", "1) item", "> quote", "| a | b |", "---", "===", "+ plus", "```\ncode\n```", "`code`", "*bold* __bold__ ~~gone~~",
	"[name](https://example.invalid)", "![picture](x.png)", "https://example.invalid", "www.example.invalid", "someone@example.invalid", "<https://example.invalid>", "&lt;b&gt; &#60;",
	"$x$", "a\\", "\\", "\x1b[31mred\x1b[0m", "\x1b]8;;x\x07", "tab\there", "line\nbreak", "\r\n# head", "nul\x00", "\u202eturned", "\u2028line", "bad \xff utf8", "{{template}}", "]]>", "<!--", "-->", "<![CDATA[",
	strings.Repeat("long", 200), "",
}

// elements lists the elements of a page in order, with their classes.
func elements(t *testing.T, page []byte) []string {
	t.Helper()
	dec := xml.NewDecoder(bytes.NewReader(page))
	dec.Strict, dec.AutoClose, dec.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var out []string
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatalf("the page does not parse: %v", err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			name := e.Name.Local
			for _, a := range e.Attr {
				if a.Name.Local == "data-h" {
					name += " data-h" // its value is text
					continue
				}
				name += " " + a.Name.Local + "=" + a.Value
			}
			out = append(out, name)
		}
	}
}

func TestHostileTextStaysText(t *testing.T) {
	want := elements(t, everyBlock("plain").HTML())
	if len(want) < 50 {
		t.Fatalf("only %d elements were seen", len(want))
	}
	plain := everyBlock("plain").Markdown(nil)
	for _, s := range hostile {
		d := everyBlock(s)
		page := d.HTML()
		got := elements(t, page)
		if s != "" && fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%q makes other elements:\n%q\nwant\n%q", s, got, want)
		}
		for name, form := range map[string]string{"html": string(page), "text": d.Text(Style{}), "bold": strings.NewReplacer("\x1b[1m", "", "\x1b[0m", "").Replace(d.Text(Style{Bold: true})), "markdown": d.Markdown(nil)} {
			for _, r := range form {
				if r < 0x20 && r != '\n' || r >= 0x7f && r <= 0x9f || r == '\u202e' || r == '\u2028' {
					t.Errorf("%s of %q has the character %U", name, s, r)
					break
				}
			}
			if !utf8.ValidString(form) {
				t.Errorf("%s of %q is no UTF-8", name, s)
			}
		}
		if !json.Valid(d.JSON()) {
			t.Errorf("JSON of %q is none", s)
		}
		if s != "" && strings.Count(d.Markdown(nil), "\n") != strings.Count(plain, "\n") {
			t.Errorf("%q makes other lines of Markdown", s)
		}
	}
}

// What Markdown may read as more than text must not stand bare in it.
func TestMarked(t *testing.T) {
	bare := regexp.MustCompile("(^|[^\\\\])[`*_{}\\[\\]|~$#!]|<|>|://|@|www\\.|&[^a-z#]|^[-+=]|^[0-9]+[.)]( |$)")
	entity := regexp.MustCompile(`&(lt|gt|amp|#58|#46|#64);`)
	for _, s := range hostile {
		got := marked(s)
		if bare.MatchString(entity.ReplaceAllString(strings.ReplaceAll(got, `\\`, ""), "")) {
			t.Errorf("marked(%q) = %q", s, got)
		}
	}
	if got, want := marked("2 thou above the minimum (18.5 kΩ), 50 % sure"), "2 thou above the minimum (18.5 kΩ), 50 % sure"; got != want {
		t.Errorf("plain text becomes %q", got)
	}
}

func FuzzDocument(f *testing.F) {
	for _, s := range hostile {
		f.Add(s)
	}
	want := ""
	f.Fuzz(func(t *testing.T, s string) {
		if want == "" {
			want = fmt.Sprint(elements(t, everyBlock("plain").HTML()))
		}
		d := everyBlock(s)
		if got := fmt.Sprint(elements(t, d.HTML())); strings.TrimSpace(clean(s, false)) != "" && got != want {
			t.Errorf("%q makes other elements", s)
		}
		for line := range strings.Lines(d.Text(Style{Width: 40})) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 40 {
				t.Errorf("a line of %d columns: %q", n, line)
			}
		}
		if !json.Valid(d.JSON()) {
			t.Error("JSON is none")
		}
		d.Markdown(nil)
	})
}

func TestTextWidths(t *testing.T) {
	for _, s := range []string{"plain", "a longer text that needs more than one line wherever it stands on the page", strings.Repeat("long", 40)} {
		for _, width := range []int{0, 32, 40, 60, 80} {
			for line := range strings.Lines(everyBlock(s).Text(Style{Width: width})) {
				if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > (Style{Width: width}).width() {
					t.Errorf("width %d: a line of %d: %q", width, n, line)
				}
			}
		}
	}
}

func TestPages(t *testing.T) {
	var many []Block
	for i := range 10000 {
		many = append(many, Finding{Grade: Doubt, Label: "DOUBT", Head: "reading " + number(i)})
	}
	d := &Document{Title: "many", Sections: []Section{{Blocks: many}, {Title: "Then", Blocks: []Block{Paragraph{"the end"}}}}}
	if d.Pages() != 100 {
		t.Fatalf("%d pages", d.Pages())
	}
	seen := 0
	for n := 1; n <= d.Pages(); n++ {
		text := d.Page(n).Text(Style{})
		seen += strings.Count(text, "DOUBT reading ")
		if !strings.Contains(text, fmt.Sprintf("Page: %d of 100", n)) || !strings.Contains(text, "the end") {
			t.Fatalf("page %d:\n%s", n, text)
		}
	}
	if seen != 10000 {
		t.Errorf("%d findings on all pages", seen)
	}
	if size := len(d.Page(1).HTML()); size > 150<<10 {
		t.Errorf("a page of %d bytes", size)
	}
	if strings.Contains(d.Page(101).Text(Style{}), "DOUBT") {
		t.Error("a page past the last has findings")
	}
	one := everyBlock("plain")
	if one.Page(1) != one {
		t.Error("a short document is changed by paging")
	}
}

func TestEmptyDocument(t *testing.T) {
	d := &Document{}
	if text := d.Text(Style{}); strings.TrimSpace(text) != "" {
		t.Errorf("text %q", text)
	}
	elements(t, d.HTML())
	if !json.Valid(d.JSON()) || bytes.Contains(d.JSON(), []byte("null")) {
		t.Errorf("JSON %s", d.JSON())
	}
}
