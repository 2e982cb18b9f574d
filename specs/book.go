package specs

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"maps"
	"os"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// Version is the version of the book that ships with this module. Reports
// carry it together with [Book.Digest].
const Version = "0.1.0"

// A Book is a set of tables. It is immutable and safe to share between
// goroutines. Use [Builtin], [Load] or [Book.Overlay]; the zero Book is empty.
type Book struct {
	layers     []layer // later ones stand over earlier ones
	version    string
	digest     string
	entries    []Entry        // sorted by id
	aliases    []alias        // sorted by name
	cautions   []cautionEntry // sorted by id
	sources    []string       // sorted ids
	limits     []string       // sorted file ids
	meters     []string       // sorted file ids
	switches   []string       // sorted ids
	parts      []string       // sorted ids
	wires      []string       // sorted ids
	bounds     []string       // sorted ids
	exceptions []string       // sorted ids
	faults     []string       // sorted ids of fault tables
	// conversions and finishes are sorted ids of recipes and finish tables.
	conversions, finishes []string
	usual                 []alias // kind of quantity to the usual class of meter

	mu    sync.RWMutex
	files map[string]any // decoded tables by path

	siblingBook // siblings of every figure

	faultsOnce sync.Once
	faultsAll  *Faults // gathered from all fault tables
}

type layer struct {
	fsys   fs.FS
	prefix string // put before paths in positions and problems
	has    func(path string) bool
	// figures are those of the layer's engines, where they are known without
	// reading its tables, sorted by id.
	figures []engineFigures
}

// An Entry is one engine in the index: enough to find and list it without
// reading its table.
type Entry struct {
	// ID is the engine's id and File its table below the folder of the book.
	ID, File string
	// Maker, Label, Class and System are those of its identity.
	Maker, Label, Class, System string
	// Models and Aliases are its model names and the ids it had before.
	Models, Aliases []string
	// Cycle is strokes a cycle and Cylinders their number; zero is unknown.
	Cycle, Cylinders int
	// Figures counts its claims and SetAside those that cannot be used;
	// Verified and Disputed count claims of that status.
	Figures, SetAside, Verified, Disputed int
	// HasPoints and HasTiming say that it has a points gap, an ignition timing.
	HasPoints, HasTiming bool
}

type alias struct{ name, id string }

type cautionEntry struct {
	id            string
	jobs, systems []string
	quantities    []Key
}

// An UnknownError is returned for an id that the book does not hold.
type UnknownError struct {
	// What is the kind of table: "engine", "source", "meter class".
	What string
	// ID is what was asked for; Near are the nearest ids the book holds.
	ID   string
	Near []string
}

// Error says what is missing and offers the nearest ids.
func (e *UnknownError) Error() string {
	text := fmt.Sprintf("the book has no %s %q", e.What, e.ID)
	if len(e.Near) > 0 {
		text += "; nearest: " + strings.Join(e.Near, ", ")
	}
	return text
}

// Version is the version of the book, from its tables' module, never from
// version control. A folder laid over the shipped book adds "+overlay".
func (b *Book) Version() string { return b.version }

// Digest is a hexadecimal fingerprint of every table of the book.
func (b *Book) Digest() string { return b.digest }

// Len is the number of engines.
func (b *Book) Len() int { return len(b.entries) }

// Entries returns the index of engines in the order of their ids, without
// reading any table.
func (b *Book) Entries() iter.Seq[Entry] { return slices.Values(b.entries) }

// Engines reads every engine table and returns the engines in the order of
// their ids.
func (b *Book) Engines() iter.Seq[*Engine] {
	return func(yield func(*Engine) bool) {
		for i := range b.entries {
			if !yield(b.engineAt(i)) {
				return
			}
		}
	}
}

