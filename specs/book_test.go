package specs

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"gapbook.example/specs/gate"
)

// The tables of these tests are invented.

const orchardTable = `#:schema ../schema/engine.json
schema = 1
id = "orchard-pump-6"
aliases = ["orchard-pump"]

[identity]
maker = "Orchard"
models = ["Pump 6", "Pump 6A"]
label = "Orchard Pump 6, single"
class = "pump, four-stroke single"
system = "flywheel-magneto-points"
cycle = 4
cylinders = 1

[points_gap.bench-book]
nominal = "0.020 in"
place = "page 12"
basis = "invented"
status = "single-source"

[set_aside.air_gap.bench-book]
place = "page 13"
why = "a digit is lost"
`

const benchBook = `#:schema ../schema/source.json
schema = 1
id = "bench-book"
title = "Invented bench book"
publisher = "invented"
grade = "invented"
origin = "bench-book"
`

// tables makes a folder of the invented engine, its source and what is given
// as name and text in turn; an empty text takes the file out.
func tables(t testing.TB, more ...string) fstest.MapFS {
	t.Helper()
	fsys := fstest.MapFS{
		"engines/orchard-pump-6.toml": {Data: []byte(orchardTable)},
		"sources/bench-book.toml":     {Data: []byte(benchBook)},
	}
	for i := 0; i < len(more); i += 2 {
		fsys[more[i]] = &fstest.MapFile{Data: []byte(more[i+1])}
		if more[i+1] == "" {
			delete(fsys, more[i])
		}
	}
	return fsys
}

// engineTable is the invented engine under another id and without alias.
func engineTable(id, label string) string {
	text := strings.Replace(orchardTable, `id = "orchard-pump-6"`, fmt.Sprintf("id = %q", id), 1)
	text = strings.Replace(text, "Orchard Pump 6, single", label, 1)
	return strings.Replace(text, "aliases = [\"orchard-pump\"]\n", "", 1)
}

