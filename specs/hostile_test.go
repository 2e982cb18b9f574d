package specs_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"
	"unicode/utf8"

	"gapbook.example/ignition/bench"
	"gapbook.example/ignition/sheet"
	"gapbook.example/specs"
)

// tomlText spells a text as a TOML string, whatever is in it: a table may
// spell any character as \uXXXX.
func tomlText(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r > '~' && r < 0xA0 || r == 0x2028 || r == 0x202E || r == 0x200B || r == 0xFEFF:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// hostileBook lays one text into every place of a table that takes text.
func hostileBook(s string) fstest.MapFS {
	q := tomlText(s)
	engine := `#:schema ../schema/engine.json
schema = 1
id = "hostile"

[identity]
maker = ` + q + `
models = [` + q + `]
label = ` + q + `
class = ` + q + `
system = "battery-points"
note = ` + q + `

[points_gap.hostile-book]
nominal = "0.020 in"
place = ` + q + `
as_printed = ` + tomlText(".020 inch "+s) + `
basis = "published"
status = "single-source"
condition = ` + q + `
models = [` + q + `]
years = ` + q + `
test_points = ` + q + `
note = ` + q + `

[ignition_system.hostile-book]
text = ` + tomlText("x"+s) + `
place = ` + q + `
basis = "published"
status = "single-source"
`
	source := `#:schema ../schema/source.json
schema = 1
id = "hostile-book"
title = ` + tomlText("x"+s) + `
number = ` + q + `
edition = ` + q + `
publisher = ` + q + `
grade = "maker-book"
origin = "hostile"
note = ` + q + `
`
	return fstest.MapFS{"engines/hostile.toml": {Data: []byte(engine)}, "sources/hostile-book.toml": {Data: []byte(source)}}
}

// hostileTexts are those of the threat table: markup, terminal escapes,
// characters that look like others or turn the line round, people and parts.
// Each is refused by loading or by the lint.
var hostileTexts = []struct{ name, text string }{
	{"script", `"><script>alert(1)</script>`},
	{"end of CDATA", `]]>`},
	{"link of Markdown", `[x](javascript:alert(1))`},
	{"address", "https://example.invalid/x"},
	{"data address", "data:text/html,x"},
	{"terminal title", "\x1b]0;owned\x07"},
	{"terminal colour", "\x1b[31mred"},
	{"C1 control", "\u009b31mred"},
	{"line end", "line\nbreak"},
	{"carriage return", "line\rbreak"},
	{"tab", "tab\tstop"},
	{"delete", "a\x7fb"},
	{"direction turned", "gap \u202E031"},
	{"zero width", "ga\u200Bp"},
	{"line separator", "a\u2028b"},
	{"byte order mark", "a\uFEFFb"},
	{"no-break space", "0.020\u00A0in"},
	{"Cyrillic letter", "Orсhard"},
	{"Greek letter", "Οrchard"},
	{"kelvin sign", "4.7 \u212A"},
	{"long s", "ſpark"},
	{"ligature", "ﬁrst"},
	{"full width", "ｇap"},
	{"mathematics", "𝐠ap"},
	{"circled", "ⓖap"},
	{"ordinal for degree", "20 º BTDC"},
	{"accent alone", "Cafe\u0301"},
	{"modifier letter", "gapʺ"},
	{"phonetic letter", "ɡap"},
	{"emoji", "gap 🔥"},
	{"person", "thanks to Mr Example"},
	{"mail", "someone@example.invalid"},
	{"handle", "ask @someone"},
	{"mark of trade", "Orchard®"},
	{"too long", strings.Repeat("long ", 100)},
	{"very long", strings.Repeat("word ", 4000)},
}

// TestHostileNames lays hostile texts into a book and wants them refused by the
// lint, and harmless in every form of output for whoever does not lint.
func TestHostileNames(t *testing.T) {
	plain := pages(t, "plain words")
	for _, h := range hostileTexts {
		t.Run(h.name, func(t *testing.T) {
			book, err := specs.Builtin().Overlay(hostileBook(h.text))
			if err != nil {
				return // refused at the door
			}
			refused := false
			for _, p := range book.LintFiles("engines/hostile.toml", "sources/hostile-book.toml") {
				switch p.Code {
				case "characters", "names", "link", "length":
					refused = true
				}
				if i := strings.IndexFunc(p.Error(), func(r rune) bool { return r < ' ' || r >= 0x7F && r < 0xA0 || r == 0x202E || r == 0x2028 }); i >= 0 {
					t.Errorf("the problem itself holds %q", p.Error())
				}
			}
			if !refused {
				t.Error("the lint has nothing against it")
			}
			for name, page := range pages(t, h.text) {
				if !utf8.ValidString(page) {
					t.Errorf("%s is no UTF-8", name)
				}
				for _, r := range page {
					if r < ' ' && r != '\n' || r >= 0x7F && r < 0xA0 || r == 0x202E || r == 0x2028 {
						t.Errorf("%s holds %U", name, r)
						break
					}
				}
				switch {
				case strings.HasSuffix(name, "json"):
					if !json.Valid([]byte(page)) {
						t.Errorf("%s is no JSON", name)
					}
				case strings.HasSuffix(name, "html"):
					if got, want := markup(t, page), markup(t, plain[name]); got != want {
						t.Errorf("%s has other elements: %s, want %s", name, got, want)
					}
				}
			}
		})
	}
}

// pages prints the hostile engine in every form.
func pages(t *testing.T, text string) map[string]string {
	t.Helper()
	book, err := specs.Builtin().Overlay(hostileBook(text))
	if err != nil {
		t.Fatal(err)
	}
	e, err := book.Engine("hostile")
	if err != nil {
		t.Fatal(err)
	}
	job, err := bench.Quick{Engine: "hostile"}.Job("points gap 30 thou")
	if err != nil {
		t.Fatal(err)
	}
	report, err := bench.Check(book, job)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{
		"engine": sheet.Engine(book, e, sheet.Style{}), "engine json": string(sheet.EnginesJSON(book, []*specs.Engine{e})),
		"report": sheet.Report(report, sheet.Style{}), "report json": string(sheet.ReportJSON(report)),
	}
	for name, d := range map[string]*sheet.Document{"engine": sheet.EngineDocument(book, e), "report": sheet.ReportDocument(report)} {
		out[name+" text"], out[name+" markdown"] = d.Text(sheet.Style{}), d.Markdown(nil)
		out[name+" html"], out[name+" document json"] = string(d.HTML()), string(d.JSON())
	}
	return out
}

// markup lists the elements of a page.
func markup(t *testing.T, page string) string {
	t.Helper()
	dec := xml.NewDecoder(bytes.NewReader([]byte(page)))
	dec.Strict, dec.AutoClose, dec.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var names []string
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return strings.Join(names, " ")
		}
		if err != nil {
			t.Fatalf("the page does not parse: %v", err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			names = append(names, e.Name.Local)
		}
	}
}

