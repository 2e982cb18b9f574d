package specs

import (
	"cmp"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// folderOf is the folder of each kind of table, by the name of its schema.
var folderOf = map[string]string{
	"bound": "bounds", "caution": "cautions", "conversion": "conversions", "engine": "engines", "exception": "exceptions", "fault": "faults", "finish": "conversions",
	"limit": "limits", "meter": "limits", "part": "parts", "source": "sources", "switch": "switches", "wire": "wires",
}

// Folder returns the folder below the book in which tables of a kind stand; ok
// is false where there is no such kind. See [SchemaKinds].
func Folder(kind string) (folder string, ok bool) {
	folder, ok = folderOf[kind]
	return folder, ok
}

// fixes is what the rules of order and spelling know about one table.
type fixes struct {
	orders    map[string][]string // keys of a table in their order, by its path
	spellings []respelling
}

// A respelling is a text of the table and how the book spells it.
type respelling struct {
	node *gate.Node
	text string
}

// Fix rewrites a table of any kind as the book writes it: units spelled one
// way, tables and keys in their order, one space about "=", one empty line
// between tables, the line for editors first. It never changes a number, a
// word or a comment, and what it returns it would return again.
//
// The file is named as in the book, "engines/orchard-pump-6.toml": the folder
// says what kind of table it is. A file outside such a folder is of the kind
// that its #:schema line names. A table that the gate refuses is returned with
// the gate's problems; one that breaks other rules is only laid out, and lint
// says the rest.
func Fix(file string, src []byte) ([]byte, gate.Problems) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	lines := strings.Split(strings.ReplaceAll(string(src), "\r\n", "\n"), "\n")
	place := placeOf(file, doc)
	value, bad := decoderOf(place)(doc)
	for range gate.MaxProblems { // a table in braces tells one problem at a time
		spelled := spellingsOf(doc, bad)
		if len(spelled) == 0 {
			break
		}
		respell(lines, spelled)
		if doc, problems = gate.Read(file, []byte(strings.Join(lines, "\n"))); problems != nil {
			return nil, problems
		}
		value, bad = decoderOf(place)(doc)
	}
	known := fixes{orders: make(map[string][]string)}
	kind := strings.TrimSuffix(path.Base(doc.Schema), ".json")
	if bad == nil {
		l := &linter{fixes: &known}
		t := newLinted(doc, value)
		for _, l.rule = range []lintRule{ruleOrder, ruleSpelling} {
			l.rule.table(l, t)
		}
		kind = schemaOf(value)
	}
	if _, ok := folderOf[kind]; !ok {
		kind = ""
	}
	respell(lines, known.spellings)
	fixed := []byte(layOut(lines, kind, known.orders))
	if err := sameTable(doc, fixed, known.spellings); err != nil {
		return nil, gate.Problems{{File: file, Code: gate.CodeInternal, Message: "laying this table out would change it: " + err.Error(), Hint: "please report this; the file is left as it was"}}
	}
	return fixed, nil
}

// spellingsOf takes the spellings that decoding asks for, of units that the
// book does not spell so: those with the number as it stands, but for a nought
// before its point.
func spellingsOf(doc *gate.Doc, problems gate.Problems) []respelling {
	var list []respelling
	for _, p := range problems {
		quoted, ok := strings.CutPrefix(p.Hint, "write ")
		want, err := strconv.Unquote(quoted)
		if !ok || err != nil || p.Code != string(units.UnknownUnit) && p.Code != string(units.BadNumber) {
			continue
		}
		n := doc.Root
		for part := range strings.SplitSeq(p.Key, ".") {
			if n = n.Child(part); n == nil {
				break
			}
		}
		if n == nil {
			continue
		}
		for _, v := range append([]*gate.Node{n}, n.Items...) {
			old, isText := v.Value.(string)
			have, _, _ := strings.Cut(want, " ")
			if number := leadingNumber(old); isText && number != "" && (number == have || "0"+number == have) {
				list = append(list, respelling{v, want})
				break
			}
		}
	}
	return list
}

// leadingNumber is the number at the head of a text, as written.
func leadingNumber(s string) string {
	end := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789./-+", r) })
	if end < 0 {
		end = len(s)
	}
	return s[:end]
}

// placeOf is where a table stands in a book.
func placeOf(file string, doc *gate.Doc) string {
	dir, base := path.Base(path.Dir(file)), path.Base(file)
	if !slices.Contains(kinds, dir) {
		dir = "engines"
		if d, ok := folderOf[strings.TrimSuffix(path.Base(doc.Schema), ".json")]; ok {
			dir = d
		}
	}
	return dir + "/" + base
}

