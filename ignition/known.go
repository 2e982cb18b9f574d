package ignition

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// Known is a value that may not be known. The zero value is unknown, which is
// not the same as a known zero: a lead of 0 Ω is a solid wire, a lead of
// unknown resistance is a question.
type Known[T comparable] struct {
	value T
	known bool
}

// Know returns v as a known value.
func Know[T comparable](v T) Known[T] { return Known[T]{value: v, known: true} }

// Get returns the value and whether it is known; the value is T's zero value
// where it is not.
func (k Known[T]) Get() (T, bool) { return k.value, k.known }

// Or returns the value, or otherwise where it is not known.
func (k Known[T]) Or(otherwise T) T {
	if k.known {
		return k.value
	}
	return otherwise
}

// IsKnown reports whether the value is known.
func (k Known[T]) IsKnown() bool { return k.known }

// IsZero reports whether the value is unknown, so that the JSON option
// omitzero leaves unknown values out.
func (k Known[T]) IsZero() bool { return !k.known }

// Equal reports whether both are unknown, or both known and the same.
func (k Known[T]) Equal(other Known[T]) bool { return k == other }

// String returns the value as text, or "unknown".
func (k Known[T]) String() string {
	if !k.known {
		return "unknown"
	}
	return fmt.Sprint(k.value)
}

// MarshalJSON writes the value, or null where it is not known.
func (k Known[T]) MarshalJSON() ([]byte, error) {
	if !k.known {
		return []byte("null"), nil
	}
	return json.Marshal(k.value)
}

// UnmarshalJSON reads a value; null is unknown. The error is that of the
// value's own type.
func (k *Known[T]) UnmarshalJSON(text []byte) error {
	if bytes.Equal(bytes.TrimSpace(text), []byte("null")) {
		*k = Known[T]{}
		return nil
	}
	var v T
	if err := json.Unmarshal(text, &v); err != nil {
		return err
	}
	*k = Know(v)
	return nil
}