// tableBombs are tables that pass the gate and are heavy for what comes after
// it: many numbers in one printed text, many claims alike, long lists.
func tableBombs() []struct{ name, engine string } {
	const head = "#:schema ../schema/engine.json\nschema = 1\nid = \"hostile\"\n\n[identity]\nlabel = \"invented\"\nsystem = \"battery-points\"\n"
	claim := func(path, printed string) string {
		return "\n[" + path + "]\nnominal = \"0.020 in\"\nplace = \"page 2\"\nas_printed = " + tomlText(printed) + "\nbasis = \"published\"\nstatus = \"single-source\"\n"
	}
	many := func(n int, f func(i int) string) string {
		var b strings.Builder
		for i := range n {
			b.WriteString(f(i))
		}
		return b.String()
	}
	quoted := func(n int, s string) string {
		return "[" + strings.TrimSuffix(strings.Repeat(tomlText(s)+", ", n), ", ") + "]"
	}
	return []struct{ name, engine string }{
		{"80,000 numbers printed", head + claim("plug_gap.ajs-16-18-instruction", strings.Repeat("9 ± ", 45_000))},
		{"60,000 percentages printed", head + claim("plug_gap.ajs-16-18-instruction", strings.Repeat("1 % ", 60_000))},
		{"fractions printed", head + claim("plug_gap.ajs-16-18-instruction", strings.Repeat("1/2", 60_000))},
		{"one number of 200,000 digits printed", head + claim("plug_gap.ajs-16-18-instruction", strings.Repeat("1", 200_000))},
		{"200,000 letters printed", head + claim("plug_gap.ajs-16-18-instruction", strings.Repeat("l.", 100_000))},
		{"limit words printed", head + claim("plug_gap.ajs-16-18-instruction", strings.Repeat("not less than 5 ", 12_000))},
		{"600 claims alike", head + many(600, func(i int) string { return claim("plug_gap.a"+strconv.Itoa(i)+".ajs-16-18-instruction", ".020 in") })},
		{"600 displacements, bores and strokes", head + many(200, func(i int) string {
			n := strconv.Itoa(i)
			return strings.NewReplacer("0.020 in", "65 mm").Replace(claim("bore.a"+n+".ajs-16-18-instruction", "65 mm")+claim("stroke.b"+n+".ajs-16-18-instruction", "65 mm")) +
				strings.NewReplacer("0.020 in", "200 cm³").Replace(claim("displacement.c"+n+".ajs-16-18-instruction", "200 cm³"))
		})},
		{"3,900 models", strings.Replace(head, "label =", "models = "+quoted(3900, "Pump 6")+"\nlabel =", 1)},
		{"3,900 relatives", head + "related = " + quoted(3900, "ajs-16-18") + "\n"},
		{"3,900 aliases", strings.Replace(head, "\n\n[identity]", "\naliases = "+quoted(3900, "a-b")+"\n\n[identity]", 1)},
		{"3,900 other units", head + strings.Replace(claim("plug_gap.ajs-16-18-instruction", ".020 in"), "place", "also = "+quoted(3900, "0.51 mm")+"\nplace", 1)},
		{"a note of 250 KB", head + claim("plug_gap.ajs-16-18-instruction", ".020 in") + "note = " + tomlText(strings.Repeat("damaged lost cut ", 15_000)) + "\n"},
		{"a class of 200 KB", strings.Replace(head, "label =", "class = "+tomlText(strings.Repeat("@.w ", 50_000))+"\nlabel =", 1)},
	}
}

