package house_test

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"path"
	"path/filepath"
	"strings"
	"testing"
)

// TestEveryExportedNameIsExplained wants a package comment on every package
// and, outside programs, a comment on every exported name and on fields of bare
// numbers.
func TestEveryExportedNameIsExplained(t *testing.T) {
	packages := make(map[string][]string)
	for _, f := range allFiles(t) {
		if path.Ext(f.path) == ".go" && !strings.HasSuffix(f.path, "_test.go") && !strings.Contains(f.path, "testdata/") {
			packages[path.Dir(f.path)] = append(packages[path.Dir(f.path)], f.path)
		}
	}
	if len(packages) < 12 {
		t.Errorf("only %d packages were looked at", len(packages))
	}
	names := 0
	for dir, list := range packages {
		fset := token.NewFileSet()
		var parsed []*ast.File
		for _, name := range list {
			f, err := parser.ParseFile(fset, filepath.Join(root, filepath.FromSlash(name)), nil, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			parsed = append(parsed, f)
		}
		p, err := doc.NewFromFiles(fset, parsed, modulePath+"/"+dir)
		if err != nil {
			t.Fatal(err)
		}
		l := &explained{t: t, dir: dir, fset: fset}
		want := "Package " + p.Name + " "
		if p.Name == "main" {
			want = "" // programs are explained by -h
		}
		if p.Doc == "" || !strings.HasPrefix(p.Doc, want) {
			t.Errorf("%s: the package comment does not begin with %q", dir, want)
		}
		if p.Name == "main" {
			continue
		}
		l.values("", p.Consts)
		l.values("", p.Vars)
		l.funcs("", p.Funcs)
		for _, typ := range p.Types {
			l.name(typ.Name, typ.Doc)
			l.values(typ.Name+": ", typ.Consts)
			l.values(typ.Name+": ", typ.Vars)
			l.funcs("", typ.Funcs)
			l.funcs(typ.Name+".", typ.Methods)
			for _, spec := range typ.Decl.Specs {
				if s, ok := spec.(*ast.TypeSpec).Type.(*ast.StructType); ok {
					l.fields(typ, s)
				}
			}
		}
		names += l.names
	}
	if names < 800 {
		t.Errorf("only %d exported names were looked at", names)
	}
}

// explained counts names and reports those without a comment.
type explained struct {
	t     *testing.T
	dir   string
	fset  *token.FileSet
	names int
}

func (l *explained) name(name, comment string) {
	l.names++
	if strings.TrimSpace(comment) == "" {
		l.t.Errorf("%s: %s is not explained", l.dir, name)
	}
}

// funcs also wants the comment to begin with the name, as go doc shows it out
// of its place.
func (l *explained) funcs(of string, list []*doc.Func) {
	for _, f := range list {
		l.name(of+f.Name, f.Doc)
		if first, _, _ := strings.Cut(f.Doc, " "); f.Doc != "" && strings.TrimSpace(first) != f.Name {
			l.t.Errorf("%s: the comment of %s%s begins with %q", l.dir, of, f.Name, first)
		}
	}
}

// values wants a comment on the group, or on each exported name in it.
func (l *explained) values(of string, list []*doc.Value) {
	for _, v := range list {
		for _, spec := range v.Decl.Specs {
			s := spec.(*ast.ValueSpec)
			for _, n := range s.Names {
				if n.IsExported() {
					l.name(of+n.Name, v.Doc+" "+s.Doc.Text()+" "+s.Comment.Text())
				}
			}
		}
	}
}

// fields wants a comment on each exported field of bare numbers or truth, whose
// unit or meaning the type does not tell: its own, that of the line above which
// it shares, or its name in the comment of the type. Words and values of
// documented types speak for themselves.
func (l *explained) fields(typ *doc.Type, s *ast.StructType) {
	shared := ""
	line := 0
	for _, f := range s.Fields.List {
		comment := f.Doc.Text() + f.Comment.Text()
		start := l.fset.Position(f.Pos()).Line
		if comment == "" && start == line+1 {
			comment = shared // one comment may head several lines
		}
		for _, n := range f.Names {
			if !n.IsExported() {
				continue
			}
			l.names++
			if comment == "" && !mentions(typ.Doc, n.Name) && bare(f.Type) {
				l.t.Errorf("%s: the field %s.%s is not explained", l.dir, typ.Name, n.Name)
			}
		}
		shared, line = comment, l.fset.Position(f.End()).Line
	}
}

// bare reports numbers and truth values, alone or in lists, maps and the like.
func bare(typ ast.Expr) bool {
	found := false
	ast.Inspect(typ, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			switch id.Name {
			case "bool", "float32", "float64", "int", "int64", "uint", "uint8", "uint64":
				found = true
			}
		}
		return true
	})
	return found
}

func mentions(text, name string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !('a' <= r && r <= 'z') }) {
		if w == strings.ToLower(name) {
			return true
		}
	}
	return false
}
