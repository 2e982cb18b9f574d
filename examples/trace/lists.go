package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition/trace"
)

// page is how many tests are listed at once: a screen has room for them.
const page = 12

// other asks the test that the person names by its number in the list, its id or
// its words, or lists those that are left.
func (t *talk) other(named string) bool {
	m, left := t.c.Model(), t.c.Left()
	var list []choice
	for _, s := range left {
		list = append(list, choice{m.Tests[s.Test].ID, m.Tests[s.Test].Title})
	}
	from := 0
	switch {
	case named == "more":
		if from = t.listed; from >= len(list) {
			from = 0
		}
	case named != "":
		at, near := pick(named, 1, list)
		if at >= 0 {
			t.ask(left[at].Test, "")
			return true
		}
		if i := m.Test(named); i > 0 {
			t.ask(i, "") // it was answered, or cannot be done; the person knows best
			return true
		}
		if len(near) > 0 && len(near) <= page {
			t.tell("Which of these? Type other and its number:")
			for _, i := range near {
				t.tell(fmt.Sprintf("  %d  %s", i+1, list[i].text))
			}
			return false
		}
		t.tell(fmt.Sprintf("No test left to do has %q in its name.", named))
	}
	if len(list) == 0 {
		t.tell("No test is left to do.")
		return false
	}
	to := min(from+page, len(list))
	t.tell("Type other and a number, such as: other 3. The quickest and safest come first.")
	for i := from; i < to; i++ {
		t.tell(fmt.Sprintf("  %2d  %s, %.0f min", i+1, list[i].text, left[i].Minutes.Minutes()))
	}
	if to < len(list) {
		t.tell(fmt.Sprintf("  other more: %d that take longer", len(list)-to))
	}
	t.listed = to
	return false
}

// again takes a second answer to a test that was answered: "again 2 4.0 Ω", or
// "again primary-ohms 4.0 Ω". Without the answer it asks the test anew.
func (t *talk) again(rest string) bool {
	m := t.c.Model()
	var list []choice
	var tests []int
	texts := map[int]string{}
	for _, a := range t.c.Answers() {
		if a.Test == 0 || a.Skipped {
			continue
		}
		if !slices.Contains(tests, a.Test) {
			tests = append(tests, a.Test)
			list = append(list, choice{m.Tests[a.Test].ID, m.Tests[a.Test].Title})
			texts[a.Test] = m.AnswerText(a)
			continue
		}
		texts[a.Test] += ", then " + m.AnswerText(a)
	}
	word, text, _ := strings.Cut(rest, " ")
	at := slices.IndexFunc(list, func(c choice) bool { return c.word == word })
	if n, err := strconv.Atoi(word); err == nil && n >= 1 && n <= len(list) {
		at = n - 1
	}
	switch {
	case at >= 0 && text == "":
		t.ask(tests[at], "")
		return true
	case at >= 0:
		return t.answer(&m.Tests[tests[at]], text)
	case rest != "":
		if i, _ := pick(rest, 1, list); i >= 0 {
			t.ask(tests[i], "")
			return true
		}
	}
	if len(list) == 0 {
		t.tell("Nothing was measured yet. undo takes the last answer back.")
		return false
	}
	t.tell("Type again, the number, and what it is this time, such as: again 1 " + example(&m.Tests[tests[0]]) + ".")
	for i, c := range list {
		t.tell(fmt.Sprintf("  %2d  %s: %s", i+1, c.text, texts[tests[i]]))
	}
	return false
}

// example is an answer that a test could have.
func example(x *trace.Test) string {
	if x.Reading {
		return x.Healthy.Display()
	}
	return x.FaultTest.Answers[0].Word
}
