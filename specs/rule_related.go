package specs

import (
	"fmt"
	"slices"
	"strconv"

	"gapbook.example/specs/gate"
)

// ruleRelated wants related records to exist.
//
// A restorer follows related to the sister engine; a dead id leads nowhere.
//
// Refused: related = ["no-such-engine"], or the record's own id.
var ruleRelated = lintRule{code: "related", table: func(l *linter, t *linted) {
	e, ok := t.value.(*Engine)
	if !ok {
		return
	}
	for i, id := range e.Identity.Related {
		message, hint := "", ""
		other, err := l.book.Engine(id)
		switch {
		case err != nil:
			message = fmt.Sprintf("the book has no engine %q", id)
			ids := make([]string, len(l.book.entries))
			for i, e := range l.book.entries {
				ids[i] = e.ID
			}
			if near, ok := gate.Nearest(id, ids); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
		case other == e:
			message = "the record is related to itself"
		case other.ID != id:
			message, hint = fmt.Sprintf("%q is an old id", id), "write "+strconv.Quote(other.ID)
		case slices.Contains(e.Identity.Related[:i], id):
			message = fmt.Sprintf("%q stands twice", id)
		default:
			continue
		}
		if hint == "" {
			hint = "take it out"
		}
		l.at(t, t.doc.Root.Child("identity").Child("related").Items[i], message, hint)
	}
}}