func mustLoad(t testing.TB, fsys fs.FS) *Book {
	t.Helper()
	b, err := Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestLoad(t *testing.T) {
	b := mustLoad(t, tables(t))
	if b.Len() != 1 || b.Version() != Version || len(b.Digest()) != 16 {
		t.Errorf("%d engines, version %q, digest %q", b.Len(), b.Version(), b.Digest())
	}
	e, err := b.Engine("orchard-pump-6")
	if err != nil {
		t.Fatal(err)
	}
	f := e.Of(PointsGap)
	if len(f) != 1 || f[0].Band.Nominal.Text != "0.020 in" || f[0].At.String() != "engines/orchard-pump-6.toml:15:13" || f[0].Path() != "points_gap.bench-book" {
		t.Errorf("the points gap is %+v", f)
	}
	if len(e.SetAside) != 1 || e.SetAside[0].Quantity != "air_gap" {
		t.Errorf("set aside is %+v", e.SetAside)
	}
	page := Source{Title: "Rewiring, page 12", Grade: "club"}
	for place, want := range map[string]string{"": page.Title, "page 12": page.Title, "rewiring": page.Title, "page 1": page.Title + ", page 1", "page 2": page.Title + ", page 2"} {
		if got := page.Cite(place); got != want {
			t.Errorf("%q cites as %q, want %q", place, got, want)
		}
	}
	if s, ok := b.Source("bench-book"); !ok || s.Cite("page 12") != "Invented bench book, page 12" {
		t.Errorf("the source is %+v, %t", s, ok)
	}
	if _, ok := b.Source("bench"); ok {
		t.Error("a source that is not there is found")
	}
	for entry := range b.Entries() {
		if entry.Figures != 1 || entry.SetAside != 1 || !entry.HasPoints || entry.HasTiming || entry.Maker != "Orchard" {
			t.Errorf("the index says %+v", entry)
		}
	}
}

func TestAlias(t *testing.T) {
	b := mustLoad(t, tables(t))
	byID, err := b.Engine("orchard-pump-6")
	if err != nil {
		t.Fatal(err)
	}
	byAlias, err := b.Engine("orchard-pump")
	if err != nil || byAlias != byID {
		t.Errorf("the alias gives %v, %v", byAlias, err)
	}
	var unknown *UnknownError
	if _, err := b.Engine("orchard-pmp-6"); !errors.As(err, &unknown) || !slices.Equal(unknown.Near, []string{"orchard-pump-6"}) {
		t.Errorf("a misspelled id gives %v", err)
	}
	if _, err := b.Engine("quarry-saw"); !errors.As(err, &unknown) || len(unknown.Near) != 0 {
		t.Errorf("a strange id gives %v", err)
	}
	taken := tables(t, "engines/orchard-pump.toml", engineTable("orchard-pump", "Orchard pump, old"))
	checkProblems(t, taken, `engines/orchard-pump-6.toml:1:1: aliases: the alias "orchard-pump" names another record too (alias-taken)`)
	twice := tables(t, "engines/orchard-pump-7.toml", strings.Replace(orchardTable, `id = "orchard-pump-6"`, `id = "orchard-pump-7"`, 1))
	checkProblems(t, twice, `the alias "orchard-pump" names another record too (alias-taken)`)
}

// checkProblems loads a folder that must be refused, and compares its problems
// one by one: each must hold the text given.
func checkProblems(t *testing.T, fsys fs.FS, want ...string) {
	t.Helper()
	b, err := Load(fsys)
	var problems gate.Problems
	if !errors.As(err, &problems) || b != nil {
		t.Fatalf("loading gives a book %t and the error %v", b != nil, err)
	}
	for i, p := range problems {
		if i >= len(want) {
			t.Errorf("one more problem: %v", p)
		} else if !strings.Contains(p.Error(), want[i]) {
			t.Errorf("problem %d is\n%v\nwant\n%s", i, p, want[i])
		}
	}
	for _, w := range want[min(len(want), len(problems)):] {
		t.Errorf("missing: %s", w)
	}
}

// TestAllProblemsInOrder spoils several files in several ways; one load tells
// of all of them, in the order of files and lines.
func TestAllProblemsInOrder(t *testing.T) {
	spoiled := strings.NewReplacer(
		`aliases = ["orchard-pump"]`, `aliasses = ["orchard-pump"]`,
		`system = "flywheel-magneto-points"`, `system = "flywheel-magneto-point"`,
		`[points_gap.bench-book]`, `[point_gap.bench-book]`,
	).Replace(orchardTable)
	fsys := tables(t,
		"engines/orchard-pump-6.toml", spoiled,
		"engines/plum-saw.toml", strings.Replace(engineTable("plum-saw", "Plum saw"), `"0.020 in"`, `"0.020 volts"`, 1)+"\n[plug_gap.bench-book]\nnominal = 0.6\nplace = \"page 14\"\nbasis = \"invent\"\nstatus = \"single-source\"\n",
		"engines/quince.toml", engineTable("quinces", "Quince"),
		"engines/rowan.toml", strings.Replace(engineTable("rowan", "Rowan"), "[points_gap.bench-book]", "[points_gap.bench-bok]", 1),
		"sources/other-book.toml", strings.Replace(strings.Replace(benchBook, `id = "bench-book"`, `id = "other-book"`, 1), `title = `, `titel = `, 1),
	)
	want := []string{
		`engines/orchard-pump-6.toml:4:1: aliasses: this key is not known here (unknown-key); did you mean "aliases"?`,
		`engines/orchard-pump-6.toml:11:10: identity.system: "flywheel-magneto-point" is not known here (unknown-word); did you mean "flywheel-magneto-points"?`,
		`engines/orchard-pump-6.toml:15:2: point_gap: the book has no quantity of this name (unknown-quantity); its key is "points_gap"`,
		`engines/plum-saw.toml:15:11: points_gap.bench-book.nominal:`,
		`engines/plum-saw.toml:25:11: plug_gap.bench-book.nominal: a bare number says no unit: write it in quotes with its unit (wrong-type)`,
		`engines/plum-saw.toml:27:9: plug_gap.bench-book.basis: "invent" is not known here (unknown-word)`,
		`engines/quince.toml:3:1: id: the id "quinces" is not the file's name "quince" (id-not-file)`,
		`engines/rowan.toml:14:13: points_gap.bench-bok: the book has no source "bench-bok" (unknown-source); did you mean "bench-book"?`,
		`sources/other-book.toml:1:1: "title" is missing`,
		`sources/other-book.toml:4:1: titel: this key is not known here (unknown-key); did you mean "title"?`,
	}
	for range 20 {
		checkProblems(t, fsys, want...)
	}
}

func TestFileNames(t *testing.T) {
	for _, name := range []string{"Orchard.toml", "orchard_pump.toml", "orchard--pump.toml", "-orchard.toml", "orchard-.toml", "orchard pump.toml", "con.toml", "lpt1.toml", "örchard.toml"} {
		t.Run(name, func(t *testing.T) {
			checkProblems(t, tables(t, "engines/"+name, engineTable("orchard", "Orchard")), "engines/"+name+": the name of a table is lower-case words")
		})
	}
	// What is no table is nobody's business.
	mustLoad(t, tables(t, "engines/README.md", "read me", "notes/Odd Name.toml", "not a table"))
}

func TestTablesAtTheTop(t *testing.T) {
	b := mustLoad(t, tables(t, "engines/orchard-pump-6.toml", "", "orchard-pump-6.toml", orchardTable))
	if _, err := b.Engine("orchard-pump-6"); err != nil {
		t.Error(err)
	}
}

// TestSameTableTwice keeps one of two tables of one id from winning silently.
func TestSameTableTwice(t *testing.T) {
	checkProblems(t, tables(t, "orchard-pump-6.toml", orchardTable), "engines/orchard-pump-6.toml: the folder holds this engine twice, here and at its top (table-twice)")
}

func TestOverlay(t *testing.T) {
	base := mustLoad(t, tables(t, "engines/plum-saw.toml", engineTable("plum-saw", "Plum saw")))
	baseDigest := base.Digest()
	over, err := base.Overlay(fstest.MapFS{
		// Replaced and added; both cite a source of the base.
		"plum-saw.toml":             {Data: []byte(strings.Replace(engineTable("plum-saw", "Plum saw, rebuilt"), "0.020 in", "0.015 in", 1))},
		"engines/quince-mower.toml": {Data: []byte(engineTable("quince-mower", "Quince mower"))},
		"limits/points-gap.toml":    {Data: []byte("#:schema ../schema/limit.json\nschema = 1\nid = \"points-gap\"\nquantity = \"points_gap\"\n\n[plausible.bench-book]\nmin = \"0.2 mm\"\nmax = \"1 mm\"\nplace = \"invented\"\nbasis = \"invented\"\nstatus = \"single-source\"\n")},
	})
	if err != nil {
		t.Fatal(err)
	}
	if over.Len() != 3 || base.Len() != 2 {
		t.Errorf("%d engines over %d", over.Len(), base.Len())
	}
	label := func(b *Book, id string) string {
		e, err := b.Engine(id)
		if err != nil {
			return err.Error()
		}
		return e.Identity.Label + " " + e.Of(PointsGap)[0].Band.String()
	}
	for _, c := range []struct {
		b        *Book
		id, want string
	}{
		{over, "plum-saw", "Plum saw, rebuilt 0.015 in"},
		{base, "plum-saw", "Plum saw 0.020 in"},
		{over, "orchard-pump", "Orchard Pump 6, single 0.020 in"},
		{over, "quince-mower", "Quince mower 0.020 in"},
		{base, "quince-mower", `the book has no engine "quince-mower"`},
	} {
		if have := label(c.b, c.id); have != c.want {
			t.Errorf("%s is %q, want %q", c.id, have, c.want)
		}
	}
	if _, ok := over.Limits(PointsGap); !ok {
		t.Error("the added limits are not there")
	}
	if _, ok := base.Limits(PointsGap); ok {
		t.Error("the base has the added limits")
	}
	if base.Digest() != baseDigest || over.Digest() == baseDigest || over.Version() != Version+"+overlay" || base.Version() != Version {
		t.Errorf("digests %s, %s; versions %s, %s", base.Digest(), over.Digest(), base.Version(), over.Version())
	}
	if _, err := base.Overlay(fstest.MapFS{"a.toml": {Data: []byte("x")}}); err == nil {
		t.Error("a broken overlay is taken")
	}
	if _, err := base.OverlayDir(t.TempDir() + "/none"); err == nil {
		t.Error("a folder that is not there is taken")
	}
}

// TestOverlayDir makes sure problems carry the folder's name.
func TestOverlayDir(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(dir+"/plum-saw.toml", []byte("schema = 1\nid = \"plum-saw\"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	_, err := mustLoad(t, tables(t)).OverlayDir(dir)
	if err == nil || !strings.HasPrefix(err.Error(), dir+"/plum-saw.toml:") {
		t.Errorf("the error is %v", err)
	}
}

// TestShippedBookUnderOverlay lays a folder over the real book.
func TestShippedBookUnderOverlay(t *testing.T) {
	n, digest := Builtin().Len(), Builtin().Digest()
	over, err := Builtin().Overlay(tables(t))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Builtin().Engine("orchard-pump-6"); err == nil {
		n-- // somebody works through CONTRIBUTING: the overlay then replaces that table
	}
	if over.Len() != n+1 || Builtin().Len() < n || Builtin().Digest() != digest {
		t.Errorf("%d engines over %d", over.Len(), n)
	}
}

func TestDigest(t *testing.T) {
	digest := func(fsys fs.FS) string { return mustLoad(t, fsys).Digest() }
	one := digest(tables(t))
	if digest(tables(t)) != one {
		t.Error("the same tables give two digests")
	}
	two := tables(t, "engines/plum-saw.toml", engineTable("plum-saw", "Plum saw"))
	if digest(reversedFS{two}) != digest(two) {
		t.Error("the order of a folder's listing changes the digest")
	}
	for name, fsys := range map[string]fs.FS{
		"a digit":       tables(t, "engines/orchard-pump-6.toml", strings.Replace(orchardTable, "0.020", "0.021", 1)),
		"a comment":     tables(t, "engines/orchard-pump-6.toml", orchardTable+"#"),
		"a source":      tables(t, "sources/bench-book.toml", strings.Replace(benchBook, "Invented", "invented", 1)),
		"another table": tables(t, "engines/plum-saw.toml", engineTable("plum-saw", "Plum saw")),
		"another place": tables(t, "engines/orchard-pump-6.toml", "", "orchard-pump-6.toml", orchardTable),
	} {
		if digest(fsys) == one {
			t.Errorf("%s does not change the digest", name)
		}
	}
}

// reversedFS lists every folder from z to a.
type reversedFS struct{ fs.FS }

func (f reversedFS) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(f.FS, name)
	slices.Reverse(list)
	return list, err
}

// TestUnreadable loads folders on a failing disk.
func TestUnreadable(t *testing.T) {
	broken := errors.New("the disk is on fire")
	for _, c := range []struct {
		name, at string
		fail     error
		want     string
	}{
		{"the folder", ".", broken, ".: this folder cannot be read (unreadable)"},
		{"a folder below", "engines", broken, "engines: this folder cannot be read (unreadable)"},
		{"opening a table", "engines/orchard-pump-6.toml", broken, "engines/orchard-pump-6.toml: the file cannot be read: the disk is on fire (unreadable)"},
		{"a table that may not be read", "engines/orchard-pump-6.toml", fs.ErrPermission, "permission denied (unreadable)"},
		{"a table that goes away", "engines/orchard-pump-6.toml", fs.ErrNotExist, "there is no such file (no-file)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Load(faultyFS{tables(t), c.at, c.fail, false})
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("the error is %v, want %s", err, c.want)
			}
		})
	}
	if _, err := Load(faultyFS{tables(t), "engines/orchard-pump-6.toml", broken, true}); err == nil || !strings.Contains(err.Error(), "the disk is on fire") {
		t.Errorf("a table that breaks off gives %v", err)
	}
	checkProblems(t, tables(t, "engines/plum-saw.toml", strings.Repeat("#", gate.MaxBytes+1)), "engines/plum-saw.toml: the file has 262145 bytes")
	mustLoad(t, fstest.MapFS{}) // an empty folder is an empty book
}

