package trace

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
)

// A Seen is one answer to a look at what is fitted: the look's id and the word
// of its answer, or [SkippedLook].
type Seen struct{ Look, Answer string }

// SkippedLook is the answer to a look that cannot be made: it is not asked for
// again.
const SkippedLook = "skip"

// A Share is a name and its chance, from 0 to 1.
type Share struct {
	Name   string
	Chance float64
}

// Fitted is what is fitted to an engine, as far as looks have shown.
type Fitted struct {
	// Kinds are the kinds of ignition and Switches the types of key switch, the
	// likeliest first; each list adds up to one.
	Kinds, Switches []Share
	// Next is the look that tells most a minute about the kind, and once that has
	// nine chances in ten, about the switch; nil where none is left that could
	// tell more than a twentieth of a bit.
	Next *specs.FittedLook
	// Mismatch says in words where the kind and the switch do not go together;
	// empty where they do, or where nothing is sure yet.
	Mismatch string
}

// System is the likeliest kind, and its chance.
func (f *Fitted) System() (s ignition.System, chance float64) {
	s, err := ignition.ParseSystem(f.Kinds[0].Name)
	if err != nil {
		return ignition.UnknownSystem, 0
	}
	return s, f.Kinds[0].Chance
}

// SwitchTitle is a type of key switch in words.
func SwitchTitle(name string) string {
	switch name {
	case "switch-battery":
		return "a battery-type key switch"
	case "switch-magneto":
		return "a magneto-type key switch"
	case "switch-stop":
		return "a stop switch or button"
	case "switch-feed":
		return "a feed switch of two terminals"
	}
	return name
}

// A FittedError says which look or answer is not known.
type FittedError struct{ Problem, Hint string }

// Error returns the problem and what would be right.
func (e *FittedError) Error() string {
	if e.Hint == "" {
		return "what is fitted: " + e.Problem
	}
	return "what is fitted: " + e.Problem + "; " + e.Hint
}

// WhatIsFitted weighs looks at the engine: what kind of ignition it has, and
// what type of key switch. Looks may come in any order. The error is a
// [*FittedError].
func WhatIsFitted(book *specs.Book, seen []Seen) (*Fitted, error) {
	all := book.Faults()
	var result Fitted
	for _, s := range all.Shares {
		list := shares(s.Weights)
		switch s.ID {
		case "kinds":
			result.Kinds = list
		case "switches":
			result.Switches = list
		}
	}
	if len(result.Kinds) == 0 || len(result.Switches) == 0 {
		return nil, &FittedError{Problem: "the book does not say how common kinds and switches are"}
	}
	slip := 0.0
	if len(all.Figures) > 0 {
		slip = all.Figures[0].Slip
	}
	asked := map[string]bool{}
	for _, s := range seen {
		at := slices.IndexFunc(all.Fitted, func(l specs.FittedLook) bool { return l.ID == s.Look })
		if at < 0 {
			e := &FittedError{Problem: fmt.Sprintf("there is no look %q", s.Look)}
			if near, ok := gate.Nearest(s.Look, lookIDs(all)); ok {
				e.Hint = fmt.Sprintf("did you mean %q?", near)
			}
			return nil, e
		}
		look := &all.Fitted[at]
		asked[s.Look] = true
		if s.Answer == SkippedLook {
			continue
		}
		answer := slices.IndexFunc(look.Answers, func(a specs.FaultAnswer) bool { return a.Word == s.Answer })
		if answer < 0 {
			words := make([]string, len(look.Answers))
			for i, a := range look.Answers {
				words[i] = a.Word
			}
			return nil, &FittedError{Problem: fmt.Sprintf("%q is no answer to %s", s.Answer, s.Look), Hint: "write one of " + strings.Join(words, ", ")}
		}
		for _, list := range [][]Share{result.Kinds, result.Switches} {
			weigh(list, look, s.Answer, slip)
		}
	}
	about := result.Kinds
	if slices.ContainsFunc(about, func(s Share) bool { return s.Chance >= sureOfKind }) {
		about = result.Switches
	}
	best := 0.0
	for i := range all.Fitted {
		look := &all.Fitted[i]
		if asked[look.ID] {
			continue
		}
		bits := gain(about, look, slip)
		if bits < 0.05 {
			continue
		}
		if rate := bits / look.Minutes.Minutes(); rate > best {
			best, result.Next = rate, look
		}
	}
	for _, list := range [][]Share{result.Kinds, result.Switches} {
		slices.SortStableFunc(list, func(a, b Share) int { return cmp.Compare(b.Chance, a.Chance) })
	}
	result.Mismatch = mismatch(&result)
	return &result, nil
}

