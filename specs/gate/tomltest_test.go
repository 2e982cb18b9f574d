//go:build tomltest

package gate_test

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"gapbook.example/specs/gate"
)

// These tests read the public test suite of TOML, as laid out for TOML 1.0 in
// the folder GAPBOOK_TOMLTEST: see .ci/run.

// refusedOnPurpose are the codes of what this package refuses although TOML
// 1.0 allows it: see "What is refused on purpose" in the package's page.
var refusedOnPurpose = []string{
	gate.CodeQuotedKey, gate.CodeBadKey, gate.CodeArrayOfTables, gate.CodeControl, gate.CodeNUL, gate.CodeBidi, gate.CodeHidden, gate.CodeBOM,
	gate.CodeTooManyParts, gate.CodeTooDeep, gate.CodeTooManyKeys, gate.CodeLongKey, gate.CodeTooBig, gate.CodeMore,
}

func suite(t *testing.T, part string, f func(name string, src []byte)) int {
	t.Helper()
	dir := os.Getenv("GAPBOOK_TOMLTEST")
	if dir == "" {
		t.Fatal("GAPBOOK_TOMLTEST is not set: see .ci/run")
	}
	count := 0
	err := filepath.WalkDir(filepath.Join(dir, part), func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".toml") {
			return err
		}
		src, err := os.ReadFile(name)
		count++
		f(name, src)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return count
}

// TestSuiteInvalid wants everything refused that is not TOML 1.0, each within
// a tenth of a second.
func TestSuiteInvalid(t *testing.T) {
	count := suite(t, "invalid", func(name string, src []byte) {
		start := time.Now()
		doc, problems := gate.Read(name, src)
		if doc != nil || len(problems) == 0 {
			t.Errorf("%s is read", name)
		}
		if took := time.Since(start); took > 100*time.Millisecond {
			t.Errorf("%s takes %v", name, took)
		}
		for _, p := range problems {
			if p.Code == gate.CodeInternal {
				t.Errorf("%s: %v", name, p)
			}
		}
	})
	t.Logf("%d invalid documents refused", count)
	if count < 474 {
		t.Errorf("only %d documents", count)
	}
}

// TestSuiteValid wants every document of TOML 1.0 read, with the values that
// the suite gives, or refused for nothing but what is refused on purpose.
func TestSuiteValid(t *testing.T) {
	read := 0
	byCode := make(map[string]int)
	count := suite(t, "valid", func(name string, src []byte) {
		doc, problems := gate.Read(name, src)
		if problems != nil {
			for _, p := range problems {
				if !slices.Contains(refusedOnPurpose, p.Code) {
					t.Errorf("%s: %v", name, p)
				}
			}
			byCode[problems[0].Code]++
			return
		}
		read++
		data, err := os.ReadFile(strings.TrimSuffix(name, ".toml") + ".json")
		if err != nil {
			t.Fatal(err)
		}
		var want any
		if err := json.Unmarshal(data, &want); err != nil {
			t.Fatal(err)
		}
		if err := agrees(want, doc.Root); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	})
	t.Logf("%d valid documents: %d read, refused on purpose %v", count, read, byCode)
	if count < 205 || read < 152 {
		t.Errorf("%d documents, of which %d are read", count, read)
	}
}

// agrees compares a node with the suite's way to write down a value.
func agrees(want any, n *gate.Node) error {
	switch want := want.(type) {
	case []any:
		if len(want) != len(n.Items) || n.Value == nil {
			return fmt.Errorf("%s has %d entries, the suite %d", n.Path, len(n.Items), len(want))
		}
		for i := range want {
			if err := agrees(want[i], n.Items[i]); err != nil {
				return err
			}
		}
		return nil
	case map[string]any:
		kind, isValue := want["type"].(string)
		value, hasValue := want["value"].(string)
		if isValue && hasValue && len(want) == 2 {
			return sameValue(kind, value, n)
		}
		if !n.IsTable || len(want) != len(n.Children) {
			return fmt.Errorf("%s has %d keys, the suite %d", n.Path, len(n.Children), len(want))
		}
		for key, w := range want {
			c := n.Child(key)
			if c == nil {
				return fmt.Errorf("%s has no key %s", n.Path, key)
			}
			if err := agrees(w, c); err != nil {
				return err
			}
		}
		return nil
	}
	return fmt.Errorf("the suite holds %T", want)
}

func sameValue(kind, value string, n *gate.Node) error {
	ok := false
	switch v := n.Value.(type) {
	case string:
		ok = kind == "string" && v == value
	case int64:
		ok = kind == "integer" && strconv.FormatInt(v, 10) == value
	case bool:
		ok = kind == "bool" && strconv.FormatBool(v) == value
	case float64:
		f, err := strconv.ParseFloat(value, 64)
		ok = kind == "float" && err == nil && (f == v || math.IsNaN(f) && math.IsNaN(v))
	case time.Time:
		// The suite writes the instant, or the parts that a local one has.
		for layout, k := range map[string]string{time.RFC3339Nano: "datetime", "2006-01-02T15:04:05.999999999": "datetime-local", "2006-01-02": "date-local", "15:04:05.999999999": "time-local"} {
			w, err := time.Parse(layout, strings.Replace(value, " ", "T", 1))
			if k != kind || err != nil {
				continue
			}
			ok = w.Equal(v) || kind != "datetime" && w.Format(layout) == v.Format(layout)
		}
	}
	if !ok {
		return fmt.Errorf("%s is %v (%T), the suite says %s %s", n.Path, n.Value, n.Value, kind, value)
	}
	return nil
}
