package shell

import (
	"bytes"
	"fmt"
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

// A Call is one way to call a program and how it should end. Tests of the
// programs use it; the zero Call wants nothing said and the code [Good].
type Call struct {
	// Name says what is tried.
	Name string
	// Stdin is what the program reads.
	Stdin string
	Args  []string
	// Code is how it ends, and Words stand in what it prints.
	Code  int
	Words string
}

// Wrong calls the program and returns what is not as it should be: its code, its
// words, anything on standard output with bad input, or on standard error with
// good.
func (c Call) Wrong(run func(*Program) int, usage string) []string {
	out, errs, code := Run(run, usage, c.Stdin, c.Args...)
	var wrong []string
	if code != c.Code {
		wrong = append(wrong, fmt.Sprintf("ends with %d, want %d\n%s%s", code, c.Code, out, errs))
	}
	if code == Bad && out != "" {
		wrong = append(wrong, "bad input prints on standard output: "+out)
	}
	if code != Bad && errs != "" {
		wrong = append(wrong, "good input prints on standard error: "+errs)
	}
	if !strings.Contains(out+errs, c.Words) {
		wrong = append(wrong, fmt.Sprintf("lacks %q:\n%s%s", c.Words, out, errs))
	}
	return wrong
}
