package gate_test

import (
	"bytes"
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"

	"gapbook.example/specs/gate"
)

// bombs are documents that make a careless reader slow, large, or dead. The
// first few stop the TOML library itself: deep nesting overflows its stack,
// and 16 KB of dotted key or of inline tables take it seconds and gigabytes.
// An empty code marks the worst that the caps let through.
func bombs() []struct{ name, text, code string } {
	keys := func(n int, format string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, format, i)
		}
		return b.String()
	}
	const k = 1 << 10
	name := strings.Repeat("n", gate.MaxKeyBytes)
	longest := strings.Repeat(name+".", gate.MaxParts-2) + name
	return []struct{ name, text, code string }{
		{"5 MB of brackets", strings.Repeat("[", 5_000_000), gate.CodeTooBig},
		{"250 KB of brackets", strings.Repeat("[", 250_000), gate.CodeArrayOfTables},
		{"250 KB of brackets in a value", "a = " + strings.Repeat("[", 250_000), gate.CodeTooDeep},
		{"8,000-part key", strings.Repeat("a.", 7_999) + "a = 1", gate.CodeTooManyParts},
		{"8,000-part header", "[" + strings.Repeat("a.", 7_999) + "a]", gate.CodeTooManyParts},
		{"16 KB of inline tables", "a = " + strings.Repeat("{a=", 5_000) + "1" + strings.Repeat("}", 5_000), gate.CodeTooManyParts},
		{"16 KB of inline tables in lists", "a = " + strings.Repeat("[{a=", 4_000) + "1" + strings.Repeat("}]", 4_000), gate.CodeTooDeep},
		{"16 KB of dotted inline tables", "a = " + strings.Repeat("{a.b.c=", 2_000) + "1" + strings.Repeat("}", 2_000), gate.CodeTooManyParts},
		{"whole number of 200,000 digits", "a = 1" + strings.Repeat("0", 200_000), gate.CodeBadNumber},
		{"fraction of 200,000 digits", "a = 0." + strings.Repeat("1", 200_000), gate.CodeBadNumber},
		{"exponent of 200,000 digits", "a = 1e" + strings.Repeat("9", 200_000), gate.CodeBadNumber},
		{"hexadecimal of 200,000 digits", "a = 0x" + strings.Repeat("f", 200_000), gate.CodeBadNumber},
		{"negative number of 200,000 digits", "a = -1" + strings.Repeat("0", 200_000), gate.CodeBadNumber},
		{"signed number of 200,000 digits", "a = +1" + strings.Repeat("0", 200_000), gate.CodeBadNumber},
		{"200,000 letters without quotes", "a = " + strings.Repeat("x", 200_000), gate.CodeBadValue},
		{"1 MB string", `a = "` + strings.Repeat("x", 1<<20) + `"`, gate.CodeTooBig},
		{"100,000 keys", keys(100_000, "k%d=1\n"), gate.CodeTooBig},
		{"25,000 keys that fit", keys(25_000, "k%d=1\n"), gate.CodeTooManyKeys},
		{"100,000 entries", "a = [" + strings.Repeat("1,", 100_000) + "]", gate.CodeTooManyKeys},
		{"80,000 empty lists", "a = [" + strings.Repeat("[],", 80_000) + "]", gate.CodeTooManyKeys},
		{"60,000 inline tables", "a = [" + strings.Repeat("{},", 60_000) + "]", gate.CodeTooManyKeys},
		{"60,000 headers", strings.Repeat("[a]\n", 60_000), gate.CodeDuplicate},
		{"60,000 keys that are one", strings.Repeat("a=1\n", 60_000), gate.CodeDuplicate},
		{"200 KB key", strings.Repeat("k", 200_000) + " = 1", gate.CodeLongKey},
		{"long table name over many keys", "[" + strings.Repeat("n", 200_000) + "]\n" + keys(4_000, "k%d=1\n"), gate.CodeLongKey},
		{"200,000 NULs", strings.Repeat("\x00", 200_000), gate.CodeNUL},
		{"200,000 stray bytes", strings.Repeat("\xff\xfd", 100_000), gate.CodeNotUTF8},
		{"byte order mark", "\uFEFFa = 1\n", gate.CodeBOM},
		{"80,000 bidi marks in a comment", "#" + strings.Repeat("\u202e", 80_000), gate.CodeBidi},
		{"100,000 lone CRs", strings.Repeat("\r", 200_000), gate.CodeControl},
		{"homoglyph keys", strings.Repeat("і = 1\n", 30_000), gate.CodeBadKey},
		{"250 KB without a value", strings.Repeat("a ", 125_000), gate.CodeNoValue},
		{"250 KB of open string", "a = \"\"\"" + strings.Repeat("\\\"", 125_000), gate.CodeUnclosed},
		{"one long line of bad escapes", `a = "` + strings.Repeat(`\q`, 100_000) + `"`, gate.CodeBadEscape},
		{"bad list in one long line", "a = [" + strings.Repeat("1, ", 4_000) + strings.Repeat("x ", 100_000) + "]", gate.CodeBadValue},

		{"256 KiB string", `a = "` + strings.Repeat("x", 256*k-6) + `"`, ""},
		{"256 KiB of escapes", `a = "` + strings.Repeat(`\\`, 128*k-3) + `"`, ""},
		{"256 KiB of escaped line ends", `a = """` + strings.Repeat("\\\n", 128*k-5) + `"""`, ""},
		{"256 KiB of lines", strings.Repeat("\n", 256*k), ""},
		{"256 KiB of comments", strings.Repeat("#\n", 128*k), ""},
		{"256 KiB of spaces", "a = [" + strings.Repeat(" ", 256*k-6) + "]", ""},
		{"4,096 keys", keys(4096, "k%d=1\n"), ""},
		{"4,096 keys with the longest path", "[" + longest + "]\n" + keys(4095, "k%d=1\n"), ""},
		{"4,096 keys in one line", "a = {" + keys(4094, "k%d=1,") + "z=1}", ""},
		{"4,096 keys in a list of tables", "[" + strings.Repeat(name+".", gate.MaxParts-3) + name + "]\na = [" + keys(2046, "{k%d=1},") + "]", ""},
		{"4,096 tables of eight parts", keys(4096, "[a.b.c.d.e.f.g.k%d]\n"), ""},
		{"4,096 dotted keys of eight parts", keys(4096, "a.b.c.d.e.f.g.k%d=1\n"), ""},
		{"as many distinct parts as fit", keys(4096, "[k%[1]d.b.c.d.e.f.g.h]\n"), ""},
	}
}