// faultyFS fails at one name: on opening it, or halfway through reading it.
type faultyFS struct {
	fs.FS
	at     string
	err    error
	midway bool
}

func (f faultyFS) Open(name string) (fs.File, error) {
	if name != f.at {
		return f.FS.Open(name)
	}
	if !f.midway {
		return nil, &fs.PathError{Op: "open", Path: name, Err: f.err}
	}
	file, err := f.FS.Open(name)
	return &breakingFile{file, f.err, 40}, err
}

type breakingFile struct {
	fs.File
	err  error
	left int
}

func (f *breakingFile) Read(p []byte) (int, error) {
	if f.left == 0 {
		return 0, f.err
	}
	n, err := f.File.Read(p[:min(f.left, len(p))])
	f.left -= n
	if err == io.EOF {
		err = nil
	}
	return n, err
}

// indexed returns the shipped book as [Builtin] makes it, with no table read
// and every opening of a file noted.
func indexed() (*Book, *countingFS) {
	counting := &countingFS{opened: make(map[string]int)}
	shipped := Builtin()
	return &Book{
		layers:  []layer{{fsys: counting, prefix: "specs/", has: func(string) bool { return true }, figures: indexFigures}},
		version: shipped.version, digest: shipped.digest, entries: shipped.entries, cautions: shipped.cautions,
		sources: shipped.sources, limits: shipped.limits, meters: shipped.meters, switches: shipped.switches,
		parts: shipped.parts, wires: shipped.wires, exceptions: shipped.exceptions, faults: shipped.faults, aliases: shipped.aliases, usual: shipped.usual,
	}, counting
}

