package trace

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/specs"
	"gapbook.example/specs/gate"
)

// Counts are a shop's own tally: how often each fault was found, and which
// answer each look gave under it. They update the book's assumed priors and
// sign rows by Dirichlet's rule, counts added to what the table is worth. All
// counts are whole numbers, so that two tallies add up to the same in any
// order. The zero Counts are empty; a nil pointer counts as empty.
type Counts struct {
	found map[foundKey]int
	seen  map[seenKey]int
}

type foundKey struct{ system, fault string }

type seenKey struct{ test, fault, answer string }

// Otherwise stands for the fault in sightings under faults that the look has no
// sign row for.
const Otherwise = "otherwise"

// maxCount is the most that one count may hold, so that sums stay exact.
const maxCount = 1 << 24

// A CountError says which count cannot be taken.
type CountError struct{ What, Problem string }

// Error returns what was counted and what is wrong with it.
func (e *CountError) Error() string { return "count of " + e.What + ": " + e.Problem }

// Found counts a fault that was found in one engine of a kind, n times. The
// error is a [*CountError].
func (c *Counts) Found(system, fault string, n int) error {
	if n < 0 || n > maxCount-c.found[foundKey{system, fault}] {
		return &CountError{fault, fmt.Sprintf("%d is no count", n)}
	}
	if n == 0 {
		return nil
	}
	if c.found == nil {
		c.found = make(map[foundKey]int)
	}
	c.found[foundKey{system, fault}] += n
	return nil
}

// Seen counts an answer that a look gave under a fault, n times; the fault is
// [Otherwise] where the look has no sign row for the one that was found. The
// error is a [*CountError].
func (c *Counts) Seen(test, fault, answer string, n int) error {
	k := seenKey{test, fault, answer}
	if n < 0 || n > maxCount-c.seen[k] {
		return &CountError{test + " under " + fault, fmt.Sprintf("%d is no count", n)}
	}
	if n == 0 {
		return nil
	}
	if c.seen == nil {
		c.seen = make(map[seenKey]int)
	}
	c.seen[k] += n
	return nil
}

// Add adds another tally. The sum is the same in any order. The error is a
// [*CountError], and then nothing was added.
func (c *Counts) Add(other *Counts) error {
	if other == nil {
		return nil
	}
	sum := Counts{found: maps.Clone(c.found), seen: maps.Clone(c.seen)}
	for k, n := range other.found {
		if err := sum.Found(k.system, k.fault, n); err != nil {
			return err
		}
	}
	for k, n := range other.seen {
		if err := sum.Seen(k.test, k.fault, k.answer, n); err != nil {
			return err
		}
	}
	*c = sum
	return nil
}

// Job counts one finished job: the fault that was found, and the answers of the
// looks that were made, each once. The error is a [*CountError].
func (c *Counts) Job(m *Model, cause int, answers []Answer) error {
	if cause < 0 || cause >= len(m.Causes) {
		return &CountError{"a job", fmt.Sprintf("this engine has no cause number %d", cause)}
	}
	fault := m.Causes[cause].ID
	if err := c.Found(m.System.String(), fault, 1); err != nil {
		return err
	}
	done := map[int]bool{}
	for _, a := range slices.Backward(answers) { // a repeat stands for the first
		if a.Test <= 0 || a.Test >= len(m.Tests) || a.Skipped || done[a.Test] {
			continue
		}
		done[a.Test] = true
		t := &m.Tests[a.Test]
		if len(t.FaultTest.Healthy) == 0 || a.Look < 0 || a.Look >= len(t.FaultTest.Answers) {
			continue // readings follow physics; they are not counted
		}
		under := Otherwise
		if t.signs[fault] {
			under = fault
		}
		if err := c.Seen(t.ID, under, t.FaultTest.Answers[a.Look].Word, 1); err != nil {
			return err
		}
	}
	return nil
}

// Totals are the faults and the sights counted.
func (c *Counts) Totals() (found, seen int) {
	if c == nil {
		return 0, 0
	}
	for _, n := range c.found {
		found += n
	}
	for _, n := range c.seen {
		seen += n
	}
	return found, seen
}

// priors are the book's, worth so many callers, with the shop's own added.
func (c *Counts) priors(system string, worth float64, causes []Cause) {
	if c == nil || len(c.found) == 0 {
		return
	}
	total := worth
	for i := range causes {
		total += float64(c.found[foundKey{system, causes[i].ID}])
	}
	if total <= worth {
		return // nothing of this kind was counted
	}
	for i := range causes {
		causes[i].Prior = (worth*causes[i].Prior + float64(c.found[foundKey{system, causes[i].ID}])) / total
	}
}

// row is a sign row, worth so many sights, with the shop's own added.
func (c *Counts) row(t *Test, fault string, worth float64, row []float64) []float64 {
	if c == nil || len(c.seen) == 0 {
		return row
	}
	total := worth
	for _, a := range t.FaultTest.Answers {
		total += float64(c.seen[seenKey{t.ID, fault, a.Word}])
	}
	if total <= worth {
		return row
	}
	for i, a := range t.FaultTest.Answers {
		row[i] = (worth*row[i] + float64(c.seen[seenKey{t.ID, fault, a.Word}])) / total
	}
	return normalised(row)
}

