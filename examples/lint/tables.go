package main

import (
	"archive/zip"
	"bytes"
	"embed"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"gapbook.example/examples/shell"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
)

//go:embed example/engines/*.toml example/sources/*.toml
var example embed.FS

// folders are those in which tables of the book stand.
var folders = func() []string {
	var list []string
	for _, kind := range specs.SchemaKinds() {
		if f, _ := specs.Folder(kind); !slices.Contains(list, f) {
			list = append(list, f)
		}
	}
	return list
}()

// grouped sorts what the command line names into things linted together: all
// files as one, so that a table and the source sent with it find one another,
// and each folder by itself.
func grouped(args []string) []func(*shell.Program, *specs.Book) (result, error) {
	var list []func(*shell.Program, *specs.Book) (result, error)
	var files []string
	for _, arg := range args {
		if info, err := os.Stat(arg); err == nil && info.IsDir() {
			list = append(list, func(p *shell.Program, base *specs.Book) (result, error) { return lintFolder(base, arg) })
			continue
		}
		files = append(files, arg)
	}
	if len(files) > 0 {
		list = append(list, func(p *shell.Program, base *specs.Book) (result, error) { return lintFiles(p, base, files) })
	}
	if len(args) == 0 {
		list = append(list, func(p *shell.Program, base *specs.Book) (result, error) {
			tables := make(map[string]file)
			err := fs.WalkDir(example, "example", func(name string, d fs.DirEntry, err error) error {
				if err != nil || d.IsDir() {
					return err
				}
				src, err := example.ReadFile(name)
				tables[strings.TrimPrefix(name, "example/")] = file{shown: "examples/lint/" + name, src: src, asked: true}
				return err
			})
			if err != nil {
				return result{}, err
			}
			return lintTables(base, tables), nil
		})
	}
	return list
}

// file is a table as it was read.
type file struct {
	shown string // how problems name it
	src   []byte
	asked bool // whether it is to be linted, or only stands behind one that is
}

// whole reports whether a folder is a whole book, which needs no other behind
// it: such a one has the list of its ids.
func whole(dir string) bool {
	_, err := os.Stat(filepath.Join(dir, "frozen", "ids.txt"))
	return err == nil
}

// open opens the book in a folder: a whole one by itself, other tables laid
// over the base.
func open(base *specs.Book, dir string) (*specs.Book, error) {
	if !whole(dir) {
		return base.OverlayDir(dir)
	}
	book, err := specs.Load(os.DirFS(dir))
	if problems, ok := err.(gate.Problems); ok {
		return nil, within(dir, problems)
	}
	return book, err
}

// within names the files of problems as seen from outside their folder.
func within(dir string, problems gate.Problems) gate.Problems {
	for i := range problems {
		problems[i].File = strings.TrimSuffix(dir, "/") + "/" + problems[i].File
	}
	return problems
}

// lintFolder lints every table of a folder. A whole book is also held to the
// rules about the book and to the list of its ids.
func lintFolder(base *specs.Book, dir string) (result, error) {
	files, err := tablesOf(dir)
	if err != nil {
		return result{}, err
	}
	book, err := open(base, dir)
	if whole(dir) && err == nil {
		r := result{book: book, tables: len(files), problems: within(dir, book.Lint())}
		list, err := os.ReadFile(filepath.Join(dir, "frozen", "ids.txt"))
		if err != nil {
			return result{}, err
		}
		_, frozen := book.CheckFrozen(list)
		r.problems = append(r.problems, within(dir, frozen)...)
		return r, nil
	}
	tables := make(map[string]file)
	for _, f := range files {
		src, err := os.ReadFile(f)
		if err != nil || len(src) > gate.MaxBytes {
			_, problems := gate.ReadPath(f)
			return result{}, problems
		}
		rel, err := filepath.Rel(dir, f)
		if err != nil {
			return result{}, err
		}
		tables[filepath.ToSlash(rel)] = file{shown: f, src: src, asked: true}
	}
	if len(tables) == 0 {
		return result{}, err
	}
	return lintTables(base, tables), nil
}

// tablesOf lists the tables of a folder, or the file itself.
func tablesOf(arg string) ([]string, error) {
	info, err := os.Stat(arg)
	if err != nil {
		_, problems := gate.ReadPath(arg)
		return nil, problems
	}
	if !info.IsDir() {
		return []string{arg}, nil
	}
	var list []string
	for _, dir := range append([]string{"."}, folders...) {
		names, err := filepath.Glob(filepath.Join(arg, dir, "*.toml"))
		if err != nil {
			return nil, err
		}
		list = append(list, names...)
	}
	if len(list) == 0 {
		return nil, gate.Problems{{File: arg, Code: "no-tables", Message: "the folder holds no tables", Hint: "name the folder that holds engine tables, or holds the folders engines and sources"}}
	}
	slices.Sort(list)
	return list, nil
}

