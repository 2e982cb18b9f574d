//go:build unix

package main

import (
	"os"
	"syscall"
	"testing"
	"time"
)

// sheetTime is what a full sheet with five pictures may take, the search for the
// diagram's layout included.
const sheetTime = 150 * time.Millisecond

// cpu is the processor time that this process has used, so that a busy machine
// does not look slow.
func cpu(t *testing.T) time.Duration {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		t.Fatal(err)
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}

// TestSpeed fails at three times the time, for a machine that others use is
// slower; the log says what was measured.
func TestSpeed(t *testing.T) {
	if os.Getenv("GAPBOOK_SPEED") == "" {
		t.Skip("set GAPBOOK_SPEED=1")
	}
	src := defaultSource(t)
	fullSheet(t, src)
	const times = 10
	begin := cpu(t)
	for range times {
		fullSheet(t, src)
	}
	each := (cpu(t) - begin) / times
	t.Logf("a full sheet in %v", each)
	if each > 3*sheetTime {
		t.Errorf("a full sheet takes %v, more than three times %v", each, sheetTime)
	}
}