// sureOfKind is the chance from which a kind is taken for known.
const sureOfKind = 0.9

func lookIDs(all *specs.Faults) []string {
	ids := make([]string, len(all.Fitted))
	for i := range all.Fitted {
		ids[i] = all.Fitted[i].ID
	}
	return ids
}

func shares(weights []specs.Weight) []Share {
	sum := 0.0
	for _, w := range weights {
		sum += w.Value
	}
	list := make([]Share, len(weights))
	for i, w := range weights {
		list[i] = Share{w.Name, w.Value / sum}
	}
	return list
}

// lookChance is the chance of an answer with one thing fitted; ok is false
// where the look does not bear on it.
func lookChance(look *specs.FittedLook, fitted, answer string, slip float64) (p float64, ok bool) {
	for _, c := range look.Chances {
		if c.Fitted != fitted {
			continue
		}
		for _, w := range c.Chances {
			if w.Name == answer {
				p = w.Value
			}
		}
		return (1-slip)*p + slip/float64(len(look.Answers)), true
	}
	return 0, false
}

func weigh(list []Share, look *specs.FittedLook, answer string, slip float64) {
	sum := 0.0
	for i := range list {
		if p, ok := lookChance(look, list[i].Name, answer, slip); ok {
			list[i].Chance *= p
		}
		sum += list[i].Chance
	}
	for i := range list {
		list[i].Chance /= sum
	}
}

// gain is how many bits a look is expected to tell about a list.
func gain(list []Share, look *specs.FittedLook, slip float64) float64 {
	bits := entropyOf(list)
	for _, a := range look.Answers {
		after := slices.Clone(list)
		p := 0.0
		for i := range after {
			q, ok := lookChance(look, after[i].Name, a.Word, slip)
			if !ok {
				return 0
			}
			after[i].Chance *= q
			p += after[i].Chance
		}
		for i := range after {
			after[i].Chance /= p
		}
		bits -= p * entropyOf(after)
	}
	return bits
}

func entropyOf(list []Share) float64 {
	bits := 0.0
	for _, s := range list {
		if s.Chance > 0 {
			bits -= s.Chance * math.Log2(s.Chance)
		}
	}
	return bits
}

// mismatch reports a switch that does not serve the kind.
func mismatch(f *Fitted) string {
	const sure = 0.8
	kind, key := f.Kinds[0], f.Switches[0]
	if kind.Chance < sure || key.Chance < sure {
		return ""
	}
	system, err := ignition.ParseSystem(kind.Name)
	if err != nil {
		return ""
	}
	feeds := system == ignition.BatteryPoints || system == ignition.BatteryBreakerless || system == ignition.Trembler || system == ignition.MakeAndBreak
	switch {
	case feeds && (key.Name == "switch-magneto" || key.Name == "switch-stop"):
		return fmt.Sprintf("%s does not feed a coil: %s wants a switch that feeds in run and start", SwitchTitle(key.Name), system.Title())
	case !feeds && (key.Name == "switch-battery" || key.Name == "switch-feed") && system != ignition.CapacitorDischarge:
		return fmt.Sprintf("%s never grounds: %s wants one that grounds it in off, and battery volts on its kill wire ruin it", SwitchTitle(key.Name), system.Title())
	}
	return ""
}
