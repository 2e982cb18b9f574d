package house_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// sections returns the parts of DEVELOPERS headed by a name in code, such as
// "#### `within`".
func sections(t *testing.T) map[string]string {
	t.Helper()
	found := make(map[string]string)
	name := ""
	for line := range strings.Lines(text(t, "DEVELOPERS.md")) {
		if strings.HasPrefix(line, "#") {
			name = ""
			if id, ok := strings.CutPrefix(strings.TrimSpace(line), "#### `"); ok {
				name = strings.TrimSuffix(id, "`")
				if _, twice := found[name]; twice {
					t.Errorf("DEVELOPERS has two sections %s", name)
				}
				found[name] = ""
			}
			continue
		}
		if name != "" {
			found[name] += line
		}
	}
	return found
}

// TestEveryRuleHasASection wants a section for every rule of the bench check
// and of lint, saying what it finds, why, and what to do; and no section
// without a rule.
func TestEveryRuleHasASection(t *testing.T) {
	rules := make(map[string]string) // id to where it is defined
	for _, f := range allFiles(t) {
		dir := path.Dir(f.path)
		if path.Ext(f.path) != ".go" || strings.HasSuffix(f.path, "_test.go") || dir != "specs" && dir != "ignition" && !strings.HasPrefix(dir, "ignition/") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, filepath.FromSlash(f.path)), f.data, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(parsed, func(n ast.Node) bool {
			for _, id := range ruleIDs(n) {
				if other, twice := rules[id]; twice {
					t.Errorf("the rule id %s stands in %s and in %s", id, other, f.path)
				}
				rules[id] = f.path
			}
			return true
		})
	}
	if len(rules) < 12+20 {
		t.Errorf("only %d rules were found", len(rules))
	}
	found := sections(t)
	for id, where := range rules {
		section, ok := found[id]
		if !ok {
			t.Errorf("DEVELOPERS has no section \"#### `%s`\" (%s)", id, where)
			continue
		}
		for _, part := range []string{"Says: ", "Why: ", "Do: "} {
			if !strings.Contains("\n"+section, "\n"+part) {
				t.Errorf("the section %s has no line that begins with %q", id, part)
			}
		}
	}
	for id := range found {
		if _, ok := rules[id]; !ok {
			t.Errorf("DEVELOPERS has a section %s, and there is no such rule", id)
		}
	}
}

// ruleIDs finds the constants named Rule... and the codes of lint rules.
func ruleIDs(n ast.Node) []string {
	var ids []string
	literal := func(e ast.Expr) {
		if l, ok := e.(*ast.BasicLit); ok && l.Kind == token.STRING {
			if s, err := strconv.Unquote(l.Value); err == nil {
				ids = append(ids, s)
			}
		}
	}
	switch n := n.(type) {
	case *ast.GenDecl:
		if n.Tok != token.CONST {
			break
		}
		for _, spec := range n.Specs {
			s := spec.(*ast.ValueSpec)
			for i, name := range s.Names {
				if strings.HasPrefix(name.Name, "Rule") && i < len(s.Values) {
					literal(s.Values[i])
				}
			}
		}
	case *ast.CompositeLit:
		if t, ok := n.Type.(*ast.Ident); !ok || t.Name != "lintRule" {
			break
		}
		for _, e := range n.Elts {
			if kv, ok := e.(*ast.KeyValueExpr); ok {
				if k, ok := kv.Key.(*ast.Ident); ok && k.Name == "code" {
					literal(kv.Value)
				}
			}
		}
	}
	return ids
}
