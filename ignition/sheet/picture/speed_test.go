//go:build unix

package picture

import (
	"os"
	"syscall"
	"testing"
	"time"
)

// cpu is the processor time that this process has used, so that a busy machine
// does not look slow.
func cpu(t *testing.T) time.Duration {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		t.Fatal(err)
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}

// A diagram takes a fifth of the time of the first prototype at most: 160 ms
// for a phone and 430 ms for a page, on average over its circuits. Only thrice
// that fails, for a machine that others use is slower; the log says what was
// measured.
func TestSpeed(t *testing.T) {
	if os.Getenv("GAPBOOK_SPEED") == "" {
		t.Skip("set GAPBOOK_SPEED=1")
	}
	for _, c := range []struct {
		paper Paper
		most  time.Duration
	}{{Phone, 160 * time.Millisecond / 5}, {Landscape, 430 * time.Millisecond / 5}} {
		for name, set := range map[string][]circuit{"layouts": layouts(t), "mutants": mutants(t, 200)} {
			begin := cpu(t)
			for _, circuit := range set {
				Wiring(circuit.h, View{Paper: c.paper})
			}
			each := (cpu(t) - begin) / time.Duration(len(set))
			t.Logf("%s on paper %d: %v each", name, c.paper, each)
			if each > 3*c.most {
				t.Errorf("%s on paper %d: %v each, more than %v", name, c.paper, each, c.most)
			}
		}
	}
}
