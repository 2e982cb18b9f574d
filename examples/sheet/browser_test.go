//go:build browser

package main

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// These tests open the pages in a real browser (chromium), with a public
// checker of accessibility whose file GAPBOOK_AXE names, and print them to PDF,
// whose words pdftotext finds.

// measure opens pages in frames of three widths and writes down what is wrong:
// what overflows, texts that overlap, errors, and what the checker objects to.
const measure = `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>measure</title></head><body>
<pre id="out">waiting</pre>
<script>
const checker = %s, pages = %s, widths = [360, 800, 1400];
const found = [];
function boxes(doc) {
  const out = [], walk = doc.createTreeWalker(doc.body, NodeFilter.SHOW_TEXT);
  for (let n = walk.nextNode(); n; n = walk.nextNode()) {
    if (!n.nodeValue.trim()) continue;
    const tag = n.parentElement.tagName.toLowerCase();
    if (tag === 'title' || tag === 'desc' || tag === 'style') continue;
    const style = doc.defaultView.getComputedStyle(n.parentElement);
    if (style.visibility === 'hidden' || n.parentElement.closest('thead') && doc.defaultView.getComputedStyle(n.parentElement.closest('thead')).position === 'absolute') continue;
    const r = doc.createRange(); r.selectNodeContents(n);
    for (const b of r.getClientRects()) if (b.width > 0.5 && b.height > 0.5) out.push([b.left, b.top, b.right, b.bottom, n.nodeValue.trim().slice(0, 40)]);
  }
  return out;
}
function look(page, width) {
  return new Promise(done => {
    const f = document.createElement('iframe');
    f.style.cssText = 'border:0;width:' + width + 'px;height:900px';
    f.title = 'page';
    f.srcdoc = page.html;
    f.onload = async () => {
      const doc = f.contentDocument, say = text => found.push(page.name + ' at ' + width + ' px: ' + text);
      f.contentWindow.onerror = e => say('error: ' + e);
      for (const d of doc.querySelectorAll('details')) d.open = true;
      if (doc.documentElement.scrollWidth > width) say('overflows to ' + doc.documentElement.scrollWidth);
      const b = boxes(doc);
      if (b.length < 10) say('only ' + b.length + ' texts');
      for (const x of b) if (x[0] < -0.5 || x[2] > width + 0.5) say('"' + x[4] + '" leaves the page');
      for (let i = 0; i < b.length; i++) for (let j = i + 1; j < b.length; j++) {
        const w = Math.min(b[i][2], b[j][2]) - Math.max(b[i][0], b[j][0]), h = Math.min(b[i][3], b[j][3]) - Math.max(b[i][1], b[j][1]);
        if (w > 1 && h > 0.35 * Math.min(b[i][3] - b[i][1], b[j][3] - b[j][1])) say('"' + b[i][4] + '" and "' + b[j][4] + '" overlap');
      }
      const s = doc.createElement('script');
      s.textContent = checker;
      doc.head.appendChild(s);
      try {
        const r = await f.contentWindow.axe.run(doc, {resultTypes: ['violations']});
        if (r.passes.length < 5) say('the checker passed only ' + r.passes.length + ' rules');
        for (const v of r.violations) say(v.id + ': ' + v.help + ': ' + v.nodes[0].html.slice(0, 200));
      } catch (e) { say('the checker: ' + e); }
      f.remove();
      done();
    };
    document.body.appendChild(f);
  });
}
(async () => {
  for (const p of pages) for (const w of widths) await look(p, w);
  document.getElementById('out').textContent = JSON.stringify(found);
  document.title = 'done';
})();
</script></body></html>`

type webPage struct {
	Name string `json:"name"`
	HTML string `json:"html"`
}

// pages are one of each kind of document.
func pages(t *testing.T) []webPage {
	t.Helper()
	var out []webPage
	for _, args := range browserPages {
		text, errs, code := call("", append([]string{"-as", "html"}, args...)...)
		if code == 2 {
			t.Fatalf("%v: %s", args, errs)
		}
		out = append(out, webPage{strings.Join(args, " "), text})
	}
	return out
}

