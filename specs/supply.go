package specs

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/specs/gate"
)

// checkSupply reports conversions, steps and conditions of a supply that no
// recipe of the book has: nothing would ever want it.
func (b *Book) checkSupply(c *PartClass) gate.Problems {
	if c.Role != RoleSupply {
		return nil
	}
	var problems gate.Problems
	problem := func(key, code, message, hint string) {
		problems = append(problems, gate.Problem{File: c.At.File, Line: c.At.Line, Col: c.At.Col, Key: key, Code: code, Message: message, Hint: hint})
	}
	near := func(word string, known []string) string {
		if x, ok := gate.Nearest(word, known); ok {
			return "did you mean " + strconv.Quote(x) + "?"
		}
		return "known are: " + strings.Join(known, ", ")
	}
	of := c.Conversions
	if len(of) == 0 {
		of = b.conversions
	}
	var steps []string
	words := slices.Clone(conversionMachine)
	for _, id := range of {
		r, ok := b.files["conversions/"+id+".toml"].(*Conversion)
		if !ok {
			var err error
			if r, err = b.Conversion(id); err != nil {
				problem("conversions", "unknown-conversion", fmt.Sprintf("the book has no conversion %q", id), near(id, b.conversions))
				continue
			}
		}
		for _, s := range r.Steps {
			steps = append(steps, s.ID)
		}
		for _, f := range r.Facts {
			words = append(words, f.ID)
		}
	}
	for _, s := range c.Steps {
		if !slices.Contains(steps, s) {
			problem("steps", "unknown-step", fmt.Sprintf("none of its conversions has a step %q", s), near(s, steps))
		}
	}
	for _, w := range c.When {
		if plain := strings.TrimPrefix(w, "not "); !slices.Contains(words, plain) {
			problem("when", "unknown-word", fmt.Sprintf("%q is no condition", w), near(plain, words))
		}
	}
	return problems
}
