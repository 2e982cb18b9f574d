package units_test

import (
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
)

// The wrong programs of testdata/nocompile must not compile, and the
// compiler must say what each line's want comment says.
func TestWrongProgramsDoNotCompile(t *testing.T) {
	if runtime.GOOS == "js" {
		t.Skip("no go command under js to find the standard library's source")
	}
	fset := token.NewFileSet()
	std := importer.ForCompiler(fset, "source", nil)
	conf := types.Config{Importer: std}
	var files []*ast.File
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(fset, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	units, err := conf.Check("gapbook.example/units", fset, files, nil)
	if err != nil {
		t.Fatal(err)
	}
	programs, err := filepath.Glob("../testdata/nocompile/*.go")
	if err != nil || len(programs) < 15 {
		t.Fatalf("%d programs, %v", len(programs), err)
	}
	for _, name := range programs {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".go"), func(t *testing.T) {
			f, err := parser.ParseFile(fset, name, nil, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			want := wants(t, fset, f)
			if len(want) == 0 {
				t.Fatal("no want comment")
			}
			got := map[int][]string{}
			c := types.Config{Importer: just{units}, Error: func(err error) {
				e := err.(types.Error)
				line := fset.Position(e.Pos).Line
				got[line] = append(got[line], e.Msg)
			}}
			c.Check("wrong", fset, []*ast.File{f}, nil)
			for line, re := range want {
				if !re.MatchString(strings.Join(got[line], "\n")) {
					t.Errorf("line %d: the compiler says %q, want %s", line, got[line], re)
				}
				delete(got, line)
			}
			for line, msgs := range got {
				t.Errorf("line %d: unexpected: %q", line, msgs)
			}
		})
	}
}

// just imports one package that is there already.
type just struct{ pkg *types.Package }

func (j just) Import(path string) (*types.Package, error) { return j.pkg, nil }

var wantComment = regexp.MustCompile("^// want `(.*)`$")

// wants returns the want comments of a file by line.
func wants(t *testing.T, fset *token.FileSet, f *ast.File) map[int]*regexp.Regexp {
	m := map[int]*regexp.Regexp{}
	for _, group := range f.Comments {
		for _, c := range group.List {
			if s := wantComment.FindStringSubmatch(c.Text); s != nil {
				m[fset.Position(c.Pos()).Line] = regexp.MustCompile(s[1])
			} else if strings.Contains(c.Text, "want `") {
				t.Errorf("not a want comment: %s", c.Text)
			}
		}
	}
	return m
}