// browserPages are the calls whose pages are opened.
var browserPages = [][]string{
	nil, {"../jobs/sawbench.toml"}, {"../wiring/pressing-floor.toml"}, {"../timing/orchard-pump.toml"}, {"../spark/pump.toml"}, {"../convert/creamery-pump.toml"}, {"../trace/cider-press.toml"}, {"-ask", "no-spark"}, {"-specs", "../house/shop", "-engine", "orchard-pump-6"},
}

func browser(t *testing.T, args ...string) []byte {
	t.Helper()
	cmd := exec.Command("chromium", append([]string{"--headless=new", "--no-sandbox", "--disable-gpu", "--user-data-dir=" + t.TempDir()}, args...)...)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("chromium: %v\n%s", err, errs.String())
	}
	return out
}

// checker is the accessibility checker's script.
func checker(t *testing.T) string {
	t.Helper()
	name := os.Getenv("GAPBOOK_AXE")
	data, err := os.ReadFile(name)
	if err != nil || len(data) < 100000 {
		t.Fatalf("GAPBOOK_AXE does not name the checker: %v", err)
	}
	return string(data)
}

// inScript writes a value as JavaScript that an HTML page can hold.
func inScript(t *testing.T, v any) string {
	t.Helper()
	data, err := json.Marshal(v) // writes < and > as escapes
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// objections opens pages in the browser and returns what is wrong with them.
func objections(t *testing.T, list []webPage, flags ...string) []string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "measure.html")
	if err := os.WriteFile(file, fmt.Appendf(nil, measure, inScript(t, checker(t)), inScript(t, list)), 0o600); err != nil {
		t.Fatal(err)
	}
	dom := browser(t, append(flags, "--virtual-time-budget=120000", "--dump-dom", "file://"+file)...)
	m := regexp.MustCompile(`(?s)<pre id="out">(.*?)</pre>`).FindSubmatch(dom)
	if m == nil {
		t.Fatalf("the browser wrote nothing down: %.300s", dom)
	}
	var out []string
	if err := json.Unmarshal([]byte(html.UnescapeString(string(m[1]))), &out); err != nil {
		t.Fatalf("%v: %.300s", err, m[1])
	}
	return out
}

func TestBrowserPages(t *testing.T) {
	for _, scheme := range []string{"1", "0"} { // light, dark
		for _, o := range objections(t, pages(t), "--blink-settings=preferredColorScheme="+scheme) {
			t.Errorf("scheme %s: %s", scheme, o)
		}
	}
}

// TestBrowserDark makes sure that the dark setting reaches the pages.
func TestBrowserDark(t *testing.T) {
	file := filepath.Join(t.TempDir(), "scheme.html")
	if err := os.WriteFile(file, []byte(`<!DOCTYPE html><p id="x"></p><script>x.textContent = matchMedia("(prefers-color-scheme:dark)").matches</script>`), 0o600); err != nil {
		t.Fatal(err)
	}
	for scheme, want := range map[string]string{"1": "false", "0": "true"} {
		if dom := browser(t, "--blink-settings=preferredColorScheme="+scheme, "--dump-dom", "file://"+file); !bytes.Contains(dom, []byte(">"+want+"<")) {
			t.Errorf("scheme %s: %s", scheme, dom)
		}
	}
}