// A hostile document is refused, and the worst legal one read, within 64 MiB
// and, where GAPBOOK_SPEED says that nothing else runs, 100 ms: the numbers of
// the design. Memory is everything allocated on the
// way, not just what is live at one time, so the limit is on the safe side.
func TestBombs(t *testing.T) {
	const mostTime, mostBytes = 100 * time.Millisecond, 64 << 20
	timed := os.Getenv("GAPBOOK_SPEED") != ""
	for _, b := range bombs() {
		t.Run(b.name, func(t *testing.T) {
			src := []byte(b.text)
			var took time.Duration
			var bytes uint64
			// A busy machine makes some runs slow; a slow program makes all.
			for try := range 10 {
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				start := time.Now()
				doc, ps := gate.Read("bomb.toml", src)
				took = time.Since(start)
				runtime.ReadMemStats(&after)
				bytes = after.TotalAlloc - before.TotalAlloc
				if try == 0 {
					checkBomb(t, b.code, doc, ps)
				}
				if !timed || took <= mostTime {
					break
				}
			}
			t.Logf("%8d bytes: %9v, %6.2f MiB", len(src), took.Round(time.Microsecond), float64(bytes)/(1<<20))
			if timed && took > mostTime {
				t.Errorf("took %v", took)
			}
			if bytes > mostBytes {
				t.Errorf("allocated %d bytes", bytes)
			}
		})
	}
}

func checkBomb(t *testing.T, code string, doc *gate.Doc, ps gate.Problems) {
	t.Helper()
	if code == "" {
		if ps != nil {
			t.Errorf("refused: %.500v", ps)
		}
		return
	}
	if doc != nil || len(ps) == 0 {
		t.Fatal("accepted")
	}
	found := false
	for _, p := range ps {
		found = found || p.Code == code
		if n := len(p.Error()); n > 600 {
			t.Errorf("a message of %d bytes", n)
		}
	}
	if !found {
		t.Errorf("no problem has code %s: %.500v", code, ps)
	}
	if len(ps) > gate.MaxProblems+1 || len(ps) == gate.MaxProblems+1 && ps[gate.MaxProblems].Code != gate.CodeMore {
		t.Errorf("%d problems, last %v", len(ps), ps[len(ps)-1])
	}
}

// One key over a cap is refused, one key less is read: for every cap.
func TestCapsAreExact(t *testing.T) {
	pad := func(n int) string { return "#" + strings.Repeat("x", n-1) }
	lines := func(n int) string {
		var b bytes.Buffer
		for i := range n {
			fmt.Fprintf(&b, "k%d = 1\n", i)
		}
		return b.String()
	}
	for _, c := range []struct {
		name, within, over, code string
	}{
		{"MaxBytes", pad(gate.MaxBytes), pad(gate.MaxBytes + 1), gate.CodeTooBig},
		{"MaxKeys", lines(gate.MaxKeys), lines(2 * gate.MaxKeys), gate.CodeTooManyKeys},
		{"MaxKeys, list entries", "a = [" + strings.Repeat("1,", gate.MaxKeys-1) + "]", "a = [" + strings.Repeat("1,", gate.MaxKeys) + "]", gate.CodeTooManyKeys},
		{"MaxKeyBytes", strings.Repeat("k", gate.MaxKeyBytes) + "=1", strings.Repeat("k", gate.MaxKeyBytes+1) + "=1", gate.CodeLongKey},
		{"MaxNumberBytes", "a = 0." + strings.Repeat("1", gate.MaxNumberBytes-2), "a = 0." + strings.Repeat("1", gate.MaxNumberBytes-1), gate.CodeBadNumber},
		{"MaxParts", strings.Repeat("a.", gate.MaxParts-1) + "a = 1", strings.Repeat("a.", gate.MaxParts) + "a = 1", gate.CodeTooManyParts},
		{"MaxDepth", "a = " + strings.Repeat("[", gate.MaxDepth) + strings.Repeat("]", gate.MaxDepth), "a = " + strings.Repeat("[", gate.MaxDepth+1) + strings.Repeat("]", gate.MaxDepth+1), gate.CodeTooDeep},
	} {
		if _, ps := gate.Read("f", []byte(c.within)); ps != nil {
			t.Errorf("%s: %.300v", c.name, ps)
		}
		// Whatever the rest is, a document over a cap has this one problem.
		_, ps := gate.Read("f", []byte(c.over))
		if len(ps) != 1 || ps[0].Code != c.code {
			t.Errorf("%s, one over: %.300v", c.name, ps)
		}
	}
}