type countingFS struct {
	mu     sync.Mutex
	opened map[string]int
}

func (c *countingFS) Open(name string) (fs.File, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.opened[name]++
	return files.Open(name)
}

func (c *countingFS) names() []string {
	var names []string
	for name, n := range c.opened {
		names = append(names, fmt.Sprintf("%s x%d", name, n))
	}
	slices.Sort(names)
	return names
}

// TestIndexReadsOnlyWhatIsAsked is what the index is for.
func TestIndexReadsOnlyWhatIsAsked(t *testing.T) {
	b, counting := indexed()
	id := b.entries[b.Len()/2].ID
	b.Find("flywheel magneto")
	for range b.Entries() {
	}
	if _, err := b.Engine("no such engine"); err == nil {
		t.Error("an engine that is not there is found")
	}
	if len(counting.opened) != 0 {
		t.Errorf("looking through the index opens %v", counting.names())
	}
	for range 3 {
		e, err := b.Engine(id)
		if err != nil || e.At.File != "specs/engines/"+id+".toml" {
			t.Fatalf("%v, %v", e, err)
		}
	}
	if want := []string{"engines/" + id + ".toml x1"}; !slices.Equal(counting.names(), want) {
		t.Errorf("one engine opens %v", counting.names())
	}
	clear(counting.opened)
	b.Source("common-practice")
	b.Limits(PointsGap)
	b.Limits("timing_marks")
	if want := []string{"limits/points-gap.toml x1", "sources/common-practice.toml x1"}; !slices.Equal(counting.names(), want) {
		t.Errorf("a source and a limit open %v", counting.names())
	}
	clear(counting.opened)
	cautions := b.Cautions([]Key{PointsGap}, "flywheel-magneto-points")
	if len(cautions) == 0 || len(counting.opened) != len(cautions) {
		t.Errorf("%d cautions open %v", len(cautions), counting.names())
	}
}