// TestTableBombs wants each loaded and linted, or refused, within 64 MiB and,
// where GAPBOOK_SPEED says that nothing else runs, 100 ms: the numbers of the
// design for one hostile file.
func TestTableBombs(t *testing.T) {
	specs.Builtin().LintFiles("engines/ajs-16-18.toml") // what is read once for all
	timed := os.Getenv("GAPBOOK_SPEED") != ""
	for _, b := range tableBombs() {
		t.Run(b.name, func(t *testing.T) {
			files := fstest.MapFS{"engines/hostile.toml": {Data: []byte(b.engine)}}
			var took time.Duration
			var memory uint64
			for range 8 { // a busy machine makes some runs slow; a slow program makes all
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				start := time.Now()
				loaded, err := specs.Builtin().Overlay(files)
				problems := 0
				if err == nil {
					problems = len(loaded.LintFiles("engines/hostile.toml"))
				}
				took = time.Since(start)
				runtime.ReadMemStats(&after)
				memory = after.TotalAlloc - before.TotalAlloc
				if err == nil && problems == 0 && !strings.HasPrefix(b.name, "600") { // those are in order
					t.Error("it is neither refused nor complained of")
				}
				if !timed || took <= 100*time.Millisecond {
					break
				}
			}
			t.Logf("%d bytes: %v, %.1f MiB", len(b.engine), took.Round(time.Millisecond), float64(memory)/(1<<20))
			if timed && took > 100*time.Millisecond {
				t.Errorf("took %v", took)
			}
			if memory > 64<<20 && !raceOn {
				t.Errorf("allocated %d bytes", memory)
			}
		})
	}
}
