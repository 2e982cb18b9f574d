//go:build browser

package sheet

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// kindsOfMarkdown parses texts with a public parser of CommonMark and tables,
// whose folder GAPBOOK_MARKDOWN_IT names, HTML and bare links let through, and
// returns the kinds of element of each in order, neighbours of one kind of text
// as one.
func kindsOfMarkdown(t *testing.T, texts []string) []string {
	t.Helper()
	if os.Getenv("GAPBOOK_MARKDOWN_IT") == "" {
		t.Fatal("GAPBOOK_MARKDOWN_IT does not name the parser's folder")
	}
	in, err := json.Marshal(texts)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", "-e", `
const md = require(process.env.GAPBOOK_MARKDOWN_IT)({html: true, linkify: true});
const kinds = text => {
  const out = [], add = k => { if (k === "text_special" || k === "entity") k = "text"; if (k !== "text" || out[out.length - 1] !== "text") out.push(k); };
  const walk = list => { for (const t of list) { if (t.children && t.type !== "image") walk(t.children); else add(t.type + (t.tag ? " " + t.tag : "")); } };
  walk(md.parse(text, {}));
  return out.join("\n");
};
let s = ""; process.stdin.on("data", d => s += d).on("end", () => console.log(JSON.stringify(JSON.parse(s).map(kinds))));`)
	cmd.Stdin = bytes.NewReader(in)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("node: %v", err)
	}
	var kinds []string
	if err := json.Unmarshal(out, &kinds); err != nil || len(kinds) != len(texts) {
		t.Fatalf("%v: %.200s", err, out)
	}
	return kinds
}

// Hostile text makes no element of Markdown that harmless text does not make,
// wherever it stands in a document.
func TestBrowserMarkdown(t *testing.T) {
	picture := func(string) string { return "picture.svg" }
	texts := []string{everyBlock("plain").Markdown(picture)}
	tried := []string{"plain"}
	for _, s := range append(hostile, "~~~", "    indented", "* star", "+ plus", "2) two", "[a]: b", "[^1]", "a  \nb", "Setext\n===", "!!", "<b>", "&copy;", "\\<b>", "a|b", "|", ":---", "- [x] done", "http://x.invalid", "mailto:x@example.invalid", "ftp://x", "x.invalid", "**", "_a_", "<!--x-->", "<?x?>", "<!X>", "``` ` ```", "\u00a0- x", "\t- x", ". x", "1", "1.", "-", "#", "=", "==", "--") {
		if strings.TrimSpace(clean(s, false)) == "" {
			continue
		}
		texts, tried = append(texts, everyBlock(s).Markdown(picture)), append(tried, s)
	}
	kinds := kindsOfMarkdown(t, texts)
	for _, want := range []string{"table_open", "blockquote_open", "heading_open h2", "image img", "em_open", "bullet_list_open", "ordered_list_open"} {
		if !strings.Contains(kinds[0], want) {
			t.Fatalf("harmless text makes no %s:\n%s", want, kinds[0])
		}
	}
	for i, k := range kinds {
		if k != kinds[0] {
			was, is := strings.Split(kinds[0], "\n"), strings.Split(k, "\n")
			at := 0
			for at < min(len(was), len(is)) && was[at] == is[at] {
				at++
			}
			t.Errorf("%q: element %d is %q, want %q", tried[i], at, is[at:min(at+4, len(is))], was[at:min(at+4, len(was))])
		}
	}
}
