package house_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/specs"
)

// strayWords never belong in a file of this repository: places on somebody's
// machine, hosts that go stale, and talk about how the work was done. They are
// patterns so that this file does not trip over itself.
var strayWords = []struct {
	what    string
	pattern *regexp.Regexp
}{
	{"a path on somebody's machine", regexp.MustCompile(`(?m)(^|[\s"'(=:,` + "`" + `])/(work|tmp|home|root|mnt|Users)/[A-Za-z0-9]`)},
	{"a path on somebody's machine", regexp.MustCompile(`\b[A-Z]:\\+User[s]\b`)},
	{"the host of a package registry", regexp.MustCompile(`\b(proxy|sum|index|registry|files)\.(g[o]lang|np[m]js|pytho[n]hosted|yarnp[k]g|crate[s])\.[a-z]+\b|\bpyp[i]\.org\b|\bcrate[s]\.io\b|\bnp[m]js\.`)},
	{"talk about the work", regexp.MustCompile(`(?i)\bt[r]anscripts?\b|\bthi[s] session\b|\bsee[d] document\b|\bthi[s] conversation\b`)},
}

func TestNoStrayWords(t *testing.T) {
	for _, f := range allFiles(t) {
		if !utf8.Valid(f.data) {
			continue // documents for the gate
		}
		for _, w := range strayWords {
			if at := w.pattern.FindIndex(f.data); at != nil {
				line := 1 + strings.Count(string(f.data[:at[0]]), "\n")
				t.Errorf("%s:%d: %q is %s", f.path, line, f.data[at[0]:at[1]], w.what)
			}
		}
	}
}

func TestStrayWordsAreSeen(t *testing.T) {
	for i, bad := range []string{"see \"/ho" + "me/me/x\"", `C:\Us` + "ers", "prox" + "y.golang.org", "a tran" + "script"} {
		if !strayWords[i].pattern.MatchString(bad) {
			t.Errorf("%q passes", bad)
		}
	}
	for _, good := range []string{"kΩ/ft and V/µs", "#!/usr/bin/env bash", "in/home/x", "transcribed", "https://example.org/tmp/x"} {
		for _, w := range strayWords {
			if w.pattern.MatchString(good) {
				t.Errorf("%q counts as %s", good, w.what)
			}
		}
	}
}

// commonWords are makers' names that are words of their own, and where they
// are meant as such. A name that no longer occurs must leave the list.
var commonWords = map[string]string{
	"Beta": "a distribution of statistics",
}

// exampleNames are everyday words that invented makers and places of the papers
// are named by. A real maker may be called so too, and who adds one is not to
// blame for the papers.
var exampleNames = []string{"Brook", "Fen", "Mill", "Orchard", "Withy"}

// TestEnginesStayInTheBook keeps real engines inside specs: code, jobs, papers
// and tests speak of invented ones, so that a record can change without them
// and nobody takes an example for a fact.
func TestEnginesStayInTheBook(t *testing.T) {
	ids := make(map[string]bool)
	makers := make(map[string]bool)
	for e := range specs.Builtin().Entries() {
		ids[e.ID] = true
		for _, a := range e.Aliases {
			ids[a] = true
		}
		for m := range strings.SplitSeq(e.Maker, " / ") {
			if utf8.RuneCountInString(m) > 3 {
				makers[m] = true
			}
		}
	}
	if len(ids) < 300 || len(makers) < 60 {
		t.Fatalf("only %d ids and %d makers", len(ids), len(makers))
	}
	var quoted []string
	for m := range makers {
		if !slices.Contains(exampleNames, m) {
			quoted = append(quoted, regexp.QuoteMeta(m))
		}
	}
	makerPattern := regexp.MustCompile(`(?:^|[^\pL\pN])(` + strings.Join(quoted, "|") + `)(?:[^\pL\pN]|$)`)
	idPattern := regexp.MustCompile(`[a-z0-9]+(?:-[a-z0-9]+)*`)
	used := make(map[string]bool)
	for _, f := range allFiles(t) {
		if strings.HasPrefix(f.path, "specs/") {
			continue
		}
		n := 0
		for line := range strings.Lines(string(f.data)) {
			n++
			if m := makerPattern.FindStringSubmatch(line); m != nil {
				if _, common := commonWords[m[1]]; common {
					used[m[1]] = true
				} else {
					t.Errorf("%s:%d: names the maker %s", f.path, n, m[1])
				}
			}
			for _, id := range idPattern.FindAllString(line, -1) {
				if ids[id] {
					t.Errorf("%s:%d: names the engine %s", f.path, n, id)
				}
			}
		}
	}
	for m, why := range commonWords {
		if !used[m] || !makers[m] {
			t.Errorf("%q (%s) does not occur any more: take it off the list", m, why)
		}
	}
	if !makerPattern.MatchString("a " + quotedSample(makers) + ", 1950") {
		t.Error("the pattern finds no maker")
	}
}

func quotedSample(makers map[string]bool) string {
	for m := range makers {
		return m
	}
	return ""
}
