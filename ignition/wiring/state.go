package wiring

import (
	"fmt"
	"slices"
	"strings"
)

// Engine is what the engine does.
type Engine uint8

// The engine's conditions.
const (
	// Still is an engine that does not turn.
	Still Engine = iota
	// Cranks is an engine turned by its starter, by rope or by hand.
	Cranks
	// Runs is an engine at working speed, its charging set at work.
	Runs
)

// String returns "still", "cranking" or "running".
func (e Engine) String() string {
	switch e {
	case Still:
		return "still"
	case Cranks:
		return "cranking"
	case Runs:
		return "running"
	}
	return "unknown"
}

// State is one state of a harness. The zero State has the key in its first
// position (off), the points closed, every safety switch safe, no button
// pressed and the engine still.
type State struct {
	// Key is the position of the key switch; empty is its first.
	Key string
	// Open, Unsafe and Pressed have a bit for each of [Harness.Breakers],
	// [Harness.Interlocks] and [Harness.Buttons], in their order.
	Open, Unsafe, Pressed uint32
	Engine                Engine
}

// Keys lists the positions of the key switch; nil where there is none.
func (h *Harness) Keys() []string { return append([]string(nil), h.keys...) }

// UsualState is the state that a person meters first: the engine still, the
// points closed, the key in run, or in the second of its positions where none is
// called so.
func (h *Harness) UsualState() State {
	s := State{}
	if len(h.keys) > 0 {
		s.Key = h.keys[min(1, len(h.keys)-1)]
		if slices.Contains(h.keys, "run") {
			s.Key = "run"
		}
	}
	return s
}

// Breakers lists the parts that open and close as the engine turns: points,
// timers, igniters and what stands in for them.
func (h *Harness) Breakers() []string { return h.names(h.breakers) }

// Interlocks lists the safety switches.
func (h *Harness) Interlocks() []string { return h.names(h.locks) }

// Buttons lists the buttons.
func (h *Harness) Buttons() []string { return h.names(h.buttons) }

func (h *Harness) names(parts []int) []string {
	out := make([]string, len(parts))
	for i, p := range parts {
		out[i] = h.draft.Parts[p].Name
	}
	return out
}

// AllOpen returns the bits of State.Open with every breaker open.
func (h *Harness) AllOpen() uint32 { return 1<<len(h.breakers) - 1 }

// states is how many there are; more than MaxStates stands for too many.
func (h *Harness) states() int {
	bits := len(h.breakers) + len(h.locks) + len(h.buttons)
	if bits > 20 {
		return MaxStates + 1
	}
	return max(len(h.keys), 1) * 3 << bits
}

// States lists every state: for each position of the key the engine still,
// cranking and running, and in each the breakers closed before open, the
// safety switches safe before unsafe, the buttons free before pressed.
func (h *Harness) States() []State {
	keys := h.keys
	if len(keys) == 0 {
		keys = []string{""}
	}
	out := make([]State, 0, h.states())
	for _, key := range keys {
		for engine := Still; engine <= Runs; engine++ {
			for pressed := range uint32(1) << len(h.buttons) {
				for unsafe := range uint32(1) << len(h.locks) {
					for open := range uint32(1) << len(h.breakers) {
						out = append(out, State{Key: key, Open: open, Unsafe: unsafe, Pressed: pressed, Engine: engine})
					}
				}
			}
		}
	}
	return out
}

// Describe says a state in words: "key in run, points open, seat unsafe,
// engine running".
func (h *Harness) Describe(s State) string {
	var out []string
	if len(h.keys) > 0 {
		key := s.Key
		if key == "" {
			key = h.keys[0]
		}
		out = append(out, "key in "+key)
	}
	say := func(names []string, bits uint32, off, on string) {
		for i, n := range names {
			word := off
			if bits>>i&1 == 1 {
				word = on
			}
			if word != "" {
				out = append(out, n+" "+word)
			}
		}
	}
	say(h.Breakers(), s.Open, "closed", "open")
	say(h.Interlocks(), s.Unsafe, "", "unsafe")
	say(h.Buttons(), s.Pressed, "", "pressed")
	return strings.Join(append(out, "engine "+s.Engine.String()), ", ")
}

// check finds the number of the key's position and what is wrong with a state.
func (h *Harness) check(s State) (key int, err error) {
	for i, k := range h.keys {
		if k == s.Key {
			key = i
		}
	}
	switch {
	case s.Key != "" && (len(h.keys) == 0 || h.keys[key] != s.Key):
		return 0, &StateError{State: s, Problem: fmt.Sprintf("the key has no position %q", s.Key), Known: h.Keys()}
	case s.Open>>len(h.breakers) != 0, s.Unsafe>>len(h.locks) != 0, s.Pressed>>len(h.buttons) != 0, s.Engine > Runs:
		return 0, &StateError{State: s, Problem: "the state names breakers, safety switches or buttons that the harness does not have"}
	}
	return key, nil
}

// StateError reports a state that the harness does not have.
type StateError struct {
	State   State
	Problem string
	Known   []string // positions of the key
}

// Error says what is wrong and which positions there are.
func (e *StateError) Error() string {
	if len(e.Known) > 0 {
		return e.Problem + "; it has " + strings.Join(e.Known, ", ")
	}
	return e.Problem
}