// schemaOf is the name of a table's schema.
func schemaOf(table any) string {
	switch table.(type) {
	case *Source:
		return "source"
	case *Exceptions:
		return "exception"
	case *Bounds:
		return "bound"
	case *Limits:
		return "limit"
	case *Meter:
		return "meter"
	case *FaultTable:
		return "fault"
	case *Conversion:
		return "conversion"
	case *Finish:
		return "finish"
	case *Caution:
		return "caution"
	case *PartClass:
		return "part"
	case *SwitchTable:
		return "switch"
	case *WireTable:
		return "wire"
	}
	return "engine"
}

// respell puts the book's spelling in the place of texts, within their quotes.
func respell(lines []string, list []respelling) {
	// From the end of a line to its head, so that places stay what they were.
	list = slices.SortedFunc(slices.Values(list), func(a, b respelling) int { return cmp.Compare(b.node.ValueCol, a.node.ValueCol) })
	for _, s := range list {
		line := []rune(lines[s.node.ValueLine-1])
		start := s.node.ValueCol - 1
		quote := line[start]
		old := s.node.Value.(string)
		if end := start + 1 + len([]rune(old)); end < len(line) && string(line[start+1:end]) == old && line[end] == quote {
			lines[s.node.ValueLine-1] = string(line[:start+1]) + s.text + string(line[end:])
		}
	}
}

// A block is one table as it is written: its header, its keys, and the
// comments that go with them.
type block struct {
	lead   []string // comments before the header
	header string   // empty for the keys before the first table
	path   string
	pairs  []pair
	tail   []string // comments behind the last key
}

// A pair is a key with its value, of one line or more.
type pair struct {
	lead []string // comments and empty lines before it
	key  string   // first part of the key
	body []string
}

// layOut writes the lines of a document that the gate has passed.
func layOut(lines []string, kind string, orders map[string][]string) string {
	schema := ""
	if rest, ok := strings.CutPrefix(lines[0], "#:schema"); ok {
		schema = strings.TrimSpace(rest)
		lines = lines[1:]
	}
	if kind != "" {
		schema = "../schema/" + kind + ".json"
	}
	blocks, end := split(lines)
	for i := range blocks {
		b := &blocks[i]
		if keys := orders[b.path]; keys != nil {
			rankByKeys(b.pairs, func(p pair) string { return p.key }, keys)
		}
	}
	if keys := orders[""]; keys != nil {
		tables := blocks[1:]
		if kind == "engine" {
			slices.SortStableFunc(tables, func(a, b block) int { return cmp.Compare(blockRank(a.path), blockRank(b.path)) })
		} else {
			rankByKeys(tables, func(b block) string { first, _, _ := strings.Cut(b.path, "."); return first }, keys)
		}
	}
	var w strings.Builder
	if schema != "" {
		w.WriteString("#:schema " + schema + "\n")
	}
	for i, b := range blocks {
		part := b.text()
		if i > 0 && w.Len() > 0 {
			part = "\n" + part
		}
		w.WriteString(part)
	}
	text := strings.TrimRight(w.String(), "\n") + "\n"
	if len(end) > 0 {
		text += "\n" + strings.Join(end, "\n") + "\n"
	}
	return text
}

// blockRank is where a table stands in an engine's file.
func blockRank(path string) int {
	first, rest, _ := strings.Cut(path, ".")
	switch first {
	case "identity":
		return -1
	case "set_aside":
		second, _, _ := strings.Cut(rest, ".")
		return len(quantities) + 1 + order(Key(second))
	}
	return order(Key(first))
}

// rankByKeys sorts by the order of keys. What is not listed stays behind what
// it stood behind.
func rankByKeys[T any](list []T, name func(T) string, keys []string) {
	type ranked struct {
		rank int
		item T
	}
	all := make([]ranked, len(list))
	last := -1
	for i, item := range list {
		if at := slices.Index(keys, name(item)); at >= 0 {
			last = at
		}
		all[i] = ranked{last, item}
	}
	slices.SortStableFunc(all, func(a, b ranked) int { return cmp.Compare(a.rank, b.rank) })
	for i := range all {
		list[i] = all[i].item
	}
}

func (b block) text() string {
	var out []string
	out = append(out, b.lead...)
	if b.header != "" {
		out = append(out, b.header)
	}
	for i, p := range b.pairs {
		lead := p.lead
		for i == 0 && len(lead) > 0 && lead[0] == "" {
			lead = lead[1:]
		}
		out = append(append(out, lead...), p.body...)
	}
	out = append(out, b.tail...)
	if len(out) == 0 {
		return ""
	}
	return strings.Join(out, "\n") + "\n"
}

