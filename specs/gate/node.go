package gate

// A Doc is a document that passed the gate.
type Doc struct {
	File   string // as the caller named it
	Root   *Node  // the table of the whole document; never nil
	Schema string // what stands behind "#:schema" in the first line, or ""
}

// A Node is one key of a document, or one entry of a list. Nodes are shared:
// do not change them.
type Node struct {
	Key  string // last part of the path; "" for the root and for list entries
	Path string // dotted path; "" for the root; a list entry has models[0]

	// Line and Col are where the key first stands, counted from 1, Col in
	// characters. In [a.b] the node a is at the letter a and b at the letter b.
	// For a list entry they are the place of its value.
	Line, Col int
	// ValueLine and ValueCol are where the value starts: the opening quote,
	// bracket or brace, or the first digit. For a table that has a header or
	// came from a dotted key they repeat Line and Col.
	ValueLine, ValueCol int

	// Value is a string, int64, float64, bool, time.Time or []any; nil for a
	// table. In an []any a table is a map[string]any.
	Value any
	// Children are the keys of a table in the order in which they first stand
	// in the document; nil for anything but a table.
	Children []*Node
	// Items are the entries of a list in order, with their places; nil for
	// anything but a list.
	Items []*Node
	// IsTable tells tables, inline ones too, from values.
	IsTable bool

	kind   kind
	made   made
	parent *Node
	index  map[string]*Node // of Children, once there are many
}

// Child returns the node of that key in a table, or nil if the table has no
// such key or n is not a table.
func (n *Node) Child(key string) *Node {
	if n.index != nil {
		return n.index[key]
	}
	for _, c := range n.Children {
		if c.Key == key {
			return c
		}
	}
	return nil
}

// Problem returns a problem with the key of the node, at the place of the key.
// The hint may be "".
func (n *Node) Problem(file, code, message, hint string) Problem {
	return Problem{File: file, Line: n.Line, Col: n.Col, Key: n.Path, Code: code, Message: message, Hint: hint}
}

// ValueProblem returns a problem with the value of the node, at the place of
// the value. The hint may be "".
func (n *Node) ValueProblem(file, code, message, hint string) Problem {
	return Problem{File: file, Line: n.ValueLine, Col: n.ValueCol, Key: n.Path, Code: code, Message: message, Hint: hint}
}

// kind is what the scanner took a value for.
type kind uint8

const (
	kindNone kind = iota
	kindTable
	kindList
	kindString
	kindInteger
	kindFloat
	kindBool
	kindTime
)

// made is how a table came to be, which decides what may still be added to it.
type made uint8

const (
	madeValue   made = iota // not a table, or an inline one: closed
	madeImplied             // named on the way in a header: [a.b] makes a
	madeHeader              // has had its own header
	madeDotted              // named on the way in a key: a.b = 1 makes a
)

// indexFrom is the number of children from which a table gets an index. Below
// it, comparing a few short keys is faster.
const indexFrom = 12

// add appends a child. The caller has made sure that the key is new.
func (n *Node) add(c *Node) {
	n.Children = append(n.Children, c)
	switch {
	case n.index != nil:
		n.index[c.Key] = c
	case len(n.Children) == indexFrom:
		n.index = make(map[string]*Node, 2*indexFrom)
		for _, c := range n.Children {
			n.index[c.Key] = c
		}
	}
}
