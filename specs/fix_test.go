package specs

import (
	"bytes"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"gapbook.example/specs/gate"
	"gapbook.example/units"
	"github.com/google/go-cmp/cmp"
)

// shippedTables calls f for every table of the shipped book.
func shippedTables(t *testing.T, f func(file string, src []byte)) {
	t.Helper()
	count := 0
	for _, dir := range kinds {
		list, err := fs.Glob(os.DirFS("."), dir+"/*.toml")
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range list {
			src, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			count++
			f(file, src)
		}
	}
	if count < 500 {
		t.Errorf("only %d tables", count)
	}
}

// TestFixLeavesTheBookAlone holds every shipped table to the layout that Fix
// writes.
func TestFixLeavesTheBookAlone(t *testing.T) {
	shippedTables(t, func(file string, src []byte) {
		fixed, problems := Fix(file, src)
		if problems != nil {
			t.Errorf("%s: %v", file, problems)
		} else if !bytes.Equal(fixed, src) {
			t.Errorf("%s is not laid out as lint -fix does:\n%s", file, cmp.Diff(string(src), string(fixed)))
		}
	})
}

// untidy holds one of everything that Fix mends, and what it must leave.
const untidy = "# about this file\r\n\r\n" +
	"  id=\"orchard-pump-6\"   # for ever\r\n" +
	"schema   =   1\r\n" +
	"\r\n\r\n\r\n" +
	"[ plug_gap . orchard-manual ]\r\n" +
	"status = \"single-source\"\r\n" +
	"basis = 'published'\r\n" +
	"# the page is torn here\r\n" +
	"nominal = '0.025 inch' # not \"0.025 inch\"\r\n" +
	"note = \"\"\"long,\r\n  with [brackets] and # signs   \r\nand \"quotes\\\" \"\"\"\"\r\n" +
	"place = \"page 12\"\t\r\n" +
	"also = [\r\n   \"0.64 millimetre\", # rounded\r\n]\r\n" +
	"# a remark at the end\r\n" +
	"\r\n" +
	"# the breaker\r\n" +
	"[points_gap.orchard-manual]\r\n" +
	"nominal = \"0.020 inch\"\r\n" +
	"place = \"page 12\"\r\n" +
	"basis = \"published\"\r\n" +
	"status = \"single-source\"\r\n" +
	"[identity]\r\n" +
	"system = \"battery-points\"\r\n" +
	"label = \"Orchard Pump 6\"\r\n" +
	"\r\n\r\n# the last word"

const tidy = `#:schema ../schema/engine.json
# about this file

schema = 1
id = "orchard-pump-6"   # for ever

[identity]
label = "Orchard Pump 6"
system = "battery-points"

# the breaker
[points_gap.orchard-manual]
nominal = "0.020 in"
place = "page 12"
basis = "published"
status = "single-source"

[plug_gap.orchard-manual]
# the page is torn here
nominal = '0.025 in' # not "0.025 inch"
also = [
   "0.64 mm", # rounded
]
place = "page 12"
basis = 'published'
status = "single-source"
note = """long,
  with [brackets] and # signs   
and "quotes\" """"
# a remark at the end

# the last word
`

func TestFix(t *testing.T) {
	for _, file := range []string{"engines/orchard-pump-6.toml", "orchard-pump-6.toml", "somewhere/engines/orchard-pump-6.toml"} {
		fixed, problems := Fix(file, []byte(untidy))
		if problems != nil {
			t.Fatal(problems)
		}
		if diff := cmp.Diff(tidy, string(fixed)); diff != "" {
			t.Errorf("%s (-want +have):\n%s", file, diff)
		}
	}
	again, problems := Fix("engines/orchard-pump-6.toml", []byte(tidy))
	if problems != nil || string(again) != tidy {
		t.Errorf("what Fix wrote it changes again: %v\n%s", problems, again)
	}
}

// TestFixChangesNoValue takes every shipped table, lays it out badly in every
// way, and wants each value back: the text of all that is no quantity, and of
// quantities the number letter by letter and the value to the bit.
func TestFixChangesNoValue(t *testing.T) {
	spelled := strings.NewReplacer(` in"`, ` inch"`, ` kΩ"`, ` kohm"`, ` Ω"`, ` ohm"`, ` µF"`, ` uF"`, `° BTDC"`, ` deg BTDC"`, ` N·m"`, ` N m"`, ` lb-in"`, ` in-lb"`)
	respelled := 0
	shippedTables(t, func(file string, src []byte) {
		bad := upsideDown(spelled.Replace(string(src)))
		doc, problems := gate.Read(file, []byte(bad))
		if problems != nil {
			t.Fatalf("%s: %v", file, problems)
		}
		fixed, problems := Fix(file, []byte(bad))
		if problems != nil {
			t.Fatalf("%s: %v", file, problems)
		}
		after, problems := gate.Read(file, fixed)
		if problems != nil {
			t.Fatalf("%s: %v", file, problems)
		}
		want, have := make(map[string]string), make(map[string]string)
		values(doc.Root, want)
		values(after.Root, have)
		if !slices.Equal(slices.Sorted(maps.Keys(want)), slices.Sorted(maps.Keys(have))) {
			t.Errorf("%s: other keys than before", file)
		}
		for path, v := range want {
			if w := have[path]; w != v {
				respelled++
				if !sameQuantity(v, w) {
					t.Errorf("%s: %s was %s and is %s", file, path, v, w)
				}
			}
		}
		for _, text := range comments(bad) {
			if !strings.Contains(string(fixed), text) {
				t.Errorf("%s: the comment %q is gone", file, text)
			}
		}
		if again, problems := Fix(file, fixed); problems != nil || !bytes.Equal(again, fixed) {
			t.Errorf("%s: what Fix wrote it changes again:\n%s", file, cmp.Diff(string(fixed), string(again)))
		}
	})
	if respelled < 500 {
		t.Errorf("only %d values were spelled anew", respelled)
	}
}

