package gate_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"gapbook.example/specs/gate"
	"github.com/BurntSushi/toml"
)

// FuzzRead holds the gate to its promises on any bytes: it never panics; what
// it refuses has sorted problems with places inside the document; what it
// accepts the library accepts too, with the same keys in the same order and
// the same values; and every place points at the key or value it is said to.
func FuzzRead(f *testing.F) {
	files, _ := filepath.Glob(corpus + "/*/*.toml")
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		doc, ps := gate.Read("f", src)
		if (doc == nil) != (len(ps) > 0) {
			t.Fatalf("document %v with %d problems", doc, len(ps))
		}
		// CR LF counts as one line end, wherever it stands.
		text := strings.ReplaceAll(string(src), "\r\n", "\n")
		lines := strings.Split(text, "\n")
		if doc == nil {
			checkProblems(t, ps, lines, len(src))
			return
		}
		var values map[string]any
		md, err := toml.Decode(text, &values)
		if err != nil {
			t.Fatalf("accepted, but the library says: %v", err)
		}
		if got := asMap(doc.Root); !same(got, values) {
			t.Fatalf("tree %v\nlibrary %v", got, values)
		}
		// The first time each key stands in the document, in order. Tables
		// that are only implied are not among the library's keys.
		seen := map[string]bool{}
		for _, key := range md.Keys() {
			seen[key.String()] = true
		}
		checkNodes(t, doc.Root, lines, seen, "")
	})
}

func checkProblems(t *testing.T, ps gate.Problems, lines []string, size int) {
	for i, p := range ps {
		if p.Code == gate.CodeInternal || p.Code == gate.CodeRefused {
			t.Errorf("the scanner let through what the library does not read: %v", p)
		}
		if p.Code == "" || p.Message == "" || p.File != "f" {
			t.Errorf("incomplete: %#v", p)
		}
		if strings.ContainsFunc(p.Error(), func(r rune) bool { return r < ' ' || r == 0x7F || r == 0x202E || r == 0x200B }) || len(p.Error()) > 2500 {
			t.Errorf("message: %q", p.Error())
		}
		if i > 0 && (p.Line < ps[i-1].Line || p.Line == ps[i-1].Line && p.Col < ps[i-1].Col) {
			t.Errorf("out of order: %v", ps)
		}
		if size > gate.MaxBytes {
			continue
		}
		if p.Line < 1 || p.Line > len(lines) || p.Col < 1 || p.Col > len([]rune(lines[p.Line-1]))+1 {
			t.Errorf("place outside the document: %v", p)
		}
	}
}

// asMap builds from a tree what the library builds.
func asMap(n *gate.Node) map[string]any {
	m := make(map[string]any, len(n.Children))
	for _, c := range n.Children {
		m[c.Key] = asValue(c)
	}
	return m
}

func asValue(n *gate.Node) any {
	if n.IsTable {
		return asMap(n)
	}
	if _, ok := n.Value.([]any); ok {
		list := make([]any, len(n.Items))
		for i, item := range n.Items {
			list[i] = asValue(item)
		}
		return list
	}
	return n.Value
}

// same is reflect.DeepEqual, but a NaN is the same as a NaN.
func same(a, b any) bool {
	switch a := a.(type) {
	case map[string]any:
		b, ok := b.(map[string]any)
		if !ok || len(a) != len(b) {
			return false
		}
		for k := range a {
			if _, ok := b[k]; !ok || !same(a[k], b[k]) {
				return false
			}
		}
		return true
	case []any:
		b, ok := b.([]any)
		if !ok || len(a) != len(b) {
			return false
		}
		for i := range a {
			if !same(a[i], b[i]) {
				return false
			}
		}
		return true
	case float64:
		b, ok := b.(float64)
		return ok && math.Float64bits(a) == math.Float64bits(b)
	}
	return reflect.DeepEqual(a, b)
}

// checkNodes compares every place of a tree with the text at that place.
func checkNodes(t *testing.T, n *gate.Node, lines []string, seen map[string]bool, path string) {
	at := func(line, col int) string {
		if line < 1 || line > len(lines) || col < 1 || col > len([]rune(lines[line-1])) {
			t.Fatalf("%s: place %d:%d is outside the document", n.Path, line, col)
		}
		return string([]rune(lines[line-1])[col-1:])
	}
	last := [2]int{}
	for _, c := range n.Children {
		want := c.Key
		if path != "" {
			want = path + "." + c.Key
		}
		if c.Path != want {
			t.Fatalf("path %q, want %q", c.Path, want)
		}
		if !strings.HasPrefix(at(c.Line, c.Col), c.Key) {
			t.Fatalf("%s: no such key at %d:%d", c.Path, c.Line, c.Col)
		}
		if now := [2]int{c.Line, c.Col}; now[0] < last[0] || now[0] == last[0] && now[1] <= last[1] {
			t.Fatalf("%s: not in the order of the document", c.Path)
		} else {
			last = now
		}
		if !strings.Contains(path, "[") && !c.IsTable && !seen[c.Path] {
			t.Fatalf("%s: the library has no such key", c.Path)
		}
		checkValue(t, c, at(c.ValueLine, c.ValueCol))
		checkNodes(t, c, lines, seen, c.Path)
	}
	for i, c := range n.Items {
		if c.Path != fmt.Sprintf("%s[%d]", path, i) {
			t.Fatalf("path %q of entry %d of %q", c.Path, i, path)
		}
		checkValue(t, c, at(c.ValueLine, c.ValueCol))
		checkNodes(t, c, lines, seen, c.Path)
	}
}

// checkValue compares a value with the text where it is said to start.
func checkValue(t *testing.T, n *gate.Node, text string) {
	starts := ""
	switch v := n.Value.(type) {
	case nil:
		if !n.IsTable {
			t.Fatalf("%s has no value", n.Path)
		}
		return
	case string:
		starts = `"'`
	case []any:
		starts = "["
	case bool:
		starts = fmt.Sprint(v)[:1]
	case int64, float64:
		starts = "+-0123456789in"
	case time.Time:
		starts = "0123456789"
	default:
		t.Fatalf("%s: a %T", n.Path, v)
	}
	if !strings.ContainsAny(text[:1], starts) {
		t.Fatalf("%s = %v, but the text there is %.20q", n.Path, n.Value, text)
	}
	// A plain string can be compared whole.
	if v, ok := n.Value.(string); ok && v != "" && !strings.ContainsAny(v, "\"\\\n\t") && !bytes.HasPrefix([]byte(text), []byte(`""`)) && !strings.HasPrefix(text, "''") &&
		!strings.Contains(text, `\`) && !strings.HasPrefix(text[1:], v) {
		t.Fatalf("%s = %q, but the text there is %.40q", n.Path, v, text)
	}
}