// Engine returns the engine with this id or alias. It reads that engine's
// table and no other, the first time it is asked for. The error is an
// [*UnknownError].
func (b *Book) Engine(id string) (*Engine, error) {
	if i, ok := b.find(id); ok {
		return b.engineAt(i), nil
	}
	if i, ok := slices.BinarySearchFunc(b.aliases, id, func(a alias, s string) int { return cmp.Compare(a.name, s) }); ok {
		if j, ok := b.find(b.aliases[i].id); ok {
			return b.engineAt(j), nil
		}
	}
	return nil, &UnknownError{What: "engine", ID: id, Near: b.near(id)}
}

func (b *Book) find(id string) (int, bool) {
	return slices.BinarySearchFunc(b.entries, id, func(e Entry, s string) int { return cmp.Compare(e.ID, s) })
}

func (b *Book) near(id string) []string {
	var near []string
	for _, m := range b.Find(strings.ReplaceAll(id, "-", " ")) {
		near = append(near, m.Entry.ID)
		if len(near) == 3 {
			return near
		}
	}
	ids := make([]string, len(b.entries))
	for i, e := range b.entries {
		ids[i] = e.ID
	}
	if n, ok := gate.Nearest(id, ids); ok && !slices.Contains(near, n) {
		near = append(near, n)
	}
	return near
}

func (b *Book) engineAt(i int) *Engine {
	return read(b, b.entries[i].File, decodeEngine)
}

// Source returns the source with this id. ok is false when the book has none.
func (b *Book) Source(id string) (s *Source, ok bool) {
	if _, found := slices.BinarySearch(b.sources, id); !found {
		return nil, false
	}
	return read(b, "sources/"+id+".toml", decodeSource), true
}

// Sources reads every source and returns them in the order of their ids.
func (b *Book) Sources() iter.Seq[*Source] {
	return func(yield func(*Source) bool) {
		for _, id := range b.sources {
			if s, _ := b.Source(id); !yield(s) {
				return
			}
		}
	}
}

// Limits returns the limits of one quantity. ok is false when the book has none.
func (b *Book) Limits(key Key) (l *Limits, ok bool) {
	id := strings.ReplaceAll(string(key), "_", "-")
	if _, found := slices.BinarySearch(b.limits, id); !found {
		return nil, false
	}
	return read(b, "limits/"+id+".toml", decodeLimits), true
}

// MeterClass returns a class of measuring means. The error is an [*UnknownError].
func (b *Book) MeterClass(id string) (*Meter, error) {
	if _, found := slices.BinarySearch(b.meters, id); !found {
		return nil, &UnknownError{What: "meter class", ID: id, Near: b.meters}
	}
	return read(b, "limits/"+id+".toml", decodeMeter), nil
}

// MeterClasses lists the ids of all classes of measuring means.
func (b *Book) MeterClasses() []string { return slices.Clone(b.meters) }

// UsualMeter returns the class of meter that is taken for a kind of quantity
// where nobody says, with its accuracy. ok is false where the book names none.
func (b *Book) UsualMeter(k units.Kind) (m *Meter, r MeterRange, ok bool) {
	for _, u := range b.usual {
		if u.name == kindKey(k) {
			m, err := b.MeterClass(u.id)
			if err != nil {
				return nil, MeterRange{}, false
			}
			r, ok := m.Range(k)
			return m, r, ok
		}
	}
	return nil, MeterRange{}, false
}

// Cautions returns the cautions that print with any of these quantities, with
// this kind of ignition, or with any of these jobs, in the order of their ids.
// Only the tables that apply are read.
func (b *Book) Cautions(quantities []Key, system string, jobs ...string) []*Caution {
	var out []*Caution
	for _, c := range b.cautions {
		if !c.applies(quantities, system, jobs) {
			continue
		}
		out = append(out, read(b, "cautions/"+c.id+".toml", decodeCaution))
	}
	return out
}