// upsideDown writes the tables of a document in the opposite order, and so the
// keys of one line.
func upsideDown(text string) string {
	parts := strings.Split(text, "\n\n")
	for i, p := range parts {
		lines := strings.Split(strings.TrimSuffix(p, "\n"), "\n")
		plain := true
		for _, l := range lines[1:] {
			plain = plain && strings.Contains(l, " = ") && (strings.HasSuffix(l, `"`) || strings.HasSuffix(l, `"]`)) && !strings.Contains(l, `"""`)
		}
		if plain && i > 0 {
			slices.Reverse(lines[1:])
		}
		parts[i] = strings.Join(lines, "\n")
	}
	slices.Reverse(parts[1:])
	return strings.Join(parts, "\n\n") + "\n"
}

func comments(text string) []string {
	var list []string
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "# ") {
			list = append(list, strings.TrimSpace(line))
		}
	}
	return list
}

// sameQuantity reports whether two spellings are one value with one number:
// each of the one's values read leniently, each of the other's strictly.
func sameQuantity(before, after string) bool {
	pieces := func(s string) []string {
		s = strings.TrimPrefix(strings.TrimPrefix(strings.Trim(s, `"`), "at least "), "at most ")
		list := strings.Split(s, " to ")
		if _, unit, ok := strings.Cut(list[len(list)-1], " "); ok && len(list) == 2 && !strings.Contains(list[0], " ") {
			list[0] += " " + unit // "6.8 to 8.0 N·m"
		}
		return list
	}
	x, y := pieces(before), pieces(after)
	if len(x) != len(y) || digits(before) != digits(after) {
		return false
	}
	for i := range x {
		same := slices.ContainsFunc(units.Kinds(), func(k units.Kind) bool {
			q, err := units.ParseStrict(k, y[i])
			if err != nil {
				return false
			}
			p, err := units.Parse(k, x[i])
			return err == nil && p == q
		})
		if !same {
			return false
		}
	}
	return true
}

func digits(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r == '.' || r == '/' {
			return r
		}
		return -1
	}, s)
}

func TestFixRefuses(t *testing.T) {
	for _, bad := range []string{"a = ", "a = 1\na = 2\n", "x = \"\u202e\"\n"} {
		if fixed, problems := Fix("engines/a.toml", []byte(bad)); fixed != nil || len(problems) == 0 {
			t.Errorf("%q was laid out", bad)
		}
	}
	// What breaks other rules is laid out all the same.
	fixed, problems := Fix("engines/a.toml", []byte("id=\"a\"\n[nonsense]\nx=\"0,5 mm\"\n"))
	if want := "id = \"a\"\n\n[nonsense]\nx = \"0,5 mm\"\n"; problems != nil || string(fixed) != want {
		t.Errorf("%q, %v", fixed, problems)
	}
}

// TestFixTwoOnOneLine spells two values of one line anew, the first of them
// changing the length of the line.
func TestFixTwoOnOneLine(t *testing.T) {
	const head = "#:schema ../schema/engine.json\nschema = 1\nid = \"a\"\n\n[identity]\nlabel = \"a\"\nsystem = \"unknown\"\n\n[secondary.book]\nnominal = \"5 kΩ\"\nalso = ["
	const tail = "]\nplace = \"page 1\"\nbasis = \"published\"\nstatus = \"single-source\"\n"
	fixed, problems := Fix("engines/a.toml", []byte(head+"\"5.0 kohm\", '5000 ohm'"+tail))
	if want := head + "\"5.0 kΩ\", '5000 Ω'" + tail; problems != nil || string(fixed) != want {
		t.Errorf("%v\n%s", problems, cmp.Diff(want, string(fixed)))
	}
}

func FuzzFix(f *testing.F) {
	f.Add([]byte(untidy))
	f.Add([]byte("a=1#x\n[b]\n#y\n\n#z\n[c.d]\ne=['''\n[f]\n''']\n"))
	f.Add([]byte("#:schema x\n[a]\n[a.b]\nc.d = {e = 1}\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		fixed, problems := Fix("engines/a.toml", src)
		if problems != nil {
			if len(problems) == 1 && problems[0].Code == gate.CodeInternal {
				t.Fatal(problems)
			}
			return
		}
		again, problems := Fix("engines/a.toml", fixed)
		if problems != nil || !bytes.Equal(again, fixed) {
			t.Fatalf("%q becomes %q and then %q, %v", src, fixed, again, problems)
		}
	})
}
