package specs

import (
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf8"
)

// FuzzLintTable lays any text into the fields that rules read closely: whatever
// loads is linted without a crash, the same twice over.
func FuzzLintTable(f *testing.F) {
	for _, s := range []string{".020 inch", "º 20", "thanks to Mr Example", "https://x:1@y/?utm_=", "1/2/3", "+0 -0", "at least 5 mm; 0.2 in", "l.5 O", "\u212A"} {
		f.Add("0.020 in", s)
	}
	f.Fuzz(func(t *testing.T, value, text string) {
		if !utf8.ValidString(value+text) || strings.ContainsAny(value+text, "\"\\\x7f") || strings.IndexFunc(value+text, func(r rune) bool { return r < ' ' }) >= 0 {
			t.Skip()
		}
		table := "#:schema ../schema/engine.json\nschema = 1\nid = \"fixture\"\n\n[identity]\nmaker = \"" + text + "\"\nmodels = [\"" + text + "\"]\nlabel = \"x" + text + "\"\nsystem = \"battery-points\"\n\n[plug_gap.ajs-16-18-instruction]\nnominal = \"" + value +
			"\"\nplace = \"page 2\"\nas_printed = \"" + text + "\"\nbasis = \"published\"\nstatus = \"single-source\"\nnote = \"" + text + "\"\n"
		b, err := Builtin().Overlay(fstest.MapFS{"engines/fixture.toml": {Data: []byte(table)}})
		if err != nil {
			t.Skip()
		}
		first, second := b.LintFiles("engines/fixture.toml"), b.LintFiles("engines/fixture.toml")
		if first.Error() != second.Error() {
			t.Errorf("twice linted, two answers:\n%v\n%v", first, second)
		}
		for _, p := range first {
			if p.Line < 1 || p.Col < 1 || p.Code == "" || p.Hint == "" {
				t.Errorf("a problem without a place or a hint: %v", p)
			}
		}
	})
}

// FuzzLink reads any address: what is let pass is https and holds no name.
func FuzzLink(f *testing.F) {
	for _, s := range []string{"https://example.org/a?b=c", "https://a@example.org", "https://example.org:80/", "https://[::1]/", "https://xn--a.org/", "https://example.org/?UTM_x=1", "https://%zz"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if plainLink(s) == "" && (!strings.HasPrefix(strings.ToLower(s), "https://") || strings.Contains(strings.SplitN(s[8:], "/", 2)[0], "@")) {
			t.Errorf("%q is let pass", s)
		}
	})
}

// TestPlainLink says what is wrong with addresses, by hand.
func TestPlainLink(t *testing.T) {
	for _, c := range []struct{ link, part string }{
		{"https://example.org/page", ""},
		{"https://example.org/page?id=7&page=2", ""},
		{"http://example.org/page", "no https address"},
		{"https:///page", "no https address"},
		{"https://me@example.org/page", "carries a name"},
		{"https://example.org:8443/page", "no public host"},
		{"https://192.0.2.1/page", "no public host"},
		{"https://[2001:db8::1]/page", "no public host"},
		{"https://localhost/page", "no public host"},
		{"https://exаmple.org/page", "plain letters"},
		{"https://xn--exmple-4nf.org/page", "another script"},
		{"https://example.org/page?utm_source=x", "utm_source"},
		{"https://example.org/page?id=1&fbclid=x", "fbclid"},
	} {
		if have := plainLink(c.link); (have == "") != (c.part == "") || !strings.Contains(have, c.part) {
			t.Errorf("%s: %q, want %q", c.link, have, c.part)
		}
	}
}

// TestLikelySlip names slips by hand: a plausible plug gap is 0.3 to 1.6 mm,
// a primary of this class 2 to 5 Ω.
func TestLikelySlip(t *testing.T) {
	for _, c := range []struct {
		key         Key
		value, slip string
		least, most float64
	}{
		{PlugGap, "0.030 mm", `did you mean "0.030 in"? It looks like mm for in`, 0.3e-3, 1.6e-3},
		{PlugGap, "0.7 in", `did you mean "0.7 mm"? It looks like in for mm`, 0.3e-3, 1.6e-3},
		{PlugGap, "30 mm", `did you mean "30 thou"? It looks like mm for thou`, 0.3e-3, 1.6e-3},
		{PlugGap, "7.0 mm", `did you mean "0.7 mm"? It looks like a decimal point out of place`, 0.3e-3, 1.6e-3},
		{PlugGap, "17.78 mm", `did you mean "0.7 mm"? It looks like inches and millimetres mixed up`, 0.69e-3, 0.71e-3},
		{Primary, "3.4 kΩ", `did you mean "3.4 Ω"? It looks like kΩ for Ω`, 2, 5},
		{Primary, "34 Ω", `did you mean "3.4 Ω"? It looks like a decimal point out of place`, 2, 5},
		{"plug_torque", "180 lb-ft", `did you mean "180 lb-in"? It looks like lb-ft for lb-in`, 10, 40},
		{Condenser, "0.22 nF", `did you mean "0.22 µF"? It looks like nF for µF`, 0.1e-6, 0.4e-6},
		{Primary, "7.7 Ω", "", 3, 3.1},
	} {
		info, _ := Quantity(c.key)
		v, err := parseValue(info.Kind, c.value)
		if err != nil {
			t.Fatal(err)
		}
		if have := likelySlip(info.Kind, v, func(x float64) bool { return c.least <= x && x <= c.most }); have != c.slip {
			t.Errorf("%s %s: %q, want %q", c.key, c.value, have, c.slip)
		}
	}
}

// BenchmarkLintFile lints one table of a book that nobody has read anything
// of, as a program does that is started for one file.
func BenchmarkLintFile(b *testing.B) {
	for b.Loop() {
		book, _ := indexed()
		book.LintFiles("engines/honda-cg125.toml")
	}
}

// TestLintFileReadsFew lints one table of a book that nobody has read: it opens
// that table and what it leans on, and no other engine but those it names.
func TestLintFileReadsFew(t *testing.T) {
	book, opened := indexed()
	if problems := book.LintFiles("engines/honda-cg125.toml"); len(problems) > 0 {
		t.Error(problems)
	}
	for name := range opened.opened {
		if strings.HasPrefix(name, "engines/") && name != "engines/honda-cg125.toml" && name != "engines/honda-cg125-club.toml" {
			t.Errorf("%s was read", name)
		}
	}
	if n := len(opened.opened); n > 25 {
		t.Errorf("%d files were read: %v", n, opened.names())
	}
	if problems := Builtin().LintFiles("engines/no-such.toml"); len(problems) != 1 || problems[0].Code != "missing-file" {
		t.Errorf("a table that is not there: %v", problems)
	}
}