// applies wants one of the quantities or jobs, and, where the caution names
// kinds of ignition, one of those too.
func (c cautionEntry) applies(quantities []Key, system string, jobs []string) bool {
	if len(c.systems) > 0 && !slices.Contains(c.systems, system) {
		return false
	}
	for _, q := range quantities {
		if slices.Contains(c.quantities, q) {
			return true
		}
	}
	for _, j := range jobs {
		if slices.Contains(c.jobs, j) {
			return true
		}
	}
	return false
}

// read decodes a table once and keeps it. A table of a book that is open has
// been decoded before, by [Load] or by the tests of this package, so a problem
// here means that a shipped table was edited since. It panics with the
// gate.Problems, which programs may catch and print.
func read[T any](b *Book, file string, decode func(*gate.Doc) (*T, gate.Problems)) *T {
	b.mu.RLock()
	v, ok := b.files[file]
	b.mu.RUnlock()
	if ok {
		return v.(*T)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if v, ok := b.files[file]; ok {
		return v.(*T)
	}
	table, problems := b.decode(file, func(doc *gate.Doc) (any, gate.Problems) { return decode(doc) })
	if problems != nil {
		panic(problems)
	}
	if b.files == nil {
		b.files = make(map[string]any)
	}
	b.files[file] = table
	return table.(*T)
}

func (b *Book) decode(file string, decode func(*gate.Doc) (any, gate.Problems)) (any, gate.Problems) {
	for i := len(b.layers) - 1; i >= 0; i-- {
		l := b.layers[i]
		if !l.has(file) {
			continue
		}
		doc, problems := gate.ReadFile(l.fsys, file)
		if problems != nil {
			return nil, prefixed(problems, l.prefix)
		}
		doc.File = l.prefix + file
		return decode(doc)
	}
	return nil, gate.Problems{{File: file, Code: "missing-file", Message: "the book has no such table"}}
}

func prefixed(problems gate.Problems, prefix string) gate.Problems {
	for i := range problems {
		problems[i].File = prefix + problems[i].File
	}
	return problems
}

// SwitchTable returns a switch table. The error is an [*UnknownError].
func (b *Book) SwitchTable(id string) (*SwitchTable, error) {
	if _, found := slices.BinarySearch(b.switches, id); !found {
		return nil, &UnknownError{What: "switch table", ID: id, Near: b.switches}
	}
	return read(b, "switches/"+id+".toml", decodeSwitch), nil
}

// SwitchTables lists the ids of all switch tables.
func (b *Book) SwitchTables() []string { return slices.Clone(b.switches) }

// PartClass returns what a kind of part usually is; ok is false where the book
// does not say.
func (b *Book) PartClass(id string) (c *PartClass, ok bool) {
	if _, found := slices.BinarySearch(b.parts, id); !found {
		return nil, false
	}
	return read(b, "parts/"+id+".toml", decodePart), true
}

// WireTable returns a published table about wires; ok is false where the book
// has none of this id.
func (b *Book) WireTable(id string) (t *WireTable, ok bool) {
	if _, found := slices.BinarySearch(b.wires, id); !found {
		return nil, false
	}
	return read(b, "wires/"+id+".toml", decodeWire), true
}

// Load reads a folder of tables shaped like this package's own: engines,
// sources, limits, cautions, switches, parts, wires, faults and conversions below it, or engine tables at its top. The
// error is a [gate.Problems] that lists everything wrong in the folder.
func Load(fsys fs.FS) (*Book, error) {
	return loadOver(&Book{version: Version}, fsys, "")
}

// Overlay lays a folder of tables over the book: tables with new ids are
// added, tables with known ids replace the book's own. The book itself does
// not change. The error is a [gate.Problems].
func (b *Book) Overlay(fsys fs.FS) (*Book, error) { return loadOver(b, fsys, "") }

// OverlayDir is [Book.Overlay] for a folder on disk, so that problems carry
// the folder's name.
func (b *Book) OverlayDir(dir string) (*Book, error) {
	info, err := os.Stat(dir)
	if err != nil || !info.IsDir() {
		return nil, gate.Problems{{File: dir, Code: "no-folder", Message: "there is no folder of this name", Hint: "name a folder that holds engine tables"}}
	}
	return loadOver(b, os.DirFS(dir), strings.TrimSuffix(dir, "/")+"/")
}

// maxFiles and maxBytes keep a hostile folder from taking the machine down.
const (
	maxFiles = 8192
	maxBytes = 64 << 20
)

var fileName = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*\.toml$`)

var kinds = []string{"bounds", "cautions", "conversions", "engines", "exceptions", "faults", "limits", "parts", "sources", "switches", "wires"}

func loadOver(base *Book, fsys fs.FS, prefix string) (*Book, error) {
	b := &Book{
		layers: slices.Clone(base.layers), version: base.version,
		entries: slices.Clone(base.entries), cautions: slices.Clone(base.cautions),
		sources: slices.Clone(base.sources), limits: slices.Clone(base.limits), meters: slices.Clone(base.meters), usual: slices.Clone(base.usual),
		switches: slices.Clone(base.switches), parts: slices.Clone(base.parts), wires: slices.Clone(base.wires), exceptions: slices.Clone(base.exceptions), bounds: slices.Clone(base.bounds), faults: slices.Clone(base.faults),
		conversions: slices.Clone(base.conversions), finishes: slices.Clone(base.finishes),
		files: make(map[string]any),
	}
	if len(base.layers) > 0 && !strings.HasSuffix(b.version, "+overlay") {
		b.version += "+overlay"
	}
	files, problems := listTables(fsys, prefix)
	present := make(map[string]bool, len(files))
	for _, f := range files {
		present[f] = true
	}
	b.layers = append(b.layers, layer{fsys: fsys, prefix: prefix, has: func(p string) bool { return present[p] }})
	sum := sha256.New()
	fmt.Fprintf(sum, "%s\n", base.digest)
	total := 0
	if len(files) == 0 && len(problems) == 0 && len(base.layers) > 0 {
		where := strings.TrimSuffix(prefix, "/")
		if where == "" {
			where = "."
		}
		problems = append(problems, gate.Problem{File: where, Code: "no-tables", Message: "the folder holds no tables", Hint: "name the folder that holds engine tables, or holds the folders engines and sources"})
	}
	for _, f := range files {
		src, err := fs.ReadFile(fsys, f)
		if info, statErr := fs.Stat(fsys, f); err != nil || statErr != nil || info.Size() > gate.MaxBytes {
			// The gate says what is wrong with a file that cannot be read.
			_, found := gate.ReadFile(fsys, f)
			problems = append(problems, prefixed(found, prefix)...)
			continue
		}
		total += len(src)
		if total > maxBytes {
			problems = append(problems, gate.Problem{File: prefix + f, Code: "too-big", Message: "the folder holds more than 64 MiB of tables"})
			break
		}
		fmt.Fprintf(sum, "%s %d\n", f, len(src))
		sum.Write(src)
		doc, found := gate.Read(prefix+f, src)
		if found != nil {
			problems = append(problems, found...)
			continue
		}
		table, found := decoderOf(f)(doc)
		if found != nil {
			problems = append(problems, found...)
			continue
		}
		b.files[f] = table
		problems = append(problems, b.enter(f, table)...)
	}
	b.digest = hex.EncodeToString(sum.Sum(nil))[:16]
	b.arrange()
	problems = append(problems, b.checkReferences()...)
	if len(problems) == 0 {
		problems = append(problems, b.checkFaults()...)
	}
	if len(problems) > 0 {
		problems.Sort()
		return nil, problems
	}
	return b, nil
}

// listTables finds the tables of a folder: those at its top and those in the
// folders of each kind, in a fixed order.
func listTables(fsys fs.FS, prefix string) ([]string, gate.Problems) {
	var files []string
	var problems gate.Problems
	for _, dir := range append([]string{"."}, kinds...) {
		list, err := fs.ReadDir(fsys, dir)
		if err != nil {
			if dir == "." || !errors.Is(err, fs.ErrNotExist) {
				problems = append(problems, gate.Problem{File: prefix + dir, Code: "unreadable", Message: "this folder cannot be read"})
			}
			continue
		}
		slices.SortFunc(list, func(x, y fs.DirEntry) int { return cmp.Compare(x.Name(), y.Name()) })
		slices.SortFunc(list, func(x, y fs.DirEntry) int { return cmp.Compare(x.Name(), y.Name()) })
		for _, d := range list {
			name := path.Join(dir, d.Name())
			if d.IsDir() || !strings.HasSuffix(d.Name(), ".toml") {
				continue
			}
			if !fileName.MatchString(d.Name()) || reservedName(d.Name()) {
				problems = append(problems, gate.Problem{File: prefix + name, Code: "bad-file-name", Message: "the name of a table is lower-case words of letters and digits joined by single dashes, and no device name", Hint: "rename it, such as orchard-pump-6.toml"})
				continue
			}
			if dir == "engines" && slices.Contains(files, d.Name()) {
				problems = append(problems, gate.Problem{File: prefix + name, Code: "table-twice", Message: "the folder holds this engine twice, here and at its top", Hint: "take one of the two out"})
				continue
			}
			files = append(files, name)
		}
	}
	if len(files) > maxFiles {
		problems = append(problems, gate.Problem{File: prefix, Code: "too-many-files", Message: fmt.Sprintf("%d tables are more than the %d one book may hold", len(files), maxFiles)})
		files = nil
	}
	return files, problems
}

// reservedName reports names that some systems cannot store.
func reservedName(name string) bool {
	stem := strings.TrimSuffix(name, ".toml")
	switch stem {
	case "con", "prn", "aux", "nul":
		return true
	}
	return len(stem) == 4 && (strings.HasPrefix(stem, "com") || strings.HasPrefix(stem, "lpt")) && stem[3] >= '0' && stem[3] <= '9'
}

func decoderOf(file string) func(*gate.Doc) (any, gate.Problems) {
	switch dir := path.Dir(file); {
	case dir == "sources":
		return func(d *gate.Doc) (any, gate.Problems) { return decodeSource(d) }
	case dir == "cautions":
		return func(d *gate.Doc) (any, gate.Problems) { return decodeCaution(d) }
	case dir == "switches":
		return func(d *gate.Doc) (any, gate.Problems) { return decodeSwitch(d) }
	case dir == "parts":
		return func(d *gate.Doc) (any, gate.Problems) { return decodePart(d) }
	case dir == "faults":
		return func(d *gate.Doc) (any, gate.Problems) { return decodeFaults(d) }
	case dir == "bounds":
		return func(d *gate.Doc) (any, gate.Problems) { return decodeBounds(d) }
	case dir == "exceptions":
		return func(d *gate.Doc) (any, gate.Problems) { return decodeExceptions(d) }
	case dir == "wires":
		return func(d *gate.Doc) (any, gate.Problems) { return decodeWire(d) }
	case dir == "conversions" && strings.HasPrefix(path.Base(file), "finish-"):
		return func(d *gate.Doc) (any, gate.Problems) { return decodeFinish(d) }
	case dir == "conversions":
		return func(d *gate.Doc) (any, gate.Problems) { return decodeConversion(d) }
	case dir == "limits" && strings.HasPrefix(path.Base(file), "meter-"):
		return func(d *gate.Doc) (any, gate.Problems) { return decodeMeter(d) }
	case dir == "limits":
		return func(d *gate.Doc) (any, gate.Problems) { return decodeLimits(d) }
	default:
		return func(d *gate.Doc) (any, gate.Problems) { return decodeEngine(d) }
	}
}

// enter puts a decoded table into the index and checks that it is named as its
// file is.
func (b *Book) enter(file string, table any) gate.Problems {
	id, at := "", Position{}
	stem := strings.TrimSuffix(path.Base(file), ".toml")
	switch t := table.(type) {
	case *Engine:
		id, at = t.ID, t.At
		b.entries = slices.DeleteFunc(b.entries, func(e Entry) bool { return e.ID == t.ID })
		b.entries = append(b.entries, entryOf(file, t))
	case *Source:
		id, at = t.ID, t.At
		b.sources = append(b.sources, t.ID)
	case *Limits:
		id, at = t.ID, t.At
		b.limits = append(b.limits, t.ID)
	case *Meter:
		id, at = t.ID, t.At
		b.meters = append(b.meters, t.ID)
		for _, kind := range t.Usual {
			b.usual = slices.DeleteFunc(b.usual, func(u alias) bool { return u.name == kind })
			b.usual = append(b.usual, alias{kind, t.ID})
		}
	case *SwitchTable:
		id, at = t.ID, t.At
		b.switches = append(b.switches, t.ID)
	case *PartClass:
		id, at = t.ID, t.At
		b.parts = append(b.parts, t.ID)
	case *WireTable:
		id, at = t.ID, t.At
		b.wires = append(b.wires, t.ID)
	case *Bounds:
		id, at = t.ID, t.At
		b.bounds = append(b.bounds, t.ID)
	case *Exceptions:
		id, at = t.ID, t.At
		b.exceptions = append(b.exceptions, t.ID)
	case *FaultTable:
		id, at = t.ID, t.At
		b.faults = append(b.faults, t.ID)
	case *Conversion:
		id, at = t.ID, t.At
		b.conversions = append(b.conversions, t.ID)
	case *Finish:
		id, at = t.ID, t.At
		b.finishes = append(b.finishes, t.ID)
	case *Caution:
		id, at = t.ID, t.At
		b.cautions = slices.DeleteFunc(b.cautions, func(c cautionEntry) bool { return c.id == t.ID })
		b.cautions = append(b.cautions, cautionEntry{id: t.ID, jobs: t.Jobs, systems: t.Systems, quantities: t.Quantities})
	}
	if id != stem {
		return gate.Problems{{File: at.File, Line: at.Line, Col: at.Col, Key: "id", Code: "id-not-file", Message: fmt.Sprintf("the id %q is not the file's name %q", id, stem), Hint: "give both the same name"}}
	}
	return nil
}

func entryOf(file string, e *Engine) Entry {
	entry := Entry{
		ID: e.ID, File: file, Maker: e.Identity.Maker, Label: e.Identity.Label, Class: e.Identity.Class,
		System: e.Identity.System, Models: e.Identity.Models, Aliases: e.Aliases,
		Cycle: e.Identity.Cycle, Cylinders: e.Identity.Cylinders,
		Figures: len(e.Figures), SetAside: len(e.SetAside),
	}
	for _, f := range e.Figures {
		switch f.Status {
		case Verified:
			entry.Verified++
		case Disputed:
			entry.Disputed++
		}
		entry.HasPoints = entry.HasPoints || f.Quantity == PointsGap
		entry.HasTiming = entry.HasTiming || f.Quantity == Timing || f.Quantity == TimingPiston
	}
	return entry
}

// arrange sorts the index and builds the aliases.
func (b *Book) arrange() {
	slices.SortFunc(b.entries, func(x, y Entry) int { return cmp.Compare(x.ID, y.ID) })
	slices.SortFunc(b.cautions, func(x, y cautionEntry) int { return cmp.Compare(x.id, y.id) })
	for _, list := range []*[]string{&b.sources, &b.limits, &b.meters, &b.switches, &b.parts, &b.wires, &b.exceptions, &b.bounds, &b.faults, &b.conversions, &b.finishes} {
		slices.Sort(*list)
		*list = slices.Compact(*list)
	}
	slices.SortFunc(b.usual, func(x, y alias) int { return cmp.Compare(x.name, y.name) })
	b.aliases = nil
	for _, e := range b.entries {
		for _, a := range e.Aliases {
			b.aliases = append(b.aliases, alias{a, e.ID})
		}
	}
	slices.SortFunc(b.aliases, func(x, y alias) int { return cmp.Or(cmp.Compare(x.name, y.name), cmp.Compare(x.id, y.id)) })
}

// checkReferences reports figures whose source the book does not hold, and
// aliases that lead nowhere certain.
func (b *Book) checkReferences() gate.Problems {
	var problems gate.Problems
	check := func(source string, at Position, key string) {
		if _, ok := slices.BinarySearch(b.sources, source); ok {
			return
		}
		hint := "add sources/" + source + ".toml"
		if near, ok := gate.Nearest(source, b.sources); ok {
			hint = "did you mean " + strconv.Quote(near) + "?"
		}
		problems = append(problems, gate.Problem{File: at.File, Line: at.Line, Col: at.Col, Key: key, Code: "unknown-source", Message: fmt.Sprintf("the book has no source %q", source), Hint: hint})
	}
	// What a check reads of the layers below joins the files: it is not checked.
	for _, table := range maps.Clone(b.files) {
		switch t := table.(type) {
		case *Engine:
			for _, f := range t.Figures {
				check(f.Source, f.At, f.Path())
			}
			for _, s := range t.SetAside {
				check(s.Source, s.At, "set_aside."+string(s.Quantity)+"."+s.Source)
			}
		case *Limits:
			for _, f := range append(slices.Clone(t.Plausible), t.Bands...) {
				check(f.Source, f.At, f.Path())
			}
			for _, x := range t.Tolerances {
				check(x.Source, x.At, "tolerance."+x.Label+"."+x.Source)
			}
			if t.GrossSource != "" {
				check(t.GrossSource, t.At, "gross."+t.GrossSource)
			}
		case *Meter:
			for _, r := range t.Ranges {
				check(r.Source, r.At, "accuracy."+r.Kind+"."+r.Source)
			}
		case *Caution:
			for _, s := range t.Sources {
				check(s.Source, s.At, "source."+s.Source)
			}
		case *SwitchTable:
			for _, s := range t.Sources {
				check(s.Source, s.At, "source."+s.Source)
			}
		case *PartClass:
			for _, v := range t.Values {
				check(v.Source, v.At, v.Attribute+"."+v.Source)
			}
			problems = append(problems, b.checkSupply(t)...)
		case *Bounds:
			for _, x := range t.List {
				check(x.Source, x.At, "bound."+x.Name+".source")
			}
		case *WireTable:
			for _, c := range t.Columns {
				check(c.Source, c.At, "column."+c.Name)
			}
		case *Conversion:
			for _, s := range t.sources() {
				check(s.source, s.at, s.key)
			}
			problems = append(problems, b.checkConversion(t)...)
		case *Finish:
			for _, s := range t.sources() {
				check(s.source, s.at, s.key)
			}
		case *FaultTable:
			for _, s := range t.sources() {
				check(s.source, s.at, s.key)
			}
		}
	}
	for i, a := range b.aliases {
		_, taken := b.find(a.name)
		if taken || i > 0 && b.aliases[i-1].name == a.name {
			e := b.engineByID(a.id)
			problems = append(problems, gate.Problem{File: e.At.File, Line: 1, Col: 1, Key: "aliases", Code: "alias-taken", Message: fmt.Sprintf("the alias %q names another record too", a.name), Hint: "choose another alias"})
		}
	}
	return problems
}

func (b *Book) engineByID(id string) *Engine {
	i, _ := b.find(id)
	return b.engineAt(i)
}