// Marshal writes the tally as TOML, in one order, so that equal tallies are
// equal texts. [ReadCounts] reads it.
func (c *Counts) Marshal() []byte {
	var w strings.Builder
	w.WriteString("# A shop's own counts: faults found, and what looks showed under them.\nschema = 1\n")
	if c == nil {
		return []byte(w.String())
	}
	found := slices.SortedFunc(maps.Keys(c.found), func(a, b foundKey) int {
		return cmp.Or(cmp.Compare(a.system, b.system), cmp.Compare(a.fault, b.fault))
	})
	last := ""
	for _, k := range found {
		if k.system != last {
			fmt.Fprintf(&w, "\n[found.%s]\n", k.system)
			last = k.system
		}
		fmt.Fprintf(&w, "%s = %d\n", k.fault, c.found[k])
	}
	seen := slices.SortedFunc(maps.Keys(c.seen), func(a, b seenKey) int {
		return cmp.Or(cmp.Compare(a.test, b.test), cmp.Compare(a.fault, b.fault), cmp.Compare(a.answer, b.answer))
	})
	last = ""
	for _, k := range seen {
		if head := k.test + "." + k.fault; head != last {
			fmt.Fprintf(&w, "\n[seen.%s]\n", head)
			last = head
		}
		fmt.Fprintf(&w, "%s = %d\n", k.answer, c.seen[k])
	}
	return []byte(w.String())
}

// ReadCounts reads a tally. Faults, looks and answers must be the book's. The
// error is a [gate.Problems] with everything that is wrong, each at its place.
func ReadCounts(book *specs.Book, file string, src []byte) (*Counts, error) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	all := book.Faults()
	c := &Counts{}
	report := func(n *gate.Node, code, message, hint string) {
		problems = append(problems, n.Problem(file, code, message, hint))
	}
	near := func(n *gate.Node, code, what string, known []string) {
		hint := ""
		if word, ok := gate.Nearest(n.Key, known); ok {
			hint = "did you mean " + strconv.Quote(word) + "?"
		}
		report(n, code, "there is no "+what+" "+strconv.Quote(n.Key), hint)
	}
	faults := map[string]*specs.Fault{}
	var faultIDs []string
	for i := range all.Faults {
		faults[all.Faults[i].ID] = &all.Faults[i]
		faultIDs = append(faultIDs, all.Faults[i].ID)
	}
	number := func(n *gate.Node) (int, bool) {
		v, ok := n.Value.(int64)
		if !ok || v < 0 || v > maxCount {
			report(n, "bad-count", "a count is a whole number of 0 or more, without quotes", "")
			return 0, false
		}
		return int(v), true
	}
	table := func(n *gate.Node) bool {
		if !n.IsTable {
			report(n, "wrong-type", "a table is needed here", "")
		}
		return n.IsTable
	}
	for _, section := range doc.Root.Children {
		switch section.Key {
		case "schema":
			if section.Value != int64(1) {
				report(section, "unknown-schema", "only schema = 1 is known", "")
			}
		case "found":
			if !table(section) {
				continue
			}
			for _, system := range section.Children {
				if !slices.Contains(specs.Systems(), system.Key) {
					near(system, "unknown-system", "kind of system", specs.Systems())
					continue
				}
				if !table(system) {
					continue
				}
				for _, n := range system.Children {
					f := faults[n.Key]
					if f == nil {
						near(n, "unknown-fault", "fault", faultIDs)
						continue
					}
					if f.Prior(system.Key) == 0 {
						report(n, "unknown-fault", "the book has no such fault of this kind", "")
						continue
					}
					if count, ok := number(n); ok {
						if err := c.Found(system.Key, n.Key, count); err != nil {
							report(n, "bad-count", err.Error(), "")
						}
					}
				}
			}
		case "seen":
			if !table(section) {
				continue
			}
			for _, test := range section.Children {
				at := slices.IndexFunc(all.Tests, func(t specs.FaultTest) bool { return t.ID == test.Key && len(t.Healthy) > 0 })
				if at < 0 {
					var looks []string
					for _, t := range all.Tests {
						if len(t.Healthy) > 0 {
							looks = append(looks, t.ID)
						}
					}
					near(test, "unknown-test", "look", looks)
					continue
				}
				if !table(test) {
					continue
				}
				var words []string
				for _, a := range all.Tests[at].Answers {
					words = append(words, a.Word)
				}
				for _, fault := range test.Children {
					if fault.Key != Otherwise && faults[fault.Key] == nil {
						near(fault, "unknown-fault", "fault", append(slices.Clone(faultIDs), Otherwise))
						continue
					}
					if !table(fault) {
						continue
					}
					for _, n := range fault.Children {
						if !slices.Contains(words, n.Key) {
							near(n, "unknown-answer", "answer", words)
							continue
						}
						if count, ok := number(n); ok {
							if err := c.Seen(test.Key, fault.Key, n.Key, count); err != nil {
								report(n, "bad-count", err.Error(), "")
							}
						}
					}
				}
			}
		default:
			report(section, "unknown-key", "a tally has [found] and [seen]", "")
		}
	}
	if len(problems) > 0 {
		problems.Sort()
		return nil, problems
	}
	return c, nil
}
