package gate

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// scanner goes through a document once and builds its tree, without values.
// It accepts TOML 1.0 less what the package comment names.
//
// Methods that read something return false when they met a fault that they
// could not read over. The fault is then reported, pos is where it is, and
// statements decides where to go on.
type scanner struct {
	text string
	pos  int
	at   cursor     // for the places of nodes, which are asked for in order
	out  *collector // for the places of problems, which may look back

	root    *Node
	table   *Node    // the table that the last header opened
	depth   int      // parts in the path of table
	order   []*Node  // headers and keys in the order of the document
	items   int      // list entries so far
	slab    []Node   // nodes not yet handed out
	lists   int      // lists that are open at pos
	arrays  []string // names of refused arrays of tables
	stopped bool     // no use in going on

	// What the message of a fault may name: the key being read.
	keyTable *Node
	keyText  string
}

func newScanner(text string, out *collector) *scanner {
	s := &scanner{text: text, out: out, at: newCursor(text)}
	s.root = s.newNode()
	*s.root = Node{Line: 1, Col: 1, ValueLine: 1, ValueCol: 1, IsTable: true, kind: kindTable, made: madeHeader}
	s.table = s.root
	return s
}

// fault reports a problem at an offset and returns false.
func (s *scanner) fault(off int, code, message, hint string) bool {
	if s.out.full() {
		s.stopped = true
		return false
	}
	key := s.keyText
	if s.keyTable != nil {
		key = joinPath(s.keyTable, s.keyText)
	}
	s.out.add(off, key, code, message, hint)
	return false
}

// joinPath returns the dotted path of a key in a table whose own path is not
// set yet.
func joinPath(table *Node, key string) string {
	for n := table; n != nil && n.parent != nil; n = n.parent {
		name := n.Key
		for n.Key == "" && n.parent != nil { // an entry of a list
			name = "[" + strconv.Itoa(slices.Index(n.parent.Items, n)) + "]" + name
			n = n.parent
			if n.Key != "" {
				name = n.Key + name
			}
		}
		if key == "" {
			key = name
		} else {
			key = name + "." + key
		}
	}
	return key
}

// statements reads the whole document.
func (s *scanner) statements() {
	s.pos = len(byteOrderMark(s.text)) // reported by checkRunes
	for !s.stopped {
		s.skipBlank()
		if s.pos >= len(s.text) {
			return
		}
		s.keyTable, s.keyText, s.lists = nil, "", 0
		ok := false
		if s.text[s.pos] == '[' {
			ok = s.header()
		} else {
			ok = s.keyValue(s.table, s.depth, 0)
		}
		if ok {
			ok = s.endOfLine()
		}
		if !ok && !s.resume() {
			return
		}
	}
}

// resume goes to the next line after a fault. It returns false where what
// follows most likely belongs to the thing that is broken, so that more
// problems would only mislead.
func (s *scanner) resume() bool {
	if s.stopped || s.pos >= len(s.text) {
		return false
	}
	line := s.text[s.pos:]
	end := strings.IndexByte(line, '\n')
	if end < 0 {
		return false
	}
	if s.lists > 0 && !strings.Contains(line[:end], "]") {
		return false
	}
	s.pos += end + 1
	return true
}

func (s *scanner) skipSpace() {
	for s.pos < len(s.text) && (s.text[s.pos] == ' ' || s.text[s.pos] == '\t') {
		s.pos++
	}
}

// skipBlank skips spaces, line ends and comments.
func (s *scanner) skipBlank() {
	for s.pos < len(s.text) {
		switch s.text[s.pos] {
		case ' ', '\t', '\n':
			s.pos++
		case '#':
			s.skipComment()
		default:
			return
		}
	}
}

func (s *scanner) skipComment() {
	if i := strings.IndexByte(s.text[s.pos:], '\n'); i >= 0 {
		s.pos += i
	} else {
		s.pos = len(s.text)
	}
}

