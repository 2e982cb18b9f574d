package house_test

import (
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// BenchmarkColdCheck runs check from the start of its process to the end and
// reports the processor time that it costs over a program that does nothing.
// However large the book grows, that should stay.
func BenchmarkColdCheck(b *testing.B) {
	dir := b.TempDir()
	build := func(pkgDir, name, pkg string) string {
		exe := filepath.Join(dir, name)
		cmd := exec.Command("go", "build", "-o", exe, pkg)
		cmd.Dir = pkgDir
		if out, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("%v: %s", err, out)
		}
		return exe
	}
	empty := filepath.Join(dir, "empty.go")
	write(b, empty, "package main\n\nfunc main() {}\n")
	check, nothing := build(root, "check.exe", "./examples/check"), build(dir, "nothing.exe", empty)
	cost := func(exe string) time.Duration {
		cmd := exec.Command(exe)
		if err := cmd.Run(); err != nil {
			b.Fatal(err)
		}
		return cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	}
	var over time.Duration
	for b.Loop() {
		over += cost(check) - cost(nothing)
	}
	b.ReportMetric(float64(over.Microseconds())/1000/float64(b.N), "extra-cpu-ms/op")
	b.ReportMetric(0, "ns/op")
}
