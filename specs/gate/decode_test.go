package gate

import (
	"strings"
	"testing"
)

// The cross-check has nothing to find as long as the scanner is right. Here
// the scanner's answer is spoilt by hand, one thing at a time.
func TestCrossCheck(t *testing.T) {
	const text = "a = 1\n[b]\nc = [\"x\", {d = true}]\ne = {f = 2}\n"
	scan := func() (*scanner, *collector) {
		out := &collector{file: "f", at: newCursor(text)}
		s := newScanner(text, out)
		s.statements()
		return s, out
	}
	if s, out := scan(); !decode(s, out) || len(out.list) != 0 {
		t.Fatalf("unspoilt: %v", out.list)
	}
	node := func(s *scanner, keys ...string) *Node {
		n := s.root
		for _, k := range keys {
			n = n.Child(k)
		}
		return n
	}
	for _, c := range []struct {
		name      string
		spoil     func(s *scanner)
		code      string
		line, col int
		key       string
	}{
		{"a key too few", func(s *scanner) { s.order = s.order[1:] }, CodeInternal, 1, 1, ""},
		{"a key too many", func(s *scanner) { s.order = append(s.order, s.order[0]) }, CodeInternal, 1, 1, ""},
		{"two keys swapped", func(s *scanner) { s.order[2], s.order[4] = s.order[4], s.order[2] }, CodeInternal, 4, 1, "b.e"},
		{"another key", func(s *scanner) { node(s, "b", "e").Key = "g" }, CodeInternal, 4, 1, "b.g"},
		{"another key in a list", func(s *scanner) { node(s, "b", "c").Items[1].Children[0].Key = "g" }, CodeInternal, 3, 12, "b.c[1].g"},
		{"another parent", func(s *scanner) { node(s, "b", "e", "f").parent = s.root }, CodeInternal, 4, 6, "f"},
		{"a longer path", func(s *scanner) { node(s, "a").parent = node(s, "b") }, CodeInternal, 1, 1, "b.a"},
		{"another kind", func(s *scanner) { node(s, "a").kind = kindFloat }, CodeInternal, 1, 1, "a"},
		{"a table for a value", func(s *scanner) { node(s, "a").kind = kindTable }, CodeInternal, 1, 1, "a"},
		{"a value for a table", func(s *scanner) { node(s, "b", "e").kind = kindString }, CodeInternal, 4, 1, "b.e"},
		{"another kind in a list", func(s *scanner) { node(s, "b", "c").Items[0].kind = kindBool }, CodeInternal, 3, 6, "b.c[0]"},
		{"an entry too few", func(s *scanner) { n := node(s, "b", "c"); n.Items = n.Items[:1] }, CodeInternal, 3, 1, "b.c"},
		{"a child too few", func(s *scanner) { n := node(s, "b"); n.Children = n.Children[:1] }, CodeInternal, 2, 2, "b"},
		{"no tree", func(s *scanner) { s.root = nil }, CodeInternal, 1, 1, ""},
		{"text that the library refuses", func(s *scanner) { s.text = "a = 1\nb = +\n" }, CodeRefused, 2, 5, ""},
		{"text cut short", func(s *scanner) { s.text = `a = "\` }, CodeRefused, 1, 6, ""},
	} {
		s, out := scan()
		c.spoil(s)
		out.at = newCursor(s.text)
		ok := decode(s, out)
		if ok || len(out.list) != 1 {
			t.Errorf("%s: ok = %v, %v", c.name, ok, out.list)
			continue
		}
		if p := out.list[0]; p.Code != c.code || p.Line != c.line || p.Col != c.col || p.Key != c.key {
			t.Errorf("%s: %v", c.name, p)
		}
	}
	s, out := scan()
	s.text = "a = 1\nb = +\n"
	decode(s, out)
	if p := out.list[0]; !strings.Contains(p.Message, "expected a digit") || strings.Contains(p.Message, "line") {
		t.Errorf("not the library's message: %v", p)
	}
}
