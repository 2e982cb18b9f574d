package sheet

import (
	"strings"

	"gapbook.example/specs"
)

// Names writes every quantity that can be read: its key for job files and
// tables, a value as an example, and what else people call it.
func Names(style Style) string {
	w := writer{style: style}
	w.para("", "", "Everything that can be read, in the order of tables and reports: the key for job files, an example, other names.")
	w.blank()
	for _, q := range specs.Quantities() {
		if q.Words() {
			continue
		}
		text := w.style.strong(string(q.Key)) + " = \"" + q.Example + "\"  " + q.Title
		if len(q.Also) > 0 {
			text += "; also " + strings.Join(q.Also, ", ")
		}
		w.para("", "    ", text)
	}
	return w.String()
}
