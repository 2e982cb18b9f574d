package trace

import (
	"errors"
	"math"
	"testing"

	"gapbook.example/specs"
)

// TestFittedNamesEveryKind answers every look as the commonest engine of a kind
// does, in two orders, and wants that kind named with a chance over 0.8.
func TestFittedNamesEveryKind(t *testing.T) {
	book := specs.Builtin()
	all := book.Faults()
	first, err := WhatIsFitted(book, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range first.Kinds {
		for _, key := range first.Switches {
			var seen, back []Seen
			for _, look := range all.Fitted {
				for _, c := range look.Chances {
					if c.Fitted != kind.Name && c.Fitted != key.Name {
						continue
					}
					best := c.Chances[0]
					for _, w := range c.Chances {
						if w.Value > best.Value {
							best = w
						}
					}
					seen = append(seen, Seen{look.ID, best.Name})
					back = append([]Seen{{look.ID, best.Name}}, back...)
				}
			}
			a, err := WhatIsFitted(book, seen)
			if err != nil {
				t.Fatal(err)
			}
			b, err := WhatIsFitted(book, back)
			if err != nil {
				t.Fatal(err)
			}
			if a.Kinds[0].Name != kind.Name || a.Kinds[0].Chance < 0.8 {
				t.Errorf("%s with %s is called %+v", kind.Name, key.Name, a.Kinds[:3])
			}
			if a.Switches[0].Name != key.Name || a.Switches[0].Chance < 0.8 {
				t.Errorf("%s with %s: switch is called %+v", kind.Name, key.Name, a.Switches[:2])
			}
			sum := 0.0
			for i := range a.Kinds {
				sum += a.Kinds[i].Chance
				if a.Kinds[i].Name != b.Kinds[i].Name || math.Abs(a.Kinds[i].Chance-b.Kinds[i].Chance) > 1e-12 {
					t.Errorf("the order of looks matters: %+v, %+v", a.Kinds[i], b.Kinds[i])
				}
			}
			if math.Abs(sum-1) > 1e-12 {
				t.Errorf("the chances add up to %v", sum)
			}
		}
	}
}

// TestFittedAsksFew follows its own next look until it is sure or has none, and
// counts: six looks at most.
func TestFittedAsksFew(t *testing.T) {
	book := specs.Builtin()
	start, err := WhatIsFitted(book, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range start.Kinds {
		var seen []Seen
		n := 0
		for f := start; f.Kinds[0].Chance < 0.9 && f.Next != nil; n++ {
			answer := f.Next.Answers[0].Word
			for _, c := range f.Next.Chances {
				if c.Fitted == kind.Name || c.Fitted == "switch-battery" {
					best := 0.0
					for _, w := range c.Chances {
						if w.Value > best {
							best, answer = w.Value, w.Name
						}
					}
				}
			}
			seen = append(seen, Seen{f.Next.ID, answer})
			if f, err = WhatIsFitted(book, seen); err != nil {
				t.Fatal(err)
			}
		}
		f, _ := WhatIsFitted(book, seen)
		if f.Kinds[0].Name != kind.Name || n > 6 {
			t.Errorf("%s: after %d looks it says %+v", kind.Name, n, f.Kinds[:2])
		}
	}
}

func TestFittedMismatch(t *testing.T) {
	f, err := WhatIsFitted(specs.Builtin(), []Seen{{"coil-place", "can"}, {"battery", "starter-battery"}, {"points", "cover"}, {"box", "none"}, {"switch-off", "joined"}, {"switch-letters", "m-or-g"}})
	if err != nil {
		t.Fatal(err)
	}
	if f.Mismatch == "" {
		t.Errorf("a magneto switch on a battery coil passes: %+v %+v", f.Kinds[0], f.Switches[0])
	}
}

func TestFittedProblems(t *testing.T) {
	for _, s := range []Seen{{"no-such-look", "a"}, {"battery", "no-such-answer"}} {
		var want *FittedError
		if _, err := WhatIsFitted(specs.Builtin(), []Seen{s}); !errors.As(err, &want) {
			t.Errorf("%+v: %v", s, err)
		}
	}
}