// endOfLine wants nothing but a comment up to the end of the line.
func (s *scanner) endOfLine() bool {
	s.skipSpace()
	if s.pos >= len(s.text) || s.text[s.pos] == '\n' {
		return true
	}
	if s.text[s.pos] == '#' {
		s.skipComment()
		return true
	}
	rest := s.restOfLine()
	if s.keyText == "" || s.text[s.pos] == ']' {
		return s.fault(s.pos, CodeSyntax, fmt.Sprintf("%s stands where the line should end", quote(rest)), "remove it, or start it on a line of its own")
	}
	hint := "put it on a line of its own, or make it a comment with #"
	if c := s.text[s.pos]; c != ',' && c != '"' && c != '\'' {
		hint = `a number and its unit go into one pair of quotes, as in "0.020 in"`
	} else if c == ',' && s.pos+1 < len(s.text) && isDigit(s.text[s.pos+1]) {
		hint = `a decimal has a point, and a number and its unit go into quotes, as in "0.5 mm"`
	}
	if before := s.text[:s.pos]; strings.HasSuffix(rest, `"`) && strings.Count(rest, `"`) == 1 && strings.HasSuffix(strings.TrimRight(before, " \t"), `"`) && !strings.HasSuffix(before, `""`) {
		hint = `an inch mark within quotes is written \", and a unit of a figure in words, as in "0.020 in"`
	}
	return s.fault(s.pos, CodeAfterValue, fmt.Sprintf("%s stands behind the value", quote(rest)), hint)
}

// restOfLine returns the text from pos to the end of the line, without a
// comment.
func (s *scanner) restOfLine() string {
	rest := s.text[s.pos:]
	if i := strings.IndexAny(rest, "\n#"); i >= 0 {
		rest = rest[:i]
	}
	return strings.TrimRight(rest, " \t")
}

// part is one part of a key as it stands in the text.
type part struct {
	name string
	off  int
}

// key reads a dotted key up to the character behind it and the spaces before
// that. above is how many parts the path has before it.
func (s *scanner) key(parts []part, above int) ([]part, bool) {
	first := s.pos
	for {
		start := s.pos
		for s.pos < len(s.text) && isBare(s.text[s.pos]) {
			s.pos++
		}
		name := s.text[start:s.pos]
		if name == "" {
			return nil, s.badKey(len(parts) > 0)
		}
		if s.pos < len(s.text) && s.text[s.pos] >= utf8.RuneSelf {
			return nil, s.badKey(true)
		}
		if len(name) > MaxKeyBytes {
			return nil, s.fault(start, CodeLongKey, fmt.Sprintf("the key %s has %d characters; the limit is %d", quote(name), len(name), MaxKeyBytes), "choose a shorter key")
		}
		if above+len(parts) >= MaxParts {
			return nil, s.fault(start, CodeTooManyParts, fmt.Sprintf("the path of this key has more than %d parts", MaxParts), "use fewer dots")
		}
		parts = append(parts, part{name, start})
		end := s.pos
		s.skipSpace()
		if s.pos >= len(s.text) || s.text[s.pos] != '.' {
			s.keyText = s.text[first:end]
			if strings.ContainsAny(s.keyText, " \t") { // a . b
				s.keyText = strings.Map(dropSpace, s.keyText)
			}
			return parts, true
		}
		s.pos++
		s.skipSpace()
	}
}

func dropSpace(r rune) rune {
	if r == ' ' || r == '\t' {
		return -1
	}
	return r
}

func isBare(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' || c == '-'
}

// badKey reports what stands at pos in place of a part of a key.
func (s *scanner) badKey(inside bool) bool {
	const want = "keys are written with A-Z a-z 0-9 _ and - only"
	if s.pos >= len(s.text) || s.text[s.pos] == '\n' {
		return s.fault(s.pos, CodeBadKey, "a key ends with a dot or is missing", want)
	}
	switch c := s.text[s.pos]; {
	case c == '"' || c == '\'':
		return s.fault(s.pos, CodeQuotedKey, "keys in quotes are not allowed here", want)
	case c >= utf8.RuneSelf:
		r, _ := utf8.DecodeRuneInString(s.text[s.pos:])
		// Letters of other alphabets can look just like these: say the number.
		return s.fault(s.pos, CodeBadKey, fmt.Sprintf("character %q (U+%04X) in a key", r, r), want)
	case c == '=' && !inside:
		return s.fault(s.pos, CodeBadKey, "there is no key before the =", want)
	case c == '.' || c == '=' || c == ']':
		return s.fault(s.pos, CodeBadKey, fmt.Sprintf("a part of the key is missing before %q", c), want)
	default:
		return s.fault(s.pos, CodeBadKey, fmt.Sprintf("%q where a key should stand", c), want)
	}
}

