package gate

import (
	"errors"
	"fmt"
	"strconv"
	"time"

	"github.com/BurntSushi/toml"
)

// decode has the library decode the text, compares what it saw with what the
// scanner saw, and puts the library's values into the tree. It reports what is
// wrong and returns false, which is also what a panic of the library ends in.
func decode(s *scanner, out *collector) bool {
	// The scanner lets through nothing that is known to stop the library. If
	// something does, the caller gets a problem and not a panic.
	defer func() {
		if r := recover(); r != nil {
			out.add(0, "", CodeInternal, "the TOML library gave up: "+cut(fmt.Sprint(r)), internalHint)
		}
	}()
	var values map[string]any
	md, err := toml.Decode(s.text, &values)
	if err != nil {
		// Of the place only Start is sound; Line and Col can be wrong or 0.
		off, message := 0, err.Error()
		var pe toml.ParseError
		if errors.As(err, &pe) {
			off = min(max(pe.Position.Start, 0), len(s.text))
			message = pe.Message
		}
		out.add(off, "", CodeRefused, "not valid TOML: "+cut(message), "")
		return false
	}
	keys := md.Keys()
	if len(keys) != len(s.order) {
		out.add(0, "", CodeInternal, fmt.Sprintf("the TOML library sees %d keys, the scanner %d", len(keys), len(s.order)), internalHint)
		return false
	}
	for i, n := range s.order {
		if !samePath(n, keys[i]) {
			out.disagree(n)
			return false
		}
	}
	if bad := fill(s.root, values); bad != nil {
		out.disagree(bad)
		return false
	}
	return true
}

const internalHint = "this is a defect of the program, please report it with the file"

func (c *collector) disagree(n *Node) {
	c.list = append(c.list, n.Problem(c.file, CodeInternal, "the TOML library and the scanner read the document differently here", internalHint))
	c.list[len(c.list)-1].Key = joinPath(n, "")
}

// samePath compares the path of a node with a key of the library, which leaves
// list entries out.
func samePath(n *Node, key toml.Key) bool {
	for i := len(key) - 1; i >= 0; i-- {
		for n.Key == "" && n.parent != nil { // a list entry
			n = n.parent
		}
		if n.parent == nil || n.Key != key[i] {
			return false
		}
		n = n.parent
	}
	return n.parent == nil
}

// fill puts the values of a table into the nodes below it. It returns the
// first node that does not fit, or nil.
func fill(table *Node, values map[string]any) *Node {
	if len(values) != len(table.Children) {
		return table
	}
	for _, n := range table.Children {
		v, ok := values[n.Key]
		if !ok {
			return n
		}
		if bad := fillValue(n, v); bad != nil {
			return bad
		}
	}
	return nil
}

func fillValue(n *Node, value any) *Node {
	got := kindNone
	switch v := value.(type) {
	case map[string]any:
		if n.kind != kindTable {
			return n
		}
		return fill(n, v)
	case []any:
		if n.kind != kindList || len(v) != len(n.Items) {
			return n
		}
		got = kindList
		for i, item := range n.Items {
			if bad := fillValue(item, v[i]); bad != nil {
				return bad
			}
		}
	case string:
		got = kindString
	case int64:
		got = kindInteger
	case float64:
		got = kindFloat
	case bool:
		got = kindBool
	case time.Time:
		got = kindTime
	}
	if got == kindNone || n.kind != got {
		return n
	}
	n.Value = value
	return nil
}

// setPaths gives every node below n its dotted path.
func setPaths(n *Node) {
	for _, c := range n.Children {
		if n.Path == "" {
			c.Path = c.Key
		} else {
			c.Path = n.Path + "." + c.Key
		}
		setPaths(c)
	}
	for i, c := range n.Items {
		c.Path = n.Path + "[" + strconv.Itoa(i) + "]"
		setPaths(c)
	}
}
