package shell

import (
	"bytes"
	"strings"
)

// Run calls a program's run function the way a shell would and returns what
// it printed and how it ended. Tests of the programs use it.
func Run(run func(*Program) int, usage, stdin string, args ...string) (stdout, stderr string, code int) {
	var out, errs bytes.Buffer
	p := New(usage)
	p.Args, p.Stdin, p.Stdout, p.Stderr = args, strings.NewReader(stdin), &out, &errs
	code = guarded(run, p)
	return out.String(), errs.String(), code
}