// split cuts a document into its tables and keys. The first block holds the
// keys before the first header; end are comments apart from the last table.
func split(lines []string) (blocks []block, end []string) {
	blocks = []block{{}}
	var lead []string
	for i := 0; i < len(lines); i++ {
		line := strings.TrimSpace(lines[i])
		b := &blocks[len(blocks)-1]
		switch {
		case line == "":
			if len(lead) > 0 && lead[len(lead)-1] != "" || len(lead) == 0 && len(b.pairs) > 0 {
				lead = append(lead, "")
			}
		case line[0] == '#':
			lead = append(lead, line)
		case line[0] == '[':
			// Comments after the last empty line belong to the table below it.
			at := 0
			for j, l := range lead {
				if l == "" {
					at = j + 1
				}
			}
			if at == 0 && len(blocks) > 1 && len(lead) > 0 && len(b.pairs) == 0 {
				at = len(lead) // comments in a table without keys
			}
			b.tail = trimEmpty(lead[:at])
			bracket := strings.IndexByte(line, ']')
			name := strings.Join(strings.FieldsFunc(line[1:bracket], func(r rune) bool { return r == ' ' || r == '\t' }), "")
			blocks = append(blocks, block{lead: lead[at:], header: "[" + name + "]" + line[bracket+1:], path: name})
			lead = nil
		default:
			body := lines[i : i+valueLines(lines[i:])]
			i += len(body) - 1
			first := ""
			key, value, _ := strings.Cut(body[0], "=")
			key = strings.Join(strings.FieldsFunc(key, func(r rune) bool { return r == ' ' || r == '\t' }), "")
			first, _, _ = strings.Cut(key, ".")
			text := []string{key + " = " + strings.TrimLeft(value, " \t")}
			text = append(text, body[1:]...)
			if joined := strings.Join(text, ""); len(text) == 1 || !strings.Contains(joined, `"""`) && !strings.Contains(joined, "'''") {
				for j := range text {
					text[j] = strings.TrimRight(text[j], " \t")
				}
			}
			if at := slices.Index(lead, ""); at >= 0 && len(blocks) == 1 && len(b.pairs) == 0 {
				b.lead, lead = lead[:at+1], lead[at+1:] // about the file, not the key
			}
			b.pairs = append(b.pairs, pair{lead: lead, key: first, body: text})
			lead = nil
		}
	}
	lead = trimEmpty(lead)
	if at := slices.Index(lead, ""); at >= 0 {
		lead, end = lead[:at], lead[at+1:]
	}
	blocks[len(blocks)-1].tail = lead
	return blocks, end
}

func trimEmpty(lines []string) []string {
	for len(lines) > 0 && lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	return lines
}

// valueLines counts the lines of the key at the head of lines: one, or as many
// as its list or its long string takes.
func valueLines(lines []string) int {
	text := strings.Join(lines, "\n")
	depth := 0
	for i := strings.IndexByte(text, '=') + 1; i < len(text); i++ {
		switch c := text[i]; c {
		case '[', '{':
			depth++
		case ']', '}':
			depth--
		case '#':
			for i < len(text) && text[i] != '\n' {
				i++
			}
			i--
		case '"', '\'':
			i = stringEnd(text, i)
		case '\n':
			if depth == 0 {
				return strings.Count(text[:i], "\n") + 1
			}
		}
	}
	return len(lines)
}

// stringEnd is the last byte of the string that begins at i.
func stringEnd(text string, i int) int {
	quote := text[i : i+1]
	long := strings.HasPrefix(text[i:], strings.Repeat(quote, 3))
	mark := quote
	if long {
		mark = strings.Repeat(quote, 3)
	}
	j := i + len(mark)
	for j < len(text) && !strings.HasPrefix(text[j:], mark) {
		if quote == `"` && text[j] == '\\' {
			j++
		}
		j++
	}
	j += len(mark)
	for long && j < len(text) && text[j] == quote[0] {
		j++ // """" ends a long string that ends in a quote
	}
	return min(j, len(text)) - 1
}

// sameTable holds a table that was laid out to what it was: the same keys with
// the same values, but for the units spelled anew.
func sameTable(before *gate.Doc, fixed []byte, spelled []respelling) error {
	after, problems := gate.Read(before.File, fixed)
	if problems != nil {
		return problems
	}
	want, have := make(map[string]string), make(map[string]string)
	for _, d := range []struct {
		n    *gate.Node
		into map[string]string
	}{{before.Root, want}, {after.Root, have}} {
		values(d.n, d.into)
	}
	for _, s := range spelled {
		want[s.node.Path] = strconv.Quote(s.text)
	}
	for p, v := range want {
		if have[p] != v {
			return fmt.Errorf("%s is %s and would be %s", p, v, have[p])
		}
	}
	if len(want) != len(have) {
		return fmt.Errorf("it has %d keys and would have %d", len(want), len(have))
	}
	return nil
}

// values spells every value of a document by its path.
func values(n *gate.Node, into map[string]string) {
	switch {
	case n.IsTable:
		into[n.Path] = "table"
		for _, c := range n.Children {
			values(c, into)
		}
	case n.Items != nil:
		into[n.Path] = "list of " + strconv.Itoa(len(n.Items))
		for _, c := range n.Items {
			values(c, into)
		}
	default:
		if s, ok := n.Value.(string); ok {
			into[n.Path] = strconv.Quote(s)
			return
		}
		into[n.Path] = fmt.Sprintf("%T %v", n.Value, n.Value)
	}
}