// TestSecondLookupAllocatesNothing holds the second lookup to its promise.
func TestSecondLookupAllocatesNothing(t *testing.T) {
	b, _ := indexed()
	id := b.entries[0].ID
	aliased := mustLoad(t, tables(t))
	for name, look := range map[string]func(){
		"Engine":          func() { _, _ = b.Engine(id) },
		"Engine by alias": func() { _, _ = aliased.Engine("orchard-pump") },
	} {
		look()
		if n := testing.AllocsPerRun(100, look); n != 0 {
			t.Errorf("%s: %g allocations", name, n)
		}
	}
}

// TestConcurrentReaders shares one unread book between many readers; the race
// detector watches.
func TestConcurrentReaders(t *testing.T) {
	b, counting := indexed()
	var wg sync.WaitGroup
	for r := range 8 {
		wg.Go(func() {
			for i := range 40 {
				entry := b.entries[(i*7+r)%b.Len()]
				e, err := b.Engine(entry.ID)
				if err != nil || e.ID != entry.ID || len(e.Figures) != entry.Figures {
					t.Errorf("%s: %v", entry.ID, err)
					return
				}
				for _, f := range e.Figures {
					if _, ok := b.Source(f.Source); !ok {
						t.Errorf("%s: no source %s", f.At, f.Source)
					}
					b.Limits(f.Quantity)
				}
				b.Find(entry.Label)
				b.Cautions([]Key{PointsGap, Primary}, entry.System, "wiring")
			}
		})
	}
	wg.Wait()
	for name, n := range counting.opened {
		if n != 1 {
			t.Errorf("%s was read %d times", name, n)
		}
	}
}