// TestBrowserSchema holds the JSON form of every page to its published schema,
// by a public validator whose folder GAPBOOK_AJV names.
func TestBrowserSchema(t *testing.T) {
	dir := t.TempDir()
	var names []string
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	schema, _, _ := call("", "-schema")
	write("schema.json", schema)
	for i, args := range browserPages {
		out, _, _ := call("", append([]string{"-json"}, args...)...)
		name := fmt.Sprintf("good-%d.json", i)
		write(name, out)
		names = append(names, name)
	}
	write("bad.json", `{"book":{"version":"1"},"kind":"frob"}`)
	script := `const Ajv = require(process.env.GAPBOOK_AJV), fs = require("fs");
const check = new Ajv({allErrors: true, strict: false}).compile(JSON.parse(fs.readFileSync("schema.json")));
for (const f of process.argv.slice(1)) console.log(f, check(JSON.parse(fs.readFileSync(f))) ? "good" : "bad " + JSON.stringify(check.errors.slice(0, 3)));`
	cmd := exec.Command("node", append([]string{"-e", script, "bad.json"}, names...)...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != len(names)+1 || !strings.HasPrefix(lines[0], "bad.json bad") {
		t.Errorf("%s", out)
	}
	for _, l := range lines[1:] {
		if !strings.HasSuffix(l, " good") {
			t.Error(l)
		}
	}
}

// The measuring itself must see what is wrong.
func TestBrowserSeesFaults(t *testing.T) {
	bad := `<!DOCTYPE html><html><head><meta charset="utf-8"></head><body><div style="width:2000px">` + strings.Repeat("<p>wide text</p>", 12) +
		`</div><p style="position:absolute;top:50px;left:20px">upper text</p><p style="position:absolute;top:52px;left:22px;color:#eee">lower text</p><img src="data:,"></body></html>`
	got := strings.Join(objections(t, []webPage{{"bad", bad}}), "\n")
	for _, want := range []string{"overflows", "overlap", "html-has-lang", "image-alt", "color-contrast"} {
		if !strings.Contains(got, want) {
			t.Errorf("the browser does not object to %s:\n%s", want, got)
		}
	}
}

// TestBrowserPrints prints every page and wants every word of it inside the
// paper's edges and on no other word.
func TestBrowserPrints(t *testing.T) {
	for i, p := range pages(t) {
		for _, paper := range []string{"", "@page{size:letter}"} {
			dir := t.TempDir()
			file, pdf := filepath.Join(dir, "page.html"), filepath.Join(dir, "page.pdf")
			if err := os.WriteFile(file, []byte(strings.Replace(p.HTML, "</style>", paper+"</style>", 1)), 0o600); err != nil {
				t.Fatal(err)
			}
			browser(t, "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+file)
			out, err := exec.Command("pdftotext", "-bbox", pdf, "-").Output()
			if err != nil {
				t.Fatalf("pdftotext: %v", err)
			}
			words := pdfWords(t, out)
			if strings.Contains(p.HTML, "Wire 1 ") && !slices.ContainsFunc(words, func(w pdfWord) bool { return w.text == "Wire" }) {
				t.Errorf("%s: the words of the picture are not on paper", p.Name)
			}
			if len(words) < 50 {
				t.Errorf("page %d, %s: only %d words on paper", i, p.Name, len(words))
			}
			for j, w := range words {
				if w.x0 < 10 || w.y0 < 10 || w.x1 > w.wide-10 || w.y1 > w.high-10 {
					t.Errorf("%s: %q stands at the paper's edge", p.Name, w.text)
				}
				for _, v := range words[j+1:] {
					if v.page == w.page && min(v.x1, w.x1)-max(v.x0, w.x0) > 1 && min(v.y1, w.y1)-max(v.y0, w.y0) > 0.5*min(v.y1-v.y0, w.y1-w.y0) {
						t.Errorf("%s: %q and %q overlap on paper", p.Name, w.text, v.text)
					}
				}
			}
		}
	}
}

type pdfWord struct {
	page                       int
	x0, y0, x1, y1, wide, high float64
	text                       string
}

func pdfWords(t *testing.T, page []byte) []pdfWord {
	t.Helper()
	dec := xml.NewDecoder(bytes.NewReader(page))
	dec.Strict, dec.Entity = false, xml.HTMLEntity
	var out []pdfWord
	at := func(e xml.StartElement, name string) float64 {
		for _, a := range e.Attr {
			if a.Name.Local == name {
				x, err := strconv.ParseFloat(a.Value, 64)
				if err != nil {
					t.Fatal(err)
				}
				return x
			}
		}
		return 0
	}
	n, wide, high := 0, 0.0, 0.0
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "page":
				n++
				wide, high = at(e, "width"), at(e, "height")
			case "word":
				out = append(out, pdfWord{n, at(e, "xMin"), at(e, "yMin"), at(e, "xMax"), at(e, "yMax"), wide, high, ""})
			}
		case xml.CharData:
			if len(out) > 0 && out[len(out)-1].text == "" {
				out[len(out)-1].text = strings.TrimSpace(string(e))
			}
		}
	}
}

