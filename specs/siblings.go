package specs

import (
	"cmp"
	"slices"
	"sync"
)

// A sibling is one figure of an engine as the rule about siblings needs it.
type sibling struct {
	engine, system string
	x              float64 // in the SI unit
}

// engineFigures are the figures of one engine of the shipped book that may be
// siblings of others; the list of them is generated.
type engineFigures struct {
	id      string
	figures []keyedFigure
}

type keyedFigure struct {
	key Key
	x   float64
}

// siblings lists, for each quantity, the figures of all engines whose status
// is not doubtful, in the order of engines. Figures of the shipped book come
// from a generated list, so that a table is linted without reading all others.
func (b *Book) siblings() map[Key][]sibling {
	b.siblingsOnce.Do(func() {
		b.siblingList = make(map[Key][]sibling)
		add := func(e Entry, figures []keyedFigure) {
			for _, f := range figures {
				b.siblingList[f.key] = append(b.siblingList[f.key], sibling{e.ID, e.System, f.x})
			}
		}
		for i, e := range b.entries {
			if figures, ok := b.shippedFigures(e); ok {
				add(e, figures)
			} else {
				add(e, keyedFigures(b.engineAt(i)))
			}
		}
	})
	return b.siblingList
}

// shippedFigures finds an engine in the generated list, where its table is the
// shipped one.
func (b *Book) shippedFigures(e Entry) ([]keyedFigure, bool) {
	for _, l := range slices.Backward(b.layers) {
		if !l.has(e.File) {
			continue
		}
		i, ok := slices.BinarySearchFunc(l.figures, e.ID, func(f engineFigures, id string) int { return cmp.Compare(f.id, id) })
		if !ok {
			return nil, false
		}
		return l.figures[i].figures, true
	}
	return nil, false
}

func keyedFigures(e *Engine) []keyedFigure {
	var out []keyedFigure
	for _, f := range e.Figures {
		if f.Status == Doubtful {
			continue
		}
		for _, v := range f.Band.values() {
			out = append(out, keyedFigure{f.Quantity, v.Quantity.SI()})
		}
	}
	return out
}

// A siblingBook keeps the siblings of a book and what was let pass, once asked for.
type siblingBook struct {
	siblingsOnce sync.Once
	siblingList  map[Key][]sibling
	settledOnce  sync.Once
	settledList  map[string]bool
}
