package specs

import (
	"fmt"
	"io/fs"
	"path"
	"strings"

	"gapbook.example/specs/gate"
)

// ruleFileName keeps stray files out of the book's folders.
//
// Everything in a folder of the module is downloaded by everybody, and one name
// that some system cannot store stops "go get" for all: a colon, a quote, two
// names that differ by case alone, a device name. Loading refuses such names
// for tables; this looks at whatever else lies in the folders of tables. A
// table under a name that is not read is a figure that nobody sees.
//
// Refused: engines/Notes.txt; engines/.draft.toml; a folder in engines.
var ruleFileName = lintRule{code: "file-name", book: func(l *linter) {
	for _, layer := range l.book.layers {
		for _, dir := range kinds {
			list, err := fs.ReadDir(layer.fsys, dir)
			if err != nil {
				continue // a book need not have every kind
			}
			for _, d := range list {
				name := path.Join(dir, d.Name())
				what := ""
				switch {
				case d.IsDir():
					what = "is a folder, and nothing below it is read"
				case !strings.HasSuffix(d.Name(), ".toml"):
					what = "is no table"
				case !layer.has(name):
					what = "is not read"
				default:
					continue
				}
				l.problems = append(l.problems, gate.Problem{File: layer.prefix + name, Line: 1, Col: 1, Code: l.rule.code,
					Message: fmt.Sprintf("%q %s", d.Name(), what), Hint: "take it out of " + dir + ", or name it as a table is: lower-case words joined by dashes, and .toml"})
			}
		}
	}
}}