// TestBrowserMarkdown parses the Markdown of every kind of document with a
// public parser of CommonMark and tables, whose folder GAPBOOK_MARKDOWN_IT
// names: what stands in a title or a note makes no element that plain words do
// not make, and no document has HTML, code or links.
func TestBrowserMarkdown(t *testing.T) {
	if os.Getenv("GAPBOOK_MARKDOWN_IT") == "" {
		t.Fatal("GAPBOOK_MARKDOWN_IT does not name the parser's folder")
	}
	hostile := []string{"<script>x</script> & <b>", "# head", "- [ ] item", "1. item", "| a | b |", "```", "*bold* __x__ `y`", "[a](b) ![c](d)", "https://example.invalid", "> quote", "---", "===", "a\\\\"}
	field := regexp.MustCompile(`(?m)^(title|note) *= ".*"$`)
	var texts, names []string
	for _, args := range browserPages {
		file := ""
		if len(args) == 1 {
			file = args[0]
		}
		if file == "" {
			out, errs, code := call("", append([]string{"-as", "markdown"}, args...)...)
			if code == 2 {
				t.Fatalf("%v: %s", args, errs)
			}
			texts, names = append(texts, out), append(names, "")
			continue
		}
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, words := range append([]string{"plain words"}, hostile...) {
			spoiled := field.ReplaceAllStringFunc(string(src), func(line string) string {
				key, _, _ := strings.Cut(line, " ")
				return key + ` = "` + words + `"`
			})
			out, errs, code := call(spoiled, "-", "-as", "markdown")
			if code == 2 || spoiled == string(src) {
				t.Fatalf("%s with %q: %s", file, words, errs)
			}
			texts, names = append(texts, out), append(names, file+" with "+words)
		}
	}
	in, err := json.Marshal(texts)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", "-e", `
const md = require(process.env.GAPBOOK_MARKDOWN_IT)({html: true, linkify: true});
md.linkify.set({fuzzyLink: false}); // else battery.plus is taken for an address
let s = ""; process.stdin.on("data", d => s += d).on("end", () => console.log(JSON.stringify(JSON.parse(s).map(text => {
  const out = [], walk = list => { for (const t of list) { if (t.children && t.type !== "image") walk(t.children); else out.push(t.type === "text_special" ? "text" : t.type); } };
  walk(md.parse(text, {}));
  return out.filter((k, i) => k !== "text" || out[i - 1] !== "text").join(" ");
}))));`)
	cmd.Stdin = bytes.NewReader(in)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("node: %v", err)
	}
	var kinds []string
	if err := json.Unmarshal(out, &kinds); err != nil || len(kinds) != len(texts) {
		t.Fatalf("%v: %.200s", err, out)
	}
	allowed := regexp.MustCompile(`^((heading|paragraph|strong|em|bullet_list|ordered_list|list_item|blockquote|table|thead|tbody|tr|th|td)_(open|close)|text|hardbreak|softbreak|hr|image)$`)
	plain := ""
	for i, k := range kinds {
		for _, one := range strings.Fields(k) {
			if !allowed.MatchString(one) {
				t.Errorf("%s: a %s", names[i], one)
			}
		}
		switch {
		case strings.HasSuffix(names[i], " with plain words"):
			plain = k
		case names[i] != "" && k != plain:
			t.Errorf("%s makes other elements than plain words", names[i])
		}
	}
}
