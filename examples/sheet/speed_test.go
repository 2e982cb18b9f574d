package main

import (
	"runtime"
	"testing"

	"gapbook.example/examples/jobs"
	"gapbook.example/specs"
)

// What a full sheet with five pictures may allocate, and how large its page may
// be. The search for the diagram's layout, twice, for a page and for a phone,
// is part of it.
const (
	sheetPictures = 5
	sheetBytes    = 8 << 20
	pageBytes     = 150 << 10
)

// fullSheet makes the default job's page from the bytes of its file.
func fullSheet(tb testing.TB, src []byte) []byte {
	tb.Helper()
	doc, fault, err := laidOut(specs.Builtin(), defaultJob, src)
	if err != nil || fault {
		tb.Fatalf("%v, a fault: %v", err, fault)
	}
	if n := len(doc.Pictures()); n != sheetPictures {
		tb.Fatalf("%d pictures, want %d", n, sheetPictures)
	}
	return doc.HTML()
}

func defaultSource(tb testing.TB) []byte {
	tb.Helper()
	src, err := jobs.Files.ReadFile(defaultJob)
	if err != nil {
		tb.Fatal(err)
	}
	return src
}

// TestSheetSize bounds what a full sheet allocates, and how large its page is.
func TestSheetSize(t *testing.T) {
	src := defaultSource(t)
	page := fullSheet(t, src) // the book is read now
	if len(page) > pageBytes {
		t.Errorf("a page of %d bytes, more than %d", len(page), pageBytes)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	fullSheet(t, src)
	runtime.ReadMemStats(&after)
	bytes := after.TotalAlloc - before.TotalAlloc
	t.Logf("%d bytes allocated, a page of %d", bytes, len(page))
	if bytes > sheetBytes {
		t.Errorf("%d bytes allocated, more than %d", bytes, sheetBytes)
	}
}

func BenchmarkSheet(b *testing.B) {
	src := defaultSource(b)
	fullSheet(b, src)
	b.ReportAllocs()
	for b.Loop() {
		fullSheet(b, src)
	}
}
