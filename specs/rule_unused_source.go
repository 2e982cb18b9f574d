package specs

// ruleUnusedSource reports sources that no table cites.
//
// A source without a figure is a figure that was lost on the way in, or a
// misspelled id that happens to exist.
//
// Refused: sources/second-book.toml that nothing in the book names.
var ruleUnusedSource = lintRule{code: "unused-source", book: func(l *linter) {
	used := make(map[string]bool)
	for _, t := range l.tables {
		for _, c := range t.claims {
			used[c.Source] = true
		}
		switch v := t.value.(type) {
		case *Engine:
			for _, s := range v.SetAside {
				used[s.Source] = true
			}
		case *Limits:
			used[v.GrossSource] = true
			for _, x := range v.Tolerances {
				used[x.Source] = true
			}
		case *Meter:
			for _, r := range v.Ranges {
				used[r.Source] = true
			}
		case *Caution:
			for _, s := range v.Sources {
				used[s.Source] = true
			}
		case *PartClass:
			for _, x := range v.Values {
				used[x.Source] = true
			}
		case *SwitchTable:
			for _, s := range v.Sources {
				used[s.Source] = true
			}
		case *Conversion:
			for _, s := range v.sources() {
				used[s.source] = true
			}
		case *Finish:
			for _, s := range v.sources() {
				used[s.source] = true
			}
		case *FaultTable:
			for _, s := range v.sources() {
				used[s.source] = true
			}
		case *Bounds:
			for _, x := range v.List {
				used[x.Source] = true
			}
		case *WireTable:
			for _, c := range v.Columns {
				used[c.Source] = true
			}
		}
	}
	for _, t := range l.tables {
		if s, ok := t.value.(*Source); ok && !used[s.ID] {
			l.at(t, t.doc.Root, "no table of the book cites this source", "cite it or take the file out")
		}
	}
}}
