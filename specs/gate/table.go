package gate

import "fmt"

// The rules by which TOML 1.0 lets tables be made and added to ("Keys" and
// "Table" in the specification at toml.io, version 1.0.0):
//
//   - a table has at most one header;
//   - a header may go through and below any table but an inline one, and may
//     name a table that was only implied so far;
//   - a dotted key may go through tables that dotted keys made, and no others;
//   - values and inline tables are closed.

// openTable returns the table that a header names, and makes what is missing
// on the way. It reports a clash and returns nil.
func (s *scanner) openTable(parts []part) *Node {
	t := s.root
	for i, p := range parts {
		last := i == len(parts)-1
		c := t.Child(p.name)
		switch {
		case c == nil:
			how := madeImplied
			if last {
				how = madeHeader
			}
			c = s.newTable(t, p.name, p.off, how)
			t.add(c)
		case c.made == madeValue:
			s.clash(p, t, c, CodeConflict)
			return nil
		case last && c.made == madeImplied:
			c.made = madeHeader
		case last:
			s.clash(p, t, c, CodeDuplicate)
			return nil
		}
		t = c
	}
	return t
}

// setKey returns a new node for a key below a table, and makes what is missing
// on the way. On a clash, which it reports, the node is not part of the tree.
func (s *scanner) setKey(t *Node, parts []part) *Node {
	lost := false
	for _, p := range parts[:len(parts)-1] {
		if lost {
			break
		}
		c := t.Child(p.name)
		switch {
		case c == nil:
			c = s.newTable(t, p.name, p.off, madeDotted)
			t.add(c)
		case c.made != madeDotted:
			s.clash(p, t, c, CodeConflict)
			lost = true
		}
		t = c
	}
	p := parts[len(parts)-1]
	if !lost {
		if c := t.Child(p.name); c != nil {
			s.clash(p, t, c, CodeDuplicate)
			lost = true
		}
	}
	n := s.newNode()
	n.Key, n.parent = p.name, t
	n.Line, n.Col = s.at.place(p.off)
	if !lost {
		t.add(n)
	}
	return n
}

// clash reports that a part of a key names something that cannot be set again
// or added to.
func (s *scanner) clash(p part, parent, old *Node, code string) {
	what := "value"
	if old.IsTable {
		what = "table"
	}
	path := joinPath(parent, p.name)
	message := fmt.Sprintf("%s is already a %s, set on line %d", quote(path), what, old.Line)
	hint := "keep one of the two"
	if code == CodeConflict {
		message += ", and nothing can be added to it here"
		hint = "write all its keys in one place"
	}
	keyTable, keyText := s.keyTable, s.keyText
	s.keyTable, s.keyText = nil, path
	s.fault(p.off, code, message, hint)
	s.keyTable, s.keyText = keyTable, keyText
}
