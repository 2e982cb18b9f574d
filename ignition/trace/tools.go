package trace

import (
	"fmt"
	"slices"
	"strings"
)

// needs are the tools that a test needs, each with those that do as well, from
// the words of the tables: "spark tester, gentle heat", "voltmeter or lamp". What
// stands behind a semicolon is a remark.
func (t *Test) needs() [][]string {
	text, _, _ := strings.Cut(t.Tools, ";")
	var needs [][]string
	for _, need := range strings.Split(text, ", ") {
		if need = strings.TrimSpace(need); need != "" {
			needs = append(needs, strings.Split(need, " or "))
		}
	}
	return needs
}

// sameTool reports whether who has no tool of a name has not this one either:
// without a spark tester there is no adjustable spark tester.
func sameTool(missing, tool string) bool {
	return strings.EqualFold(missing, tool) || strings.HasSuffix(strings.ToLower(tool), " "+strings.ToLower(missing))
}

// lacking reports whether a test cannot be done without tools: every one of
// those that would do for some need is missing.
func (t *Test) lacking(missing []string) bool {
	return slices.ContainsFunc(t.needs(), func(need []string) bool {
		return !slices.ContainsFunc(need, func(tool string) bool {
			return !slices.ContainsFunc(missing, func(m string) bool { return sameTool(m, tool) })
		})
	})
}

// rootOf is what a person means by the name of a tool: "tester", said of an
// adjustable spark tester, is any spark tester where other tests need just that.
func (m *Model) rootOf(name, tool string) string {
	root := tool
	for i := range m.Tests {
		for _, need := range m.Tests[i].needs() {
			for _, other := range need {
				if len(other) < len(root) && sameTool(name, other) && sameTool(other, tool) {
					root = other
				}
			}
		}
	}
	return root
}

// without reads "no spark tester", or "no tool" where only one is needed: the
// tools that are not there. ok is false where the text says no such thing.
func (m *Model) without(t *Test, text string) (tools []string, err *TextError, ok bool) {
	word, name, _ := strings.Cut(strings.ToLower(strings.TrimSpace(text)), " ")
	name = strings.TrimSpace(name)
	if word != "no" && word != "without" || name == "" {
		return nil, nil, false
	}
	needs := t.needs()
	if name == "tool" || name == "tools" {
		switch len(needs) {
		case 0:
			return nil, &TextError{"bad-answer", t.Title + ": it needs no tool", "skip it if it cannot be done"}, true
		case 1:
			return needs[0], nil, true
		}
		var names []string
		for _, need := range needs {
			names = append(names, fmt.Sprintf("%q", "no "+need[0]))
		}
		return nil, &TextError{"bad-answer", t.Title + ": it needs more than one tool", "write which is not there: " + strings.Join(names, " or ")}, true
	}
	for _, need := range needs {
		var missing, left []string
		for _, tool := range need {
			if sameTool(name, tool) || strings.HasPrefix(strings.ToLower(tool), name+" ") {
				missing = append(missing, m.rootOf(name, tool))
			} else {
				left = append(left, tool)
			}
		}
		switch {
		case len(missing) > 0 && len(left) > 0:
			return nil, &TextError{"bad-answer", fmt.Sprintf("%s: a %s would do as well", t.Title, left[0]), `write "no tool" if neither is there`}, true
		case len(missing) > 0:
			return missing, nil, true
		}
	}
	return nil, nil, false
}

// off marks the tests that cannot be done for want of the tools that answers so
// far have said are not there.
func (c *Case) off() {
	var missing []string
	for _, t := range c.told {
		if t.cure < 0 && t.answer.Tool != "" {
			missing = append(missing, strings.Split(t.answer.Tool, " or ")...)
		}
	}
	for i := range c.m.Tests {
		if c.m.Tests[i].lacking(missing) {
			c.skipped[i] = true
		}
	}
}