// header reads a [table] line up to its closing bracket and opens the table.
func (s *scanner) header() bool {
	start := s.pos
	// Until the header is read without fault, keys below it go to a table that
	// is not part of the document: they are still checked, and do not clash.
	s.table, s.depth = s.newTable(nil, "", start, madeHeader), 0
	s.pos++
	if s.pos < len(s.text) && s.text[s.pos] == '[' {
		return s.arrayHeader(start)
	}
	s.skipSpace()
	if s.pos < len(s.text) && s.text[s.pos] == ']' {
		return s.fault(s.pos, CodeBadKey, "a table without a name", "write the name between the brackets")
	}
	var buf [MaxParts]part
	parts, ok := s.key(buf[:0], 0)
	if !ok {
		return false
	}
	if s.pos >= len(s.text) || s.text[s.pos] != ']' {
		return s.fault(start, CodeUnclosed, fmt.Sprintf("the header %s is not closed", quote("["+s.keyText)), "write ] behind the name; a name has no spaces")
	}
	s.pos++
	path := s.keyText
	s.keyText = "" // what may follow on the line is not about this key
	for _, name := range s.arrays {
		if path == name || strings.HasPrefix(path, name+".") {
			return true // belongs to an entry of an array that is refused as a whole
		}
	}
	table := s.openTable(parts)
	if table == nil {
		return true // reported; the line itself is well formed
	}
	s.table, s.depth = table, len(parts)
	return s.count(table, parts[0].off)
}

// arrayHeader refuses an [[array.of.tables]] and remembers its name.
func (s *scanner) arrayHeader(start int) bool {
	name := strings.Map(dropSpace, strings.Trim(s.restOfLine(), "[] \t"))
	hint := name
	if len(name) > MaxKeyBytes || strings.ContainsFunc(name, func(r rune) bool { return r != '.' && (r >= utf8.RuneSelf || !isBare(byte(r))) }) {
		hint = "name"
	}
	s.arrays = append(s.arrays, name)
	return s.fault(start, CodeArrayOfTables, "arrays of tables are not used here",
		fmt.Sprintf("give every entry a table with a name of its own: [%s.first], [%s.second]", hint, hint))
}

// keyValue reads "key = value" into a table. above is the number of parts in
// the table's path, depth how many lists and inline tables are open.
func (s *scanner) keyValue(table *Node, above, depth int) bool {
	s.keyTable, s.keyText = table, ""
	start := s.pos
	var buf [MaxParts]part
	parts, ok := s.key(buf[:0], above)
	if !ok {
		return false
	}
	keyText := s.keyText
	if s.pos >= len(s.text) || s.text[s.pos] != '=' {
		hint := "write key = value"
		if s.pos < len(s.text) && s.text[s.pos] == ':' {
			hint = "TOML has = where other formats have a colon"
		} else if s.pos < len(s.text) && s.text[s.pos] == ']' {
			hint = "a table is written [name]"
		}
		return s.fault(s.pos, CodeNoValue, fmt.Sprintf("there is no = behind the key %s", quote(keyText)), hint)
	}
	s.pos++
	s.skipSpace()
	node := s.setKey(table, parts)
	if !s.count(node, start) {
		return false
	}
	if s.pos >= len(s.text) || s.text[s.pos] == '\n' || s.text[s.pos] == '#' {
		return s.fault(s.pos, CodeNoValue, fmt.Sprintf("the key %s has no value", quote(keyText)), `write a value behind the =, "" for an empty text`)
	}
	return s.value(node, above+len(parts), depth)
}

// count adds a header or key to the order of the document.
func (s *scanner) count(n *Node, off int) bool {
	s.order = append(s.order, n)
	return s.withinKeys(off)
}

func (s *scanner) withinKeys(off int) bool {
	if len(s.order)+s.items <= MaxKeys {
		return true
	}
	s.stopped = true
	s.keyTable, s.keyText = nil, ""
	return s.fault(off, CodeTooManyKeys, fmt.Sprintf("the document has more than %d keys and list entries", MaxKeys), "split it into several documents")
}

// newNode returns a zero node. Nodes come in blocks: one allocation for many.
func (s *scanner) newNode() *Node {
	if len(s.slab) == 0 {
		// A key takes some 30 bytes of a usual document. Guess low, within
		// bounds, and come back for more.
		s.slab = make([]Node, min(max(len(s.text)/64, 8), 128))
	}
	n := &s.slab[0]
	s.slab = s.slab[1:]
	return n
}

// newTable returns a table that is not yet a child of its parent.
func (s *scanner) newTable(parent *Node, key string, off int, how made) *Node {
	n := s.newNode()
	n.Key, n.parent, n.IsTable, n.kind, n.made = key, parent, true, kindTable, how
	n.Line, n.Col = s.at.place(off)
	n.ValueLine, n.ValueCol = n.Line, n.Col
	return n
}
