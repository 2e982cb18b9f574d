package specs

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/specs/gate"
)

// ruleModels holds the models that a figure is for to those of the identity.
//
// Whoever asks for the F7 gets the figures of "F7", and not those of "Model
// F7" or "F 7". A model that is none of the engine's and looks like none of them
// is let be: a figure may name the machine that the engine sits in.
//
// Refused: models = ["Model F7"] under a figure of an engine with models =
// ["F4", "F7"].
var ruleModels = lintRule{code: "models", claim: func(l *linter, c claim) {
	e, ok := c.table.value.(*Engine)
	if !ok || len(c.Models) == 0 {
		return
	}
	for i, m := range c.Models {
		if slices.Contains(e.Identity.Models, m) {
			continue
		}
		meant := ""
		for _, own := range e.Identity.Models {
			if nameKey(own) == nameKey(m) || slices.Contains(strings.Fields(m), own) {
				meant = own
			}
		}
		if near, ok := gate.Nearest(m, e.Identity.Models); meant == "" && ok && len(m) > 3 {
			meant = near
		}
		if meant != "" {
			l.problems = append(l.problems, c.node.Child("models").Items[i].ValueProblem(c.table.file, l.rule.code, fmt.Sprintf("the identity has no model %q", m), "write "+strconv.Quote(meant)+", as in identity.models"))
		}
	}
}}