// lintFiles lints single files. Sources and related engines that stand beside
// them, in the folders of the same book, are taken along.
func lintFiles(p *shell.Program, base *specs.Book, names []string) (result, error) {
	tables := make(map[string]file)
	var missing gate.Problems
	for _, name := range names {
		src, err := p.Input(name)
		if err != nil {
			problems, ok := err.(gate.Problems)
			if !ok {
				return result{}, err
			}
			missing = append(missing, problems...)
			continue
		}
		shown, root := name, filepath.Dir(name)
		if name == "-" {
			shown, root = "standard input", ""
		}
		doc, _ := gate.Read(shown, src)
		dir := filepath.Base(filepath.Dir(name))
		if slices.Contains(folders, dir) {
			root = filepath.Dir(root)
		} else {
			dir = "engines"
			if doc != nil {
				if d, ok := specs.Folder(strings.TrimSuffix(path.Base(doc.Schema), ".json")); ok {
					dir = d
				}
			}
		}
		base := filepath.Base(name)
		if name == "-" {
			base = "standard-input.toml"
			if doc != nil {
				if id := doc.Root.Child("id"); id != nil {
					if s, ok := id.Value.(string); ok && fs.ValidPath(s) && !strings.Contains(s, "/") {
						base = s + ".toml"
					}
				}
			}
		}
		tables[dir+"/"+base] = file{shown: shown, src: src, asked: true}
		if doc != nil && root != "" {
			beside(tables, root, doc.Root)
		}
	}
	if missing != nil {
		return result{}, missing
	}
	return lintTables(base, tables), nil
}

// beside takes along the tables of the same folder that a table names: its
// sources by their ids and related engines.
func beside(tables map[string]file, root string, n *gate.Node) {
	take := func(dir, id string) {
		if !fs.ValidPath(id) || strings.Contains(id, "/") {
			return
		}
		key := dir + "/" + id + ".toml"
		if _, ok := tables[key]; ok {
			return
		}
		name := filepath.Join(root, dir, id+".toml")
		if info, err := os.Stat(name); err == nil && info.Mode().IsRegular() && info.Size() <= gate.MaxBytes {
			if src, err := os.ReadFile(name); err == nil {
				tables[key] = file{shown: name, src: src}
			}
		}
	}
	for _, c := range n.Children {
		if c.IsTable {
			take("sources", c.Key)
			beside(tables, root, c)
			continue
		}
		words := []*gate.Node{c}
		switch c.Key {
		case "related", "witness":
			words = append(words, c.Items...)
		case "source":
		default:
			continue
		}
		for _, w := range words {
			if s, ok := w.Value.(string); ok {
				first, _, _ := strings.Cut(s, " ")
				if c.Key == "source" {
					take("sources", first)
				} else {
					take("engines", first)
				}
			}
		}
	}
}

// lintTables lays tables over the base and lints those that were asked for.
// Where some cannot be read it says so, and lints the others.
func lintTables(base *specs.Book, tables map[string]file) result {
	r := result{book: base}
	for _, f := range tables {
		if f.asked {
			r.tables++
		}
	}
	for range 2 {
		book, err := base.Overlay(packed(tables))
		problems, _ := err.(gate.Problems)
		if err == nil {
			r.book = book
			problems = book.LintFiles(asked(tables)...)
			// Only the shipped book wants no invented figures.
			problems = slices.DeleteFunc(problems, func(one gate.Problem) bool { return one.Code == "invented" })
		}
		r.problems = append(r.problems, shown(tables, problems)...)
		if err == nil {
			break
		}
		left := make(map[string]file)
		for name, f := range tables {
			if !slices.ContainsFunc(problems, func(one gate.Problem) bool { return one.File == f.shown }) {
				left[name] = f
			}
		}
		if len(left) == 0 || len(left) == len(tables) || slices.ContainsFunc(problems, func(one gate.Problem) bool { return strings.Contains(one.File, "sources/") }) {
			break // what is left cannot stand without it
		}
		tables = left
	}
	r.problems.Sort()
	return r
}

func asked(tables map[string]file) []string {
	var list []string
	for name, f := range tables {
		if f.asked {
			list = append(list, name)
		}
	}
	slices.Sort(list)
	return list
}

// shown names the files of problems as the person does.
func shown(tables map[string]file, problems gate.Problems) gate.Problems {
	for i, one := range problems {
		if f, ok := tables[one.File]; ok {
			problems[i].File = f.shown
		}
	}
	return problems
}

// packed makes a file system of tables in memory.
func packed(tables map[string]file) fs.FS {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, name := range slices.Sorted(keys(tables)) {
		f, err := w.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
		if err == nil {
			_, err = f.Write(tables[name].src)
		}
		if err != nil {
			panic(err) // memory does not refuse to be written
		}
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	r, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		panic(err)
	}
	return r
}

func keys(tables map[string]file) func(func(string) bool) {
	return func(yield func(string) bool) {
		for name := range tables {
			if !yield(name) {
				return
			}
		}
	}
}

// replace writes a file anew, whole or not at all.
func replace(name string, text []byte) error {
	info, err := os.Stat(name)
	if err != nil {
		return err
	}
	if real, err := filepath.EvalSymlinks(name); err == nil {
		name = real // a link stays one
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".lint-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	if _, err := f.Write(text); err != nil {
		f.Close()
		return err
	}
	if err := f.Chmod(info.Mode().Perm()); err != nil {
		f.Close()
		return err
	}
	if err := f.Sync(); err != nil {
		f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}
