package specs_test

import (
	"slices"
	"strings"
	"testing"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// TestQuantityNames holds every name of the closed list to one meaning.
func TestQuantityNames(t *testing.T) {
	owner := make(map[string]specs.Key)
	for _, q := range specs.Quantities() {
		// A title may be the key spelled with spaces; across quantities no name
		// may mean two things.
		names := append([]string{string(q.Key), q.Title}, q.Also...)
		for _, name := range names {
			key := strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return strings.ContainsRune(" _-", r) }), " ")
			if other, taken := owner[key]; taken && other != q.Key {
				t.Errorf("%q names %s and %s", name, other, q.Key)
			}
			owner[key] = q.Key
		}
		for _, name := range names {
			for _, spelled := range []string{name, strings.ToUpper(name), strings.ReplaceAll(name, " ", "-"), strings.ReplaceAll(name, " ", "_")} {
				if found, ok := specs.QuantityByName(spelled); !ok || found.Key != q.Key {
					t.Errorf("%q finds %q, want %q", spelled, found.Key, q.Key)
				}
			}
		}
	}
	if q, ok := specs.QuantityByName("points gapp"); ok {
		t.Errorf("a name that is not there finds %s", q.Key)
	}
}

// TestQuantityExamples parses the example of every quantity as a table's value.
func TestQuantityExamples(t *testing.T) {
	for _, q := range specs.Quantities() {
		if q.Example == "" || q.Title == "" || q.Part == "" {
			t.Errorf("%s lacks an example, a title or a part", q.Key)
		}
		if q.Words() {
			continue
		}
		v, err := units.ParseStrict(q.Kind, q.Example)
		if err != nil {
			t.Errorf("%s: %v", q.Key, err)
			continue
		}
		if v.Kind() != q.Kind || v.IsZero() {
			t.Errorf("%s: the example %q reads as %v", q.Key, q.Example, v)
		}
		if q.NeedsSense && !strings.HasSuffix(q.Example, "BTDC") {
			t.Errorf("%s needs a sense and its example %q has none", q.Key, q.Example)
		}
		if q.Copper && q.Kind != units.KindResistance {
			t.Errorf("%s is copper and not a resistance", q.Key)
		}
	}
}

// TestQuantitiesIsACopy makes sure that a caller cannot change the list.
func TestQuantitiesIsACopy(t *testing.T) {
	specs.Quantities()[0].Key = "spoiled"
	if specs.Quantities()[0].Key != specs.PointsGap {
		t.Error("the list is shared with the caller")
	}
}

// TestOpenFamily looks at the keys "other.<slug>".
func TestOpenFamily(t *testing.T) {
	q, ok := specs.Quantity("other.oil-grade")
	if !ok || !q.Words() || q.Title != "oil grade" {
		t.Errorf("other.oil-grade is %+v, %t", q, ok)
	}
	for _, key := range []specs.Key{"other.", "other.Oil", "other.a--b", "other", "points gap", ""} {
		if _, ok := specs.Quantity(key); ok {
			t.Errorf("%q is known", key)
		}
	}
}

// TestQuantityNamesList makes sure hints can offer every key.
func TestQuantityNamesList(t *testing.T) {
	names := specs.QuantityNames()
	for _, q := range specs.Quantities() {
		if !slices.Contains(names, string(q.Key)) {
			t.Errorf("%s is not offered", q.Key)
		}
	}
}
