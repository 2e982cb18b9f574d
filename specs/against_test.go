package specs

import (
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
)

// TestFrozenIDsAreFresh holds the shipped book to the list of every id it ever had.
// With GAPBOOK_UPDATE new ids are added to the list; none is ever taken out.
func TestFrozenIDsAreFresh(t *testing.T) {
	const file = "frozen/ids.txt"
	list, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	book, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	missing, problems := book.CheckFrozen(list)
	if problems != nil {
		t.Error(problems)
	}
	lines := strings.Split(strings.TrimSpace(string(list)), "\n")
	head := strings.Count(string(list), "#")
	lines = append(lines, missing...)
	slices.Sort(lines[head:])
	fresh(t, file, []byte(strings.Join(lines, "\n")+"\n"))
	if len(lines) < 700 {
		t.Errorf("only %d ids", len(lines))
	}
}

const (
	frozenSource = "schema = 1\nid = \"book\"\ntitle = \"Book\"\ngrade = \"maker-book\"\norigin = \"book\"\n"
	frozenEngine = "schema = 1\nid = \"pump\"\n[identity]\nlabel = \"Pump\"\nsystem = \"battery-points\"\n" +
		"[points_gap.book]\nnominal = \"0.020 in\"\nplace = \"page 1\"\nbasis = \"published\"\nstatus = \"single-source\"\n" +
		"[plug_gap.book]\nmin = \"0.025 in\"\nplace = \"page 1\"\nbasis = \"published\"\nstatus = \"single-source\"\n"
)

func frozenBook(t *testing.T, files map[string]string) *Book {
	t.Helper()
	m := fstest.MapFS{"sources/book.toml": {Data: []byte(frozenSource)}}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	b, err := Load(m)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestCheckFrozen(t *testing.T) {
	const gone = "schema = 1\n[gone.a]\ntable = \"engines/pump\"\nwhy = \"it never existed\"\n"
	renamed := strings.Replace(frozenEngine, "id = \"pump\"", "id = \"pump-6\"\naliases = [\"pump\"]", 1)
	for _, c := range []struct {
		name  string
		files map[string]string
		list  string
		says  string
	}{
		{"as it was", map[string]string{"engines/pump.toml": frozenEngine}, "# ids\nengines/pump\nsources/book\n", ""},
		{"vanished", nil, "engines/pump\n", "frozen/ids.txt:1:1: the book no longer has engines/pump (frozen-id); give the engine that has it now aliases = [\"pump\"], or say in frozen/gone.toml why it went"},
		{"renamed", map[string]string{"engines/pump-6.toml": renamed}, "engines/pump\n", ""},
		{"went with a reason", map[string]string{"frozen/gone.toml": gone}, "engines/pump\n", ""},
		{"used again", map[string]string{"engines/pump.toml": frozenEngine, "frozen/gone.toml": gone}, "engines/pump\n", "never used again"},
		{"a source is no alias", map[string]string{"engines/pump-6.toml": renamed}, "sources/pump\n", "no longer has sources/pump"},
		{"unreadable list of what went", map[string]string{"frozen/gone.toml": "schema = 1\n[gone.a]\ntable = \"engines/pump\"\n"}, "", "\"why\" is missing"},
	} {
		_, problems := frozenBook(t, c.files).CheckFrozen([]byte(c.list))
		if c.says == "" && problems != nil || !strings.Contains(problems.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.name, problems, c.says)
		}
	}
	missing, _ := frozenBook(t, map[string]string{"engines/pump.toml": frozenEngine}).CheckFrozen(nil)
	if want := []string{"engines/pump", "sources/book"}; !slices.Equal(missing, want) {
		t.Errorf("the list lacks %q, want %q", missing, want)
	}
}

func TestCompare(t *testing.T) {
	before := frozenBook(t, map[string]string{"engines/pump.toml": frozenEngine, "engines/saw.toml": strings.Replace(frozenEngine, `"pump"`, `"saw"`, 1)})
	changed := strings.NewReplacer("nominal = \"0.020 in\"", "nominal = \"0.018 in\"", "status = \"single-source\"\n[plug", "status = \"disputed\"\n[plug").Replace(frozenEngine)
	changed = changed[:strings.Index(changed, "[plug_gap")] + "[primary.cold.book]\nmin = \"3 Ω\"\nmax = \"4 Ω\"\nplace = \"page 2\"\nbasis = \"published\"\nstatus = \"single-source\"\n"
	renamed := strings.Replace(frozenEngine, "id = \"pump\"", "id = \"saw-2\"\naliases = [\"saw\"]", 1)
	after := frozenBook(t, map[string]string{"engines/pump.toml": changed, "engines/saw-2.toml": renamed})
	got, err := Compare(before, after)
	if err != nil {
		t.Fatal(err)
	}
	want := []Change{
		{Kind: Changed, Table: "engines/pump", Path: "points_gap.book.nominal", From: "0.020 in", To: "0.018 in"},
		{Kind: Moved, Table: "engines/pump", Path: "points_gap.book.status", From: "single-source", To: "disputed"},
		{Kind: Removed, Table: "engines/pump", Path: "plug_gap.book", From: "min 0.025 in"},
		{Kind: Added, Table: "engines/pump", Path: "primary.cold.book", To: "min 3 Ω, max 4 Ω"},
		{Kind: Added, Table: "engines/saw-2", To: "Pump"},
		{Kind: Renamed, Table: "engines/saw", From: "engines/saw", To: "engines/saw-2"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +have):\n%s", diff)
	}
	for _, c := range got {
		if c.Refused() != (c.Path == "plug_gap.book") {
			t.Errorf("refused %t: %+v", c.Refused(), c)
		}
	}
	// With a reason the figure may go.
	after = frozenBook(t, map[string]string{"engines/pump.toml": changed, "engines/saw-2.toml": renamed,
		"frozen/gone.toml": "schema = 1\n[gone.a]\ntable = \"engines/pump\"\nfigure = \"plug_gap.book\"\nwhy = \"the page is about another engine\"\n"})
	got, _ = Compare(before, after)
	if got[2].Why != "the page is about another engine" || got[2].Refused() {
		t.Errorf("%+v", got[2])
	}
	// A book compared with itself, laid out otherwise, has not changed.
	if same, _ := Compare(Builtin(), Builtin()); len(same) > 0 {
		t.Errorf("%d changes of nothing", len(same))
	}
}

// TestSetAsideIsNoRemoval lets a figure move to what is set aside, where it can
// still be found.
func TestSetAsideIsNoRemoval(t *testing.T) {
	aside := frozenEngine[:strings.Index(frozenEngine, "[plug_gap")] + "[set_aside.plug_gap.book]\nplace = \"page 1\"\nas_printed = \".025 in. or more\"\nwhy = \"the page is about another engine\"\n"
	labelled := strings.Replace(frozenEngine, "[plug_gap.book]", "[plug_gap.gas.book]", 1)
	for claim, before := range map[string]string{"plug_gap.book": frozenEngine, "plug_gap.gas.book": labelled} {
		got, err := Compare(frozenBook(t, map[string]string{"engines/pump.toml": before}), frozenBook(t, map[string]string{"engines/pump.toml": aside}))
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(got, func(c Change) bool { return c.Kind == Removed })
		if i < 0 || got[i].Path != claim || got[i].Why != "set aside: the page is about another engine" || got[i].Refused() {
			t.Errorf("%+v", got)
		}
	}
}