// TestIndexIsTrue compares the built-in index with the tables.
func TestIndexIsTrue(t *testing.T) {
	loaded, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	var ids []string
	for e := range Builtin().Engines() {
		other, err := loaded.Engine(e.ID)
		if err != nil || len(other.Figures) != len(e.Figures) {
			t.Errorf("%s: %v", e.ID, err)
		}
		ids = append(ids, e.ID)
	}
	if !slices.IsSorted(ids) || len(ids) != loaded.Len() {
		t.Errorf("%d engines in the index, %d in the folder", len(ids), loaded.Len())
	}
	n := 0
	for s := range Builtin().Sources() {
		if s.ID == "" {
			t.Error("a source without id")
		}
		n++
	}
	if n != len(loaded.sources) {
		t.Errorf("%d sources of %d", n, len(loaded.sources))
	}
}

func TestUnknownTables(t *testing.T) {
	b := mustLoad(t, tables(t))
	var unknown *UnknownError
	if _, err := b.MeterClass("meter-hand"); !errors.As(err, &unknown) || unknown.What != "meter class" {
		t.Errorf("a meter class that is not there gives %v", err)
	}
	if _, ok := b.Limits(PointsGap); ok {
		t.Error("limits that are not there are found")
	}
	if got := b.Cautions([]Key{PointsGap}, "", "wiring"); got != nil {
		t.Errorf("cautions that are not there are found: %v", got)
	}
	if text := (&UnknownError{What: "engine", ID: "x", Near: []string{"y", "z"}}).Error(); text != `the book has no engine "x"; nearest: y, z` {
		t.Errorf("the error says %q", text)
	}
	var empty Book
	if empty.Len() != 0 || empty.Find("pump") != nil {
		t.Error("the zero book is not empty")
	}
}
