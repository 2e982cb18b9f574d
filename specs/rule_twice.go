package specs

import (
	"fmt"
	"slices"
	"strings"
)

// ruleTwice finds one engine in two records.
//
// An engine entered under two ids has its figures parted, and whoever finds one
// record misses the other. Two records of one maker that name one model are the
// same engine, or two that the years, the country or the source part: then each
// names the other under related.
//
// A model that one record names twice is a slip too.
//
// Refused: engines/pump-6.toml and engines/pump-six.toml, both of maker
// "Orchard" and model "Pump 6", neither of which names the other under related.
var ruleTwice = lintRule{code: "twice", table: func(l *linter, t *linted) {
	e, ok := t.value.(*Engine)
	if !ok {
		return
	}
	for i, m := range e.Identity.Models {
		if slices.Contains(e.Identity.Models[:i], m) {
			l.at(t, t.doc.Root.Child("identity").Child("models").Items[i], fmt.Sprintf("the model %q stands twice", m), "take one of the two out")
			return
		}
		if e.Identity.Maker == "" {
			continue
		}
		for _, id := range l.sameName()[nameKey(e.Identity.Maker)+"|"+nameKey(m)] {
			if id == e.ID || slices.Contains(e.Identity.Related, id) {
				continue
			}
			if other := l.engine(id); other != nil && slices.Contains(other.value.(*Engine).Identity.Related, e.ID) {
				continue
			}
			l.at(t, t.doc.Root.Child("identity").Child("models").Items[i], fmt.Sprintf("%s %s has a record already: %s", e.Identity.Maker, m, id), "bring both together, or name the other under related")
			return
		}
	}
}}

// sameName lists the records of each maker's model.
func (l *linter) sameName() map[string][]string {
	if l.named == nil {
		l.named = make(map[string][]string)
		for _, e := range l.book.entries {
			maker := nameKey(e.Maker)
			for _, m := range e.Models {
				key := maker + "|" + nameKey(m)
				l.named[key] = append(l.named[key], e.ID)
			}
		}
	}
	return l.named
}

// nameKey is a name without what writers differ in.
func nameKey(s string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', '-', '.', '/', '\'':
			return -1
		}
		return r
	}, strings.ToLower(s))
}
